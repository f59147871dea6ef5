"""How many corners a piece of crochet has: told in one line, taken for granted in those after it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.printed.tree import Line

_FOUR = re.compile(r"\b(?:4|four) (?:corners?\b|corner)")


def corners_said(lines: Sequence[Line | None]) -> list[Line | None]:
    """Lines that go into each corner without a doubt of how many there are, once a line has told of four."""
    four, found = False, list[Line | None]()
    for line in lines:
        if line is not None and four and line.crochet:
            others = tuple(_sure_of_corners(each) for each in line.others)
            line = replace(_sure_of_corners(line), others=others)
        four = four or (line is not None and _FOUR.search(line.text.lower()) is not None)
        found.append(line)
    return found


def _sure_of_corners(line: Line) -> Line:
    lower = line.text.lower()
    doubts = (each for each in line.doubts if not lower.startswith("each corner", each.at))
    return replace(line, doubts=tuple(doubts))
