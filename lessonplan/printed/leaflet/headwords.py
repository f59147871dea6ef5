"""The words by which the parts of a printed pattern are told apart, from `headings.csv`."""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

TABLE = Path(__file__).parent / "headings.csv"
_IN_ORDER = ("abbreviations", "sizes", "pattern", "info", "worked")
"""Kinds of headings: the first whose word stands in one is meant."""
_STITCHES = re.compile(r"\b(?:st|stitch|pattern|patt|ribbing|muster)\b\.?\s*(?:\(.*\))?$", re.IGNORECASE)
_OVER = re.compile(r"\w.*\((?:worked over |over )?(?:an? )?(?:even|odd|multiple|mult\.?)\b.{0,30}\)$", re.IGNORECASE)
"""A stitch pattern is told by over how many stitches it can be worked: `Feather lace (multiple of 12 sts)`."""


@cache
def words(language: str) -> dict[str, frozenset[str]]:
    """For each kind the words of English and of another language."""
    found: dict[str, set[str]] = {}
    with TABLE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["language"] in ("en", language):
                found.setdefault(row["kind"], set()).update(row["words"].split("|"))
    return {kind: frozenset(each) for kind, each in found.items()}


def heading_kind(heading: str, language: str) -> str:
    """What a heading is over: "info" (nothing that is worked), "sizes", "abbreviations", "pattern", "worked" or ""."""
    if re.search(r"\bonly\b|\b(?:all|both) sizes\b", heading, re.IGNORECASE):
        return ""  # `Sizes 2 and 3 only:` is over lines that are worked
    plain = re.sub(r"[^\w' -]", " ", re.sub(r"\(.*?\)", "", heading.lower()))
    for kind in _IN_ORDER:
        if len(plain.split()) < 7 and _stand_in(plain, kind, language):
            return kind
    if _OVER.search(heading) or (_STITCHES.search(heading) and len(plain.split()) > 1):
        return "pattern"
    return ""


@cache
def _expression(kind: str, language: str) -> re.Pattern[str]:
    longest = sorted(words(language)[kind], key=lambda word: (-len(word), word))
    ends = r"(?:e?s)?" if kind == "info" else ""
    whole = r"\s*{}\s*" if kind == "worked" else r"(?:.*\b)?{}\b.*"
    return re.compile(whole.format(f"(?:{'|'.join(map(re.escape, longest))}){ends}"))


def _stand_in(plain: str, kind: str, language: str) -> bool:
    return _expression(kind, language).fullmatch(plain.strip()) is not None


def is_word(heading: str, language: str) -> bool:
    """Whether a heading is one of the words and nothing more: "Needles", but not "Cable needle"."""
    plain = re.sub(r"[^\w' -]", "", heading.lower()).strip()
    known = frozenset().union(*(words(language)[kind] for kind in _IN_ORDER))
    return bool({plain, plain.removesuffix("s"), plain.removesuffix("es")} & known)


def begins_with(kind: str, text: str, language: str) -> bool:
    """Whether the first word of a text is one of a kind: "command", "before" (of what is worked) or "prose"."""
    first = re.match(r"\W*([^\W\d_]+)", text)
    return first is not None and first[1].lower() in words(language)[kind]
