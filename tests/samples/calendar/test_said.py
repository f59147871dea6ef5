"""What is said of knitters, agreements and helpers, and where it must not be said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from lessonplan.samples.calendar.jobs import Job, Person
from lessonplan.samples.calendar.plan import plan_calendar

FIRST, DUE = date(2027, 2, 1), date(2027, 2, 20)
ANA = Person("Ana", 7.0, FIRST)  # an hour a day


def test_knitters_who_cannot_help_are_named() -> None:
    away = ((date(2027, 2, 1), date(2027, 2, 10)), (date(2027, 2, 11), date.max))
    people = [
        ANA,
        Person("Bo", 0, date(2027, 2, 1)),
        Person("Cy", 5, date(2027, 3, 1)),
        Person("Dee", 5, date(2027, 2, 1), away),
    ]
    assert plan_calendar([Job(piece="A", minutes={"Ana": 120.0}, due=DUE)], people).remarks == (
        "Bo has no hours a week and gets no piece.",
        "Cy starts on Mon 1 Mar 2027, after every piece is due.",
        "Dee is away until every piece is due.",
    )


@pytest.mark.parametrize(
    ("knitter", "said"),
    [
        (Person("Bo", 0.0, FIRST), "Bo has no hours a week and gets no piece."),
        (Person("Bo", 5.0, DUE + timedelta(1)), "Bo starts on Sun 21 Feb 2027, after every piece is due."),
        (Person("Bo", 5.0, DUE), ""),
        (Person("Bo", 5.0, FIRST + timedelta(12)), ""),
        (Person("Bo", 5.0, FIRST, ((FIRST, DUE),)), "Bo is away until every piece is due."),
        (Person("Bo", 5.0, FIRST, ((FIRST, DUE - timedelta(1)),)), ""),
        (Person("Bo", 5.0, DUE, ((FIRST, DUE),)), "Bo is away until every piece is due."),
    ],
)
def test_who_gets_no_piece_is_told_only_why_that_is_their_own_doing(knitter: Person, said: str) -> None:
    """One piece is due on the 10th, one on the 20th, and nobody but Ana can knit either."""
    jobs = [Job(piece=name, minutes={"Ana": 60.0}, due=due) for name, due in (("A", date(2027, 2, 10)), ("B", DUE))]
    for some in (jobs, jobs[::-1]):
        assert plan_calendar(some, [ANA, knitter]).remarks == ((said,) if said else ())


def test_who_gets_a_piece_is_told_nothing() -> None:
    """Bo starts after the day as well as Ana, but knits the piece, for nobody else can."""
    jobs = [Job(piece="A", minutes={"Bo": 60.0}, due=FIRST - timedelta(3))]
    calendar = plan_calendar(jobs, [ANA, Person("Bo", 7.0, FIRST)])
    assert (calendar.assigned, calendar.remarks) == (
        {"A": "Bo"},
        ("Ana starts on Mon 1 Feb 2027, after every piece is due.",),
    )


@pytest.mark.parametrize(
    ("starts", "days", "said"),
    [
        (1, None, ""),  # ready on the 10th, as agreed
        (18, None, "Piece A was agreed for Wed 10 Feb 2027 and is ready on Fri 19 Feb 2027."),
        (19, None, "Piece A was agreed for Wed 10 Feb 2027 and is ready on Sat 20 Feb 2027."),
        (20, 1, ""),  # late is told instead
    ],
)
def test_ready_later_than_agreed_is_told_of_what_is_in_time(starts: int, days: int | None, said: str) -> None:
    """Two evenings for the 20th, agreed for the 10th."""
    one = Job(piece="A", minutes={"Ana": 120.0}, due=DUE, agreed=date(2027, 2, 10))
    calendar = plan_calendar([one], [replace(ANA, starts=date(2027, 2, starts))])
    assert calendar.remarks == ((said,) if said else ())
    assert [late.days for late in calendar.late] == ([days] if days else [])
    assert calendar.kept, "the day agreed was asked for, sooner than the shoot wants it"


@pytest.mark.parametrize("starts", [FIRST, DUE + timedelta(100)])
def test_nobody_is_asked_for_more_than_ten_years(starts: date) -> None:
    """An hour each day until ten years (3,653 days) after the day, or after the first day where that is later."""
    last = max(starts, DUE) + timedelta(3653)
    minutes = 60.0 * ((last - starts).days + 1)
    for more, able in ((0, True), (1, False)):
        job = Job(piece="A", minutes={"Ana": minutes + more}, due=DUE)
        calendar = plan_calendar([job], [replace(ANA, starts=starts)])
        assert bool(calendar.assigned) == able
        assert calendar.finished == ({"A": last} if able else {})


@pytest.mark.parametrize("minutes", [-1.0, 1e9, float("inf"), float("nan")])
def test_minutes_that_are_no_number_are_nobodys(minutes: float) -> None:
    """Bo's are none, and so are no pace for one more knitter: the slowest named is Ana's two evenings by the first."""
    job = Job(piece="A", minutes={"Ana": 120.0, "Bo": minutes}, due=FIRST)
    calendar = plan_calendar([job], [ANA, Person("Bo", 7.0, FIRST)])
    assert calendar.assigned == {"A": "Ana"}
    # By the first evening two hours, a seventh of 14 h a week.
    assert calendar.remedies[-1] == (
        "One more knitter with 14 h a week from Mon 1 Feb 2027, at the slowest pace named, would be enough."
    )
    (late,) = plan_calendar([replace(job, minutes={"Ana": minutes})], [ANA]).late
    assert late.sentence == "Nobody can knit piece A: no knitter has a usable number of minutes for it."


def two_of_anas(bo: float) -> list[Job]:
    """An evening and four evenings, both due on Ana's first and hers; Bo would need so many minutes for the second."""
    return [
        Job(piece="A", minutes={"Ana": 60.0, "Bo": 999.0}, due=FIRST, knitter="Ana"),
        Job(piece="B", minutes={"Ana": 240.0, "Bo": bo}, due=FIRST, knitter="Ana"),
    ]


@pytest.mark.parametrize(
    ("bo", "enough", "nearer"),
    [
        (60, ["Giving B to Bo would be enough."], ""),
        (61, [], "Giving B to Bo would leave B late by 1 day, and nothing else."),
        (240, [], "Giving B to Bo would leave B late by 3 days, and nothing else."),  # three of four days
        (241, [], ""),
    ],
)
def test_handing_over_is_told_as_enough_or_where_at_most_three_quarters_are_left(
    bo: float, enough: list[str], nearer: str
) -> None:
    people = [ANA, Person("Bo", 7.0, FIRST)]
    calendar = plan_calendar(two_of_anas(bo), people)
    assert [late.days for late in calendar.late] == [4]
    assert [one for one in calendar.remedies if "Giving" in one] == enough
    assert calendar.nearer == nearer
    # Where nobody can knit one of them, nothing that is given to others is enough.
    never = plan_calendar([*two_of_anas(bo), Job(piece="N", minutes={}, due=DUE)], people)
    assert (never.remedies, never.nearer) == ((), "")


def test_pieces_given_to_one_are_told_by_their_letters() -> None:
    """Given one by one, B saves more days than A; Bo has all day, so that what he knits is done on the first."""
    lengths = {"A": 120.0, "B": 240.0, "C": 60.0}
    jobs = [Job(piece=name, minutes={"Ana": m, "Bo": m}, due=FIRST, knitter="Ana") for name, m in lengths.items()]
    for some in (jobs, jobs[::-1]):
        said = plan_calendar(some, [ANA, Person("Bo", 168.0, FIRST)]).remedies
        assert [one for one in said if "Giving" in one] == ["Giving A and B to Bo would be enough."]


@pytest.mark.parametrize(
    ("agreed", "finished", "kept"),
    [
        # Kept, A of an evening would make B of two a day late for the shoot: what is due goes first.
        (FIRST, {"A": DUE, "B": FIRST + timedelta(1)}, False),
        (FIRST + timedelta(2), {"A": FIRST + timedelta(2), "B": FIRST + timedelta(1)}, True),
    ],
)
def test_a_day_agreed_is_not_kept_where_that_makes_others_late(
    agreed: date, finished: dict[str, date], kept: bool
) -> None:
    jobs = [
        Job(piece="A", minutes={"Ana": 60.0}, due=DUE, agreed=agreed),
        Job(piece="B", minutes={"Ana": 120.0}, due=FIRST + timedelta(1)),
    ]
    for some in (jobs, jobs[::-1]):
        calendar = plan_calendar(some, [ANA])
        assert (calendar.late, calendar.finished, calendar.kept) == ((), finished, kept)


def test_in_time_nothing_is_offered() -> None:
    calendar = plan_calendar([Job(piece="A", minutes={"Ana": 60.0}, due=FIRST, knitter="Ana")], [ANA])
    assert (calendar.late, calendar.remedies, calendar.nearer) == ((), (), "")
