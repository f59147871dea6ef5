"""The slates of the shots: which of the shots that were agreed each shot of today is, wherever it has moved to."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from lessonplan.course.model.agreed import Agreed, AgreedShot
from lessonplan.course.model.episodes import Segment, Shot
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, warning
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.remembered import remembered

What = TypeVar("What")
Sign = tuple[str, ...]


def begins(shot: Shot) -> str:
    """Give the first words of a shot, by which it is known again when its title and its place have changed."""
    text = shot.say or " ".join(hands.work or hands.do for hands in shot.hands)
    return " ".join(re.findall(r"\w+", text)[:8]).lower()


@remembered(4)
def slates_of(course: Course) -> tuple[Mapping[ShotNumber, int], tuple[Problem, ...]]:
    """Give the slate of each shot that was agreed, and a problem for each slate whose shot is not found any more.

    A shot is known by the slate that it names itself; else by its place in a segment whose shots are all as they were;
    else by its segment's title and its own; else, where only one of what is left has them, by its title, its first
    words, or (nothing else having changed hands) its number.
    """
    agreed = course.agreed or Agreed()
    if not agreed.shots:
        return {}, ()
    left = {one.slate: one for one in agreed.shots}
    today = {number: _as_agreed(number, segment, shot) for number, _, segment, shot in course.shots()}
    free = {**today}
    found: dict[ShotNumber, int] = {}

    def join(number: ShotNumber, slate: int) -> None:
        """Give a slate to a shot; neither is free any more."""
        found[number] = slate
        del free[number]
        left.pop(slate, None)

    for number, _, _, shot in course.shots():
        if shot.slate and shot.slate in left:
            join(number, shot.slate)
    for number, slate in _unchanged(today.values(), agreed):
        if number in free and slate in left:
            join(number, slate)
    for known in _SIGNS:
        then = _by_sign((known(one), one.slate) for one in left.values())
        now = _by_sign((known(one), number) for number, one in free.items())
        for sign, slates in then.items():
            if len(slates) == 1 and len(now.get(sign, ())) == 1:
                join(now[sign][0], slates[0])
    return found, tuple(_lost(one) for one in left.values() if not one.gone)


def _unchanged(today: Iterable[AgreedShot], agreed: Agreed) -> Iterator[tuple[ShotNumber, int]]:
    """The shots of each segment in which they are as they were, one for one: those that look alike are told apart."""
    now = _segments(today)
    then = _segments(one for one in agreed.shots if not one.gone)
    for title, shots in then.items():
        same = now.get(title, [])
        if [(one.title, one.begins) for one in shots] == [(one.title, one.begins) for one in same]:
            yield from ((ShotNumber(new.shot), old.slate) for old, new in zip(shots, same, strict=True))


def _segments(shots: Iterable[AgreedShot]) -> dict[str, list[AgreedShot]]:
    """The shots of each segment by its title, of those titles that only one segment has."""
    found: dict[str, dict[str, list[AgreedShot]]] = {}
    for one in sorted(shots, key=lambda one: [int(part) for part in re.findall(r"\d+", one.shot)]):
        found.setdefault(one.segment, {}).setdefault(one.shot.rpartition(".")[0], []).append(one)
    return {title: next(iter(each.values())) for title, each in found.items() if title and len(each) == 1}


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


def _lost(one: AgreedShot) -> Problem:
    what = f"{lost_slate(one)} is not among the shots any more."
    hint = f"If it is there under other words, write “slate: {one.slate}” in that shot; else agree again."
    return warning(one.mark("slate"), "lost-slate", what, hint)


def lost_slate(one: AgreedShot) -> str:
    """Name a shot that was agreed and is gone: ``Slate 3 (“Two and two”), agreed as shot 1.2.1,``."""
    called = f" (“{one.title or one.segment}”)" if one.title or one.segment else ""
    return f"Slate {one.slate}{called}, agreed as shot {one.shot},"


@dataclass(frozen=True, slots=True)
class Named:
    """What a text names as a shot: its words from ``start`` on, the slate (0: none), and today's number (or none).

    ``twice`` tells that number and slate are both named and mean two shots.
    """

    words: str
    start: int
    slate: int
    number: ShotNumber | None
    twice: bool = False

    def __str__(self) -> str:
        """Give the name as it is shown today: the number, and the slate beside it."""
        if self.number is None:
            return self.words
        shot = "shot " if self.words[:1] in "sS" else ""
        return f"{shot}{self.number}" + (f" (slate {self.slate})" if self.slate else "")


def named_shots(course: Course, text: str) -> tuple[Named, ...]:
    """Find the shots that a text names, by slate or by number: a number means the shot that had it when agreed.

    A number that no shot had then is today's. Where both are named, the slate counts.
    """
    slates, _ = slates_of(course)
    today = {slate: number for number, slate in slates.items()}
    agreed = sorted((course.agreed or Agreed()).shots, key=lambda one: not one.gone)
    then = {one.shot: one.slate for one in agreed}
    numbers = {str(one.number): one.number for one in course.shots()}
    found = []
    for one in _NAMED.finditer(text):
        number, said = one["number"] or "", int(one["slate"] or one["bare"] or one["in"] or 0)
        slate = said or then.get(number, 0)
        now = today.get(slate) if slate else numbers.get(number)
        twice = bool(number and said) and said not in (then.get(number), slates.get(numbers.get(number, _NONE)))
        found.append(
            Named(words=one[0], start=one.start(), slate=slate or slates.get(now or _NONE, 0), number=now, twice=twice)
        )
    return tuple(found)


_NONE = ShotNumber("0.0.0")
_NAMED = re.compile(
    r"\b(?P<number>\d+\.\d+\.\d+)\b(?:\s+\(slate\s+(?P<in>\d{1,6})\)|,?\s+slate\s+(?P<bare>\d{1,6})\b)?"
    r"|\bslate\s+(?P<slate>\d{1,6})\b",
    re.IGNORECASE | re.ASCII,
)


def in_todays_numbers(course: Course, text: str) -> str:
    """Give a text with each shot that it names as it is shown today: ``2.4.2 (slate 21)``."""
    for one in reversed(named_shots(course, text)):
        text = f"{text[: one.start]}{one}{text[one.start + len(one.words) :]}"
    return text
