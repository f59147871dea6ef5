"""What a plan has that was agreed otherwise: pieces, knitters, days, and shots that are new or gone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from lessonplan.course.model.agreed import AgreedPiece, progress_of
from lessonplan.course.names.slates import lost_slate, slates_of
from lessonplan.course.problems import Problem, Where, note
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import listing, short_date
from lessonplan.craft.words import words_of
from lessonplan.planning.worked import Plan, first_day
from lessonplan.samples.agreed import Standing, made, made_alike, served, standings
from lessonplan.samples.choice import Piece
from lessonplan.samples.knitters import who_knits
from lessonplan.samples.states import in_words

Said = tuple[Where, str]


def changes(plan: Plan) -> tuple[str, ...]:
    """Say in sentences what has changed since the agreement; nothing where nothing was, or nothing changed.

    Of pick-up shots nothing was agreed.
    """
    return () if plan.again else tuple(said for _, said in (*_shots(plan, lost=True), *_pieces(plan)))


def change_notes(plan: Plan) -> tuple[Problem, ...]:
    """Give the changes as notes, but for those that are told of as problems already."""
    told = {*plan.calendar.remarks}
    needed = {piece.name for piece in plan.choice.pieces}
    found = [*_shots(plan, lost=False), *_pieces(plan)]
    gone = {one.piece.mark("letter") for one in _standings(plan) if one.piece.letter not in needed}
    kept = [(where, said) for where, said in found if said not in told and where not in gone]
    return tuple(note(where, "changed", said, "Tell who works from it, and agree again.") for where, said in kept)


def _standings(plan: Plan) -> tuple[Standing, ...]:
    return standings(plan.course, plan.worked.kinds)[0]


def _shots(plan: Plan, *, lost: bool) -> Iterator[Said]:
    agreed = plan.course.agreed
    if agreed is None:
        return
    slates, _ = slates_of(plan.course)
    new = [one for one in plan.course.shots() if one.number not in slates]
    if new:
        names = listing([str(one.number) for one in new])
        what = f"Shot {names} is" if len(new) == 1 else f"Shots {names} are"
        yield new[0].shot.mark(), f"{what} new since the agreement."
    for one in agreed.shots if lost else ():
        if not one.gone and one.slate not in slates.values():
            yield one.mark("slate"), f"{lost_slate(one)} is not among the shots any more."


def _pieces(plan: Plan) -> Iterator[Said]:
    agreed = plan.course.agreed
    if agreed is None:
        return
    pieces, known = {piece.name: piece for piece in plan.choice.pieces}, {one.letter for one in agreed.pieces}
    for one in _standings(plan):
        if one.piece.letter in pieces:
            yield from _piece(plan, one, pieces[one.piece.letter])
        else:
            yield one.piece.mark("letter"), f"Piece {one.piece.letter} is not needed any more."
    yield from _days(plan)
    size = plan.worked.size
    for piece in plan.choice.pieces:
        if piece.name not in known:
            state = in_words(piece.first, plan.worked.kinds[piece.kind], size)
            yield agreed.mark("pieces"), f"Piece {piece.name} is new since the agreement: {piece.kind}, {state}."


def _days(plan: Plan) -> Iterator[Said]:
    """Say which pieces are needed on another shoot day than agreed, those of the same days together."""
    agreed = {one.letter: one for one in plan.course.agreed.pieces} if plan.course.agreed else {}
    moved = dict[tuple[date, date], list[AgreedPiece]]()
    for piece in plan.choice.pieces:
        now, one = first_day(plan.worked, piece.stops[0].slot), agreed.get(piece.name)
        if one and one.needed and one.needed != now:
            moved.setdefault((one.needed, now), []).append(one)
    for (then, now), pieces in moved.items():
        names = listing([one.letter for one in pieces])
        what = f"Piece {names} is" if len(pieces) == 1 else f"Pieces {names} are"
        yield pieces[0].mark("needed"), f"{what} needed on {short_date(now)}. Agreed was {short_date(then)}."


def _piece(plan: Plan, one: Standing, piece: Piece) -> Iterator[Said]:
    """Say where a piece stops elsewhere, and whose and when it is now: that the calendar has found out."""
    letter, worked = piece.name, plan.worked.kinds[piece.kind]
    if piece.first != one.stop:
        now, then = (in_words(state, worked, plan.worked.size) for state in (piece.first, one.stop))
        yield one.piece.mark("stop"), f"Piece {letter} now stops at: {now}. Agreed was: {then}."
    elif one.piece.made and not made_alike(one.piece.made, worked, plan.worked.size, piece.first):
        now = made(worked, plan.worked.size, piece.first)
        what = f"Piece {letter} was agreed as {one.piece.made} by its stop, and the pattern now makes {now} of it."
        far = plan.course.agreed.progress.get(letter) if plan.course.agreed else None
        done = f" See whether what is made of it fits: “{progress_of(far)[0]}” is noted." if far else ""
        yield one.piece.mark("made"), what + done
    yield from _moved(plan, one.piece, piece)
    for remark in plan.calendar.remarks:
        if remark.startswith(f"Piece {letter} was agreed "):
            yield one.piece.mark("knitter"), remark
    names = {knitter.name for knitter in who_knits(plan.course)}
    who = plan.calendar.assigned.get(letter, "")
    if one.piece.knitter and who and one.piece.knitter not in names:
        yield (
            one.piece.mark("knitter"),
            f"Piece {letter} was agreed with {one.piece.knitter}; {who} {words_of(plan.course.pattern).makes} it now.",
        )


def _moved(plan: Plan, agreed: AgreedPiece, piece: Piece) -> Iterator[Said]:
    """Say to which shots of those that were agreed with it a piece comes no more, and which it has instead."""
    if not agreed.serves:
        return
    then = dict.fromkeys(map(shot_of, served(plan.course, plan.worked.table)[agreed.letter]))
    now = dict.fromkeys(shot_of(stop.demand) for stop in piece.stops)
    less, more = ([number for number in one if number not in other] for one, other in ((then, now), (now, then)))
    if less or more:
        goes = f"no longer comes to {_shot_names(less)}" if less else ""
        comes = f"also comes to {_shot_names(more)}" if more else ""
        yield (
            agreed.mark("serves"),
            f"Piece {agreed.letter} {' and '.join(filter(None, (goes, comes)))}, unlike agreed.",
        )


def _shot_names(numbers: Sequence[str]) -> str:
    return f"shot{'s' if len(numbers) > 1 else ''} {listing(numbers)}"
