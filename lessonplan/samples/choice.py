"""The cheapest set of step samples for a shoot, exactly.

A shoot asks for pieces in given states (appearances). A piece that only moves forward can serve several of
them in turn when the knitting in between fits into the time there is. Choosing who serves what is a minimum
cost path cover with shared capacities (the knitting hands), solved to proven optimum by HiGHS.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.samples.decode import pieces
from lessonplan.samples.demand import Demand, demands
from lessonplan.samples.ladder import Ladder, State
from lessonplan.samples.milp import Progress
from lessonplan.samples.plan import Choice, Impossible, Piece, Spell, Stop, Wait
from lessonplan.samples.problem import (
    Appearance,
    Drawer,
    Limit,
    Pause,
    Problem,
    Shot,
    Weights,
    why_impossible,
)
from lessonplan.samples.solve import NoPlanError, best_flows
from lessonplan.samples.timeline import timeline

__all__ = [
    "Appearance",
    "Choice",
    "Drawer",
    "Impossible",
    "Ladder",
    "Limit",
    "NoPlanError",
    "Pause",
    "Piece",
    "Problem",
    "Shot",
    "Spell",
    "State",
    "Stop",
    "Wait",
    "Weights",
    "choose",
    "choose_problem",
    "cost_without",
    "without",
]


def choose(
    ladder: Ladder,
    appearances: Sequence[Appearance],
    shots: Sequence[Shot],
    pauses: Sequence[Pause],
    drawer: Sequence[Drawer],
    weights: Weights,
    *,
    time_limit: float = 30.0,
    progress: Progress | None = None,
) -> Choice:
    """The cheapest plan; see ``choose_problem``."""
    problem = Problem(ladder, tuple(appearances), tuple(shots), tuple(pauses), tuple(drawer), weights)
    return choose_problem(problem, time_limit=time_limit, progress=progress)


def choose_problem(problem: Problem, *, time_limit: float = 30.0, progress: Progress | None = None) -> Choice:
    """The cheapest plan, the same one for the same input; after ``time_limit`` seconds the best found so far.

    Appearances that nothing can serve are named in the answer and left out of the plan. Knitting before the
    shoot takes a piece just to the state it is first needed in. ``progress`` is called now and then with the
    seconds spent, the best cost and the bound. NoPlanError: only with ``limits``, or when the time limit is
    too short to find any plan.
    """
    wanted = demands(problem)
    times = timeline(problem.shots, problem.pauses)
    began = time.monotonic()

    def tell(best: float | None, bound: float | None) -> None:
        if progress is not None:
            progress(time.monotonic() - began, best, bound)

    found = best_flows(problem, wanted, times, began + time_limit, tell)
    made = pieces(problem, found.flows, wanted)
    waits = tuple(Wait(slot // 2, minutes) for slot, minutes in sorted(found.flows.waits.items()))
    return _answer(problem, wanted, made, waits, found.bound)


def _answer(
    problem: Problem, wanted: Sequence[Demand], made: tuple[Piece, ...], waits: tuple[Wait, ...], bound: float
) -> Choice:
    waiting = sum(wait.minutes for wait in waits)
    cost = sum(piece.cost for piece in made) + problem.weights.waiting * waiting
    near = 1e-6 * max(1.0, cost)
    naive = [_naive(problem, demand) for demand in wanted for _ in range(demand.count)]
    used = {piece.drawer for piece in made}
    reasons = ((a.name, why_impossible(problem.ladder, a)) for a in problem.appearances)
    optimal = cost <= bound + near
    return Choice(
        pieces=made,
        waits=waits,
        cost=cost,
        bench_minutes=sum(piece.bench for piece in made),
        floor_minutes=sum(piece.floor for piece in made),
        waiting_minutes=waiting,
        naive_pieces=len(naive),
        naive_cost=sum(problem.weights.piece + problem.weights.bench * minutes for minutes in naive),
        naive_minutes=sum(naive),
        optimal=optimal,
        gap=0.0 if optimal else (cost - bound) / cost,
        bound=min(bound, cost),
        impossible=tuple(Impossible(name, why) for name, why in reasons if why),
        unused=tuple(d.name for d in problem.drawer if d.name not in used),
    )


def _naive(problem: Problem, demand: Demand) -> float:
    return min(problem.ladder.cost(kind, demand.start) for kind in demand.kinds)


def cost_without(
    problem: Problem, piece: Piece, *, plan: Choice | None = None, time_limit: float = 30.0
) -> float | None:
    """The least cost when ``piece`` of the plan for ``problem`` is not made; None when that cannot be.

    A piece from the drawer is taken out of the drawer. Of a new piece, one fewer may be knitted before the
    shoot to that very state in that kind than the plan has; its appearances fall to the other pieces, to
    pieces begun earlier and knitted on, to other kinds or to the drawer, with everything chosen anew.
    ``plan``: the plan, if it is at hand; else it is made again.
    """
    try:
        changed = without(problem, piece, plan or choose_problem(problem, time_limit=time_limit))
        return choose_problem(changed, time_limit=time_limit).cost
    except NoPlanError:
        return None


def without(problem: Problem, piece: Piece, plan: Choice) -> Problem:
    """The problem changed so that one ``piece`` fewer of its kind and first state can be made than in ``plan``."""
    if piece.drawer:
        return replace(problem, drawer=tuple(d for d in problem.drawer if d.name != piece.drawer))
    same = sum(p.kind == piece.kind and p.first == piece.first and not p.drawer for p in plan.pieces)
    limit = Limit(piece.kind, piece.first, max(0, same - 1))
    return replace(problem, limits=(*problem.limits, limit))
