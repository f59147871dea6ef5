"""Whether a line begins a piece, on an empty needle or hook."""

from __future__ import annotations

from lessonplan.printed.tree import CastOn, Colour, Into, Join, Line, Mark, Rows, Stitch

_LONGEST_TURNING = 6
"""Chains: more than a turning chain with a space beside it has, so it is a foundation (a guess, from memory)."""


def begins_piece(line: Line | None) -> bool:
    """Whether a line casts on, makes a ring, or a foundation chain, before anything else.

    A chain that stitches follow is a foundation only where they go into it or into a ring of it, or where it is too
    long to stand at the beginning of a row: `Ch 3, dc in each st around` goes on.
    """
    if line is None or not line.parts or not isinstance(line.parts[0], Rows):
        return False
    steps = [step for step in line.parts[0].steps if not isinstance(step, Colour | Mark | Join)]
    if not steps:
        return False
    first, *rest = steps
    if isinstance(first, Stitch) and first.name == "ch":
        after = next((step for step in rest if not (isinstance(step, Stitch) and step.name == "ch")), None)
        into = isinstance(after, Into) and after.place in ("new", "skip")
        return line.label.first < 2 and (after is None or into or max(first.count) > _LONGEST_TURNING)
    if isinstance(first, Stitch) and first.name in ("fsc", "fhdc", "fdc"):
        return True
    return isinstance(first, CastOn) or (isinstance(first, Into) and first.place == "new")
