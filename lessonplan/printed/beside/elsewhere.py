"""What print tells of rows that other lines work: a buttonhole in every 14th of them, a row worked when it is named."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from lessonplan.craft.techniques import technique
from lessonplan.printed.tree import Even, Line, Mark, Repeat, Rows, Step, Stitch

_ROW = r"(?:rows?|rnds?|rounds?)"
_WHEN = rf"(?:\b(?:on|in|every|each|foll\w*)\b[^.:;]*?(?:\b\d+(?:st|nd|rd|th)\b|\bevery\b|\beach\b|\b{_ROW} \d)[^.:;]*)"
"""In which rows: `on row 5 and every 14th row`, `in every following 18th (20th) row`."""
_HOLES = re.compile(
    rf"\W*(?:(?:at the same time|meanwhile)\W+)?(?:{_WHEN}\W+)?(?:work|make)\s+(?:(?!row|rnd|round)[\w()]+\s+){{0,2}}"
    rf"buttonholes?\b(?:\s+{_ROW}\b)?(?P<rest>.*)$",
    re.IGNORECASE | re.DOTALL,
)
"""Buttonholes, which take up what they let go: `At the same time work a buttonhole on the 18th row`."""
_MEANWHILE = re.compile(rf"\W*(?:at the same time|meanwhile)\W+[^:]*{_WHEN}[^:]*:\s*(?P<body>\S.*)$", re.I | re.S)
_ON_A_SIDE = re.compile(
    rf"\W*(?!(?:[\w-]+ )?{_ROW}\b)[a-z][a-z-]+(?:\s+[a-z-]+)?\s*(?:\([^)]*\)\s*)?:\s*(?:work(?:ed)?\s+)?"
    r"(?:on|at|in)\s+(?:an?|any)\s+(?:RS|WS|right[- ]side|wrong[- ]side)"
    rf"\s+{_ROW}\b",
    re.IGNORECASE,
)
"""What something is, and no row: `Buttonhole: on a RS row work to last 4 sts, k2tog, yo, k2.`"""
_NAMED = re.compile(
    rf"\W*(?P<name>buttonholes?|inc\w*|dec\w*)(?:\s+(?P<row>{_ROW}))?\s*(?:\((?P<own>[^)]*)\)\s*)?:\s*\S", re.IGNORECASE
)
_USED = re.compile(
    rf"\bwork\w*\s+(?:an?\s+|the\s+)?(?P<name>buttonhole|inc|dec)\w*(?P<row>\s+{_ROW})?\b(?P<rest>[^:]*)", re.IGNORECASE
)


def told_elsewhere(text: str, read: Callable[[str], Line | None]) -> bool:
    """Whether a line only tells what is done in rows that other lines work, and changes no count by it."""
    if _ON_A_SIDE.match(text):
        return True
    if (holes := _HOLES.match(text)) is not None and (re.search(_WHEN, holes[0][: holes.start("rest")], re.I) or
                                                      re.search(_WHEN, holes["rest"], re.I)):  # fmt: skip
        return True
    if (told := _MEANWHILE.match(text)) is None:
        return False
    line = read(told["body"])
    parts = line.parts if line is not None else ()
    return bool(parts) and all(isinstance(part, Rows) and _gain(part.steps) == 0 for part in parts)


def sentences_elsewhere(text: str, read: Callable[[str], Line | None]) -> bool:
    """Whether a sentence of a text, or what it says in all, is of rows that other lines work."""
    parts = [text, *re.split(r"(?<=[.!?])\s+(?=[A-Z])", text)]
    return any(told_elsewhere(part, read) or defines_a_hole(part) for part in parts)


def defines_a_hole(text: str) -> bool:
    """Whether a line says how a buttonhole is worked."""
    named = _NAMED.match(text)
    return named is not None and _stem(named["name"]) == "buttonhole"


def works_beside(text: str) -> bool:
    """Whether a line tells what is worked in some rows of others, whatever it does."""
    return _MEANWHILE.match(text) is not None


def _gain(steps: Sequence[Step]) -> int | None:
    """Stitches that steps make more than they use; None where that is not the same in every size, or not known."""
    gain = 0
    for step in steps:
        if isinstance(step, Repeat):
            if _gain(step.body) != 0:
                return None
        elif isinstance(step, Stitch):
            made = technique(step.name).produces - technique(step.name).consumes
            if made and len({*step.count}) > 1:
                return None
            gain += made * step.count[0]
        elif not isinstance(step, Even | Mark):
            return None
    return gain


def defined_elsewhere(texts: Sequence[str]) -> frozenset[int]:
    """The places of lines that only say how a row is worked whose time other lines tell.

    `Buttonhole row: ...` beside “work a buttonhole row on row 5 and every 14th row”; `Decrease row: ...` after “work
    decrease row on every 6th row 5 times”, or with a word of its own, `(dec)`, before “work dec on every 6th row”.
    """
    found: set[int] = set()
    seen: set[str] = set()
    for place, text in enumerate(texts):
        named = _NAMED.match(text)
        if named is None:
            continue
        name = _stem(named["name"])
        hole, own = name == "buttonhole", _stem(named["own"] or "") == name and bool(named["row"])
        before = not hole and name not in seen and bool(named["row"])
        for other, use in enumerate(texts):
            used = _USED.search(use) if other != place else None
            if used is None or _stem(used["name"]) != name or not re.search(_WHEN, used["rest"], re.IGNORECASE):
                continue
            if hole or (before and other < place and used["row"]) or (own and other > place):
                found.add(place)
        seen.add(name)
    return frozenset(found)


def _stem(name: str) -> str:
    word = name.lower()
    return word.rstrip("s") if word.startswith("button") else word[:3]
