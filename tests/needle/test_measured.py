"""Lengths of a printed pattern counted by the gauge that stands in it, each worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.beginning.written.materials import gauge_printed
from lessonplan.needle.measured import work_by_gauge
from lessonplan.needle.pattern import Whole
from lessonplan.printed.leaflet.contents import read_whole
from tests.command import run

HEAD = """\
SIZES
Small (Large)

GAUGE
20 sts and 30 rows = 10 cm / 4 in in stockinette stitch.

BODY
"""
RIB = "CO 40 (48) sts.\nRow 1 (RS): *K2, p2; rep from * to end.\nRow 2 (WS): *K2, p2; rep from * to end.\n"


def whole(text: str, head: str = HEAD) -> Whole:
    printed = read_whole(head + text)
    gauge = gauge_printed(printed)
    assert gauge is not None
    return work_by_gauge(printed, gauge.as_fabric())


@pytest.mark.parametrize(
    ("line", "rows"),
    [
        # Three rows to the centimetre; two of rib are worked by then, and 31 is not even.
        ("Work in St st until the body measures 10 (12) cm from the cast-on edge.", (28, 34)),
        ("Work in St st until the body measures 11 (12) cm from cast-on edge, ending with a WS row.", (32, 34)),
        ("Work in St st for 5 (6) cm.", (15, 18)),
        ("Work in St st until the body measures 10 (12) cm / 4 (4¾) in from the underarm.", (28, 34)),
    ],
)
def test_a_length_is_so_many_rows_and_every_other_one_is_purled(line: str, rows: tuple[int, ...]) -> None:
    found = whole(f"{RIB}{line}\nBO all sts.\n")
    assert found.lines[3].counted.text == line
    assert found.lines[3].counted.rounds == rows
    techniques = dict(found.lines[3].counted.techniques)
    stitches = [40, 48]
    for size, many in enumerate(rows):
        assert techniques["k"][size] == -(-many // 2) * stitches[size]
        assert techniques["p"][size] == many // 2 * stitches[size]
    (note,) = [one for one in found.problems if "gauge" in one.sentence]
    assert (note.line, note.severity) == (len(HEAD.splitlines()) + 4, "note")
    assert note.sentence.startswith(f"its length is {rows[0]} ({rows[1]}) rows")


@pytest.mark.parametrize(
    ("line", "rows"),
    [
        # 30 (36) rows are 10 (12) cm, 33 are 11; two are worked, of which the last is a WS row.
        ("Rep the last 2 rows until the body measures 10 (12) cm.", (28, 34)),
        ("Rep Rows 1 and 2 until piece measures 10 (12) cm from the cast-on edge, ending with a WS row.", (28, 34)),
        ("Rep these 2 rows until piece measures 11 (12) cm, ending with a RS row.", (31, 35)),
        ("Rep Rows 1 and 2 until piece measures 11 (12) cm, ending with row 1.", (31, 35)),
        ("Rep Rows 1 and 2 until piece measures 11 (12) cm, ending with Row 2.", (32, 34)),
    ],
)
def test_a_repeat_to_a_length_ends_with_the_row_that_it_says(line: str, rows: tuple[int, ...]) -> None:
    found = whole(f"{RIB}{line}\nBO all sts.\n")
    assert (found.lines[3].counted.rounds, found.sections[0].rounds) == (rows, tuple(3 + each for each in rows))


@pytest.mark.parametrize(
    "line",
    [
        "Work in St st until the body measures 10 (12) cm from the shoulder seam.",  # nobody knows how much that is
        "Work in St st until the body measures 0.5 (0.5) cm from the cast-on edge.",  # it is longer by then
        "Work in St st until the body measures 10 (12) cm, then bind off all sts.",
    ],
)
def test_what_cannot_be_placed_is_worked_once_and_told_as_before(line: str) -> None:
    found = whole(f"{RIB}{line}\n")
    assert any("it is worked once here" in one.sentence for one in found.problems)


def test_count_uses_the_gauge_and_without_one_says_that_it_decides(tmp_path: Path) -> None:
    text = f"{RIB}Work in St st for 5 (6) cm.\n"
    for head, told, left in (
        (HEAD, "its length is 15 (18) rows by the gauge that stands in this pattern", False),
        (HEAD.replace("20 sts and 30 rows = 10 cm / 4 in", "Even"), "depends on the gauge", True),
        (HEAD.replace(" and 30 rows", ""), "depends on the gauge", True),  # rows would be a guess
    ):
        file = tmp_path / "body.txt"
        file.write_text(head + text, encoding="utf-8")
        done = run("count", "--file", str(file))
        assert told in done.stderr
        assert ("each worked once" in done.stdout) == left


def test_a_second_length_goes_on_from_the_rows_of_the_first() -> None:
    # Three rows to the centimetre, two of rib: 10 (12) cm are 30 (36) rows in all, 15 (16) cm are 45 (48).
    first = "Work in St st until the body measures 10 (12) cm from the cast-on edge."
    second = "Work in rib until the body measures 15 (16) cm from the cast-on edge."
    found = whole(f"{RIB}{first}\nPurl 1 row.\n{second}\nBO all sts.\n")
    assert [line.counted.rounds for line in found.lines[3:6]] == [(28, 34), (1, 1), (14, 11)]
    assert [note.line for note in found.problems if "gauge" in note.sentence] == [
        len(HEAD.splitlines()) + line for line in (4, 6)
    ]
