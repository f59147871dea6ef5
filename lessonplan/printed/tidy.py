"""Messy print made regular, while every character remembers the column it came from.

A `Tidy` text is rewritten by rules (expression, replacement); the pieces it is made of keep the column of the printed
text, so that messages point at what the teacher wrote.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

Replacement = str | Callable[[re.Match[str]], str]

_CHARACTERS = str.maketrans(
    {
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\u200a\u2002\u2003\t\r\n\u200b\ufeff", " "),
        **dict.fromkeys("–—−‐‑‒―", "-"),
        **dict.fromkeys("“”„«»", '"'),
        **dict.fromkeys("‘’‚`´", "'"),
        **dict.fromkeys("✱∗⁎＊✳✻", "*"),
        "×": "x",
        "…": ".",
        "{": "[",
        "}": "]",
        "∼": "-",
        "_": " ",
        "§": " ",
        "|": " ",
    }
)


@dataclass(frozen=True, slots=True)
class Tidy:
    """A text being made regular, with a 1-based printed column for each character and one for its end."""

    text: str
    columns: tuple[int, ...]

    def sub(self, pattern: re.Pattern[str], replacement: Replacement) -> Tidy:
        """Every match replaced; the new characters carry the columns of the old ones, as far as they go."""
        match = pattern.search(self.text)
        if match is None:
            return self
        pieces: list[str] = []
        columns: list[int] = []
        done = 0
        while match is not None:
            start, end = match.span()
            new = _filled(match, replacement) if isinstance(replacement, str) else replacement(match)
            pieces += (self.text[done:start], new)
            columns += self.columns[done:start]
            columns += _spread(self.text[start:end], self.columns[start : end + 1], new)
            done = end
            match = pattern.search(self.text, end if end > start else end + 1)
        pieces.append(self.text[done:])
        columns += self.columns[done:]
        return Tidy("".join(pieces), tuple(columns))

    def cut(self, start: int, end: int) -> Tidy:
        """The part from `start` to `end`."""
        return Tidy(self.text[start:end], self.columns[start : end + 1])


@cache
def _template(replacement: str) -> tuple[str, ...]:
    """A replacement cut at its group references: text, group, text, group ..."""
    return tuple(re.split(r"\\(?:g<)?(\d)>?", replacement))


def _filled(match: re.Match[str], replacement: str) -> str:
    """As `match.expand`, which takes the replacement apart anew each time; a group that did not match is empty."""
    pieces = _template(replacement)
    if len(pieces) == 1:
        return replacement
    return "".join(piece if index % 2 == 0 else match[int(piece)] or "" for index, piece in enumerate(pieces))


def _spread(old: str, columns: tuple[int, ...], new: str) -> list[int]:
    """Columns for a replacement: its last number keeps its own place, all before it take the start of the match."""
    if old == new:
        return list(columns[: len(new)])
    spread = [columns[0]] * len(new)
    tail = 0
    while tail < min(len(old), len(new)) and old[-1 - tail] == new[-1 - tail]:
        tail += 1
    for back in range(1, tail + 1):
        spread[-back] = columns[len(old) - back]
    return spread


def clean(text: str) -> Tidy:
    """One character for one: spaces, dashes, quotation marks and asterisks made plain."""
    return Tidy(text.translate(_CHARACTERS), tuple(range(1, len(text) + 2)))


def lower(tidy: Tidy) -> Tidy:
    """Lower case, character by character, so that the length stays."""
    changed = "".join(c.lower() if len(c.lower()) == 1 else c for c in tidy.text)
    return Tidy(changed, tidy.columns)


_COMMON_COLOURS = ("MC", "CC", "C1", "C2", "C3", "C4")


def mark_colours(tidy: Tidy, colours: frozenset[str]) -> tuple[Tidy, tuple[str, ...]]:
    """Names of yarns replaced by `§n§`, and the names by that number.

    A one-letter name counts only in its own case and not inside another word; longer ones in any case.
    """
    names = sorted({*colours, *_COMMON_COLOURS}, key=lambda name: (-len(name), name))
    used: list[str] = []
    for name in names:
        pattern = _colour_pattern(name)
        if pattern.search(tidy.text):
            tidy = tidy.sub(pattern, f"§{len(used)}§")
            used.append(name)
    return tidy, tuple(used)


def _colour_pattern(name: str) -> re.Pattern[str]:
    word = re.escape(name)
    if len(name) > 1:
        word = f"(?i:{word})"
    before = r"(?:(?<![A-Za-z0-9§])|(?<=[KkPp]\d)|(?<=[KkPp]\d\d))"
    after = r"(?![A-Za-z0-9§])"
    return re.compile(before + word + after)


NUMBER = r"\d+(?:\|\d+)*"
_LIST = r"[\(\[]\s*(?:\d+|-)(?:\s*[,;:/]\s*(?:\d+|-))*\s*,?\s*[\)\]]"
_SIZES = re.compile(rf"(?<![\d/])(\d+)(\s?(?:{_LIST})(?:\s?{_LIST})*)(?![\d])")
_BARE_LIST = re.compile(r"[\(\[](\d+(?:\s*[,;:/]\s*\d+)+)[\)\]]")
_SLASHES = re.compile(r"(?<![\d/])\d+(?:/\d+)+(?! ?[rl]p?c)(?![\d/])")


class SizesError(Exception):
    """A list of numbers that does not match the sizes of the pattern."""

    def __init__(self, given: int, column: int) -> None:
        super().__init__(given, column)
        self.given = given
        self.column = column


def mark_sizes(tidy: Tidy, sizes: int) -> Tidy:
    """`48 (52, 56)` becomes `48|52|56`; with one size a lone bracketed number at the end stays as a printed count.

    A list of another length than the number of sizes is a `SizesError` with its printed column.
    """

    def joined(match: re.Match[str]) -> str:
        values = [match[1], *re.findall(r"\d+|-", match[2])]
        if len(values) == sizes:
            return "|".join("0" if value == "-" else value for value in values)
        if len(values) == 2 and match.end() >= len(tidy.text.rstrip(" .")):
            return match[0]
        if len(values) == 2 and re.match(r"\s+\(", match[2]) and sizes == 1:
            return match[0]
        raise SizesError(len(values), tidy.columns[match.start()])

    tidy = tidy.sub(_SIZES, joined)
    if sizes > 1:

        def listed(match: re.Match[str]) -> str:
            values = re.findall(r"\d+", match[0])
            return "|".join(values) if len(values) == sizes else match[0]

        tidy = tidy.sub(_BARE_LIST, listed).sub(_SLASHES, listed)
    return tidy
