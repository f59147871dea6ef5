"""Sums said aloud: “forty four plus one is forty five”, “eleven groups of four”, “eight stripes of four rounds”."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonplan.edit.speech.quantities import Quantity

_PLUS = re.compile(r"^(?:\w+ )?(?:plus|and)$")
_MINUS = re.compile(r"^(?:\w+ )?(?:minus|less|take away)$")
_TIMES = re.compile(r"^(?:times|groups of|lots of|sets of|(?:stripes|repeats|sections)? ?(?:of|with|by|times))$")
_MAKES = re.compile(r"^(?:\w+ )?(?:(?:so )?that(?:'s| is| makes| leaves| gives)|is|are|makes?|leaves?|gives?|equals)$")


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum: the places of its two numbers and of its result among the quantities, and what it should come to (``times``: a product)."""

    first: int
    second: int
    result: int
    comes_to: float
    times: bool = False


def sums_in(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[Sum]:
    """Find the sums among quantities; of “one and two is three and four is seven” both."""
    for place in range(len(quantities) - 2):
        one, other, result = quantities[place : place + 3]
        if one.ordinal or other.ordinal or result.ordinal or not _MAKES.match(_between(words, other, result)):
            continue
        between = _between(words, one, other)
        value = (
            one.value + other.value
            if _PLUS.match(between)
            else one.value - other.value
            if _MINUS.match(between)
            else one.value * other.value
            if _TIMES.match(between)
            else None
        )
        if value is not None:
            yield Sum(place, place + 1, place + 2, value, _TIMES.match(between) is not None)


def _between(words: Sequence[str], one: Quantity, other: Quantity) -> str:
    return " ".join(words[one.end : other.first])
