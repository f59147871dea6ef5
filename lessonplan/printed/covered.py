"""What stands in the print and nowhere in what was read of it: numbers, and stitches with a place to go.

A rule may take words along that say nothing where its writer saw them. Where a number or a stitch is among them, the
reading is one that passes it over.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Any

from lessonplan.printed.beside.asides import Asides
from lessonplan.printed.rules.search import Chart
from lessonplan.printed.tree import Again, Line, Shape, Stitch
from lessonplan.printed.words.tokens import Token

_NO_COUNTS = frozenset({"at", "meanwhile", "measured", "bare", "more"})
"""Fields of steps and parts that tell no number of the print."""
_NAMES = frozenset({"needle", "row", "rem", "hooknote", "open", "eq", "remark"})
"""Kinds of words behind which a number is a name, or one of what stays: `needle 2`, `rem 4 sts`."""
_HOOKED = frozenset({"sc", "hdc", "dc", "tr", "dtr"})
_BEGINS = frozenset({"num", "sep", "stop", "colon", "star", "open", "work", "", "dash"})
"""Kinds of words behind which a stitch of crochet is one to work, and not a place."""
_WHICH = frozenset({"remark", "unknown", "hand", "rem"})


@cache
def _fields(kind: type) -> tuple[str, ...]:
    return tuple(each.name for each in dataclasses.fields(kind) if each.name not in _NO_COUNTS)


def _found(part: Any, numbers: set[int], names: Counter[str], bare: set[int]) -> None:
    """Put the numbers of a part of a line, the names of its stitches and the places of bare ones into the sets."""
    if isinstance(part, int):
        numbers.add(part)
    elif isinstance(part, tuple):
        for each in part:
            _found(each, numbers, names, bare)
    elif isinstance(part, str):
        names[part] += 1
        numbers.update(int(sign) for sign in part if sign.isdecimal())  # `dc2tog`
    elif part is not None:
        if isinstance(part, Stitch) and part.bare and part.name in ("k", "p", "sl"):
            bare.add(part.at)
        for name in _fields(type(part)):
            _found(getattr(part, name), numbers, names, bare)


def passed(chart: Chart, start: int, line: Line, asides: Asides) -> Iterator[Token]:
    """The numbers and stitches of a line that stand nowhere in a reading of it."""
    numbers, names, bare = set(line.label.numbers), Counter[str](), set[int]()
    _found((line.parts, line.printed, line.change), numbers, names, bare)
    if bare:
        yield from _pointed(chart, start, bare)
    told = any(isinstance(part, Again | Shape) and _until(part) for part in line.parts)
    for place in range(start, len(chart.run)):
        token = chart.run[place]
        if token.kind == "num" and not told and not asides.holds(place):
            if not _stands(chart, place, numbers):
                yield token
        elif token.value in _HOOKED and line.crochet and chart.kind(place + 1) == "in" and _ordered(chart, place):
            names[token.value] -= 1
            if names[token.value] < 0:
                yield token


def _until(part: Again | Shape) -> bool:
    return part.until is not None if isinstance(part, Again) else any(each.until is not None for each in part.spells)


def _stands(chart: Chart, place: int, numbers: set[int]) -> bool:
    """Whether a number is one of those read, one more or less than one of them, or counts nothing."""
    before, after = chart.kind(place - 1), chart.kind(place + 1)
    if before in _NAMES or after not in ("st", "times", "more", "row", "fewer"):
        return True
    below = after == "row" and before == "st"  # `in next st 2 rows below`
    return below or any(n < 2 or n in numbers or n + 1 in numbers or n - 1 in numbers for n in chart.run[place].num)


def _ordered(chart: Chart, place: int) -> bool:
    """Whether a stitch of crochet is one to work: `, 2 dc in`, but not `in next 2 dc in`."""
    before = chart.kind(place - 1)
    return before in _BEGINS and not (before == "num" and chart.kind(place - 2) in ("next", "last", "in", "each"))


def _pointed(chart: Chart, start: int, bare: set[int]) -> Iterator[Token]:
    """Words for the stitches that a bare step is said to go over: `slip these sts`, `k the sleeve sts`."""
    for place in range(start, len(chart.run)):
        if chart.kind(place) != "st":
            continue
        first = place - 1
        while chart.kind(first) in _WHICH:
            first -= 1
        fills = chart.run[first].value != "sl" and "rem" in map(chart.kind, range(first, place))  # `k the rem sts`
        if first < place - 1 and not fills and chart.run[first].at in bare:
            yield chart.run[first + 1]
