"""A small integer model solved by HiGHS: the same answer on every machine, stopped by work alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

import highspy

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
