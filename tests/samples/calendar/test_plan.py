"""The knitters' calendar: dates, drying, days away, agreements, and a sentence for everything that cannot be."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.samples.calendar.evenings import daily_share
from lessonplan.samples.calendar.jobs import Calendar, Job, Pause, Person
from lessonplan.samples.calendar.plan import plan_calendar

ANA = Person("Ana", 7.0, date(2027, 2, 1))  # an hour a day
BO = Person("Bo", 3.5, date(2027, 2, 1))
DUE = date(2027, 2, 20)


def job(piece: str, minutes: float = 120, due: date = DUE, drying: float = 0) -> Job:
    return Job(piece=piece, minutes={"Ana": minutes, "Bo": minutes, "Cy": minutes}, due=due, drying=drying)


def days_of(calendar: Calendar, person: str) -> list[tuple[int, str, int]]:
    return [(s.day.day, s.piece, s.minutes) for s in calendar.sittings if s.person == person]


def test_pieces_are_knitted_as_late_as_possible_one_after_another() -> None:
    calendar = plan_calendar([job("A", 120), job("B", 90, date(2027, 2, 18))], [ANA])
    assert days_of(calendar, "Ana") == [(17, "B", 30), (18, "B", 60), (19, "A", 60), (20, "A", 60)]
    assert calendar.latest_start == {"Ana": date(2027, 2, 17)}
    assert (calendar.piece_start["A"], calendar.finished["A"]) == (date(2027, 2, 19), DUE)
    assert (calendar.load, calendar.late, calendar.optimal) == ({"Ana": 210}, (), True)


def test_days_away_hold_no_sitting() -> None:
    person = Person("Ana", 7.0, date(2027, 2, 1), ((date(2027, 2, 18), date(2027, 2, 19)),))
    calendar = plan_calendar([job("A", 150)], [person])
    assert days_of(calendar, "Ana") == [(16, "A", 30), (17, "A", 60), (20, "A", 60)]


@pytest.mark.parametrize(("drying", "last"), [(0, 20), (1, 19), (1440, 19), (1441, 18)])
def test_a_piece_dries_for_whole_days_before_it_is_due(drying: float, last: int) -> None:
    calendar = plan_calendar([job("A", drying=drying)], [ANA])
    assert calendar.finished["A"].day == last
    assert calendar.ready["A"] == DUE


def test_another_piece_is_knitted_while_one_dries() -> None:
    calendar = plan_calendar([job("A", 60, drying=2880), job("B", 60)], [ANA])
    assert days_of(calendar, "Ana") == [(18, "A", 60), (20, "B", 60)]


def pasted(drying: float) -> Job:
    """An hour of work, then it must dry, then ten minutes more, which dry until the next day."""
    return replace(job("A", 70, drying=60), pauses=(Pause({"Ana": 60, "Bo": 60}, drying),))


@pytest.mark.parametrize(("hours", "first"), [(1, 18), (18, 18), (18.1, 17), (30, 17), (42, 17), (43, 16)])
def test_a_piece_is_gone_on_with_when_it_is_dry(hours: float, first: int) -> None:
    # It dries from midnight on, and Ana sits down at six: 18 hours are over on the next evening, 42 on the one after.
    calendar = plan_calendar([pasted(hours * 60)], [ANA])
    assert days_of(calendar, "Ana") == [(first, "A", 60), (19, "A", 10)]
    assert (calendar.ready["A"], calendar.late, calendar.load) == (DUE, (), {"Ana": 70})


def test_other_pieces_are_knitted_while_one_dries_in_between() -> None:
    calendar = plan_calendar([pasted(1800), job("B", 120), job("C", 50, date(2027, 2, 18))], [ANA])
    assert days_of(calendar, "Ana") == [
        (16, "A", 60),
        (18, "C", 50),
        (18, "A", 10),
        (19, "B", 60),
        (20, "B", 60),
    ]
    assert calendar.late == ()


def test_what_cannot_dry_in_between_is_said_to_be_late() -> None:
    # Ana may begin on the 18th: paste on that evening, more at the earliest on the 20th, dry on the 21st.
    late = plan_calendar([pasted(1800)], [replace(ANA, starts=date(2027, 2, 18))])
    (head, tail) = days_of(late, "Ana")
    assert head[0] >= 18
    assert tail[0] - head[0] >= 2
    assert late.late[0].days == tail[0] + 1 - DUE.day > 0


def test_the_load_follows_the_hours() -> None:
    calendar = plan_calendar([job(piece, 60) for piece in "ABCDEF"], [ANA, BO])
    assert calendar.load == {"Ana": 240, "Bo": 120}
    assert calendar.latest_start == {"Ana": date(2027, 2, 17), "Bo": date(2027, 2, 17)}


def test_a_piece_stays_with_whoever_can_knit_it() -> None:
    only_bo = Job(piece="A", minutes={"Bo": 30.0, "Ana": float("nan")}, due=DUE)
    assert plan_calendar([only_bo], [ANA, BO]).assigned == {"A": "Bo"}


def test_a_late_piece_is_started_at_once_and_explained() -> None:
    calendar = plan_calendar([job("A", 300, date(2027, 2, 3))], [ANA])
    assert calendar.latest_start == {"Ana": date(2027, 2, 1)}
    (late,) = calendar.late
    assert (late.piece, late.days, calendar.optimal) == ("A", 2, False)
    assert late.sentence == (
        "Piece A is 2 days late: it is due on Wed 3 Feb 2027, and Ana finishes it on Fri 5 Feb 2027."
    )


def test_a_piece_due_before_anybody_starts() -> None:
    (late,) = plan_calendar([job("A", 60, date(2027, 1, 30), drying=60)], [ANA, BO]).late
    assert late.days == 3
    assert late.sentence == (
        "Piece A is 3 days late: it is due on Sat 30 Jan 2027, before anybody is free, "
        "and Ana finishes it on Mon 1 Feb 2027 and leaves it 1 day to dry."
    )


def test_nobody_free_before_the_day() -> None:
    away = Person("Ana", 7.0, date(2027, 2, 1), ((date(2027, 2, 1), date(2027, 2, 24)),))
    (late,) = plan_calendar([job("A", 60)], [away]).late
    assert late.sentence == (
        "Piece A is 5 days late: it is due on Sat 20 Feb 2027, before anybody is free, "
        "and Ana finishes it on Thu 25 Feb 2027."
    )


@pytest.mark.parametrize(
    ("one", "people", "sentence"),
    [
        (job("A"), [], "Nobody can knit piece A: the course names no knitter."),
        (job("A"), [Person("Ana", 0, DUE)], "Nobody can knit piece A: Ana has no hours a week."),
        (
            job("A"),
            [Person("Ana", 0, DUE), Person("Bo", -3, DUE)],
            "Nobody can knit piece A: Ana and Bo have no hours a week.",
        ),
        (
            Job(piece="A", minutes={"Ana": float("inf"), "Dee": 5.0}, due=DUE),
            [ANA],
            "Nobody can knit piece A: no knitter has a usable number of minutes for it.",
        ),
        (
            Job(piece="A", minutes={"Ana": 9e7}, due=DUE),
            [ANA],
            "Nobody can knit piece A within ten years of Sat 20 Feb 2027.",
        ),
    ],
)
def test_what_nobody_can_knit_is_said(one: Job, people: list[Person], sentence: str) -> None:
    calendar = plan_calendar([one], people)
    assert [(late.days, late.sentence) for late in calendar.late] == [(None, sentence)]
    assert calendar.sittings == ()


def test_what_nobody_can_knit_does_not_hold_up_the_rest() -> None:
    calendar = plan_calendar([job("A"), Job(piece="B", minutes={}, due=DUE)], [ANA])
    assert calendar.assigned == {"A": "Ana"}
    assert [late.piece for late in calendar.late] == ["B"]


def test_nothing_to_knit() -> None:
    empty = plan_calendar([], [ANA])
    assert (empty.load, empty.optimal, empty.kept) == ({"Ana": 0}, True, False)
    assert not any((empty.sittings, empty.assigned, empty.late, empty.remarks, empty.remedies, empty.nearer))
    assert plan_calendar([job("A", 0)], [ANA]).assigned == {}


def test_odd_values_are_never_an_exception() -> None:
    jobs = [
        job("A", 1e-9),
        Job(piece="B", minutes={"Ana": -5.0}, due=date.max, drying=float("nan")),
        Job(piece="C", minutes={"Ana": 60.0}, due=date.min, drying=1e12),
        Job(piece="D", minutes={"Ana": 60.0}, due=date.max, drying=-4, agreed=date.min),
    ]
    people = [Person("Ana", float("inf"), date(2027, 2, 1), ((date.max, date.min),))]
    calendar = plan_calendar(jobs, people, spare=3)
    assert {late.piece for late in calendar.late} >= {"B"}
    assert plan_calendar(jobs, [ANA]).assigned.keys() == {"A", "C", "D"}
    # On the last day that there is one hour is left: for one of the two of an hour, or for the minute of A.
    last = plan_calendar(jobs, [replace(ANA, starts=date.max)])
    assert (len(last.assigned), len(last.late)) == (1, 4 - ("D" in last.assigned))


def test_pieces_for_which_the_days_give_out_are_nobodys() -> None:
    ana = replace(ANA, away=((date(2027, 2, 4), date.max),))
    calendar = plan_calendar([job("A"), job("B")], [ana])
    assert list(calendar.assigned.values()) == ["Ana"]
    (late,) = calendar.late
    assert (late.days, late.sentence) == (
        None,
        f"Nobody can knit piece {late.piece} within ten years of Sat 20 Feb 2027.",
    )


# --- sittings


def test_no_sitting_is_a_minute_only() -> None:
    # By hand: 150 and 89 minutes end on the 20th; backwards, B takes 60 and 29, and A the other 31, 60 and 59 minutes.
    calendar = plan_calendar([job("A", 150), job("B", 89)], [ANA])
    assert days_of(calendar, "Ana") == [(17, "A", 59), (18, "A", 60), (19, "A", 31), (19, "B", 29), (20, "B", 60)]
    # 123 minutes would be begun with 3 on the 18th: the 19th is so much longer, and the start so much later.
    calendar = plan_calendar([job("A", 123)], [ANA])
    assert days_of(calendar, "Ana") == [(19, "A", 63), (20, "A", 60)]
    assert calendar.latest_start == {"Ana": date(2027, 2, 19)}
    assert calendar.piece_start == {"A": date(2027, 2, 19)}


def test_a_piece_in_time_that_lacks_a_few_minutes_is_finished_the_evening_before() -> None:
    # Backwards B takes the 20th, the 19th and 55 minutes of the 18th; of the 65 of A five would be left for that day.
    calendar = plan_calendar([job("A", 65, date(2027, 2, 18)), job("B", 175)], [ANA])
    assert days_of(calendar, "Ana") == [(17, "A", 65), (18, "B", 55), (19, "B", 60), (20, "B", 60)]
    assert calendar.late == ()


def test_a_late_piece_keeps_the_days_late_that_it_has() -> None:
    # Due on the 2nd: 125 minutes from the 1st on end with 5 on the 3rd, a day late; finished the evening before, with
    # 65 minutes, it would be in time. Nobody is told that it is late and then gets a list on which it is not.
    calendar = plan_calendar([job("A", 125, date(2027, 2, 2))], [ANA])
    assert days_of(calendar, "Ana")[-1] == (3, "A", 60)
    assert [late.days for late in calendar.late] == [1]


# --- days to spare


@pytest.mark.parametrize(
    ("spare", "said"),
    [
        (0, ""),
        (1, " That is 1 day too late for the shoot."),
        (2, " That leaves none of the 2 days to spare."),
        (3, " That leaves 1 of the 3 days to spare."),
        (7, " That leaves 5 of the 7 days to spare."),
    ],
)
def test_late_says_what_is_left_of_the_days_to_spare(spare: int, said: str) -> None:
    (late,) = plan_calendar([job("A", 300, date(2027, 2, 3))], [ANA], spare=spare).late
    assert late.sentence == (
        f"Piece A is 2 days late: it is due on Wed 3 Feb 2027, and Ana finishes it on Fri 5 Feb 2027.{said}"
    )


# --- begun and agreed


def test_a_piece_begun_takes_only_what_is_left_of_it() -> None:
    calendar = plan_calendar([replace(job("A"), minutes={"Ana": 45.0, "Bo": 60.0}, knitter="Bo")], [ANA, BO])
    assert days_of(calendar, "Bo") == [(19, "A", 30), (20, "A", 30)]
    assert (calendar.assigned, calendar.remarks) == ({"A": "Bo"}, ())


def test_what_is_agreed_with_somebody_stays_even_when_another_had_time() -> None:
    jobs = [replace(job(piece), knitter="Bo") for piece in "ABCD"]
    assert set(plan_calendar(jobs, [ANA, BO]).assigned.values()) == {"Bo"}
    # 480 minutes are 16 evenings of half an hour, from the 5th on; with six in all the last two days are late.
    calendar = plan_calendar([replace(one, due=date(2027, 2, 14)) for one in jobs], [ANA, BO])
    assert [late.days for late in calendar.late] == [2]
    assert set(calendar.assigned.values()) == {"Bo"}


def test_an_agreed_knitter_who_cannot_knit_it_is_told() -> None:
    for cy in (
        [],
        [Person("Cy", 0.0, date(2027, 2, 1))],
        [Person("Cy", 5.0, date(2027, 2, 1), ((date.min, date.max),))],
    ):
        calendar = plan_calendar([replace(job("A"), knitter="Cy")], [ANA, *cy])
        assert calendar.assigned == {"A": "Ana"}
        assert calendar.remarks[-1] == "Piece A was agreed with Cy, who cannot knit it now; Ana does."
        assert calendar.late == ()


def test_an_agreed_day_is_kept() -> None:
    # Without an agreement A would be knitted on the 19th and 20th; drying, it has to be out of hand a day sooner.
    one = replace(job("A", drying=60), agreed=date(2027, 2, 12))
    calendar = plan_calendar([one, job("B")], [ANA])
    assert days_of(calendar, "Ana") == [(10, "A", 60), (11, "A", 60), (19, "B", 60), (20, "B", 60)]
    assert (calendar.ready["A"], calendar.late, calendar.remarks) == (date(2027, 2, 12), (), ())


def test_an_agreed_day_that_cannot_be_kept_is_told_and_is_not_late() -> None:
    calendar = plan_calendar([replace(job("A"), agreed=date(2027, 2, 1))], [ANA])
    assert (calendar.late, calendar.ready) == ((), {"A": date(2027, 2, 2)})
    assert calendar.remarks == ("Piece A was agreed for Mon 1 Feb 2027 and is ready on Tue 2 Feb 2027.",)


def test_what_is_due_goes_before_what_is_agreed() -> None:
    # Four hours in the first four days: B is due on the 2nd and takes all of the first two, whatever was agreed for A.
    calendar = plan_calendar([replace(job("A"), agreed=date(2027, 2, 2)), job("B", due=date(2027, 2, 2))], [ANA])
    assert (calendar.finished["B"], calendar.late) == (date(2027, 2, 2), ())
    assert calendar.finished["A"] > date(2027, 2, 2)
    assert calendar.remarks[0].startswith("Piece A was agreed for Tue 2 Feb 2027 and is ready on ")


def test_an_agreed_day_after_the_due_day_does_not_make_it_later() -> None:
    calendar = plan_calendar([replace(job("A"), agreed=date(2027, 3, 1))], [ANA])
    assert (calendar.ready["A"], calendar.remarks) == (DUE, ())


# --- all rules at once


plans = st.tuples(
    st.lists(st.tuples(st.integers(1, 400), st.integers(0, 30), st.integers(0, 3000)), min_size=1, max_size=5),
    st.lists(st.tuples(st.integers(0, 14), st.integers(0, 9), st.integers(0, 9)), min_size=1, max_size=3),
)


@given(plans)
@settings(max_examples=40, deadline=None)
def test_every_calendar_keeps_the_rules(
    plan: tuple[list[tuple[int, int, int]], list[tuple[int, int, int]]],
) -> None:
    first = date(2027, 2, 1)
    people = [
        Person(
            f"knitter {n}",
            hours,
            first + timedelta(starts),
            ((first + timedelta(away), first + timedelta(away + 2)),),
        )
        for n, (hours, starts, away) in enumerate(plan[1])
    ]
    jobs = [
        Job(
            piece=f"{n}",
            minutes={person.name: minutes for person in people},
            due=first + timedelta(due),
            drying=drying,
        )
        for n, (minutes, due, drying) in enumerate(plan[0])
    ]
    calendar = plan_calendar(jobs, people)
    never = {late.piece for late in calendar.late if late.days is None}
    late = {one.piece: one.days for one in calendar.late}
    for one in jobs:
        if one.piece in never:
            assert not any(person.hours_per_week for person in people)
            continue
        mine = [s for s in calendar.sittings if s.piece == one.piece]
        assert {s.person for s in mine} == {calendar.assigned[one.piece]}
        assert sum(s.minutes for s in mine) == one.minutes[mine[0].person]
        behind = (calendar.ready[one.piece] - one.due).days
        assert late.get(one.piece, 0) == max(0, behind)
        assert (calendar.ready[one.piece] - mine[-1].day) >= timedelta(minutes=one.drying)
        assert len(mine) == 1 or mine[0].minutes >= min(10, daily_share(people[int(mine[0].person[-1])].hours_per_week))
    for person in people:
        sat = [s for s in calendar.sittings if s.person == person.name]
        (begin, end), *_ = person.away
        assert all(s.day >= person.starts and not begin <= s.day <= end for s in sat)
        for day in {s.day for s in sat}:
            assert sum(s.minutes for s in sat if s.day == day) < daily_share(person.hours_per_week) + 10
        changes = sum(a.piece != b.piece for a, b in pairwise(sat))
        assert changes == max(0, len({s.piece for s in sat}) - 1)
        assert calendar.latest_start.get(person.name) == min((s.day for s in sat), default=None)


CASE = """
import random
from datetime import date, timedelta
from lessonplan.samples.calendar.jobs import Job, Person
from lessonplan.samples.calendar.plan import plan_calendar

lots = random.Random(3)
people = [Person(name, hours, date(2027, 2, 1)) for name, hours in (("Ana", 3.0), ("Bo", 4.0), ("Cy", 5.0))]
jobs = [
    Job(piece=str(n), minutes={one.name: lots.uniform(30, 200) for one in people}, due=date(2027, 2, 20))
    for n in range(24)
]
print(plan_calendar(jobs, people, spare=2))
print(plan_calendar(jobs, [Person(one.name, 3 * one.hours_per_week, one.starts) for one in people]))
"""


def test_the_answer_is_the_same_in_every_process(root: Path) -> None:
    """With pieces late and without: two runs that differ in the order of sets and in the time they are given."""

    def run(seed: str, *before: str) -> str:
        command = [*before, sys.executable, "-c", CASE]
        env = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)}
        return subprocess.run(command, cwd=root, env=env, check=True, capture_output=True, text=True).stdout

    assert run("1") == run("2", "nice", "-n", "19")
