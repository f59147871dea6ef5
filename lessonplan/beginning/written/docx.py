"""The text of a Word file (.docx): what its XML holds, in the order of the page, as lines of Markdown.

Read by the standard library alone. The kept library for these files passes over words that were inserted while changes
were tracked, that stand in content controls or in text boxes, and over the numbers of numbered lists; nothing a
teacher wrote may be lost, so every run of text is taken where it stands. What was deleted stays deleted.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from xml.etree import ElementTree as Xml

MOST_XML = 30_000_000
"""Bytes that one part of the file may have when unpacked."""
_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_PARTS = r"word/(?:document|footnotes|endnotes|header\d*|footer\d*)\.xml"
_LEFT_OUT = ("Fallback", "del", "moveFrom", "pPr", "rPr", "sectPr", "instrText", "delText")
"""What is no text of the page: copies for old programs, what was deleted, settings."""
_SIGNS = {"tab": "\t", "br": "\n", "cr": "\n", "noBreakHyphen": "-"}


class BrokenError(ValueError):
    """A file that is no sound Word file."""


def markdown(data: bytes) -> str:
    """Give the text of a Word file with headings, lists and tables marked. Raises `BrokenError`."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as parts:
            names = [name for name in parts.namelist() if re.fullmatch(_PARTS, name)]
            if "word/document.xml" not in names:
                raise BrokenError
            names.sort(key=lambda name: (name != "word/document.xml", name))
            known = set(parts.namelist())
            styles, numbering = (
                _xml(parts, name) if (name := f"word/{one}.xml") in known else None for one in ("styles", "numbering")
            )
            lists = _Lists(styles, numbering)
            lines = [line for name in names for line in _lines(_xml(parts, name), lists)]
    except (zipfile.BadZipFile, zlib.error, Xml.ParseError, KeyError, EOFError, OSError, RuntimeError):
        raise BrokenError from None  # RuntimeError: locked parts, and XML that is nested without end
    return "\n".join(lines) + "\n"


def _xml(parts: zipfile.ZipFile, name: str) -> Xml.Element:
    with parts.open(name) as file:
        data = file.read(MOST_XML + 1)
    if len(data) > MOST_XML or b"<!DOCTYPE" in data:  # no Word writes one; entities could unfold without end
        raise BrokenError
    return Xml.fromstring(data)


def _name(element: Xml.Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _value(element: Xml.Element | None, path: str) -> str | None:
    """The value of a setting below an element; "" where it stands without one, None where it does not stand."""
    found = element.find("/".join(_W + part for part in path.split("/"))) if element is not None else None
    return None if found is None else found.get(f"{_W}val", "")


@dataclass(slots=True)
class _Lists:
    """The headings that styles are, and the numbers of numbered paragraphs."""

    styles: Xml.Element | None
    numbering: Xml.Element | None
    counts: dict[tuple[str, int], int] = field(default_factory=dict)

    def style(self, paragraph: Xml.Element) -> Xml.Element | None:
        """The style of a paragraph."""
        key = _value(paragraph, "pPr/pStyle")
        every = self.styles.iterfind(f"{_W}style") if self.styles is not None and key else ()
        return next((one for one in every if one.get(f"{_W}styleId") == key), None)

    def heading(self, paragraph: Xml.Element) -> int:
        """The level of a heading, 0 for other paragraphs; built-in styles have English names in every language."""
        style = self.style(paragraph)
        name = (_value(style, "name") or "").lower()
        found = re.fullmatch(r"heading (\d)", name)
        return int(found[1]) if found else 1 if name == "title" else 0

    def mark(self, paragraph: Xml.Element) -> str:
        """What the list that a paragraph belongs to prints before it."""
        style = self.style(paragraph)
        places = (paragraph, style)
        number = next((one for place in places if (one := _value(place, "pPr/numPr/numId"))), "")
        if not number or number == "0":
            return ""
        level = int(next((one for place in places if (one := _value(place, "pPr/numPr/ilvl"))), None) or 0)
        shape = self._shape(number, level)
        if shape is None or _value(shape, "numFmt") != "decimal":
            return "- "
        key = number, level
        self.counts[key] = self.counts.get(key, int(_value(shape, "start") or 1) - 1) + 1
        for deeper in [one for one in self.counts if one[0] == number and one[1] > level]:
            del self.counts[deeper]
        text = _value(shape, "lvlText") or "%1."
        return re.sub(r"%(\d)", lambda m: str(self.counts.get((number, int(m[1]) - 1), 1)), text) + " "

    def _shape(self, number: str, level: int) -> Xml.Element | None:
        if self.numbering is None:
            return None
        mine = (one for one in self.numbering.iterfind(f"{_W}num") if one.get(f"{_W}numId") == number)
        key = _value(next(mine, None), "abstractNumId")
        for one in self.numbering.iterfind(f"{_W}abstractNum"):
            if one.get(f"{_W}abstractNumId") == key:
                levels = (each for each in one.iterfind(f"{_W}lvl") if each.get(f"{_W}ilvl") == str(level))
                return next(levels, None)
        return None


def _lines(element: Xml.Element, lists: _Lists) -> Iterator[str]:
    """The lines of all paragraphs and tables below an element."""
    for child in element:
        name = _name(child)
        if name == "p":
            yield from _paragraph(child, lists)
        elif name == "tbl":
            yield from ("", *(_row(row, lists) for row in child.iter(f"{_W}tr")), "")
        elif name not in _LEFT_OUT:
            yield from _lines(child, lists)


def _paragraph(paragraph: Xml.Element, lists: _Lists) -> Iterator[str]:
    text = "".join(_text(paragraph)).strip()
    if not text:
        yield ""
    elif level := lists.heading(paragraph):
        yield from ("", f"{'#' * min(level, 6)} {' '.join(text.split())}", "")
    elif _is_bold(paragraph) and len(text) < 60 and "*" not in text and "\n" not in text:
        yield from ("", f"**{text}**", "")
    else:
        yield from (lists.mark(paragraph) + text).split("\n")
    for box in _boxes(paragraph):
        yield from _lines(box, lists)


def _boxes(element: Xml.Element) -> Iterator[Xml.Element]:
    """The text boxes that hang on a paragraph."""
    for child in element:
        if _name(child) == "txbxContent":
            yield child
        elif _name(child) not in _LEFT_OUT:
            yield from _boxes(child)


def _text(element: Xml.Element) -> Iterator[str]:
    for child in element:
        name = _name(child)
        if name == "t":
            yield child.text or ""
        elif name in _SIGNS:
            yield _SIGNS[name]
        elif name not in _LEFT_OUT and name != "txbxContent":
            yield from _text(child)


def _is_bold(paragraph: Xml.Element) -> bool:
    runs = [run for run in paragraph.iter(f"{_W}r") if "".join(_text(run)).strip()]
    return bool(runs) and all(_value(run, "rPr/b") in ("", "1", "true", "on") for run in runs)


def _row(row: Xml.Element, lists: _Lists) -> str:
    """A row of a table: two cells side by side, more of them as a list behind the first."""
    cells = [" ".join(" ".join(_lines(cell, lists)).split()) for cell in row.iterfind(f"{_W}tc")]
    if len(cells) == 2 and all(cells):
        return f"| {cells[0]} | {cells[1]} |"
    said = [cell for cell in cells if cell]
    return f"{said[0]}: {', '.join(said[1:])}" if len(said) > 2 else ": ".join(said)
