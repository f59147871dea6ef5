"""What is used in a shot that may hurt somebody, as far as it decides when the next shot can begin."""

from __future__ import annotations

import re
from collections.abc import Mapping

from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.together import Course
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.remembered import remembered

WET = frozenset({"water", "sink", "bucket", "wet"})
PLUGGED = frozenset({"iron", "steamer", "kettle", "hotplate", "gun", "hair", "dryer"})
"""Words of tools with water, and of those that are plugged in and heat (lists of our own)."""


def done_in(course: Course, shot: Shot) -> frozenset[str]:
    """Give the words of what is used and done in a shot; what is only said in it is none of them."""
    texts = [shot.title, shot.view]
    texts += [text for one in shot.hands for text in (one.do, one.work)]
    for name in shot.tools:
        tool = course.course.tools.get(name)
        texts += [name, tool.what if tool else ""]
    return frozenset(re.findall(r"[a-z]+", " ".join(texts).lower()))


@remembered(4)
def _hazards(course: Course) -> Mapping[ShotNumber, tuple[bool, bool]]:
    """Whether each shot has water on its table, and whether it has what is plugged in."""
    words = {one.number: done_in(course, one.shot) for one in course.shots()}
    return {number: (bool(mine & WET), bool(mine & PLUGGED)) for number, mine in words.items()}


def cleared_between(course: Course, before: ShotNumber, after: ShotNumber) -> bool:
    """Whether the table must be cleared and dried between two shots: water in one, what is plugged in in the other."""
    wet, hot = _hazards(course).get(before, (False, False))
    wet_then, hot_then = _hazards(course).get(after, (False, False))
    return (wet and hot_then) or (hot and wet_then)
