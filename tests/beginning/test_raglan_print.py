"""A raglan worked flat from the top with stripes and bands, begun from print; worked by hand.

The rib grows from nothing that is measured; at 7 rows an inch 5 in are 35 rows.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

import lessonplan
from lessonplan.beginning.constructions import at_least
from lessonplan.beginning.sources import Sources, begin_from
from lessonplan.beginning.written.works import how_bound

HEAD = """Puddle cardigan

MATERIALS
MC: Worsted weight wool, slate, 220 yards per 100 g
CC: Worsted weight wool, marigold
US 7 (4.5 mm) 32-inch circular needle
US 5 (3.75 mm) 24-inch circular needle, for the bands

GAUGE
20 sts and 28 rows = 4 inches in stockinette stitch

"""
STRIPED = """BODY
With MC, cast on 30 sts.
Work in stockinette for 6 rows.
Join CC.
Rows 7 and 8: With CC, knit 1 row, purl 1 row.
Rows 9-12: With MC, work 4 rows in stockinette.
Rows 13 and 14: With CC, knit 1 row, purl 1 row.
Cut CC. Continue in MC.
Work in stockinette for 10 rows.
Bind off.
"""


def begun(folder: Path, text: str) -> dict[str, Any]:
    """The stages of a course begun from a pattern."""
    folder.mkdir(exist_ok=True)
    (folder / "print.txt").write_text(HEAD + text, encoding="utf-8")
    begin_from(folder / "c", {}, date(2027, 1, 4), Sources(pattern=folder / "print.txt"), lambda texts: texts)
    stages: dict[str, Any] = yaml.safe_load((folder / "c" / "pattern.yaml").read_text(encoding="utf-8"))["stages"]
    return stages


def test_numbered_rows_are_parted_where_the_yarn_changes(tmp_path: Path) -> None:
    """What is printed before a stripe is told before it, and its yarn is used: it was told after all stripes."""
    works = begun(tmp_path, STRIPED)["body"]["works"]
    assert [(one.get("rows"), one.get("yarn"), one.get("before")) for one in works if "lines" in one] == [
        (6, "MC", None),
        (2, "CC", "Join CC."),
        (4, "MC", None),
        (2, "CC", None),
        (10, "MC", "Cut CC. Continue in MC."),
    ]
    loaded = lessonplan.load(tmp_path / "c")
    assert loaded.worked
    steps = loaded.worked.kinds["full"].stage("body", 0).rounds
    assert "".join(name[0] for step in steps for name, _ in step.yarns) == "MMMMMMCCMMMMCCMMMMMMMMMM"


def test_what_is_left_of_a_length_ends_on_the_side_that_print_says(tmp_path: Path) -> None:
    """Of the 35 rows of 5 in 20 are done; of the 15 left the last is a RS row: 16."""
    rows = "With MC, cast on 30 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nWork in stockinette for 18 rows.\n"
    text = f"BODY\n{rows}Work even until body measures 5 inches, ending with a WS row.\nBind off.\n"
    begun(tmp_path, text)
    loaded = lessonplan.load(tmp_path / "c")
    assert loaded.worked
    assert len(loaded.worked.kinds["full"].stage("body", 0).rounds) == 36


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Bind off.", ("", "")),
        ("Bind off all sts loosely in rib.", ("method", "loosely in rib")),
        ("BO in pattern.", ("method", "in pattern")),
        ("Bind off all sts, leaving a long tail.", ("note", "Leaving a long tail.")),
    ],
)
def test_how_stitches_are_bound_off_is_part_of_it(text: str, said: tuple[str, str]) -> None:
    """“Bind off 60 sts (in rib).”, where the handout had “In rib.” as a sentence behind it."""
    assert how_bound(text) == said


@pytest.mark.parametrize(
    ("length", "digits", "written"),
    [(15 / 7, 2, "2.15"), (15.666, 1, "15.7"), (15.64, 1, "15.64"), (3.0, 2, "3"), (2.5, 1, "2.5")],
)
def test_a_length_is_written_no_shorter_than_it_is(length: float, digits: int, written: str) -> None:
    assert at_least(length, digits) == written


BANDS = """BODY
With MC, cast on 60 sts.
Row 1: Knit.
Row 2: Purl.
Bind off.

SLEEVE
Cast on 20 sts. Join to work in the round.
Rnds 1 to 4: Knit.
Bind off.

NECKBAND
With RS facing, MC and US 5 needle, pick up and knit 60 sts around the neck.
Row 1: *P1, k1; rep from * to end.
Work 5 rows in rib in all.
Bind off.

BUTTON BAND
With RS facing, MC and US 5 needle, pick up and knit 3 sts for every 4 rows down the left front: 56 sts.
Rows 1-6: *K1, p1; rep from * to end.
Bind off.
"""


def test_bands_are_picked_up_once_on_their_needle_and_worked_in_rows(tmp_path: Path) -> None:
    """Rows in all are with the one before them; stitches picked up begin anew, though rounds went before."""
    stages = begun(tmp_path, BANDS)
    told = "With RS facing, MC and US 5 needle."
    works = [{key: value for key, value in one.items() if key != "yarn"} for one in stages["neckband"]["works"]]
    assert works[0] == {"pick_up": 60, "along": "the neck", "before": told}
    assert works[1]["rows"] == 5
    band = stages["button_band"]["works"]
    assert band[0] == {
        "pick_up": 56, "along": "the left front, 3 sts for every 4 rows", "yarn": "MC", "before": told
    }  # fmt: skip
    assert band[1]["rows"] == 6
    loaded = lessonplan.load(tmp_path / "c")
    assert loaded.worked
    worked = loaded.worked.kinds["full"]
    assert [len(worked.stage(key, 0).rounds) for key in ("neckband", "button_band")] == [5, 6]


@pytest.mark.parametrize("heading", ["SWATCH", "Gauge swatch", "Tension square"])
def test_a_swatch_is_no_part_of_the_piece(tmp_path: Path, heading: str) -> None:
    """Each sample that is finished would have one, and the next part could be worked “at any time”."""
    swatch = f"{heading}\nCast on 30 sts.\nWork in stockinette stitch for 40 rows.\nBind off.\n\n"
    stages = begun(tmp_path, swatch + STRIPED)
    assert [*stages] == ["body"]
    text = (tmp_path / "c" / "pattern.yaml").read_text(encoding="utf-8")
    assert "# Work in stockinette stitch for 40 rows." in text
    assert begun(tmp_path / "alone", swatch.replace("\n\n", "\n"))


def test_a_measure_keeps_the_heading_that_says_what_it_measures(tmp_path: Path) -> None:
    """The summary is read by viewers: “22½ inches.” alone tells nothing."""
    text = HEAD.replace("MATERIALS", "FINISHED CHEST (buttoned)\n22½ inches\n\nMATERIALS") + STRIPED
    (tmp_path / "print.txt").write_text(text, encoding="utf-8")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "print.txt"), lambda texts: texts)
    summary = yaml.safe_load((tmp_path / "c" / "course.yaml").read_text(encoding="utf-8"))["summary"]
    assert "Finished chest (buttoned): 22½ inches." in summary


def test_a_pattern_is_tried_out_whatever_number_of_days_is_told(tmp_path: Path) -> None:
    """Tried in one episode with two days it could not be worked: nothing was set aside, and the ends were a guess."""
    text = HEAD + BANDS + "\nFINISHING\nWeave in ends.\n"
    (tmp_path / "print.txt").write_text(text, encoding="utf-8")
    written = []
    for name, said in (("one", "2027-02-13"), ("two", "2027-02-13, 2027-02-27")):
        answers = {"shoot": said, "episodes": "2"}
        sources = Sources(pattern=tmp_path / "print.txt")
        begin_from(tmp_path / name, answers, date(2027, 1, 4), sources, lambda texts: texts)
        written.append((tmp_path / name / "pattern.yaml").read_text(encoding="utf-8"))
    assert written[0] == written[1]
    assert "weave_ends: 8" in written[0]  # two of each part; the guess is two of each yarn
