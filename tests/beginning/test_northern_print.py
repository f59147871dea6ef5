"""Courses begun from patterns in the manner of northern firms and of leaflets; every number worked by hand."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import yaml

import lessonplan
from lessonplan.beginning.sources import Sources, begin_from

if TYPE_CHECKING:
    from pathlib import Path

    from lessonplan.planning.worked import Result

JUMPER = """A child's jumper

Size: 2 (4) 6 years
Yarn: DK wool, 100 g = 220 m
Needles: circular 4 mm
Knitting tension: 22 sts x 30 rows = 10 x 10 cm in stocking stitch

Body
Cast on 132 (144) 156 sts on circular needle.
K 2 P 2 rib in the round for 4 cm.
K 1 round and dec 0 (0) 2 sts evenly = 132 (144) 154 sts.
K until work measures 20 (23) 26 cm.
Next round: Bind off 6 sts, K 60 (66) 71, bind off 6, K to end = 120 (132) 142 sts.

Sleeves
Cast on 36 (36) 40 sts.
K 1 round, inc 12 (16) 16 sts evenly = 48 (52) 56 sts.
Bind off 6 sts at underarm = 42 (46) 50 sts.
Knit the other sleeve in the same way.

Yoke
Place all pieces on circular needle 4 mm: sleeve, front, sleeve, back = 204 (224) 242 sts.
K 1 round, dec 4 (4) 2 sts evenly = 200 (220) 240 sts.
K 2 P 2 rib 3 cm.
Bind off in rib.
"""
SOCK = """Evening socks

Gauge 30 sts & 40 rnds to 10cm in st st

Foot
CO 40 sts.
Rnd 1: Knit.

Heel
The heel is worked back and forth over the first 20 sts.
Row 1 (RS): k20
Row 2: p20

Leg
Work in k2, p2 rib for 5 cm.
Bind off.
"""


def begun(folder: Path, text: str, made: str) -> tuple[dict[str, list[dict[str, object]]], Result]:
    """The works of each stage as they are written, and the course as it is loaded."""
    (folder / "p.txt").write_text(text, encoding="utf-8")
    begin_from(folder / "c", {"made": made}, date(2027, 1, 4), Sources(pattern=folder / "p.txt"), lambda texts: texts)
    written = yaml.safe_load((folder / "c" / "pattern.yaml").read_text(encoding="utf-8"))
    return {key: stage["works"] for key, stage in written["stages"].items()}, lessonplan.load(folder / "c")


def test_a_jumper_whose_pieces_are_put_on_one_needle(tmp_path: Path) -> None:
    works, loaded = begun(tmp_path, JUMPER, "pullover")
    assert loaded.worked
    assert [size.name for size in loaded.worked.course.pattern.sizes] == ["2", "4", "6"]
    assert [one["take_up"] for one in works["yoke"][:3]] == ["body", "sleeves", "sleeves_2"]
    # Of 20 (23, 26) cm 4 cm are ribbed and one round of 30 to 10 cm, 0.33 cm, is worked.
    assert works["body"][3]["rounds"] == "15.7 (18.7, 21.7) cm"
    assert works["yoke"][4]["rounds"] == "3 cm"
    # 120 and twice 42 are 204, as the print says: what is decreased from there comes to 200 in the course too.
    assert not [one for one in loaded.problems if one.severity != "note"]


def test_a_leg_takes_up_what_waited_while_the_heel_was_worked(tmp_path: Path) -> None:
    works, loaded = begun(tmp_path, SOCK, "socks")
    assert {"take_up": "held"} in works["heel"] + works["leg"]
    assert loaded.worked
    assert loaded.worked.course.pattern.gauge.stitches == 30
    assert not [one for one in loaded.problems if one.code == "left-on-hold"]
