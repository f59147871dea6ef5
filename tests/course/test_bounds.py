"""Bounds before the work: what nobody could have meant is one sentence at its place, at once, whatever its size."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import MOST, Where as At, error, first_of, note
from lessonplan.edit.proof.typed import with_typed
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle
from lessonplan.planning.worked import Result
from tests.pace import allowed
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

SAID = "We cast on {{ edge.cast_on }} stitches."
KNIT = 'lines: "Knit"'


def asked(folder: Path, **files: str) -> Result:
    """Load a course in no more than the 2 s of processor time that any input below 1 MB may take."""
    names = {"course": "course.yaml", "pattern": "pattern.yaml", "episode": "episodes/01.yaml", "errata": "errata.yaml"}
    course = write_course(folder, {names[name]: text for name, text in files.items()})
    start = time.process_time()
    result = lessonplan.load(course)
    with_typed(result)
    assert time.process_time() - start < allowed(2)
    return result


def only(result: Result) -> tuple[str, str]:
    (problem,) = [one for one in result.problems if one.severity == "error"]
    return problem.where.file, problem.message


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        ("pattern", "rounds: 10\n", "rounds: 1000000\n", "is still not done after 5,000 rounds"),
        ("pattern", "rounds: 10\n", "rounds: 1000 m\n", "is still not done after 5,000 rounds"),
        (
            "pattern",
            "- bind_off: all",
            "- units: 1000000\n        unit: flower\n        each: 1 min",
            "made one by one",
        ),
        ("pattern", KNIT, 'lines: "(K1, p99999999, k1) in same st"', "more than anybody works"),
        ("pattern", KNIT, 'lines: "Work even for 999999999 rows"', "more than anybody works"),
        ("pattern", KNIT, "lines:\n" + '          - "K40"\n' * 4000, "1000 at most"),
        ("pattern", "- bind_off: all", "- minutes: 5\n      " * 5100 + "- bind_off: all", "5,000 at most"),
        ("episode", SAID, '"' + "[" * 20000 + '"', "20,000 signs"),
        ("episode", SAID, '"' + "7 " * 20000 + '"', "40,000 signs"),
        ("episode", SAID, "[" + "[]," * 30000 + "x]", "60,000 at most"),
        ("episode", "        hands:", "          - needs: before edge\n" * 60 + "        hands:", "50 at most"),
        ("course", "title: Ring cowl", "title: " + "9" * 200_000, "200,000 signs"),
    ],
)
def test_what_is_beyond_all_bounds_is_one_sentence_at_once(
    tmp_path: Path, file: str, old: str, new: str, told: str
) -> None:
    text = {"course": COURSE, "pattern": PATTERN, "episode": EPISODE}[file]
    assert old in text
    where, message = only(asked(tmp_path, **{file: text.replace(old, new)}))
    assert Path(where).stem in (file, "01")
    assert told in message


def test_a_pattern_has_so_many_rounds_in_all_its_sizes(tmp_path: Path) -> None:
    sizes = ", ".join(f"S{n}" for n in range(24))
    pattern = PATTERN.replace("gauge:", f"sizes: {sizes}\ngauge:")
    course = COURSE + "film_size: S1\n"
    assert asked(tmp_path / "a", course=course, pattern=pattern.replace("rounds: 10\n", "rounds: 600\n")).worked
    far = asked(tmp_path / "b", course=course, pattern=pattern.replace("rounds: 10\n", "rounds: 4900\n"))
    assert only(far)[1].startswith("Size S4: Up to here the pattern has more than 20,000 rounds")


def test_thousands_of_rounds_take_time_in_proportion(tmp_path: Path) -> None:
    result = asked(tmp_path, pattern=PATTERN.replace("rounds: 10\n", "rounds: 4900\n"))
    assert result.worked is not None
    assert len(result.worked.pattern.stage("body", 0).rounds) == 4900


@pytest.mark.parametrize(
    "said", ["7 ", "1/2 ", "1. ", "[", "[a](", "![", "*a_ ", "12 stitches ", "round 5 ", "forty two "]
)
def test_a_long_text_of_anything_is_read_at_once(tmp_path: Path, said: str) -> None:
    text = (said * (9_900 // len(said))).strip()
    assert asked(tmp_path, episode=EPISODE.replace(SAID, f'"{text}"')).worked is not None


def test_wrong_keys_without_end_are_told_of_as_far_as_anybody_reads(tmp_path: Path) -> None:
    found = asked(tmp_path, course=COURSE + "".join(f"hos{n}: 3\n" for n in range(4900))).problems
    assert [one.code for one in found] == ["unknown-key"] * MOST + ["more"]
    assert (found[-1].where.line, found[-1].severity) == (8 + MOST, "error")


def test_of_many_problems_the_first_of_each_severity_are_told() -> None:
    lots = [note(At("x", n), "n", "A.") for n in range(300)] + [error(At("x", n), "e", "B.") for n in range(300)]
    told = list(first_of(lots))
    assert [(one.severity, one.code) for one in told] == [
        *[("note", "n")] * MOST, ("note", "more"), *[("error", "e")] * MOST, ("error", "more")
    ]  # fmt: skip
    assert list(first_of(lots[:50])) == lots[:50]


def test_rounds_beyond_any_piece_are_refused_in_lines_too() -> None:
    (problem,) = work_lines(["Knit"], Needle(40), rounds=6_000).problems
    assert problem.sentence == "is still not done after 5,000 rounds"
    assert not work_lines(["Knit"], Needle(40), rounds=5_000).problems


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Row 1: ch 3, " + "chart " * 600 + "10 dc", "the turning chain does not count"),
        ("Row 1: ch 3, " + "color " * 600 + "10 dc", "the turning chain does not count"),
        ("Row 1: ch 3, " + "as " * 850 + "10 dc", "no line for round 10 to repeat"),
        ("Round 1: k3, " + ") ( schal " * 283 + "10 dc", "was not opened"),
        ("Row 1: k3, " + "rep " * 600 + "k10", "cannot be read here"),
        ("Round 1: k3, " + "each sc " * 425 + "10 dc", "cannot be read here"),
    ],
)
def test_a_word_said_again_and_again_is_passed_over_or_told_of_at_once(line: str, said: str) -> None:
    start = time.process_time()
    told = work_lines([line], Needle(10)).problems
    assert time.process_time() - start < allowed(2)  # the first four took 2 to 5 s, the last two had no end of nesting
    assert said in told[0].sentence
