"""Typed numbers, in digits and in words, held against what holds in their segment: file, line and column."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from lessonplan.beginning.sources import Sources, begin_from
from lessonplan.edit.proof.typed import typed_problems, with_typed
from lessonplan.planning.worked import load
from tests.small_course import EPISODE, PATTERN, write_course

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
        ("now ninety-nine rows", "“ninety nine rows” stands here; by the pattern: 104 rows (Straight part: rows)."),
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
        ("each ridge is two rows", ""),
        ("count the ridges, each is two rows", ""),
        ("two rows are one ridge", ""),
        ("now two rows", "“two rows” stands here; by the pattern: 104 rows (Straight part: rows)."),
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


BAG = """Bag

Sizes: Small (Large)
Gauge: 18 sts and 20 rounds in single crochet = 10 cm

Body
Ch 90 (114), join with a sl st to form a ring.
Rnd 1: Ch 1, sc in each ch around, join. 90 (114) sts
Rnd 2: Ch 1, sc in each st around, join.
Rep last rnd 13 (17) more times.

Handles
Next rnd: Ch 1, sc in next 13 (17) sts, ch 50 (60), skip next 19 (23) sts, sc in next 26 (34) sts, ch 50 (60), \
skip next 19 (23) sts, sc in last 13 (17) sts, join. 152 (188) sts
Next rnd: Ch 1, sc in each st and in each ch around, join.
Fasten off.
"""
"""90 less twice 19 and twice 50 chains are 152, 114 less twice 23 and twice 60 are 188."""


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("Body\n\nWork the last round thirteen more times for the small bag, and seventeen for the large one.", ""),
        ("Body\n\nFor the small bag stop after round fifteen. For the large bag you go on to round nineteen.", ""),
        ("Body\n\nFor the small bag you go on to round nineteen.", "round nineteen"),
        ("Handles\n\nSingle crochet in thirteen stitches, chain fifty, and skip nineteen stitches.", ""),
        (
            "Handles\n\nSingle crochet in fourteen stitches, chain fifty, and skip nineteen stitches.",
            "fourteen stitches",
        ),
        ("Handles\n\nAfter round one you have 152 stitches.", ""),
    ],
)
def test_numbers_of_a_crocheted_line_and_of_another_size(tmp_path: Path, said: str, wrong: str) -> None:
    (tmp_path / "bag.txt").write_text(BAG.replace("\\\n", ""), encoding="utf-8")
    (tmp_path / "talk.txt").write_text(f"Episode 1: All\n\n{said}\n", encoding="utf-8")
    given = Sources(pattern=tmp_path / "bag.txt", script=tmp_path / "talk.txt")
    begin_from(tmp_path / "c", {}, date(2026, 11, 28), given, lambda texts: texts)
    file = tmp_path / "c" / "course.yaml"
    file.write_text(
        re.sub(r'film_size: "\w+"', 'film_size: "Small"', file.read_text(encoding="utf-8")), encoding="utf-8"
    )
    result = load(tmp_path / "c")
    assert result.worked
    assert result.worked.facts["handles.round_1.stitches"].values == (152, 188)
    found = [message for *_, message in told(tmp_path / "c")]
    assert bool(found) == bool(wrong), found
    assert all(wrong in message for message in found)  # the title of the shot has the same words


def test_labelled_rounds_of_a_later_work_in_a_pattern_of_one_size(tmp_path: Path) -> None:
    pattern = PATTERN.replace('lines: "*K1, p1; rep from * to end"', 'lines: ["Rnd 1: *K1, p1; rep from * to end."]')
    episode = EPISODE.replace("say: We cast on", "say: The first round leaves 40 stitches. We cast on")
    assert told(write_course(tmp_path, {"pattern.yaml": pattern, "episodes/01.yaml": episode})) == []
