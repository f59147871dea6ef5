"""Fixed sequences of the trade (grafting, ssk, binding off), found in any words that name them."""

from __future__ import annotations

import re

from lessonplan.craft import tables


def sequences_in(text: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the sequences that a text names, in the order of the table: name, and steps with what slips in asterisks."""
    words, rows = _only_words(text), tables.rows("sequences")
    said = sorted(((_only_words(one), row["name"]) for row in rows for one in row["said"].split("|")), key=_longest)
    found = set()
    for phrase, name in said:  # the longest first: a three-needle bind-off is no other bind-off
        pattern = rf"\b{re.escape(phrase)}\b"
        if re.search(pattern, words):
            found.add(name)
            words = re.sub(pattern, "|", words)
    return tuple((row["name"], tuple(row["steps"].split("; "))) for row in rows if row["name"] in found)


def _only_words(text: str) -> str:
    return re.sub(r"[^\w&]+", " ", text.lower()).strip()


def _longest(said: tuple[str, str]) -> tuple[int, str]:
    return -len(said[0]), said[0]
