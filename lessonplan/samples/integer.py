"""One integer program over chosen links, and what its solution means on the floor."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

from lessonplan.samples.cuts import Cut
from lessonplan.samples.master import INFINITY, Master
from lessonplan.samples.milp import Solved, engine, result
from lessonplan.samples.network import Floats, Ints
from lessonplan.samples.relax import cut_terms
from lessonplan.samples.rest import advanced, pool_members
from lessonplan.samples.schedule import Job, Schedule, place


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan that can be carried out. ``links``: (candidate, minutes by slot), one for each piece on a link."""

    cost: float
    new: dict[tuple[int, str], int]
    drawer: dict[int, int]
    links: list[tuple[int, dict[int, float]]]
    waits: dict[int, float]


def leading(master: Master, chosen: Ints, cuts: Sequence[Cut]) -> Ints:
    """For each chosen link the position of the one that can stand for it.

    Two links to one demand from one pool cost the same, and a piece of the earlier can rest and take the later
    one; the earlier is needed only where an inequality tells their windows apart.
    """
    links = master.links
    keys = [links.pool[links.a[chosen]], links.b[chosen], links.kind[chosen]]
    weights = [np.round(c.weights(links, chosen), 6) for c in cuts]
    strict = np.where(links.short[chosen] > 0, np.arange(len(chosen)), -1)
    table = np.stack([*keys, strict, *weights], axis=1) if len(chosen) else np.zeros((0, 4))
    order = np.lexsort((links.a[chosen], *table.T[::-1]))
    fresh = np.ones(len(order), dtype=np.bool_)
    fresh[:-1] = (table[order][1:] != table[order][:-1]).any(axis=1)
    heads = order[fresh]
    position = np.cumsum(np.concatenate(([0], fresh[:-1]))).astype(np.int64) if len(order) else order
    stands: Ints = np.empty(len(order), dtype=np.int64)
    stands[order] = heads[position]
    return stands


@dataclass(slots=True)
class Program:
    """``fixed``: the fixed columns taken; ``chosen``: the candidates, one that needs a wait once per piece."""

    master: Master
    fixed: Ints
    chosen: Ints
    highs: highspy.Highs = field(init=False)
    waits: dict[int, int] = field(init=False)

    @classmethod
    def over(cls, master: Master, fixed: Ints, candidates: Ints, cuts: Sequence[Cut], seconds: float) -> Program:
        """The program over the given columns, with the given inequalities; links that others stand for left out."""
        kept = candidates[np.unique(leading(master, candidates, cuts))]
        times = np.where(master.links.short[kept] > 0, master.most(kept), 1).astype(np.int64)
        made = cls(master, fixed, np.repeat(kept, times))
        made._load(cuts, seconds)
        return made

    def _load(self, cuts: Sequence[Cut], seconds: float) -> None:
        master, offset = self.master, len(self.fixed)
        lp = master.lp(self.fixed, self.chosen)
        short = master.links.short[self.chosen]
        lp.col_upper_ = np.where(np.concatenate((np.zeros(offset), short)) > 0, 1.0, np.array(lp.col_upper_))
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[master.whole[c]] for c in self.fixed] + [kinds[1]] * len(self.chosen)
        self.highs = engine(seconds)
        self.highs.passModel(lp)
        place_of = {int(c): n for n, c in enumerate(self.fixed)}
        self.waits = {place_of[c]: slot for c, slot in master.waits.items() if c in place_of}
        for cut in cuts:
            columns, values = cut_terms(master, cut, self.chosen, offset, self.waits)
            self.highs.addRow(-INFINITY, cut.room, len(columns), columns, values)
        for n in np.nonzero(short > 0)[0]:
            first, stop = int(master.links.first[self.chosen[n]]), int(master.links.stop[self.chosen[n]])
            within = [c for c, slot in self.waits.items() if first <= slot < stop]
            columns = np.array([*within, offset + n], dtype=np.int32)
            values = np.array([1.0] * len(within) + [-float(short[n])])
            self.highs.addRow(0.0, INFINITY, len(columns), columns, values)

    def solve(self) -> Solved:
        """Solve from scratch; the bound holds for the columns taken.

        No known plan is handed to HiGHS as a start: release 1.16 then reported an objective below the cost of
        the very solution it gave, and lost the optimum.
        """
        self.highs.run()
        return result(self.highs, integer=True)

    def reading(self, values: Sequence[float]) -> Reading:
        """What a solution says."""
        master = self.master
        new, drawer, waits, cost = {}, {}, np.zeros(len(master.times.clock)), 0.0
        for n, column in enumerate(self.fixed.tolist()):
            count = round(values[n])
            if master.whole[column] and count:
                cost += master.cost[column] * count
                if column in master.new:
                    new[master.new[column]] = count
                else:
                    d, b = master.drawer[column]
                    drawer[d] = b
        broken = any(values[n] > 0.5 for n, c in enumerate(self.fixed.tolist()) if c in master.excess)
        for n, slot in self.waits.items():
            waits[slot] = max(0.0, values[n]) if values[n] > 1e-9 else 0.0
        counts = np.round(np.array(values[len(self.fixed) :])).astype(np.int64)
        used = self._rested(np.repeat(self.chosen, counts), new, drawer)
        cost += float(master.price(used).sum()) + float(waits.sum()) * master.problem.weights.waiting
        return Reading(master, cost, new, drawer, used, waits, broken)

    def _rested(self, used: Ints, new: dict[tuple[int, str], int], drawer: dict[int, int]) -> Ints:
        """The used links, taken from their pools as early as the pieces are there."""
        master, links = self.master, self.master.links
        arrived: Counter[tuple[int, int]] = Counter()
        for (b, kind), count in new.items():
            arrived[b, links.kinds.index(kind)] += count
        for d, b in drawer.items():
            arrived[b, links.kinds.index(master.problem.drawer[d].kind)] += 1
        for j in used.tolist():
            arrived[int(links.b[j]), int(links.kind[j])] += 1
        return advanced(links, pool_members(links, [d.kinds for d in master.wanted]), arrived, used)


@dataclass(frozen=True, slots=True)
class Reading:
    """A solution in terms of the trade, not yet known to fit into the hands' time.

    ``used``: candidates, one entry for each piece. ``broken``: a limit was broken, so there is no plan within it.
    """

    master: Master
    cost: float
    new: dict[tuple[int, str], int]
    drawer: dict[int, int]
    used: Ints
    waits: Floats
    broken: bool

    def schedule(self) -> Schedule:
        """Who is knitted on when, as far as it fits."""
        links = self.master.links
        jobs: list[Job] = [(int(links.first[j]), int(links.stop[j]), float(links.knitting[j])) for j in self.used]
        return place(self.master.times, self.waits, jobs)

    def plan(self, schedule: Schedule) -> Plan | None:
        """The plan; links whose knitting does not fit are given up for new pieces. None when a limit forbids it."""
        if self.broken:
            return None
        master, links, weights = self.master, self.master.links, self.master.problem.weights
        limited = {(limit.kind, limit.state) for limit in master.problem.limits}
        new, cost, kept = dict(self.new), self.cost, []
        for j, minutes, missing in zip(self.used.tolist(), schedule.minutes, schedule.missing, strict=True):
            if missing <= 1e-6:
                kept.append((j, minutes))
                continue
            b, kind = int(links.b[j]), links.kinds[int(links.kind[j])]
            start = master.wanted[b].start
            if (kind, start) in limited:
                return None
            new[b, kind] = new.get((b, kind), 0) + 1
            cost += weights.piece + weights.bench * master.problem.ladder.cost(kind, start)
            cost -= weights.floor * float(links.knitting[j])
        waits = {slot: float(w) for slot, w in enumerate(self.waits) if w > 1e-6}
        return Plan(cost, new, dict(self.drawer), kept, waits)
