"""The assignment against every assignment and every order of small instances."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonplan.samples import assignment
from lessonplan.samples.assignment import EVEN_TO, Clock, assign, greedy
from lessonplan.samples.hands import Hands, Work, backwards, forwards, jobs_of, merged
from lessonplan.samples.least_late import improved
from lessonplan.samples.repair import repair

FAR = 200


def free_days(hand: Hands) -> list[int]:
    return [d for d in range(hand.starts, FAR) if not any(a <= d <= b for a, b in hand.away)]


def end_of(minutes: int, hand: Hands) -> int:
    """Day on which so many minutes are done, counted day by day."""
    return free_days(hand)[math.ceil(minutes / hand.share) - 1]


def late_in_best_order(p: int, mine: Sequence[int], works: Sequence[Work], hand: Hands) -> int:
    """Least total lateness of one person's pieces, by trying every order."""
    least = FAR * len(works)
    for order in itertools.permutations(mine):
        total = late = 0
        for j in order:
            total += works[j].minutes[p] or 0
            late += max(0, end_of(total, hand) - works[j].by)
        least = min(least, late)
    return least


def late_of_each(works: Sequence[Work], hands: Sequence[Hands]) -> Iterator[tuple[tuple[int, ...], int]]:
    """Every assignment with its least total lateness."""

    @cache
    def late(p: int, mine: tuple[int, ...]) -> int:
        return late_in_best_order(p, mine, works, hands[p])

    for who in itertools.product(range(len(hands)), repeat=len(works)):
        if all(works[j].minutes[p] is not None for j, p in enumerate(who)):
            sets = [tuple(j for j, q in enumerate(who) if q == p) for p in range(len(hands))]
            yield who, sum(late(p, mine) for p, mine in enumerate(sets))


def unevenness(who: Sequence[int], works: Sequence[Work], hands: Sequence[Hands], start: int, last: int) -> float:
    shares = [
        sum(minutes for _, minutes, _ in jobs_of(p, who, [0] * len(works), works)) / hand.share
        for p, hand in enumerate(hands)
        if any(start <= day <= last for day in free_days(hand))
    ]
    return 2 * max(shares) - min(shares)


@st.composite
def instances(draw: Callable[..., int], tight: bool) -> tuple[list[Work], list[Hands]]:
    """Up to four pieces and three persons; a person who cannot knit a piece now and then."""
    some = st.integers
    hands = []
    for _ in range(draw(some(1, 3))):
        first = draw(some(1, 10))
        away = merged([(first, first + draw(some(0, 3)))]) if draw(st.booleans()) else ()
        hands.append(Hands(draw(some(10, 30)), draw(some(1, 5)), away))
    works = []
    for _ in range(draw(some(1, 4))):
        minutes: list[int | None] = [draw(some(5, 90)) for _ in hands]
        if len(hands) > 1 and draw(some(0, 4)) == 0:
            minutes[draw(some(0, len(hands) - 1))] = None
        works.append(Work(tuple(minutes), draw(some(1, 8) if tight else some(8, 20))))
    return works, hands


@given(st.booleans().flatmap(lambda tight: instances(tight)))
@settings(max_examples=60, deadline=None)
def test_equal_to_trying_everything(instance: tuple[list[Work], list[Hands]]) -> None:
    works, hands = instance
    found = assign(works, hands, Clock(30))
    assert found.optimal
    least = min(late for _, late in late_of_each(works, hands))
    assert (found.late(works), found.bound) == (least, least)
    promised = [Work(work.minutes, day) for work, day in zip(works, found.by, strict=True)]
    start = max(
        day
        for day in range(1, FAR // 4)
        if not min(late for _, late in late_of_each(promised, [hand.from_day(day) for hand in hands]))
    )
    assert found.start(works, hands) == start
    later, last = [hand.from_day(start) for hand in hands], max(found.by)
    even = min(unevenness(who, works, hands, start, last) for who, late in late_of_each(promised, later) if not late)
    assert unevenness(found.who, works, hands, start, last) <= even + EVEN_TO + 1e-6


@given(instances(True))
@settings(max_examples=40, deadline=None)
def test_the_program_finds_the_least_lateness_too(instance: tuple[list[Work], list[Hands]]) -> None:
    works, hands = instance
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(assignment, "MOST_TRIED", 0)
        found = assign(works, hands, Clock(30))
    least = min(late for _, late in late_of_each(works, hands))
    assert (found.late(works), found.bound, found.optimal) == (least, least, True)


@given(instances(True))
@settings(max_examples=40, deadline=None)
def test_moving_works_never_makes_it_later(instance: tuple[list[Work], list[Hands]]) -> None:
    works, hands = instance
    quick = greedy(works, hands)
    assert quick is not None
    better = improved(quick, works, hands)
    assert min(late for _, late in late_of_each(works, hands)) <= better.late(works) <= quick.late(works)
    assert better.start(works, hands) is not None


def test_a_start_that_only_a_better_split_allows() -> None:
    # Two persons, 20 minutes a day in all, 160 minutes until day 12: 8 days, so day 5, were pieces divisible; by hand,
    # the best split is 47 + 35 = 82 and 22 + 22 + 34 = 78 minutes, which takes 9 days, from day 4.
    works = [Work((minutes, minutes), 12) for minutes in (47, 22, 35, 22, 34)]
    hands = [Hands(10, 1), Hands(10, 1)]
    found = assign(works, hands, Clock(20))
    quick = greedy(works, hands)
    assert quick is not None
    assert (quick.start(works, hands), found.start(works, hands), found.optimal) == (3, 4, True)


@given(instances(False), st.integers(0, 6))
@settings(max_examples=80, deadline=None)
def test_backwards_fits_when_some_order_does_and_starts_latest(
    instance: tuple[list[Work], list[Hands]], sooner: int
) -> None:
    works, (hand, *_) = instance
    works = [Work(work.minutes, max(1, work.by - sooner)) for work in works if work.minutes[0] is not None]
    mine = range(len(works))
    laid = backwards([(j, works[j].minutes[0] or 0, works[j].by) for j in mine], hand)
    starts = [day for day in range(hand.starts, 25) if not late_in_best_order(0, mine, works, hand.from_day(day))]
    if laid is None:
        assert starts == []
    elif works:
        assert laid[0][1] == max(starts)
        assert [sum(m for i, _, m in laid if i == j) for j in mine] == [work.minutes[0] for work in works]
        days = [day for _, day, _ in laid]
        assert days == sorted(days)
        assert all(sum(m for _, d, m in laid if d == day) <= hand.share for day in days)
        assert set(days) <= set(free_days(hand))
        assert all(day <= works[j].by for j, day, _ in laid)
        assert len([j for j, _ in itertools.groupby(laid, key=lambda one: one[0])]) == len(works)


def test_jacksons_rule_on_a_worked_example() -> None:
    # Earliest due first for the least greatest lateness (Jackson 1955); the figures are worked out by hand here:
    # 6 + 2 + 3 + 2 days due on days 18, 6, 9, 11 end on 13, 2, 5 and 7, so nothing is late.
    hand = Hands(60, 1)
    jobs = [(0, 360, 18), (1, 120, 6), (2, 180, 9), (3, 120, 11)]
    ends = {j: day for j, day, _ in forwards(jobs, hand)}
    assert ends == {0: 13, 1: 2, 2: 5, 3: 7}


def test_least_total_lateness_is_not_the_earliest_due_first() -> None:
    # By hand: the piece of ten days due on day 1 first makes both others late as well (9 + 9 + 9 days); last, only
    # itself (11 days).
    works = [Work((100,), 1), Work((10,), 2), Work((10,), 3)]
    found = assign(works, [Hands(10, 1)], Clock(10))
    assert (found.late(works), found.optimal) == (11, True)


def test_away_days_and_overlapping_periods() -> None:
    assert merged([(5, 7), (3, 4), (10, 9)]) == ((3, 7), (9, 10))
    hand = Hands(10, 4, merged([(5, 7), (3, 4), (10, 9)]))
    assert [hand.days(1, day) for day in (4, 7, 8, 10, 11)] == [0, 0, 1, 1, 2]
    assert (hand.finish(10), hand.finish(11), hand.back(7), hand.on(3)) == (8, 11, 2, 8)


@given(instances(False))
@settings(max_examples=40, deadline=None)
def test_repair_gives_only_what_fits(instance: tuple[list[Work], list[Hands]]) -> None:
    works, hands = instance
    by = [work.by for work in works]
    who = repair([next(p for p, m in enumerate(work.minutes) if m is not None) for work in works], by, works, hands)
    if who is not None:
        assert all(works[j].minutes[p] is not None for j, p in enumerate(who))
        assert all(backwards(jobs_of(p, who, by, works), hand) is not None for p, hand in enumerate(hands))
    else:
        assert len(hands) == 1 or min(late for _, late in late_of_each(works, hands)) > 0


def test_no_time_gives_an_answer_that_is_not_called_proven() -> None:
    works = [Work((50 + 7 * n, 60 + 5 * n), 6 + n % 3) for n in range(14)]
    hands = [Hands(20, 1), Hands(25, 1)]
    found = assign(works, hands, Clock(0))
    assert not found.optimal
    assert found.start(works, hands) is not None
    assert found.bound <= assign(works, hands, Clock(2)).late(works) <= found.late(works)


def test_too_many_columns_give_an_answer_that_is_not_called_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(assignment, "MOST_COLUMNS", 1)
    monkeypatch.setattr(assignment, "MOST_TRIED", 0)
    works = [Work((50, 50), 2), Work((50, 60), 2), Work((30, 30), 3)]
    found = assign(works, [Hands(20, 1), Hands(20, 1)], Clock(10))
    assert not found.optimal
    assert found.late(works) >= found.bound


def test_nothing_to_knit() -> None:
    assert assign([], [], Clock(1)).who == ()
