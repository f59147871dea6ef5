"""The slates of the shots: which of the shots that were agreed each shot of today is, wherever it has moved to."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

from lessonplan.course.agreed import Agreed, AgreedShot
from lessonplan.course.model import Course, Segment, Shot
from lessonplan.course.numbers import ShotNumber
from lessonplan.course.problems import Problem, warning

What = TypeVar("What")
Sign = tuple[str, ...]


def begins(shot: Shot) -> str:
    """Give the first words of a shot, by which it is known again when its title and its place have changed."""
    text = shot.say or " ".join(hands.work or hands.do for hands in shot.hands)
    return " ".join(re.findall(r"\w+", text)[:8]).lower()


def slates_of(course: Course) -> tuple[Mapping[ShotNumber, int], tuple[Problem, ...]]:
    """Give the slate of each shot that was agreed, and a problem for each slate whose shot is not found any more.

    A shot is known by the slate that it names itself; else by its segment's title and its own; else, where only one of
    what is left has them, by its title, its first words, or (nothing else having changed hands) its number.
    """
    agreed = course.agreed or Agreed()
    left = {one.slate: one for one in agreed.shots}
    free = {number: (segment, shot) for number, _, segment, shot in course.shots()}
    found: dict[ShotNumber, int] = {}

    def join(number: ShotNumber, slate: int) -> None:
        found[number] = slate
        del free[number]
        left.pop(slate, None)

    for number, (_, shot) in tuple(free.items()):
        if shot.slate and shot.slate in left:
            join(number, shot.slate)
    for known in _SIGNS:
        then = _by_sign((known(one), one.slate) for one in left.values())
        now = _by_sign((known(_as_agreed(number, *both)), number) for number, both in free.items())
        for sign, slates in then.items():
            if len(slates) == 1 and len(now.get(sign, ())) == 1:
                join(now[sign][0], slates[0])
    return found, tuple(_lost(agreed, slate, course) for slate in left)


def _as_agreed(number: ShotNumber, segment: Segment, shot: Shot) -> AgreedShot:
    return AgreedShot(slate=1, shot=number, segment=segment.title, title=shot.title, begins=begins(shot))


_SIGNS: tuple[Callable[[AgreedShot], Sign], ...] = (
    lambda one: (one.segment, one.title, one.begins),
    lambda one: (one.segment, one.title),
    lambda one: (one.segment, one.begins),
    lambda one: (one.title,),
    lambda one: (one.begins,),
    lambda one: (one.shot, one.segment),
)
"""What a shot is known by, the surest first; a sign with something empty in it says nothing."""


def _by_sign(pairs: Iterable[tuple[Sign, What]]) -> dict[Sign, list[What]]:
    found: dict[Sign, list[What]] = {}
    for sign, what in pairs:
        if all(sign):
            found.setdefault(sign, []).append(what)
    return found


def _lost(agreed: Agreed, slate: int, course: Course) -> Problem:
    one = next(one for one in agreed.shots if one.slate == slate)
    called = f" (“{one.title or one.segment}”)" if one.title or one.segment else ""
    what = f"Slate {slate}{called}, agreed as shot {one.shot}, is not among the shots any more."
    hint = f"If it is there under other words, write “slate: {slate}” in that shot; else take it out here."
    return warning(one.mark("slate"), "lost-slate", what, hint)
