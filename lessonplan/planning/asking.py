"""The question of the step samples, put for a shoot: who must stand where in which slot, and what exists already."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lessonplan.course.model.settings import Drawer
from lessonplan.course.model.together import Course
from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.remembered import remembered, remembered_each
from lessonplan.samples.agreed import served, set_apart, standings
from lessonplan.samples.choice import (
    Choice,
    Demand,
    Ladder,
    Piece,
    Question,
    Ready,
    Slot as Stretch,
    State,
    Stop,
    Way,
    Weights,
    contains,
)
from lessonplan.samples.pieces import Kinds, Stand, TablePiece, drawer_state
from lessonplan.shoot.slots import Slot

CHANGE = 5.0
"""What it costs to stop a piece elsewhere than was agreed, in minutes of bench work: talking it over (a guess)."""


def told_apart(table: Sequence[TablePiece]) -> dict[ShotNumber, int]:
    """The shots whose takes are told apart, and how many: a piece that moves must be back for the next take."""
    return {piece.shot: piece.takes for piece in table if piece.moves and not piece.one_way and piece.takes > 1}


def question(
    course: Course,
    kinds: Kinds,
    table: Sequence[TablePiece],
    ladders: Mapping[str, Ladder],
    slots: Sequence[Slot],
    order: Sequence[ShotNumber],
) -> Question:
    """Put the question, for the shots in the order in which they are filmed, in the slots of their days."""
    index = {number: place for place, number in enumerate(order)}
    takes: dict[int, list[int]] = {}
    for place, slot in enumerate(slots):
        if slot.what == "take":
            takes.setdefault(slot.shot, []).append(place)
    ready = tuple(_ready(course, kinds, table))
    named = _named_states(table, ready)
    demands: list[Demand] = []
    for piece in table:
        if piece.shot in index:
            demands += _demands(piece, takes[index[piece.shot]], named)
    weights = course.course.samples.weights
    return Question(
        ladders=ladders,
        demands=tuple(demands),
        slots=tuple(Stretch(slot.clock, slot.hands, slot.waiting) for slot in slots),
        ready=ready,
        weights=Weights(
            piece=weights.piece, bench=1.0, floor=weights.floor, waiting=weights.waiting, drawer=0.0, change=CHANGE
        ),
    )


@remembered(4, equal=True)  # orders of the shots ask for the same again and again
def _named_states(table: Sequence[TablePiece], ready: Sequence[Ready]) -> dict[str, tuple[State, ...]]:
    """For each kind the states that something names: a piece that is only shown in a range stands in one of these."""
    found: dict[str, dict[State, None]] = {}
    for piece in table:
        for kind, stand in piece.stands.items():
            found.setdefault(kind, {}).update({stand.start: None, stand.end: None})
    for one in ready:
        states = (one.state, one.agreed or one.state)
        found.setdefault(one.kind, {}).update(dict.fromkeys(states))
    return {kind: tuple(states) for kind, states in found.items()}


def _demands(piece: TablePiece, takes: Sequence[int], named: Mapping[str, tuple[State, ...]]) -> Iterator[Demand]:
    """What a piece on a table asks for: one piece, or one for each take, and spares."""
    first, last = takes[0], takes[-1]
    if not piece.moves:
        ways = tuple(way for kind, stand in piece.stands.items() for way in _shown(named, kind, stand))
        yield Demand(piece.name, first, ways, apart=piece.apart, until=last)
    elif piece.one_way:
        yield Demand(piece.name, first, _moved(piece), apart=piece.apart, until=last)
        for take in range(2, piece.takes + 1):
            name = f"{piece.name} take {take}"
            yield Demand(name, first, _perhaps(piece), apart=piece.apart, until=last, group=piece.name)
    else:
        yield Demand(piece.name, first, _moved(piece), apart=piece.apart)
        before = piece.name
        for take, slot in zip(range(2, piece.takes + 1), takes[1:], strict=False):
            name = f"{piece.name} take {take}"
            again = tuple(Way(way.kind, way.start, way.end, only_after=before) for way in _moved(piece))
            yield Demand(name, slot, (*again, *_perhaps(piece)), apart=piece.apart, group=piece.name)
            before = name
    if piece.spare:
        ways = _perhaps(piece)
        name = f"{piece.name} spare"
        yield Demand(name, first, ways, piece.spare, piece.apart, until=last, spare=True, group=piece.name)


@remembered_each(4)
def _shown(named: Mapping[str, tuple[State, ...]], kind: str, stand: Stand) -> tuple[Way, ...]:
    """The states in which a piece that is only shown may stand."""
    states = dict.fromkeys((stand.start, *named.get(kind, ())))
    return tuple(
        Way(kind, state, state) for state in states if contains(state, stand.start) and contains(stand.latest, state)
    )


def _moved(piece: TablePiece) -> tuple[Way, ...]:
    return tuple(Way(kind, stand.start, stand.end) for kind, stand in piece.stands.items())


def _perhaps(piece: TablePiece) -> tuple[Way, ...]:
    """The ways of a piece that may or may not be used: it serves what contains its end, but counts from its start."""
    return tuple(Way(kind, stand.start, stand.end, base=stand.start) for kind, stand in piece.stands.items())


def _ready(course: Course, kinds: Kinds, table: Sequence[TablePiece]) -> Iterator[Ready]:
    """What exists: pieces in the drawer, and pieces agreed with the knitters, as far as they are."""
    agreed, _ = standings(course, kinds)
    taken = {one.piece.drawer for one in agreed}
    never = {item.name: _not_for(course, table, item) for item in course.course.samples.drawer}
    for item in course.course.samples.drawer:
        if item.name not in taken:
            yield Ready(item.name, item.kind, drawer_state(course, kinds, item), not_for=never[item.name])
    apart, serves = set_apart(course, table), served(course, table)
    for one in agreed:
        yield Ready(
            name=one.piece.drawer or one.piece.letter,
            kind=one.piece.kind,
            state=one.at,
            agreed=one.stop,
            letter=one.piece.letter,
            weight=0.0,
            only_for=apart.get(one.piece.letter, ""),
            not_for=never.get(one.piece.drawer, frozenset()),
            serves=serves.get(one.piece.letter, ()),
        )


def _not_for(course: Course, table: Sequence[TablePiece], item: Drawer) -> frozenset[str]:
    """The demands of the shots in which a piece from the drawer is not shown."""
    shots = {one.number for name in item.not_in for one in course.shots_in(name)}
    asked = (demand for piece in table if piece.shot in shots for demand in _demands(piece, [0] * piece.takes, {}))
    return frozenset(demand.name for demand in asked)


@remembered(2)
def stops_by_shot(choice: Choice) -> Mapping[str, list[tuple[Piece, Stop]]]:
    """Find, for each shot number, the pieces that stand in it and their stops."""
    found: dict[str, list[tuple[Piece, Stop]]] = {}
    for piece in choice.pieces:
        for stop in piece.stops:
            found.setdefault(shot_of(stop.demand), []).append((piece, stop))
    return found


def appearance_of(demand: str) -> str:
    """Give the appearance that a demand belongs to: ``2.5.1 b`` of ``2.5.1 b take 2``."""
    return demand.partition(" take ")[0].removesuffix(" spare")
