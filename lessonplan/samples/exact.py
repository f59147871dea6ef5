"""The choice as one mixed-integer program over given links, each minute of knitting placed in a slot."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from lessonplan.samples.demand import Demand, Link
from lessonplan.samples.ladder import contains
from lessonplan.samples.milp import Model, Solved
from lessonplan.samples.problem import Problem
from lessonplan.samples.timeline import SLACK, Timeline


@dataclass(frozen=True, slots=True)
class Flow:
    """A link used by ``count`` pieces; each is knitted on for ``knitting[slot]`` minutes."""

    link: Link
    count: int
    knitting: dict[int, float]


@dataclass(frozen=True, slots=True)
class Flows:
    """Where pieces come from and go: new ones by (demand, kind), drawer pieces by (drawer, demand), links."""

    new: dict[tuple[int, str], int]
    drawer: dict[int, int]
    links: list[Flow]
    waits: dict[int, float]


@dataclass(slots=True)
class Exact:
    """The program while it is built: the model and which column means what."""

    problem: Problem
    wanted: Sequence[Demand]
    times: Timeline
    model: Model = field(default_factory=Model)
    new: dict[tuple[int, str], int] = field(default_factory=dict)
    drawer: dict[tuple[int, int], int] = field(default_factory=dict)
    uses: list[tuple[Link, int, dict[int, int]]] = field(default_factory=list)
    waits: dict[int, int] = field(default_factory=dict)
    load: defaultdict[int, list[tuple[int, float]]] = field(default_factory=lambda: defaultdict(list))
    entering: defaultdict[tuple[int, str], list[int]] = field(default_factory=lambda: defaultdict(list))
    leaving: defaultdict[tuple[int, str], list[int]] = field(default_factory=lambda: defaultdict(list))
    resting: defaultdict[tuple[int, str], list[int]] = field(default_factory=lambda: defaultdict(list))

    def build(self, links: Sequence[Link], holds: Sequence[tuple[int, int, str]] = ()) -> Model:
        """Add everything. ``links`` must be such that a piece alone fits into the time.

        ``holds``: (a, b, kind), where a piece that left a may be taken as one that left b.
        """
        self._sources()
        for a, b, kind in holds:
            column = self.model.column(0.0, 0, float("inf"))
            self.leaving[a, kind].append(column)
            self.resting[b, kind].append(column)
        for link in links:
            self._link(link)
        self._balances()
        for slot, terms in sorted(self.load.items()):
            wait = [(self.waits[slot], -1.0)] if slot in self.waits else []
            self.model.row(-float("inf"), self.times.hands[slot], [*terms, *wait])
        return self.model

    def _sources(self) -> None:
        weights, ladder = self.problem.weights, self.problem.ladder
        for b, demand in enumerate(self.wanted):
            for kind in demand.kinds:
                cost = weights.piece + weights.bench * ladder.cost(kind, demand.start)
                column = self.model.column(cost, 0, demand.count, integer=True)
                self.new[b, kind] = column
                self.entering[b, kind].append(column)
        for d, piece in enumerate(self.problem.drawer):
            terms = []
            for b, demand in enumerate(self.wanted):
                if piece.kind in demand.kinds and contains(demand.start, piece.state):
                    minutes = ladder.between(piece.kind, piece.state, demand.start)
                    column = self.model.column(weights.drawer + weights.bench * minutes, 0, 1, integer=True)
                    self.drawer[d, b] = column
                    self.entering[b, piece.kind].append(column)
                    terms.append((column, 1.0))
            if terms:
                self.model.row(0, 1, terms)
        for limit in self.problem.limits:
            terms = [
                (self.new[b, limit.kind], 1.0)
                for b, demand in enumerate(self.wanted)
                if demand.start == limit.state and limit.kind in demand.kinds
            ]
            self.model.row(0, limit.count, terms)

    def _link(self, link: Link) -> None:
        a, b = self.wanted[link.a], self.wanted[link.b]
        most = b.count
        slots = range(2 * a.shot + 1, 2 * b.shot)
        waits = any(self.times.waiting[slot] > 0 for slot in slots) and link.knitting + link.drying > SLACK
        # A wait stretches the clock of one piece; written for each piece by itself this stays linear.
        for share in [1] * most if waits else [most]:
            cost = self.problem.weights.floor * link.knitting
            column = self.model.column(cost, 0, share, integer=True)
            self.entering[link.b, link.kind].append(column)
            self.leaving[link.a, link.kind].append(column)
            knitting = self._schedule(link, column, slots, share, waits=waits)
            self.uses.append((link, column, knitting))

    def _schedule(self, link: Link, use: int, slots: range, share: int, *, waits: bool) -> dict[int, int]:
        """The knitting of one link, placed in slots; ``waits`` when the camera's waiting may be needed."""
        model, times = self.model, self.times
        clock = sum(times.clock[slot] for slot in slots)
        short = max(0.0, link.knitting + link.drying - clock)
        longer: list[tuple[int, float]] = []
        knitting: dict[int, int] = {}
        for slot in slots:
            stretch: list[tuple[int, float]] = []
            if waits and times.waiting[slot] > 0:
                extra = model.column(0.0, 0, times.waiting[slot])
                model.row(-float("inf"), 0, [(extra, 1.0), (self._wait(slot), -1.0)])
                model.row(-float("inf"), 0, [(extra, 1.0), (use, -times.waiting[slot])])
                stretch = [(extra, -1.0)]
                longer.append((extra, 1.0))
            able = min(times.hands[slot], times.clock[slot]) + times.waiting[slot]
            if link.knitting > SLACK and able > 0:
                knit = model.column(0.0, 0, min(link.knitting, able) * share)
                model.row(-float("inf"), 0, [(knit, 1.0), (use, -times.clock[slot]), *stretch])
                self.load[slot].append((knit, 1.0))
                knitting[slot] = knit
        if link.knitting > SLACK:
            model.row(0, 0, [*((knit, 1.0) for knit in knitting.values()), (use, -link.knitting)])
        if short > SLACK:
            model.row(0, float("inf"), [*longer, (use, -short)])
        return knitting

    def _wait(self, slot: int) -> int:
        if slot not in self.waits:
            self.waits[slot] = self.model.column(self.problem.weights.waiting, 0, self.times.waiting[slot])
        return self.waits[slot]

    def _balances(self) -> None:
        """A demand is met in full, and no more pieces leave it than came, kind by kind."""
        for b, demand in enumerate(self.wanted):
            everything = [(column, 1.0) for kind in demand.kinds for column in self.entering[b, kind]]
            self.model.row(demand.count, demand.count, everything)
            for kind in demand.kinds:
                if self.leaving[b, kind]:
                    terms = [(column, 1.0) for column in self.leaving[b, kind]]
                    terms += [(c, -1.0) for c in self.entering[b, kind] + self.resting[b, kind]]
                    self.model.row(-float("inf"), 0, terms)

    def flows(self, solved: Solved) -> Flows:
        """The solution in counts of pieces and minutes."""
        values = solved.values
        new = {key: round(values[column]) for key, column in self.new.items() if round(values[column])}
        drawer = {d: b for (d, b), column in self.drawer.items() if round(values[column])}
        links = []
        for link, column, knitting in self.uses:
            count = round(values[column])
            if count:
                minutes = {slot: values[knit] / count for slot, knit in knitting.items()}
                links.append(Flow(link, count, minutes))
        waits = {slot: values[column] for slot, column in self.waits.items()}
        return Flows(new, drawer, links, {slot: w for slot, w in sorted(waits.items()) if w > 1e-6})
