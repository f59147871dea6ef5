"""Lateness spread over many: never worse than where it began, and as small as known answers."""

from __future__ import annotations

import time

import pytest

from lessonplan.samples.calendar import assign as module
from lessonplan.samples.calendar.assign import assign, spread
from lessonplan.samples.calendar.evenings import Hands, Work
from tests.pace import allowed
from tests.samples.calendar import by_hand
from tests.samples.calendar.test_assign import hands_of, works_of


def late(by: list[int], works: list[Work]) -> int:
    return sum(by) - sum(work.by for work in works)


@pytest.mark.parametrize("seed", range(2000, 2060))
def test_from_the_worst_way_too_the_least_is_found(seed: int) -> None:
    pieces, knitters = by_hand.made_up(seed, tight=True)
    ways = {who: by_hand.late(who, pieces, knitters) for who in by_hand.ways(pieces, len(knitters))}
    worst = max(ways, key=lambda who: ways[who])
    works = works_of(pieces)
    who, by = spread(worst, works, [hands_of(knitter) for knitter in knitters])
    assert late(by, works) == min(ways.values()) == ways[tuple(who)]


def test_with_no_time_at_all_the_shortest_go_first() -> None:
    # All due before anybody starts, one knitter: least total lateness is least total of ends, so shortest first
    # (W. E. Smith, "Various optimizers for single-stage production", 1956, from memory), one evening each 60 minutes.
    minutes = [60 * n for n in (7, 3, 9, 1, 5, 8, 2, 6, 4)]
    works = [Work((m,), 0) for m in minutes]
    _, by = spread([0] * 9, works, [Hands(60, ((1, 9999),))])
    assert late(by, works) == sum(n * (10 - n) for n in range(1, 10))
    ends = dict(zip(minutes, by, strict=True))
    assert [ends[60 * n] for n in range(1, 10)] == [1, 3, 6, 10, 15, 21, 28, 36, 45]


def test_equal_pieces_are_shared_evenly() -> None:
    # 12 pieces of one evening each, all due before the first, for three people: each ends on days 1 to 4.
    works = [Work((60, 60, 60), 0)] * 12
    _, by = spread([0] * 12, works, [Hands(60, ((1, 9999),))] * 3)
    assert sorted(by) == [1, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 4]


def many() -> tuple[list[Work], list[Hands]]:
    """420 pieces for one knitter, all but the first few late."""
    return [Work((30 + 37 * n % 271,), 30 + n % 4) for n in range(420)], [Hands(43, ((1, 999_999),))]


def test_hundreds_of_late_pieces_take_seconds() -> None:
    # Measured 0.8 s; without a bound on the work it was a minute. Shortest first is all but the best when all are late.
    works, hands = many()
    began = time.process_time()
    found = assign(works, hands)
    assert time.process_time() - began < allowed(15)
    order = sorted(works, key=lambda work: (work.minutes[0] or 0, work.by))
    shortest_first, total = 0, 0
    for work in order:
        total += work.minutes[0] or 0
        shortest_first += max(0, hands[0].day(total - 1) - work.by)
    assert late(list(found.by), works) <= 1.001 * shortest_first


def test_the_work_is_bounded_and_the_answer_always_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    works, hands = many()
    monkeypatch.setattr(module, "STEPS", 0)
    who, by = spread([0] * len(works), works, hands)
    assert set(who) == {0}
    first = late(by, works)
    monkeypatch.setattr(module, "STEPS", 800)
    tried = []
    places = module._Search.places
    monkeypatch.setattr(module._Search, "places", lambda *args: tried.append(1) or places(*args))  # type: ignore[func-returns-value]
    assert late(spread([0] * len(works), works, hands)[1], works) < first
    assert len(tried) < 800 + len(works)
