"""Printed pages read as text: a plain tree of elements, and times, durations and dates as they are worded."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from html.parser import HTMLParser

VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
NOT_READ = {"svg", "style", "script"}


@dataclass
class Element:
    name: str
    classes: frozenset[str] = frozenset()
    ident: str = ""
    inside: list[Element | str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All that a reader sees of it, blanks made one."""
        return " ".join(self._letters().split())

    def _letters(self) -> str:
        return "".join(one if isinstance(one, str) else one._letters() for one in self.inside)

    def every(self, name: str = "", of: str = "") -> Iterator[Element]:
        """The elements inside of a name, or with a class, in the order of the page."""
        for one in self.inside:
            if isinstance(one, Element):
                if (not name or one.name == name) and (not of or of in one.classes):
                    yield one
                yield from one.every(name, of)

    def first(self, name: str = "", of: str = "") -> Element | None:
        return next(self.every(name, of), None)

    def said(self, name: str = "", of: str = "") -> str:
        """The text of the first such element, or nothing."""
        one = self.first(name, of)
        return one.text if one else ""


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open = [Element("page")]
        self.skipped = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in NOT_READ:
            self.skipped += 1
        if self.skipped or tag in VOID:
            return
        known = dict(attrs)
        one = Element(tag, frozenset((known.get("class") or "").split()), known.get("id") or "")
        self.open[-1].inside.append(one)
        self.open.append(one)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pass

    def handle_endtag(self, tag: str) -> None:
        if tag in NOT_READ:
            self.skipped -= 1
        elif not self.skipped and tag not in VOID and any(one.name == tag for one in self.open):
            while self.open.pop().name != tag:
                pass

    def handle_data(self, data: str) -> None:
        if not self.skipped:
            self.open[-1].inside.append(data)


def read_page(html: str) -> Element:
    reader = _Reader()
    reader.feed(html)
    return reader.open[0]


DURATION = r"(?:\d+ h \d+ min|\d+ h|\d+ min|\d+ s)"


def minutes_of(text: str) -> float:
    """Read a duration as printed: ``3 h 05 min``, ``12 min``, ``36 s``; nothing is no time."""
    found = re.findall(r"(\d+) (h|min|s)\b", text.replace("\N{NO-BREAK SPACE}", " "))
    return sum(int(number) * {"h": 60, "min": 1, "s": 1 / 60}[unit] for number, unit in found)


def clock_of(text: str) -> int:
    """Read a time of day, ``13:05``, into minutes after midnight."""
    found = re.search(r"(\d{1,2}):(\d\d)", text)
    if not found:
        raise ValueError(f"no time of day in “{text}”")
    return int(found[1]) * 60 + int(found[2])


def date_of(text: str) -> date:
    """Read a long date, ``Saturday 13 February 2027``."""
    found = re.search(r"(\d{1,2} [A-Z][a-z]+ \d{4})", text)
    if not found:
        raise ValueError(f"no date in “{text}”")
    return datetime.strptime(found[1], "%d %B %Y").date()
