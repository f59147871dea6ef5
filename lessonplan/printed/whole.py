"""A whole pattern as printed, sorted: headings, prose, lines that are worked, stitch patterns, abbreviations, sizes.

Nothing is worked here; each line that is an instruction goes through `parse_line`, as a line on its own does.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from lessonplan.printed import explained, sizes
from lessonplan.printed.headwords import begins_with, heading_kind
from lessonplan.printed.languages import Read, read_in
from lessonplan.printed.layout import LABEL, Spread, lines_printed, sentences
from lessonplan.printed.line import NotationError, crochet_stitch, parse_line
from lessonplan.printed.tokens import SizesError, tokens
from lessonplan.printed.tree import CastOn, Colour, Join, Line, Mark, Rows, Stitch

MOST_LINES = 20_000
UNKNOWN = -1
"""Instead of a section that cannot be told."""
_OTHER_NUMBERS = re.compile(
    r"\d+(?:[.,]\d+)?\s*(?:[-/]\s*\d+\s*)?(?:cm|mm|(?-i:m)|g|in|inch(?:es)?|yds?|yards?|oz|\"|hours?|minutes?)(?![^\W_])",
    re.IGNORECASE,
)
_WEIGHTY = re.compile(
    r"\d|\b(?:sts?|stitch(?:es)?|rows?|rnds?|rounds?|markers?|as|maschen?|reihen?|runden?|rd)\b", re.IGNORECASE
)
_SURELY = re.compile(
    r"\d|\bsts?\b|\bstitch|\bmaschen?\b|\bas (?:for|given|row|rnd|round)|^rep|\bchart\b|\bpatt", re.IGNORECASE
)
"""What a command that cannot be read speaks of, so that it is a line to be read and not prose."""
_LAST = re.compile(r"^(?:sl st|slip st|slip stitch|ss|km)\b.{0,50}\b(?:fasten|break|cut|off)\b", re.IGNORECASE)
"""The end of a piece of crochet, which works no round."""
_SHORTHAND = re.compile(
    r"(?<![^\W_])(?:[kp]\s?\d+|k?\d?[kp]?\d?tog|ssk|ssp|skp|yo|m1[lr]?|kfb|psso|w&t|\d+\s?(?:sc|dc|hdc|tr|ch|inc|dec)|ch\s?\d+|"
    r"[CB]O\s?\d+|(?:cast|bind)(?:ing)?\s(?:on|off)\s\d+|co\s?\d+)(?![^\W\d_])",
    re.IGNORECASE,
)
_VERB = re.compile(r"\b(?:knit|purl|cast on|bind off|repeat|work|decrease|increase|dec|inc|pick up)\b", re.IGNORECASE)
_AS = re.compile(
    r"^(?P<lead>[^.,;:]{0,60}?)\s*\b(?:exactly |genau )?"
    r"(?:(?:the )?same(?: way| manner)? as|as given|as|like|to match|wie)\s+(?:for\s+|given\s+)*"
    r"(?:the\s+|beim\s+|bei\s+der\s+)?(?P<name>[^.,;:(]{3,40}?)(?:\s+(?:stricken|arbeiten|häkeln))?"
    r"(?P<rest>(?:[.,;(]|\s(?:until|to|but|except|for|working|bis)\b).*)?$",
    re.IGNORECASE,
)
_ALL_OF_IT = re.compile(
    r"^(?:(?:work|make|knit|crochet|complete|the|a|an|both|second|other|left|right|front|back|sleeves?|mitts?|mittens?|"
    r"socks?|mitten|ears?|legs?|arms?|piece|zweite[rns]?|linke[rns]?|rechte[rns]?|ärmel|vorderteil)\b\s*)*$",
    re.IGNORECASE,
)
"""What may stand before "as for the back" where the whole of it is meant."""
_SAME_WAY = re.compile(r"\bin (?:the |exactly the )?same (?:way|manner)\b(?!\s*(?:until|to|for|\d))", re.IGNORECASE)
_HARMLESS = re.compile(r"^[\s.,;(]*(?:(?:but )?revers\w* (?:all )?shapings?|gegengleich)?[\s.)]*$", re.IGNORECASE)
_MAKE = re.compile(
    r"\b(?:make|knit|work|crochet|arbeite|stricke|häkle)\s+(?P<n>\d|two|three|four|six|zwei|drei|vier)\b"
    r"(?!\s*(?:sts?|rows?|rnds?|rounds?|ch|stitch))|\b(?P<x>\d)\s?(?:x|mal)\b|\(\s?x\s?(?P<y>\d)\s?\)",
    re.IGNORECASE,
)
_NUMBER_WORDS = {"two": 2, "three": 3, "four": 4, "six": 6, "zwei": 2, "drei": 3, "vier": 4}
_SAID = re.compile(
    r"^(?:you|there)\b.{0,24}\b(?:have|are|be|remain)\b\s*(?:a total of\s+)?(?P<n>\d+.{0,60}?\b(?:sts?|stitches)\b)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing printed and what it is.

    `kind`: "heading", "prose", "line" (worked), "as" (worked as section number `like`, or `UNKNOWN`),
    "row" (of the stitch pattern or chart of its section), "abbreviation" or "sizes". `section` is a place in
    `Printed.sections`; `read` is what the reader of lines is given.
    """

    spread: Spread
    kind: str
    section: int
    read: Read
    like: int = UNKNOWN

    def place(self, column: int) -> tuple[int, int]:
        """Line and column of the file for a 1-based column of what was read."""
        return self.spread.place(self.read.at(column - 1))


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the pattern: its heading ("" before the first), what it is over, how often the piece is made."""

    name: str
    kind: str
    level: int
    times: int = 1


@dataclass(frozen=True, slots=True)
class Printed:
    """A pattern sorted. `sizes_line` is the line that names the sizes, 0 where only its lists of numbers tell them.

    `named`: how many sizes that line names. `patterns` are stitch patterns and charts by name, as read.
    """

    entries: tuple[Entry, ...]
    sections: tuple[Section, ...]
    sizes: tuple[str, ...]
    sizes_line: int
    named: int
    patterns: Mapping[str, tuple[str, ...]]
    explained: tuple[tuple[explained.Explained, int, int], ...]
    language: str


def read_whole(text: str, language: str = "en", at_least: int = 1) -> Printed:
    """Sort a pattern's text; `at_least` is how many sizes there are where the pattern tells none.

    Raises `ValueError` for a language without a table.
    """
    printed = lines_printed(text)[:MOST_LINES]
    names, line = _sizes(printed, language)
    length, clear = sizes.most_lists([each.text for each in printed])
    named = len(names)
    if not names or (length != named and clear):
        count = length if length > 1 else at_least
        names = tuple(str(number + 1) for number in range(count)) if count > 1 else ("one size",)
    sorter = _Sorter(language, len(names), next((s for each in printed if (s := crochet_stitch(each.text))), ""))
    for spread in printed:
        sorter.take(spread)
    return sorter.done(names, line, named)


def _sizes(printed: Sequence[Spread], language: str) -> tuple[tuple[str, ...], int]:
    """The names of the sizes and the line of the file that tells them."""
    for number, spread in enumerate(printed):
        head, _, rest = spread.text.partition(":")
        if len(head) > 30 or heading_kind(head, language) not in ("sizes",):
            continue
        told = spread if rest.strip() else next(iter(printed[number + 1 : number + 2]), spread)
        found = sizes.names(told.text)
        if not found and not rest and (bare := re.match(r"\S+\s+(.*)", spread.text)):
            found = sizes.names(bare[1])
        if found:
            return found, told.line
    return (), 0


@dataclass(slots=True)
class _Sorter:
    """Takes printed lines one after another."""

    language: str
    sizes: int
    hook: str
    entries: list[Entry] = field(default_factory=list)
    sections: list[Section] = field(default_factory=lambda: [Section("", "", 0)])
    explained: list[tuple[explained.Explained, int, int]] = field(default_factory=list)

    def take(self, spread: Spread) -> None:
        """Sort one printed line."""
        if self._is_heading(spread):
            self._heading(spread)
            return
        if self.sections[-1].kind in ("abbreviations", "info", "sizes") and spread.apart and self._begins(spread.text):
            self.sections.append(Section("", "worked", 0))
        kind = self.sections[-1].kind
        head = re.match(r"([^:]{2,30}):\s", spread.text)
        inline = heading_kind(head[1], self.language) if head and not LABEL.match(spread.text) else ""
        if inline in ("info", "sizes") and kind != "abbreviations":
            self._add(spread, "sizes" if inline == "sizes" else "prose")
        elif kind == "abbreviations" or inline == "abbreviations":
            self._abbreviations(spread if inline != "abbreviations" or head is None else spread.part(head.end(), 10**6))
        elif kind == "info":
            self._add(spread, "prose")
        elif kind == "sizes":
            self._add(spread, "sizes")
        elif kind == "pattern" and not self._casts_on(spread.text):
            self._add(spread, "row" if LABEL.match(spread.text) else "prose")
        else:
            if kind == "pattern":
                self.sections.append(Section("", "worked", 0))
            self._worked(spread)

    def _begins(self, text: str) -> bool:
        """Whether a line begins a piece, so that lists and notes before it are over."""
        numbered = self.sections[-1].kind == "abbreviations" and re.match(
            r"\W*(?:rnd|round|row|r)\w*\s*1\b", text, re.IGNORECASE
        )
        return bool(numbered) or self._casts_on(text)

    def _casts_on(self, text: str) -> bool:
        line = self._parsed(text)
        if line is None or not line.parts or not isinstance(line.parts[0], Rows):
            return False
        first = next((s for s in line.parts[0].steps if not isinstance(s, Colour | Mark | Join)), None)
        return isinstance(first, CastOn) or (isinstance(first, Stitch) and first.name == "ch" and not first.bare)

    def _is_heading(self, spread: Spread) -> bool:
        text = spread.text
        if LABEL.match(text):
            return False
        if spread.heading:
            return True
        words = text.split()
        kind = heading_kind(text, self.language)
        chart = re.match(r"^[^\W\d_]*\s*chart\w*\s*\w{0,3}\W*$", text, re.IGNORECASE)
        number = re.search(r"\d", _MAKE.sub("", text))
        if len(words) > 7 or len(text) > 60 or (number and not (chart or kind == "pattern")):
            return False
        if text.endswith(":"):
            return True
        if text[-1] in ".,;!?" or ":" in text or "=" in text:
            return False
        capitals = text.isupper() and len(text) > 3
        known = kind != "" and len(words) < 4 and self.sections[-1].kind not in ("abbreviations",)
        words_of_work = begins_with("command", text, self.language) or begins_with("before", text, self.language)
        commanding = words_of_work and not capitals
        if self.sections[-1].kind in ("info", "sizes") and not (spread.apart or known):
            return False
        if kind == "pattern" and spread.apart:
            return True
        if self.sections[-1].kind in ("worked", "") and not spread.apart and len(words) < 5 and text[0].isupper():
            ended = (
                not self.entries or self.entries[-1].spread.text[-1] in ".!?:)" or self.entries[-1].kind == "heading"
            )
            return ended and not commanding and not self._shorthand(text)
        return (
            bool(chart)
            or (known and not commanding)
            or (spread.apart and (capitals or not commanding) and not self._shorthand(text))
        )

    def _shorthand(self, text: str) -> bool:
        return _SHORTHAND.search(read_in(text, self.language).text) is not None

    def _heading(self, spread: Spread) -> None:
        name = spread.text.strip(" :*~=_•|#-–—")
        kind = heading_kind(name, self.language)
        level = spread.heading or 9
        above = self.sections[-1]
        if not kind:
            nested = above.kind == "info" and level > above.level > 0 and spread.heading
            kind = above.kind if nested else "worked"
        plain = re.sub(r"[\s(,:–-]*\)?\s*$", "", _MAKE.sub("", name)) if _MAKE.search(name) else name
        self.sections.append(Section(plain or name, kind, level, _times(name)))
        self._add(spread, "heading")

    def _abbreviations(self, spread: Spread) -> None:
        for each in explained.entries(spread.text):
            self.explained.append((each, *spread.place(each.at)))
        self._add(spread, "abbreviation")

    def _add(self, spread: Spread, kind: str, like: int = UNKNOWN) -> None:
        read = read_in(spread.text, self.language) if kind in ("line", "row") else Read(spread.text)
        self.entries.append(Entry(spread, kind, len(self.sections) - 1, read, like))

    # lines of a section that is worked
    def _worked(self, spread: Spread) -> None:
        whole = self._parsed(spread.text)
        plain = whole is not None and max((doubt.level for doubt in whole.doubts), default=0) < 2
        parts = (spread,) if LABEL.match(spread.text) or spread.text.count(". ") == 0 else sentences(spread)
        if len(parts) == 1 or (plain and all(self._is_worked(each.text) for each in parts)):
            self._sentence(spread)
            return
        for part in parts:
            self._sentence(part)

    def _sentence(self, spread: Spread) -> None:
        text = spread.text
        if (said := _SAID.match(text)) and self.entries and self.entries[-1].kind == "line":
            self._count_said(spread, said)
        elif (like := self._like(text)) is not None:
            self._add(spread, "as", like)
        elif self._is_worked(text):
            self._add(spread, "line")
        else:
            if (made := _MAKE.fullmatch(text.strip(" .!"))) is not None:
                self.sections[-1] = replace(self.sections[-1], times=_times(made[0]))
            self._add(spread, "prose")

    def _count_said(self, spread: Spread, said: re.Match[str]) -> None:
        """A count told in a sentence of its own belongs to the line before it."""
        last = self.entries[-1]
        told = f"{last.spread.text} = {said['n']}"
        line = self._parsed(told)
        if line is None or not line.printed or (before := self._parsed(last.spread.text)) is None or before.printed:
            self._add(spread, "prose")
            return
        start = len(last.spread.text) + 1
        spots = (*last.spread.spots, (start, *spread.place(said.start("n") - 2)))
        self.entries[-1] = replace(
            last, spread=replace(last.spread, text=told, spots=spots), read=read_in(told, self.language)
        )

    def _like(self, text: str) -> int | None:
        """The section that a line says to work again (`UNKNOWN`: cannot be told which); None: it says no such thing."""
        if LABEL.match(text):
            return None
        match = _AS.match(text.strip())
        if match is not None:
            wanted = _plain_name(match["name"])
            for number, section in enumerate(self.sections[:-1]):
                if section.name and _plain_name(section.name) == wanted:
                    whole = _ALL_OF_IT.match(match["lead"]) and _HARMLESS.match(match["rest"] or "")
                    return number if whole else UNKNOWN
        return UNKNOWN if _SAME_WAY.search(text) and not _SHORTHAND.search(text) else None

    def _is_worked(self, text: str) -> bool:
        """Whether a line tells of something that is worked, read or not; else it is prose."""
        if LABEL.match(text):
            return True
        plain = _OTHER_NUMBERS.sub("", text)
        read = read_in(plain, self.language).text
        short = _SHORTHAND.search(read) is not None
        told = begins_with("command", read, "en")
        commanding = told or begins_with("command", text, self.language)
        if _LAST.match(text):
            return False
        line = self._parsed(text)
        if line is None:
            return short or (commanding and _SURELY.search(plain) is not None)
        prose = begins_with("prose", text, self.language) and not told
        if prose and not short and not (_VERB.search(read) and re.search(r"\d", plain)):
            return False
        measured = any(isinstance(part, Rows) and part.measured for part in line.parts)
        if not (short or commanding or measured or _WEIGHTY.search(plain)):
            return False
        return short or commanding or self._unknown(text) < 0.34

    def _parsed(self, text: str) -> Line | None:
        try:
            return parse_line(read_in(text, self.language).text, self.sizes, frozenset(), self.hook)
        except NotationError:
            return None

    def _unknown(self, text: str) -> float:
        """The part of its words that mean nothing to the reader."""
        try:
            found = tokens(
                read_in(text, self.language).text, self.sizes, frozenset(), "crochet" if self.hook else "knitting"
            )
        except SizesError:
            return 0.0
        words = [each for each in found if each.kind not in ("sep", "stop", "colon", "dash", "open", "close")]
        return sum(each.kind == "unknown" for each in words) / max(1, len(words))

    def done(self, names: tuple[str, ...], line: int, named: int) -> Printed:
        """Everything taken, with the stitch patterns by name."""
        patterns: dict[str, tuple[str, ...]] = {}
        for number, section in enumerate(self.sections):
            rows = tuple(each.read.text for each in self.entries if each.section == number and each.kind == "row")
            if rows and section.name:
                patterns[section.name] = rows
        return Printed(
            entries=tuple(self.entries), sections=tuple(self.sections), sizes=names, sizes_line=line, named=named,
            patterns=patterns, explained=tuple(self.explained), language=self.language,
        )  # fmt: skip


def _times(text: str) -> int:
    match = _MAKE.search(text)
    if match is None:
        return 1
    word = (match["n"] or match["x"] or match["y"]).lower()
    return max(1, _NUMBER_WORDS.get(word) or int(word))


def _plain_name(name: str) -> str:
    return re.sub(r"[^a-zäöüß0-9]+|\b(?:the|a|first|der|die|das)\b", " ", name.lower()).strip()
