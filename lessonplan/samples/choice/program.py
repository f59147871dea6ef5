"""The choice as rows and columns: which pieces are begun, which go on to which demand, how long the camera waits.

There are no minutes of knitting in it, so it asks less than it must; what is missing is added where it is broken.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from typing import cast

from lessonplan.samples.choice.ladder import Ladder, State, meet, total
from lessonplan.samples.choice.links import SLACK, Link, Node, Span, Timeline, network, nodes_of
from lessonplan.samples.choice.question import Question, Ready
from lessonplan.samples.choice.solver import Model

Entries = dict[int, list[tuple[int, float]]]
EVEN, KINDS, SURE, STAYS, AGREED = 1e-5, 10.0, 4.0, 100.0, 200.0
"""Minutes, far below what anyone counts, that tell plans of equal cost apart, so that every solver finds the same one.

A link costs ``KINDS`` of them times what a whole piece of its kind takes as a part of the longest: where any kind will
do, the one soonest made serves. It costs one more times the root of how many pieces are asked for between its ends, so
that what only rests goes on with what is filmed next; for work to be done, and for a spare, one less, so that the
piece with the most room for it is taken. A root, for by plain distance two pieces that change places would be equal.
Work for what is surely used costs ``SURE`` of them more than for a spare, so that what is ready sooner is filmed first
(with 3 to 5 the sample has the same plan). Of pieces that are ready the first are taken, and first, likewise. What was
agreed goes where it was to go (what else comes there costs ``AGREED`` of them), so that agreeing changes no plan. What
is ready is rather left as it is (``STAYS`` times the part of a whole piece) than worked on while a new one is made like
it; the camera waits as late as it may.
"""


class Program:
    """The model and which column means what: ``new`` by node, ``ready`` by (piece, node), ``links`` in their order.

    ``net``: the links; ``pool``, ``agreed``: see `Network`. ``jobs``: the work of links, each with its link's column.
    ``waits``: columns by slot.
    """

    def __init__(self, question: Question) -> None:
        self.question, self.model = question, Model()
        self.times, self.nodes = Timeline(question.slots), nodes_of(question)
        net = network(question, self.nodes, self.times)
        self.net, self.pool, self.agreed = net.links, net.pool, net.agreed
        self._served = {name for piece in question.ready for name in piece.serves}
        self.new: dict[int, int] = {}
        self.ready: dict[tuple[int, int], int] = {}
        self.jobs: list[tuple[int, Span]] = []
        self._most: dict[int, float] = defaultdict(float)
        whole = {kind: sum(row[-1] for row in ladder.bench) for kind, ladder in question.ladders.items()}
        self._long = {kind: minutes / max(*whole.values(), SLACK) for kind, minutes in whole.items()}
        enter: Entries = defaultdict(list)
        leave: Entries = defaultdict(list)
        rest: Entries = defaultdict(list)
        self._sources(enter)
        self.waits = {
            slot: self.model.column(question.weights.waiting + EVEN * (1 - slot / len(question.slots)), one.waiting)
            for slot, one in enumerate(question.slots)
            if one.waiting > 0
        }
        for a, b in net.holds:
            column = self.model.column(0.0)
            leave[a].append((column, 1.0))
            rest[b].append((column, -1.0))
        self.links = [self._link(link, enter, leave) for link in net.links]
        self._balances(enter, leave, rest)

    def _sources(self, enter: Entries) -> None:
        """Pieces that are begun for a node, and those that are ready."""
        weights, ladders = self.question.weights, self.question.ladders
        units = max((node.unit + 1 for node in self.nodes), default=0)
        begins = [(n, node) for n, node in enumerate(self.nodes) if not node.way.only_after]
        for n, node in begins:
            cost = weights.piece + weights.bench * ladders[node.way.kind].cost(node.way.start)
            even = self._even(node, self._astray(node, as_agreed=False))
            self.new[n] = self.model.column(cost + even, 1.0, integer=True)
            enter[n].append((self.new[n], 1.0))
        for number, piece in enumerate(self.question.ready):
            once = []
            prices: dict[State, tuple[float, float]] = {}  # many nodes begin alike
            for n, node in begins:
                if not _serves(piece, node):
                    continue
                start = node.way.start
                if start not in prices:
                    prices[start] = self._price(piece, start), STAYS * self._work(piece, start)
                price, work = prices[start]
                if price < math.inf:
                    room = 1 if piece.letter else units - node.unit
                    there = self._astray(node, as_agreed=node.demand.name in piece.serves[:1])
                    even = self._even(node, math.sqrt((number + 1) * room) + work + there)
                    once.append((self.model.column(price + even, 1.0, integer=True), 1.0))
                    self.ready[number, n] = once[-1][0]
                    enter[n].append(once[-1])
            self.model.row(-math.inf, 1.0, once)
        for limit in self.question.limits:
            begun = [
                (column, 1.0)
                for n, column in self.new.items()
                if (self.nodes[n].way.kind, self.nodes[n].way.start) == (limit.kind, limit.state)
                and limit.apart == (self.nodes[n].demand.name if self.nodes[n].demand.apart else "")
            ]
            self.model.row(-math.inf, limit.count, begun)

    def _astray(self, node: Node, *, as_agreed: bool) -> float:
        """What is added to `EVEN` where something else serves a demand than what was agreed."""
        return 0.0 if as_agreed or node.demand.name not in self._served else AGREED

    def _even(self, node: Node, times: float) -> float:
        """So many times `EVEN`; the most of each piece asked for is kept, since one link or source enters it."""
        self._most[node.unit] = max(self._most[node.unit], EVEN * abs(times))
        return EVEN * times

    @property
    def evens(self) -> float:
        """What `EVEN` comes to at most in a plan."""
        return sum(self._most.values()) + EVEN * sum(one.waiting for one in self.question.slots)

    def _price(self, piece: Ready, start: State) -> float:
        """What it costs to use a piece that is ready in a state; infinite when it cannot come there."""
        weights, work = self.question.weights, work_before(self.question, piece, start)
        if work is None:
            return math.inf
        change = weights.change if piece.agreed not in (None, start) else 0.0
        return (weights.drawer if piece.weight is None else piece.weight) + change + weights.bench * work[2]

    def _work(self, piece: Ready, start: State) -> float:
        """What is worked on a piece that is ready to bring it to a state, as a part of what a whole one takes."""
        work, ladder = work_before(self.question, piece, start), self.question.ladders[piece.kind]
        return work[2] / max(sum(row[-1] for row in ladder.bench), SLACK) if work else 0.0

    def _link(self, link: Link, enter: Entries, leave: Entries) -> int:
        work = link.ripping + link.knitting
        a, b = self.nodes[link.a], self.nodes[link.b]
        sign = -1 if link.work or b.demand.spare else 1
        sure = SURE if link.work and not b.demand.spare else 0.0
        there = self._astray(b, as_agreed=(link.a, link.b) in self.agreed)
        even = self._even(b, KINDS * self._long[b.way.kind] + sure + sign * math.sqrt(b.unit - a.unit) + there)
        column = self.model.column(self.question.weights.floor * work + even, 1.0, integer=True)
        enter[link.b].append((column, 1.0))
        leave[link.a].append((column, 1.0))
        self.jobs += [(column, span) for span in link.work]
        for first, stop, lacking in link.short:
            self.model.row(0.0, math.inf, [*self.waited(range(first, stop)), (column, -lacking)])
        return column

    def waited(self, slots: Iterable[int], sign: float = 1.0) -> list[tuple[int, float]]:
        """The waits in some slots as terms."""
        return [(self.waits[slot], sign) for slot in slots if slot in self.waits]

    def _balances(self, enter: Entries, leave: Entries, rest: Entries) -> None:
        """Each piece asked for comes one way, and no more leave a node than came or rest with it."""
        units: dict[int, list[tuple[int, float]]] = defaultdict(list)
        for n, node in enumerate(self.nodes):
            units[node.unit] += enter[n]
            if leave[n]:
                self.model.row(-math.inf, 0.0, [*leave[n], *((c, -v) for c, v in enter[n]), *rest[n]])
        for terms in units.values():
            self.model.row(1.0, 1.0, terms)

    def came(self, n: int) -> tuple[int, int]:
        """When the piece of a node comes into its pool."""
        return self.nodes[n].demand.last, n

    def minutes(self) -> None:
        """Add every minute of work: a column for each span of work of each piece asked for and each of its slots.

        With it the program asks all that it must. Exactly one link enters a piece, so its links can share columns.
        """
        times, load = self.times, defaultdict[int, list[tuple[int, float]]](list)
        spans: dict[tuple[int, int], list[tuple[int, Span]]] = defaultdict(list)
        for column, link in zip(self.links, self.net, strict=True):
            for number, span in enumerate(link.work):
                spans[self.nodes[link.b].unit, number].append((column, span))
        for mine in spans.values():
            worked: list[tuple[int, float]] = []
            for slot in range(min(span[0] for _, span in mine), max(span[1] for _, span in mine)):
                able = float(times.single[slot] + times.waiting[slot])
                using = [(column, minutes) for column, (first, stop, minutes) in mine if first <= slot < stop]
                if able <= SLACK or not using:
                    continue
                knit = self.model.column(0.0, able)
                worked.append((knit, 1.0))
                load[slot].append((knit, 1.0))
                most = [(column, -min(able, minutes)) for column, minutes in using]
                self.model.row(-math.inf, 0.0, [(knit, 1.0), *most])
                if slot in self.waits:
                    most = [(column, -min(float(times.clock[slot]), minutes)) for column, minutes in using]
                    self.model.row(-math.inf, 0.0, [(knit, 1.0), *most, (self.waits[slot], -1.0)])
            self.model.row(0.0, 0.0, [*worked, *((column, -span[2]) for column, span in mine)])
        for slot, terms in load.items():
            self.model.row(-math.inf, float(times.hands[slot]), [*terms, *self.waited([slot], -1.0)])


def _serves(piece: Ready, node: Node) -> bool:
    """Whether a piece that is ready is of the kind of a node and kept for no other."""
    kept = node.demand.apart or piece.only_for
    return node.way.kind == piece.kind and (not kept or piece.only_for == node.demand.name)


def work_before(question: Question, piece: Ready, goal: State) -> tuple[float, float, float] | None:
    """How a piece that is ready comes to ``goal`` before the shoot.

    Minutes of ripping back, minutes of knitting, and those of both that cost anything: what was agreed is free. None
    when it would have to be ripped back beyond what cannot be undone.
    """
    known, key = question.ladders[piece.kind].known, (piece.state, piece.agreed, goal)
    if key not in known:
        known[key] = _work_before(question.ladders[piece.kind], piece, goal)
    return cast("tuple[float, float, float] | None", known[key])


def _work_before(ladder: Ladder, piece: Ready, goal: State) -> tuple[float, float, float] | None:
    back = meet(piece.state, goal)
    if not ladder.can_rip(piece.state, back):
        return None
    ripping = total(ladder.ripping, piece.state) - total(ladder.ripping, back)
    free = tuple(max(pair) for pair in zip(piece.state, piece.agreed or piece.state, strict=True))
    knitting = ladder.between(back, goal)
    paid = ladder.cost(goal) - ladder.cost(meet(goal, free))
    return ripping, knitting, ripping + paid
