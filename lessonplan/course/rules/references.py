"""Rules about what was agreed, and about what refers to it: slates, letters, progress, and the places of errata."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

from lessonplan.course.model.agreed import BROKEN, Agreed, progress_of
from lessonplan.course.model.together import Course
from lessonplan.course.names.asked import state_problems
from lessonplan.course.names.slates import lost_slate, named_shots, slates_of
from lessonplan.course.problems import Problem, did_you_mean, error, warning


def slates_are_there(course: Course) -> Iterator[Problem]:
    """Each slate that was agreed is one shot of today, and what a shot names as its slate was agreed."""
    if course.agreed is None:
        for one in course.shots():
            if one.shot.slate:
                hint = "Take it out; “lessonplan agree COURSE” gives every shot its slate."
                yield warning(one.shot.mark("slate"), "unknown-slate", "Nothing is agreed yet, so no slate is.", hint)
        return
    yield from slates_of(course)[1]
    known, seen = {one.slate for one in course.agreed.shots}, set[int]()
    for agreed in course.agreed.shots:
        if agreed.slate in seen:
            yield error(agreed.mark("slate"), "slate-twice", f"Slate {agreed.slate} is given to two shots here.")
        seen.add(agreed.slate)
    named = Counter(one.shot.slate for one in course.shots() if one.shot.slate)
    for one in course.shots():
        slate = one.shot.slate
        if slate and slate not in known and known:
            what, hint = f"No slate {slate} was agreed.", "Take it out; the next agreement gives the shot its slate."
            yield error(one.shot.mark("slate"), "unknown-slate", what, hint)
        elif slate and named[slate] > 1:
            yield error(one.shot.mark("slate"), "slate-twice", f"Two shots say that they are slate {slate}.")


def letters_once(course: Course) -> Iterator[Problem]:
    """No two pieces have one letter, or are one piece from the drawer."""
    agreed, names = course.agreed or Agreed(), {item.name for item in course.course.samples.drawer}
    letters, drawn = set[str](), set[str]()
    for piece in agreed.pieces:
        if piece.letter in letters:
            what = f"Two pieces have the letter {piece.letter}."
            yield error(piece.mark("letter"), "letter-twice", what, "Give one of them a letter that is free.")
        elif piece.letter in names:
            what = f"A piece in the drawer is called “{piece.letter}”, like this one."
            yield error(piece.mark("letter"), "letter-twice", what, "Give the one in the drawer another name.")
        letters.add(piece.letter)
        if piece.drawer in drawn:
            yield error(piece.mark("drawer"), "drawer", f"“{piece.drawer}” is given to two pieces here.")
        elif piece.drawer and piece.drawer not in names:
            what = f"Piece {piece.letter} was agreed from the drawer, and no “{piece.drawer}” is there any more."
            hint = did_you_mean(piece.drawer, names) or "Take “drawer” out here if the piece is to be made anew."
            yield error(piece.mark("drawer"), "drawer", what, hint)
        drawn.add(piece.drawer or piece.letter)


def knitters_known(course: Course) -> Iterator[Problem]:
    """Who was agreed to knit a piece is among those who knit."""
    names = [one.name for one in course.course.knitters] or [course.course.host]
    for piece in course.agreed.pieces if course.agreed else ():
        if piece.knitter and piece.knitter not in names:
            what = f"Piece {piece.letter} was agreed with “{piece.knitter}”, who is not among those who make pieces."
            hint = did_you_mean(piece.knitter, names) or "Name who makes it, or agree again."
            yield warning(piece.mark("knitter"), "unknown-knitter", what, hint)


def agreed_states(course: Course) -> Iterator[Problem]:
    """Stops and progress are states, and progress is that of a piece that was agreed."""
    agreed = course.agreed or Agreed()
    letters = [piece.letter for piece in agreed.pieces]
    for piece in agreed.pieces:
        yield from state_problems(course, piece.stop, piece.mark("stop"))
    for letter, far in agreed.progress.items():
        if far != BROKEN:
            yield from state_problems(course, progress_of(far)[0], agreed.mark("progress", letter))
        if letter not in letters:
            what = f"No piece {letter} was agreed, so it has no progress."
            hint = did_you_mean(letter, letters) or "Take it out here, or agree on the piece first."
            yield error(agreed.mark("progress", letter), "unknown-piece", what, hint)


def errata_places(course: Course) -> Iterator[Problem]:
    """A shot that an erratum names exists, be it by number or by slate."""
    numbers = {str(one.number) for one in course.shots()}
    agreed = {one.slate: one for one in (course.agreed or Agreed()).shots}
    for erratum in course.errata.errata:
        where = erratum.mark("where")
        for one in named_shots(course, erratum.where):
            if one.twice:
                what = f"“{one.words}” names two shots: slate {one.slate} is {one.number or 'gone'}."
                yield warning(where, "two-shots", what, "Leave out the number; the slate stays.")
            elif one.number is not None:
                continue
            elif one.slate in agreed:
                what = f"{lost_slate(agreed[one.slate])} is not among the shots any more."
                yield warning(where, "lost-slate", what)
            elif one.slate and course.agreed is None:
                yield warning(where, "unknown-slate", f"Nothing is agreed yet, so there is no slate {one.slate}.")
            elif one.slate and agreed:
                yield warning(where, "unknown-slate", f"No slate {one.slate} was agreed.")
            elif not one.slate:
                hint = did_you_mean(one.words, numbers)
                yield warning(where, "unknown-shot", f"There is no shot {one.words}.", hint)


AGREED_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (
    slates_are_there,
    letters_once,
    knitters_known,
    agreed_states,
    errata_places,
)
