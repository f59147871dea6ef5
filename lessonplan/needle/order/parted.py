"""A turn that divides the work: what comes after it tells whether the stitches left behind it wait for later.

`Next row: K30, turn.` is a short row, or the first row of one side. Of a side only the next lines speak: they shape its
edges, bind off at its beginning, or work row after row of it, and no row takes in the stitches behind the turn again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonplan.needle.order.rows import Run
from lessonplan.needle.order.schedule import Turn as Scheduled
from lessonplan.printed.heading import value
from lessonplan.printed.tree import BindOff, Even, Hold, Into, Line, Repeat, Rows, Shape, Stitch, To, Turn
from lessonplan.printed.wholerow import plain_row

SIDE = "read so that the lines after it fit: the stitches behind the turn wait for the other side"


def divided(line: Line, run: Run, turns: Sequence[Scheduled]) -> Line | None:
    """A row that ends in a turn, with the stitches behind it put aside where the lines after it tell so."""
    part = line.parts[-1] if line.parts else None
    if run.lost is not None or not run.needle.flat or run.needle.behind or run.needle.turns:
        return None
    if not isinstance(part, Rows) or part.times != (1,):
        return None
    ahead = [run.lines[turn.index] for turn in turns[:2]]
    left = value(line.printed, run.size) < run.needle.stitches if line.printed and not line.per else None
    sided = _works_a_side(ahead) if left is None else left
    if not sided or not (_hooked_so_far(line, part) if line.crochet and not left else _turns_once(part)):
        return None
    if line.crochet:
        return replace(line, parts=(*line.parts[:-1], replace(part, steps=(*part.steps, Hold(None, False, part.at)))))
    turn = part.steps[-1]
    steps = (*part.steps[:-1], Hold(None, False, turn.at), turn)
    return replace(line, parts=(*line.parts[:-1], replace(part, steps=steps)), others=())


_TURNED = re.compile(r"\bturn\b[^,.;]*\.?$")


def _hooked_so_far(line: Line, part: Rows) -> bool:
    """Whether a row of crochet, which every turn ends, goes over so many stitches and no farther."""
    told = (
        (isinstance(step, Stitch) and not step.bare)
        or (isinstance(step, Into) and step.to is None and step.place in ("next", "base"))
        or (isinstance(step, Even) and step.to.place == "over")
        for step in part.steps
    )
    return _TURNED.search(line.text.lower()) is not None and all(told)


def _turns_once(part: Rows) -> bool:
    """Whether a row is turned at its end and nowhere else, behind so many stitches and not before the last few."""
    last = part.steps[-1]
    if not isinstance(last, Turn) or last.wrap or len(part.steps) < 2:
        return False
    return not any(isinstance(step, Turn | Hold | BindOff) or _to_the_last(step) for step in part.steps[:-1])


def _to_the_last(step: object) -> bool:
    to = step.quantity if isinstance(step, Repeat) else step.to if isinstance(step, Even) else None
    return isinstance(to, To) and to.place != "over"


def _works_a_side(ahead: Sequence[Line | None]) -> bool:
    """Whether the next lines work a side by itself: at once, or behind one plain row back."""
    first = ahead[0] if ahead else None
    if first is None or not first.parts:
        return False
    part = first.parts[0]
    if isinstance(part, Shape):
        return part.where in ("start", "end", "each")
    if not isinstance(part, Rows) or any(isinstance(step, Turn) for each in first.parts for step in _steps(each)):
        return False
    if isinstance(part.steps[0], BindOff) and part.steps[0].count is not None:
        return True
    if not plain_row(part) or first.printed:
        return False
    several = part.measured or max(part.times) > 2 or max(first.label.count) > 2
    return several or (len(first.parts) == 1 and _works_a_side([each for each in ahead[1:] if _shapes(each)]))


def _shapes(line: Line | None) -> bool:
    """Whether a line shapes the edges of a piece, or begins by binding off."""
    part = line.parts[0] if line is not None and line.parts else None
    off = isinstance(part, Rows) and isinstance(part.steps[0], BindOff)
    return isinstance(part, Shape) or off


def _steps(part: object) -> Iterator[object]:
    yield from part.steps if isinstance(part, Rows) else ()
