"""Rows told by how many there are, rows told beside others, and CO: each worked by hand."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.needle.pattern import work_whole
from lessonplan.printed.leaflet.contents import read_whole

TWO = ["Next row (WS): Purl.", "Next row (RS): Knit."]
HEAD = "SIZES\nS (M)\n\nBODY\nCO 60 (64) sts.\nRow 1 (RS): Knit.\nRow 2 (WS): Purl.\n"
REST = "Rep rows 1 and 2 16 (18) more times.\n"
"""2 rows and 16 (18) times 2 more: 34 (38)."""


@pytest.mark.parametrize(
    ("before", "line", "rows"),
    [
        # 2 of the 35 are worked, and the row that divides is not among them.
        (["Dividing row (RS): Knit.", *TWO], "Rep the last 2 rows until 35 rows have been worked after the dividing "
         "row, ending with a WS row.", 33),
        (["Next row (RS, dividing row): Knit.", *TWO],
         "Rep these 2 rows until 9 rows are done since the dividing row.", 7),
        (["Row 1: K10, place next 4 sts on waste yarn, k6.", "Knit 1 row.", *TWO],
         "Rep the last 2 rows until 12 rows have been worked from the underarm.", 9),
        (["Knit 6 rows.", *TWO], "Rep these 2 rows until 34 rows are done.", 32),
        (["Knit 6 rows.", *TWO], "Rep the last 2 rows until 15 rows have been worked from the cast-on edge.", 7),
        (["Knit 6 rows."], "Work in st st until 11 rows have been worked.", 11),
        (["Knit 6 rows."], "Knit every row for 20 rows.", 20),
        (["Knit 6 rows."], "K each row for 12 more rows.", 12),
        (["Knit 6 rows."], "Cont in st st until 20 rows have been worked in total.", 14),
        (TWO, "Rep the last 2 rows for 31 rows.", 31),
        (["Row 1: Knit.", "Row 2: Purl.", "Row 3: K1, p1 to end."], "Rep Rows 1-3 until 10 rows have been worked.", 7),
    ],
)  # fmt: skip
def test_rows_are_worked_until_there_are_so_many(before: list[str], line: str, rows: int) -> None:
    counted = count_lines([*before, line], (20,), flat=True)
    assert (counted.lines[-1].rounds, None in counted.lines[-1].stitches) == ((rows,), False)


def test_rows_since_one_that_nobody_names_are_not_guessed() -> None:
    counted = count_lines(
        [*TWO, "Rep the last 2 rows until 9 rows have been worked after the lace row."], (20,), flat=True
    )
    assert counted.lines[-1].stitches == (None,)
    assert "“lace”" in counted.problems[-1].sentence


@pytest.mark.parametrize(
    "told",
    [
        "AT THE SAME TIME work a buttonhole on the 18th (20th) row.\n"
        "Buttonhole: on a RS row work to last 4 sts, k2tog, yo, k2.",
        "At the same time, on row 5 and then every 14th row, work the buttonhole: work to last 4 sts, k2tog, yo, k2.",
        "At the same time, on row 5 and every 14th row, work as follows: K2, yo, k2tog, knit to end.",
        "Work a buttonhole row on row 5 and every 14th row.\nButtonhole row (RS): K to last 4 sts, k2tog, yo, k2.",
    ],
)
def test_what_is_worked_in_rows_of_other_lines_is_no_row_and_is_told(told: str) -> None:
    whole = work_whole(read_whole(HEAD + told + "\n" + REST))
    assert [(one.rounds, one.flat) for one in whole.sections] == [((34, 38), True)]
    assert [line.counted.stitches for line in whole.lines] == [(60, 64)] * 4
    lines = {one.line for one in whole.problems}
    assert lines == set(range(8, 8 + told.count("\n") + 1)), "each of these lines is told of, and no other"
    assert {one.severity for one in whole.problems} == {"note"}


def test_what_changes_the_count_in_rows_of_other_lines_leaves_it_unknown() -> None:
    told = "At the same time, on row 5 and every 14th row, work as follows: K2, k2tog, knit to end.\n"
    whole = work_whole(read_whole(HEAD + told + REST))
    assert [line.counted.stitches for line in whole.lines][-1] == (None, None)


def test_a_row_defined_after_it_is_asked_for_is_worked_only_when_it_is_asked_for() -> None:
    """Three decrease rows of two stitches, every fourth row of 12: 60 - 6. Where nothing asks for it, it is a row."""
    define = "Decrease row: K1, k2tog, k to last 3 sts, ssk, k1."
    counted = count_lines(["Work decrease row on every 4th row 3 times.", define], (60,), flat=True)
    assert (counted.rounds, [line.stitches for line in counted.lines]) == ((12,), [(54,), (54,)])
    assert count_lines([define, "Knit 1 row."], (60,), flat=True).rounds == (2,)


BRITISH = "SIZES\nS (M)\n\nYOKE\nCast on 60 (64) sts.\nKnit 2 rows.\nNext row: CO 5, k to end. "


def test_co_is_cast_off_only_in_every_size_and_where_nothing_is_cast_on_with_it() -> None:
    both = work_whole(read_whole(f"{BRITISH}55 (59) sts\n"))
    assert both.lines[-1].counted.stitches == (55, 59)
    assert {one.severity for one in both.problems} == {"note"}
    one = work_whole(read_whole(f"{BRITISH}55 (69) sts\n"))  # 60 - 5, but 64 + 5
    assert [(bad.size, bad.severity) for bad in one.problems] == [(1, "error")]
    us = work_whole(read_whole(f"{BRITISH}55 (59) sts\n".replace("Cast on", "CO")))
    assert {bad.severity for bad in us.problems} == {"error"}
    place = "place next 8 ({}) sts on waste yarn, CO 4 sts, rm"
    yoke = f"Row 2: K to marker, rm, {place}, k to marker, rm, {place.format(8)}, k to end.\n"
    held = "SIZES\nS (M)\n\nYOKE\nCO 60 (64) sts.\nRow 1: P13, pm, p8, pm, p18 (22), pm, p8, pm, p13.\n"
    wrong = work_whole(read_whole(held + yoke.format(6)))  # 6 for 8: no marker is where one is to come off
    assert [(bad.size, bad.severity) for bad in wrong.problems] == [(2, "error")]
    right = work_whole(read_whole(held + yoke.format(8)))
    assert (right.lines[-1].counted.stitches, right.problems) == ((52, 56), ())  # 60 - 16 + 8
