"""What a course is begun from: files read into text (plain text, Markdown, Word, PDF with text), and what they become.

Encodings are UTF-8, UTF-16 and Windows-1252. What cannot be read is one plain sentence.
"""

from __future__ import annotations

import json
import logging
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from lessonplan.beginning.written.docx import BrokenError, markdown
from lessonplan.course.files import MARKS, UnfitError, decode, marked, read_plain
from lessonplan.course.problems import Where, error

if TYPE_CHECKING:
    from pypdf import PageObject

MOST_BYTES = 20_000_000
"""A Word file or PDF with its pictures."""
MOST_SIGNS = 500_000
"""Signs of text; a book of patterns has more, a pattern has some 10,000."""
MOST_PAGES = 100
_NO_SIGN = re.compile("[^\t\n\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no text of a course may hold: control characters and halves of characters."""
_LIGATURES = {0xFB00 + place: letters for place, letters in enumerate(("ff", "fi", "fl", "ffi", "ffl"))}
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""How old Word files begin, and new ones with a password."""


@dataclass(frozen=True, slots=True)
class Given:
    """A file's text, each of its lines a line of the file (of Word files and PDFs: as they are read), and a remark."""

    file: str
    text: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """A line of a file: its number, its text, what it was taken for, where that stands, and what is left to do."""

    line: int
    text: str
    kind: str
    stands: str
    left: str = ""


@dataclass(frozen=True, slots=True)
class Episode:
    """An episode to be written: its title, and its segments as the lines of their list entries."""

    title: str
    segments: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """A stage as shots can show it: its key, its title, the state in which it begins, whether it has stitches.

    ``rounds`` are those that it has in the size that is filmed; 0 where that is not known. ``works`` are the names of
    its works; ``changes`` is what each of its rows adds to the stitches, in that size, as far as it is known.
    """

    key: str
    title: str
    begins: str
    stitches: bool = True
    rounds: int = 0
    works: tuple[str, ...] = ()
    changes: tuple[int, ...] = ()


def remark(text: str) -> str:
    """Give a text as one line that can stand behind a #."""
    return " ".join(text.split())


def quoted(text: str) -> str:
    """Give a text in quotes, as a course file reads it whatever it holds; what would name a fact is set apart."""
    return json.dumps(re.sub(r"\{(?=[{%#])|\}(?=\})", r"\g<0> ", text), ensure_ascii=False)


def read_given(path: Path) -> Given:
    """Read a file into text. Raises ``OSError``, and `UnfitError` with one sentence for what is no text."""
    name = path.name
    data = read_plain(path, Where(name), MOST_BYTES)
    if not data.strip():
        raise _unfit(name, "empty-file", "This file is empty.")
    text, remark = _text(data, name)
    text = _NO_SIGN.sub(" ", re.sub("\r\n|[\r\x0b\x0c\x85\u2028\u2029]", "\n", text.replace("\ufeff", "")))
    if not text.strip():
        raise _unfit(name, "empty-file", "There is no text in this file.")
    if len(text) > MOST_SIGNS:
        what = f"{name} holds {len(text):,} signs of text; it may hold {MOST_SIGNS:,} at most."
        raise _unfit(name, "too-big", what)
    return Given(name, text, remark)


def _unfit(name: str, code: str, what: str, hint: str = "") -> UnfitError:
    return UnfitError(error(Where(name), code, what, hint))


def _text(data: bytes, name: str) -> tuple[str, str]:
    if data.startswith(_OLD):
        what = "This is an old Word file, or one with a password."
        raise _unfit(name, "not-text", what, "Save it as .docx without a password.")
    if data.startswith(b"{\\rtf"):
        raise _unfit(name, "not-text", "This is a file of rich text (RTF).", "Save it as .docx or as plain text.")
    if data[:1024].lstrip().startswith(b"%PDF-"):
        return _pdf(data, name), ""
    if data.startswith(b"PK") or name.lower().endswith(".docx"):
        return _word(data, name), ""
    return _plain(data, name)


def _word(data: bytes, name: str) -> str:
    try:
        return markdown(data)
    except BrokenError:
        what = "This is no Word file (.docx) that can be read; it may be broken."
        raise _unfit(name, "broken", what, "Open it where it was written and save it anew, or as plain text.") from None


def _pdf(data: bytes, name: str) -> str:
    """The text of a PDF, page after page. Raises `UnfitError` for one that is locked, broken or only pictures."""
    import pypdf

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # what is odd in a PDF is none of the teacher's doing
    locked = False
    try:
        reader = pypdf.PdfReader(BytesIO(data))
        locked = reader.is_encrypted
        locked = locked and not reader.decrypt("")  # many can be read by everybody, though not changed
        count = 0 if locked else len(reader.pages)
        pages = [_page(page) for page in reader.pages] if 0 < count <= MOST_PAGES else []
    except Exception:  # a broken file can go wrong anywhere in the library
        if locked:
            raise _unfit(name, "locked", "This PDF has a password.", "Save a copy without it.") from None
        what = "This PDF cannot be read; it may be broken."
        raise _unfit(name, "broken", what, "Open it in a reader and print it to a new PDF.") from None
    if locked:
        raise _unfit(name, "locked", "This PDF has a password.", "Save a copy without it.")
    if count > MOST_PAGES:
        raise _unfit(name, "too-big", f"This PDF has {count} pages; it may have {MOST_PAGES} at most.")
    text = _joined(pages)
    if sum(map(str.isalnum, text)) < 20:
        what = "This PDF holds pictures of pages and no text."
        raise _unfit(name, "no-text", what, "Let a program recognise its text, or type the pattern into a text file.")
    return text


def _page(page: PageObject) -> str:
    """The lines of a page; an empty one where the print leaves a gap, and lines in bold marked as headings."""
    lines: list[list[tuple[str, float, bool]]] = [[]]

    def take(text: str, at: list[float], of: list[float], font: Mapping[str, object] | None, size: float) -> None:
        """Put a piece of text at the end of the last line, and what follows its line breaks on lines of their own."""
        bold = "bold" in str((font or {}).get("/BaseFont", "")).lower()
        height = at[1] * of[4] + at[3] * of[5] + at[5]
        first, *others = text.split("\n")
        lines[-1].append((first, height, bold))
        lines.extend([(other, height, bold)] for other in others)

    page.extract_text(visitor_text=take)
    printed = []
    for parts in lines:
        said = [one for one in parts if one[0].strip()]
        if said:
            text = "".join(text for text, _, _ in parts).strip().translate(_LIGATURES)
            printed.append((text, said[0][1], all(bold for _, _, bold in said)))
    gaps = [round(before[1] - after[1]) for before, after in pairwise(printed) if before[1] > after[1]]
    usual = Counter(gaps).most_common(1)[0][0] if gaps else 0
    found = []
    for number, (text, height, bold) in enumerate(printed):
        gap = printed[number - 1][1] - height if number else 0.0
        marked = f"**{text}**" if bold and len(text) < 60 and "*" not in text else text
        found += ["", marked] if gap > 1.25 * usual or gap < -1 or marked != text else [marked]
    return "\n".join(found)


def _joined(pages: list[str]) -> str:
    """Pages one after another, with an empty line between unless a sentence goes on."""
    text = ""
    for page in pages:
        goes_on = re.search(r"[^\s.:!?)\]]\s*$", text) and re.match(r"\s*[a-z0-9(]", page)
        text = f"{text.rstrip()}{'' if not text else chr(10) if goes_on else chr(10) * 2}{page.strip(chr(10))}"
    return text


def _plain(data: bytes, name: str) -> tuple[str, str]:
    """Plain text in UTF-8, in UTF-16 with or without its mark, or in Windows-1252, which is told."""
    data, remark = marked(data), ""
    try:
        text = decode(data, name)
    except UnfitError as bad:
        if data[:2] in MARKS or bad.problem.code == "not-text":
            raise
        text = data.decode("cp1252", "replace")
        remark = f"{name} is not UTF-8, so it was read as Windows-1252; look at its accents and fractions."
    odd = len(re.findall("[\x00-\x08\x0e-\x1f\x7f\ufffd]", text))
    if odd > 0.005 * len(text):
        raise _unfit(name, "not-text", "This is not a text file.", "Read are text, Markdown, .docx and PDF with text.")
    return text, remark
