"""What somebody needs beside yarn and needles for work on pieces, told from the works themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lessonplan.course.words import count_of
from lessonplan.pattern.worked import Step

THREADED = ("hold", "lifeline", "graft", "draw-through", "sew", "weave-ends")
"""Works for which the yarn is threaded on a needle."""


def notions_for(steps: Iterable[Step]) -> tuple[str, ...]:
    """List the notions that works of yarn take; a round needs a marker for its beginning beside those placed."""
    return tuple(_notions(tuple(steps)))


def _notions(steps: tuple[Step, ...]) -> Iterator[str]:
    most = max((len(step.markers) + (step.kind == "round") for step in steps), default=0)
    if most:
        yield count_of(most, "marker") + (", one of them different" if most > 1 else "")
    if any(step.held or step.kind in ("hold", "lifeline", "placeholder") for step in steps):
        yield "waste yarn"
    if any(step.held or step.kind in THREADED for step in steps):
        yield "a blunt darning needle"
    if any(step.yarns or step.tails for step in steps):
        yield "scissors"
    if any(step.kind == "block" for step in steps):
        yield "what it is washed in and laid out on"
