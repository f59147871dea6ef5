"""The knitters' calendar: dates, drying, days away, and a sentence for everything that cannot be."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonplan.samples.calendar import Calendar, Job, Person, daily_share, plan_calendar

ANA = Person("Ana", 7.0, date(2027, 2, 1))  # an hour a day
BO = Person("Bo", 3.5, date(2027, 2, 1))
DUE = date(2027, 2, 20)


def job(piece: str, minutes: float = 120, due: date = DUE, drying: float = 0) -> Job:
    return Job(piece, "to the thumb", {"Ana": minutes, "Bo": minutes, "Cy": minutes}, drying, due)


def days_of(calendar: Calendar, person: str) -> list[tuple[int, str, int]]:
    return [(s.day.day, s.piece, s.minutes) for s in calendar.sittings if s.person == person]


def test_a_week_is_shared_evenly_in_whole_minutes() -> None:
    assert [daily_share(hours) for hours in (0, -1, float("nan"), 0.01, 5, 7)] == [0, 0, 0, 1, 43, 60]


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


def test_the_load_follows_the_hours() -> None:
    calendar = plan_calendar([job(piece, 60) for piece in "ABCDEF"], [ANA, BO])
    assert calendar.load == {"Ana": 240, "Bo": 120}
    assert calendar.latest_start == {"Ana": date(2027, 2, 17), "Bo": date(2027, 2, 17)}


def test_a_piece_stays_with_whoever_can_knit_it() -> None:
    only_bo = Job("A", "", {"Bo": 30.0, "Ana": float("nan")}, 0, DUE)
    assert plan_calendar([only_bo], [ANA, BO]).assigned == {"A": "Bo"}


def test_a_late_piece_is_started_at_once_and_explained() -> None:
    calendar = plan_calendar([job("A", 300, date(2027, 2, 3))], [ANA])
    assert calendar.latest_start == {"Ana": date(2027, 2, 1)}
    (late,) = calendar.late
    assert (late.piece, late.days, calendar.least_late) == ("A", 2, 2)
    assert late.sentence == (
        "Piece A is 2 days late: it is due on Wed 3 Feb 2027, and Ana finishes it on Fri 5 Feb 2027."
    )


def test_a_piece_due_before_anybody_starts() -> None:
    (late,) = plan_calendar([job("A", 60, date(2027, 1, 30), drying=60)], [ANA, BO]).late
    assert late.days == 3
    assert late.sentence == (
        "Piece A is due on Sat 30 Jan 2027, before anybody starts; "
        "Ana finishes it on Mon 1 Feb 2027 and leaves it 1 day to dry, 3 days late."
    )


def test_nobody_free_before_the_day() -> None:
    away = Person("Ana", 7.0, date(2027, 2, 1), ((date(2027, 2, 1), date(2027, 2, 24)),))
    (late,) = plan_calendar([job("A", 60)], [away]).late
    assert late.sentence == (
        "Nobody is free before piece A is due on Sat 20 Feb 2027; Ana finishes it on Thu 25 Feb 2027, 5 days late."
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
            Job("A", "", {"Ana": float("inf"), "Dee": 5.0}, 0, DUE),
            [ANA],
            "Nobody can knit piece A: no knitter has a usable number of minutes for it.",
        ),
        (Job("A", "", {"Ana": 9e7}, 0, DUE), [ANA], "Nobody can knit piece A within ten years of Sat 20 Feb 2027."),
    ],
)
def test_what_nobody_can_knit_is_said(one: Job, people: list[Person], sentence: str) -> None:
    calendar = plan_calendar([one], people)
    assert [(late.days, late.sentence) for late in calendar.late] == [(None, sentence)]
    assert calendar.sittings == ()


def test_what_nobody_can_knit_does_not_hold_up_the_rest() -> None:
    calendar = plan_calendar([job("A"), Job("B", "", {}, 0, DUE)], [ANA])
    assert calendar.assigned == {"A": "Ana"}
    assert [late.piece for late in calendar.late] == ["B"]


def test_knitters_who_cannot_help_are_named() -> None:
    away = ((date(2027, 2, 1), date(2027, 2, 10)), (date(2027, 2, 11), date.max))
    people = [
        ANA,
        Person("Bo", 0, date(2027, 2, 1)),
        Person("Cy", 5, date(2027, 3, 1)),
        Person("Dee", 5, date(2027, 2, 1), away),
    ]
    assert plan_calendar([job("A")], people).remarks == (
        "Bo has no hours a week and gets no piece.",
        "Cy starts on Mon 1 Mar 2027, after every piece is due.",
        "Dee is away until every piece is due.",
    )


def test_nothing_to_knit() -> None:
    assert plan_calendar([], [ANA]) == Calendar(load={"Ana": 0})
    assert plan_calendar([job("A", 0)], [ANA]).assigned == {}


def test_odd_values_are_never_an_exception() -> None:
    jobs = [
        job("A", 1e-9),
        Job("B", "", {"Ana": -5.0}, float("nan"), date.max),
        Job("C", "", {"Ana": 60.0}, 1e12, date.min),
        Job("D", "", {"Ana": 60.0}, -4, date.max),
    ]
    people = [Person("Ana", float("inf"), date(2027, 2, 1), ((date.max, date.min),)), ANA]
    calendar = plan_calendar(jobs, people, time_limit=1)
    assert {late.piece for late in calendar.late} >= {"B"}
    assert plan_calendar(jobs, [ANA], time_limit=0.0).assigned.keys() >= {"D"}


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
        Job(f"{n}", "", {person.name: minutes for person in people}, drying, first + timedelta(due))
        for n, (minutes, due, drying) in enumerate(plan[0])
    ]
    calendar = plan_calendar(jobs, people, time_limit=10)
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
    for person in people:
        sat = [s for s in calendar.sittings if s.person == person.name]
        (begin, end), *_ = person.away
        assert all(s.day >= person.starts and not begin <= s.day <= end for s in sat)
        for day in {s.day for s in sat}:
            assert sum(s.minutes for s in sat if s.day == day) <= daily_share(person.hours_per_week)
        changes = sum(a.piece != b.piece for a, b in pairwise(sat))
        assert changes == max(0, len({s.piece for s in sat}) - 1)
