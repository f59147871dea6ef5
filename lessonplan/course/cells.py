"""Tables as CSV whose cells a spreadsheet takes for text: none of them begins a formula, and each can be read back."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

_FORMULA = re.compile(r"[\s\u00a0]*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r\n]")
"""What some spreadsheet begins a formula with: also behind blanks, and in the full width of eastern type."""
_NUMBER = re.compile(r"-?\d+(\.\d*)?")


def guarded(cell: str) -> str:
    """Put an apostrophe before a cell that would begin a formula; plain numbers stay as they are.

    A cell that begins with an apostrophe and then such a beginning gets one more, so that `unguarded` gives it back.
    """
    if _NUMBER.fullmatch(cell):
        return cell
    return "'" + cell if _FORMULA.match(cell.lstrip("'")) else cell


def unguarded(cell: str) -> str:
    """Take away the apostrophe that `guarded` puts before a cell."""
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell.lstrip("'")) else cell


def csv_bytes(rows: Iterable[Sequence[str]]) -> bytes:
    """Write rows as RFC 4180 CSV, each cell `guarded`: UTF-8 with a mark, so that spreadsheets read accents right."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows([guarded(cell) for cell in row] for row in rows)
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")


_BETWEEN = re.compile(r"\s*[;,+&]\s*|\s+(?:and\s+)?")
_NUMBERED = re.compile(r"\D*(?:\d\D*){2,}")
"""A name of several in a cell: cameras number clips and cards with two digits at least (common practice)."""


def named_in(cell: str) -> tuple[str, ...]:
    """Give the clips or cards that a cell names, one after the other: “C0012 C0013” are two, “clip 12” is one."""
    parts = tuple(filter(None, _BETWEEN.split(cell)))
    return parts if len(parts) > 1 and all(map(_NUMBERED.fullmatch, parts)) else (cell,) if cell else ()
