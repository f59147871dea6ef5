"""A pattern's file cut into what was printed as one line: wrapped lines joined, run-on lines parted, no marks.

Every sign keeps its place: a `Spread` of text knows the line and column of the file that each of its signs stands at.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from lessonplan.printed.line import MAX_LENGTH

LONG = 45
"""A printed line of so many signs may go on in the next one, unless it ends a sentence."""
_ROW_WORD = r"(?:rnds?|rounds?|rows?|rds?|runden?|reihen?|hinreihen?|rückreihen?|hinr|rückr|hr|rr)"
_NUMBERED = rf"(?:{_ROW_WORD}\b\.?\s*\d+|r\s?\d+\b|\d+(?:st|nd|rd|th|\.)?\s*(?!(?<=\d)rd\b){_ROW_WORD}\b)"
"""`Rnd 3`, `R3`, `3rd row`; but `3rd needle` names no round."""
LABEL = re.compile(
    rf"^\W*(?:(?:(?:next|last|final|set-?\s?up|foundation|inc\w*|dec\w*|all|every|each|nächste|alle)\.?\s+)*"
    rf"(?:{_NUMBERED}|{_ROW_WORD}\b(?=[^.,]{{0,30}}:)|[rw]s\b[^.,]{{0,12}}:)|\d+(?:\s?-\s?\d+)?[.):]\s)",
    re.IGNORECASE,
)
"""The label of a round or row at the beginning of a line."""
BARE = re.compile(r"^\W*\d+(?:\s?-\s?\d+)?[.):]\s+")
"""A number alone before a line: of a step, or of a round."""
_RUN_ON = re.compile(
    rf"(?<=[.)\]])(?<!\brep\.)\s+(?=(?:(?:next\s+)?{_NUMBERED}|\d+(?:st|nd|rd|th)\s+\w+\s+row|next\s+{_ROW_WORD})[^:.]{{0,40}}:"
    rf"|{_ROW_WORD}\.?\s*\d+(?:\s*(?:-|–|to|and|&)\s*\d+)?(?:\s*\([rw]s\))?(?:\s?=|\s[-–—]\s|\.\s))",
    re.IGNORECASE,
)
_COUNTED = re.compile(r"(?<=[.)])\s+\(?\d[\d\s()\[\],:/-]*sts?\b(?:\.\)?|\))\s+(?=[A-Z])")
"""A count printed in the middle of a text, which is that of what stands before it."""
_WORKED = re.compile(r"\d.*\b(?:rows?|rounds?|rnds?|sts)\b.*\.\s*$")
"""Rows or stitches told before the first label of a text."""
_OPEN_END = re.compile(
    r"(?:[,;&+(\[]|\b(?:and|to|from|until|the|of|or|on|off|for|by|in|a|und|bis|ab|der|die|then|next|last|with|rep))$"
)
_COUNT = re.compile(r"\d[\d\s(),\[\]/-]*\s*(?:(?:[a-z]+\s){0,2}(?:sts?|stitches|m|maschen)\b|[.)]*$)", re.IGNORECASE)
"""The count printed after a line."""
_EXPLAINS = re.compile(r"[^\s=]{1,12}(?:\s\S{1,6})?\s*(?:=|\s[-–—]\s)|[^\s=:]{1,8}:\s")
"""An entry of a list of abbreviations."""
_BULLET = re.compile(r"^\s*(?:[-+•·–]|\*(?=\s+(?:\*\*|[A-Z][a-z]+[ :][^*]*$)))\s+")
_RULE = re.compile(r"^\s*(?:[-_=~*]\s*){3,}$")
_BOLD = re.compile(r"\*\*(?=\S)([^*\n]+?)(?<=\S)\*\*|__(?=\S)([^_\n]+?)(?<=\S)__")

_OLD_HEAD = re.compile(r"^([A-Z][A-Z ]{3,30})\.\s?[-–—]+\s*(?=\S)")
"""A word of a list as old print parts it from what follows: "MATERIALS.—2 oz."."""
_FOOT = re.compile(r"\bpage\b|\bseite\b|©|\(c\)|copyright|^\s*[-–]?\s*\d{1,3}\s*[-–]?\s*$", re.IGNORECASE)
"""What may be the head or the foot of a page: its number, whose it is."""
_OWNED = re.compile(r"©|\(c\)|copyright", re.IGNORECASE)
_PAGE = re.compile(r"\s*(?:page|seite)\s+\d{1,3}(?:\s*(?:of|/|von)\s*\d{1,3})?\s*", re.IGNORECASE)
_SIGNS_OF_PAGES = re.compile(r"[\d\s]+")
_SLANTED = re.compile(r"(?<!\S)\*(\([^*()]*\)|\d[^*]*?sts?\.?)\*(?!\S)")


@dataclass(frozen=True, slots=True)
class Spread:
    """Text with the places of its signs: `spots` are (first sign, line, column), line and column counted from 1.

    `heading` is the level that the file gives it as a heading by marks of its own (0: none); `apart` tells whether an
    empty line stands before it.
    """

    text: str
    spots: tuple[tuple[int, int, int], ...]
    heading: int = 0
    apart: bool = True

    @property
    def line(self) -> int:
        """The line of the file that it begins in."""
        return self.spots[0][1]

    def place(self, at: int) -> tuple[int, int]:
        """Line and column of a sign, counted from 0 in the text."""
        first, line, column = self.spots[max(0, bisect_right([spot[0] for spot in self.spots], at) - 1)]
        return line, column + max(0, at - first)

    def part(self, start: int, stop: int) -> Spread:
        """A stretch of it, without the blanks around."""
        text = self.text[start:stop]
        start += len(text) - len(text.lstrip())
        text = text.strip()
        spots = [(max(0, at - start), line, column + max(0, start - at)) for at, line, column in self.spots]
        kept = [spot for number, spot in enumerate(spots) if number + 1 == len(spots) or spots[number + 1][0] > 0]
        return Spread(text, tuple(spot for spot in kept if spot[0] <= len(text)), self.heading, self.apart)


_ORDER = re.compile(r"(?:cast|bind|casting|binding)[ -](on|off)", re.IGNORECASE)
_ORDERS = {"on": re.compile(r"\b(?:cast on|CO)\b", re.I), "off": re.compile(r"\b(?:(?:bind|cast) off|BO)\b", re.I)}
"""An order alone in its line, and how the line below gives it again: then the first is its heading."""


def lines_printed(text: str) -> tuple[Spread, ...]:
    """What was printed as one line each, in order, without empty ones."""
    return tuple(part for joined in _joined(text) for part in _parted(joined))


def _joined(text: str) -> Iterator[Spread]:
    held: Spread | None = None
    before, apart = "", True
    lines = re.split(r"\r\n|\n|\r", text)
    told: set[str] = set()
    often = Counter(_SIGNS_OF_PAGES.sub("", line) for line in lines)
    for number, raw in enumerate(lines, 1):
        line = _SIGNS_OF_PAGES.sub("", raw)
        foot = _FOOT.search(raw) is not None and (_PAGE.fullmatch(raw) is not None or often[line] > 1)
        plain, level, column = _plain(raw)
        if foot:  # the head and the foot of a page: a sentence goes on over them; whose it is stands once
            if _OWNED.search(raw) and line not in told:
                yield Spread(plain, ((0, number, column),))
            told.add(line)
            continue
        under = lines[number].strip() if number < len(lines) else ""
        if plain and re.fullmatch(r"=+|-{3,}", under) and len(under) > 2 and len(plain) < 60:
            level = level or (1 if under[0] == "=" else 2)
        if apart and (order := _ORDER.fullmatch(plain)) and _ORDERS[order[1].lower()].search(under):
            level = level or 6
        if not plain:
            if held is not None:
                yield held
            held, before, apart = None, "", True
            continue
        here = Spread(plain, ((0, number, column),), level, apart)
        short = held is not None and len(held.text) <= MAX_LENGTH
        if held is not None and short and not held.heading and not level and _goes_on(held.text, before, raw, plain):
            spot = len(held.text) + 1, number, column
            held = Spread(f"{held.text} {plain}", (*held.spots, spot), 0, held.apart)
        else:
            if held is not None:
                yield held
            held = here
        before, apart = raw, False
    if held is not None:
        yield held


def _plain(raw: str) -> tuple[str, int, int]:
    """A line without Markdown's marks, blanks of the same number in their place; its heading level; its column."""
    if _RULE.match(raw) or re.fullmatch(r"\s*\|[\s|:-]*\|\s*", raw):
        return "", 0, 1
    if cells := re.fullmatch(r"(\s*)\|([^|]+)\|([^|]+)\|\s*", raw):
        raw = f"{cells[1]} {cells[2]}={cells[3]}"  # a table of two columns explains its first by its second
    mark = re.match(r"\s{0,3}(#{1,6})\s+", raw)
    level = len(mark[1]) if mark else 0
    bullet = mark or _BULLET.match(raw)
    start = bullet.end() if bullet else 0
    rest = _BOLD.sub(lambda found: f"  {found[1] or found[2]}  ", raw[start:])
    rest = _SLANTED.sub(lambda found: f" {found[1]} ", rest)
    rest = _OLD_HEAD.sub(lambda found: f"{found[1]}: ".ljust(len(found[0])), rest)
    if level:
        rest = re.sub(r"\s#+\s*$", "", rest)
    elif (bold := _BOLD.fullmatch(raw[start:].strip())) and len(bold[1] or bold[2]) < 60:
        level = 0 if LABEL.match(bold[1] or bold[2]) else 6
    rest = rest.replace("\t", " ")
    return rest.strip(), level, start + len(rest) - len(rest.lstrip()) + 1


def _goes_on(held: str, before: str, raw: str, plain: str) -> bool:
    """Whether a printed line goes on in the next line of the file."""
    opened = sum(held.count(sign) for sign in "([") > sum(held.count(sign) for sign in ")]")
    if opened and held[-1] in ",;:/([" and plain[0].isdigit():
        return True  # `in last 7 (8,` and below it `9) sts`
    if LABEL.match(plain) or _BULLET.match(raw) or _EXPLAINS.match(plain):
        return False
    if opened or _OPEN_END.search(held) or (plain[0] in '"“' and held[-1].isalpha()):
        return True
    if re.search(r"[.:!?]\W{0,2}$", held):
        return False
    small = plain[0].islower() or plain[0] in "([" or (bool(LABEL.match(held)) and plain[0] in "*0123456789")
    indented = len(raw) - len(raw.lstrip()) > len(before) - len(before.lstrip())
    return (small and len(before.strip()) >= LONG) or (indented and bool(LABEL.match(held)))


def _parted(spread: Spread) -> Iterator[Spread]:
    """The lines that stand one behind the other in one line: `Rnd 1: Knit. Rnd 2: Purl.`"""
    start = 0
    for match in _RUN_ON.finditer(spread.text, _labelled(spread.text)):
        yield spread.part(start, match.start())
        start = match.end()
    yield spread.part(start, len(spread.text)) if start else spread


def _labelled(text: str) -> int:
    """Where the label of the first line in a text ends, which no other begins in: `Dec. round 1: ...`."""
    label = LABEL.match(text)
    return label.end() if label else 0


@lru_cache(maxsize=4096)
def run_on(text: str) -> tuple[int, ...]:
    """Where the lines begin that stand one behind the other in a text; only the first if a repeat spans several."""
    labelled = _labelled(text)
    begun = [match.end() for match in _RUN_ON.finditer(text, labelled)]
    lead = not labelled and not _WORKED.search(text[: begun[0]] if begun else "")
    begun = begun[int(lead) :]  # words before the first label belong to its row, if they are no work
    starts = (0, *sorted({*begun, *(match.end() for match in _COUNTED.finditer(text))}))
    parts = [text[start:end] for start, end in zip(starts, (*starts[1:], len(text)), strict=True)]
    whole = all(part.count("(") == part.count(")") and part.count("[") == part.count("]") for part in parts)
    stars = all(part.find("*") < part.lower().find("from *") or "from *" not in part.lower() for part in parts)
    return starts if whole and stars else (0,)


def sentences(spread: Spread) -> tuple[Spread, ...]:
    """The sentences of a line; a full stop behind a short word, or before a small letter, ends none."""
    found: list[Spread] = []
    start = 0
    for match in re.finditer(r"(?<=[.!?)])\s+(?=[A-ZÄÖÜ*\[]|\d)", spread.text):
        before = spread.text[start : match.start()]
        after = spread.text[match.end() :]
        closed = before.count("(") == before.count(")") and before.count("[") == before.count("]")
        numbered = after[:1].isdigit() and re.search(
            r"\b(?:no|nos|nr)\.\s*$", before, re.IGNORECASE
        )  # `needle no. 3.5`
        if closed and not numbered and before.rstrip()[-1:] in ".!?" and not _COUNT.match(after.lstrip("[")):
            found.append(spread.part(start, match.start()))
            start = match.end()
    return (*found, spread.part(start, len(spread.text)))
