"""What stands in the print and nowhere in what was read of it: numbers, and stitches with a place to go.

A rule may take words along that say nothing where its writer saw them. Where a number or a stitch is among them, the
reading is one that passes it over.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from typing import Any

from lessonplan.printed.beside.asides import Asides
from lessonplan.printed.rules.search import Chart, compiled
from lessonplan.printed.tree import Again, Line, Shape, Stitch
from lessonplan.printed.words.tokens import Token

_NO_COUNTS = frozenset({"at", "meanwhile", "measured", "bare", "more"})
"""Fields of steps and parts that tell no number of the print."""
_NAMES = frozenset({"needle", "row", "rem", "hooknote", "open", "eq", "remark", "winding", "rep"})
"""Kinds of words behind which a number is a name, or one of what stays: `needle 2`, `rem 4 sts`."""
_HOOKED = frozenset({"sc", "hdc", "dc", "tr", "dtr"})
_BEGINS = frozenset({"num", "sep", "stop", "colon", "star", "open", "work", "", "dash"})
"""Kinds of words behind which a stitch of crochet is one to work, and not a place."""
_ONE = (len("st"), len("stitch"))
"""How long the word for one stitch is, of which a bare step is one: `slip the edge st`."""
_WHICH = frozenset({"remark", "unknown", "hand", "rem"})


@cache
def _values(kind: type) -> Callable[[Any], Any]:
    """What gives the fields of a step or a part that may hold numbers, names or further steps, behind two others."""
    return attrgetter(
        "__class__", "__class__", *(each.name for each in dataclasses.fields(kind) if each.name not in _NO_COUNTS)
    )


@dataclass(slots=True)
class _Read:
    """What a reading holds: its numbers, the names of its stitches, the places of bare ones that go over one stitch."""

    numbers: set[int]
    names: Counter[str]
    bare: set[int]

    def take(self, part: Any) -> None:
        """Take up what a part of a line holds."""
        kind = part.__class__
        if kind is Stitch:
            self.names[part.name] += 1
            self.numbers.update(part.count)
            if part.bare and part.name in ("k", "p", "sl"):
                self.bare.add(part.at)
            if part.name[-3:] == "tog":
                self.numbers.update(int(sign) for sign in part.name if sign.isdecimal())
                self.names[part.name[:-4]] += 1  # `leaving last loop of each on hook, dc in next 2 sts`
            return
        for value in _values(kind)(part)[2:]:
            if value.__class__ is tuple:
                if value and value[0].__class__ is int:
                    self.numbers.update(value)
                else:
                    for each in value:
                        if each.__class__ is not str:
                            self.take(each)
            elif value.__class__ is int:
                self.numbers.add(value)
            elif value is not None and value.__class__ is not str and value.__class__ is not bool:
                self.take(value)


class Cover:
    """What of a line must stand in each of its readings."""

    def __init__(self, chart: Chart, start: int, asides: Asides) -> None:
        self.chart = chart
        self.counts = [
            place.start()
            for place in compiled("num (st|times|more|fewer)").finditer(chart.kinds, start)
            if _counts(chart, place.start()) and not asides.holds(place.start())
        ]
        words = f"({'|'.join(sorted(_WHICH))}) st"
        self.wrapped = [each for each in chart.run if each.value == "yo"] if chart.craft == "crochet" else []
        ends = [place.end() - 1 for place in compiled(words).finditer(chart.kinds, start)]
        self.pointed = [place for place in ends if chart.run[place].end - chart.run[place].at not in _ONE]
        self.ordered = (
            [
                place.start()
                for place in compiled("stitch in (?!top)").finditer(chart.kinds, start)
                if _ordered(chart, place.start())
            ]
            if chart.craft == "crochet"
            else []
        )

    def passed(self, line: Line) -> list[Token]:
        """The numbers and stitches that stand nowhere in a reading, and words that point at stitches."""
        if not (self.counts or self.pointed or self.ordered or self.wrapped):
            return []
        read = _Read({*line.label.numbers, *line.printed, *line.change, *line.inside}, Counter(), set())
        for part in line.parts:
            read.take(part)
        found = [*_pointed(self.chart, self.pointed, read.bare)] if self.pointed and read.bare else []
        if not any(isinstance(part, Again | Shape) and _until(part) for part in line.parts):
            shaped = max((part.at for part in line.parts if isinstance(part, Shape)), default=0)
            tokens = [self.chart.run[place] for place in self.counts if self.chart.run[place].at >= shaped]
            found += [
                each for each in tokens if not any(n < 2 or {n - 1, n, n + 1, 2 * n} & read.numbers for n in each.num)
            ]
        if read.names["yo"]:
            found += self.wrapped[:1]  # yarn over the hook is no stitch, so that it is a part of one
        for place in self.ordered:
            token = self.chart.run[place]
            read.names[token.value] -= 1
            if read.names[token.value] < 0:
                found.append(token)
        return found


def _until(part: Again | Shape) -> bool:
    return part.until is not None if isinstance(part, Again) else any(each.until is not None for each in part.spells)


def _counts(chart: Chart, place: int) -> bool:
    """Whether a number counts something that is worked, and is no name and none of what stays."""
    before, what, then = chart.kind(place - 1), chart.kind(place + 1), chart.kind(place + 2)
    if before in _NAMES or (what == "more" and then == "row"):
        return False
    if before == "unknown" and chart.kind(place - 2) == "open":
        return False  # `(still 78 sts)`
    if what == "st" and then in ("in", "even", "pattern"):
        return False  # `first and last 3 sts in garter st`
    return before != "close" or "row" not in map(chart.kind, range(place))  # `(P 1 row, k 1 row) 3 times`


def _ordered(chart: Chart, place: int) -> bool:
    """Whether a stitch of crochet is one to work: `, 2 dc in`, but not `in next 2 dc in`."""
    before = chart.kind(place - 1)
    if chart.run[place].value not in _HOOKED:
        return False
    counted = chart.run[place - 2] if before == "num" and place > 1 else None
    of_shaping = (
        counted is not None and counted.value in ("inc", "dec") and chart.match("in each row", place + 1, place + 4)
    )
    in_each = counted is not None and counted.kind in ("next", "last", "in", "each")
    return before in _BEGINS and not (in_each or of_shaping)  # `increase 8 sc in each round`


def _pointed(chart: Chart, places: Sequence[int], bare: set[int]) -> Iterator[Token]:
    """Words for the stitches that a bare step is said to go over: `slip these sts`, `k the sleeve sts`."""
    for place in places:
        first = place - 1
        while chart.kind(first) in _WHICH:
            first -= 1
        fills = chart.kind(first) and chart.run[first].value != "sl" and "rem" in map(chart.kind, range(first, place))
        if chart.kind(first) and not fills and chart.run[first].at in bare:  # none is `k the rem sts`
            yield chart.run[first + 1]
