"""Whether a line begins a piece, on an empty needle or hook, goes along an edge of one, or is only a heading."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.printed.rules.search import CHAR, Chart, char_kind
from lessonplan.printed.tree import CastOn, Colour, Into, Join, Line, Mark, Repeat, Rows, Stitch, To
from lessonplan.printed.words.tokens import Token
from lessonplan.printed.words.trimmed import english

_LONGEST_TURNING = 6
"""Chains: more than a turning chain with a space beside it has, so it is a foundation (a guess, from memory)."""


def casts_on_short(line: Line) -> bool:
    """Whether a line has CO before anything else: on an empty needle it can only mean cast on, there and elsewhere."""
    part = line.parts[0] if line.parts else None
    steps = part.steps if isinstance(part, Rows) else ()
    first = next((step for step in steps if not isinstance(step, Colour | Mark | Join)), None)
    return isinstance(first, CastOn) and first.short


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


_ALONG = re.compile(
    r"\bevenly\b[^.;]*?\b(?:edges?|armholes?|neck(?:line)?|opening|sides?|fronts?|hem|bottom|blanket|square|sleeves?|cuffs?)\b"
)
"""Stitches that go along an edge of the piece, which has as many places as it has: `sc evenly around armhole`."""


def along_edge(line: Line) -> Line | None:
    """A line of crochet that goes evenly along an edge, with as many stitches as are printed; None if none are."""
    if not line.crochet or len(line.parts) != 1 or not _ALONG.search(line.text.lower()):
        return line
    part, steps = line.parts[0], []
    for step in part.steps if isinstance(part, Rows) else ():
        body = step.body[0] if isinstance(step, Repeat) and len(step.body) == 1 else None
        if isinstance(step, Repeat) and isinstance(body, Stitch) and isinstance(step.quantity, To) and not step.kind:
            if not line.printed:
                return None
            step = Into((replace(body, bare=False),), "side", line.printed, None, step.at)
        steps.append(step)
    return replace(line, parts=(replace(part, steps=tuple(steps)),)) if isinstance(part, Rows) else line


_HEADING = frozenset({"remark", "unknown", "hand", "edge", "side", "seam", "top", "inced", "deced", "centre", "sets"})
_HEADING_TOO = frozenset({"sep", "for", "ord", "dec", "inc", "row", "in", "on", "at", "next", "other", "from", "dash"})


def is_heading(chart: Chart, text: str) -> bool:
    """Whether a line is nothing but a heading: `Shape armholes`, `Begin crown decreases:`."""
    words = text.strip()
    if len(chart.run) > 11 or words[-1:] in ".!,;" or not words[:1].isupper() or CHAR["remark"] not in chart.present:
        return False
    kinds = [token.kind for token in chart.run if token.kind not in ("colon", "open", "close")]
    named = {char_kind(token) for token in chart.run}
    if words[-1:] != ":":  # without that sign, `Turn heel` and `Divide` are orders, and `Knot` is a slip
        orders = {"turn heel", "divide", "dividing"} & {token.value for token in chart.run}
        if len(chart.run) < 2 or orders or {"dec", "inc", "row", "unknown"} & {*named, *kinds}:
            return False
    told = all(
        token.kind in _HEADING | _HEADING_TOO or char_kind(token) in _HEADING_TOO
        for token in chart.run
        if token.kind not in ("colon", "open", "close")
    )
    strange = any(token.kind == "unknown" and not english(token.value) for token in chart.run)
    return told and not strange and not any(token.value in ("prose", "turns", "fo") for token in chart.run)


def closes(run: Sequence[Token], line: Line) -> bool:
    """Whether a line only closes a piece of crochet: `Sl st in next st, fasten off.`"""
    steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
    slipped = [step for step in steps if isinstance(step, Into) and step.to is None and step.count == (1,)]
    off = any(token.value == "prose" for token in run)
    return off and len(slipped) == len(steps) == 1 and [each.name for each in slipped[0].body] == ["sl st"]


def headed(chart: Chart, text: str, here: int) -> int:
    """The token behind a heading that a full stop ends, or 0.

    It stands before the number of a row (`Shape raglans. 1st row: ...`), or print sets it in capitals and not all of
    its words are known (`NECKBAND. With RS facing ...`); every other is read as what a line says.
    """
    end = len(chart.run)
    stop = next((place for place in range(here, min(here + 5, end)) if chart.kind(place) == "stop"), 0)
    if not here < stop < end - 1:
        return 0
    words, kinds = text[chart.run[here].at : chart.run[stop].at], {*map(chart.kind, range(here, stop))}
    alone = len(words) > 3 and words.isupper() and not text.isupper() and not any(sign.isdigit() for sign in words)
    row = chart.match("((ord row)|(row num)) (colon|dash|stop)", stop + 1, end) is not None
    return stop + 1 if (alone and "unknown" in kinds) or (row and kinds <= _HEADING) else 0
