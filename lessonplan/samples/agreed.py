"""The pieces that were agreed with the knitters as states: where each stops, and how far each is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from lessonplan.course.model.agreed import APART, BROKEN, Agreed, AgreedPiece, progress_of
from lessonplan.course.model.together import Course
from lessonplan.course.names.asked import state_problems, state_text
from lessonplan.course.names.slates import slates_of
from lessonplan.course.problems import Problem, Where, error
from lessonplan.course.words import count_of
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Choice, Piece, Ready, State, contains
from lessonplan.samples.pieces import Kinds, TablePiece, drawer_state, film_size
from lessonplan.samples.states import StateError, resolve


@dataclass(frozen=True, slots=True)
class Standing:
    """A piece that was agreed: the state in which it is to ``stop`` before the shoot, and the one that it is ``at``."""

    piece: AgreedPiece
    stop: State
    at: State


@remembered(4)
def standings(course: Course, kinds: Kinds) -> tuple[tuple[Standing, ...], tuple[Problem, ...]]:
    """Work out the pieces that were agreed; what the pattern does not have, or has no more, is a problem."""
    agreed, problems = course.agreed or Agreed(), list[Problem]()
    found = []
    for piece in agreed.pieces:
        at: State | None = None
        stop = _state(course, kinds, piece, piece.stop, piece.mark("stop"), problems)
        if stop is None:
            continue
        drawer = next((one for one in course.course.samples.drawer if one.name == piece.drawer), None)
        if agreed.progress.get(piece.letter) == BROKEN:
            at = tuple(0 for _ in stop)
        elif piece.letter in agreed.progress:
            where = agreed.mark("progress", piece.letter)
            far, _ = progress_of(agreed.progress[piece.letter])
            at = _state(course, kinds, piece, far, where, problems)
            if at is None:
                continue
            if not contains(stop, at):
                what = (
                    f"Piece {piece.letter} is further than it was to be: “{far}” lies beyond its stop, “{piece.stop}”."
                )
                problems.append(error(where, "beyond-stop", what, "Mend this, or write its new stop above."))
        elif drawer is not None and drawer.kind == piece.kind:
            try:
                at = drawer_state(course, kinds, drawer)
            except StateError:
                continue  # that is told where the drawer is
        elif drawer is not None:
            what = (
                f"Piece {piece.letter} was agreed as {piece.kind}, and “{drawer.name}” in the drawer is {drawer.kind}."
            )
            problems.append(error(piece.mark("kind"), "kind", what, f"Write “kind: {drawer.kind}” here."))
        found.append(Standing(piece, stop, at or tuple(0 for _ in stop)))
    return tuple(found), tuple(problems)


def made(worked: WorkedPattern, size: int, state: State) -> str:
    """Word what a piece in a state is made of, by which another pattern with the same words for it is known.

    The stitches are those on the needle after each of its rounds, added up; of short rows those that are worked.
    """
    return _made(worked, size, state, shorter=True)


def made_alike(made_of: str, worked: WorkedPattern, size: int, state: State) -> bool:
    """Whether a piece in a state is made of what was agreed, also where short rows were counted by all their stitches.

    Agreements had all stitches on the needle before short rows were told from others.
    """
    return made_of in {_made(worked, size, state, shorter=shorter) for shorter in (True, False)}


def _made(worked: WorkedPattern, size: int, state: State, *, shorter: bool) -> str:
    steps = [*worked.steps_between([0] * len(state), state, size)]
    rounds = [one for one in steps if one.is_round]
    if not rounds:
        return count_of(len(steps), "step")
    stitches = sum((one.short if shorter else 0) or one.after for one in rounds)
    return f"{count_of(len(rounds), 'round')}, {stitches} stitches"


def _state(
    course: Course, kinds: Kinds, piece: AgreedPiece, text: str, where: Where, problems: list[Problem]
) -> State | None:
    """Work out one state of a piece, or tell why there is no such state."""
    if any(state_problems(course, text, where)):
        return None  # told of in reading
    try:
        return resolve(state_text(course, text), kinds[piece.kind], film_size(course))
    except StateError as bad:
        kind = "" if piece.kind == "full" else f" ({piece.kind})"
        hint = "Write a state that it has, or take the piece out here and agree again."
        problems.append(error(where, "agreed-state", f"Piece {piece.letter}{kind}: {bad}.", hint))
    return None


def set_apart(course: Course, table: Sequence[TablePiece]) -> Mapping[str, str]:
    """Give the name in the plan of what each piece was set apart for, by the piece's letter.

    Where the shot is gone, or has nothing apart any more, it is a name that nothing has: such a piece serves nothing.
    """
    asked = {one.letter: one.only_for for one in _agreed(course) if one.only_for}
    apart = [one for one in table if one.apart]
    return {letter: next(_named(course, apart, [text]), f"slate {text}") for letter, text in asked.items()}


def _agreed(course: Course) -> tuple[AgreedPiece, ...]:
    return course.agreed.pieces if course.agreed else ()


def served(course: Course, table: Sequence[TablePiece]) -> Mapping[str, tuple[str, ...]]:
    """Give the names in the plan of all that each piece was to come to, in that order, by the piece's letter."""
    asked = {one.letter: one.serves or ((one.comes_to,) if one.comes_to else ()) for one in _agreed(course)}
    return {letter: tuple(_named(course, table, texts)) for letter, texts in asked.items()}


def _named(course: Course, table: Sequence[TablePiece], asked: Sequence[str]) -> Iterator[str]:
    """Give the names in the plan of what is asked for by slates; what is not there any more is left out."""
    today = {str(slate): number for number, slate in slates_of(course)[0].items()}
    for text in asked:
        if parts := APART.fullmatch(text):
            here = [one for one in table if one.shot == today.get(parts["slate"])]
            named = [one for one in here if one.name == f"{one.shot} {parts['place']}"] or here
            if len(named) == 1:
                yield f"{named[0].name}{parts['copy']}"


def at_their_shots(ready: Sequence[Ready], choice: Choice) -> Choice:
    """Give the letters of agreed pieces that could change places to those that come to the shots agreed for them.

    Such pieces are of one kind, stop alike and are equally far, so it costs nothing.
    """
    alike: dict[Ready, list[Ready]] = {}
    for one in ready:
        if one.letter == one.name:
            alike.setdefault(replace(one, name="", letter="", serves=()), []).append(one)

    def rank(piece: Piece, one: Ready) -> int:
        """How well a piece fits one that is ready: 0 best, 3 worst."""
        stops = [stop.demand for stop in piece.stops]
        wish = next(iter(one.serves), "")
        return 0 if wish == stops[0] else 1 if wish in stops else 2 if piece.ready == one.name else 3

    given: dict[str, Ready] = {}
    for group in alike.values():
        mine = [piece for piece in choice.pieces if piece.ready in {one.name for one in group}]
        for piece, one in sorted(product(mine, group), key=lambda pair: rank(*pair)):
            if piece.name not in given and one not in given.values():
                given[piece.name] = one
    pieces = (
        replace(piece, name=given[piece.name].letter, ready=given[piece.name].name) if piece.name in given else piece
        for piece in choice.pieces
    )
    by_letter = tuple(sorted(pieces, key=lambda piece: (len(piece.name), piece.name)))
    used = {piece.ready for piece in by_letter}
    return replace(choice, pieces=by_letter, unused=tuple(one.name for one in ready if one.name not in used))
