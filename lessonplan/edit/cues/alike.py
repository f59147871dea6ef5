"""Texts over the picture that say the same, of which one is enough."""

from __future__ import annotations

import re

from lessonplan.edit.spoken import words_of

SHARED = 0.6
"""Two texts with the same numbers say the same where so much of the shorter one stands in the other (a guess)."""
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


def alike(one: str, other: str) -> bool:
    """Whether two texts say the same: all numbers of the one in the other, and most words of the shorter."""
    numbers, others = set(_NUMBER.findall(one)), set(_NUMBER.findall(other))
    few, many = sorted((set(words_of(one)), set(words_of(other))), key=len)
    return bool(few) and numbers == others and len(few & many) >= SHARED * len(few)
