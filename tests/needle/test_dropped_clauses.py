"""A clause that was not understood never leaves a count behind that looks sure.

`dropped_clauses.csv` holds invented lines, written the way such print is (common practice): the stitches begun on, rows
or rounds, the lines with `//` between them, and the stitches after the last one worked out by hand; nothing where the
words do not tell. The program may say that it is not sure, but it may give no other number.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from lessonplan.needle.count import count_lines


def rows() -> list[dict[str, str]]:
    with (Path(__file__).parent / "dropped_clauses.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def given(row: dict[str, str]) -> str:
    """The count given for the last line of a row, "" where none is given."""
    counted = count_lines(row["lines"].split(" // "), [int(row["on"])], flat=row["worked"] == "rows")
    after = counted.lines[-1].stitches[0]
    return "" if after is None else str(after)


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["lines"])
def test_no_other_number_is_given(row: dict[str, str]) -> None:
    assert given(row) in ("", row["after"])


def test_most_of_what_can_be_known_is_known() -> None:
    """Else a program that is never sure would pass."""
    known = [row for row in rows() if row["after"]]
    assert len(rows()) >= 60
    assert sum(given(row) == row["after"] for row in known) >= 70
    assert sum(not row["after"] for row in rows()) >= 12
