"""The choice of step samples by trying everything: for instances of a handful of pieces only."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from lessonplan.samples.choice import Problem
from lessonplan.samples.ladder import State, contains
from lessonplan.samples.milp import Model, solve


@dataclass(frozen=True, slots=True)
class Unit:
    """One piece asked for in one shot."""

    shot: int
    start: State
    end: State
    base: State
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """A piece to be knitted and dried between the end of one shot and the start of another."""

    leaves: int
    enters: int
    knitting: float
    drying: float


@dataclass(slots=True)
class Search:
    """Depth first over the units in order of shots: each is new, from the drawer, or follows an earlier one."""

    problem: Problem
    units: list[Unit]
    best: float = math.inf
    kinds: list[str] = field(default_factory=list)
    followed: set[int] = field(default_factory=set)
    drawn: set[int] = field(default_factory=set)
    moves: list[Move] = field(default_factory=list)

    def descend(self, cost: float) -> None:
        """Try everything for the next unit; ``cost`` is what the earlier ones took."""
        if cost >= self.best:
            return
        index = len(self.kinds)
        if index == len(self.units):
            self.best = min(self.best, cost + waiting_cost(self.problem, self.moves))
            return
        for kind in self.units[index].kinds:
            self.kinds.append(kind)
            self._fresh(index, kind, cost)
            self._from_drawer(index, kind, cost)
            self._follow(index, kind, cost)
            self.kinds.pop()

    def _fresh(self, index: int, kind: str, cost: float) -> None:
        weights = self.problem.weights
        minutes = self.problem.ladder.cost(kind, self.units[index].start)
        self.descend(cost + weights.piece + weights.bench * minutes)

    def _from_drawer(self, index: int, kind: str, cost: float) -> None:
        weights, start = self.problem.weights, self.units[index].start
        for d, piece in enumerate(self.problem.drawer):
            if d not in self.drawn and piece.kind == kind and contains(start, piece.state):
                self.drawn.add(d)
                minutes = self.problem.ladder.between(kind, piece.state, start)
                self.descend(cost + weights.drawer + weights.bench * minutes)
                self.drawn.remove(d)

    def _follow(self, index: int, kind: str, cost: float) -> None:
        ladder, unit = self.problem.ladder, self.units[index]
        for before in range(index):
            earlier = self.units[before]
            if before in self.followed or self.kinds[before] != kind or earlier.shot >= unit.shot:
                continue
            if contains(unit.start, earlier.end):
                minutes = ladder.between(kind, earlier.base, unit.start)
                drying = ladder.dried(unit.start) - ladder.dried(earlier.base)
                self.followed.add(before)
                self.moves.append(Move(earlier.shot, unit.shot, minutes, drying))
                self.descend(cost + self.problem.weights.floor * minutes)
                self.moves.pop()
                self.followed.remove(before)


def waiting_cost(problem: Problem, moves: list[Move]) -> float:
    """The least the camera has to wait, at its price, for these moves; infinite when they cannot be done."""
    model = Model()
    waits = [model.column(problem.weights.waiting, 0, pause.waiting) for pause in problem.pauses]
    in_shot: list[list[tuple[int, float]]] = [[] for _ in problem.shots]
    in_pause: list[list[tuple[int, float]]] = [[] for _ in problem.pauses]
    for move in moves:
        knit, room = [], -move.knitting - move.drying
        for j in range(move.leaves + 1, move.enters):
            knit.append((model.column(0, 0, problem.shots[j].minutes), 1.0))
            in_shot[j].append(knit[-1])
            room += problem.shots[j].minutes
        for j in range(move.leaves, move.enters):
            knit.append((model.column(0, 0, math.inf), 1.0))
            in_pause[j].append(knit[-1])
            model.row(-math.inf, problem.pauses[j].minutes, [knit[-1], (waits[j], -1.0)])
            room += problem.pauses[j].minutes
        model.row(move.knitting, move.knitting, knit)
        model.row(-room, math.inf, [(waits[j], 1.0) for j in range(move.leaves, move.enters)])
    for j, terms in enumerate(in_shot):
        model.row(-math.inf, problem.shots[j].minutes * problem.shots[j].helpers, terms)
    for j, terms in enumerate(in_pause):
        model.row(-math.inf, problem.pauses[j].hands, [*terms, (waits[j], -1.0)])
    solved = solve(model)
    return solved.objective if solved.optimal else math.inf


def units(problem: Problem) -> list[Unit]:
    """One unit for each copy and each spare, in order of shots."""
    found = []
    for a in sorted(problem.appearances, key=lambda a: a.shot):
        kinds = tuple(kind for kind in a.kinds if kind in problem.ladder.minutes)
        found += [Unit(a.shot, a.start, a.end, a.end, kinds)] * a.copies
        found += [Unit(a.shot, a.start, a.end, a.start, kinds)] * a.spare
    return found


def least_cost(problem: Problem) -> float:
    """The cost of the cheapest plan."""
    search = Search(problem, units(problem))
    search.descend(0.0)
    return search.best
