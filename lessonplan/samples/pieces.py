"""The pieces on the tables of a course, with the states that they may stand in, and what knitting them takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import accumulate

from lessonplan.course.model.agreed import Agreed, progress_of
from lessonplan.course.model.episodes import PieceOnTable, Shot
from lessonplan.course.model.settings import Drawer
from lessonplan.course.model.together import Course
from lessonplan.course.names.asked import piece_problems, range_text, state_problems, state_text
from lessonplan.course.problems import Problem, Where, error
from lessonplan.course.values.shotnumbers import ShotNumber, piece_name
from lessonplan.course.words import capital
from lessonplan.craft import tables
from lessonplan.pattern.amounts.minutes import cumulative_minutes
from lessonplan.pattern.variants.kinds import Place, worked_kinds
from lessonplan.pattern.variants.ways import as_filmed
from lessonplan.pattern.worked import Step, WorkedPattern
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Ladder, State
from lessonplan.samples.states import StateError, resolve, thing, typed

Kinds = Mapping[str, WorkedPattern]
"""The pattern as each kind of piece is worked."""


@dataclass(frozen=True, slots=True)
class Stand:
    """How a piece of one kind may stand in a shot: in ``start`` or, when it is only shown, anything up to ``latest``;
    and in which state, ``end``, it is left when it came in ``start``.
    """

    start: State
    latest: State
    end: State

    @property
    def moves(self) -> bool:
        """Whether the shot works on the piece."""
        return self.end != self.start


@dataclass(frozen=True, slots=True)
class TablePiece:
    """A piece on the table of a shot, with the ways in which each of its kinds may stand there, for the film size.

    ``one_way`` tells that the move cannot be undone, so that each planned take needs a fresh piece; ``apart`` that the
    piece serves no other shot.
    """

    name: str
    shot: ShotNumber
    stands: Mapping[str, Stand]
    takes: int
    one_way: bool
    spare: int
    apart: bool
    label: str
    note: str
    where: Where

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds that will do."""
        return tuple(self.stands)

    @property
    def first(self) -> tuple[str, Stand]:
        """The first kind that will do, by which all is counted before pieces are chosen, with how it stands."""
        return next(iter(self.stands.items()))

    @property
    def moves(self) -> bool:
        """Whether the shot works on the piece."""
        return any(stand.moves for stand in self.stands.values())


def film_size(course: Course) -> int:
    """Give the index of the size that is filmed."""
    names = [size.name for size in course.pattern.sizes]
    return names.index(course.course.film_size) if course.course.film_size in names else 0


def kinds_of(course: Course, worked: WorkedPattern) -> tuple[Kinds, tuple[Problem, ...]]:
    """Work the pattern as each kind that the course asks for, rounds cut at the places inside them that it names."""
    wanted, places = {"full"}, set()
    for one in course.shots():
        for piece in one.shot.pieces:
            wanted |= {*piece.kinds}
            for text in (piece.needs, piece.shows, piece.leaves):
                places |= set(_places(course, text))
    agreed = course.agreed or Agreed()
    wanted |= {item.kind for item in course.course.samples.drawer} | {piece.kind for piece in agreed.pieces}
    progress = [progress_of(far)[0] for far in agreed.progress.values()]
    stops = [piece.stop for piece in agreed.pieces]
    for text in (*(item.state for item in course.course.samples.drawer), *stops, *progress):
        places |= set(_places(course, text))
    pattern = as_filmed(course.pattern)
    return worked_kinds(pattern, worked, film_size(course), tuple(sorted(places, key=str)), wanted)


def _places(course: Course, text: str) -> Iterator[Place]:
    try:
        asked = range_text(course, text)
    except ValueError:
        return
    for state in (asked.low, asked.high):
        for part in state.parts if state else ():
            if part.stitches and part.rounds is not None:
                yield Place(part.stage, part.rounds + 1, part.stitches)


@remembered(4)
def ladders_of(course: Course, kinds: Kinds, bench: float | None, floor: float | None = None) -> dict[str, Ladder]:
    """Give the ladder of each kind, knitted at paces (the host's, unless given) at the bench and on the set."""
    return {kind: _ladder(course, worked, bench, floor) for kind, worked in kinds.items()}


def _ladder(course: Course, worked: WorkedPattern, bench: float | None, floor: float | None) -> Ladder:
    size, file = film_size(course), course.course
    stages = [worked.stage(key, size) for key in worked.order]
    index = {key: number for number, key in enumerate(worked.order)}

    def minutes(pace: float | None) -> tuple[tuple[float, ...], ...]:
        """The minutes up to each step of each stage, at a pace in stitches a minute."""
        return tuple(cumulative_minutes(one, pace or file.pace.knitting, file.techniques) for one in stages)

    fixed = [course.pattern.stages[key].one_way for key in worked.order]
    return Ladder(
        stages=worked.order,
        before=tuple(tuple(index[name] for name in worked.before[key]) for key in worked.order),
        bench=minutes(bench),
        floor=minutes(floor),
        ripping=tuple(tuple(accumulate((ripping_minutes(step) for step in one.steps), initial=0.0)) for one in stages),
        drying=tuple(tuple(accumulate((step.drying for step in one.steps), initial=0.0)) for one in stages),
        fixed=tuple(
            tuple(accumulate((is_for_good(step) or whole for step in one.steps), initial=0))
            for one, whole in zip(stages, fixed, strict=True)
        ),
    )


def ripping_minutes(step: Step) -> float:
    """Minutes in which one step is taken back: its stitches, each drawn out and caught again in its turn.

    A step without stitches (an end woven in, a tassel) is taken back in half the time it took: a guess.
    """
    return (step.part or max(step.before, step.after)) * tables.minutes("rip") or step.fixed / 2


def is_for_good(step: Step) -> bool:
    """Whether a step is for good: it is marked so, the yarn is cut, or the piece was washed, glued or fired."""
    return step.one_way or step.kind == "draw-through" or step.drying > 0


def table_pieces(course: Course, kinds: Kinds) -> tuple[tuple[TablePiece, ...], tuple[Problem, ...]]:
    """Work out the states of every piece on every table, in the order of the story, with what is wrong with them."""
    found: list[TablePiece] = []
    problems: list[Problem] = []
    for number, _, _, shot in course.shots():
        for place, piece in enumerate(shot.pieces):
            name = piece_name(number, place, len(shot.pieces))
            readable = piece.needs or piece.shows  # else it was told of in reading, as is what follows
            if readable and not any(piece_problems(course, piece)):
                one = _table_piece(course, kinds, name, number, shot, piece, problems)
                found += [one] if one else []
    for item in course.course.samples.drawer:
        if not any(state_problems(course, item.state, item.mark("state"))):
            try:
                drawer_state(course, kinds, item)
            except StateError as bad:
                problems.append(error(item.mark("state"), "state", capital(f"{bad}.")))
    return tuple(found), tuple(problems)


def drawer_state(course: Course, kinds: Kinds, item: Drawer) -> State:
    """Give the state of a piece in the drawer. Raises `StateError`."""
    return resolve(state_text(course, item.state), kinds[item.kind], film_size(course))


def _table_piece(
    course: Course,
    kinds: Kinds,
    name: str,
    number: ShotNumber,
    shot: Shot,
    piece: PieceOnTable,
    problems: list[Problem],
) -> TablePiece | None:
    """The piece with the kinds that can stand as asked; what no kind can do, or a kind that cannot, is a problem."""
    stands: dict[str, Stand] = {}
    cannot: dict[str, str] = {}
    asked = piece.mark("needs" if piece.needs else "shows")
    for kind in dict.fromkeys(piece.kinds):
        try:
            stands[kind] = _stand(course, kinds[kind], piece)
        except StateError as bad:
            cannot[kind] = str(bad)
    if len({*cannot.values()}) == 1 and not stands and len(cannot) > 1:  # what is wrong lies not in the kinds
        cannot = {"full": next(iter(cannot.values()))}
    for kind, why in cannot.items():
        where = asked if kind == "full" else piece.mark("kinds", piece.kinds.index(kind))
        what = f"Shot {number}" + ("" if kind == "full" else f", {kind} piece")
        problems.append(error(where, "state", f"{what}: {why}."))
    if not stands:
        return None
    size = film_size(course)
    moved = any(stand.moves for stand in stands.values())
    if shot.one_way and not piece.leaves and not any(other.leaves for other in shot.pieces):
        what = f"Shot {number} is one way, but nothing says in which state it leaves the piece."
        problems.append(error(shot.mark("one_way"), "one-way", what, "Give “leaves” beside “needs”."))
    one_way = moved and (shot.one_way or any(_passes(kinds[kind], size, course, one) for kind, one in stands.items()))
    return TablePiece(
        name=name,
        shot=number,
        stands=stands,
        takes=shot.takes,
        one_way=one_way,
        spare=piece.spare,
        apart=piece.apart or (not moved and _new_part(course, kinds, piece, stands)),
        label=piece.name,
        note=piece.note,
        where=asked,
    )


def _new_part(course: Course, kinds: Kinds, piece: PieceOnTable, stands: Mapping[str, Stand]) -> bool:
    """Whether a piece is another part before it is begun: yarn alone, for which no piece is taken back to nothing."""
    if any(any(stand.start) for stand in stands.values()) or not piece.needs:
        return False
    named = {part.stage for part in state_text(course, piece.needs).parts if part.before}
    return bool(named) and not named & {kinds[kind].order[0] for kind in stands}


def _stand(course: Course, worked: WorkedPattern, piece: PieceOnTable) -> Stand:
    """Give how one kind of piece may stand. Raises `StateError` when it cannot."""
    size = film_size(course)
    asked = range_text(course, piece.needs or piece.shows)
    start = resolve(asked.low, worked, size)
    latest = _whole(worked, size, start) if asked.high is None else resolve(asked.high, worked, size)
    back = next((key for key, a, b in zip(worked.order, start, latest, strict=True) if b < a), "")
    if back:
        raise StateError(f"“{piece.shows}” goes backward: its end has less of “{back}” than its beginning")
    end = resolve(state_text(course, piece.leaves), worked, size) if piece.leaves else start
    lacking = [key for key, a, b in zip(worked.order, start, end, strict=True) if b < a]
    if lacking:
        both = tuple(map(max, start, end))
        if both != start:  # something is left out: no way back is meant
            try:
                whole = typed(both, worked, size)
            except ValueError:
                whole = f"{lacking[0]}, {piece.leaves}"
            what = f"“leaves: {piece.leaves}” is without “{lacking[0]}”, which the piece has already"
            raise StateError(f"{what}: write “leaves: {whole}”")
        raise StateError(f"the piece is left without {lacking[0]} as it was at the start; a piece only moves forward")
    return Stand(start, latest, end)


def _whole(worked: WorkedPattern, size: int, start: State) -> State:
    """All of the things that a state has begun, in as many stages as this kind can have."""
    begun = [*worked.begun(start)] or [worked.order[0]]
    keys = {key for one in begun for key in thing(worked, one)}
    stages = [worked.stage(key, size) for key in worked.order]
    return tuple(len(one.steps) if one.key in keys and not one.broken else 0 for one in stages)


def _passes(worked: WorkedPattern, size: int, course: Course, stand: Stand) -> bool:
    """Whether a move passes something that cannot be taken back."""
    for key, a, b in zip(worked.order, stand.start, stand.end, strict=True):
        steps = worked.stage(key, size).steps[a:b]
        if any(is_for_good(step) for step in steps) or (steps and course.pattern.stages[key].one_way):
            return True
    return False
