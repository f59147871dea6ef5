"""Tables as CSV: UTF-8 with a mark, so that spreadsheets read accents right, and no cell that runs as a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_bytes(rows: Iterable[Sequence[str]]) -> bytes:
    """Write rows as RFC 4180 CSV; a cell that would start a formula gets an apostrophe, plain numbers do not."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_safe(cell) for cell in row])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")


def _safe(cell: str) -> str:
    if cell.startswith(_FORMULA) and not cell.removeprefix("-").replace(".", "", 1).isdigit():
        return "'" + cell
    return cell
