"""The takes kept in a course (``takes/takes.csv``), read again at every plan, so that papers know what is filmed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from lessonplan.course.files import UnfitError, inside, read_plain
from lessonplan.course.names.slates import slates_of
from lessonplan.course.problems import Problem, Where, did_you_mean, error, warning
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Worked
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


@dataclass(frozen=True, slots=True)
class KnownShot:
    """A shot as logs may name it: its number today, its slate (0: none yet), and the titles that it has and had."""

    number: str
    slate: int = 0
    titles: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Name the shot in a sentence."""
        slate = f" (slate {self.slate})" if self.slate else ""
        return f"shot {self.number}{slate}, “{self.titles[0]}”" if self.titles else f"shot {self.number}{slate}"


@dataclass(frozen=True, slots=True)
class KnownShots:
    """All shots of a course, and the slates by the numbers that shots had when agreed, of shots that are gone too."""

    shots: tuple[KnownShot, ...]
    agreed: Mapping[str, int] = field(default_factory=dict)


def placed(takes: Sequence[Take], known: KnownShots) -> tuple[tuple[Take, ...], tuple[Problem, ...]]:
    """Give takes with the numbers and slates that their shots have today, and what does not fit.

    A shot is known by its slate, else by the number that it had when agreed; where the title that is logged is another
    shot's, the take is left out, and where it is no shot's, that is only told. Takes of unknown shots are kept; one
    whose slate has no shot any more bears the slate for a number: ``slate-21``.
    """
    found, problems = [], list[Problem]()
    for take in takes:
        shot, problem = _shot(take, known)
        slate = _slate(take, known)
        problems += [problem] if problem else []
        if shot:
            found.append(replace(take, shot=shot.number, slate=shot.slate))
        elif problem and problem.severity != "error":
            found.append(replace(take, shot=f"slate-{slate}", slate=slate) if slate else take)
    return tuple(found), tuple(problems)


def _slate(take: Take, known: KnownShots) -> int:
    """The slate that a take names, or that its number meant when agreed; 0 where there is no such slate."""
    slates = {*known.agreed.values()}
    return take.slate if take.slate in slates else known.agreed.get(take.shot, 0)


def _shot(take: Take, known: KnownShots) -> tuple[KnownShot | None, Problem | None]:
    slate, words = _slate(take, known), _words(take.title)
    able = [shot for shot in known.shots if slate and shot.slate == slate]
    if not slate or (words and not take.slate):
        able += [shot for shot in known.shots if shot.number == take.shot]
    said = f"slate {take.slate}" if take.slate else f"shot {take.shot}"
    fitting = [shot for shot in able if not words or words in map(_words, shot.titles)]
    if fitting and take.slate and known.agreed and take.slate not in {*known.agreed.values()}:
        what = f"No slate {take.slate} was agreed, so this take is taken by its number for one of {fitting[0]}."
        return fitting[0], warning(take.where, "unknown-slate", what)
    if fitting:
        return fitting[0], _other_number(take, slate, fitting[0], known)
    other = next((shot for shot in known.shots if words and words in map(_words, shot.titles)), None)
    if other:
        what = f"This take is logged as {said} with the title of {other}; it is left out."
        return None, error(take.where, "title", what, "Write the slate of the shot that it is.")
    if able:
        what = f"This take is logged as “{take.title}”, which is no title now; it is counted for {able[0]}."
        return able[0], warning(take.where, "new-title", what)
    hint = did_you_mean(take.shot, [shot.number for shot in known.shots])
    if slate:
        what = f"The shot of slate {slate} is gone, so this take of it counts for none."
        return None, warning(take.where, "unknown-shot", what)
    what = f"The course has no shot “{take.shot}”." if take.shot else f"The course has no slate {take.slate}."
    return None, warning(take.where, "unknown-shot", what, hint if take.shot else "")


def _other_number(take: Take, slate: int, shot: KnownShot, known: KnownShots) -> Problem | None:
    """Tell of a take whose number is not that of its slate, now or when agreed, if no title tells which holds."""
    if not (take.slate and take.shot) or take.title or take.shot == shot.number or known.agreed.get(take.shot) == slate:
        return None
    what = f"This take is logged as slate {take.slate} and as shot {take.shot}, which is not its number: it is taken"
    return warning(take.where, "other-number", f"{what} by its slate for {shot}.")


@cache
def _words(title: str) -> tuple[str, ...]:
    """A title as its words, whatever their case and the signs around them."""
    return tuple(re.findall(r"[^\W_]+", title.casefold()))
