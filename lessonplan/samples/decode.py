"""From numbers of pieces on links to single pieces with names, stops and minutes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from lessonplan.samples.demand import Demand
from lessonplan.samples.exact import Flow, Flows
from lessonplan.samples.plan import Piece, Spell, Stop
from lessonplan.samples.problem import Problem

DUST = 1e-6
"""Minutes below this are left over from the solver's arithmetic and are dropped."""


@dataclass(slots=True)
class Chain:
    """One piece followed: ``visits`` are the demands it serves, each with the link that led there."""

    kind: str
    drawer: int
    visits: list[tuple[int, Flow | None]] = field(default_factory=list)


def chains(problem: Problem, flows: Flows, wanted: Sequence[Demand]) -> list[Chain]:
    """Each piece as the demands it serves.

    A link takes a piece from the pool of its kind and state: of those that came with demand ``a`` or before
    it, the one that came last, for the others may be all there is for a link with an earlier window.
    """
    pieces: list[Chain] = []
    pools: defaultdict[tuple[object, str], list[tuple[int, Chain]]] = defaultdict(list)
    incoming: defaultdict[int, list[Flow]] = defaultdict(list)
    for flow in sorted(flows.links, key=lambda f: (f.link.a, f.link.kind, sorted(f.knitting.items()))):
        incoming[flow.link.b].append(flow)
    begun: defaultdict[int, list[Chain]] = defaultdict(list)
    for (b, kind), count in sorted(flows.new.items()):
        begun[b] += [Chain(kind, -1) for _ in range(count)]
    for d, b in sorted(flows.drawer.items()):
        begun[b].append(Chain(problem.drawer[d].kind, d))
    for b in range(len(wanted)):
        here: list[Chain] = []
        for flow in incoming[b]:
            pool = pools[_pool(wanted, flow.link.a), flow.link.kind]
            for _ in range(flow.count):
                chain = pool.pop(max(n for n, (came, _) in enumerate(pool) if came <= flow.link.a))[1]
                chain.visits.append((b, flow))
                here.append(chain)
        for chain in begun[b]:
            chain.visits.append((b, None))
            pieces.append(chain)
            here.append(chain)
        for chain in here:
            pools[_pool(wanted, b), chain.kind].append((b, chain))
    return pieces


def _pool(wanted: Sequence[Demand], b: int) -> object:
    """What pieces share that rest together: their state, or the very demand for spares that may have moved."""
    demand = wanted[b]
    return demand.end if demand.base == demand.end else b


def letters(index: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, 2, ..."""
    name = ""
    index += 1
    while index:
        index, digit = divmod(index - 1, 26)
        name = chr(ord("A") + digit) + name
    return name


def spells(minutes: Mapping[int, float], total: float) -> tuple[Spell, ...]:
    """The knitting of one link in order of time; dust is dropped and the rest adds up to ``total``."""
    kept = {slot: m for slot, m in sorted(minutes.items()) if m > DUST}
    if kept:
        largest = max(kept, key=lambda slot: (kept[slot], -slot))
        kept[largest] += total - sum(kept.values())
    return tuple(Spell("pause" if slot % 2 else "shot", slot // 2, m) for slot, m in kept.items())


def pieces(problem: Problem, flows: Flows, wanted: Sequence[Demand]) -> tuple[Piece, ...]:
    """The pieces by their first shot, lettered, with minutes and cost."""
    copies: defaultdict[int, int] = defaultdict(int)
    found = []
    for index, chain in enumerate(chains(problem, flows, wanted)):
        stops = []
        for b, flow in chain.visits:
            demand = wanted[b]
            copies[demand.appearance] += 1
            stops.append(
                Stop(
                    appearance=demand.name,
                    shot=demand.shot,
                    start=demand.start,
                    end=demand.end,
                    copy=copies[demand.appearance],
                    spare=demand.spare,
                    knitting=spells(flow.knitting, flow.link.knitting) if flow else (),
                )
            )
        floor = sum(flow.link.knitting for _, flow in chain.visits if flow)
        found.append(_piece(problem, letters(index), chain, tuple(stops), floor))
    return tuple(found)


def _piece(problem: Problem, name: str, chain: Chain, stops: tuple[Stop, ...], floor: float) -> Piece:
    first, weights = stops[0].start, problem.weights
    if chain.drawer >= 0:
        drawer = problem.drawer[chain.drawer]
        bench, overhead = problem.ladder.between(chain.kind, drawer.state, first), weights.drawer
    else:
        bench, overhead = problem.ladder.cost(chain.kind, first), weights.piece
    return Piece(
        name=name,
        kind=chain.kind,
        drawer=problem.drawer[chain.drawer].name if chain.drawer >= 0 else "",
        first=first,
        bench=bench,
        floor=floor,
        cost=overhead + weights.bench * bench + weights.floor * floor,
        stops=stops,
    )
