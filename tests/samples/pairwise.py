"""The choice of step samples with a column for each pair of single pieces: the plain formulation, as oracle."""

from __future__ import annotations

import math
from collections import defaultdict

from lessonplan.samples.choice import Problem
from lessonplan.samples.ladder import contains
from lessonplan.samples.milp import Model, Solved, solve
from tests.samples.bruteforce import Unit, units

Terms = list[tuple[int, float]]


def sources(problem: Problem, asked: list[Unit], model: Model) -> defaultdict[tuple[int, str], Terms]:
    """New pieces and pieces from the drawer: columns by (unit, kind)."""
    entering: defaultdict[tuple[int, str], Terms] = defaultdict(list)
    weights, ladder = problem.weights, problem.ladder
    for u, unit in enumerate(asked):
        for kind in unit.kinds:
            cost = weights.piece + weights.bench * ladder.cost(kind, unit.start)
            entering[u, kind].append((model.column(cost, 0, 1, integer=True), 1.0))
    for piece in problem.drawer:
        once: Terms = []
        for u, unit in enumerate(asked):
            if piece.kind in unit.kinds and contains(unit.start, piece.state):
                minutes = ladder.between(piece.kind, piece.state, unit.start)
                once.append((model.column(weights.drawer + weights.bench * minutes, 0, 1, integer=True), 1.0))
                entering[u, piece.kind].append(once[-1])
        model.row(0, 1, once)
    return entering


def pairwise(problem: Problem) -> tuple[Model, list[Unit]]:
    """The whole program; knitting of each pair in each slot, waiting of each pair in each pause."""
    model, asked, ladder = Model(), units(problem), problem.ladder
    entering = sources(problem, asked, model)
    leaving: defaultdict[tuple[int, str], Terms] = defaultdict(list)
    waits = [model.column(problem.weights.waiting, 0, pause.waiting) for pause in problem.pauses]
    load: defaultdict[tuple[str, int], Terms] = defaultdict(list)
    for a, first in enumerate(asked):
        for b, then in enumerate(asked):
            for kind in first.kinds:
                if kind in then.kinds and first.shot < then.shot and contains(then.start, first.end):
                    minutes = ladder.between(kind, first.base, then.start)
                    drying = ladder.dried(then.start) - ladder.dried(first.base)
                    use = model.column(problem.weights.floor * minutes, 0, 1, integer=True)
                    entering[b, kind].append((use, 1.0))
                    leaving[a, kind].append((use, 1.0))
                    place(problem, model, use, (first.shot, then.shot, minutes, drying), waits, load)
    for (what, j), terms in load.items():
        if what == "shot":
            model.row(-math.inf, problem.shots[j].minutes * problem.shots[j].helpers, terms)
        else:
            model.row(-math.inf, problem.pauses[j].hands, [*terms, (waits[j], -1.0)])
    for u, unit in enumerate(asked):
        model.row(1, 1, [term for kind in unit.kinds for term in entering[u, kind]])
        for kind in unit.kinds:
            model.row(-math.inf, 0, leaving[u, kind] + [(c, -1.0) for c, _ in entering[u, kind]])
    return model, asked


def place(
    problem: Problem,
    model: Model,
    use: int,
    move: tuple[int, int, float, float],
    waits: list[int],
    load: defaultdict[tuple[str, int], Terms],
) -> None:
    """Knitting columns of one pair for each slot between its shots; the pair's clock is kept."""
    leaves, enters, minutes, drying = move
    knit: Terms = []
    room: Terms = [(use, -minutes - drying)]
    for j in range(leaves + 1, enters):
        clock = problem.shots[j].minutes
        knit.append((model.column(0, 0, clock), 1.0))
        model.row(-math.inf, 0, [knit[-1], (use, -clock)])
        load["shot", j].append(knit[-1])
        room.append((use, clock))
    for j in range(leaves, enters):
        pause = problem.pauses[j]
        knit.append((model.column(0, 0, pause.minutes + pause.waiting), 1.0))
        stretch = model.column(0, 0, pause.waiting)
        model.row(-math.inf, 0, [(stretch, 1.0), (waits[j], -1.0)])
        model.row(-math.inf, 0, [(stretch, 1.0), (use, -pause.waiting)])
        model.row(-math.inf, 0, [knit[-1], (use, -pause.minutes), (stretch, -1.0)])
        load["pause", j].append(knit[-1])
        room += [(use, pause.minutes), (stretch, 1.0)]
    model.row(0, 0, [*knit, (use, -minutes)])
    summed: defaultdict[int, float] = defaultdict(float)
    for column, value in room:
        summed[column] += value
    model.row(0, math.inf, list(summed.items()))


def solve_pairwise(problem: Problem, time_limit: float = math.inf) -> Solved:
    """Solve the plain formulation to proven optimum."""
    model, _ = pairwise(problem)
    return solve(model, time_limit)
