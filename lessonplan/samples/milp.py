"""A mixed-integer model built row by row and solved by HiGHS, on one thread and without randomness."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

Progress = Callable[[float, float | None, float | None], None]
"""Called now and then with: seconds spent, best cost so far, proven bound (None while there is none)."""


@dataclass(frozen=True, slots=True)
class Solved:
    """``values``: one per column, empty when none was found. ``bound``: proven lower bound of the objective.

    ``duals``: one per row, only for a model without integers. ``feasible`` is False only when proven so.
    """

    values: list[float]
    objective: float
    bound: float
    optimal: bool
    feasible: bool
    duals: list[float] = field(default_factory=list)


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

    def column(self, cost: float, low: float, high: float, *, integer: bool = False) -> int:
        """Add a column and give its index."""
        self.cost.append(cost)
        self.low.append(low)
        self.high.append(high)
        self.integer.append(integer)
        return len(self.cost) - 1

    def row(self, low: float, high: float, terms: Sequence[tuple[int, float]]) -> int:
        """Add the row low <= sum of coefficient * column <= high and give its index."""
        for column, value in terms:
            self.columns.append(column)
            self.values.append(value)
        self.starts.append(len(self.columns))
        self.row_low.append(low)
        self.row_high.append(high)
        return len(self.row_low) - 1

    def lp(self) -> highspy.HighsLp:
        """The model as HiGHS takes it."""
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.cost), len(self.row_low)
        lp.col_cost_ = np.array(self.cost, dtype=float)
        lp.col_lower_ = np.array(self.low, dtype=float)
        lp.col_upper_ = np.array(self.high, dtype=float)
        lp.row_lower_ = np.array(self.row_low, dtype=float)
        lp.row_upper_ = np.array(self.row_high, dtype=float)
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


def engine(time_limit: float) -> highspy.Highs:
    """A silent HiGHS with one thread, a fixed seed and tight tolerances."""
    highs: highspy.Highs = Quiet()  # type: ignore[no-untyped-call,unused-ignore]
    options: dict[str, bool | int | float] = {
        "output_flag": False,
        "threads": 1,
        "random_seed": 7,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 1e-7,
        "mip_feasibility_tolerance": 1e-7,
        "mip_allow_restart": False,
        "primal_feasibility_tolerance": 1e-8,
        "time_limit": max(0.01, time_limit),
    }
    for name, value in options.items():
        highs.setOptionValue(name, value)
    return highs


def solve(model: Model, time_limit: float = math.inf, progress: Progress | None = None) -> Solved:
    """Solve to proven optimum, or as far as ``time_limit`` seconds allow."""
    if not model.cost:
        holds = all(low <= 0 <= high for low, high in zip(model.row_low, model.row_high, strict=True))
        return Solved([], 0.0, 0.0, optimal=holds, feasible=holds)
    highs = engine(time_limit)
    highs.passModel(model.lp())
    if progress is not None:
        _report(highs, progress)
    highs.run()
    return result(highs, any(model.integer))


def _report(highs: highspy.Highs, progress: Progress) -> None:
    began = time.monotonic()

    def tell(event: highspy.HighsCallbackEvent) -> None:
        best, bound = event.data_out.mip_primal_bound, event.data_out.mip_dual_bound
        progress(
            time.monotonic() - began,
            float(best) if math.isfinite(best) else None,
            float(bound) if math.isfinite(bound) else None,
        )

    highs.cbMipLogging.subscribe(tell)


def result(highs: highspy.Highs, integer: bool) -> Solved:
    """What HiGHS found, in plain Python numbers."""
    status, info = highs.getModelStatus(), highs.getInfo()
    optimal = status == highspy.HighsModelStatus.kOptimal
    infeasible = status in (
        highspy.HighsModelStatus.kInfeasible,
        highspy.HighsModelStatus.kUnboundedOrInfeasible,
    )
    has_point = info.primal_solution_status == 2
    solution = highs.getSolution()
    objective = float(info.objective_function_value) if has_point else math.inf
    bound = float(info.mip_dual_bound) if integer else (objective if optimal else -math.inf)
    if has_point:
        lp = highs.getLp()
        price = float(np.dot(np.array(lp.col_cost_), np.array(solution.col_value)))
        # A solver that misprices its own solution is not believed about optimality either.
        if abs(price - objective) > 1e-5 * max(1.0, abs(price)):
            objective, bound, optimal = price, -math.inf, False
    return Solved(
        values=[float(v) for v in solution.col_value] if has_point else [],
        objective=objective,
        bound=objective if optimal else bound,
        optimal=optimal,
        feasible=not infeasible,
        duals=[] if integer else [float(v) for v in solution.row_dual],
    )
