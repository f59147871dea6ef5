"""Terse print of one column: charts named, second sides, ends of lines, rows in the same way; counted by hand."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from tests.printed.by_hand import FLAT, ROUND, Lines, has_counts

PIECES: dict[str, tuple[bool, int, Lines]] = {
    # 240: 4 = 60 decreases
    "a chart that is only named": (ROUND, 240, (
        ("Work 1st to 17th rounds from chart. 18th round: *K2, k2tog; rep from * to end.", 180),
        ("Work 5 rounds foll chart 2.", 180),
        ("Work 14 rounds according to chart A, then k 2 rounds in M.", 180),
    )),
    "a chart that shapes": (ROUND, 96, (("Work rows 1 to 20 of crown chart.", None),)),
    "a chart that a count contradicts": (FLAT, 60, (("Work rows 1 to 20 of chart. 50 sts.", 50), ("K 1 row.", 50))),
    # 61 is no multiple of 4, 60 is
    "a chart that the next row contradicts": (FLAT, 61, (
        ("Work rows 1 to 20 of chart.", None),
        ("*K2, k2tog; rep from * to end.", None),
    )),
    "all off at the end": (FLAT, 48, (
        ("Row 1: K1, k2tog, k to end.", 47),
        ("Rep last row until 5 sts rem. Cast off.", 0),
    )),
    "drawn through at the end": (FLAT, 20, (("(P2tog) to end. Break yarn, thread through sts.", 0),)),
    # 92 - 14 = 78, 39 for each side
    "a second side": (FLAT, 92, (
        ("Next row: K39, turn and complete this side first.", 39),
        ("Dec 1 st at neck edge on next 4 rows.", 35),
        ("Shape shoulder: Cast off 17 sts at beg of next row. Work 1 row. Cast off rem sts.", 0),
        ("With RS facing, leave centre 14 sts on a holder, rejoin yarn to rem sts and k to end.", 39),
        ("Complete as first side.", 0),
    )),
    "a second side by its yarn": (FLAT, 80, (
        ("K 33, cast off 14 sts, k to end and work on this last set of sts.", 33),
        ("Cast off.", 0),
        ("With RS of work facing, rejoin yarn at neck edge and work to match first side.", 0),
    )),
    "a first set": (FLAT, 100, (
        ("K 37, slip next 13 sts on a holder, turn and work on first set of sts.", 37),
    )),
    # two were shaped in each of those rows, one is now
    "one edge alone": (FLAT, 60, (
        ("Dec 1 st at armhole edge on next 3 rows, at the same time dec 1 st at neck edge on next and foll alt row.",
         55),
        ("Keeping armhole edge straight, cont to dec at neck edge only until 38 sts rem.", 38),
    )),
    # 12 + 17 + 10 + 29
    "stitches of other pieces": (FLAT, 0, (
        ("With RS facing, k up 12 sts along left side of neck, k the 17 sts left on holder at front, 10 sts up right "
         "side of neck, and k the 29 sts of back neck.", 68),
    )),
    "how they lie": (ROUND, 0, (("Cast on 112 sts. (38, 38, 36) on three No. 11 needles.", 112),)),
    "a count in the middle": (FLAT, 76, (
        ("Cast off 4 sts at beg of next 2 rows and 2 sts at beg of foll 10 rows. 48 sts. Cast off 3 sts at beg of next "
         "6 rows. Cast off rem 30 sts.", 0),
    )),
    # from 82 two go in every other row
    "a row that names itself": (FLAT, 88, (
        ("Cast off 3 sts at beg of next 2 rows. 3rd row: K2, skpo, k to last 4 sts, k2tog, k2. 4th row: P. Rep 3rd and "
         "4th rows until 26 sts rem.", 26),
    )),
    "a heading before a row's number": (FLAT, 64, (
        ("Shape raglan. 1st row: K1, skpo, k to last 3 sts, k2tog, k1. 62 sts.", 62),
        ("2nd row: P. 62 sts.", 62),
        ("Rep 1st and 2nd rows until 20 sts rem. Cast off.", 0),
    )),
    "in the same way": (FLAT, 60, (
        ("Next row: K1, k2tog, k to last 3 sts, k2tog, k1.", 58),
        ("Work 2 more rows in same way.", 54),
    )),
    "once more in this way": (FLAT, 39, (
        ("1st row: K1, skpo, k13, k2tog, k3, skpo, k13, k2tog, k1.", 35),
        ("2nd row: P.", 35),
        ("Dec 4 sts in this way on foll alt row.", 31),
    )),
    "four markers": (FLAT, 60, (
        ("K8, pm, k14, pm, k16, pm, k14, pm, k8.", 60),
        ("*K to 1 st before marker, inc in next st, slip marker, inc in next st; rep from * 3 times, k to end.", 68),
    )),
}  # fmt: skip
HOOKED: tuple[tuple[str, int, str], ...] = (
    ("Row 1: Ch 1, sc in each sc across, turn. || Work across first 11 sts, turn. || Dec 1 st at neck edge on next 2 "
     "rows.", 40, "40 11 9"),
    ("1st row: 3 ch, miss first st, 1 tr into each st to end, turn. || Next row: Ss across 4 sts, patt to last 4 sts, "
     "turn.", 57, "57 49"),
    ("Round 2: 2 sc in each st (12) || Round 3: *Sc in next st, 2 sc in next st* around. (18) || Work 2 more rounds in "
     "same way.", 6, "12 18 30"),
    ("Rnd 5: Sc in each sc around. || Rep Rnd 6 of the chart.", 64, "64 -"),
)  # fmt: skip


@pytest.mark.parametrize("name", PIECES)
def test_each_line_has_the_count_worked_by_hand(name: str) -> None:
    has_counts(*PIECES[name])


@pytest.mark.parametrize(("texts", "on", "after"), HOOKED, ids=lambda each: str(each)[:20])
def test_crochet_that_stops_before_its_end_or_goes_on_in_the_same_way(texts: str, on: int, after: str) -> None:
    flat = "ound" not in texts
    done = count_lines(texts.split(" || "), [on], flat=flat)
    assert [line.stitches[0] for line in done.lines] == [None if n == "-" else int(n) for n in after.split()]


def test_a_chart_that_is_only_named_is_told_and_stays_in_all_sizes_alike() -> None:
    lines = ["Work rows 1 to 20 of chart.", "K2, k2tog, k to last 4 sts, k2tog, k2. 58 (65) sts."]
    done = count_lines(lines, [60, 64], flat=True)
    assert done.lines[0].stitches == (60, 64)
    assert any("not written out" in each.sentence for each in done.problems if each.line == 1)
    assert [(each.line, each.size) for each in done.problems if each.severity == "error"] == [(2, 2)]


def test_two_sizes_with_a_dash_may_be_smaller_in_the_larger_one() -> None:
    row = "Dec 1 st at both ends of every row until 80-78 sts rem, then on every alt row until 76-72 sts rem."
    done = count_lines([row, "Next row: Patt 31-28, cast off 14-16 sts, patt to end."], [92, 90], flat=True)
    assert [line.stitches for line in done.lines] == [(76, 72), (62, 56)]
