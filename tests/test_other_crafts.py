"""Courses of other crafts: crochet by its printed rows, and any craft by counted units and plain minutes."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.worked import Plan
from tests.small_course import COURSE, write_course

CROCHET = """\
title: Round coaster
craft: crochet
gauge: {stitches: 16, rounds: 18}
needles: 5 mm hook
yarns:
  MC: {name: Cotton, metres: 85, grams: 50, weight: DK}
stages:
  centre:
    title: Centre
    works:
      - rounds: 3
        lines:
          - "Rnd 1: 6 sc in magic ring (6 sc)"
          - "Rnd 2: 2 sc in each st around (12 sc)"
          - "Rnd 3: [Sc in next st, 2 sc in next st] 6 times (18 sc)"
  border:
    title: Border
    after: centre
    works:
      - rounds: 2
        lines: "Sc in each st around"
      - weave_ends: 2
"""
QUILT = """\
title: Nine-patch cushion
craft: patchwork
stages:
  cut:
    title: Cutting
    works:
      - units: 9
        unit: square
        each: 4 min
  sew:
    title: Sewing
    after: cut
    works:
      - minutes: 50
        what: Sew the squares together
      - minutes: 5
        what: Glue the label
        drying: 2 h
"""
EPISODE = """\
episode: 1
title: All of it
segments:
  - title: Begin
    shots:
      - {view: overhead, say: Here is the beginning., pieces: [{needs: FIRST}]}
  - title: End
    shots:
      - {view: overhead, say: And the end., pieces: [{needs: finished}]}
"""


def plan(folder: Path, pattern: str, first: str) -> Plan:
    files = {"course.yaml": COURSE, "pattern.yaml": pattern, "episodes/01.yaml": EPISODE.replace("FIRST", first)}
    result = lessonplan.build(write_course(folder, files), folder / "out")
    assert result.plan is not None, [str(problem) for problem in result.problems]
    assert [p for p in result.problems if p.severity == "error"] == []
    return result.plan


def test_crochet_rounds_are_worked_and_counted(tmp_path: Path) -> None:
    made = plan(tmp_path, CROCHET, "centre round 2")
    centre = made.worked.pattern.stage("centre", 0)
    assert [step.after for step in centre.rounds] == [6, 12, 18]
    assert dict(centre.rounds[2].techniques) == {"sc": 18}
    page = (tmp_path / "out" / "handout.html").read_text(encoding="utf-8")
    assert "single crochet" in page
    assert "18\u00a0sts" in page


def test_a_hook_and_gauge_outside_the_table_are_notes(tmp_path: Path) -> None:
    # Craft Yarn Council's table, weight 3: single crochet 12 to 17 sts to 4 in, hooks 4.5 to 5.5 mm.
    assert plan(tmp_path / "a", CROCHET, "centre")
    files = {"pattern.yaml": CROCHET.replace("5 mm", "9 mm").replace("stitches: 16", "stitches: 24")}
    found = lessonplan.load(
        write_course(tmp_path / "b", {**files, "episodes/01.yaml": EPISODE.replace("FIRST", "centre")})
    )
    assert sorted(problem.code for problem in found.problems) == ["gauge", "needle"]
    assert {problem.severity for problem in found.problems} == {"note"}


def test_counted_units_take_their_time_each(tmp_path: Path) -> None:
    made = plan(tmp_path, QUILT, "cut")
    ladder = made.worked.question.ladders["full"]
    assert ladder.cost((9, 0)) == pytest.approx(36)
    assert ladder.cost((9, 2)) == pytest.approx(91)
    assert ladder.dried((9, 2)) == 120
    page = (tmp_path / "out" / "handout.html").read_text(encoding="utf-8")
    assert "sts" not in page.split("<main")[1].split("</main>")[0]


def test_knitting_without_gauge_or_yarn_is_a_problem(tmp_path: Path) -> None:
    pattern = QUILT.replace("craft: patchwork", "craft: knitting")
    found = lessonplan.load(
        write_course(tmp_path, {"pattern.yaml": pattern, "episodes/01.yaml": EPISODE.replace("FIRST", "cut")})
    )
    assert [problem.message for problem in found.problems] == ["“gauge” is missing here.", "“yarns” is missing here."]
