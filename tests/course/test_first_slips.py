"""Slips of a person who types YAML for the first time: one sentence each, where the slip is, with the way out."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

import lessonplan
from tests.small_course import COURSE, EPISODE, PATTERN, write_course


def told(folder: Path) -> tuple[str, int, int, str]:
    (problem,) = lessonplan.load(folder).problems
    return problem.where.file, problem.where.line, problem.where.column, f"{problem.message} {problem.hint}".strip()


def typed(file: str, old: str, new: str) -> dict[str, str]:
    text = {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE}[file]
    assert text.count(old) == 1
    return {file: text.replace(old, new)}


TWO_SHOTS = """\
episode: 1
title: All of it
segments:
  - title: The edge
    shots:
      - view: overhead
        say: One.
        view: face
        say: Two.
"""


@pytest.mark.parametrize(
    ("files", "line", "column", "words"),
    [
        (typed("course.yaml", "title: Ring", "titel: Ring"), 1, 1, "Did you mean “title”?"),
        (typed("pattern.yaml", "    title: Body", "    titel: Body"), 14, 5, "Did you mean “title”?"),
        (typed("pattern.yaml", "    title: Body", "    title:Body"), 14, 11, "A blank is missing after this colon."),
        (typed("episodes/01.yaml", "- view:", "-view:"), 6, 8, "A blank is missing after this hyphen."),
        (
            typed("course.yaml", "Ring cowl\nhost: Ada", '"Ring cowl\nhost: "Ada" of'),
            1,
            8,
            "opened here and not closed",
        ),
        (typed("course.yaml", "Ring cowl", "'Ada's cowl'"), 1, 8, "be it an apostrophe"),
        (typed("course.yaml", "Ring cowl", r'"C:\Users"'), 1, 11, "in single quotes"),
        (typed("pattern.yaml", "metres: 200", "hex: “#D8C7A3”, metres: 200"), 4, 31, "type straight ones"),
        (typed("course.yaml", "host: Ada", "host = Ada"), 2, 1, "Write it as “key: value”."),
        (typed("pattern.yaml", "stages:", "notions:\n  markers\n  - scissors\nstages:"), 6, 3, "Begin every entry"),
        ({"episodes/01.yaml": TWO_SHOTS}, 8, 9, "write “- ” before it"),
        ({"pattern.yaml": r"{\rtf1\ansi title}"}, 1, 1, "Save it as plain text"),
        ({"pattern.yaml": "<html><body>title: Cowl</body></html>"}, 1, 1, "Save it as plain text"),
    ],
)
def test_a_slip_is_told_of_once_and_where_it_is(
    tmp_path: Path, files: dict[str, str], line: int, column: int, words: str
) -> None:
    file, at, across, sentence = told(write_course(tmp_path, files))
    assert (file, at, across) == (*files, line, column)
    assert words in sentence


def test_a_word_processors_file_is_none(tmp_path: Path) -> None:
    folder = write_course(tmp_path)
    (folder / "pattern.yaml").write_bytes(b"PK\x03\x04" + bytes(range(256)))
    assert told(folder)[3].startswith("This is no plain text")


RENAMED: list[tuple[str, str, str]] = [
    ("pattern.yaml", "pattern.yml", "pattern.yml is there: call it pattern.yaml."),
    ("pattern.yaml", "Pattern.yaml", "Pattern.yaml is there: call it pattern.yaml."),
    ("course.yaml", "course.yaml.txt", "course.yaml.txt is there: call it course.yaml."),
    ("pattern.yaml", "other.yaml", "The file pattern.yaml is missing."),
    ("episodes", "Episodes", "Episodes is there: call it episodes."),
]


@pytest.mark.parametrize(("old", "new", "way"), RENAMED)
def test_a_file_of_another_name_is_named(tmp_path: Path, old: str, new: str, way: str) -> None:
    folder = write_course(tmp_path)
    (folder / old).rename(folder / new)
    if (folder / old).exists():
        pytest.fail("this disk takes both names for one file")
    assert told(folder)[3].endswith(way)


@pytest.mark.parametrize(
    ("inside", "way"),
    [
        (lambda course: course.parent, "There is one in {course}."),
        (lambda course: course / "episodes", "There is one in {course}."),
        (lambda course: course / "course.yaml", "Give its folder: {course}."),
    ],
)
def test_the_wrong_place_names_the_right_one(tmp_path: Path, inside: Callable[[Path], Path], way: str) -> None:
    course = write_course(tmp_path / "cowl")
    assert told(inside(course))[3].endswith(way.format(course=course))
