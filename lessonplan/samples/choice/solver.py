"""A mixed-integer model built row by row and solved by HiGHS: one thread, no chance, no clock."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import highspy
import numpy as np
import numpy.typing as npt

Terms = Sequence[tuple[int, float]]


@dataclass(frozen=True, slots=True)
class Solved:
    """``values``: one per column, empty when none was found. ``bound``: proven lower bound of the objective.

    ``duals``: one per row, ``reduced``: one per column, both only for a model without integers. ``feasible`` is False
    only when proven so.
    """

    values: npt.NDArray[np.float64]
    objective: float
    bound: float
    feasible: bool
    duals: npt.NDArray[np.float64]
    reduced: npt.NDArray[np.float64]


@dataclass(slots=True)
class Model:
    """Minimise cost . x subject to lower <= A x <= upper and bounds on x; some columns integer."""

    cost: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    integer: list[bool] = field(default_factory=list)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    columns: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)

    def column(self, cost: float, high: float = math.inf, *, integer: bool = False) -> int:
        """Add a column from 0 to ``high`` and give its index."""
        self.cost.append(cost)
        self.low.append(0.0)
        self.high.append(high)
        self.integer.append(integer)
        return len(self.cost) - 1

    def row(self, low: float, high: float, terms: Terms) -> int:
        """Add the row low <= sum of coefficient * column <= high and give its index."""
        self.columns += [column for column, _ in terms]
        self.values += [value for _, value in terms]
        self.starts.append(len(self.columns))
        self.row_low.append(low)
        self.row_high.append(high)
        return len(self.row_low) - 1

    def cut(self, columns: int, rows: int) -> None:
        """Take back all but the first columns and rows."""
        for column in (self.cost, self.low, self.high, self.integer):
            del column[columns:]
        for row in (self.row_low, self.row_high):
            del row[rows:]
        del self.starts[rows + 1 :], self.columns[self.starts[-1] :]
        del self.values[self.starts[-1] :]

    def relaxed(self) -> Model:
        """The same model without integers."""
        return replace(self, integer=[False] * len(self.integer))

    def lp(self) -> highspy.HighsLp:
        """The model as HiGHS takes it."""
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.cost), len(self.row_low)
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = (np.array(v, float) for v in (self.cost, self.low, self.high))
        lp.row_lower_, lp.row_upper_ = np.array(self.row_low, float), np.array(self.row_high, float)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array(self.starts, dtype=np.int32)
        lp.a_matrix_.index_ = np.array(self.columns, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(self.values, dtype=float)
        if any(self.integer):
            kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
            lp.integrality_ = [kinds[whole] for whole in self.integer]
        return lp


class Quiet(highspy.Highs):  # type: ignore[misc,unused-ignore]
    """HiGHS without the banner it would print to standard output while it is being made."""

    def enableCallbacks(self) -> None:  # noqa: N802
        """Switch the output off before HiGHS hears of callbacks, for that is when it prints."""
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call,unused-ignore]


OPTIONS: dict[str, bool | int | float] = {
    "output_flag": False,
    "threads": 1,
    "random_seed": 7,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 1e-7,
    "mip_feasibility_tolerance": 1e-7,
    "mip_allow_restart": False,
    "primal_feasibility_tolerance": 1e-8,
}


class Engine:
    """A silent HiGHS that holds one model, to which rows may be added and which may be run again.

    Raises ValueError for a model that HiGHS does not take, such as one with a column twice in a row.
    ``options`` stand instead of some of `OPTIONS`.
    It starts each integer run from nothing: with a start solution 1.16.0 has misreported objectives.
    """

    def __init__(self, model: Model, **options: float) -> None:
        self.highs: highspy.Highs = Quiet()  # type: ignore[no-untyped-call,unused-ignore]
        self.integer = any(model.integer)
        for name, value in {**OPTIONS, **options}.items():
            self.highs.setOptionValue(name, value)
        if not self.integer:
            self.highs.setOptionValue("presolve", "off")
        self.calls = 0
        if self.highs.passModel(model.lp()) == highspy.HighsStatus.kError:
            raise ValueError("HiGHS does not take the model")

    def add(self, low: float, high: float, terms: Terms) -> None:
        """Add a row to a model without integers."""
        columns, values = [c for c, _ in terms], [v for _, v in terms]
        self.highs.addRow(low, high, len(terms), np.array(columns, dtype=np.int32), np.array(values, dtype=float))

    def run(self, work: int = 0) -> Solved:
        """Solve to proven optimum, or, with integers, as far as ``work`` looks of HiGHS at its limits allow."""
        if self.integer:
            self.calls = 0
            self.highs.cbMipInterrupt.subscribe(lambda event: self._look(event, work))
        self.highs.run()
        return self._result()

    def _look(self, event: highspy.HighsCallbackEvent, work: int) -> None:
        self.calls += 1
        if self.calls > work:
            event.interrupt()

    def _result(self) -> Solved:
        highs, none = self.highs, np.zeros(0)
        status, info = highs.getModelStatus(), highs.getInfo()
        infeasible = (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible)
        optimal = status == highspy.HighsModelStatus.kOptimal
        if info.primal_solution_status != 2:
            bound = float(info.mip_dual_bound) if self.integer else -math.inf
            return Solved(none, math.inf, bound, feasible=status not in infeasible, duals=none, reduced=none)
        solution = highs.getSolution()
        values = np.array(solution.col_value)
        objective = float(np.dot(np.array(highs.getLp().col_cost_), values))
        bound = float(info.mip_dual_bound) if self.integer else objective if optimal else -math.inf
        # A solver that misprices its own solution is not believed about its bound either.
        if abs(objective - float(info.objective_function_value)) > 1e-5 * max(1.0, abs(objective)):
            bound = -math.inf
        duals, reduced = (none if self.integer else np.array(one) for one in (solution.row_dual, solution.col_dual))
        return Solved(values=values, objective=objective, bound=bound, feasible=True, duals=duals, reduced=reduced)
