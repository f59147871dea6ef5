"""Agreeing with the knitters: the plan of today is written down with lasting names, or progress is noted in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from lessonplan.course.files import UnfitError, decode, inside, locked, read_plain, write_file
from lessonplan.course.model.agreed import BROKEN, Agreed, progress_of
from lessonplan.course.model.together import Course
from lessonplan.course.names.slates import named_shots
from lessonplan.course.problems import Problem, Where, error
from lessonplan.course.read import read_one
from lessonplan.course.rules.references import agreed_states
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.agreed.hands import hands_of
from lessonplan.planning.agreed.text import agreement, with_done, with_progress
from lessonplan.planning.filmed.kepttakes import KEPT
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Plan, Result, load
from lessonplan.samples.agreed import standings
from lessonplan.samples.choice import Progress
from lessonplan.shoot.takes.log import MAX_BYTES as MAX_LOG, read_log

FILE = "agreed.yaml"


class AgreeError(ValueError):
    """What cannot be noted or agreed as it was asked for; the text is one plain sentence."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """What was written: the file, what is agreed now, and what changed against what was agreed before.

    After progress was noted ``changed`` says what is learnt from it of the knitters' paces.
    """

    path: Path
    agreed: Agreed
    changed: tuple[str, ...] = ()


def agree(folder: Path | str, on: date, progress: Progress | None = None) -> tuple[Result, Agreement | None]:
    """Plan a course and write the plan down as agreed ``on`` a day.

    With errors in the course, or where something refers to shots by numbers that change with this agreement, nothing
    is written and the problems say why. ``progress`` is told how the choice of samples goes. Raises `AgreeError` for a
    state that no words reach, ``OSError`` when a file cannot be read or written.
    """
    home = Path(folder)
    with locked(home):
        result = plan(home, progress=progress, today=on)
        if result.plan is None:
            return result, None
        try:
            path, before = _file(home)
            problems = (*result.problems, *_left_behind(result.plan, home))
            if len(problems) == len(result.problems):
                text = agreement(result.plan, on, before)
                return result, _write(path, text, changes(result.plan))
        except UnfitError as bad:
            problems = (*result.problems, bad.problem)
        except ValueError as bad:
            raise AgreeError(f"The plan cannot be written down: {bad}.") from None
    return Result(result.worked, None, problems, result.files), None


def note_done(folder: Path | str, done: Sequence[str]) -> tuple[Result, Agreement | None]:
    """Note how far pieces are in what was agreed: ``G cuff round 12, 1 h 40 min`` (all so far), or ``G took 1 h 40``.

    Nothing else in the file is changed. Raises `AgreeError` for what cannot be noted, ``OSError`` when a file cannot be
    read or written. With errors in the course nothing is written.
    """
    home = Path(folder)
    with locked(home):
        result = load(home)
        if result.worked is None:
            return result, None
        before = result.worked.course.agreed
        if before is None:
            raise AgreeError("Nothing is agreed yet: agree first, then note how far the pieces are.")
        try:
            path, old = _file(home)
            progress = with_done(before, done)
            text = with_progress(old, progress)
        except UnfitError as bad:
            return Result(None, None, (*result.problems, bad.problem), result.files), None
        except ValueError as bad:
            raise AgreeError(str(bad)) from None
        after, problems = read_one(text.encode(), FILE, Agreed)
        course = result.worked.course.model_copy(update={"agreed": after})
        if after is None or dict(after.progress) != progress or after.pieces != before.pieces:
            raise AgreeError(f"The progress in {FILE} is written in a way that is not understood here: note it there.")
        problems = (*problems, *agreed_states(course), *standings(course, result.worked.kinds)[1])
        wrong = next((one for one in problems if one.severity == "error"), None)
        if wrong:
            raise AgreeError(" ".join(filter(None, (wrong.message, wrong.hint))))
        typed = {one.name: one.typed for one in result.worked.hands}
        hands, odd = hands_of(course, result.worked.kinds, typed)
        said = [str(one) for one in hands if {*one.pieces} & _noted(before, after)]
        said += _times_gone(before, after)
        told = (one for one in odd if one not in result.problems)
        return replace(result, problems=(*result.problems, *told)), _write(path, text, tuple(said))


def _noted(before: Agreed, after: Agreed) -> set[str]:
    """The pieces whose progress is new."""
    return {letter for letter, far in after.progress.items() if before.progress.get(letter) != far}


def _times_gone(before: Agreed, after: Agreed) -> Iterator[str]:
    """Say of which pieces a time was noted that counts no longer, since none is told with how far they are now."""
    for letter in sorted(_noted(before, after)):
        old, now = before.progress.get(letter, ""), after.progress[letter]
        if now != BROKEN and progress_of(old)[1] is not None and progress_of(now)[1] is None:
            told = f"The time noted for {letter}, “{old}”, counts no longer: “{now}” has none."
            yield f"{told} Say how long it took so far."


def _file(home: Path) -> tuple[Path, str]:
    """Give the real path of the file, and its text (none where it is not there yet). Raises `UnfitError`."""
    path = inside(home, FILE)
    return path, decode(read_plain(path, Where(FILE), MAX_BYTES), FILE) if path.exists() else ""


def _write(path: Path, text: str, changed: tuple[str, ...]) -> Agreement:
    data = text.encode()
    agreed, problems = read_one(data, FILE, Agreed)
    assert agreed is not None, [str(problem) for problem in problems]
    write_file(path, data)
    return Agreement(path, agreed, changed)


def _left_behind(planned: Plan, home: Path) -> Iterator[Problem]:
    """Say what names a shot by a number that means another shot once this is agreed, or none."""
    course = planned.course
    if course.agreed is None:
        return
    for erratum in course.errata.errata:
        for words, slate in _moved(course, erratum.where):
            what = f"Shot {words} is slate {slate}, which has another number now; once agreed this is another shot."
            yield error(erratum.mark("where"), "by-number", what, f"Write “slate {slate}” instead, then agree.")
    path = inside(home, KEPT)
    takes, _ = read_log(read_plain(path, Where(KEPT), MAX_LOG), KEPT) if path.exists() else ((), ())
    for take in takes:
        if not take.slate and (moved := _moved(course, take.shot)):
            what = f"This take is of shot {take.shot}, slate {moved[0][1]}, which has another number now."
            hint = "Take a log in again, so that all takes get their slates; then agree."
            yield error(take.where, "by-number", what, hint)
            return


def _moved(course: Course, text: str) -> list[tuple[str, int]]:
    """The numbers in a text, with the slates that they mean, which mean something else after the next agreement."""
    today = {str(one.number) for one in course.shots()}
    return [
        (one.words, one.slate)
        for one in named_shots(course, text)
        if one.slate and "slate" not in one.words.lower()
        if one.words != one.number and (one.number is not None or one.words in today)
    ]
