"""A whole pattern as printed, sorted: headings, prose, lines that are worked, stitch patterns, abbreviations, sizes.

Nothing is worked here; each line that is an instruction goes through `parse_line`, as a line on its own does.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from lessonplan.printed.beside.elsewhere import defined_elsewhere, defines_a_hole
from lessonplan.printed.leaflet import explained, sizes, wordings
from lessonplan.printed.leaflet.headwords import begins_with, heading_kind, is_word
from lessonplan.printed.leaflet.layout import LABEL, Spread, lines_printed, sentences
from lessonplan.printed.leaflet.telling import Lines
from lessonplan.printed.line import MAX_LENGTH, crochet_stitch
from lessonplan.printed.words.languages import Read, read_in

_BRACKET = re.compile(r"\([^()]*\)")
UNKNOWN = -1
"""Instead of a section that cannot be told."""
MOST_WORK = 210_000
"""Most that is read of one pattern, in signs of prose; one of a line that is worked takes as long as three and more."""
EACH_LINE = 50
"""What a line that is worked takes the first time, however short it is, in signs of its own (measured on nonsense)."""


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
    """A part of the pattern: its heading ("" before the first), what it is over, how often the piece is made.

    `again`: it says that the whole piece that it is a part of is made once more.
    """

    name: str
    kind: str
    level: int
    times: int = 1
    again: bool = False


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
    colours: frozenset[str] = frozenset()
    ends_at: tuple[int, int] | None = None
    """Line and column of the file from which on nothing is read, since there is more than a pattern has."""


def read_whole(text: str, language: str = "en", at_least: int = 1) -> Printed:
    """Sort a pattern's text; `at_least` is how many sizes there are where the pattern tells none.

    Raises `ValueError` for a language without a table.
    """
    printed = lines_printed(text)
    names, line = sizes.named(printed, language)
    length, clear = sizes.most_lists([each.text for each in printed])
    named = len(names)
    if not names or (length != named and clear):
        count = length if length > 1 else at_least
        names = tuple(str(number + 1) for number in range(count)) if count > 1 else ("one size",)
    colours = wordings.colours_named(text)
    stitch = next((one for each in printed if (one := crochet_stitch(each.text, colours))), "")
    sorter = _Sorter(language, names, colours, stitch)
    for spread in printed:
        if sorter.work > MOST_WORK:
            return replace(sorter.done(line, named), ends_at=spread.place(0))
        sorter.take(spread)
    return sorter.done(line, named)


@dataclass(slots=True)
class _Sorter(Lines):
    """Takes printed lines one after another."""

    only: str = ""
    """Numbers of the sizes that lines are for now, as a line would print them; "" for all of them."""
    parted: bool | None = None
    """Whether empty lines part what is for these sizes from what follows; None before the first of these lines."""
    listing: bool = False
    """Whether a paragraph behind a run-in word such as `MATERIALS.` goes on."""
    entries: list[Entry] = field(default_factory=list)
    sections: list[Section] = field(default_factory=lambda: [Section("", "", 0)])
    explained: list[tuple[explained.Explained, int, int]] = field(default_factory=list)
    work: int = 0
    """What reading and working took so far, in signs of prose."""
    met: set[str] = field(default_factory=set)

    def take(self, spread: Spread) -> None:
        """Sort one printed line; none is so long that it is looked into further than an instruction line is."""
        if len(spread.text) > MAX_LENGTH:
            self._add(spread, "line")
            return
        if self._for_some(spread):
            return
        every = wordings.ALL_SIZES.match(spread.text)
        self.listing = self.listing and not spread.apart and not LABEL.match(spread.text)
        if self.listing or (every and not every["rest"].strip()):
            self._add(spread, "prose")
            return
        if self._is_heading(spread):
            self._heading(spread)
            return
        kind = self.sections[-1].kind
        if kind in ("abbreviations", "info", "sizes") and self.begins(spread.text, listed=kind == "abbreviations"):
            self.sections.append(Section("", kind := "worked", 0))
        head = wordings.RUNS_IN.match(spread.text)
        head = head or (None if self._begun else wordings.LISTS.match(spread.text))
        inline = heading_kind(head[head.lastindex or 1], self.language) if head and not LABEL.match(spread.text) else ""
        if inline in ("info", "sizes") and kind != "abbreviations":
            self._add(spread, "sizes" if inline == "sizes" else "prose")
            self.listing = head is not None and head.lastindex == 2
        elif kind == "abbreviations" or inline == "abbreviations":
            self._abbreviations(spread if inline != "abbreviations" or head is None else spread.part(head.end(), 10**6))
        elif kind == "info":
            self._add(spread, "prose")
        elif kind == "sizes":
            self._add(spread, "sizes")
        elif kind == "pattern" and not self.casts_on(spread.text):
            self._add(spread, "row" if LABEL.match(spread.text) else "prose")
        else:
            if kind == "pattern":
                self.sections.append(Section("", "worked", 0))
            if not self._begun and not LABEL.match(spread.text) and len(tuple(explained.entries(spread.text))) > 2:
                self._abbreviations(spread)  # a list without a heading
            else:
                self._worked(spread)

    def _for_some(self, spread: Spread) -> bool:
        """Whether a line only says for which sizes the next ones are, or is itself for some; what they are for ends.

        It ends where empty lines part the print, at a heading, and at a line that has a number for each size.
        """
        labelled = LABEL.match(spread.text)
        only, rest = sizes.for_some(spread.text, self.names) if not labelled else ("", 0)
        if labelled and (own := sizes.for_some_behind(spread.text, self.names)):
            before, self.only = self.only, own
            self._worked(spread)
            self.only = before
            return True
        if only:
            self.only, self.parted = only, None
            if rest < len(spread.text):
                self._worked(spread.part(rest, len(spread.text)))
                self.only = ""
            else:
                self._add(spread, "prose")
            return True
        if self.only:
            self.parted = not spread.apart if self.parted is None else self.parted
            each = any(given == len(self.names) for _, given, _ in sizes.listed(spread.text))
            if (
                (spread.apart and self.parted)
                or each
                or wordings.ALL_SIZES.match(spread.text)
                or self._is_heading(spread)
            ):
                self.only = ""
        return False

    def _is_heading(self, spread: Spread) -> bool:
        text = spread.text
        if LABEL.match(text):
            return False
        if spread.heading:
            return True
        named = re.sub(r"\(.*?\)", "", text).strip()  # `Lace pattern (multiple of 6 sts + 1)`
        words, capitals = named.split(), named.isupper() and len(named) > 3
        kind = heading_kind(text, self.language)
        chart = re.match(r"^[^\W\d_]*\s*chart\w*\s*\w{0,3}\W*$", text, re.IGNORECASE)
        number = re.search(r"\d", named if capitals and spread.apart else wordings.MAKE.sub("", text))
        if wordings.PART.match(text) and spread.apart:
            return True
        if (
            wordings.SAYS.match(text)
            or len(words) > 7
            or len(text) > 60
            or (number and not (chart or kind == "pattern"))
        ):
            return False
        if text.endswith(":"):
            return True
        if text[-1] in ".,;!?" or ":" in text or "=" in text:
            return False
        known = kind != "" and len(words) < 4 and self.sections[-1].kind not in ("abbreviations",)
        commanding = not capitals and any(begins_with(one, text, self.language) for one in ("command", "before"))
        stands_out = spread.apart or capitals or is_word(text, self.language)
        if self.sections[-1].kind in ("info", "sizes") and not stands_out:
            return False  # `Cable needle` in a list of materials
        if kind == "pattern" and spread.apart:
            return True
        if self.sections[-1].kind in ("worked", "") and not spread.apart and len(words) < 5 and text[0].isupper():
            ended = all(one.kind == "heading" or one.spread.text[-1] in ".!?:)" for one in self.entries[-1:])
            return ended and not commanding and not self.shorthand(text)
        return (
            bool(chart)
            or (known and not commanding)
            or (spread.apart and (capitals or not commanding) and not self.shorthand(text))
        )

    def _heading(self, spread: Spread) -> None:
        name = spread.text.strip(" :*~=_•|#-–—")
        kind = "worked" if wordings.ORDERS.match(name) else heading_kind(name, self.language)
        level = spread.heading or 9
        above = self.sections[-1]
        if not kind:
            nested = above.kind == "info" and level > above.level > 0 and spread.heading
            kind = above.kind if nested else "worked"
        bare = _BRACKET.sub(
            lambda match: "" if wordings.MAKE.search(match[0]) else match[0], name
        )  # `(make 2, do not cut)`
        plain = re.sub(r"[\s(,:–-]*\)?\s*$", "", wordings.MAKE.sub("", bare)) if wordings.MAKE.search(name) else name
        plain = re.sub(r"\s*\([^()]*\)$", "", plain) if kind == "pattern" else plain
        self.sections.append(Section(plain or name, kind, level, wordings.times_made(name)))
        self._add(spread, "heading")

    def _abbreviations(self, spread: Spread) -> None:
        for each in explained.entries(spread.text):
            self.explained.append((each, *spread.place(each.at)))
        self._add(spread, "abbreviation")

    def _add(self, spread: Spread, kind: str, like: int = UNKNOWN) -> None:
        read = read_in(spread.text, self.language) if kind in ("line", "row") else Read(spread.text)
        if self.only and kind == "line":
            lead = f"Size{'s' if ' ' in self.only else ''} {self.only} only: "
            places = (read.at(sign) for sign in range(len(read.text)))
            read = Read(lead + read.text, (*[0] * len(lead), *places))
        self.entries.append(Entry(spread=spread, kind=kind, section=len(self.sections) - 1, read=read, like=like))
        worked = kind in ("line", "row", "as")
        signs = min(len(spread.text), MAX_LENGTH) + EACH_LINE * (worked and spread.text not in self.met)
        self.work += signs * (3 + len(self.names) // 8 if worked else 1)
        self.met.add(spread.text)

    # lines of a section that is worked
    def _worked(self, spread: Spread) -> None:
        """A line as one, or its sentences one by one where each can be read alone, or is prose."""
        if joined := wordings.put_on_one_needle(spread.text):
            self._put_together(spread.part(0, joined.end()), joined)
            if joined.end() < len(spread.text):
                self._worked(spread.part(joined.end(), len(spread.text)))
            return
        told = () if wordings.SAYS.match(spread.text) else sentences(spread)
        if len(told) > 1 and wordings.SECOND.match(told[-1].text):  # `Next row: Bind off. Make a second sleeve.`
            end = spread.text.rindex(told[-1].text)
            self._worked(spread.part(0, end))
            self._sentence(told[-1])
            return
        one = LABEL.match(spread.text) or spread.text.count(". ") == 0
        parts = (spread,) if one else told
        begun = self._begun
        alone = all(self.is_plain(each.text) or not self.is_worked(each.text, begun=begun) for each in parts)
        for part in parts if alone or not self.is_plain(spread.text) else (spread,):
            self._sentence(part)

    def _put_together(self, spread: Spread, told: re.Match[str]) -> None:
        """Pieces put on one needle: only the print tells how many stitches that makes, held against nothing."""
        lead, tail = "Return ", " held sts to the needle"
        at = range(told.start("n"), told.end("n"))
        places = (*[0] * len(lead), *at, *[at[-1]] * len(tail))
        self._add(spread, "line")
        self.entries[-1] = replace(self.entries[-1], read=Read(lead + told["n"] + tail, places))

    def _sentence(self, spread: Spread) -> None:
        text = spread.text
        if wordings.SAYS.match(text):
            self._add(spread, "prose")
        elif (said := wordings.SAID.match(text)) and self.entries and self.entries[-1].kind == "line":
            self._count_said(spread, said)
        elif second := wordings.SECOND.match(text.strip()):
            self._made_twice((second["what"] or second["another"]).lower())
            self._add(spread, "prose")
        elif (like := self._like(text)) is not None:
            self._add(spread, "as", like)
        elif self.is_worked(text, begun=self._begun) and not self._sewn(text):
            self._add(spread, "line")
        else:
            if (made := wordings.MAKE.fullmatch(text.strip(" .!"))) is not None:
                self.sections[-1] = replace(self.sections[-1], times=wordings.times_made(made[0]))
            self._add(spread, "prose")

    def _sewn(self, text: str) -> bool:
        """Whether a sentence under a heading like "Making up" tells of no stitches: `Join squares in three rows`."""
        if LABEL.match(text) or not wordings.MADE_UP.match(self.sections[-1].name):
            return False
        return not self.shorthand(text) and not begins_with("command", text, self.language)

    def _made_twice(self, what: str) -> None:
        """A second sleeve: the sections since the heading that names it; where none does, the whole piece."""
        named = [number for number, each in enumerate(self.sections) if what.rstrip("s") in each.name.lower()]
        if not named:
            self.sections[-1] = replace(self.sections[-1], again=True)
        for number in range(named[-1] if named else len(self.sections), len(self.sections)):
            self.sections[number] = replace(self.sections[number], times=2)

    def _count_said(self, spread: Spread, said: re.Match[str]) -> None:
        """A count told in a sentence of its own belongs to the line before it."""
        last = self.entries[-1]
        which = "n" if said["n"] else "alone"
        before, number = last.spread.text, said[which]
        told = f"{before} = {number}"
        line, own = self.parsed(told), self.parsed(before)
        if line is None or not line.printed or own is None or own.printed:
            self._add(spread, "prose")
            return
        shown = f"{before} {spread.text}"
        start = len(before) + 1
        spots = (*last.spread.spots, *((start + at, line, column) for at, line, column in spread.spots))
        read = read_in(told, self.language)
        moved = said.start(which) - 2  # the count stands so much further on in the print than in what is read
        places = (read.at(sign) for sign in range(len(read.text)))
        back = tuple(at if at < len(before) else at + moved for at in places)
        whole = replace(last.spread, text=shown, spots=spots)
        self.entries[-1] = replace(last, spread=whole, read=Read(read.text, back))

    def _like(self, text: str) -> int | None:
        """The section that a line says to work again (`UNKNOWN`: cannot be told which); None: it says no such thing."""
        if LABEL.match(text):
            return None
        match = wordings.AS.match(text.strip())
        if match is not None:
            wanted = wordings.plain_name(match["name"])
            for number, section in enumerate(self.sections[:-1]):
                if section.name and wordings.is_piece(wanted, section.name):
                    whole = wordings.ALL_OF_IT.match(match["lead"]) and wordings.HARMLESS.match(match["rest"] or "")
                    return number if whole else None if self.is_even(match["lead"], text) else UNKNOWN
        return UNKNOWN if wordings.SAME_WAY.search(text) and not wordings.SHORTHAND.search(text) else None

    @property
    def _begun(self) -> bool:
        """Whether anything is worked so far."""
        return any(each.kind == "line" for each in self.entries)

    def _pairs(self) -> None:
        """Sleeves of one heading are two, unless print has a part for the second."""
        for number, section in enumerate(self.sections):
            name = wordings.plain_name(section.name)
            others = any(wordings.ONE_OF_TWO.match(one.name) for one in self.sections)
            if name in wordings.PAIRS and section.times == 1 and not others:
                self.sections[number] = replace(section, times=2)

    def done(self, line: int, named: int) -> Printed:
        """Everything taken, with the stitch patterns by name."""
        self._pairs()
        for place in defined_elsewhere([each.spread.text for each in self.entries]):
            if self.entries[place].kind == "line" and defines_a_hole(self.entries[place].spread.text):
                self.entries[place] = replace(self.entries[place], kind="prose")
        patterns: dict[str, tuple[str, ...]] = {}
        for number, section in enumerate(self.sections):
            rows = tuple(each.read.text for each in self.entries if each.section == number and each.kind == "row")
            if rows and section.name:
                patterns[section.name] = rows
        return Printed(
            entries=tuple(self.entries), sections=tuple(self.sections), sizes=self.names, sizes_line=line, named=named,
            patterns=patterns, explained=tuple(self.explained), language=self.language, colours=self.colours,
        )  # fmt: skip
