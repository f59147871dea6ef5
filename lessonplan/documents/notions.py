"""What somebody needs beside yarn and needles for work on pieces, told from the works themselves."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from lessonplan.course.model.together import Course
from lessonplan.course.names.toolbox import packed
from lessonplan.course.words import count_of, listing
from lessonplan.craft.techniques import technique
from lessonplan.documents.markers import Contents
from lessonplan.pattern.worked import Step

THREADED = ("hold", "lifeline", "graft", "draw-through", "sew", "weave-ends")
"""Works for which the yarn is threaded on a needle."""
WASTE_YARN = "waste yarn"
BY_HAND = ("RT", "LT")
"""Crossings of two stitches that are worked without a cable needle (common practice)."""


def notions_for(steps: Iterable[Step], need: Contents, one: int, waste: str = WASTE_YARN) -> tuple[str, ...]:
    """List the notions that works of yarn take.

    ``need``: so many markers, and waste yarn for so many pieces; ``one``: the most markers in one piece, or 0 where the
    pieces have that for the beginning of the round already. ``waste`` names the waste yarn.
    """
    return tuple(_notions(tuple(steps), need, one, waste))


_TOLD_BY_WORKS = re.compile(r"\b(?:needles?|markers?|scissors|yarn|hooks?)\b", re.IGNORECASE)


def notions_in(notions: Iterable[str], text: str) -> Iterator[str]:
    """Give the notions of a pattern that a text asks for by name, ``Stuff the ball``, and no work tells of."""
    for notion in notions:
        words = re.findall(r"[a-z]+", re.split(r"[,;:(]| for | in | with ", notion.lower())[0])
        thing = re.sub(r"(?:ing|s)$", "", words[-1]) if words else ""
        if len(thing) > 2 and not _TOLD_BY_WORKS.search(notion) and re.search(rf"\b{thing}", text, re.IGNORECASE):
            yield notion


def _notions(steps: tuple[Step, ...], need: Contents, one: int, waste: str) -> Iterator[str]:
    if need["markers"] > 0:
        different = ", one of them different" if need["markers"] > 1 else ""
        several = f"{' in two colours' if one > 1 else ''} (pieces that wait keep theirs)"
        yield count_of(need["markers"], "marker") + (several if need["markers"] > one > 0 else different if one else "")
    if need["waste"] > 0:
        yield (f"{need['waste']} lengths of " if need["waste"] > 1 else "") + waste
    if any(step.held or step.kind in THREADED for step in steps):
        yield "a blunt darning needle"
    if any(_crosses(name) for step in steps for name, _ in step.techniques):
        yield "a cable needle"
    if any(step.yarns or step.tails for step in steps):
        yield "scissors"
    if any(step.kind == "block" for step in steps):
        yield "what it is washed in and laid out on"


def _crosses(name: str) -> bool:
    try:
        return technique(name).kind == "cable" and name not in BY_HAND
    except KeyError:
        return False


def waste_named(course: Course) -> str:
    """Name the waste yarn as the pattern does, else as the list of tools does: who puts it in chooses its colour."""
    told = next((one for one in course.pattern.notions if WASTE_YARN in one.lower()), "")
    found = told or next(iter(packed(course, [WASTE_YARN])))
    return found.replace(f"{WASTE_YARN}: ", f"{WASTE_YARN}, ")


def listed(parts: Iterable[str]) -> str:
    """Put things in a row; where one of them has a comma, they are parted by semicolons."""
    every = [*parts]
    return "; ".join(every) if any("," in one or ";" in one for one in every) else listing(every)
