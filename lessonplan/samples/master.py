"""The program whose columns are new pieces, drawer pieces, waits, pools and the links chosen so far.

Rows: one for each demand (its number of pieces comes from somewhere), one for each demand and kind (no more
pieces leave it than came), one for each drawer piece and each limit, then the inequalities for the hands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

from lessonplan.samples.demand import Demand
from lessonplan.samples.ladder import State, contains
from lessonplan.samples.network import Candidates, Floats, Ints
from lessonplan.samples.problem import Problem
from lessonplan.samples.timeline import Timeline

INFINITY = float("inf")


@dataclass(slots=True)
class Master:
    """Rows and fixed columns. ``new``, ``drawer``, ``waits``: what the fixed columns stand for, by column."""

    problem: Problem
    wanted: Sequence[Demand]
    times: Timeline
    links: Candidates
    flow: Ints = field(init=False)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    rows: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    new: dict[int, tuple[int, str]] = field(default_factory=dict)
    drawer: dict[int, tuple[int, int]] = field(default_factory=dict)
    waits: dict[int, int] = field(default_factory=dict)
    excess: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._rows()
        self._new_pieces()
        self._drawer()
        for a, b, kind in self.links.holds:
            self._column(0.0, INFINITY, [(int(self.flow[a, kind]), 1.0), (int(self.flow[b, kind]), -1.0)])
        for slot, most in enumerate(self.times.waiting):
            if most > 0:
                self.waits[self._column(self.problem.weights.waiting, most, [])] = slot

    def _column(self, cost: float, high: float, terms: list[tuple[int, float]], *, whole: bool = False) -> int:
        self.cost.append(cost)
        self.high.append(high)
        self.whole.append(whole)
        for row, value in terms:
            self.rows.append(row)
            self.values.append(value)
        self.starts.append(len(self.rows))
        return len(self.cost) - 1

    def _row(self, low: float, high: float) -> int:
        self.row_low.append(low)
        self.row_high.append(high)
        return len(self.row_low) - 1

    def _rows(self) -> None:
        kinds = self.links.kinds
        self.flow = np.full((len(self.wanted), len(kinds)), -1, dtype=np.int64)
        for demand in self.wanted:
            self._row(demand.count, demand.count)
        for b, demand in enumerate(self.wanted):
            for k, kind in enumerate(kinds):
                if kind in demand.kinds:
                    self.flow[b, k] = self._row(-INFINITY, 0.0)

    def _new_pieces(self) -> None:
        """New pieces; where a limit counts them it may be broken at a price no plan would pay."""
        weights, kinds = self.problem.weights, self.links.kinds
        most: dict[tuple[str, State], int] = {}
        for limit in self.problem.limits:
            key = (limit.kind, limit.state)
            most[key] = min(limit.count, most.get(key, limit.count))
        counted = {key: self._row(-INFINITY, count) for key, count in most.items()}
        total = 0.0
        for b, demand in enumerate(self.wanted):
            for kind in demand.kinds:
                cost = weights.piece + weights.bench * self.problem.ladder.cost(kind, demand.start)
                terms = [(b, 1.0), (int(self.flow[b, kinds.index(kind)]), -1.0)]
                if (kind, demand.start) in counted:
                    terms.append((counted[kind, demand.start], 1.0))
                self.new[self._column(cost, demand.count, terms, whole=True)] = (b, kind)
                total += cost * demand.count
        penalty = 10.0 * (1.0 + total) * max(1.0, weights.floor)
        self.excess = [self._column(penalty, INFINITY, [(row, -1.0)]) for row in counted.values()]

    def _drawer(self) -> None:
        weights, kinds = self.problem.weights, self.links.kinds
        for d, piece in enumerate(self.problem.drawer):
            row = -1
            for b, demand in enumerate(self.wanted):
                if piece.kind in demand.kinds and contains(demand.start, piece.state):
                    row = self._row(-INFINITY, 1.0) if row < 0 else row
                    minutes = self.problem.ladder.between(piece.kind, piece.state, demand.start)
                    terms = [(b, 1.0), (int(self.flow[b, kinds.index(piece.kind)]), -1.0), (row, 1.0)]
                    column = self._column(weights.drawer + weights.bench * minutes, 1.0, terms, whole=True)
                    self.drawer[column] = (d, b)

    def price(self, chosen: Ints) -> Floats:
        """Cost of each chosen link."""
        cost: Floats = self.problem.weights.floor * self.links.knitting[chosen]
        return cost

    def most(self, chosen: Ints) -> Floats:
        """How many pieces can use each chosen link: a pool may hold more than the demand that filled it last."""
        most: Floats = np.array([d.count for d in self.wanted], dtype=float)[self.links.b[chosen]]
        return most

    def link_rows(self, chosen: Ints) -> tuple[Ints, Floats]:
        """Rows and coefficients of each chosen link: served, leaves a, arrives at b."""
        links = self.links
        out, into = self.flow[links.a[chosen], links.kind[chosen]], self.flow[links.b[chosen], links.kind[chosen]]
        return np.stack([links.b[chosen], out, into], axis=1), np.tile([1.0, 1.0, -1.0], (len(chosen), 1))

    def lp(self, fixed: Ints, chosen: Ints) -> highspy.HighsLp:
        """The program of some fixed columns, then some links, without integrality and without inequalities."""
        starts = np.array(self.starts)
        sizes = starts[fixed + 1] - starts[fixed]
        picked = np.repeat(starts[fixed] - np.concatenate(([0], np.cumsum(sizes)[:-1])), sizes)
        picked = picked + np.arange(int(sizes.sum()))
        link_rows, link_values = self.link_rows(chosen)
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(fixed) + len(chosen), len(self.row_low)
        lp.col_cost_ = np.concatenate((np.array(self.cost)[fixed], self.price(chosen)))
        lp.col_lower_ = np.zeros(lp.num_col_)
        lp.col_upper_ = np.concatenate((np.array(self.high)[fixed], self.most(chosen)))
        lp.row_lower_, lp.row_upper_ = np.array(self.row_low), np.array(self.row_high)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        ends = np.concatenate((np.cumsum(sizes), sizes.sum() + 3 * np.arange(1, len(chosen) + 1)))
        lp.a_matrix_.start_ = np.concatenate(([0], ends)).astype(np.int32)
        rows = np.concatenate((np.array(self.rows, dtype=np.int64)[picked], link_rows.ravel()))
        lp.a_matrix_.index_ = rows.astype(np.int32)
        lp.a_matrix_.value_ = np.concatenate((np.array(self.values)[picked], link_values.ravel()))
        return lp
