"""Tables as CSV: UTF-8 with a mark, so that spreadsheets read accents right, and no cell that runs as a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from lessonplan.course.cells import guarded


def csv_bytes(rows: Iterable[Sequence[str]]) -> bytes:
    """Write rows as RFC 4180 CSV; a cell that would start a formula gets an apostrophe, plain numbers do not."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        writer.writerow([guarded(cell) for cell in row])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")
