"""Where not everything can be in time: the lateness spread so that it is least in sum, by trying moves.

The sum of lateness over several people has no short way to the proven least (it is hard even for one: J. Du and
J. Y.-T. Leung, "Minimizing total tardiness on one machine is NP-hard", 1990, from memory), and nobody needs the proof.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lessonplan.samples.calendar.evenings import NEVER, Hands, Work

STEPS, STEPS_EACH = 10_000, 600
"""So often all places in one person's order are tried: in all, and for each work that there is."""

SHAKEN = 4
"""So many pieces are put anywhere when no single move helps."""

Ints = NDArray[np.int64]


def spread(who: Sequence[int], works: Sequence[Work], hands: Sequence[Hands]) -> tuple[list[int], list[int]]:
    """Who does each work and the day it will be done by, from any assignment: the least days late that were found."""
    orders = [sorted((j for j, q in enumerate(who) if q == p), key=lambda j: works[j].by) for p in range(len(hands))]
    search = _Search(works, hands, orders)
    search.run()
    found, by = list(who), [work.by for work in works]
    for p, order in enumerate(search.orders):
        for j, end in zip(order, search.ends(p, search.done(p, order)).tolist(), strict=True):
            found[j], by[j] = p, max(by[j], end)
    return found, by


class _Search:
    """``orders``: each person's works in the order of knitting."""

    def __init__(self, works: Sequence[Work], hands: Sequence[Hands], orders: list[list[int]]) -> None:
        self.orders, self.random = orders, random.Random(7)
        self.steps = min(STEPS, STEPS_EACH * len(works))
        self.able = [[p for p, m in enumerate(work.minutes) if m is not None] for work in works]
        self.by: Ints = np.array([work.by for work in works], dtype=np.int64)
        self.minutes = [np.array([work.minutes[p] or 0 for work in works], dtype=np.int64) for p in range(len(hands))]
        self.shares = [max(1, hand.share) for hand in hands]
        self.days: list[Ints] = []  # those to knit on, as many as the works may need, then `NEVER`
        for hand, mine, share in zip(hands, self.minutes, self.shares, strict=True):
            most = int(mine.sum()) // share + 1
            spans = [np.arange(first, min(last, first + most) + 1) for first, last in hand.spans]
            self.days.append(np.concatenate((*spans, [NEVER]))[:most])

    def done(self, person: int, order: Sequence[int] | Ints) -> Ints:
        """The minutes after which each work in a person's order is done."""
        return np.cumsum(self.minutes[person][order], dtype=np.int64)

    def ends(self, person: int, done: Ints) -> Ints:
        """The days on which so many minutes of a person are done."""
        days = self.days[person]
        ends: Ints = days[np.minimum((done - 1) // self.shares[person], len(days) - 1)]
        return ends

    def late(self, person: int, done: Ints, works: Sequence[int] | Ints) -> Ints:
        """The days late of works that are done after so many minutes of a person."""
        late: Ints = np.maximum(0, self.ends(person, done) - self.by[works])
        return late

    def places(self, person: int, j: int) -> Ints:
        """The days late that a work adds at every place of a person's order: its own, and those of all after it."""
        self.steps -= 1
        order: Ints = np.array(self.orders[person], dtype=np.int64)
        done, more = self.done(person, order), self.minutes[person][j]
        own = self.late(person, np.concatenate(([0], done)) + more, [j])
        pushed = self.late(person, done + more, order) - self.late(person, done, order)
        return own + np.concatenate((np.cumsum(pushed[::-1])[::-1], [0]))

    def move(self, j: int) -> bool:
        """Put one work where it adds least, and tell whether that is better than where it was."""
        p = next(p for p, order in enumerate(self.orders) if j in order)
        old = self.orders[p].index(j)
        self.orders[p].remove(j)
        added = {q: self.places(q, j) for q in self.able[j]}
        least, q, k = min((int(days.min()), q, int(days.argmin())) for q, days in added.items())
        better = least < added[p][old]
        self.orders[q if better else p].insert(k if better else old, j)
        return bool(better)

    def run(self) -> None:
        """Move single works while that helps, then shake the best found and go on, until the steps are used up."""
        best, least = self.orders, math.inf
        while self.steps > 0 < least:
            moved = True
            while moved and self.steps > 0:
                moved = sum(self.move(j) for j in range(len(self.by))) > 0
            now = sum(int(self.late(p, self.done(p, order), order).sum()) for p, order in enumerate(self.orders))
            if now <= least:
                best, least = self.orders, now
            self.orders = [list(order) for order in best]
            for _ in range(SHAKEN):
                self.put_anywhere(self.random.randrange(len(self.by)))
        self.orders = best

    def put_anywhere(self, j: int) -> None:
        """Move one work to a place drawn by lot, always the same in the same question."""
        next(order for order in self.orders if j in order).remove(j)
        order = self.orders[self.random.choice(self.able[j])]
        order.insert(self.random.randrange(len(order) + 1), j)
