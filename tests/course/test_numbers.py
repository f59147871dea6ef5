"""Numbers of shots taken apart, and the names of the pieces that stand in them."""

from __future__ import annotations

import copy
import pickle
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.values.shotnumbers import ShotNumber, number_in, piece_name, shot_of
from tests.small_course import write_course

EPISODES = {
    f"episodes/{number:02d}.yaml": f"""\
episode: {number}
title: Part {number}
segments:
  - title: A
    shots: [{{view: face, say: One.}}, {{view: face, say: Two.}}]
  - title: B
    shots: [{{view: face, say: Three.}}]
"""
    for number in (1, 2, 12)
}


def test_a_number_has_three_parts() -> None:
    number = ShotNumber("12.3.10")
    assert (number.place, number.episode, number.segment) == ((12, 3, 10), 12, "12.3")
    assert f"shot {number}" == "shot 12.3.10"


@pytest.mark.parametrize("text", ["", "1", "1.2", "1.2.3.4", "1.2.a", "1.2.3 b", " 1.2.3", "1..3", "1.2.-3", "١.٢.٣"])
def test_other_texts_are_no_numbers(text: str) -> None:
    with pytest.raises(ValueError, match="is not the number of a shot"):
        ShotNumber(text)


def test_the_story_counts_numbers_as_numbers() -> None:
    numbers = [ShotNumber(text) for text in ("10.1.1", "1.10.1", "1.9.10", "1.9.9", "2.1.1")]
    assert sorted(numbers, key=lambda one: one.place) == ["1.9.9", "1.9.10", "1.10.1", "2.1.1", "10.1.1"]


@pytest.mark.parametrize(
    "name", ["2", "2.4", "2.4.1", "episode 2", "Episode 2", "segment 2.4", "shot 2.4.1", "Shot 2.4.1", "shot2.4.1"]
)
def test_what_names_a_shot_or_what_it_lies_in(name: str) -> None:
    assert number_in(name) in ShotNumber("2.4.1").parts


@pytest.mark.parametrize("name", ["", "shot", "4", "1", "2.", "2.4.1.1", "2.4.10", "2.41", "24", "2.4.1 b", "scene 2"])
def test_what_does_not(name: str) -> None:
    assert number_in(name) not in ShotNumber("2.4.1").parts


def test_a_number_survives_being_copied() -> None:
    number = ShotNumber("2.4.1")
    for other in (copy.deepcopy(number), pickle.loads(pickle.dumps(number))):
        assert (other, other.segment) == (number, "2.4")


def test_pieces_are_lettered_where_there_are_several() -> None:
    number = ShotNumber("2.5.1")
    assert piece_name(number, 0, 1) == "2.5.1"
    assert [piece_name(number, place, 3) for place in range(3)] == ["2.5.1 a", "2.5.1 b", "2.5.1 c"]
    assert [shot_of(name) for name in ("2.5.1", "2.5.1 a", "2.5.1 c")] == [number] * 3


def test_a_course_lists_its_segments_and_shots_in_the_order_of_the_story(tmp_path: Path) -> None:
    films = {"course.yaml": "title: T\nhost: H\nshoot: [{day: 2027-03-06, films: [1, 2, 12]}]\n"}
    result = lessonplan.load(write_course(tmp_path, {**films, **EPISODES}))
    assert result.worked, [str(problem) for problem in result.problems]
    course = result.worked.course
    assert [one.number for one in course.segments()] == ["1.1", "1.2", "2.1", "2.2", "12.1", "12.2"]
    shots = list(course.shots())
    assert [one.number for one in shots[-3:]] == ["12.1.1", "12.1.2", "12.2.1"]
    assert [(one.episode.title, one.segment.title, one.shot.say) for one in shots[3:5]] == [
        ("Part 2", "A", "One."),
        ("Part 2", "A", "Two."),
    ]
