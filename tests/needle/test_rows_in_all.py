"""Rows asked for by how many they are, the last stitches bound off, and what is done as for another piece."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines

INCREASED = ["Row 1: Ch 1, turn, sc in each sc.", "Row 2: Ch 1, turn, sc in each sc to last sc, 2 sc in last sc."]
SLANTED = ["Row 1: K1, m1, k to end.", "Row 2: Purl."]
HEEL = ["Row 1: *Sl 1, k1* to end.", "Row 2: Sl 1, purl to end."]


@pytest.mark.parametrize(
    ("before", "line", "stitches"),
    [
        (INCREASED, "Rep Row 2 for 6 more rows.", 27),  # one more in each of seven
        (INCREASED, "Rep last row for 6 more rows.", 27),
        (INCREASED, "Rep Rows 1 and 2 for 6 more rows.", 24),  # three times both
        (SLANTED, "Rep Rows 1 and 2 for 10 more rows.", 26),
        (HEEL, "Repeat these two rows 15 more times (32 rows in all, 16 slipped stitches up each edge).", 20),
        ([], "Bind off the last 20 stitches.", 0),
        ([], "BO last 20 sts.", 0),
        ([], "Work 10 rows in rib as given for back, inc 4 sts evenly across last row.", 24),
        ([], "Work in rib as for back for 10 rows.", 20),
    ],
)
def test_as_a_person_counts(before: list[str], line: str, stitches: int | None) -> None:
    counted = count_lines([*before, line], (20,), flat=True)
    last = counted.lines[-1]
    assert (last.stitches if last.sure == (True,) else (None,)) == (stitches,)


RIB = ["Row 1: *P1, k1; rep from * to end.", "Row 2: *P1, k1; rep from * to end.", "Rows 3 and 4: Knit."]


@pytest.mark.parametrize(
    ("before", "line", "rows"),
    [
        (RIB[:1], "Work 5 rows in rib in all.", 4),
        (RIB, "Work 5 rows of garter stitch in total.", 1),
        (RIB, "Work 5 rows in garter stitch.", 5),
        (RIB[:1], "Work 5 rows in rib, 20 sts in all.", 5),  # stitches in all
        (RIB[1:], "Work 5 rows in rib in all.", 5),  # row 1 lies further back: since when is not told
        (RIB, "Work 3 rows in rib in all.", 3),  # there are four already, of something else
    ],
)
def test_rows_in_all_are_with_the_numbered_ones_before_them(before: list[str], line: str, rows: int) -> None:
    assert count_lines([*before, line], (20,), flat=True).lines[-1].rounds == (rows,)
