"""How print names yarns: by a letter, a name, a shade, or the names that the pattern's list of materials has."""

from __future__ import annotations

import re
from functools import cache

LETTER = re.compile(
    r"\b(?:[Ww]ith|[Uu]sing|[Yy]arn|[Cc]olou?r|[Ss]hade|[Cc]hange to|[Ss]witch to|[Jj]oin|[Aa]ttach|[Ii]n)"
    r" ([A-FM])\b(?!['’.]\w)"
    r"|\b((?:(?:[Yy]arn|[Cc]ol(?:ou?r)?|[Ss]hade) |[Cc]ol\. ?)(?:no\.? ?)?\d)\b(?! *(?:st|row|r(?:ou)?nd|time))"
)
"""A yarn that is called by a letter."""
YARN = re.compile(
    r"\b(?:[Ww]ith|[Uu]sing|[Cc]hang(?:e|ing) to|[Ss]witch to|[Jj]oin|[Dd]rop|[Aa]ttach) ([A-Z][a-z]{2,})\b"
)
"""A yarn that is called by a name, if that is no other word."""
SHADE = re.compile(r"\b(?:colou?r|shade|yarn) ([a-z]{3,})\b(?! ?(?:change|sequence|of|for)\b)")
"""A shade that is named behind a word for colours."""
_COMMON_COLOURS = ("MC", "CC", "C1", "C2", "C3", "C4", "CC1", "CC2")
NAMED_COLOUR = re.compile(r"(?<=\()([DL]C)(?=\)\s*:)")
"""The dark or the light colour of a round, behind its number."""


def longest_first(colours: frozenset[str]) -> list[str]:
    """Names of yarns, those of a pattern and common ones, so that no shorter one is taken for a longer."""
    return sorted({*colours, *_COMMON_COLOURS}, key=lambda name: (-len(name), name))


@cache
def named_yarns(colours: frozenset[str]) -> re.Pattern[str]:
    """Names of yarns, those of a single letter only as they are written."""
    words = (re.escape(name) if len(name) == 1 else f"(?i:{re.escape(name)})" for name in longest_first(colours))
    before = r"(?:(?<![A-Za-z0-9])|(?<=[KkPp]\d)|(?<=[KkPp]\d\d))"
    return re.compile(f"{before}(?:{'|'.join(words)})(?![A-Za-z0-9])")
