"""A shawl from a tab, with a script whose segments are numbered from 1 in each episode.

Worked by hand: a tab of 3 stitches and 6 picked up has 9; two rows gain 4 + 2, so twenty times two are 40 rows that end
with 9 + 20 x 6 = 129; then 135. Row 3 gains a stitch in each half and one in the middle, row 4 two: 138, 140.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import lessonplan
from lessonplan.beginning.sources import Sources, begin_from
from lessonplan.edit.proof.typed import typed_problems
from lessonplan.needle.pattern import work_whole
from lessonplan.printed.leaflet.contents import read_whole

SHAWL = """LANTERN SHAWLETTE

Materials:
Fingering weight wool, 400 m per 100 g: 1 skein
4 mm (US 6) circular needle, 80 cm
Gauge: 20 sts and 36 rows = 10 cm in garter stitch

Garter tab
Cast on 3 sts. Knit 6 rows. Do not turn after the last row: pick up and knit 3 sts along the side edge, then pick up \
and knit 3 sts from the cast-on edge. (9 sts)

Section 1: Garter
Row 1 (RS): K3, yo, k to centre st, yo, pm, k1 (centre st), yo, k to last 3 sts, yo, k3. (13 sts)
Row 2 (WS): K3, yo, k to last 3 sts, yo, k3. (15 sts)
Rep rows 1 and 2 19 more times, slipping marker. (129 sts)

Section 2: Lights
Row 1 (RS): K3, yo, k to marker, yo, sm, k1, yo, k to last 3 sts, yo, k3. (133 sts)
Row 2 (WS): K3, yo, k to last 3 sts, yo, k3. (135 sts)
Row 3: K3, yo, *k2tog, yo; rep from * to marker, sm, k1, yo, *ssk, yo; rep from * to last 3 sts, yo, k3.
Row 4: K3, yo, k to last 3 sts, yo, k3.

Bind off
Bind off all sts loosely.
"""
SCRIPT = """Episode 1: The tab
1. Hello
NELL: Hi, this is the shawlette that I knit on every train.
2. The garter tab and its stitches
NELL: Cast on three stitches and knit six rows.
[hands: pick up three along the side]
3. The increases
NELL: Two rows add six stitches. Repeat them nineteen more times.

Episode 2: The end
1. The eyelets
NELL: Knit two together, yarn over.
2. Bind off
NELL: Bind off loosely.
"""


def test_a_shawl_from_a_tab_becomes_a_course_of_its_stitches_and_segments(tmp_path: Path) -> None:
    (tmp_path / "print.txt").write_text(SHAWL, encoding="utf-8")
    (tmp_path / "script.txt").write_text(SCRIPT, encoding="utf-8")
    sources = Sources(pattern=tmp_path / "print.txt", script=tmp_path / "script.txt")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), sources, lambda texts: texts)
    loaded = lessonplan.load(tmp_path / "c")
    assert loaded.worked
    assert not [one for one in loaded.problems if one.severity == "error"]
    stages = loaded.worked.kinds["full"].stages
    assert [[step.after for step in stages[key][0].rounds][-2:] for key in stages] == [
        [3, 3],
        [127, 129],
        [138, 140],
        [],
    ]
    assert [stages[key][0].steps[-1].after for key in stages] == [9, 129, 140, 0]
    assert [loaded.worked.facts[f"{key}.stitches"].values for key in stages] == [(9,), (129,), (140,), (0,)]
    assert [len(stages[key][0].rounds) for key in stages] == [6, 40, 4, 0]
    said = [one for one in typed_problems(loaded.worked) if "nineteen" in one.message]
    assert not said  # 40 rows are twenty times the two that are worked, not 13 times three lines
    titles = [[one.title for one in episode.segments] for episode in loaded.worked.course.episodes]
    assert titles == [
        ["Hello", "The garter tab and its stitches", "The increases"],
        ["The eyelets", "Bind off"],
    ]


def test_an_order_over_a_line_that_gives_it_is_its_heading() -> None:
    """Where the line below does not give it again, it belongs to that line."""
    printed = "Hat\n\nCast on\nWith MC, cast on 40 sts and join.\n\nBody\nKnit 10 rounds.\n\nBind off\n{}\n"
    for line, headings in (("With CC, BO all sts loosely.", 4), ("*K2tog tbl, slip st back; rep from * to end.", 3)):
        whole = work_whole(read_whole(printed.format(line)))
        assert sum(entry.kind == "heading" for entry in whole.printed.entries) == headings
        assert [each.counted.stitches for each in whole.lines][-1] == (0,)
        assert not whole.problems
