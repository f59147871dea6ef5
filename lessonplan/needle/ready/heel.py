"""A heel gone on with until all of its stitches are worked: each row goes up to the gap that the turn before left.

How a row ends (its decrease over the gap, the stitches worked behind it) is that of the row two before; how far the gap
is the needle tells. So the last row may have no stitch left to work behind its decrease.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonplan.craft.techniques import technique
from lessonplan.needle.stitch.live import Needle
from lessonplan.printed.heading import Label, value
from lessonplan.printed.rules.grammar import ONE
from lessonplan.printed.tree import Line, Rows, Step, Stitch, Turn


@dataclass(frozen=True, slots=True)
class Ending:
    """How a row of a heel ends: the decrease over the gap and how many plain stitches stand behind it."""

    line: Line
    decrease: str
    plain: str
    extra: int


def endings(history: Sequence[tuple[Line | None, int]], size: int) -> tuple[Ending, Ending] | None:
    """How the last two rows end, where both decrease just before they turn; the older one first."""
    found: list[Ending] = []
    for line, times in reversed(history):
        part = line.parts[0] if line is not None and len(line.parts) == 1 else None
        if line is None or times != 1 or not isinstance(part, Rows):
            return None
        for steps in reversed(_pieces(part.steps)):
            ending = _ending(line, steps, size)
            if ending is None:
                return None
            found.append(ending)
            if len(found) == 2:
                return found[1], found[0]
    return None


def _pieces(steps: Sequence[Step]) -> list[list[Step]]:
    """The steps before each turn."""
    found: list[list[Step]] = [[]]
    for step in steps:
        if isinstance(step, Turn):
            found.append([])
        else:
            found[-1].append(step)
    return found[:-1] if not found[-1] else []


def _ending(line: Line, steps: Sequence[Step], size: int) -> Ending | None:
    extra, plain = 0, ""
    for step in reversed(steps):
        if not isinstance(step, Stitch):
            return None
        entry = technique(step.name)
        if (entry.consumes, entry.produces) == (2, 1) and step.count == ONE:
            before = next((each.name for each in steps if isinstance(each, Stitch) and each.name in ("k", "p")), "k")
            return Ending(line, step.name, plain or before, extra)
        if step.name not in ("k", "p"):
            return None
        extra, plain = extra + value(step.count, size), step.name
    return None


def next_row(needle: Needle, ending: Ending) -> Line | None:
    """The next row of a heel: up to the gap, the decrease over it, what is left of the stitches behind it."""
    gap = min((place for place in needle.turns if place > needle.behind), default=0)
    room, beyond = gap - needle.behind, needle.stitches - gap
    if not gap or room < 2 or beyond < 1:
        return None
    plain = (Stitch(ending.plain, (room - 2,), 0),) if room > 2 else ()
    rest = min(ending.extra, beyond - 1)
    last = (Stitch(ending.plain, (rest,), 0),) if rest else ()
    steps = (Stitch("sl", ONE, 0), *plain, Stitch(ending.decrease, ONE, 0), *last, Turn(False, 0))
    label = Label(needles=ending.line.label.needles)
    return replace(ending.line, parts=(Rows(steps, ONE, 0),), label=label, printed=(), change=(), per="", others=())
