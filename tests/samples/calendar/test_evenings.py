"""A person's line of minutes, against days counted one by one; and evenings as a person would have them."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from datetime import date, timedelta

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.samples.calendar.evenings import (
    NEVER,
    SHORT,
    Hands,
    backwards,
    daily_share,
    evenings,
    hands_of,
    work_of,
)
from lessonplan.samples.calendar.jobs import Job, Person

FIRST = date(2027, 2, 1)
DAY = FIRST.toordinal()
HANDS = Hands(60, ((100, 103), (106, 999)))


def test_a_week_is_shared_evenly_in_whole_minutes() -> None:
    # 5 h are 300 min, a seventh 42.86; 7 h an hour a day; a week has 168 hours and a day 1,440 minutes.
    assert [daily_share(hours) for hours in (0, -1, float("nan"), 0.01, 5, 7, 400)] == [0, 0, 0, 1, 43, 60, 1440]


@given(
    st.integers(0, 9),
    st.lists(st.tuples(st.integers(0, 25), st.integers(0, 25)), max_size=4),
    st.sampled_from([0.0, 0.7, 5.0, 7.0]),
)
@settings(deadline=None)
def test_the_line_of_minutes_skips_the_days_away(starts: int, away: list[tuple[int, int]], hours: float) -> None:
    periods = tuple((FIRST + timedelta(a), FIRST + timedelta(b)) for a, b in away)
    hands = hands_of(Person("Ana", hours, FIRST + timedelta(starts), periods))
    gone = {day for a, b in away for day in range(min(a, b), max(a, b) + 1)}
    free = [DAY + day for day in range(starts, 60) if day not in gone]
    for day in range(-3, 60):
        assert hands.until(DAY + day) == hands.share * sum(one <= DAY + day for one in free)
    for minute in range(0, 20 * hands.share, 7):
        assert hands.day(minute) == free[minute // hands.share]
    if not hours:
        assert hands.day(0) == NEVER


def test_after_the_last_day_there_is_none() -> None:
    hands = hands_of(Person("Ana", 7.0, FIRST, ((FIRST + timedelta(2), date.max),)))
    assert (hands.day(119), hands.day(120), hands.until(DAY + 900)) == (DAY + 1, NEVER, 120)
    assert hands_of(Person("Bo", 7.0, FIRST, ((date.min, date.max),))).day(0) == NEVER


@pytest.mark.parametrize(("drying", "days"), [(0, 0), (-4, 0), (1, 1), (1440, 1), (1441, 2), (float("nan"), 0)])
def test_drying_takes_whole_days_off(drying: float, days: int) -> None:
    job = Job(piece="A", minutes={"Ana": 30.0}, due=FIRST, drying=drying)
    assert work_of(job, [Person("Ana", 7.0, FIRST)]).by == DAY - days


def test_minutes_are_whole_and_odd_ones_are_nobodys() -> None:
    people = [Person(name, hours, FIRST) for name, hours in (("Ana", 5.0), ("Bo", 5.0), ("Cy", 5.0), ("Dee", 0.0))]
    job = Job(piece="A", minutes={"Ana": 30.6, "Bo": float("inf"), "Dee": 30.0}, due=FIRST)
    assert work_of(job, people).minutes == (31, None, None, None)
    assert work_of(Job(piece="B", minutes={"Ana": 30.4, "Bo": 1e-9, "Cy": -3.0}, due=FIRST), people).minutes[:3] == (
        30,
        1,
        None,
    )


def test_a_piece_stays_with_the_knitter_agreed_if_that_one_can_knit_it() -> None:
    people = [Person("Ana", 5.0, FIRST), Person("Bo", 5.0, FIRST)]
    minutes = {"Ana": 30.0, "Bo": 40.0}
    assert work_of(Job(piece="A", minutes=minutes, due=FIRST, knitter="Bo"), people).minutes == (None, 40)
    assert work_of(Job(piece="A", minutes=minutes, due=FIRST, knitter="Cy"), people).minutes == (30, 40)
    assert work_of(Job(piece="A", minutes={"Ana": 30.0}, due=FIRST, knitter="Bo"), people).minutes == (30, None)


mine = st.lists(st.tuples(st.integers(1, 200), st.integers(0, 20)), min_size=1, max_size=4)


@given(mine, st.sampled_from([30, 47]))
@settings(max_examples=150, deadline=None)
def test_backwards_starts_as_late_as_any_order_can(pieces: list[tuple[int, int]], share: int) -> None:
    hands = Hands(share, ((DAY, DAY + 2), (DAY + 5, DAY + 90)))

    def latest(order: tuple[tuple[int, int], ...]) -> int:
        """The last minute at which an order can begin, found by laying it from behind."""
        begin = 10**6
        for minutes, by in reversed(order):
            begin = min(begin, hands.until(DAY + by)) - minutes
        return begin

    best = max(latest(order) for order in itertools.permutations(pieces))
    laid = backwards([(j, ((minutes, 0),), DAY + by) for j, (minutes, by) in enumerate(pieces)], hands)
    if laid is None:
        assert best < 0
        return
    assert laid[0][1] == best
    assert [begin for _, begin, _ in laid[1:]] >= [end for *_, end in laid[:-1]]
    for j, begin, end in laid:
        assert end - begin == pieces[j][0]
        assert end <= hands.until(DAY + pieces[j][1])


def sat(*laid: tuple[int, int, int], late: tuple[int, ...] = (), hands: Hands = HANDS) -> list[tuple[int, int, int]]:
    return list(evenings(laid, hands, late))


def test_a_piece_is_cut_into_the_evenings_it_takes() -> None:
    assert sat((0, 0, 150)) == [(0, 100, 60), (0, 101, 60), (0, 102, 30)]
    assert sat((0, 210, 300)) == [(0, 103, 30), (0, 106, 60)]


def test_nobody_begins_a_piece_for_less_than_ten_minutes() -> None:
    # The second piece would be begun with 9 minutes on day 100: it begins on day 101, which is so much longer.
    assert sat((0, 0, 51), (1, 51, 111)) == [(0, 100, 51), (1, 101, 60)]
    assert sat((0, 0, 51), (1, 51, 150)) == [(0, 100, 51), (1, 101, 69), (1, 102, 30)]
    assert sat((0, 0, 50), (1, 50, 150)) == [(0, 100, 50), (1, 100, 10), (1, 101, 60), (1, 102, 30)]
    # It does not matter how many days lie between the two evenings.
    assert sat((0, 180, 239), (1, 239, 280)) == [(0, 103, 59), (1, 106, 41)]


def test_a_piece_that_lacks_less_than_ten_minutes_is_finished_the_evening_before() -> None:
    assert sat((0, 0, 129), (1, 129, 180)) == [(0, 100, 60), (0, 101, 69), (1, 102, 51)]
    assert sat((0, 0, 130)) == [(0, 100, 60), (0, 101, 60), (0, 102, 10)]
    # Also where that evening has another piece already: 30 minutes of it, 30 of this one, and 5 more.
    assert sat((0, 0, 30), (1, 30, 65)) == [(0, 100, 30), (1, 100, 35)]


def test_a_late_piece_is_not_finished_sooner_but_may_be_begun_later() -> None:
    assert sat((0, 55, 125), late=(0,)) == [(0, 101, 65), (0, 102, 5)]


def test_an_evening_is_never_ten_minutes_longer() -> None:
    # Begun late by 5 minutes, that evening has 65 already; 5 more would be 70.
    assert sat((0, 55, 125)) == [(0, 101, 65), (0, 102, 5)]
    assert sat((0, 56, 125)) == [(0, 101, 69)]


def test_what_another_piece_takes_of_the_evening_counts() -> None:
    # The first is begun a day late: 45 minutes of day 101. 20 of the second make 65, and its last 5 would make 70.
    assert sat((0, 55, 100), (1, 100, 125)) == [(0, 101, 45), (1, 101, 20), (1, 102, 5)]
    assert sat((0, 55, 100), (1, 100, 124)) == [(0, 101, 45), (1, 101, 24)]


def test_a_short_piece_is_one_sitting_however_short() -> None:
    assert sat((0, 0, 6), (1, 6, 12)) == [(0, 100, 6), (1, 100, 6)]


def test_who_knits_a_few_minutes_a_day_keeps_to_them() -> None:
    hands = Hands(4, ((100, 199),))
    assert sat((0, 0, 12), hands=hands) == [(0, 100, 4), (0, 101, 4), (0, 102, 4)]
    assert sat((0, 3, 12), hands=hands) == [(0, 101, 5), (0, 102, 4)]


@given(st.lists(st.tuples(st.integers(0, 80), st.integers(1, 300)), min_size=1, max_size=8), st.integers(3, 90))
@settings(max_examples=300, deadline=None)
def test_sittings_lose_no_minute_and_keep_the_order(pieces: list[tuple[int, int]], share: int) -> None:
    hands = Hands(share, ((DAY, DAY + 3), (DAY + 7, DAY + 9999)))
    laid, free = [], 0
    for j, (gap, minutes) in enumerate(pieces):
        laid.append((j, free + gap, free + gap + minutes))
        free += gap + minutes
    got = list(evenings(laid, hands))
    assert [j for j, _ in itertools.groupby(got, key=lambda one: one[0])] == list(range(len(pieces)))
    assert [day for _, day, _ in got] == sorted(day for _, day, _ in got)
    total: Callable[[Callable[[tuple[int, int, int]], bool]], int] = lambda which: sum(  # noqa: E731
        one[2] for one in got if which(one)
    )
    for j, begin, end in laid:
        mine = [one for one in got if one[0] == j]
        assert total(lambda one, j=j: one[0] == j) == end - begin  # type: ignore[misc]
        assert mine[0][1] >= hands.day(begin)
        assert mine[-1][1] <= hands.day(end - 1)
        if share >= SHORT:
            assert len(mine) == 1 or mine[0][2] >= SHORT
    for day in {day for _, day, _ in got}:
        assert total(lambda one, day=day: one[1] == day) < share + SHORT  # type: ignore[misc]
        assert hands.until(day) > hands.until(day - 1)
