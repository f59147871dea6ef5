"""Charts drawn from printed lines: what is seen of a slipped stitch, worked by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.charts import stitches_of
from lessonplan.documents.handout import handout_view
from lessonplan.render.pictures import Pictures
from tests.small_course import COURSE, EPISODE, write_course

PATTERN = """\
title: Band
gauge: {stitches: 20, rounds: 30}
yarns:
  MC: {name: Plain wool, colour: grey, hex: "#888888", metres: 200, grams: 100}
  CC: {name: Plain wool, colour: red, hex: "#AA2222", metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - {cast_on: 40, join: yes}
      - rounds: 8
        lines:
          - "*Sl 1 wyib, k3; rep from * to end"
          - "*Sl 1 wyib, k3; rep from * to end"
          - "[K1, sl 1 wyif, p2] to end"
          - Purl
        stripes: 2 CC, 2 MC
"""


@pytest.mark.parametrize(
    ("line", "stitches"),
    [
        ("*Sl 1 wyib, k3; rep from * to end", ("sl", "k", "k", "k")),
        ("[K1, sl 2 wyif, p1] to end", ("k", "slf", "slf", "p")),
        ("K3, sl 1, k to end", ()),
        ("*K2, k2tog; rep from * to end", ()),
    ],
)
def test_a_plain_repeat_is_read_stitch_by_stitch(line: str, stitches: tuple[str, ...]) -> None:
    assert stitches_of(line) == stitches


def test_a_slipped_stitch_shows_the_colour_below(tmp_path: Path) -> None:
    text = PATTERN.replace("- Purl", '- "[P2, sl 1 wyif, k1] to end"')
    plan = lessonplan.plan(
        write_course(tmp_path, {"pattern.yaml": text, "course.yaml": COURSE, "episodes/01.yaml": EPISODE})
    ).plan
    assert plan is not None
    drawn = handout_view(plan).stages[0].works[1].chart
    assert drawn is not None
    assert [(row.number, row.yarns) for row in drawn.rows] == [(1, ("CC",)), (2, ("CC",)), (3, ("MC",)), (4, ("MC",))]
    # Round 3 slips the second stitch, which round 2 made red; round 4 the third, which round 3 made grey.
    seen = [[cell.yarn for cell in row.cells] for row in drawn.rows]
    assert seen == [
        ["MC", "CC", "CC", "CC"],
        ["MC", "CC", "CC", "CC"],
        ["MC", "CC", "MC", "MC"],
        ["MC", "MC", "MC", "MC"],
    ]
    picture = Pictures(plan).chart(drawn, "Chart")
    # Every square has a sign of its own kind, so that nothing hangs on colour: 6 crosses of CC, 4 slips, 4 purls.
    squares = picture.split("<rect")[1:17]
    assert len(re.findall(r"M6 6L12 18L18 6", "".join(squares))) == 4
    assert len(re.findall(r"M8 8L16 16M16 8L8 16", "".join(squares))) == 6
    assert len(re.findall(r"M8 12a4 4", "".join(squares))) == 4
    words = re.search(r"<desc[^>]*>(.*?)</desc>", picture)
    assert words
    assert words[1].startswith("1 (CC): slip as if to purl 1, knit 3; 2 (CC)")


def test_a_line_that_is_no_repeat_has_no_chart(tmp_path: Path) -> None:
    plan = lessonplan.plan(
        write_course(tmp_path, {"pattern.yaml": PATTERN, "course.yaml": COURSE, "episodes/01.yaml": EPISODE})
    ).plan
    assert plan is not None
    assert handout_view(plan).stages[0].works[1].chart is None, "a plain round is one stitch wide, the others four"
