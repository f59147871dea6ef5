"""A small integer program, solved by HiGHS on one thread: the same answer on every machine, stopped by work alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

MOST_NODES = 1000
"""No program is worth more nodes, however small."""

_OPTIONS = {
    "output_flag": False,
    "threads": 1,
    "random_seed": 7,
    "mip_rel_gap": 0.0,
    "mip_feasibility_tolerance": 1e-7,
    "primal_feasibility_tolerance": 1e-8,
    "mip_allow_restart": False,
}


@dataclass(frozen=True, slots=True)
class Answer:
    """``values``: one for each column, empty when none was found. ``bound``: no answer costs less.

    ``proven``: nothing (to within the gap) costs less than these values; without values, there is no answer.
    """

    values: list[float]
    bound: float
    proven: bool


@dataclass(frozen=True, slots=True)
class Program:
    """Minimise the cost of columns from 0 up, most of them 0 or 1, each row of them between two bounds."""

    costs: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[float, float, Sequence[tuple[int, float]]]] = field(default_factory=list)

    def column(self, cost: float, *, whole: bool = True) -> int:
        """Add a column, 0 or 1 if ``whole``, else anything from 0 up, and give its number."""
        self.costs.append(cost)
        self.whole.append(whole)
        return len(self.costs) - 1

    def row(self, low: float, high: float, terms: Sequence[tuple[int, float]]) -> None:
        """Add the row low <= sum of value * column <= high."""
        self.rows.append((low, high, terms))

    def solve(self, work: int, gap: float) -> Answer:
        """Solve to within ``gap`` of the least cost, or as far as ``work`` goes: nodes of the search times columns."""
        highs = _Quiet()  # type: ignore[no-untyped-call,unused-ignore]
        nodes = max(1, min(MOST_NODES, work // len(self.costs)))
        for name, value in {**_OPTIONS, "mip_max_nodes": nodes, "mip_abs_gap": gap}.items():
            highs.setOptionValue(name, value)
        highs.passModel(self._lp())
        highs.run()
        status, info = highs.getModelStatus(), highs.getInfo()
        if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
            return Answer([], math.inf, True)
        values = list(highs.getSolution().col_value) if info.primal_solution_status == 2 else []
        return Answer(values, info.mip_dual_bound, status == highspy.HighsModelStatus.kOptimal)

    def _lp(self) -> highspy.HighsLp:
        lp, terms = highspy.HighsLp(), [one for *_, terms in self.rows for one in terms]
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.rows)
        lp.col_cost_, lp.col_lower_ = np.array(self.costs), np.zeros(len(self.costs))
        lp.col_upper_ = np.where(self.whole, 1.0, math.inf)
        lp.row_lower_, lp.row_upper_ = np.array([row[0] for row in self.rows]), np.array([row[1] for row in self.rows])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.cumsum([0, *(len(row[2]) for row in self.rows)])
        lp.a_matrix_.index_ = np.array([column for column, _ in terms])
        lp.a_matrix_.value_ = np.array([value for _, value in terms])
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[whole] for whole in self.whole]
        return lp


class _Quiet(highspy.Highs):  # type: ignore[misc,unused-ignore]
    """HiGHS without the banner it would print to standard output while it is being made."""

    def enableCallbacks(self) -> None:  # noqa: N802
        """Switch the output off before HiGHS hears of callbacks, for that is when it prints."""
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call,unused-ignore]
