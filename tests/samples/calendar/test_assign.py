"""Who knits what: against every assignment and every order of hundreds of small questions."""

from __future__ import annotations

import pytest

from lessonplan.samples.calendar import assign as module
from lessonplan.samples.calendar.assign import Bench, Given, assign
from lessonplan.samples.calendar.evenings import NEVER, Hands, Work
from tests.samples.calendar import by_hand
from tests.samples.calendar.by_hand import Knitter, Piece


def hands_of(knitter: Knitter) -> Hands:
    """The spans of a knitter, from the evenings counted one by one."""
    days = list(knitter.evenings())
    breaks = [n for n in range(1, len(days)) if days[n] != days[n - 1] + 1]
    spans = ((days[a], days[b - 1]) for a, b in zip([0, *breaks], [*breaks, len(days)], strict=True))
    return Hands(knitter.share, tuple(spans) if days else ())


def works_of(pieces: list[Piece]) -> list[Work]:
    return [Work(piece.minutes, piece.by) for piece in pieces]


def solved(pieces: list[Piece], knitters: list[Knitter]) -> Given:
    return assign(works_of(pieces), [hands_of(knitter) for knitter in knitters])


@pytest.mark.parametrize("first", range(20, 140, 20))
def test_in_time_the_start_is_the_latest_and_the_load_the_most_even(first: int) -> None:
    met = 0
    for seed in range(first, first + 20):
        pieces, knitters = by_hand.made_up(seed, tight=False)
        ways = list(by_hand.ways(pieces, len(knitters)))
        good = [who for who in ways if not by_hand.late(who, pieces, knitters)]
        if not good:
            continue
        met += 1
        found = solved(pieces, knitters)
        assert found.who in good, seed
        assert found.by == tuple(piece.by for piece in pieces), seed
        assert found.proven, seed
        starts = {who: by_hand.latest_start(who, pieces, knitters) for who in good}
        start = max(starts.values())
        assert starts[found.who] == start, seed
        even = min(by_hand.unevenness(who, pieces, knitters, start) for who, day in starts.items() if day == start)
        assert by_hand.unevenness(found.who, pieces, knitters, start) <= even + 0.5 + 1e-6, seed
    assert met >= 10


@pytest.mark.parametrize("first", range(0, 240, 20))
def test_late_pieces_are_late_by_the_fewest_days_in_sum(first: int) -> None:
    met = 0
    for seed in range(first, first + 20):
        pieces, knitters = by_hand.made_up(seed, tight=True)
        least = min(by_hand.late(who, pieces, knitters) for who in by_hand.ways(pieces, len(knitters)))
        met += least > 0
        found = solved(pieces, knitters)
        assert sum(found.by) - sum(piece.by for piece in pieces) == least, seed
        promised = [Piece(piece.minutes, day) for piece, day in zip(pieces, found.by, strict=True)]
        assert not by_hand.late(found.who, promised, knitters), seed
        assert all(day >= piece.by for piece, day in zip(pieces, found.by, strict=True)), seed
        if found.proven:
            assert least <= 1, seed
    assert met >= 10


@pytest.mark.parametrize("seed", range(60))
def test_who_has_no_late_piece_starts_as_late_as_those_can(seed: int) -> None:
    pieces, knitters = by_hand.made_up(1000 + seed, tight=True)
    found = solved(pieces, knitters)
    behind = {p for piece, p, day in zip(pieces, found.who, found.by, strict=True) if day > piece.by}
    rest = [n for n, p in enumerate(found.who) if p not in behind]
    if not rest:
        assert behind
        return
    others = [p for p in range(len(knitters)) if p not in behind]
    theirs = [Piece(tuple(pieces[n].minutes[p] for p in others), pieces[n].by) for n in rest]
    hands = [knitters[p] for p in others]
    good = [who for who in by_hand.ways(theirs, len(hands)) if not by_hand.late(who, theirs, hands)]
    now = tuple(others.index(found.who[n]) for n in rest)
    assert by_hand.latest_start(now, theirs, hands) == max(by_hand.latest_start(who, theirs, hands) for who in good)


def test_a_start_that_only_a_better_split_allows() -> None:
    # Two knitters, 20 minutes a day in all, 160 minutes until day 12: 8 days, so day 5, were pieces divisible; by hand,
    # the best split is 47 + 35 = 82 and 22 + 22 + 34 = 78 minutes, which takes 9 days, from day 4.
    bench = Bench([Work((m, m), 12) for m in (47, 22, 35, 22, 34)], [Hands(10, ((1, 99),)), Hands(10, ((1, 99),))])
    found = assign(bench.works, bench.hands)
    assert (bench.first_day(bench.earliest_due()[0]), bench.first_day(found.who), found.proven) == (3, 4, True)


def test_least_total_lateness_is_not_the_earliest_due_first() -> None:
    # By hand: the piece of ten days due on day 1 first makes both others late as well (9 + 9 + 9 days); last, only
    # itself (11 days).
    found = assign([Work((100,), 1), Work((10,), 2), Work((10,), 3)], [Hands(10, ((1, 99),))])
    assert found.by == (12, 2, 3)


def test_a_piece_that_is_late_by_a_day_in_any_way_is_proven() -> None:
    found = assign([Work((25, 28), 2), Work((15, 15), 9)], [Hands(10, ((1, 99),)), Hands(10, ((1, 99),))])
    assert (found.by[0], found.proven) == (3, True)


def test_nothing_fits_before_anybody_starts() -> None:
    bench = Bench([Work((5,), 3)], [Hands(10, ((4, 99),))])
    assert bench.on_time() == (None, True)
    assert Bench([Work((5,), 3), Work((5,), 30)], [Hands(10, ((4, 99),))]).on_time() == (None, True)


def test_who_has_no_days_left_is_the_last_choice() -> None:
    # By hand: the first has four evenings in all and so takes two of the three pieces of two evenings, each once.
    works = [Work((20, 60), 9), Work((20, 60), 9), Work((20, 60), 9)]
    found = assign(works, [Hands(10, ((1, 4),)), Hands(10, ((5, 99),))])
    assert sorted(zip(found.who, found.by, strict=True)) == [(0, 9), (0, 9), (1, 10)]
    assert sorted(assign([Work((20,), 9), Work((30,), 9)], [Hands(10, ((1, 4),))]).by) == [9, NEVER]


def test_a_search_without_a_node_left_still_gives_a_plan_and_does_not_call_it_proven(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    works = [Work((50 + 7 * n, 60 + 5 * n, 70), 40 + n % 3) for n in range(24)]
    hands = [Hands(20, ((1, 999),)), Hands(25, ((1, 999),)), Hands(17, ((1, 999),))]
    best = assign(works, hands)
    monkeypatch.setattr(module, "WORK", 0)
    found = assign(works, hands)
    assert Bench(works, hands).first_day(found.who) > 0
    assert Bench(works, hands).first_day(found.who) <= Bench(works, hands).first_day(best.who)


def test_nothing_to_knit() -> None:
    assert assign([], []) == assign([], [Hands(10, ((1, 99),))]) == Given((), (), True)
