"""Who knits which piece: least days late, then the latest start, then the most even load.

One person knits one piece after another, so a set of pieces with days to be done by fits exactly when, for every day,
the pieces due by then need no more minutes than the person has until then: knitting the earliest due first works
(J. R. Jackson, "Scheduling a production line to minimize maximum tardiness", UCLA 1955, from memory; proof by
exchanging neighbours). So one program serves for every question: those are its rows, and a start day only takes minutes
away.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

import highspy
import numpy as np
from numpy.typing import NDArray

from lessonplan.samples.calendar.evenings import LAST_DAY, NEVER, Hands, Work, backwards
from lessonplan.samples.choice.solver import Engine, Model

MOST_NODES = 1000
"""No model is worth more nodes, however small."""


@dataclass(frozen=True, slots=True)
class Answer:
    """``values``: one for each column, empty when none was found. ``bound``: no answer costs less.

    ``proven``: nothing (to within the gap) costs less than these values; without values, there is no answer.
    """

    values: list[float]
    bound: float
    proven: bool


def solve(model: Model, work: int, gap: float) -> Answer:
    """Solve to within ``gap`` of the least cost, or as far as ``work`` goes: nodes of the search times columns."""
    nodes = max(1, min(MOST_NODES, work // len(model.cost)))
    highs = Engine(model, mip_max_nodes=nodes, mip_abs_gap=gap).highs
    highs.run()
    status, info = highs.getModelStatus(), highs.getInfo()
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
        return Answer([], math.inf, True)
    values = list(highs.getSolution().col_value) if info.primal_solution_status == 2 else []
    return Answer(values, info.mip_dual_bound, status == highspy.HighsModelStatus.kOptimal)


WORK = 24_000
"""Nodes of the search times columns of one program: 66 nodes for 60 pieces and 6 knitters, or a second.

When they are used up the best found stands and is not called proven.
"""

EVEN_TO = 0.5
"""Days of a person's share within which evenness is called proven: nobody plans sittings more finely than that."""

FINE = 0.01
"""Days of a person's share to which evenness is searched for as long as the work lasts."""


@dataclass(frozen=True, slots=True)
class Given:
    """``who``: person of each work; ``by``: day it will be done by, its own or a later one; ``proven``: none better."""

    who: tuple[int, ...]
    by: tuple[int, ...]
    proven: bool


def assign(works: Sequence[Work], hands: Sequence[Hands]) -> Given:
    """Give every work to a person who can finish it some day; each must have one.

    Least total days late; then those who have no late piece start as late as possible and share the rest evenly, to
    within `EVEN_TO` days of each one's own share. Where works are late the least is searched for, hardly ever proven.
    """
    who, by, sure = least_late(works, hands)
    behind = {p for work, p, day in zip(works, who, by, strict=True) if day > work.by}
    free = [j for j, p in enumerate(who) if p not in behind]
    able = (tuple(None if p in behind else m for p, m in enumerate(works[j].minutes)) for j in free)
    rest = [replace(works[j], minutes=minutes) for j, minutes in zip(free, able, strict=True)]
    given, settled = Bench(rest, hands).settled([who[j] for j in free]) if rest else ([], True)
    for j, p in zip(free, given, strict=True):
        who[j] = p
    return Given(tuple(who), tuple(by), settled and sum(by) - sum(work.by for work in works) <= sure)


def least_late(works: Sequence[Work], hands: Sequence[Hands]) -> tuple[list[int], list[int], bool]:
    """Who does each work and the day it will be done by, with the least days late; and whether in time is proven."""
    bench = Bench(works, hands)
    who, sure = bench.on_time()
    if who is not None:
        return who, [work.by for work in works], sure
    return (*spread(bench.earliest_due()[0], works, hands), sure)


@dataclass(frozen=True, slots=True)
class Bench:
    """Works, and the persons to whom they are given; an answer names the person of each work."""

    works: Sequence[Work]
    hands: Sequence[Hands]

    def earliest_due(self, start: int = 0) -> tuple[list[int], int]:
        """Earliest due first, each to whoever ends with the least lateness and then the soonest; and the days late."""
        load = [hand.until(start - 1) for hand in self.hands]
        who, late = [0] * len(self.works), 0
        for j, work in sorted(enumerate(self.works), key=lambda one: (one[1].by, -max(m or 0 for m in one[1].minutes))):
            ends = [(self.hands[p].day(load[p] + m - 1), p, m) for p, m in enumerate(work.minutes) if m is not None]
            end, who[j], minutes = min(ends, key=lambda one: (max(work.by, one[0]), one))
            load[who[j]] += minutes
            late += max(0, end - work.by)
        return who, late

    def laid(self, who: Sequence[int], by: Sequence[int]) -> list[list[tuple[int, int, int]] | None]:
        """Everybody's pieces on their lines as late as possible, when each is to be done by a day."""
        pieces = [(j, self.works[j].parts_of(p), by[j] + self.works[j].later) for j, p in enumerate(who)]
        return [backwards([one for one in pieces if who[one[0]] == p], hand) for p, hand in enumerate(self.hands)]

    def first_day(self, who: Sequence[int]) -> int:
        """The first day on which anybody knits when all start as late as possible; -1 when it does not fit."""
        first = LAST_DAY
        for hand, mine in zip(self.hands, self.laid(who, [work.by for work in self.works]), strict=True):
            first = min(first, -1 if mine is None else hand.day(mine[0][1]) if mine else LAST_DAY)
        return first

    def on_time(self, start: int = 0) -> tuple[list[int] | None, bool]:
        """A way in which nobody knits before ``start`` and nothing is late, if there is one.

        And whether that is sure: without a way, "not sure" means that the search was stopped.
        """
        who, late = self.earliest_due(start)
        if not late:
            return who, True
        program, columns = self._program(start)
        if len({j for j, _ in columns}) < len(self.works):
            return None, True
        return self._solved(program, columns, start)[:2]

    def settled(self, who: list[int]) -> tuple[list[int], bool]:
        """From a way without lateness to that of the latest start, then most even load; and whether it is proven.

        It is not where pieces dry in between, since the program gives these more days than they may need.
        """
        low, high = self.first_day(who), max(work.by for work in self.works)
        proven = not any(work.later for work in self.works)
        while low < high:
            middle = (low + high + 1) // 2
            found, sure = self.on_time(middle)
            proven = proven and sure
            if found is None or self.first_day(found) < middle:
                high = middle - 1
            else:
                who, low = found, self.first_day(found)
        who, even = self._most_even(who, low)
        return who, proven and even

    def _most_even(self, who: list[int], start: int) -> tuple[list[int], bool]:
        """Level the load with that start; loads count in days of a person's own share.

        The most even ones have the least sum of the greatest load and of its distance to the least load, over all who
        have minutes between the start and the last day.
        """
        last, able = max(work.by for work in self.works), zip(*(work.minutes for work in self.works), strict=True)
        there = [
            (p, mine, hand)
            for p, (mine, hand) in enumerate(zip(able, self.hands, strict=True))
            if any(mine) and hand.until(last) > hand.until(start - 1)
        ]

        def uneven(who: Sequence[int]) -> float:
            """Twice the greatest load less the least one, in days of each one's share."""
            loads = [sum(mine[j] or 0 for j, q in enumerate(who) if q == p) / hand.share for p, mine, hand in there]
            return 2 * max(loads) - min(loads)

        if len(there) < 2:
            return who, True
        program, columns = self._program(start)
        most, least = program.column(2.0), program.column(-1.0)
        for p, mine, hand in there:
            load = [(column, (mine[j] or 0) / hand.share) for (j, q), column in columns.items() if q == p]
            program.row(-math.inf, 0, [*load, (most, -1.0)])
            program.row(0, math.inf, [*load, (least, -1.0)])
        found, _, bound = self._solved(program, columns, start)
        who = min(who, found or who, key=uneven)
        return who, uneven(who) <= bound + EVEN_TO + 1e-6

    def _program(self, start: int) -> tuple[Model, dict[tuple[int, int], int]]:
        """Every work to one person, nobody more by any day than there are minutes from the start; and its columns."""
        program, columns = Model(), dict[tuple[int, int], int]()
        gone, takers = [hand.until(start - 1) for hand in self.hands], [list[tuple[int, float]]() for _ in self.works]
        # The order of the columns decides among equal answers: so the earlier pieces go to the later knitters.
        for p, hand in reversed(list(enumerate(self.hands))):
            mine = [(j, work.by, work.minutes[p] or 0) for j, work in enumerate(self.works) if work.minutes[p]]
            mine = [(j, by, minutes) for j, by, minutes in mine if minutes <= hand.until(by) - gone[p]]
            for j, *_ in mine:
                columns[j, p] = program.column(0.0, 1.0, integer=True)
                takers[j].append((columns[j, p], 1.0))
            for day in sorted({by for _, by, _ in mine}):
                load = [(columns[j, p], float(minutes)) for j, by, minutes in mine if by <= day]
                program.row(-math.inf, hand.until(day) - gone[p], load)
        for taker in takers:
            program.row(1, 1, taker)
        return program, columns

    def _solved(
        self, program: Model, columns: dict[tuple[int, int], int], start: int
    ) -> tuple[list[int] | None, bool, float]:
        """A way that whole numbers confirm, if it was found; whether that is sure; the proven bound of the cost."""
        answer = solve(program, WORK, FINE)
        if not answer.values:
            return None, answer.proven, -math.inf
        who = [-1] * len(self.works)
        for (j, p), column in columns.items():
            if answer.values[column] > 0.5:
                who[j] = p
        fits = -1 not in who and self.first_day(who) >= start
        return (who if fits else None), fits, answer.bound


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
