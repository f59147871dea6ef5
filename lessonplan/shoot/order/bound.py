"""A lower bound of what every order of the shots costs: the least changes, and the pieces that a shot needs at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from lessonplan.samples.choice import Question, Way
from lessonplan.shoot.order.setting import Setting


def least_changes(setting: Setting, shots: Sequence[int]) -> float:
    """A lower bound of the minutes of changes for filming some shots of a day in any order.

    An order of them is a path through all, so it takes no less than the cheapest tree through all (Prim, Bell System
    Technical Journal 36, 1957; from memory). Locks are not looked at.
    """
    change, total = setting.change, 0.0
    near = {j: min(change[shots[0]][j].minutes, change[j][shots[0]].minutes) for j in shots[1:]}
    while near:
        now = min(near, key=lambda j: (near[j], j))
        total += near.pop(now)
        near = {j: min(cost, change[now][j].minutes, change[j][now].minutes) for j, cost in near.items()}
    return total


def least_samples(question: Question) -> float:
    """A lower bound of what the samples of any order cost: what the pieces cost that one slot needs at once.

    Each of them is begun and brought to its state at the least price there is for each step, before the shoot or on
    it; steps that some shot works cost nothing, nor do as many of the pieces as are ready. Pieces may go from shot to
    shot for nothing.
    """
    worked = _worked_in_shots(question)
    by_slot: defaultdict[int, list[float]] = defaultdict(list)
    for demand in question.demands:
        ways = question.possible(demand)
        by_slot[demand.slot] += [min((_least(question, way, worked) for way in ways), default=0.0)] * demand.count
    ready = len(question.ready)
    return max((sum(sorted(costs, reverse=True)[ready:]) for costs in by_slot.values()), default=0.0)


def _worked_in_shots(question: Question) -> set[tuple[str, int, int]]:
    """The steps (kind, stage, step) that a piece may have without anybody having knitted them for it."""
    return {
        (way.kind, stage, step)
        for demand in question.demands
        for way in question.possible(demand)
        for stage, (start, stop) in enumerate(zip(way.start, way.counted, strict=True))
        for step in range(start, stop)
    }


def _least(question: Question, way: Way, worked: set[tuple[str, int, int]]) -> float:
    """The least price of a new piece that comes this way."""
    if way.only_after:
        return 0.0
    weights, ladder = question.weights, question.ladders[way.kind]
    return weights.piece + sum(
        min(weights.bench * (bench[step + 1] - bench[step]), weights.floor * (floor[step + 1] - floor[step]))
        for stage, (bench, floor, done) in enumerate(zip(ladder.bench, ladder.floor, way.start, strict=True))
        for step in range(done)
        if (way.kind, stage, step) not in worked
    )
