"""A lower bound of what every order of the shots costs: the least changes, and the pieces that one shot needs at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from lessonplan.samples.choice import Demand, Question, Way
from lessonplan.shoot.order.setting import Setting


def least_changes(setting: Setting, shots: Sequence[int]) -> float:
    """A lower bound of the minutes of changes for filming some shots of a day in any order.

    An order of them is a path through all, so it takes no less than the cheapest tree through all (Prim, Bell System
    Technical Journal 36, 1957). Locks are not looked at.
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

    Each of them is begun and brought to its state at the least price there is, before the shoot or on it; what is
    ready costs nothing here. Pieces may go from shot to shot for nothing.
    """
    by_slot: defaultdict[int, float] = defaultdict(float)
    for demand in question.demands:
        by_slot[demand.slot] += demand.count * min((_least(question, demand, way) for way in demand.ways), default=0.0)
    return max(by_slot.values(), default=0.0)


def _least(question: Question, demand: Demand, way: Way) -> float:
    weights, ladder = question.weights, question.ladders[way.kind]
    if question.ready or way.only_after:
        return 0.0
    floor = sum(row[done] for row, done in zip(ladder.floor, way.start, strict=True))
    return weights.piece + min(weights.bench * ladder.cost(way.start), weights.floor * floor)
