"""Print in other languages: its words put into the English of the trade, by a table for each language.

A row of `german.csv` is a phrase of print and what it is in English. `#` stands for a number or a list of them for the
sizes, `...` for some words of the same sentence; in the English `#1`, `#2` name the numbers where their order differs.
What no phrase knows stays as it is, so that a message names the word that was printed.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

TABLES = {"de": Path(__file__).parent / "german.csv"}
LANGUAGES = ("en", *TABLES)
_NUMBER = r"(\d+(?:,\d+)?(?:\s*[(\[][\d\s,;/:–-]+[)\]])*)"
_SOME = r"([^.,;:*]{1,60}?)"
_DEPTH = 3


@dataclass(frozen=True, slots=True)
class Read:
    """What the reader of lines is given; for each of its signs the place in the print (none given: the same)."""

    text: str
    back: tuple[int, ...] = ()

    def at(self, sign: int) -> int:
        """The place in the print of a sign that was read; both from 0."""
        if not self.back:
            return sign
        return self.back[min(max(sign, 0), len(self.back) - 1)]


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of print as an expression, and its English cut at the signs for numbers and words."""

    pattern: re.Pattern[str]
    english: tuple[str, ...]


@lru_cache(maxsize=4096)
def read_in(text: str, language: str) -> Read:
    """A text of a language in the words that the reader of lines knows. Raises `KeyError` for one without a table."""
    if language == "en":
        return Read(text)
    signs = list(_put(text, 0, language, 0))
    return Read("".join(sign for sign, _ in signs), tuple(at for _, at in signs))


def _put(text: str, offset: int, language: str, depth: int) -> Iterator[tuple[str, int]]:
    """The signs of the English with their places in the print."""
    here = 0
    while here < len(text):
        begins = here == 0 or not (text[here - 1].isalpha() and text[here].isalpha())
        begins = begins and not (text[here].isdecimal() and here > 0 and text[here - 1].isalnum())
        found = _longest(text, here, language) if begins else None
        if found is None or depth > _DEPTH:
            yield text[here], offset + here
            here += 1
            continue
        phrase, match = found
        yield from _english(phrase, match, offset, language, depth)
        here = match.end()


def _longest(text: str, here: int, language: str) -> tuple[Phrase, re.Match[str]] | None:
    known = phrases(language)
    first = text[here].lower()
    best: tuple[Phrase, re.Match[str]] | None = None
    for phrase in (*known.get(first, ()), *(known["#"] if first.isdecimal() else ())):
        match = phrase.pattern.match(text, here)
        if match is not None and (best is None or match.end() > best[1].end()):
            best = phrase, match
    return best


def _english(phrase: Phrase, match: re.Match[str], offset: int, language: str, depth: int) -> Iterator[tuple[str, int]]:
    for part in phrase.english:
        if part[:1] == "\0":
            group = int(part[1:])
            start = offset + match.start(group)
            if match[group][0].isdecimal():
                yield from ((sign, start + at) for at, sign in enumerate(match[group]))
            else:
                yield from _put(match[group], start, language, depth + 1)
        else:
            yield from ((sign, offset + match.start()) for sign in part)


@cache
def short_words(language: str) -> frozenset[str]:
    """The words of a language's table that are short enough to be abbreviations."""
    with TABLES[language].open(encoding="utf-8", newline="") as file:
        found = {word for row in csv.DictReader(file) for word in re.findall(r"[^\W\d_]+", row["print"])}
    return frozenset(word for word in found if len(word) < 6)


@cache
def phrases(language: str) -> dict[str, tuple[Phrase, ...]]:
    """The phrases of a language by the first sign of their print (`#` for a number)."""
    found: dict[str, list[Phrase]] = {}
    with TABLES[language].open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            for print_ in row["print"].split("|"):
                found.setdefault(print_[0].lower(), []).append(_phrase(print_, row["english"]))
    return {sign: tuple(each) for sign, each in found.items()}


def _phrase(print_: str, english: str) -> Phrase:
    pieces = re.findall(r"#|\.\.\.|[^\W\d_]+|\d+|\S", print_)
    expression = ""
    for number, piece in enumerate(pieces):
        if piece in ("#", "..."):
            expression += _NUMBER if piece == "#" else _SOME
        elif len(piece) == 1 and piece.isalpha():
            expression += rf"{re.escape(piece)}(?![^\W\d_])\.?"  # one letter keeps its case: M is no m
        elif piece.isalpha():
            full_stop = r"\.?" if len(piece) < 7 and number + 1 < len(pieces) and pieces[number + 1] != "." else ""
            expression += rf"(?i:{re.escape(piece)})(?![^\W\d_]){full_stop}"
        else:
            expression += re.escape(piece)
        expression += r"\s*" if number + 1 < len(pieces) else ""
    expression = expression.removesuffix(r"\.?")
    parts = re.split(r"(#\d?|\.\.\.)", english)
    kinds = [piece for piece in pieces if piece in ("#", "...")]
    places = {
        "#": [n for n, kind in enumerate(kinds, 1) if kind == "#"],
        "...": [kinds.index("...") + 1] if "..." in kinds else [],
    }
    done: list[str] = []
    count = 0
    for part in parts:
        if part == "...":
            done.append(f"\0{places['...'][0]}")
        elif part.startswith("#"):
            count += 1
            done.append(f"\0{places['#'][int(part[1:] or count) - 1]}")
        elif part:
            done.append(part)
    return Phrase(re.compile(expression), tuple(done))
