"""Whether a printed pattern is worked in rows or in rounds: as a whole, and section by section."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.printed.leaflet.contents import Printed
from lessonplan.printed.leaflet.layout import BARE
from lessonplan.printed.line import NotationError, crochet_stitch, parse_line
from lessonplan.printed.tree import Colour, Join, Line, Mark, PickUp, Return, Rows

_ROUND = re.compile(
    r"\bin (?:the )?(?:rounds?|rnds?)\b|\bcircularly\b|\bseamless|\b(?:no|without) seams?\b|\bspiral\b|\bin runden\b",
    re.IGNORECASE,
)
_FLAT = re.compile(
    r"\bflat\b|\bback and forth\b|\bin rows\b|\bin (?:hin- und rück)?reihen\b|(?<!no )(?<!without )\bseam(?!less)",
    re.IGNORECASE,
)


def parsed(printed: Printed, text: str) -> Line | None:
    """Read a line of a pattern, in its sizes and colours; None where it cannot be read."""
    try:
        return parse_line(text, len(printed.sizes), printed.colours)
    except NotationError:
        return None


def is_flat(printed: Printed, texts: Sequence[str]) -> bool:
    """Whether a piece is begun in rows: by the first line that tells, else by what the pattern says of itself."""
    for text in texts:
        line = parsed(printed, text)
        if line is not None and (told := _told_by(line)) is not None:
            return told
        if _ROUND.search(text):
            return False
    whole = " ".join(each.spread.text for each in printed.entries if each.kind in ("prose", "heading"))
    if _FLAT.search(whole):
        return True
    return not _ROUND.search(whole) and not any(crochet_stitch(text, printed.colours) for text in texts)


def rows_of(printed: Printed, entries: Sequence[tuple[int, tuple[str, ...]]], *, flat: bool) -> dict[int, bool]:
    """For each section of a piece whether it is worked in rows.

    `entries` are its lines, each with the texts that it stands for; `flat` is how the piece begins. A section goes on
    as the one before until it is joined or speaks of rounds, or its rows have a right and a wrong side; one that
    begins with stitches picked up is what its first row says.
    """
    before: dict[int, bool] = {}
    own: dict[int, bool] = {}
    anew = False
    for index, texts in entries:
        section = printed.entries[index].section
        if section not in before:
            anew = any(map(_only_picks_up, (parsed(printed, text) for text in texts)))
        before.setdefault(section, flat)
        for line in (parsed(printed, text) for text in texts):
            told = _told_by(line) if line is not None else None
            if line is None or told is None or (told and _begins_on_the_right_side(line)):
                continue
            flat, anew = bool(line.label.side) or (told and (flat or anew)), False
            own.setdefault(section, flat)
    return before | own


def _begins_on_the_right_side(line: Line) -> bool:
    """Whether stitches are picked up or taken up facing a side, of what may be worked in rounds then."""
    parts = (part for part in line.parts if isinstance(part, Rows))
    return any(isinstance(step, PickUp | Return) for part in parts for step in part.steps)


def _only_picks_up(line: Line | None) -> bool:
    """Whether a line does nothing but pick up stitches from an edge, on a needle of their own."""
    steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps] if line else []
    return bool(steps) and all(isinstance(step, PickUp | Colour | Mark) for step in steps)


def _told_by(line: Line) -> bool | None:
    if joins(line):
        return False
    if line.label.kind and not line.label.name and not BARE.match(line.text):
        return line.label.kind == "row"
    if line.label.side:
        return True
    word = re.search(r"\b(rounds?|rnds?)\b|\b(rows?)\b", line.text, re.IGNORECASE)
    return word[1] is None if word else None


def joins(line: Line, *, first: bool = False) -> bool:
    """Whether a line joins its work in the round, ``first`` of all that it does: what comes after that are rounds."""
    steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
    return any(isinstance(step, Join) for step in steps[: 1 if first else None])
