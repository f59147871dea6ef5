"""Chains that a row of crochet makes over an opening (a thumb, an armhole, a handle), which stand as stitches in it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.craft.techniques import TALL, chains_high
from lessonplan.needle.ready.ends import flattened, missed_first, stitches_of
from lessonplan.printed.heading import value
from lessonplan.printed.tree import Into, Line, Repeat, Rows, Step, Stitch, Times, To

LONG_GAP, FEW_GAPS = 4, 6
"""Chains of an opening, not of a space in lace, and most openings in one row."""


def over_gaps(line: Line, size: int) -> int:
    """The chains over openings in the last row of a line; 0 where it makes spaces of another kind too.

    An opening is told one by one: chains beside the stitches that they pass over, as `ch 6, skip 6 sts`. What is
    repeated to the end of the row, or has fewer chains, is lace; but not `ch 2, skip 2` in low stitches, a buttonhole.
    """
    steps = _last_row(line)
    told = _told(steps, size)
    if not told or len(told) > FEW_GAPS:
        return 0
    low = all(chains == passed > 0 for chains, passed in told) and _low(steps)
    return sum(chains for chains, _ in told) if low or min(told)[0] >= LONG_GAP else 0


_SPACES = re.compile(r"ch ?-? ?\d+|\d ?-?ch\b")


def counts_gaps(line: Line) -> bool:
    """Whether no count of the stitches is printed that may hold the chains over openings: `23 hdc, 1 ch-5 sp`."""
    return not line.printed or _SPACES.search(line.text.lower(), max(0, line.printed_column - 1)) is not None


def either_way(line: Line) -> str:
    """The chains of a row, in words, that print counts among its stitches or not, as it likes; "" if it tells.

    They are those over short openings (of taller stitches they are lace) and those of moss stitch, `*ch 1, skip 1, sc`;
    those over long ones are worked into, and so counted where nothing else is printed.
    """
    steps = _last_row(line)
    told = _told(steps, 0)
    if line.printed or over_gaps(line, 0):
        return ""
    if told and max(told)[0] < LONG_GAP and _low(steps):
        return _OPENINGS
    return "the chains of its moss stitch" if any(map(_moss, steps)) else ""


def _low(steps: Sequence[Step]) -> bool:
    """Whether all stitches of a row are low, so that it is no lace."""
    return all(chains_high(name) < TALL for name in stitches_of(steps))


_TURNS = re.compile(r"\bturn", re.I)
_OPENINGS = "the chains over its openings"


def _moss(step: Step) -> bool:
    """Whether a step fills a row with single crochet and one chain over each stitch between."""
    if not isinstance(step, Repeat) or not isinstance(step.quantity, To):
        return False
    made = [
        one.body[0] if isinstance(one, Into) and len(one.body) == 1 and one.count == (1,) else one
        for one in flattened(step.body)
    ]
    ones = [one.name for one in made if isinstance(one, Stitch) and one.count == (1,)]
    return len(ones) == len(made) and sorted(ones) == ["ch", "sc", "sk"]


def _last_row(line: Line) -> tuple[Step, ...]:
    """The steps of the last row, but the turning chain behind it: stitches left beside that are no opening.

    Nor are those before which its yarn is joined.
    """
    rows = [part for part in line.parts if isinstance(part, Rows)] if line.crochet else []
    if not rows:
        return ()
    steps = flattened(rows[-1].steps)
    steps = steps[len(missed_first(steps)) :]
    ends = sorted(step.name for step in steps[-2:] if isinstance(step, Stitch))
    return steps[:-2] if ends == ["ch", "sk"] and _TURNS.search(line.text) else steps


def _told(steps: Sequence[Step], size: int, *, inside: bool = False) -> list[tuple[int, int]] | None:
    """The chains of each opening in steps and the stitches it passes over, None if there are others that are none."""
    found: list[tuple[int, int]] = []
    for place, step in enumerate(steps):
        if isinstance(step, Repeat):
            inner = _told(flattened(step.body), size, inside=True)
            if inner is None or (inner and not isinstance(step.quantity, Times)):
                return None
            found += inner * (_worked(step, step.quantity, size) if isinstance(step.quantity, Times) else 1)
        elif isinstance(step, Into) and any(each.name == "ch" for each in step.body):
            return None
        elif isinstance(step, Stitch) and step.name == "ch" and (place or inside or _instead(steps, size)):
            chains = value(step.count, size)
            near = (*steps[max(0, place - 1) : place], *steps[place + 1 : place + 2])
            passed = max((_passed(each, size) for each in near), default=0)
            if not passed or (passed == 1 != chains):
                return None
            found.append((chains, passed))
    return found


def _worked(step: Repeat, times: Times, size: int) -> int:
    """How often a repeat is worked in all."""
    return value(times.count, size) + int(step.kind == "star" and times.more is not False)


def _instead(steps: Sequence[Step], size: int) -> bool:
    """Whether a row begins with an opening, not with a turning chain: `ch 7, skip next 7 sc, sc in each sc`."""
    chain, skip, after = steps[:3] if len(steps) > 2 else (None, None, None)
    if not isinstance(chain, Stitch) or not isinstance(skip, Stitch) or not isinstance(after, Into):
        return False
    low = any(each.name in ("sc", "hdc") for each in after.body)
    return low and skip.name == "sk" and value(chain.count, size) == value(skip.count, size)


def _passed(step: Step, size: int) -> int:
    """How many stitches a step passes over."""
    return value(step.count, size) if isinstance(step, Stitch) and step.name == "sk" else 0
