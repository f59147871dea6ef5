"""Which piece could go on to which demand: by what work, in which slots, with which drying in between.

A drying begins with a slot: the first after the shot whose work is to dry, or one before which the knitting that needs
it is done. So a link with drying in it comes in several forms, one for each slot in which a drying could begin. What
only rests passes along pools: a piece that leaves a demand finished and dry is as good as any other of its kind and
state, so a demand is served from a pool by one link, however many pieces rest in it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from lessonplan.samples.choice.ladder import Ladder, State, meet, total
from lessonplan.samples.choice.question import Demand, Question, Slot, Way

Floats = npt.NDArray[np.float64]
SLACK = 1e-9
"""Minutes that do not count: sums of minutes are compared with this tolerance."""
Span = tuple[int, int, float]
"""First slot, slot after the last, minutes."""


@dataclass(frozen=True, slots=True)
class Node:
    """One piece of a demand coming one way; ``unit`` numbers the pieces asked for in all."""

    unit: int
    demand: Demand
    way: Way

    @property
    def rests(self) -> bool:
        """Whether what leaves it is where it seems to be: used for certain."""
        return self.way.counted == self.way.end


@dataclass(frozen=True, slots=True)
class Link:
    """The piece of node ``a`` goes on to node ``b``.

    ``ripping``, ``knitting``: minutes of work in between. ``work``: the spans of slots in which so much of it is done,
    ripping first; ``drying``: those over which it dries, each from the beginning of its first slot. ``short``: spans in
    which the camera must wait at least so long.
    """

    a: int
    b: int
    ripping: float
    knitting: float
    work: tuple[Span, ...] = ()
    drying: tuple[Span, ...] = ()
    short: tuple[Span, ...] = ()


class Timeline:
    """Minutes counted up before each slot, and at the end: of the clock, and of what one piece alone could take."""

    def __init__(self, slots: Sequence[Slot]) -> None:
        self.clock, self.hands, self.waiting = (
            np.array([float(getattr(slot, what)) for slot in slots]) for what in ("clock", "hands", "waiting")
        )
        self.single = np.minimum(self.clock, self.hands)
        self.clock_until = counted_up(self.clock)
        self.hands_until = counted_up(self.hands)
        self.longest_until = counted_up(self.clock + self.waiting)
        self.single_until = counted_up(self.single)
        self.able_until = counted_up(self.single + self.waiting)

    def able(self, first: int, stop: int) -> float:
        """The most that can be knitted on one piece in these slots, the camera waiting wherever it may."""
        return float(self.able_until[stop] - self.able_until[first])


def counted_up(minutes: Floats) -> Floats:
    """Minutes counted up before each slot, and at the end."""
    return np.concatenate(([0.0], np.cumsum(minutes)))


def nodes_of(question: Question) -> list[Node]:
    """All nodes, by slot, then name."""
    found: list[Node] = []
    units = 0
    for demand in sorted(question.demands, key=lambda d: (d.slot, d.spare, d.name)):
        ways = question.possible(demand)
        for _ in range(demand.count if ways else 0):
            found += [Node(units, demand, way) for way in ways]
            units += 1
    return found


@dataclass(frozen=True, slots=True)
class Network:
    """Links between nodes and from pools, and how pools are filled.

    ``holds``: (node, the next one that fills its pool). ``pool``: for each node a number that those share which fill
    one pool. ``agreed``: the pairs of nodes that an agreed piece was to serve one after the other.
    """

    links: list[Link]
    holds: list[tuple[int, int]]
    pool: list[int]
    agreed: frozenset[tuple[int, int]]


def network(question: Question, nodes: Sequence[Node], times: Timeline) -> Network:
    """All links that a piece alone could take in the time there is and that could ever pay."""
    links: list[Link] = []
    holds: list[tuple[int, int]] = []
    pool = list(range(len(nodes)))
    followed = {node.way.only_after for node in nodes}
    agreed = frozenset(_agreed(question, nodes))
    for kind, ladder in question.ladders.items():
        mine = [n for n, node in enumerate(nodes) if node.way.kind == kind and not node.demand.apart]
        pooled = {n for n in mine if _pooled(nodes[n], ladder, followed)}
        served, kept = _pools(nodes, mine, pooled, agreed)
        links += [Link(a, b, 0.0, 0.0) for a, b in served]
        holds += kept
        for a, b in kept:
            pool[b] = pool[a]
        for a, b in _pairs(question, nodes, mine, pooled, times):
            way, goal, rests = nodes[a].way, nodes[b].way.start, nodes[a].rests
            key = way.start, way.end, way.counted, goal, rests  # many nodes begin and end alike
            if key not in ladder.known:
                ladder.known[key] = _work(ladder, way, goal, rests=rests)
            ripping, knitting, phases = ladder.known[key]
            for work, drying, short in _placed(times, nodes[a].demand.last + 1, nodes[b].demand.slot, phases):
                links.append(Link(a=a, b=b, ripping=ripping, knitting=knitting, work=work, drying=drying, short=short))
    return Network(links, holds, pool, agreed)


def _agreed(question: Question, nodes: Sequence[Node]) -> Iterator[tuple[int, int]]:
    """The pairs of nodes that an agreed piece was to serve one after the other, in the states it would have there."""
    units: defaultdict[str, dict[int, list[int]]] = defaultdict(dict)
    for n, node in enumerate(nodes):
        units[node.demand.name].setdefault(node.unit, []).append(n)
    for piece in question.ready:
        last: list[int] = []
        states = {piece.agreed or piece.state}
        for name in piece.serves:
            left = units[name]  # of several pieces for one demand each is one of them
            here = [n for n in left.pop(next(iter(left))) if nodes[n].way.kind == piece.kind] if left else []
            here = [n for n in here if nodes[n].way.start in states] or here
            yield from ((a, b) for a in last for b in here)
            last, states = here, {nodes[n].way.end for n in here}


def _pooled(node: Node, ladder: Ladder, followed: set[str]) -> bool:
    """Whether a piece that leaves this node is one among many; not where it must still dry or is asked for itself."""
    return node.rests and node.demand.name not in followed and not _pending(ladder, node.way, node.way.end)


def _pending(ladder: Ladder, way: Way, kept: State) -> float:
    """Minutes for which a piece must still dry when the shot ends, of the work that stays in it."""
    return sum(
        row[done] - row[start] for row, start, done in zip(ladder.drying, way.start, kept, strict=True) if done > start
    )


def _pools(
    nodes: Sequence[Node], mine: Sequence[int], pooled: set[int], agreed: Set[tuple[int, int]]
) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
    """For one kind: (node that filled the pool last, node served from it), and the holds along the pools.

    From one that fills it a piece is also served by itself to where it was ``agreed`` to go.
    """
    pools: defaultdict[State, list[int]] = defaultdict(list)
    for n in sorted(pooled, key=lambda n: (nodes[n].demand.last, n)):
        pools[nodes[n].way.end].append(n)
    holds = [pair for pool in pools.values() for pair in pairwise(pool)]
    served = []
    for b in mine:
        if not nodes[b].way.only_after:
            before = [a for a in pools.get(nodes[b].way.start, ()) if nodes[a].demand.last < nodes[b].demand.slot]
            served += [(a, b) for a in before if a == before[-1] or (a, b) in agreed]
    return served, holds


def _pairs(
    question: Question, nodes: Sequence[Node], mine: Sequence[int], pooled: set[int], times: Timeline
) -> Iterator[tuple[int, int]]:
    """The pairs of nodes of one kind between which work is possible and could pay; resting in pools is left out."""
    if not mine:
        return
    ladder, weights = question.ladders[nodes[mine[0]].way.kind], question.weights
    ways = [nodes[n].way for n in mine]
    start, end, base = (np.array([getattr(way, what) for way in ways]) for what in ("start", "end", "counted"))
    slot = np.array([nodes[n].demand.slot for n in mine])
    first = np.array([nodes[n].demand.last for n in mine]) + 1
    certain = np.array([nodes[n].rests for n in mine])
    pool = np.array([n in pooled for n in mine])
    onward = np.all(start[None, :, :] >= end[:, None, :], axis=2)
    same = onward & np.all(start[None, :, :] == end[:, None, :], axis=2)
    after = np.array([way.only_after for way in ways])
    names = np.array([nodes[n].demand.name for n in mine])
    possible = (first[:, None] <= slot[None, :]) & (certain[:, None] | onward) & ~(same & pool[:, None])
    possible &= (after[None, :] == "") | (after[None, :] == names[:, None])
    a, b = np.nonzero(possible)
    back = np.minimum(base[a], start[b])
    ripping = _minutes(ladder.ripping, base[a]) - _minutes(ladder.ripping, back)
    work = ripping + _minutes(ladder.floor, start[b]) - _minutes(ladder.floor, back)
    kept = _minutes(ladder.fixed, base[a]) == _minutes(ladder.fixed, back)
    limited = {(limit.kind, limit.state) for limit in question.limits}
    fresh = np.array(
        [
            weights.piece + weights.bench * ladder.cost(way.start)
            if not way.only_after and (way.kind, way.start) not in limited
            else np.inf
            for way in ways
        ]
    )
    # A link that costs as much as a new piece is never needed: the piece could end here and a new one begin.
    kept &= (weights.floor * work < fresh[b]) | (work <= SLACK)
    kept &= work <= times.able_until[slot[b]] - times.able_until[first[a]] + SLACK
    drying = _minutes(ladder.drying, start[b]) - _minutes(ladder.drying, back)
    kept &= work + drying <= times.longest_until[slot[b]] - times.longest_until[first[a]] + SLACK
    yield from ((mine[i], mine[j]) for i, j in zip(a[kept], b[kept], strict=True))


def _minutes(table: Sequence[Sequence[float]], states: npt.NDArray[np.int64]) -> Floats:
    """What each of many states comes to in a table."""
    counted = np.zeros(len(states))
    for stage, row in enumerate(table):
        counted += np.array(row, dtype=float)[states[:, stage]]
    return counted


Work = tuple[float, float, list[tuple[float, float]]]


def _work(ladder: Ladder, way: Way, goal: State, *, rests: bool) -> Work:
    """What lies between a way and a later state: minutes of ripping, of knitting, and the phases with drying."""
    back = meet(way.counted, goal)
    ripping = total(ladder.ripping, way.counted) - total(ladder.ripping, back)
    phases = list(ladder.phases(back, goal))
    if not rests:
        # Used or not, the plan holds: what the shot may have done is done first.
        phases = [*ladder.phases(back, way.end), *ladder.phases(way.end, goal)]
    knitting = sum(knit for knit, _ in phases)
    if ripping > 0:
        phases = [(phases[0][0] + ripping, phases[0][1]), *phases[1:]] if phases else [(ripping, 0.0)]
    return ripping, knitting, _joined([(0.0, _pending(ladder, way, back)), *phases])


def _joined(phases: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Phases without empty ones: drying that follows drying, and knitting that follows knitting, are one."""
    found: list[tuple[float, float]] = []
    for knit, dry in phases:
        if found and (knit <= SLACK or found[-1][1] <= SLACK):
            found[-1] = (found[-1][0] + knit, found[-1][1] + dry)
        elif knit > SLACK or dry > SLACK:
            found.append((knit, dry))
    return found


Placed = tuple[tuple[Span, ...], tuple[Span, ...], tuple[Span, ...]]


def _placed(times: Timeline, first: int, stop: int, phases: Sequence[tuple[float, float]]) -> Iterator[Placed]:
    """All ways of placing phases in the slots ``first`` ... ``stop`` - 1 that could be of use."""
    if not phases:
        yield (), (), ()
        return
    (knit, dry), rest = phases[0], phases[1:]
    if dry <= SLACK:
        if knit <= times.able(first, stop) + SLACK:
            span = (first, stop, knit)
            yield (span,), (), _short(times.single_until, span)
        return
    for begin, until in _dryings(times, first, stop, knit, dry, last=not rest):
        span, drying = (first, begin, knit), (begin, until, dry)
        work = (span,) if knit > SLACK else ()
        short = (*(_short(times.single_until, span) if work else ()), *_short(times.clock_until, drying))
        for later in _placed(times, until, stop, rest):
            yield (*work, *later[0]), (drying, *later[1]), (*short, *later[2])


def _short(counted: Floats, span: Span) -> tuple[Span, ...]:
    """How long the camera must wait in a span for its minutes to fit; nothing when they fit as it is."""
    first, stop, minutes = span
    lacking = minutes - float(counted[stop] - counted[first])
    return ((first, stop, lacking),) if lacking > SLACK else ()


def _dryings(
    times: Timeline, first: int, stop: int, knit: float, dry: float, *, last: bool
) -> Iterator[tuple[int, int]]:
    """Slots in which a drying may begin, and slots before which it ends, leaving out those that others beat.

    The later it begins and the sooner it ends the better, except that the camera may have to wait for it.
    """
    beaten: dict[int, int] = {}
    for begin in range(first, stop):
        if knit > times.able(first, begin) + SLACK:
            continue
        soonest = _until(times.longest_until, begin, dry)
        latest = min(stop, _until(times.clock_until, begin, dry))
        if soonest > stop:
            break
        for until in [stop] if last else range(soonest, latest + 1):
            waits = times.clock_until[until] - times.clock_until[begin] < dry - SLACK
            if waits:
                yield begin, until
            else:
                beaten[until] = begin
        if knit <= SLACK:
            break
    yield from ((begin, until) for until, begin in beaten.items())


def _until(counted: Floats, begin: int, minutes: float) -> int:
    """The first slot before which so many minutes have gone by since the slot ``begin``; past the end if never."""
    return int(np.searchsorted(counted, counted[begin] + minutes - SLACK))
