"""Crochet rounds that are worked into a ring or into one chain."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonplan.needle.stitch.operations import Ring
from lessonplan.printed.tree import Into, Repeat, Step, Stitch


def in_ring(steps: Sequence[Step]) -> Ring | None:
    """The ring or chain that the stitches of a row go into, if they take nothing of the row below."""
    rings = [step for step in _places(steps) if step.place == "new"]
    if not rings and not _in_chain(steps):
        return None
    return Ring(steps[0].at, bool(rings) and all(step.count == (0,) for step in rings))


def _in_chain(steps: Sequence[Step]) -> bool:
    """Whether a round begins in one chain, as in `ch 3, 7 hdc in 3rd ch from hook`."""
    first = steps[0] if steps else None
    places = list(_places(steps))
    into = places[0] if len(places) == 1 else None
    return (
        isinstance(first, Stitch)
        and first.name == "ch"
        and into is not None
        and into.place == "skip"
        and into.to is None
    )


def _places(steps: Sequence[Step]) -> Iterator[Into]:
    for step in steps:
        if isinstance(step, Repeat):
            yield from _places(step.body)
        elif isinstance(step, Into):
            yield step
