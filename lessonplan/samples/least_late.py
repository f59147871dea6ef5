"""Least total lateness where not everything can be in time: tried out in full for few pieces, improved for many.

For few pieces a table over all sets of pieces is exact (M. Held and R. Karp, "A dynamic programming approach to
sequencing problems", 1962, from memory): the last piece of a person's set ends when the whole set is done, so the
best order of the set is a best order of the rest, and then that piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lessonplan.samples.hands import Hands, Work
from lessonplan.samples.workload import Assignment

MOST_TRIED = 12
"""Up to so many pieces all sets are tried: 3 ** 12 steps for each person."""

_NEVER = 10**9
Ints = NDArray[np.int64]


def tried_out(works: Sequence[Work], hands: Sequence[Hands]) -> Assignment | None:
    """An assignment of least total lateness, for up to ``MOST_TRIED`` works; None when nobody can do some work."""
    size = 1 << len(works)
    inside = _subsets(len(works))
    tables = [_one_person(p, works, hand) for p, hand in enumerate(hands)]
    total: Ints = np.full(size, _NEVER, dtype=np.int64)
    total[0] = 0
    taken: list[Ints] = []
    for late, _ in tables:
        better: Ints = np.full(size, _NEVER, dtype=np.int64)
        mine: Ints = np.zeros(size, dtype=np.int64)
        for mask in np.flatnonzero(late < _NEVER):
            rest = inside[size - 1 - int(mask)]
            new, both = total[rest] + late[mask], rest | mask
            sooner = new < better[both]
            better[both[sooner]], mine[both[sooner]] = new[sooner], mask
        total = better
        taken.append(mine)
    if total[-1] >= _NEVER:
        return None
    who, by = [0] * len(works), [0] * len(works)
    left = size - 1
    for p in reversed(range(len(hands))):
        chosen = int(taken[p][left])
        left -= chosen
        for j, day in _order(chosen, tables[p], len(works)):
            who[j], by[j] = p, max(works[j].by, day)
    return Assignment(tuple(who), tuple(by))


def _subsets(count: int) -> list[Ints]:
    """The subsets of every set, as bit masks."""
    inside: list[Ints] = [np.zeros(1, dtype=np.int64)]
    for mask in range(1, 1 << count):
        low = mask & -mask
        rest = inside[mask ^ low]
        inside.append(np.concatenate((rest, rest | low)))
    return inside


def _one_person(p: int, works: Sequence[Work], hand: Hands) -> tuple[Ints, tuple[Ints, Ints]]:
    """For every set of works: least total lateness, the work that is last then, and the day on which all end."""
    count = len(works)
    size = 1 << count
    minutes: Ints = np.zeros(size, dtype=np.int64)
    for j, work in enumerate(works):
        alone = work.minutes[p]
        minutes[1 << j : 2 << j] = minutes[: 1 << j] + (_NEVER if alone is None else alone)
    ends: Ints = np.array([_end(hand, int(total)) for total in minutes], dtype=np.int64)
    late: Ints = np.full(size, _NEVER, dtype=np.int64)
    late[0] = 0
    last: Ints = np.zeros(size, dtype=np.int64)
    masks = np.arange(size)
    sizes = sum((masks >> j) & 1 for j in range(count))
    for level in range(1, count + 1):
        for j, work in enumerate(works):
            here = masks[(sizes == level) & ((masks >> j) & 1 == 1) & (ends < _NEVER)]
            new = late[here ^ (1 << j)] + np.maximum(0, ends[here] - work.by)
            sooner = here[new < late[here]]
            late[sooner], last[sooner] = new[new < late[here]], j
    return late, (last, ends)


def _end(hand: Hands, minutes: int) -> int:
    end = hand.finish(minutes) if minutes < _NEVER else None
    return _NEVER if end is None else end


def _order(chosen: int, table: tuple[Any, tuple[Ints, Ints]], count: int) -> Iterator[tuple[int, int]]:
    """Each work of a set with the day on which it ends, from the last to the first."""
    _, (last, ends) = table
    for _ in range(count):
        if chosen:
            j = int(last[chosen])
            yield j, int(ends[chosen])
            chosen ^= 1 << j


def improved(start: Assignment, works: Sequence[Work], hands: Sequence[Hands], most: int = 40) -> Assignment:
    """Move single works to other places and persons while that lessens the total lateness, ``most`` times at most."""
    orders = [
        sorted((j for j, q in enumerate(start.who) if q == p), key=lambda j: (start.by[j], j))
        for p in range(len(hands))
    ]
    ends: dict[tuple[int, int], int] = {}

    def late(p: int, order: Sequence[int]) -> int:
        total = days = 0
        for j in order:
            minutes = works[j].minutes[p]
            total += _NEVER if minutes is None else minutes
            if (p, total) not in ends:
                ends[p, total] = _end(hands[p], total)
            days += max(0, ends[p, total] - works[j].by)
        return days

    now = [late(p, order) for p, order in enumerate(orders)]
    for _ in range(most):
        best = (0, -1, -1, 0, 0)
        for p, order in enumerate(orders):
            for j in order:
                without = [i for i in order if i != j]
                gain = now[p] - late(p, without)
                for q, other in enumerate(orders):
                    into = without if q == p else other
                    before = now[p] - gain if q == p else now[q]
                    for k in range(len(into) + 1) if gain else ():
                        change = late(q, [*into[:k], j, *into[k:]]) - before - gain
                        best = min(best, (change, j, p, q, k))
        change, j, p, q, k = best
        if change >= 0:
            break
        orders[p].remove(j)
        orders[q].insert(k, j)
        now[p], now[q] = late(p, orders[p]), late(q, orders[q])
    return _promised(orders, works, hands)


def _promised(orders: Sequence[Sequence[int]], works: Sequence[Work], hands: Sequence[Hands]) -> Assignment:
    who, by = [0] * len(works), [0] * len(works)
    for p, order in enumerate(orders):
        total = 0
        for j in order:
            total += works[j].minutes[p] or 0
            who[j], by[j] = p, max(works[j].by, _end(hands[p], total))
    return Assignment(tuple(who), tuple(by))
