"""A raglan worked flat from the top with stripes and bands, begun from print; worked by hand.

The rib grows from nothing that is measured; at 7 rows an inch 5 in are 35 rows.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import yaml

import lessonplan
from lessonplan.beginning.sources import Sources, begin_from

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
