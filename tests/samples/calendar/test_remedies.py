"""Each remedy is tried: with it nothing is late, with half a step less something still is."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.samples.calendar.jobs import Job, Pause, Person
from lessonplan.samples.calendar.plan import plan_calendar
from tests.samples.calendar import by_hand
from tests.samples.calendar.by_hand import Knitter, Piece

FIRST = date(2027, 2, 1)
BEGIN = FIRST.toordinal() - 100
People = list[Person]


def person(name: str, hours: float, starts: int = 0, away: tuple[tuple[date, date], ...] = ()) -> Person:
    return Person(name, hours, FIRST + timedelta(starts), away)


def job(piece: str, minutes: float, due: int) -> Job:
    paces = {"Ana": minutes, "Bo": 1.25 * minutes, "New": 1.25 * minutes}
    return Job(piece=piece, minutes=paces, due=FIRST + timedelta(due))


def late(jobs: list[Job], people: People) -> bool:
    """Whether something is late in every way there is, tried out evening by evening (an evening: a week's seventh)."""
    there = [one for one in people if one.hours_per_week > 0]
    knitters = [
        Knitter(
            math.floor(one.hours_per_week * 60 / 7 + 0.5),
            one.starts.toordinal() - BEGIN,
            tuple((first.toordinal() - BEGIN, last.toordinal() - BEGIN) for first, last in one.away),
        )
        for one in there
    ]
    pieces = [
        Piece(tuple(max(1, round(one.minutes[name.name])) for name in there), one.due.toordinal() - BEGIN)
        for one in jobs
    ]
    return all(by_hand.late(who, pieces, knitters) for who in by_hand.ways(pieces, len(knitters)))


def later(jobs: list[Job], days: int) -> list[Job]:
    return [replace(one, due=one.due + timedelta(days)) for one in jobs]


def earlier(people: People, names: str, days: int) -> People:
    return [replace(p, starts=p.starts - timedelta(days)) if names in ("Everybody", p.name) else p for p in people]


def hours(people: People, name: str, wanted: float) -> People:
    return [replace(p, hours_per_week=wanted) if p.name == name else p for p in people]


def tried(sentence: str, jobs: list[Job], people: People) -> tuple[bool, bool]:
    """Whether anything is late with a remedy, and with a little less of it."""
    if found := re.match(r"Filming (\d+) days? later", sentence):
        days = int(found[1])
        return late(later(jobs, days), people), late(later(jobs, days - 1), people)
    if found := re.match(r"(\w+) starting (\d+) days? earlier", sentence):
        days = int(found[2])
        return late(jobs, earlier(people, found[1], days)), late(jobs, earlier(people, found[1], days - 1))
    if found := re.match(r"(\w+) knitting ([\d.]+) h a week", sentence):
        most = float(found[2])
        return late(jobs, hours(people, found[1], most)), late(jobs, hours(people, found[1], most - 0.5))
    found = re.match(r"One more knitter with ([\d.]+) h a week", sentence)
    assert found is not None, sentence
    first = min(p.starts for p in people)
    more: Callable[[float], People] = lambda most: [*people, Person("New", most, first)]  # noqa: E731
    return late(jobs, more(float(found[1]))), late(jobs, more(float(found[1]) - 0.5))


@given(
    st.lists(st.tuples(st.integers(100, 500), st.integers(6, 14)), min_size=2, max_size=4),
    st.tuples(st.sampled_from([0.0, 2.0, 5.0, 7.5]), st.integers(0, 5)),
    st.tuples(st.sampled_from([0.0, 3.0, 4.0]), st.integers(0, 5)),
)
@settings(max_examples=15, deadline=None)
def test_every_remedy_is_enough_and_the_smallest(
    pieces: list[tuple[int, int]], ana: tuple[float, int], bo: tuple[float, int]
) -> None:
    jobs = [job("ABCD"[n], minutes, due) for n, (minutes, due) in enumerate(pieces)]
    people = [person("Ana", *ana), person("Bo", *bo, ((FIRST + timedelta(3), FIRST + timedelta(4)),))]
    for sentence in plan_calendar(jobs, people).remedies:
        assert tried(sentence, jobs, people) == (False, True), sentence


def test_all_sorts_of_remedy_are_offered() -> None:
    # By hand: in seven days Ana has 420 minutes and Bo 210. Ana alone needs 540 for both pieces, nine days or 78
    # minutes on each of seven; Bo needs 300 for piece B, ten days or 43 minutes on each of seven.
    jobs, people = [job("A", 300, 6), job("B", 240, 6)], [person("Ana", 7), person("Bo", 3.5)]
    assert plan_calendar(jobs, people, spare=2).remedies == (
        "2 days fewer to spare (0 instead of 2) would be enough.",
        "Ana starting 2 days earlier, on Sat 30 Jan 2027, would be enough.",
        "Bo starting 3 days earlier, on Fri 29 Jan 2027, would be enough.",
        "Bo knitting 5 h a week instead of 3.5 h would be enough.",
        "Ana knitting 9.5 h a week instead of 7 h would be enough.",
        "One more knitter with 5 h a week from Mon 1 Feb 2027, at the slowest pace named, would be enough.",
    )


@pytest.mark.parametrize(
    ("spare", "said"),
    [
        (0, "Filming 2 days later would be enough."),
        (1, "Filming 2 days later, or 1 day later with none to spare, would be enough."),
        (2, "2 days fewer to spare (0 instead of 2) would be enough."),
        (5, "2 days fewer to spare (3 instead of 5) would be enough."),
    ],
)
def test_days_to_spare_are_used_up_before_the_shoot_is_moved(spare: int, said: str) -> None:
    assert plan_calendar([job("A", 300, 2)], [person("Ana", 7)], spare=spare).remedies[0] == said


def test_fewer_days_than_the_latest_piece_is_late_are_explained() -> None:
    # By hand: nine evenings of knitting due on day 2, the first evening being day 0. Least days late in sum: A (an
    # evening) and B (two) in time, C (six evenings) on day 8, so six late. Moved by six days all are in time, and by
    # no fewer: that needs no word. With D, of three evenings, due on day 6 as well: A, B, D and then C on day 11 are
    # nine late in sum; six days later D may wait until day 12, so C first and D last are both in time.
    jobs = [job("A", 60, 2), job("B", 120, 2), job("C", 360, 2)]
    assert plan_calendar(jobs, [person("Ana", 7)]).remedies[0] == "Filming 6 days later would be enough."
    calendar = plan_calendar([*jobs, job("D", 180, 6)], [person("Ana", 7)])
    assert [(one.piece, one.days) for one in calendar.late] == [("C", 9)]
    assert calendar.remedies[0] == "Filming 6 days later would be enough, with the pieces given out anew."


def test_nobody_is_named_for_a_piece_agreed_with_another() -> None:
    # Four hours for four evenings of Ana's that are agreed: nobody but Ana can mend it, and no new knitter.
    jobs = [replace(job("A", 300, 3), knitter="Ana"), job("B", 60, 9)]
    assert plan_calendar(jobs, [person("Ana", 7), person("Bo", 7)]).remedies == (
        "Filming 1 day later would be enough.",
        "Ana starting 1 day earlier, on Sun 31 Jan 2027, would be enough.",
        "Ana knitting 9 h a week instead of 7 h would be enough.",
    )


def test_three_knitters_are_named_with_the_smallest_changes() -> None:
    people = [person(name, hours) for name, hours in (("Ana", 3), ("Bo", 4), ("Cy", 5), ("Dee", 6), ("Eve", 3.5))]
    jobs = [Job(piece=f"{n}", minutes={one.name: 150.0 for one in people}, due=FIRST + timedelta(5)) for n in range(8)]
    # By hand: in six evenings Dee has time for two pieces and everybody else for one, so two more are wanted of one of
    # them. Three pieces are 75 minutes an evening, which is 9 h a week, and four (Dee) 100, which is 12 h.
    named = [said for said in plan_calendar(jobs, people).remedies if "a week instead" in said]
    assert named == [
        "Cy knitting 9 h a week instead of 5 h would be enough.",
        "Bo knitting 9 h a week instead of 4 h would be enough.",
        "Eve knitting 9 h a week instead of 3.5 h would be enough.",
    ]


def test_everybody_is_asked_only_when_that_is_less_than_one_alone() -> None:
    jobs = [job("A", 360, 4), job("B", 288, 4)]
    people = [person("Ana", 7), person("Bo", 7)]
    earlier_ones = [remedy for remedy in plan_calendar(jobs, people).remedies if "earlier" in remedy]
    assert earlier_ones[0] == "Everybody starting 1 day earlier would be enough."
    assert len(earlier_ones) == 3


def test_more_than_forty_hours_a_week_are_not_suggested() -> None:
    remedies = plan_calendar([job("A", 1200, 1)], [person("Ana", 7)]).remedies
    assert not any("h a week" in remedy for remedy in remedies)
    assert remedies[0] == "Filming 18 days later would be enough."


def test_a_knitter_with_no_hours_could_have_some() -> None:
    assert plan_calendar([job("A", 60, 6)], [person("Ana", 0)]).remedies == (
        "Ana knitting 1 h a week instead of 0 h would be enough.",
        "One more knitter with 1 h a week from Mon 1 Feb 2027, at the slowest pace named, would be enough.",
    )


def test_without_any_knitter_there_is_one_remedy() -> None:
    assert plan_calendar([job("A", 60, 6)], []).remedies == ("Name at least one knitter with hours a week.",)


def test_no_later_day_helps_a_piece_that_nobody_can_knit() -> None:
    for others in ([], [job("A", 600, 1)], [job("A", 600, 1), job("B", 600, 30)]):
        calendar = plan_calendar([*others, Job(piece="N", minutes={}, due=FIRST + timedelta(6))], [person("Ana", 7.0)])
        assert "N" in {one.piece for one in calendar.late}
        assert not [one for one in calendar.remedies if "Filming" in one or "fewer to spare" in one]


def test_no_more_days_are_asked_for_than_planning_needs() -> None:
    """Ana has an hour each evening, Bo half an hour. Filmed five days later, A is due on day 3: Ana knits 45 minutes of
    it on day 0 and 45 on day 2, B in between and beside it. Looked at as one go with its days to dry, it asks for six.
    """
    people = [person("Ana", 7.0), person("Bo", 3.5)]
    jobs = [job("A", 90, -2), job("B", 90, -1), job("C", 30, 3)]
    dries = replace(jobs[0], pauses=(Pause({"Ana": 45.0, "Bo": 56.25, "New": 56.25}, 1440.0),))
    jobs = [dries, *jobs[1:]]
    assert plan_calendar(jobs, people).remedies[0].startswith("Filming 5 days later would be enough")
    assert not plan_calendar(later(jobs, 5), people).late
    assert plan_calendar(later(jobs, 4), people).late


def with_ana(pieces: str, minutes: float = 300, due: int = 6) -> list[Job]:
    return [replace(job(piece, minutes, due), knitter="Ana") for piece in pieces]


def test_a_piece_given_to_another_knitter_is_offered_first() -> None:
    # By hand: seven evenings of an hour by day 6. Ana alone needs ten for A and B; Bo needs 375 min for one: seven.
    people = [person("Ana", 7), person("Bo", 7)]
    calendar = plan_calendar(with_ana("AB"), people)
    assert (calendar.remedies[0], calendar.nearer) == ("Giving A to Bo would be enough.", "")
    # What is begun stays with its knitter, and who has no time is given nothing.
    begun = [replace(one, begun=True) for one in with_ana("AB")]
    for jobs, there in ((begun, people), (with_ana("AB"), [person("Ana", 7), person("Bo", 0)])):
        assert not [said for said in plan_calendar(jobs, there).remedies if said.startswith("Giving")]


def test_what_helps_much_and_is_not_enough_is_told_apart() -> None:
    # By hand: Ana's three end on days 4, 9 and 14, so 3 and 8 days late. With one at Bo's, done on day 6, one is left
    # late by 3; with two there, these would end on days 6 and 12, and that one late by 6.
    people = [person("Ana", 7), person("Bo", 7)]
    calendar = plan_calendar(with_ana("ABC"), people)
    assert calendar.nearer == "Giving A to Bo would leave C late by 3 days, and nothing else."
    assert not [said for said in calendar.remedies if said.startswith("Giving")]


def test_what_helps_a_little_is_not_told() -> None:
    # Bo has half an hour: 375 minutes of one end on day 12, six days late, and Ana's other two on days 4 and 9, three
    # late. That makes nine days late for eleven, which is more than three quarters.
    calendar = plan_calendar(with_ana("ABC"), [person("Ana", 7), person("Bo", 3.5)])
    assert calendar.nearer == ""
    assert not [said for said in calendar.remedies if said.startswith("Giving")]


def test_nobody_is_asked_to_start_before_today() -> None:
    # Five evenings are wanted by day 3: a day earlier would do, and is over when today is day 0.
    jobs = [job("A", 300, 3)]
    for now, asked in ((-1, ["Ana starting 1 day earlier, on Sun 31 Jan 2027, would be enough."]), (0, [])):
        people = [replace(person("Ana", 7), now=FIRST + timedelta(now))]
        assert [said for said in plan_calendar(jobs, people).remedies if "earlier" in said] == asked


def test_nobody_is_asked_to_start_more_than_sixty_days_earlier() -> None:
    # By day 3 there are four evenings from day 0 on, one more for each day earlier.
    for evenings, days in ((64, 60), (65, None)):
        said = plan_calendar([job("A", 60 * evenings, 3)], [person("Ana", 7)]).remedies
        start = f"Ana starting {days} days earlier, on Thu 3 Dec 2026, would be enough."
        assert [one for one in said if "earlier" in one] == ([start] if days else [])


def test_no_later_day_is_named_than_a_calendar_has() -> None:
    jobs = [replace(job("A", 300, 0), due=date.max)]
    people = [replace(person("Ana", 7), starts=date.max - timedelta(3), now=date.max - timedelta(3))]
    assert [one for one in plan_calendar(jobs, people).remedies if "Filming" in one or "earlier" in one] == []
