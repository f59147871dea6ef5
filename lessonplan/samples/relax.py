"""The program without integrality, over all links there are: a lower bound, and a price for every link.

Only links that could lower the cost enter as columns, only inequalities that are broken enter as rows; when
neither is left the solution is that of the whole linear program.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field

import highspy
import numpy as np

from lessonplan.samples.cuts import Cut, Load, interval, overfull
from lessonplan.samples.master import INFINITY, Master
from lessonplan.samples.milp import engine
from lessonplan.samples.network import Floats, Ints

NEAREST = 4
"""Links with the least knitting to begin with, into and out of each demand and kind."""
MOST_COLUMNS = 4000
MOST_CUTS = 12
EPSILON = 1e-7


@dataclass(slots=True)
class Relaxation:
    """The linear program as far as it was needed.

    After ``solve``: ``bound``, and ``reduced`` costs of all candidate links and of all ``fixed`` columns; a
    column whose reduced cost exceeds the distance between a known plan and the bound is in no better plan.
    ``used``: positions of the candidates that are columns, ``value`` their values.
    """

    master: Master
    highs: highspy.Highs = field(init=False)
    cuts: list[Cut] = field(default_factory=list)
    used: Ints = field(init=False)
    bound: float = 0.0
    reduced: Floats = field(init=False)
    fixed: Floats = field(init=False)
    value: Floats = field(init=False)

    def __post_init__(self) -> None:
        master = self.master
        self.highs = engine(INFINITY)
        self.highs.setOptionValue("presolve", "off")
        self.used = self._nearest()
        everything = np.arange(len(master.cost))
        self.highs.passModel(master.lp(everything, self.used))
        # How often a column can be used follows from the rows; as a bound it would hide part of the price.
        whole = np.nonzero(np.array(master.whole))[0]
        counted = np.concatenate((whole, np.arange(len(master.cost), len(master.cost) + len(self.used))))
        size = len(counted)
        self.highs.changeColsBounds(size, counted.astype(np.int32), np.zeros(size), np.full(size, INFINITY))
        self.reduced = np.zeros(len(master.links))
        self.fixed = np.zeros(len(master.cost))

    def _nearest(self) -> Ints:
        links, flow = self.master.links, self.master.flow
        still = np.nonzero(links.knitting == 0)[0]
        near = [still]
        for rows in (flow[links.b, links.kind], flow[links.a, links.kind]):
            order = np.lexsort((links.knitting, rows))
            begins = np.concatenate(([True], rows[order][1:] != rows[order][:-1])) if len(order) else order
            place = np.arange(len(order))
            rank = place - np.maximum.accumulate(np.where(begins, place, 0)) if len(order) else place
            near.append(order[rank < NEAREST])
        chosen: Ints = np.unique(np.concatenate(near)).astype(np.int64)
        return chosen

    def solve(self, deadline: float) -> bool:
        """Bring in columns and rows until none helps; False when the deadline (monotonic) came first."""
        while True:
            self.highs.setOptionValue("time_limit", max(0.01, deadline - time.monotonic()) + self.highs.getRunTime())
            self.highs.run()
            if self.highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                return False
            entering = self._price()
            if not len(entering):
                self.bound = float(self.highs.getInfo().objective_function_value)
            if not self._separate() + self._enter(entering):
                return True
            if time.monotonic() > deadline:
                return False

    def _price(self) -> Ints:
        """Reduced costs of everything; gives the links worth a column, the best first when there are many."""
        master, links = self.master, self.master.links
        solution = self.highs.getSolution()
        dual = np.array(solution.row_dual)
        self.fixed = np.array(solution.col_dual)[: len(master.cost)]
        self.value = np.array(solution.col_value)[len(master.cost) :]
        out, into = master.flow[links.a, links.kind], master.flow[links.b, links.kind]
        everything = np.arange(len(links))
        self.reduced = master.price(everything) - dual[links.b] - dual[out] + dual[into]
        for cut, price in zip(self.cuts, dual[len(master.row_low) :], strict=True):
            if abs(price) > EPSILON:
                self.reduced -= price * cut.weights(links, everything)
        low = self.reduced < -1e-6
        low[self.used] = False
        entering = np.nonzero(low)[0]
        return entering[np.argsort(self.reduced[entering], kind="stable")][:MOST_COLUMNS]

    def _enter(self, chosen: Ints) -> int:
        master = self.master
        rows, values = master.link_rows(chosen)
        for number, cut in enumerate(self.cuts):
            weights = cut.weights(master.links, chosen)[:, None]
            rows = np.concatenate((rows, np.full((len(chosen), 1), len(master.row_low) + number)), axis=1)
            values = np.concatenate((values, weights), axis=1)
        kept = values != 0
        starts = np.concatenate(([0], np.cumsum(kept.sum(axis=1))))[:-1].astype(np.int32)
        count, free = len(chosen), np.full(len(chosen), INFINITY)
        if count:
            self.highs.addCols(
                count,
                master.price(chosen),
                np.zeros(count),
                free,
                int(kept.sum()),
                starts,
                rows[kept].astype(np.int32),
                values[kept],
            )
            self.used = np.concatenate((self.used, chosen))
        return count

    def _separate(self) -> int:
        links, times = self.master.links, self.master.times
        solution = self.highs.getSolution()
        busy = (self.value > 1e-9) & (links.knitting[self.used] > 1e-9)
        at = self.used[busy]
        waits = np.zeros(len(times.clock))
        for column, slot in self.master.waits.items():
            waits[slot] = solution.col_value[column]
        load = Load(waits, links.first[at], links.stop[at], links.knitting[at], self.value[busy])
        found = overfull(times, load, MOST_CUTS)
        for first, stop in found:
            self.add(interval(times, first, stop))
        return len(found)

    def active(self) -> list[Cut]:
        """The inequalities that hold the bound up."""
        prices = self.highs.getSolution().row_dual[len(self.master.row_low) :]
        return [cut for cut, price in zip(self.cuts, prices, strict=True) if abs(price) > EPSILON]

    def add(self, cut: Cut) -> None:
        """Add an inequality for the hands; ``solve`` again afterwards."""
        columns, values = cut_terms(self.master, cut, self.used, len(self.master.cost), self.master.waits)
        self.highs.addRow(-INFINITY, cut.room, len(columns), columns, values)
        self.cuts.append(cut)


def cut_terms(
    master: Master, cut: Cut, chosen: Ints, offset: int, waits: dict[int, int]
) -> tuple[np.ndarray[tuple[int], np.dtype[np.int32]], Floats]:
    """Columns and coefficients of an inequality when the ``chosen`` links begin at column ``offset``."""
    weights = cut.weights(master.links, chosen)
    busy = np.nonzero(weights)[0]
    waiting = [column for column, slot in waits.items() if cut.inside[slot]]
    columns = np.concatenate((busy + offset, np.array(waiting, dtype=np.int64)))
    values = np.concatenate((weights[busy], -np.ones(len(waiting))))
    return columns.astype(np.int32), values
