"""A knitter's evenings: sittings in the order of knitting, crumbs put together with their neighbours."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from lessonplan.documents.wording import duration, short_day
from lessonplan.planning.worked import Plan
from lessonplan.samples.calendar.jobs import Sitting
from lessonplan.samples.choice import Piece, State
from lessonplan.samples.knitters import begun_at, reached, who_knits
from lessonplan.samples.pieces import ladders_of
from lessonplan.samples.states import in_words

CRUMB = 10
"""A sitting of fewer minutes goes to the next on the same piece, or the one before (planning guess, from memory)."""


@dataclass(frozen=True, slots=True)
class Spell:
    """Some minutes on one piece in an evening, and how far it is then; ``left`` sittings on it come after."""

    piece: str
    minutes: int
    what: str
    left: int


@dataclass(frozen=True, slots=True)
class Evening:
    """One day's knitting in the order in which it is done."""

    day: date
    day_text: str
    takes: str
    spells: tuple[Spell, ...]


def merged(sittings: tuple[Sitting, ...]) -> list[Sitting]:
    """Put crumbs of a piece to its next sitting, or else to the one before; a piece of crumbs alone is one sitting."""
    found: list[Sitting] = []
    for piece in dict.fromkeys(one.piece for one in sittings):
        mine: list[Sitting] = []
        carried = 0
        for one in (sitting for sitting in sittings if sitting.piece == piece):
            if one.minutes + carried < CRUMB:
                carried += one.minutes
                last = one
                continue
            mine.append(replace(one, minutes=one.minutes + carried))
            carried = 0
        if carried and mine:
            mine[-1] = replace(mine[-1], minutes=mine[-1].minutes + carried)
        elif carried:
            mine.append(replace(last, minutes=carried))
        found += mine
    order = {(one.day, one.piece): place for place, one in enumerate(sittings)}
    return sorted(found, key=lambda one: (one.day, order[one.day, one.piece]))


def by_evening(plan: Plan, piece: Piece, state: State) -> str:
    """Word how far a piece is after a sitting: in whole steps; with none of them done yet, which stage is begun."""
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    if any(state):
        return in_words(state, worked, size)
    first = next((key for key, goal in zip(worked.order, piece.first, strict=True) if goal), "")
    return f"{worked.stage(first, size).title} begun" if first else in_words(state, worked, size)


def evenings(plan: Plan, name: str) -> tuple[Evening, ...]:
    """Give a knitter's evenings, each with the state that a piece has by its end, at the knitter's own pace."""
    kinds = plan.worked.kinds
    knitter = next(one for one in who_knits(plan.course) if one.name == name)
    ladders = ladders_of(plan.course, kinds, knitter.pace)
    pieces = {piece.name: piece for piece in plan.choice.pieces}
    sittings = merged(tuple(one for one in plan.calendar.sittings if one.person == name))
    done: dict[str, int] = {}
    left = {letter: sum(one.piece == letter for one in sittings) for letter in pieces}
    found: dict[date, list[Spell]] = {}
    for one in sittings:
        piece = pieces[one.piece]
        done[one.piece] = done.get(one.piece, 0) + one.minutes
        left[one.piece] -= 1
        begun = begun_at(plan.worked.question, piece)
        state = reached(ladders[piece.kind], piece.first, begun, done[one.piece])
        found.setdefault(one.day, []).append(
            Spell(one.piece, one.minutes, by_evening(plan, piece, state), left[one.piece])
        )
    return tuple(
        Evening(day, short_day(day), duration(sum(one.minutes for one in spells)), tuple(spells))
        for day, spells in sorted(found.items())
    )
