"""Yarns worked side by side, found by hand in a small pattern, and what is said of colours that are alike."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import Problem
from lessonplan.documents.shotlist import shot_list_view
from lessonplan.pattern.colourpairs import pairs
from lessonplan.planning.worked import Plan, Result
from tests.small_course import COURSE, EPISODE, write_course

PATTERN = """\
title: Ring
gauge: {stitches: 20, rounds: 30}
yarns:
  A: {name: Wool, colour: brick, hex: "#C2722F", metres: 200, grams: 100}
  B: {name: Wool, colour: moss, hex: "#7F8A2F", metres: 200, grams: 100}
  C: {name: Wool, colour: night, hex: "#101030", metres: 200, grams: 100}
  D: {name: Wool, colour: never used, hex: "#101031", metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - {cast_on: 40, join: yes, yarn: C}
      - {rounds: 4, lines: Knit, yarn: C}
  body:
    title: Body
    after: edge
    works:
      - {rounds: 4, lines: Knit, yarn: A}
      - {rounds: 4, lines: Knit, yarn: C}
  top:
    title: Top
    after: body
    works:
      - {rounds: 4, lines: Knit, stripes: "2 C, 1 A, 1 B"}
"""


def result(folder: Path, pattern: str = PATTERN) -> Result:
    return lessonplan.plan(
        write_course(folder, {"pattern.yaml": pattern, "course.yaml": COURSE, "episodes/01.yaml": EPISODE})
    )


def told(made: Result) -> list[Problem]:
    return [problem for problem in made.problems if problem.code == "colours"]


def plan(folder: Path, pattern: str = PATTERN) -> Plan:
    made = result(folder, pattern).plan
    assert made is not None
    return made


def test_pairs_meet_in_rounds_that_follow_and_over_stages(tmp_path: Path) -> None:
    made = plan(tmp_path)
    found = {(pair.one, pair.other): pair.stages for pair in pairs(made.course.pattern, made.worked.pattern)}
    assert found == {("A", "C"): ("body", "top"), ("A", "B"): ("top",)}


def test_yarns_meet_where_something_else_is_done_between(tmp_path: Path) -> None:
    # The top is worked onto the last round of the body, in B on C, whatever is done without yarn before it.
    pattern = PATTERN.replace('stripes: "2 C, 1 A, 1 B"', "yarn: B")
    pattern = pattern.replace("yarn: C}\n  top:", "yarn: C}\n      - {minutes: 5, what: Try it on}\n  top:")
    made = plan(tmp_path, pattern)
    found = {(pair.one, pair.other): pair.stages for pair in pairs(made.course.pattern, made.worked.pattern)}
    assert found == {("A", "C"): ("body",), ("B", "C"): ("top",)}


def test_colours_that_some_see_alike_are_noted_with_what_would_do(tmp_path: Path) -> None:
    (problem,) = told(result(tmp_path))
    assert (problem.code, problem.severity, problem.where.line) == ("colours", "note", 5)
    assert problem.message.startswith(
        "A (brick) and B (moss), side by side in “Top”, look alike to those who do not see "
    )
    assert problem.hint.startswith("A darker ")
    shade = problem.hint.split("such as ")[1][:7]
    old = "#C2722F" if "brick" in problem.hint else "#7F8A2F"
    assert told(result(tmp_path / "mended", PATTERN.replace(old, shade))) == []


def test_colours_that_are_not_given_are_not_judged(tmp_path: Path) -> None:
    assert told(result(tmp_path, PATTERN.replace(', hex: "#7F8A2F"', ""))) == []


def test_the_shot_list_says_which_shots_rest_on_the_colours(tmp_path: Path) -> None:
    rows = {row.yarns: row for row in shot_list_view(plan(tmp_path)).colours}
    assert set(rows) == {"A (brick) beside B (moss)", "A (brick) beside C (night)"}
    alike = rows["A (brick) beside B (moss)"]
    assert alike.verdict.startswith("look alike to those who do not see")
    assert alike.shots == "", "no shot of the small course shows the top"
    # By the WCAG definition: luminances 0.2323 and 0.2310.
    assert alike.contrasts[0] == "1.0"
    assert rows["A (brick) beside C (night)"].verdict == "told apart by everybody"


@pytest.mark.parametrize("state", ["top round 3"])
def test_a_shot_that_shows_the_stage_is_named(tmp_path: Path, state: str) -> None:
    episode = EPISODE + f"  - title: Top\n    shots: [{{view: face, pieces: [{{needs: {state}}}]}}]\n"
    files = {"pattern.yaml": PATTERN, "course.yaml": COURSE, "episodes/01.yaml": episode}
    made = lessonplan.plan(write_course(tmp_path, files)).plan
    assert made is not None
    rows = {row.yarns: row for row in shot_list_view(made).colours}
    assert rows["A (brick) beside B (moss)"].shots == "1.2.1"
