"""The words of each craft: who makes the pieces and what they do, what is used up, and what pieces rest for.

They are rows of ``tables/crafts.csv`` (common practice of each trade) and of ``tables/drying_and_firing.csv``; a
course's own ``words`` go before them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from lessonplan.course.model.groups import Words
from lessonplan.course.model.pattern import Pattern
from lessonplan.craft import tables
from lessonplan.remembered import remembered

OTHER = "other"
"""The row of a craft that has none of its own."""


@cache
def craft_named(craft: str) -> str:
    """Give the craft of the table that a name means (``ceramics`` is pottery, ``patchwork`` sewing), else other."""
    words = craft.lower().replace("wood carving", "woodcarving").replace("book binding", "bookbinding").split()
    for row in tables.rows("crafts"):
        if {row["craft"], *row["also"].split()} & {*words, "".join(words)}:
            return row["craft"]
    return OTHER


@remembered(8)
def words_of(pattern: Pattern) -> Words:
    """Give the words of a pattern's craft, its own before the table's; an empty ``pace`` means that none is counted."""
    own = {name: text for name in Words.model_fields if (text := getattr(pattern.words, name))}
    return common_words(craft_named(pattern.craft)).model_copy(update=_said(own))


@cache
def common_words(craft: str) -> Words:
    """Give the words of a craft of the table. Raises ``KeyError`` if it has no such row."""
    row = {row["craft"]: row for row in tables.rows("crafts")}[craft]
    return Words.model_validate(_said({name: row[name] for name in Words.model_fields}))


def _said(words: Mapping[str, str]) -> dict[str, str]:
    """A hyphen is a word left out."""
    return {name: "" if text == "-" else text for name, text in words.items()}


def file_word(word: str) -> str:
    """Make a word of a craft part of a file name: small letters of ASCII and hyphens."""
    plain = unicodedata.normalize("NFKD", word).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z]+", "-", plain)[:40].strip("-") or "makers"


@dataclass(frozen=True, slots=True)
class Rest:
    """A time for which nobody's hands are needed: one leaves it ``leave`` (to dry, in the kiln), ``it`` dries or is
    fired, and ``then`` it is dry, fired."""

    rest: str
    leave: str
    it: str
    then: str


@cache
def rest_named(rest: str) -> Rest:
    """Give the words of a rest by its key (``drying``, ``firing``). Raises ``KeyError`` if there is none."""
    return {row["rest"]: Rest(**row) for row in tables.rows("drying_and_firing")}[rest]


KNITTING = common_words("knitting")
"""The words of the craft of a pattern that names none."""
