"""Slips that a new teacher makes, each answered once, in plain words, with what to type instead."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.read import load
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

MORE = EPISODE + "".join(
    f"  - title: More {n}\n    shots:\n      - view: overhead\n        say: And on.\n" for n in range(2, 6)
)


def told(tmp_path: Path, files: dict[str, str]) -> list[str]:
    return [str(problem) for problem in lessonplan.load(write_course(tmp_path, files)).problems]


def test_films_may_name_a_run_of_segments(tmp_path: Path) -> None:
    for films in ("1.2 to 1.4", "1.2 - 1.4", "[1.2–1.3, 1.4]", "1.2, 1.3 until 1.4"):
        course = load(
            write_course(tmp_path, {"course.yaml": COURSE.replace("[1]", films), "episodes/01.yaml": MORE})
        ).course
        assert course is not None
        assert course.course.shoot[0].films == ("1.2", "1.3", "1.4")
    (problem, *_) = told(tmp_path, {"course.yaml": COURSE.replace("[1]", "1.4 to 2.1")})
    assert problem.endswith("“1.4 to 2.1” should go up within one episode or segment, such as “1.2 to 1.5”.")


def test_what_is_filmed_nowhere_is_said_once_for_a_segment(tmp_path: Path) -> None:
    problems = told(tmp_path, {"course.yaml": COURSE.replace("[1]", "1.1 to 1.3"), "episodes/01.yaml": MORE})
    assert [line.partition(": ")[2] for line in problems] == [
        f"warning not-filmed: Segment {n} is on no shoot day. Put {n} into the “films” of a day in course.yaml."
        for n in ("1.4", "1.5")
    ]
    (only,) = told(tmp_path, {"course.yaml": COURSE.replace("[1]", "1.11"), "episodes/01.yaml": MORE})
    assert only.endswith("There is no episode, segment or shot “1.11”.")


ONE = [
    ("course.yaml", COURSE, "films", "helpers: 1\n    films", "“1” is a number; people are named here"),
    ("course.yaml", COURSE, "shoot:", "pace: {reset: 20}\nshoot:", "write for example “20 min” or “20 s”"),
    ("course.yaml", COURSE, "shoot:", "pace: {speech: 13}\nshoot:", "Nobody is known to speak 13 words a minute"),
    (
        "course.yaml",
        COURSE,
        "shoot:",
        "knitters: [{name: Bo, hours_per_week: 5 h}]\nshoot:",
        "without its unit here: “5”",
    ),
    ("pattern.yaml", PATTERN, "metres: 200", "metres: 180 m", "it stands without its unit here: “180”"),
    ("pattern.yaml", PATTERN, "  body:", "  Body:", "“Body” cannot name a stage"),
    ("pattern.yaml", PATTERN, "      - rounds: 4", "     - rounds: 4", "fits under no line above it"),
    (
        "pattern.yaml",
        PATTERN,
        "    title: Body",
        "\u00a0   title: Body",
        "A no-break space stands at the start",
    ),
    ("episodes/01.yaml", EPISODE, "{{ edge.cast_on }}", "{ edge.cast_on }", "Write “{{ edge.cast_on }}”."),
    ("episodes/01.yaml", EPISODE, "{{ edge.cast_on }}", "{{ edge }}", "Name what of it: “edge” has title, stitches"),
    ("episodes/01.yaml", EPISODE, '- work: "k1, p1"', "- do: count\n            time: 20", "“20” has no unit"),
    ("episodes/01.yaml", EPISODE, '- work: "k1, p1"', '- work: "k1, sm"', "pm places one"),
]


@pytest.mark.parametrize(("file", "text", "right", "wrong", "said"), ONE, ids=[one[4][:30] for one in ONE])
def test_one_slip_is_one_sentence(tmp_path: Path, file: str, text: str, right: str, wrong: str, said: str) -> None:
    assert right in text
    (problem,) = told(tmp_path, {file: text.replace(right, wrong, 1)})
    assert said in problem


def test_a_list_where_a_state_is_asked_for_is_one_sentence(tmp_path: Path) -> None:
    """Nothing can stand as it says, so that nothing is worked out of it."""
    text = EPISODE.replace("needs: before edge", "needs: {x: 1}").replace("            leaves: edge round 1\n", "")
    result = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": text}))
    (wrong,) = (one for one in result.problems if one.severity == "error")
    assert (wrong.where.file, wrong.where.line) == ("episodes/01.yaml", 8)
    assert wrong.message == "A single text is expected here, not a list."


def test_a_stage_after_nothing_is_questioned_before_its_lines(tmp_path: Path) -> None:
    problems = told(tmp_path, {"pattern.yaml": PATTERN.replace("    after: edge\n", "")})
    assert problems[0].startswith("pattern.yaml:14:5: warning no-after: “body” comes after no stage")
    assert problems[0].endswith("write: after: edge")


def test_mistakes_of_several_kinds_are_told_in_one_pass(tmp_path: Path) -> None:
    problems = told(
        tmp_path,
        {
            "course.yaml": COURSE + "plaice: here\n",
            "pattern.yaml": PATTERN.replace('"Knit"', '"Knot"'),
            "episodes/01.yaml": EPISODE.replace("before edge", "before egde").replace(
                "{{ edge.cast_on }}", "{{ egde.x }}"
            ),
        },
    )
    codes = [line.split(": ")[1].split(" ")[1] for line in problems]
    assert sorted(codes) == ["line", "unknown-fact", "unknown-key", "unknown-stage"]


def test_lines_with_errors_have_no_followers(tmp_path: Path) -> None:
    text = EPISODE.replace("{{ edge.cast_on }}", "{{ body.rounds }}")
    (problem,) = told(tmp_path, {"pattern.yaml": PATTERN.replace('"Knit"', '"Knot"'), "episodes/01.yaml": text})
    assert "“Knot”" in problem


def test_files_of_other_systems_are_passed_over_or_named(tmp_path: Path) -> None:
    assert told(tmp_path, {"episodes/._01.yaml": "Mac OS X\n"}) == []
    (problem,) = told(tmp_path, {"episodes/02 more.yaml.txt": "episode: 2\n"})
    assert problem.endswith("This file is not read, since its name ends in .txt; call it 02 more.yaml.")


def test_a_size_is_not_taken_for_a_weight_of_yarn(tmp_path: Path) -> None:
    text = PATTERN.replace("grams: 100", "grams: 100, weight: aran") + "sizes: [Medium]\n"
    (problem,) = told(tmp_path, {"pattern.yaml": text.replace("stitches: 20", "stitches: 26")})
    assert "for yarn of weight 4 (aran)" in problem
    assert "Medium" not in problem
