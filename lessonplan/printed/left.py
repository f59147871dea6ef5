"""What print says of stitches that are all that are left: `cast off the rem 44 sts`, `leave rem 34 sts on a holder`."""

from __future__ import annotations

from dataclasses import replace

from lessonplan.printed.heading import Num
from lessonplan.printed.rules.search import Chart
from lessonplan.printed.tree import BindOff, Hold, Line, Rows, Step

_BEFORE = frozenset({"bo", "put", "remark", "turn", "sep", "have", "on", "rem"})
"""Kinds of words between the beginning of a step and the word by which it speaks of the rest."""
_ELSEWHERE = frozenset({"on", "of", "from", "at", "in"})
"""Kinds of words behind a number of stitches by which they may be those of one place."""


def told_of_the_rest(chart: Chart, line: Line) -> Line:
    """A line whose steps bind off or put aside what is left, with the number that print gives of it."""
    parts = tuple(
        replace(part, steps=tuple(_told(chart, step) for step in part.steps)) if isinstance(part, Rows) else part
        for part in line.parts
    )
    return line if parts == line.parts else replace(line, parts=parts)


def _told(chart: Chart, step: Step) -> Step:
    if not isinstance(step, BindOff | Hold) or (isinstance(step, Hold) and (step.keep or step.last)):
        return step
    rest = _rest(chart, step.at, bound=isinstance(step, BindOff))
    return replace(step, rest=rest) if rest else step


def _rest(chart: Chart, at: int, *, bound: bool) -> Num:
    """The number behind `rem` or `all` in what a step that begins at a sign of the print is read from."""
    run = chart.run
    here = next((place for place, token in enumerate(run) if token.at >= at), len(run))
    while here < len(run) and run[here].kind in _BEFORE and chart.kind(here + 1) != "num":
        here += 1
    said = chart.kind(here) == "rem" or (bound and chart.kind(here) == "all")
    if not said or chart.kind(here + 1) != "num" or chart.kind(here + 2) != "st":
        return ()
    return () if bound and chart.kind(here + 3) in _ELSEWHERE else run[here + 1].num
