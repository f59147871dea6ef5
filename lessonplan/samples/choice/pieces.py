"""From the columns that are used to single pieces with letters, stops and minutes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import count, product
from string import ascii_uppercase

from lessonplan.samples.choice.answer import Costs, Piece, Spell, Stop
from lessonplan.samples.choice.links import Link
from lessonplan.samples.choice.placing import DUST
from lessonplan.samples.choice.program import Program, work_before

Work = Mapping[int, float]
"""Minutes by slot, in order."""


@dataclass(frozen=True, slots=True)
class Used:
    """What a plan uses: nodes for which a piece is begun, (ready piece, node), and links with their work by slot."""

    new: tuple[int, ...]
    ready: tuple[tuple[int, int], ...]
    links: tuple[tuple[Link, Work], ...]
    waits: Work


@dataclass(slots=True)
class _Chain:
    """One piece followed: the nodes it serves, each with the link that led there."""

    kind: str
    ready: int
    visits: list[tuple[int, Link | None, Work]] = field(default_factory=list)


def _chains(program: Program, used: Used) -> list[_Chain]:
    """Each piece as the nodes it serves.

    A link takes a piece from the pool of its kind and state: of those that came with its own node or before it, the
    one that came last, for the others may be all there is for a link with an earlier window; but a piece that goes
    where it was agreed to go is left for that.
    """
    going = {link.a for link, _ in used.links if (link.a, link.b) in program.agreed}
    come = {link.b: (link, work) for link, work in used.links}
    begun = dict.fromkeys(used.new, -1) | {n: number for number, n in used.ready}
    pieces: list[_Chain] = []
    pools: defaultdict[int, list[_Chain]] = defaultdict(list)
    for n in sorted([*come, *begun], key=lambda n: (program.nodes[n].demand.slot, n)):
        if n in begun:
            chain = _Chain(program.nodes[n].way.kind, begun[n], [(n, None, {})])
            pieces.append(chain)
        else:
            link, work = come[n]
            pool = pools[program.pool[link.a]]
            own = (link.a, n) in program.agreed
            came = [one for one in pool if program.came(one.visits[-1][0]) <= program.came(link.a)]
            at = [one.visits[-1][0] for one in came]
            best = max(at, key=lambda last: ((last == link.a) if own else (last not in going), program.came(last)))
            chain = came[at.index(best)]
            pool.remove(chain)
            chain.visits.append((n, link, work))
        pools[program.pool[n]].append(chain)
    return pieces


def letters() -> Iterator[str]:
    """A, B, ... Z, AA, AB, ..."""
    return ("".join(some) for length in count(1) for some in product(ascii_uppercase, repeat=length))


def pieces_of(program: Program, used: Used) -> tuple[tuple[Piece, ...], Costs]:
    """The pieces by their first stop, lettered, with minutes and cost; and what they and the waits cost."""
    taken = {piece.letter for piece in program.question.ready}
    free = (letter for letter in letters() if letter not in taken)
    copies: defaultdict[str, int] = defaultdict(int)
    place = {demand.name: at for at, demand in enumerate(program.question.demands)}
    numbers: dict[int, int] = {}
    chains = list(_chains(program, used))
    every = [n for chain in chains for n, _, _ in chain.visits]
    for n in sorted(every, key=lambda n: place[program.nodes[n].demand.name]):
        demand = program.nodes[n].demand
        copies[demand.group or demand.name] += 1
        numbers[n] = copies[demand.group or demand.name]
    found, costs = [], []
    for chain in chains:
        stops = []
        for n, link, work in chain.visits:
            demand = program.nodes[n].demand
            stops.append(_stop(program, n, numbers[n], link, work))
        piece, cost = _piece(program, free, chain, tuple(stops))
        found.append(piece)
        costs.append(cost)
    waiting = program.question.weights.waiting * sum(used.waits.values())
    return tuple(found), Costs(
        pieces=sum(cost.pieces for cost in costs),
        bench=sum(cost.bench for cost in costs),
        floor=sum(cost.floor for cost in costs),
        waiting=waiting,
        drawer=sum(cost.drawer for cost in costs),
        change=sum(cost.change for cost in costs),
    )


def _stop(program: Program, n: int, copy: int, link: Link | None, work: Work) -> Stop:
    node = program.nodes[n]
    return Stop(
        demand=node.demand.name,
        slot=node.demand.slot,
        way=node.way,
        copy=copy,
        spare=node.demand.spare,
        ripping=link.ripping if link else 0.0,
        spells=_spells(work, link.ripping + link.knitting) if link else (),
        drying=tuple(Spell(first, minutes) for first, _, minutes in link.drying) if link else (),
    )


def _spells(work: Work, total: float) -> tuple[Spell, ...]:
    """Work in order of time; dust is dropped and the rest adds up to ``total``."""
    kept = {slot: minutes for slot, minutes in work.items() if minutes > DUST}
    if kept:
        kept[max(kept, key=kept.__getitem__)] += total - sum(kept.values())
    return tuple(Spell(slot, minutes) for slot, minutes in kept.items())


def _piece(program: Program, free: Iterator[str], chain: _Chain, stops: tuple[Stop, ...]) -> tuple[Piece, Costs]:
    weights, first = program.question.weights, stops[0].way.start
    floor = sum(link.ripping + link.knitting for _, link, _ in chain.visits if link)
    ready = program.question.ready[chain.ready] if chain.ready >= 0 else None
    if ready:
        ripping, knitting, paid = work_before(program.question, ready, first) or (0.0, 0.0, 0.0)
    else:
        ripping, knitting = 0.0, program.question.ladders[chain.kind].cost(first)
        paid = knitting
    costs = Costs(
        pieces=0.0 if ready else weights.piece,
        bench=weights.bench * paid,
        floor=weights.floor * floor,
        waiting=0.0,
        drawer=0.0 if ready is None else weights.drawer if ready.weight is None else ready.weight,
        change=weights.change if ready and ready.agreed not in (None, first) else 0.0,
    )
    piece = Piece(
        name=(ready.letter if ready else "") or next(free),
        kind=chain.kind,
        ready=ready.name if ready else "",
        first=first,
        bench=ripping + knitting,
        floor=floor,
        stops=stops,
    )
    return piece, costs
