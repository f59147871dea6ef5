"""A jumper in the manner of a magazine: counts in sentences of their own, ribs for a length, sleeves both alike.

Worked by hand: at 24 rows to 10 cm, 6 cm of rib are 14 rows (14.4); 82 stitches less twice 4 are 74, and 66 after four
decreases at both ends, on rows 1, 3, 5 and 7.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.beginning.sources import Sources, begin_from
from lessonplan.needle.count import count_lines
from lessonplan.needle.pattern import work_whole
from lessonplan.printed.leaflet.contents import read_whole

JUMPER = """WINTERBOURNE

MATERIALS
9 (10: 10: 11) 50 g balls of Aran weight wool (85 m per ball)
Pair of 4½ mm and 5 mm needles

TENSION
18 sts and 24 rows to 10 cm over st st using 5 mm needles

BACK
Using 4½ mm needles cast on 82 (86: 90: 94) sts.
1st row: K2, *p2, k2; rep from * to end.
2nd row: P2, *k2, p2; rep from * to end.
Rep the last 2 rows until rib measures 6 cm, ending with a 2nd row.
Cast off 4 (5: 5: 6) sts at beg of next 2 rows. 74 (76: 80: 82) sts.
Dec 1 st at each end of next and every foll alt row until 66 (68: 70: 72) sts rem.
Leave rem sts on a holder.

SLEEVES (both alike)
Using 4½ mm needles cast on 42 (42: 46: 46) sts.
Work 6 cm in rib as given for back.
Work 4 rows in st st.
Cast off.
"""


def test_a_count_in_a_sentence_of_its_own_is_held_against_the_line_before() -> None:
    assert {one.kind for one in work_whole(read_whole(JUMPER)).problems} == {"asked"}
    wrong = work_whole(read_whole(JUMPER.replace("74 (76: 80: 82) sts.", "74 (77: 80: 82) sts."))).problems
    found = [(one.line, one.size) for one in wrong if one.kind == "disagrees"]
    assert found == [(15, 2)]


def test_sleeves_both_alike_are_two() -> None:
    whole = work_whole(read_whole(JUMPER))
    assert [whole.printed.sections[each.section].times for each in whole.sections][-1] == 2
    assert [line.counted.stitches for line in whole.lines][-3] == (42, 42, 46, 46)


@pytest.mark.parametrize(
    "text",
    [
        "Work 6 cm in rib.",
        "Work 6 cm in k2, p2 rib.",
        "Work 2½ inches in rib",
        "Rib 6 cm",
        "With MC, work 5 cm in rib",
        "Using smaller needles, work 6 cm in rib",
        "Work 6 cm in rib as given for back.",
    ],
)
def test_a_length_told_first_is_asked_for_and_not_one_row(text: str) -> None:
    counted = count_lines([text], [42], flat=True)
    assert counted.lines[0].stitches == (42,)
    assert any("depends on the gauge" in one.sentence for one in counted.problems)


def test_it_becomes_a_course_with_its_lengths(tmp_path: Path) -> None:
    (tmp_path / "jumper.txt").write_text(JUMPER, encoding="utf-8")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "jumper.txt"), lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked
    stages = worked.kinds["full"].stages
    assert len(stages["back"][0].rounds) == 14 + 2 + 7
    assert [len(stages[key][0].rounds) for key in ("sleeves", "sleeves_2")] == [14 + 4] * 2
    texts = (tmp_path / "c" / "pattern.yaml").read_text(encoding="utf-8")
    assert '": 90: 94) sts."' not in texts


PULLOVER = """# Thistledown Pullover
SIZES
XS (S, M)

GAUGE
18 sts and 24 rows = 4" in St st

Divide for sleeves
CO 232 (260, 288) sts. Join.
Next rnd: *K64 (72, 80), place next 52 (58, 64) sts on waste yarn, CO 8 (8, 10) sts; rep from * once more.

Body
Work even in St st until body measures 13 (13, 14)" from underarm.
BO loosely.

Sleeves
Slip 52 (58, 64) held sts to larger dpns. Pick up and knit 8 (8, 10) sts from underarm CO. 60 (66, 74) sts.
Knit 6 rnds.
Dec rnd: K1, k2tog, knit to last 3 sts, ssk, k1. 2 sts dec'd.
Rep dec rnd every 8 (7, 6) rnds 9 (10, 12) more times. 40 (44, 48) sts.
Work even until sleeve measures 16 (16, 17)" from underarm.
BO in rib.
"""


def test_sleeves_held_inside_a_repeat_are_taken_up_one_by_one(tmp_path: Path) -> None:
    """By hand, at 6 rounds to the inch: 6 + 1 + 9 x 8 = 79 rounds of the smallest sleeve, and 96 for its 16 inches."""
    (tmp_path / "pullover.md").write_text(PULLOVER, encoding="utf-8")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "pullover.md"), lambda texts: texts)
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked
    stages = worked.kinds["full"].stages
    assert [stage.rounds[-1].after for stage in stages["body"]] == [2 * (n + 8) for n in (64, 72)] + [180]
    assert [len(stage.rounds) for stage in stages["body"]] == [78, 78, 84]
    for key in ("sleeves", "sleeves_2"):
        assert [stage.rounds[-1].after for stage in stages[key]] == [40, 44, 48]
        assert [round(stage.length / 25.4) for stage in stages[key]] == [16, 16, 17]
    assert not [one for one in lessonplan.load(tmp_path / "c").problems if one.code == "left-on-hold"]


def test_all_stitches_come_to_a_count_and_no_part_of_them_is_asked_about() -> None:
    """72 stitches and 20 rounds of 8 more are 232; a part between markers would come to it as well, much later."""
    counted = count_lines(
        [
            "Rnd 2: K24, pm, k12, pm, k24, pm, k12.",
            "Rnd 3: *K1, M1L, knit to 1 st before marker, M1R, k1, sm; rep from * to end.",
            "Rnd 4: Knit.",
            "Rep Rnds 3 and 4 until there are 232 sts.",
        ],
        [72],
    )
    assert counted.lines[-1].stitches == (232,)
    assert counted.problems == ()
