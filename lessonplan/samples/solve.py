"""One part of a problem solved: bound, integer programs, and the program with every minute as the last word."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lessonplan.samples.decompose import merged, parts, renumbered, together
from lessonplan.samples.demand import Demand
from lessonplan.samples.exact import Exact, Flow, Flows
from lessonplan.samples.integer import Plan
from lessonplan.samples.master import INFINITY, Master
from lessonplan.samples.milp import solve
from lessonplan.samples.network import Candidates, candidates
from lessonplan.samples.problem import Problem
from lessonplan.samples.relax import Relaxation
from lessonplan.samples.search import Search, Tell
from lessonplan.samples.timeline import Timeline


class NoPlanError(Exception):
    """No plan exists within the limits, or none was found within the time limit."""


@dataclass(frozen=True, slots=True)
class Found:
    """Flows of a plan and a proven lower bound of the cost of every plan."""

    flows: Flows
    cost: float
    bound: float


def best_flows(problem: Problem, wanted: Sequence[Demand], times: Timeline, deadline: float, tell: Tell) -> Found:
    """The cheapest flows for these demands; the best found when the deadline (monotonic) comes first.

    Independent parts are solved one by one, each as if it had all hands to itself. When their plans then fit
    together they are the answer, for the parts' bounds add up; else everything is solved at once.
    """
    if not wanted:
        return Found(Flows({}, {}, [], {}), 0.0, 0.0)
    links = candidates(problem, wanted, times)
    groups = parts(problem, wanted, times, links)
    if len(groups) == 1:
        return _whole(problem, wanted, times, links, deadline, tell)
    found = []
    for group in groups:
        some = [wanted[b] for b in group]
        found.append(_whole(problem, some, times, candidates(problem, some, times), deadline, _silent))
    cost, bound = sum(f.cost for f in found), sum(f.bound for f in found)
    tell(cost, bound)
    all_flows = merged([renumbered(f.flows, group) for f, group in zip(found, groups, strict=True)])
    placed, schedule = together(wanted, times, all_flows)
    if schedule.complete:
        return Found(placed, cost, bound)
    at_once = _whole(problem, wanted, times, links, deadline, tell)
    return Found(at_once.flows, at_once.cost, min(at_once.cost, max(bound, at_once.bound)))


def _silent(best: float | None, bound: float | None) -> None:
    """Nothing to report: the figures of a part would mislead."""


def _whole(
    problem: Problem,
    wanted: Sequence[Demand],
    times: Timeline,
    links: Candidates,
    deadline: float,
    tell: Tell,
) -> Found:
    search = Search(Relaxation(Master(problem, wanted, times, links)), deadline, tell)
    search.run()
    if search.stuck:
        return _every_minute(search, links, deadline)
    if search.hopeless:
        raise NoPlanError("no plan within the limits")
    if search.best is None:
        raise NoPlanError("no plan found within the time limit")
    return Found(_flows(search.best, links), search.best.cost, min(search.bound, search.best.cost))


def _flows(plan: Plan, links: Candidates) -> Flows:
    flows = [Flow(links.link(j), 1, minutes) for j, minutes in plan.links]
    return Flows(plan.new, plan.drawer, flows, plan.waits)


def _every_minute(search: Search, links: Candidates, deadline: float) -> Found:
    """The program in which each minute of knitting has its slot, over the links a better plan could use."""
    master = search.master
    possible = np.nonzero(search.relaxation.reduced <= search.gap + 1e-6)[0]
    program = Exact(master.problem, master.wanted, master.times)
    holds = [(a, b, links.kinds[k]) for a, b, k in links.holds]
    model = program.build([links.link(int(j)) for j in possible], holds)
    solved = solve(model, max(0.01, deadline - time.monotonic()))
    if not solved.values or (search.best is not None and solved.objective >= search.best.cost - 1e-9):
        if search.best is None:
            raise NoPlanError("no plan within the limits" if not solved.feasible else "no plan found in time")
        bound = search.best.cost if solved.optimal or not solved.feasible else max(search.bound, solved.bound)
        return Found(_flows(search.best, links), search.best.cost, min(bound, search.best.cost))
    bound = max(search.bound, solved.bound if solved.bound > -INFINITY else 0.0)
    return Found(program.flows(solved), solved.objective, min(bound, solved.objective))
