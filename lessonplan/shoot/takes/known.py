"""Which shot of today a logged take is of: by its slate, else by the number that the shot had when it was agreed.

A title that is logged must be that of the shot. Where it is another shot's, the take is left out, since one of the two
is wrong; where it is no shot's, the shot was given another title since, which is only told of.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

from lessonplan.course.problems import Problem, did_you_mean, error, warning
from lessonplan.shoot.takes.log import Take


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

    Takes of unknown shots are kept; one whose slate has no shot any more bears the slate for a number: ``slate-21``.
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
