"""The takes kept in a course (``takes/takes.csv``), read again at every plan, so that papers know what is filmed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from lessonplan.course.files import UnfitError, inside, read_plain
from lessonplan.course.names.slates import slates_of
from lessonplan.course.problems import Problem, Where, error
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Worked
from lessonplan.shoot.takes.known import KnownShot, KnownShots, placed
from lessonplan.shoot.takes.log import MAX_BYTES, Take, read_log
from lessonplan.shoot.takes.merge import merge

KEPT = "takes/takes.csv"


def filmed(folder: Path, worked: Worked) -> tuple[tuple[Take, ...], tuple[Problem, ...]]:
    """Give what was filmed so far, each take once, and a warning for each line that could not be read.

    Whatever else is odd in the logs was told when they were taken in. Raises ``OSError`` when the file cannot be read.
    """
    kept, problems = kept_takes(folder, known_shots(worked))
    wrong = (replace(problem, severity="warning") for problem in problems if problem.severity == "error")
    return merge((), kept).takes, tuple(wrong)


def kept_takes(folder: Path, known: KnownShots) -> tuple[tuple[Take, ...], list[Problem]]:
    """Read the takes kept in a course, if there are any."""
    try:
        path = inside(folder, KEPT)
    except UnfitError as bad:
        return (), [bad.problem]
    if not path.exists():
        return (), []
    takes, problems = read_takes(path, KEPT, known)
    first: dict[str, Take] = {}
    for take in takes:
        same = first.setdefault(take.id, take)
        if cells_of(same) != cells_of(take):
            what = f"The take “{take.id}” stands here again, and not like in line {same.where.line}."
            problems.append(error(take.where, "same-id", what, "Two takes need two ids; leave one empty."))
    return takes, problems


def read_takes(path: Path, name: str, known: KnownShots) -> tuple[tuple[Take, ...], list[Problem]]:
    """Read a log, its takes placed in today's shots."""
    try:
        logged, problems = read_log(read_plain(path, Where(name), MAX_BYTES), name)
    except UnfitError as bad:
        return (), [bad.problem]
    takes, unfit = placed(logged, known)
    return takes, [*problems, *unfit]


def cells_of(take: Take) -> tuple[Take, dict[str, str]]:
    """Give all that is filled in of a take, also in the teacher's own columns."""
    return take, {name: cell for name, cell in take.own if cell}


def known_shots(worked: Worked) -> KnownShots:
    """Say by which numbers, slates and titles logs may know the shots of a course."""
    agreed = {one.slate: one for one in worked.course.agreed.shots} if worked.course.agreed else {}
    slates, _ = slates_of(worked.course)
    word = worked.word
    shots = []
    for number, _, segment, shot in worked.course.shots():
        then = agreed.get(slates.get(number, 0))
        titles = fill(shot.title or segment.title, word), (then.title or then.segment) if then else ""
        shots.append(KnownShot(number, slates.get(number, 0), tuple(filter(None, titles))))
    return KnownShots(tuple(shots), {one.shot: slate for slate, one in agreed.items()})
