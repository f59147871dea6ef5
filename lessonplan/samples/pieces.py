"""From a course to the question that the choice of step samples answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model import Course, PieceOnTable, Shot
from lessonplan.course.numbers import piece_name
from lessonplan.course.problems import Problem, Where, error, warning
from lessonplan.course.states import read_state
from lessonplan.pattern.minutes import cumulative_minutes
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.samples import problem as sp
from lessonplan.samples.ladder import Ladder, State
from lessonplan.samples.plan import Choice, Piece
from lessonplan.samples.states import StateError, resolve

KINDS = ("full", "short", "small")
APART = " apart "
"""Between a kind and the appearance that alone may use it, for the solver."""


@dataclass(frozen=True, slots=True)
class TablePiece:
    """A piece on the table of a shot, with its state worked out for the film size.

    ``one_way`` tells that the move cannot be undone, so that each planned take needs a fresh piece; ``apart`` that the
    piece serves no other shot.
    """

    name: str
    shot: str
    start: State
    end: State
    kinds: tuple[str, ...]
    takes: int
    one_way: bool
    spare: int
    apart: bool
    label: str
    where: Where


@dataclass(frozen=True, slots=True)
class FilmedShot:
    """A shot in filming order: its number, minutes on the floor, and what time there is after it.

    ``pause`` are minutes of clock until the next shot, ``hands`` the minutes of knitting there is in them, ``waiting``
    how long the camera may wait beyond; ``helpers`` knit while the shot is filmed. ``day`` counts from 0.
    """

    number: str
    day: int
    minutes: float
    helpers: int
    pause: float
    hands: float
    waiting: float


def film_size(course: Course) -> int:
    """Give the index of the size that is filmed."""
    names = [size.name for size in course.pattern.sizes]
    return names.index(course.course.film_size) if course.course.film_size in names else 0


def ladder_of(course: Course, worked: WorkedPattern, pace: float | None = None) -> Ladder:
    """Give the ladder of the film size, with the minutes of each kind at a pace (the host's, unless given)."""
    size, file = film_size(course), course.course
    at = pace or file.pace.knitting
    minutes = {
        kind: tuple(
            cumulative_minutes(worked.stage(key, size), at, file.techniques, kind, course.pattern.small)
            for key in worked.order
        )
        for kind in KINDS
    }
    drying = []
    for key in worked.order:
        total, counted = 0.0, [0.0]
        for step in worked.stage(key, size).steps:
            total += step.drying
            counted.append(total)
        drying.append(tuple(counted))
    index = {key: number for number, key in enumerate(worked.order)}
    before = tuple(tuple(index[name] for name in worked.before[key]) for key in worked.order)
    return Ladder(worked.order, before, minutes, tuple(drying))


def table_pieces(course: Course, worked: WorkedPattern) -> tuple[tuple[TablePiece, ...], tuple[Problem, ...]]:
    """Work out the state of every piece on every table, in the order of the story, with what is wrong with them."""
    found: list[TablePiece] = []
    problems: list[Problem] = []
    for number, _, _, shot in course.shots():
        for place, piece in enumerate(shot.pieces):
            if not all(_named(text, worked) for text in (piece.needs, piece.leaves or piece.needs)):
                continue
            name = piece_name(number, place, len(shot.pieces))
            try:
                found.append(_table_piece(course, worked, name, number, shot, piece))
            except _PieceError as bad:
                problems.append(bad.problem)
    for drawer in course.course.samples.drawer:
        if not _named(drawer.state, worked):
            continue
        try:
            resolve(read_state(drawer.state), worked, film_size(course))
        except StateError as bad:
            problems.append(error(drawer.mark("state"), "state", f"{bad}."))
    return tuple(found), tuple(problems)


def _named(text: str, worked: WorkedPattern) -> bool:
    """Tell whether a state can be read and names stages that exist; if not, that was reported in reading."""
    try:
        return all(part.stage in worked.stages for part in read_state(text).parts)
    except ValueError:
        return False


class _PieceError(Exception):
    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def _table_piece(
    course: Course, worked: WorkedPattern, name: str, number: str, shot: Shot, piece: PieceOnTable
) -> TablePiece:
    size = film_size(course)
    states = {}
    for key, text in (("needs", piece.needs), ("leaves", piece.leaves or piece.needs)):
        try:
            states[key] = resolve(read_state(text), worked, size)
        except StateError as bad:
            raise _PieceError(error(piece.mark(key), "state", f"Shot {number}: {bad}.")) from None
    start, end = states["needs"], states["leaves"]
    lacking = [key for key, a, b in zip(worked.order, start, end, strict=True) if b < a]
    if lacking:
        what = (
            f"Shot {number}: the piece is left without {lacking[0]} as it was at the start; a piece only moves forward."
        )
        raise _PieceError(error(piece.mark("leaves"), "backward", what))
    one_way = shot.one_way or _passes_one_way(course, worked, size, start, end)
    return TablePiece(
        name,
        number,
        start,
        end,
        tuple(dict.fromkeys(piece.kinds)),
        shot.takes,
        one_way and end != start,
        piece.spare,
        piece.apart,
        piece.name,
        piece.mark("needs"),
    )


def _passes_one_way(course: Course, worked: WorkedPattern, size: int, start: State, end: State) -> bool:
    for key, a, b in zip(worked.order, start, end, strict=True):
        steps = worked.stage(key, size).steps[a:b]
        if any(step.one_way for step in steps) or (steps and course.pattern.stages[key].one_way):
            return True
    return False


def kinds_of(piece: TablePiece) -> tuple[str, ...]:
    """Give the kinds to choose from for an appearance: kinds of its own where the piece is apart."""
    return tuple(f"{kind}{APART}{piece.name}" for kind in piece.kinds) if piece.apart else piece.kinds


def plain_kind(kind: str) -> str:
    """Give the kind as the course knows it."""
    return kind.partition(APART)[0]


def with_plain_kinds(choice: Choice) -> Choice:
    """Put the course's own kinds into a choice."""
    return replace(choice, pieces=tuple(replace(piece, kind=plain_kind(piece.kind)) for piece in choice.pieces))


def as_chosen(piece: Piece, table: Sequence[TablePiece]) -> Piece:
    """Give a piece the kind again under which it was chosen: one of its own if it is apart."""
    apart = {one.name for one in table if one.apart}
    name = piece.stops[0].appearance
    return replace(piece, kind=f"{piece.kind}{APART}{name}") if name in apart else piece


def question(
    course: Course, worked: WorkedPattern, table: Sequence[TablePiece], shots: Sequence[FilmedShot], ladder: Ladder
) -> sp.Problem:
    """Put the question: which pieces, for the shots in the order in which they are filmed."""
    place = {shot.number: index for index, shot in enumerate(shots)}
    kinds = {piece.name: kinds_of(piece) for piece in table}
    own = {kind: ladder.minutes[plain_kind(kind)] for names in kinds.values() for kind in names if APART in kind}
    ladder = replace(ladder, minutes={**ladder.minutes, **own})
    appearances = tuple(
        sp.Appearance(
            piece.name,
            place[piece.shot],
            piece.start,
            piece.end,
            kinds[piece.name],
            copies=piece.takes if piece.one_way else 1,
            spare=piece.spare,
        )
        for piece in table
        if piece.shot in place
    )
    weights = course.course.samples.weights
    drawer = tuple(
        sp.Drawer(item.name, item.kind, resolve(read_state(item.state), worked, film_size(course)))
        for item in course.course.samples.drawer
    )
    return sp.Problem(
        ladder,
        appearances,
        tuple(sp.Shot(shot.number, shot.minutes, shot.helpers) for shot in shots),
        tuple(sp.Pause(shot.pause, shot.hands, shot.waiting) for shot in shots),
        drawer,
        sp.Weights(weights.piece, 1.0, weights.floor, weights.waiting),
    )


def impossible(problem: sp.Problem, table: Sequence[TablePiece]) -> tuple[Problem, ...]:
    """Report the shots for which no piece of an accepted kind can exist."""
    where: Mapping[str, Where] = {piece.name: piece.where for piece in table}
    found = []
    for appearance in problem.appearances:
        why = sp.why_impossible(problem.ladder, appearance)
        if why:
            found.append(error(where[appearance.name], "no-piece", f"Shot {appearance.name}: {why}."))
    return tuple(found)


def drawer_remarks(course: Course, unused: Sequence[str]) -> tuple[Problem, ...]:
    """Say which pieces in the drawer serve no shot."""
    return tuple(
        warning(item.mark("name"), "drawer", f"“{item.name}” from the drawer serves no shot.")
        for item in course.course.samples.drawer
        if item.name in unused
    )
