"""Sums said aloud: “forty four plus one is forty five”, “eleven groups of four”, “eight stripes of four rounds”."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lessonplan.edit.speech.quantities import Quantity

_PLUS = re.compile(r"^(?:\w+ )?plus$")
_AND = re.compile(r"^and$")
_MINUS = re.compile(r"^(?:\w+ )?(?:minus|less|take away)$")
_TIMES = re.compile(r"^(?:times|(?:stripes|repeats|sections|groups|lots|sets|times) of|of)$")
_MAKES = re.compile(r"^(?:\w+ )?(?:makes?|leaves?|gives?|equals)$")
_IS = re.compile(r"^(?:\w+ )?(?:(?:so )?that(?:'s| is| makes| leaves| gives)|is|are)$")


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum: the places of its two numbers and of its result among the quantities, and what it should come to.

    ``times``: it is a product.
    """

    first: int
    second: int
    result: int
    comes_to: float
    times: bool = False


def sums_in(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[Sum]:
    """Find the sums among quantities of one unit, or of none."""
    for place in range(len(quantities) - 2):
        one, other, result = quantities[place : place + 3]
        if place and _PLUS.match(_between(words, quantities[place - 1], one)):
            one = replace(one, number=replace(one.number, low=0.0, high=quantities[place - 1].value + one.value))
        ways, makes = _between(words, one, other), _between(words, other, result)
        says = _MAKES.match(makes) is not None
        if one.ordinal or other.ordinal or result.ordinal or not (says or _IS.match(makes)):
            continue
        times = one.unit in ("", "stripes", "repeats", "times") and result.unit in ("", other.unit)
        if times and _TIMES.match(ways):
            yield Sum(place, place + 1, place + 2, one.value * other.value, times=True)
        elif {one.unit, other.unit, result.unit} <= {"", "stitches"}:
            if _PLUS.match(ways) or (says and _AND.match(ways)):
                yield Sum(place, place + 1, place + 2, one.value + other.value)
            elif _MINUS.match(ways):
                yield Sum(place, place + 1, place + 2, one.value - other.value)


def _between(words: Sequence[str], one: Quantity, other: Quantity) -> str:
    return " ".join(words[one.end : other.first])
