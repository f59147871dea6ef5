"""The order that the host picks in course.yaml is the order of the run sheet; locks are kept or named."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import lessonplan
from tests.command import run
from tests.small_course import COURSE, write_course

EPISODE = """\
episode: 1
title: One
segments:
  - title: A
    shots:
      - {view: face, say: One., takes: 1}
      - {view: overhead, say: Two., takes: 1}
      - {view: face, say: Three., takes: 1}
      - {view: overhead, say: Four., takes: 1}
"""


def filmed(folder: Path, order: str, episode: str = EPISODE) -> list[str]:
    text = COURSE.replace("host:", f"order: {order}\nhost:")
    result = lessonplan.plan(write_course(folder, {"course.yaml": text, "episodes/01.yaml": episode}))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return [entry.number for entry in result.plan.days[0].entries if entry.kind == "shot"]


def test_as_listed_is_the_order_of_films(tmp_path: Path) -> None:
    assert filmed(tmp_path, "as listed") == ["1.1.1", "1.1.2", "1.1.3", "1.1.4"]


@pytest.mark.parametrize("order", ["by view", "cheapest"])
def test_views_come_together(tmp_path: Path, order: str) -> None:
    assert sorted([filmed(tmp_path, order)[:2], filmed(tmp_path, order)[2:]]) == [
        ["1.1.1", "1.1.3"],
        ["1.1.2", "1.1.4"],
    ]


@pytest.mark.parametrize("name", ["1.1.4", "shot 1.1.4", "Shot 1.1.4"])
def test_a_lock_is_kept_however_the_shot_is_named(tmp_path: Path, name: str) -> None:
    locked = EPISODE.replace("say: One., takes: 1", f"say: One., takes: 1, after: {name}")
    order = filmed(tmp_path, "cheapest", locked)
    assert order.index("1.1.4") < order.index("1.1.1")


def told(folder: Path, files: dict[str, str]) -> list[str]:
    return [str(problem) for problem in lessonplan.load(write_course(folder, files)).problems]


def test_locks_that_contradict_each_other_are_a_problem(tmp_path: Path) -> None:
    locked = EPISODE.replace("say: One., takes: 1", "say: One., takes: 1, after: 1.1.4")
    locked = locked.replace("say: Four., takes: 1", "say: Four., takes: 1, after: shot 1.1.1")
    assert told(tmp_path, {"episodes/01.yaml": locked}) == [
        "episodes/01.yaml:6:50: error locks: The shots go round in a circle: 1.1.1 after 1.1.4 after 1.1.1."
    ]


def test_a_lock_against_a_segment_in_order_is_a_problem(tmp_path: Path) -> None:
    locked = EPISODE.replace("- title: A", "- title: A\n    in_order: yes")
    locked = locked.replace("say: Two., takes: 1", "say: Two., takes: 1, after: 1.1.4")
    (only,) = told(tmp_path, {"episodes/01.yaml": locked})
    assert only.startswith("episodes/01.yaml:8:54: ")
    assert only.endswith("The shots go round in a circle: 1.1.2 after 1.1.4 after 1.1.3 after 1.1.2.")


def test_a_lock_against_the_days_is_a_problem(tmp_path: Path) -> None:
    days = COURSE.replace("films: [1]", "films: 1.1.1, 1.1.2")
    days += "  - {day: 2027-03-07, films: '1.1.3, 1.1.4'}\n"
    locked = EPISODE.replace("say: One., takes: 1", "say: One., takes: 1, after: 1.1.4")
    assert told(tmp_path, {"course.yaml": days, "episodes/01.yaml": locked}) == [
        "episodes/01.yaml:6:50: error locks: Shot 1.1.1 comes after 1.1.4, which is filmed on a later day."
    ]
    kept = EPISODE.replace("say: Four., takes: 1", "say: Four., takes: 1, after: 1.1.1")
    assert told(tmp_path, {"course.yaml": days, "episodes/01.yaml": kept}) == []


def test_an_unknown_shot_in_after_is_named(tmp_path: Path) -> None:
    locked = EPISODE.replace("say: One., takes: 1", "say: One., takes: 1, after: 1.9")
    result = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": locked}))
    assert [problem.code for problem in result.problems] == ["unknown-shot"]


def test_the_command_sets_the_orders_side_by_side(tmp_path: Path) -> None:
    course = write_course(tmp_path, {"episodes/01.yaml": EPISODE})
    data = json.loads(run("orders", course, "--json").stdout)
    found = {one["order"]: one for one in data["orders"]}
    assert list(found) == ["as listed", "as told", "by view", "cheapest"]
    assert (found["as told"]["view_changes"], found["cheapest"]["view_changes"]) == (3, 1)
    assert found["cheapest"]["exact"] is True
    assert "cheapest" in run("orders", course).stdout
