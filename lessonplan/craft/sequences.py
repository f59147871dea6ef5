"""Fixed sequences of the trade (grafting, ssk, binding off), found in any words that name them."""

from __future__ import annotations

import re
from functools import cache

from lessonplan.craft import tables


def sequences_in(text: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the sequences that a text names, in the order of the table: name, and steps with what slips in asterisks.

    One that people work in several orders has that in which the text tells it, else the first of the table.
    """
    every = words = _only_words(text)
    found = set[str]()
    for phrase, pattern, name in _said():  # the longest first: a three-needle bind-off is no other bind-off
        if phrase in words and pattern.search(words):
            found.add(name)
            words = pattern.sub("|", words)
    if not found:
        return ()
    rows = [row for row in tables.rows("sequences") if row["name"] in found]
    told = {row["name"]: row for row in rows if not row["told_so"]}
    told |= {row["name"]: row for row in rows if row["told_so"] and re.search(row["told_so"], every)}
    return tuple((name, tuple(row["steps"].split("; "))) for name, row in told.items())


@cache
def _said() -> tuple[tuple[str, re.Pattern[str], str], ...]:
    """What is said of each sequence, the longest first: the words, their pattern, the name."""
    rows = tables.rows("sequences")
    said = sorted(((_only_words(one), row["name"]) for row in rows for one in row["said"].split("|")), key=_longest)
    return tuple((phrase, re.compile(rf"\b{re.escape(phrase)}\b"), name) for phrase, name in said)


def _only_words(text: str) -> str:
    return re.sub(r"[^\w&]+", " ", text.lower()).strip()


def _longest(said: tuple[str, str]) -> tuple[int, str]:
    return -len(said[0]), said[0]
