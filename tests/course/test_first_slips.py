"""Slips of a person who types YAML for the first time: one sentence each, where the slip is, with the way out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
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


MOVED = EPISODE[EPISODE.index("- needs") : EPISODE.index("        say:")]
"""The piece of the small course and what the hands do with it."""
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
        (typed("course.yaml", "host: Ada", "host = Ada"), 2, 1, "line after the key. Write it as “key: value”."),
        (typed("pattern.yaml", "stages:", "notions:\n  markers\n  - scissors\nstages:"), 6, 3, "Begin every entry"),
        (typed("course.yaml", "films: [1]", "films: [1]\n    night_work: perhaps"), 8, 17, "“perhaps”"),
        (typed("course.yaml", "2027-03-06", "2027-02-30"), 4, 10, "February 2027 has 28 days"),
        (typed("course.yaml", "2027-03-06", "20.2.2027"), 4, 10, "year first: 2027-02-20"),
        (typed("course.yaml", "call: 9:00", "lunch: noon"), 5, 12, "such as “12:30 for 45 min”"),
        (
            typed("episodes/01.yaml", 'work: "k1, p1"', "do: see\n            time: 1:00"),
            12,
            19,
            "write for example “1 min” or “1 h”",
        ),
        (
            typed(
                "episodes/01.yaml",
                MOVED,
                MOVED.replace("leaves: edge round 1", "kinds: full").replace("p1", "k to end"),
            ),
            11,
            26,
            "give its “leaves”",
        ),
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


def test_what_is_left_out_of_a_state_is_named_with_the_whole_state(tmp_path: Path) -> None:
    strap = PATTERN + "  strap: {title: Strap, after: edge, works: [{cast_on: 8}, {rounds: 4, lines: Knit}]}\n"
    moved = MOVED.replace("before edge", "body").replace("edge round 1", "strap round 1")
    files = typed("episodes/01.yaml", MOVED, moved)
    *_, sentence = told(write_course(tmp_path, {**files, "pattern.yaml": strap}))
    assert "without “body”, which the piece has already: write “leaves: body, strap round 1”" in sentence


def test_one_period_and_a_lunch_with_a_comma_are_read(tmp_path: Path) -> None:
    more = "knitters: [{name: Eva, away: 2027-01-22 to 2027-01-24}]\n"
    files = {"course.yaml": COURSE.replace("call: 9:00", "lunch: 12:30, 45 minutes") + more}
    result = lessonplan.load(write_course(tmp_path, files))
    assert result.worked is not None, result.problems
    file = result.worked.course.course
    assert file.knitters[0].away == ((date(2027, 1, 22), date(2027, 1, 24)),)
    assert file.shoot[0].lunch is not None
    assert (file.shoot[0].lunch.at, file.shoot[0].lunch.takes) == (12 * 60 + 30, 45)


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
