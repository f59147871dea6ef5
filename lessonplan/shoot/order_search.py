"""The cheapest order of the shots: found by descent, then proven by branch and bound as far as its share of work goes.

Branch and bound takes the first shots of the filming order as known, one more at a time, the set with the least
bound first. Its bound adds the changes so far, the fewest that can follow, the lateness both make, and what the
samples cost at least when filming begins so. Orders known in full go through ever closer bounds before their
samples are solved. Work is limited by counts, never by the clock, so that the same course gives the same order on
every machine.
"""

from __future__ import annotations

import heapq
import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from lessonplan.shoot.order import Filming, as_told, bits, by_view
from lessonplan.shoot.order_judge import Judge, Scored
from lessonplan.shoot.order_least import MOST_EXACT
from lessonplan.shoot.order_local import DUST, Descent
from lessonplan.shoot.order_relax import Ints


@dataclass(frozen=True, slots=True)
class Effort:
    """How much work may be done.

    ``probes``: orders looked at in the descent; ``evaluations``: of them, orders whose samples are solved.
    ``beginnings``: first parts of orders looked at in the proof; ``proof_evaluations``: orders whose samples are
    solved in it. Where a day has more than ``MOST_EXACT`` shots no proof is tried, since it would come to no end.
    """

    probes: int = 600
    evaluations: int = 6
    beginnings: int = 1500
    proof_evaluations: int = 40


@dataclass(frozen=True, slots=True)
class Found:
    """The cheapest order found, a lower bound of every order's cost, and whether no order is cheaper."""

    best: Scored
    bound: float
    exact: bool


def cheapest(judge: Judge, effort: Effort = Effort()) -> Found:
    """Find the cheapest order of all that keep the locks. Never worse than the present order if that keeps them."""
    present = tuple(range(len(judge.setting)))
    starts = [s for s in (present, as_told(judge.setting), by_view(judge.setting)) if not judge.setting.broken(s)]
    for start in starts:
        judge.scored(start)
    descend(judge, [*starts, *_fewest(judge)], effort)
    small = all(len(shots) <= MOST_EXACT for shots in judge.setting.shots)
    bound = Proof(judge, effort).run() if small else judge.bound
    best = judge.cheapest
    if best is None:
        raise ValueError("no order keeps the locks")
    bound = min(bound, best.bound)
    return Found(best, bound, best.cost <= bound + DUST * max(1.0, best.cost))


def _fewest(judge: Judge) -> list[Filming]:
    """The order with the fewest minutes of changes, where every day is small enough to know it."""
    parts = [judge.least.path(day) for day in range(len(judge.setting.hours))]
    known = [part for part in parts if part is not None]
    return [tuple(i for part in known for i in part)] if len(known) == len(parts) else []


def descend(judge: Judge, starts: Sequence[Filming], effort: Effort) -> None:
    """Go down from each start, wander on, and solve the samples of the likeliest orders seen; the judge keeps them."""
    descent = Descent(judge, effort.probes)
    for start in dict.fromkeys(starts):
        descent.go(start)
    likely = descent.likeliest()
    if likely:
        descent.wander(likely[0], random.Random(1))
    for sequence in descent.likeliest()[: effort.evaluations]:
        if descent.close[sequence] < judge.best - DUST:
            judge.scored(sequence)


@dataclass(order=True, slots=True)
class _Beginning:
    """A filming order as far as it is known; ``stage``: which of the ever closer bounds ``bound`` comes from."""

    bound: float
    left: int
    done: Filming
    samples: float = field(compare=False)
    used: Ints | None = field(compare=False)
    stage: int = field(compare=False, default=0)


@dataclass(slots=True)
class Proof:
    """Branch and bound over beginnings, best bound first.

    ``doubt``: the least bound of an order whose samples could not be solved to proven optimum.
    """

    judge: Judge
    effort: Effort
    heap: list[_Beginning] = field(default_factory=list)
    doubt: float = math.inf

    def run(self) -> float:
        """Give a lower bound of the cost of every order; it is that of the best one when the search came to its end."""
        return min(self._search(), self.doubt)

    def _search(self) -> float:
        judge = self.judge
        samples = judge.relaxed.least()
        first = _Beginning(judge.least.cost(()) + samples, len(judge.setting), (), samples, judge.relaxed.used, 1)
        self.heap = [first]
        solved, looked = judge.evaluations, judge.relaxed.asked
        while self.heap:
            node = self.heap[0]
            if node.bound >= judge.best - DUST * max(1.0, judge.best):
                return judge.best
            if judge.relaxed.asked - looked > self.effort.beginnings:
                return node.bound
            if judge.evaluations - solved >= self.effort.proof_evaluations and node.stage == 2:
                return node.bound
            heapq.heappop(self.heap)
            self._look(node)
        return judge.best

    def _look(self, node: _Beginning) -> None:
        """Bring a beginning one stage further."""
        judge, whole = self.judge, node.left == 0
        if node.stage == 0:
            problem = judge.question((*node.done, *self._others(node.done)))
            node.samples = max(node.samples, judge.relaxed.least(node.done, problem))
            node.used, node.stage = judge.relaxed.used, 1
            node.bound = max(node.bound, judge.least.cost(node.done) + node.samples)
        elif not whole:
            for child in self._children(node):
                self._push(child)
            return
        elif node.stage == 1:
            node.bound, node.stage = max(node.bound, judge.near(node.done)), 2
        else:
            one = judge.scored(node.done)
            if one.bound < one.cost - DUST:
                self.doubt = min(self.doubt, one.bound)
            return
        self._push(node)

    def _push(self, node: _Beginning) -> None:
        if node.bound < self.judge.best - DUST:
            heapq.heappush(self.heap, node)

    def _others(self, done: Filming) -> Iterator[int]:
        known = set(done)
        return (i for shots in self.judge.setting.shots for i in shots if i not in known)

    def _children(self, node: _Beginning) -> Iterator[_Beginning]:
        setting = self.judge.setting
        mask = sum(1 << i for i in node.done)
        day = next(d for d, all_of_day in enumerate(setting.masks) if all_of_day & ~mask)
        for shot in bits(setting.masks[day] & ~mask):
            if setting.before[shot] & ~mask:
                continue
            done = (*node.done, shot)
            bound = max(node.bound, self.judge.least.cost(done) + node.samples)
            same = node.used is not None and not self.judge.relaxed.hit(node.used, node.done, shot)
            stage = 1 if same and node.left > 1 else 0
            yield _Beginning(bound, node.left - 1, done, node.samples, node.used, stage)


def gap(cost: float, bound: float) -> float:
    """How far a cost may be from the least one, as a part of it (0 to 1)."""
    return 0.0 if math.isclose(cost, bound, rel_tol=1e-7, abs_tol=1e-7) else (cost - bound) / cost
