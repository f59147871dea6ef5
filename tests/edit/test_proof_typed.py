"""Typed numbers, in digits and in words, held against what holds in their segment: file, line and column."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from lessonplan.edit.proof.typed import typed_problems, with_typed
from lessonplan.planning.worked import load

ROOT = Path(__file__).parent.parent.parent
HEADBAND = Path(__file__).parent / "headband"


def told(folder: Path) -> list[tuple[int, int, str]]:
    result = load(folder)
    assert result.worked is not None, result.problems
    return [(one.where.line, one.where.column, one.message) for one in typed_problems(result.worked)]


def with_text(tmp_path: Path, old: str, new: str) -> Path:
    folder = tmp_path / "course"
    shutil.copytree(HEADBAND, folder)
    file = folder / "episodes" / "01.yaml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    return folder


@pytest.mark.parametrize("folder", ["sample_course", "tests/courses/hat", "tests/courses/bookbinding"])
def test_nothing_is_told_of_a_course_that_is_right(folder: str) -> None:
    assert told(ROOT / folder) == []


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("now ninety-nine rows", "“ninety nine rows” stands here, and 104 rows (Straight part: rows) holds."),
        (
            "now 104 rounds",
            "“104 rounds” stands here; with another unit it would be right: 104 rows (Straight part: rows).",
        ),
        (
            "this one has 10 rows",
            "“10 rows” is true of the piece on the table only; by the pattern: 104 rows (Straight part: rows); "
            "what was said is true of this alone: ",
        ),
        ("now a hundred and four rows", ""),
        ("now {{ middle.rows }} rows", ""),
        ("what you like, for 25 minutes", ""),
    ],
)
def test_a_typed_number(tmp_path: Path, typed: str, expected: str) -> None:
    folder = with_text(tmp_path, '"how long it must be, 1 min"', f'"{typed}, 1 min"')
    found = told(folder)
    assert [expected in message for _, _, message in found] == ([True] if expected else [])


def test_it_is_told_where_it_stands(tmp_path: Path) -> None:
    lines = ("Here are {{ middle.stitches }} stitches,", "and then {{ middle.rows }} rows; or 99 rows.")
    say = "\n        say: |" + "".join(f"\n          {line}" for line in lines)
    folder = with_text(tmp_path, '\n        points: ["how long it must be, 1 min"]', say)
    ((line, column, message),) = told(folder)
    text = (folder / "episodes" / "01.yaml").read_text(encoding="utf-8").splitlines()[line - 1]
    assert text[column - 1 :].startswith("99 rows")
    assert message.startswith("“99 rows” stands here")


def test_words_swapped_in_a_script(tmp_path: Path) -> None:
    new = '"make one left leans to the right, 3 min"'
    ((_, _, message),) = told(with_text(tmp_path, '"the two increases are mirrors, 3 min"', new))
    assert message == "“right” stands here, where “left” is right."


def test_it_is_a_warning_among_the_problems_of_check(tmp_path: Path) -> None:
    folder = with_text(tmp_path, '"how long it must be, 1 min"', '"now 99 rows, 1 min"')
    problems = with_typed(load(folder)).problems
    assert [(one.severity, one.code, one.where.file) for one in problems] == [
        ("warning", "typed-number", "episodes/01.yaml")
    ]
