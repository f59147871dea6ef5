"""A cardigan from the top down, begun from print: rows told by their number, what is worked beside them, its script.

Worked by hand: a yoke of a plain row, a set-up row and twice 8 increase rows of eight stitches each (rows 1 and 2, then
7 times more) has 18 rows; the body has 15 (19) rows after the dividing row, and its hem 8.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import yaml

import lessonplan
from lessonplan.beginning.sources import Begun, Sources, begin_from
from lessonplan.beginning.written.materials import hexes_of
from lessonplan.beginning.written.works import hand_key

HOLE = """AT THE SAME TIME work a buttonhole on every 18th (20th) row.
Buttonhole: on a RS row k to last 4 sts, k2tog, yo, k2.
"""
CARDIGAN = """Lanewood Cardigan

SIZES
S (M)

MATERIALS
Yarn: Harrow Baby DK (100% wool, 50 g = 120 m)
MC: oat cream, 2 (3) balls
CC: rowan red, 1 (1) ball

GAUGE
24 sts and 32 rows = 10 cm in stockinette stitch

NECKBAND
With CC, CO 60 (64) sts.
Rows 1-4: Knit.
Cut CC.

YOKE
Change to MC.
Next row (RS): Knit.
Set-up row (WS): P13 (14), pm, p8, pm, p18 (20), pm, p8, pm, p13 (14).
Row 1 (RS): *K to 1 st before marker, m1r, k1, sm, k1, m1l; rep from * 3 more times, k to end. 8 sts inc.
Row 2 (WS): Purl.
Rep rows 1 and 2 another 7 times. 124 (128) sts
{hole}
DIVIDE FOR SLEEVES
Dividing row (RS): K21 (22), place next 24 sts on waste yarn for sleeve, k34 (36), place next 24 sts on waste yarn for \
sleeve, k to end. 76 (80) sts

BODY
Next row (WS): Purl.
Next row (RS): Knit.
Rep the last 2 rows until 15 (19) rows have been worked after the dividing row, ending with a WS row.
Change to CC.
Knit 8 rows.
BO all sts.

SLEEVES
Knit the 24 held sts.
Knit 9 rounds.
BO all sts.

FINISHING
Weave in all ends.
Wash and lay flat to dry.
"""
SCRIPT = """Episode 1: All of it

First
[overhead, cast-on edge done]
One.
[overhead, finished cardigan on the table, point at neckband]
Two.
[close on the hands, neckband row 2 done, 10 s]
Three.
[overhead, yoke after 3 increase rows]
Four.
[overhead, both sleeves done, ends woven in]
Five.
[overhead, body with 12 rows]
Six.
[overhead, body with 90 rows]
Seven.
"""


def begun(folder: Path, text: str, script: str = "") -> Begun:
    (folder / "print.txt").write_text(text, encoding="utf-8")
    (folder / "script.txt").write_text(script, encoding="utf-8")
    sources = Sources(pattern=folder / "print.txt", script=folder / "script.txt" if script else None)
    return begin_from(folder / "c", {}, date(2027, 1, 4), sources, lambda texts: texts)


def test_rows_told_by_their_number_are_those_of_the_course(tmp_path: Path) -> None:
    begun(tmp_path, CARDIGAN.format(hole=HOLE))
    loaded = lessonplan.load(tmp_path / "c")
    assert loaded.worked
    stages = loaded.worked.kinds["full"].stages
    rows = {key: [len(stage.rounds) for stage in stages[key]] for key in ("neckband", "yoke", "body")}
    assert rows == {"neckband": [4, 4], "yoke": [18, 18], "body": [23, 27]}
    assert not [one for one in loaded.problems if one.severity != "note" and one.where.file == "pattern.yaml"]
    (told,) = [one for one in loaded.problems if "no row here has it" in one.message]
    lines = (tmp_path / "c" / "pattern.yaml").read_text(encoding="utf-8").splitlines()
    assert (
        "AT THE SAME TIME work a buttonhole on every 18th (20th) row. Buttonhole: on a RS row"
        in lines[told.where.line - 1]
    )
    assert [line.strip() for line in lines if "TO DO" in line] == [
        "# TO DO: no row here works this: put it into the rows where it falls, or say it to your viewers."
    ]
    course = yaml.safe_load("\n".join(lines))
    assert [course["yarns"][key]["weight"] for key in ("MC", "CC")] == ["dk", "dk"]
    assert not [one for one in course["stages"]["neckband"]["works"] if "minutes" in one]
    assert course["stages"]["neckband"]["works"][-1]["note"] == "Cut CC."


def test_without_anything_beside_its_rows_nothing_is_left(tmp_path: Path) -> None:
    begun(tmp_path, CARDIGAN.format(hole=""))
    assert "TO DO" not in (tmp_path / "c" / "pattern.yaml").read_text(encoding="utf-8")
    assert "no row here has it" not in "".join(one.message for one in lessonplan.load(tmp_path / "c").problems)


def test_states_told_in_words_find_their_row(tmp_path: Path) -> None:
    """Of the yoke's rows 3, 5 and 7 increase; the next one after them is row 9, so that 8 are done."""
    done = begun(tmp_path, CARDIGAN.format(hole=""), SCRIPT)
    text = (tmp_path / "c" / "episodes" / "01.yaml").read_text(encoding="utf-8")
    shots = [shot for segment in yaml.safe_load(text)["segments"] for shot in segment["shots"]]
    needs = [[one["needs"] for one in shot.get("pieces", [])] for shot in shots]
    states = ["neckband, after cast_on", "finished", "neckband round 2", "yoke round 8", "finishing, after weave_ends"]
    assert needs == [*([one] for one in states), ["body round 12"], []]
    asked = {one.line: one.left for one in done.taken["script.txt"]}
    assert "round 8" in asked[10]
    assert "Body has no such row" in asked[16]
    assert "say which piece" not in "".join(asked.values())


LENGTHS = """Cloth

GAUGE
24 sts and 32 rows = 10 cm

BODY
CO 60 sts.
Set-up row (RS): Knit.
Row 1 (WS): Purl.
Row 2 (RS): Knit.
Rep the last 2 rows until piece measures {}
BO all sts.
"""


@pytest.mark.parametrize(
    ("length", "rows", "left"),
    [
        ("10 cm.", [1, 31], False),  # 32 rows, and the set-up row is no part of what is worked again
        ("10.5 cm, ending with a WS row.", [1, 33], False),  # 33.6 rows: the last of an odd number is a WS row
        ("10.5 cm, ending with a RS row.", [1, 32], False),
        ("10 cm from the shoulder.", [1, 4], True),  # which lies nowhere: worked once, and said so
    ],
)
def test_a_repeat_to_a_length_works_no_other_rows(tmp_path: Path, length: str, rows: list[int], left: bool) -> None:
    begun(tmp_path, LENGTHS.format(length))
    loaded = lessonplan.load(tmp_path / "c")
    assert loaded.worked
    (stage,) = loaded.worked.kinds["full"].stages["body"]
    assert len(stage.rounds) == sum(rows)
    assert [dict(one.techniques) for one in stage.rounds[:3]] == [{"k": 60}, {"p": 60}, {"k": 60}]
    assert ("TO DO" in (tmp_path / "c" / "pattern.yaml").read_text(encoding="utf-8")) == left
    assert any("worked once here" in one.message for one in loaded.problems) == left


def test_a_yarn_is_drawn_in_the_hue_of_its_name() -> None:
    red, green, blue = (0, 2, 4)
    rowan, grey, other, second = hexes_of(["rowan red", "blue grey", "Lanternside", "fire red"])
    parts = {place: int(rowan[1 + place : 3 + place], 16) for place in (red, green, blue)}
    assert parts[red] > 2 * max(parts[green], parts[blue])
    channels = [int(grey[place : place + 2], 16) for place in (1, 3, 5)]
    assert max(channels) - min(channels) < 20, "the last word is the hue: a grey"
    assert len({rowan, grey, other, second}) == 4


def test_cutting_a_yarn_takes_no_minutes_and_other_work_does() -> None:
    assert [hand_key(text) for text in ("Cut CC.", "Break yarn, leaving a long tail.", "Cut both yarns.")] == [""] * 3
    assert [hand_key(text) for text in ("Cut the felt.", "Cut yarn and sew the seam.")] == ["minutes"] * 2
