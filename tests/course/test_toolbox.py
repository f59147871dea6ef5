"""The list of tools: each is packed once, whatever shots call it; free text still reads."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.model.together import Course
from lessonplan.course.names.toolbox import on_table, packed
from lessonplan.planning.worked import Result
from tests.small_course import COURSE, EPISODE, write_course

TOOLS = """\
tools:
  thin needles: 3.5 mm
  thick needles: {what: 4 mm, also: "larger needles, fat ones"}
  both needles: {holds: "thin needles, larger needles"}
  hook: 3 mm
"""


def asked(folder: Path, tools: str = TOOLS, shot: str = "hook") -> Result:
    episode = EPISODE.replace("      - view: overhead\n", f"      - view: overhead\n        tools: {shot}\n")
    return lessonplan.load(write_course(folder, {"course.yaml": COURSE + tools, "episodes/01.yaml": episode}))


def course_of(folder: Path, tools: str) -> Course:
    result = asked(folder, tools)
    assert result.worked is not None, result.problems
    return result.worked.course


def test_each_tool_is_there_once_by_the_name_of_the_list(tmp_path: Path) -> None:
    course = course_of(tmp_path, TOOLS)
    wanted = ["Fat ones", "both needles", "a towel", "A towel", "Hook"]
    assert on_table(course, wanted) == ("thick needles", "thin needles", "a towel", "hook")
    assert packed(course, wanted) == ("thick needles: 4 mm", "thin needles: 3.5 mm", "a towel", "hook: 3 mm")


def test_without_a_list_tools_are_free_text(tmp_path: Path) -> None:
    result = asked(tmp_path, tools="", shot="ruler, two pins, Ruler")
    assert packed(course_of(tmp_path / "other", ""), ["ruler", "two pins", "Ruler"]) == ("ruler", "two pins")
    assert [one for one in result.problems if "tool" in one.code] == []


def test_a_tool_that_is_not_in_the_list_is_noted_with_the_nearest(tmp_path: Path) -> None:
    (told,) = [one for one in asked(tmp_path, shot="thick needle").problems if "tool" in one.code]
    assert (told.severity, told.code, told.where.file, told.where.line) == (
        "note",
        "unlisted-tool",
        "episodes/01.yaml",
        7,
    )
    assert "thick needles" in told.hint


@pytest.mark.parametrize(
    ("tools", "code", "line", "word"),
    [
        ("tools:\n  a: {also: b}\n  b: x\n", "tool-twice", 0, "“b” is a name of “a” too"),
        ("tools:\n  a: {holds: bb}\n  bbb: x\n", "unknown-tool", 9, "no tool “bb”"),
        ("tools:\n  a: {what: in a tin, holds: b}\n  b: x\n", "unprinted", 9, "“in a tin” stands on no paper"),
    ],
)
def test_a_name_means_one_tool_and_what_one_holds_is_there(
    tmp_path: Path, tools: str, code: str, line: int, word: str
) -> None:
    told = [one for one in asked(tmp_path, tools, "a").problems if one.code == code]
    assert len(told) == 1
    assert told[0].severity == ("warning" if code == "unprinted" else "error")
    assert word in told[0].message
    assert not line or told[0].where.line == line


def test_a_tool_that_holds_itself_does_no_harm(tmp_path: Path) -> None:
    course = course_of(tmp_path, 'tools:\n  a: {holds: "b"}\n  b: {holds: "a, hook"}\n  hook: x\n')
    assert "hook" in on_table(course, ["a"])
