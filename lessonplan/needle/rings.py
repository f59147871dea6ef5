"""Crochet rounds that are worked into a ring or into one chain."""

from __future__ import annotations

from collections.abc import Sequence

from lessonplan.printed.tree import Into, Repeat, Step, Stitch


def in_ring(steps: Sequence[Step]) -> bool:
    """Whether the stitches of a row go into a ring or one chain, and take nothing of the row below."""
    return any(map(_goes_in_ring, steps)) or _in_chain(steps)


def _in_chain(steps: Sequence[Step]) -> bool:
    """Whether a round begins in one chain, as in `ch 3, 7 hdc in 3rd ch from hook`."""
    first = steps[0] if steps else None
    places = [step for step in steps if isinstance(step, Into)]
    into = places[0] if len(places) == 1 else None
    return (
        isinstance(first, Stitch)
        and first.name == "ch"
        and into is not None
        and into.place == "skip"
        and into.to is None
    )


def _goes_in_ring(step: Step) -> bool:
    if isinstance(step, Repeat):
        return any(map(_goes_in_ring, step.body))
    return isinstance(step, Into) and step.place == "new"
