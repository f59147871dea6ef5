"""The cheapest set of step samples for a shoot, exactly.

A shoot asks for pieces in given states. A piece can serve several demands in turn when the work and the drying in
between fit into the time there is. Choosing who serves what is a minimum cost path cover with shared capacities (the
hands), solved to proven optimum: first without any minutes, then with a row for each set of slots in which too much
was to be worked, found on the linear program and on the integer one; where such rows do not suffice (the camera's
waits), every minute is put in. A plan in which nobody works on the set is always at hand should the work run out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from lessonplan.samples.choice.answer import Choice, NoPlanError, Piece, Progress, Spell, Stop
from lessonplan.samples.choice.links import Floats, Link
from lessonplan.samples.choice.pieces import Used, pieces_of
from lessonplan.samples.choice.placing import DUST, Placed, Runs, place
from lessonplan.samples.choice.program import Program
from lessonplan.samples.choice.question import Demand, Limit, Question, Ready, Way
from lessonplan.samples.choice.solver import Engine, Model, Solved

WORK = 3000
"""Looks of HiGHS at its limits after which the best plan found is taken; counted, so that every run ends alike."""
HEAVY, SURE = 3000, 100
"""Columns for which a look counts once more, and looks that a plan to fall back on may take at any rate."""
ROUNDS = 60
"""Rounds of adding rows to the linear program."""
MUCH, MANY = 0.01, 4000
"""What part the bound must rise for every minute to be put in at once; spans of work up to which that is tried."""
LIKELY, GROWTH = 700, 6
"""Columns among which a plan is looked for first, and how many times more each time after."""


@dataclass(slots=True)
class _Search:
    """What is known so far: the program, the best plan that can be carried out, and what every plan costs at least."""

    program: Program
    work: float
    progress: Progress
    runs: Runs = field(init=False)
    best: Used | None = None
    cost: float = math.inf
    bound: float = -math.inf
    every_minute: bool = False
    reduced: Floats = field(default_factory=lambda: np.zeros(0))

    def __post_init__(self) -> None:
        self.runs = Runs(self.program.times, self.program.jobs)
        if not self.program.nodes:
            self.best, self.cost, self.bound = Used((), (), (), {}), 0.0, 0.0

    def relax(self) -> Solved:
        """Solve the linear program, adding the rows it breaks to it and to the model."""
        engine = Engine(self.program.model.relaxed())
        solved = engine.run()
        for _ in range(ROUNDS):
            if not len(solved.values):
                break
            new = self.runs.broken(solved.values, self.waited(solved.values))
            if not new:
                break
            for slots in new:
                low, high, terms = -math.inf, *self._row(slots)
                engine.add(low, high, terms)
                self.program.model.row(low, high, terms)
            solved = engine.run()
        self.bound = max(self.bound, solved.bound if solved.feasible else math.inf)
        return solved

    def _row(self, slots: tuple[int, ...]) -> tuple[float, list[tuple[int, float]]]:
        hands, terms = self.runs.row(slots)
        return hands, [*terms, *self.program.waited(slots, -1.0)]

    def waited(self, values: Floats) -> Floats:
        """The camera's waits by slot."""
        waits = np.zeros(len(self.program.times.clock))
        for slot, column in self.program.waits.items():
            waits[slot] = max(0.0, values[column])
        return waits

    def solve(self, model: Model, least: int = 0) -> Solved:
        """Solve with whole pieces, as far as the work left allows, but with ``least`` looks at any rate."""
        engine = Engine(model)
        price = 1.0 + sum(high > 0 for high in model.high) / HEAVY
        solved = engine.run(max(least, int(self.work / price)))
        self.work -= engine.calls * price
        return solved

    def keep(self, solved: Solved) -> tuple[Placed, list[Link]]:
        """Place the work of a solution; it is kept if it can be carried out and is the cheapest so far."""
        chosen = [i for i, column in enumerate(self.program.links) if solved.values[column] > 0.5]
        links = [self.program.net[i] for i in chosen]
        waits = self.waited(solved.values)
        placed = place(self.program.times, waits, [span for link in links for span in link.work])
        if placed.complete and solved.objective < self.cost:
            shares = iter(placed.minutes)
            works = [{slot: m for _ in link.work for slot, m in next(shares).items()} for link in links]
            self.cost = solved.objective
            self.best = Used(
                new=tuple(n for n, column in self.program.new.items() if solved.values[column] > 0.5),
                ready=tuple(key for key, column in self.program.ready.items() if solved.values[column] > 0.5),
                links=tuple(zip(links, works, strict=True)),
                waits={slot: float(minutes) for slot, minutes in enumerate(waits) if minutes > DUST},
            )
        return placed, links

    def only(self, links: list[Link], waits: Floats) -> Model:
        """The model in which work is done on the set only along these links, and the camera waits just so long."""
        model = self.program.model
        allowed = {id(link) for link in links}
        high, low = list(model.high), list(model.low)
        for link, column in zip(self.program.net, self.program.links, strict=True):
            if link.work and id(link) not in allowed:
                high[column] = 0.0
        if links:
            for slot, column in self.program.waits.items():
                low[column] = high[column] = float(min(waits[slot], high[column]))
        return replace(model, high=high, low=low)

    def within(self, over: float) -> Model:
        """The model without what no plan uses that costs up to so much more than the linear program says."""
        high = np.array(self.program.model.high)
        high[: len(self.reduced)][self.reduced > over + DUST] = 0.0
        return replace(self.program.model, high=list(high))

    def run(self) -> None:
        """Look for the cheapest plan until it is proven or the work is done.

        First only among what the prices of the linear program call likely; a plan with anything else in it costs more
        than that program by the price of the unlikely at least.
        """
        linear = self.relax()
        naive = self.solve(self.only([], np.zeros(0)), SURE)
        if len(naive.values):
            self.keep(naive)
        linear = self._with_minutes() or linear
        whole = np.array(self.program.model.integer[: len(linear.reduced)], dtype=bool)
        self.reduced = np.where(whole, linear.reduced, 0.0)
        prices, likely = np.sort(linear.reduced[whole]), LIKELY
        while self.work > 0 and self.cost > self.bound + 1e-9:
            self.progress(None if self.best is None else self.cost, self.bound)
            over = float(prices[likely]) if likely < len(prices) else math.inf
            over = min(over, max(0.0, self.cost - linear.bound))
            solved = self.solve(self.within(over))
            self.bound = max(self.bound, min(solved.bound if solved.feasible else math.inf, linear.bound + over))
            if not len(solved.values) or self._carried_out(solved):
                if likely >= len(prices):
                    break
                likely *= GROWTH
        self.bound = min(self.bound, self.cost)
        self.progress(None if self.best is None else self.cost, self.bound)

    def _with_minutes(self) -> Solved | None:
        """Put every minute of work into the model at once where that raises the bound by much; give the bound then."""
        model = self.program.model
        if not self.program.waits or len(self.program.jobs) > MANY:
            return None
        without = len(model.cost), len(model.row_low)
        self.program.minutes()
        linear = Engine(model.relaxed()).run()
        if linear.bound > self.bound * (1 + MUCH):
            self.bound, self.every_minute = linear.bound, True
            return linear
        model.cut(*without)
        return None

    def _carried_out(self, solved: Solved) -> bool:
        """Keep a solution if it can be carried out; else keep what is left of it and add the rows that it breaks."""
        placed, links = self.keep(solved)
        if placed.complete:
            return True
        self._mend(solved, placed, links)
        waits = self.waited(solved.values)
        new = self.runs.broken(solved.values, waits)
        if placed.tight and self.runs.breaks(placed.tight, solved.values, waits):
            new.append(placed.tight)
        for slots in new:
            self.program.model.row(-math.inf, *self._row(slots))
        if not new and not self.every_minute:
            self.program.minutes()
            self.every_minute = True
            return False
        return not new

    def _mend(self, solved: Solved, placed: Placed, links: list[Link]) -> None:
        """Keep the plan that is left when the links whose work found no room are given up."""
        owners = [link for link in links for _ in link.work]
        lost = {id(link) for link, missing in zip(owners, placed.missing, strict=True) if missing > DUST}
        room = [link for link in links if link.work and id(link) not in lost]
        mended = self.solve(self.only(room, self.waited(solved.values)), SURE)
        if len(mended.values):
            self.keep(mended)


def choose(question: Question, *, effort: float = 1.0, progress: Progress = lambda best, bound: None) -> Choice:
    """The cheapest plan, the same one for the same question.

    When so many times the usual work is done (``effort``), it is the best one found so far. Demands that nothing can
    serve are named in the answer and left out of the plan. NoPlanError: only with limits or with ways that come only
    after another demand.
    """
    question, was = kinds_apart(question)
    search = _Search(Program(question), effort * WORK, progress)
    if search.best is None:
        search.run()
    if search.best is None:
        raise NoPlanError("no plan within the limits")
    return as_asked(_answer(question, search.program, search.best, search.bound), was)


def bound(question: Question) -> float:
    """A lower bound of what every plan costs, soon found: the linear program; infinite when there is no plan."""
    search = _Search(Program(kinds_apart(question)[0]), WORK, lambda best, bound: None)
    if search.best is None:
        search.relax()
    return search.bound - search.program.evens


def _answer(question: Question, program: Program, used: Used, bound: float) -> Choice:
    pieces, costs = pieces_of(program, used)
    cost = costs.total
    naive: dict[int, float] = {}
    for node in program.nodes:
        minutes = question.ladders[node.way.kind].cost(node.way.start)
        naive[node.unit] = min(minutes, naive.get(node.unit, math.inf))
    optimal = cost <= bound + 1e-6 * max(1.0, cost)
    return Choice(
        pieces=pieces,
        waits=tuple(Spell(slot, minutes) for slot, minutes in sorted(used.waits.items())),
        cost=cost,
        costs=costs,
        bench_minutes=sum(piece.bench for piece in pieces),
        floor_minutes=sum(piece.floor for piece in pieces),
        waiting_minutes=sum(used.waits.values()),
        naive_pieces=len(naive),
        naive_cost=sum(question.weights.piece + question.weights.bench * minutes for minutes in naive.values()),
        naive_minutes=sum(naive.values()),
        optimal=optimal,
        gap=0.0 if optimal else (cost - bound + program.evens) / cost,
        bound=min(bound - (0.0 if optimal else program.evens), cost),
        unused=tuple(one.name for one in question.ready if one.name not in {piece.ready for piece in pieces}),
    )


def without(question: Question, piece: Piece, plan: Choice) -> Question:
    """The question changed so that one ``piece`` fewer of its kind and first state can be made than in ``plan``.

    A piece that is ready is taken away instead.
    """
    if piece.ready:
        return replace(question, ready=tuple(one for one in question.ready if one.name != piece.ready))
    apart = {demand.name: demand.name for demand in question.demands if demand.apart}
    own = apart.get(piece.stops[0].demand, "")
    same = sum(
        (one.kind, one.first, one.ready, apart.get(one.stops[0].demand, "")) == (piece.kind, piece.first, "", own)
        for one in plan.pieces
    )
    limit = Limit(piece.kind, piece.first, max(0, same - 1), own)
    return replace(question, limits=(*question.limits, limit))


def cost_without(question: Question, piece: Piece, plan: Choice) -> float | None:
    """The least cost when ``piece`` of the plan for ``question`` is not made; None when that cannot be.

    Of a new piece, one fewer may be made to that very state in that kind than the plan has; what it did falls to the
    other pieces, to pieces begun earlier and knitted on, to other ways or to pieces that are ready, with everything
    chosen anew.
    """
    try:
        return choose(without(question, piece, plan)).cost
    except NoPlanError:
        return None


def kinds_apart(question: Question) -> tuple[Question, Mapping[str, str]]:
    """Put the question with a kind of its own for each ready piece that must not come to some demands.

    Where a piece comes after its first demand is known only by its kind; of such a kind, worked like the one that it
    was (which is given by its name), nothing new is begun.
    """
    kept = {f"{one.kind}: {one.name}": one for one in question.ready if one.not_for}
    if not kept:
        return question, {}
    limits = {
        Limit(kind, way.start, 0, demand.name if demand.apart else "")
        for kind, piece in kept.items()
        for demand in question.demands
        for way in _also(demand, kind, piece)
    }
    ready = (replace(one, kind=f"{one.kind}: {one.name}") if one.not_for else one for one in question.ready)
    asked = replace(
        question,
        ladders={**question.ladders, **{kind: question.ladders[one.kind] for kind, one in kept.items()}},
        demands=tuple(
            replace(one, ways=(*one.ways, *(way for kind, piece in kept.items() for way in _also(one, kind, piece))))
            for one in question.demands
        ),
        ready=tuple(ready),
        limits=(*question.limits, *sorted(limits, key=lambda one: (one.kind, one.state, one.apart))),
    )
    return asked, {kind: one.kind for kind, one in kept.items()}


def _also(demand: Demand, kind: str, piece: Ready) -> tuple[Way, ...]:
    """The ways in which a piece that is kept from something may serve a demand, as of a kind of its own."""
    if demand.name in piece.not_for:
        return ()
    return tuple(replace(way, kind=kind) for way in demand.ways if way.kind == piece.kind)


def as_asked(choice: Choice, was: Mapping[str, str]) -> Choice:
    """Give the plan with the kinds that were asked for."""

    def stop(one: Stop) -> Stop:
        """A stop with the kind that was asked for."""
        return replace(one, way=replace(one.way, kind=was.get(one.way.kind, one.way.kind)))

    def piece(one: Piece) -> Piece:
        """A piece with the kind that was asked for."""
        return replace(one, kind=was.get(one.kind, one.kind), stops=tuple(map(stop, one.stops)))

    return replace(choice, pieces=tuple(map(piece, choice.pieces))) if was else choice
