"""What must not lie beside what: pairs named by hand, in tools and hands, and trays that are parted by them."""

from __future__ import annotations

from pathlib import Path

import lessonplan
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.shoot.hazards import PAIRS, cleared_between, kept_apart
from tests.documents.timed import COURSE, PATTERN, episode, shot
from tests.small_course import write_course


def test_each_pair_is_kept_apart_and_nothing_else(tmp_path: Path) -> None:
    tools = ("bowl of water", "steam iron", "acetone", "candle", "bleach", "vinegar", "ruler")
    files = {"course.yaml": COURSE, "pattern.yaml": PATTERN}
    files["episodes/01.yaml"] = episode(tuple(shot("face", tools=one) for one in tools))
    course = lessonplan.load(write_course(tmp_path, files)).worked
    assert course is not None
    numbers = {one: ShotNumber(f"1.1.{place}") for place, one in enumerate(tools, 1)}
    apart = {
        frozenset((one, other)): how
        for one in tools
        for other in tools
        if (how := cleared_between(course.course, numbers[one], numbers[other]))
    }
    assert apart == {
        frozenset(("bowl of water", "steam iron")): "table cleared and dried",
        frozenset(("acetone", "candle")): "table cleared and room aired",
        frozenset(("acetone", "steam iron")): "table cleared and room aired",
        frozenset(("bleach", "vinegar")): "table cleared, all rinsed and room aired",
    }
    parts = kept_apart(course.course, numbers.values())
    assert [tuple(tools[int(one.rpartition(".")[2]) - 1] for one in part) for part in parts] == [
        ("bowl of water",),
        ("steam iron",),
        ("acetone",),
        ("candle", "bleach"),
        ("vinegar", "ruler"),
    ]


def test_a_hold_of_a_sewn_book_is_no_kettle(tmp_path: Path) -> None:
    shots = (shot("face", title="The kettle stitch", tools="thread"), shot("face", tools="bowl of water"))
    files = {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": episode(shots)}
    course = lessonplan.load(write_course(tmp_path, files)).worked
    assert course is not None
    assert cleared_between(course.course, ShotNumber("1.1.1"), ShotNumber("1.1.2")) == ""


def test_the_words_of_a_pair_are_of_one_side_only() -> None:
    assert [pair for pair in PAIRS if pair.one & pair.other] == []
