"""What is used in a shot that may hurt somebody, as far as it decides when the next shot can begin and what lies ready.

Two things of a pair never lie on one tray, and between them the table is cleared.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.together import Course
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.remembered import remembered

WET = frozenset({"water", "sink", "bucket", "tub", "wet"})
PLUGGED = frozenset({"iron", "steamer", "kettle", "hotplate", "gun", "hair", "dryer"})
"""Words of tools with water, and of those that are plugged in and heat (lists of our own)."""
FUMES = frozenset(
    {"spirits", "solvent", "turpentine", "thinner", "acetone", "petrol", "alcohol", "lacquer", "hairspray"}
)
FLAMES = PLUGGED | {"candle", "flame", "torch", "burner", "stove", "lighter", "kiln"}
"""Words of what gives off vapour that burns, and of what lights it (lists of our own, from memory)."""
BLEACH = frozenset({"bleach", "hypochlorite"})
ACID = frozenset({"acid", "vinegar", "ammonia", "descaler"})
"""Words of what gives off a poisonous gas together (lists of our own, from memory)."""
_MEANT_ELSE = re.compile(
    r"\bkettle(?=[ -]sti)|\b(?:rapping|cast|wrought)[ -]iron\b|\biron(?=[ -](?:oxide|wire|gall|sul(?:ph|f)ate)\b)"
)
"""What a trade calls by such a word and means something else: a sewn book's last hold, a cold weight, metal."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two lots of words of things that are kept apart, and what is done between them, as a change of the table."""

    one: frozenset[str]
    other: frozenset[str]
    between: str


PAIRS = (
    Pair(WET, PLUGGED, "table cleared and dried"),
    Pair(FUMES, FLAMES, "table cleared and room aired"),
    Pair(BLEACH, ACID, "table cleared, all rinsed and room aired"),
)


def done_in(course: Course, shot: Shot) -> frozenset[str]:
    """Give the words of what is used and done in a shot; what is only said in it is none of them."""
    return words_in([shot.title, shot.view, *_used(course, shot)])


def wets(course: Course, shot: Shot) -> bool:
    """Whether what lies on the table gets wet: hands or tools of a shot with pieces have to do with water."""
    return bool(shot.pieces) and bool(words_in(_used(course, shot)) & WET)


def _used(course: Course, shot: Shot) -> list[str]:
    texts = [text for one in shot.hands for text in (one.do, one.work)]
    for name in shot.tools:
        tool = course.course.tools.get(name)
        texts += [name, tool.what if tool else ""]
    return texts


def words_in(texts: Iterable[str]) -> frozenset[str]:
    """Give the words of texts in small letters, without those that a trade means otherwise."""
    return frozenset(re.findall(r"[a-z]+", _MEANT_ELSE.sub("", " ".join(texts).lower())))


@remembered(4)
def _hazards(course: Course) -> Mapping[ShotNumber, frozenset[str]]:
    """The words of each shot that belong to a pair."""
    every = frozenset[str]().union(*(pair.one | pair.other for pair in PAIRS))
    return {one.number: done_in(course, one.shot) & every for one in course.shots()}


def cleared_between(course: Course, before: ShotNumber, after: ShotNumber) -> str:
    """Say how the table must be cleared between two shots, of which one has what the other must not have near it."""
    mine, then = (_hazards(course).get(one, frozenset[str]()) for one in (before, after))
    for pair in PAIRS:
        if (mine & pair.one and then & pair.other) or (mine & pair.other and then & pair.one):
            return pair.between
    return ""


def kept_apart(course: Course, numbers: Iterable[ShotNumber]) -> tuple[tuple[ShotNumber, ...], ...]:
    """Part the shots of a tray, in their order, so that nothing lies beside what it must be kept apart from."""
    parts: list[list[ShotNumber]] = []
    for number in numbers:
        if not parts or any(cleared_between(course, one, number) for one in parts[-1]):
            parts.append([])
        parts[-1].append(number)
    return tuple(tuple(part) for part in parts)
