"""Stitches that come to a needle from elsewhere: those put aside, once yarn is rejoined, and those of other pieces."""

from __future__ import annotations

import re
from dataclasses import replace

from lessonplan.needle.stitch.live import Needle
from lessonplan.printed.heading import Num, value
from lessonplan.printed.items import HOLDER
from lessonplan.printed.tree import Alike, CastOn, Even, Hold, Line, PickUp, Return, Rows, Step, Stitch

_REJOINED = re.compile(
    r"\brejoin(?:ing)? (?:the )?(?:yarn|wool|cotton|thread)\b"
    r"|\bjoin(?:ing)? (?:the )?(?:yarn|wool|cotton|thread)\b[^.]*\b(?:rem\w*\.? st|other side)"
)
_MADE = Return | PickUp | CastOn


def fetched(line: Line, needle: Needle, *, second: bool) -> Needle:
    """The needle with the stitches put aside last put back on it, where it is empty and yarn is rejoined to them.

    So it is where the `second` side is worked like the first and is not begun yet.
    """
    if not needle.held:
        return needle
    steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
    alike = second and bool(line.parts) and isinstance(line.parts[0], Alike)
    rejoined = not needle.stitches and _REJOINED.search(line.text.lower())
    if not (alike or rejoined) or any(isinstance(step, _MADE) or _all_held(step) for step in steps):
        return needle
    return replace(needle, stitches=needle.held[-1][1], held=needle.held[:-1])


def _all_held(step: Step) -> bool:
    return isinstance(step, Hold) and (step.count is None or min(step.count) < 0)


_PART = re.compile(
    r"\W*(?:left |right |the )?(?:back|front)s?\b[^\w=(]*(?:=|\()\s*(?P<n>\d+[\d\s()\[\],:/-]*?)\s*(?:sts?|stitches)\b",
    re.IGNORECASE,
)


def of_part(line: Line, needle: Needle, size: int) -> Needle:
    """The needle with the half of its stitches that a heading says are those of a part; the others wait for theirs.

    `Back: = 100 (110) sts.` behind armholes at both sides of a body of 200 (220), and `Front: = 100 (110) sts.` later.
    """
    numbers = _of_heading(line)
    half = value(numbers, size) if len(numbers) in (1, line.sizes) else 0
    if half >= 4 and needle.stitches == 2 * half:
        held = (*needle.held, ("held", half))
    elif half >= 4 and not needle.stitches and needle.held[-1:] and needle.held[-1][1] == half:
        held = needle.held[:-1]
    else:
        return needle
    return replace(needle, stitches=half, held=held, markers=(), turns=(), behind=0, flat=True)


def _of_heading(line: Line) -> Num:
    """The count that the heading of a part has."""
    match = _PART.match(line.text)
    return tuple(map(int, re.findall(r"\d+", match["n"]))) if match else ()


def gathered(line: Line, needle: Needle) -> Line:
    """A row that picks up stitches on an empty needle: what is knitted in it comes from the pieces that it names.

    The count that a heading has is none of the row behind it.
    """
    if line.parts and line.printed and line.printed == _of_heading(line):
        line = replace(line, printed=())
    part = line.parts[0] if line.parts else None
    if needle.stitches or not isinstance(part, Rows) or line.crochet or not isinstance(part.steps[0], PickUp):
        return line
    steps: list[Step] = []
    for step in part.steps:
        known = bool(steps) and isinstance(steps[-1], Return)
        if isinstance(step, Stitch) and step.name in ("k", "p") and not step.bare and not known:
            steps.append(Return(step.count, HOLDER, step.at))
        elif isinstance(step, Even) and step.to.place == "over" and not known:
            steps.append(Return(step.to.short, HOLDER, step.at))
        steps.append(step)
    parts = (replace(part, steps=tuple(steps)), *line.parts[1:])
    return replace(line, parts=parts) if len(steps) > len(part.steps) else line
