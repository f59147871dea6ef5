"""The day from call to wrap."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import clock
from tests.small_course import COURSE, write_course

EPISODE = """\
episode: 1
title: One
segments:
  - title: A
    shots:
      - {view: face, say: Hello there., takes: 1}
      - {view: overhead, say: Look here., takes: 1}
      - {view: overhead, say: And here., takes: 1}
  - title: B
    shots:
      - {view: face, say: Goodbye now., takes: 1}
"""
PACE = """\
pace:
  {set_up: 30 min, view_change: 5 min, tray_change: 2 min, swap: 1 min, opening: 0 s, hold: 5 min, speech: 120}
"""


def plan(folder: Path, course: str = COURSE + PACE) -> Plan:
    result = lessonplan.plan(write_course(folder, {"course.yaml": course, "episodes/01.yaml": EPISODE}))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def test_changes_of_view_and_tray_stand_between_shots(tmp_path: Path) -> None:
    (day,) = plan(tmp_path).days
    assert [(entry.kind, round(entry.end - entry.start)) for entry in day.entries] == [
        ("set-up", 30),
        ("shot", 6),
        ("change", 5),
        ("shot", 6),
        ("change", 1),
        ("shot", 6),
        ("change", 7),
        ("shot", 6),
        ("rest", 5),
        ("wrap", 0),
    ]
    assert clock(day.entries[1].start) == "9:30"


def test_lunch_comes_after_the_shot_in_which_it_is_due(tmp_path: Path) -> None:
    (day,) = plan(tmp_path, COURSE.replace("wrap: 17:00", "wrap: 17:00\n    lunch: 9:52 for 40 min") + PACE).days
    kinds = [entry.kind for entry in day.entries]
    assert kinds.index("lunch") == 4
    assert day.entries[4].end - day.entries[4].start == 40


def test_a_day_that_runs_over_is_a_warning(tmp_path: Path) -> None:
    course = write_course(
        tmp_path, {"course.yaml": COURSE.replace("17:00", "9:50") + PACE, "episodes/01.yaml": EPISODE}
    )
    (problem,) = lessonplan.plan(course).problems
    assert (problem.severity, problem.code, problem.where.line) == ("warning", "late-day", 6)


def test_films_give_the_order(tmp_path: Path) -> None:
    result = plan(tmp_path, COURSE.replace("films: [1]", "films: [1.2, 1.1]") + PACE)
    assert [item.number for item in result.worked.listed] == ["1.2.1", "1.1.1", "1.1.2", "1.1.3"]


@pytest.mark.parametrize(("minutes", "text"), [(540, "9:00"), (615.6, "10:16"), (0, "0:00"), (1439.9, "0:00")])
def test_times_of_day(minutes: float, text: str) -> None:
    assert clock(minutes) == text


def test_a_shot_that_takes_no_time_keeps_its_place(tmp_path: Path) -> None:
    silent = EPISODE.replace("say: Look here., takes: 1", "hold: 0 s, takes: 1")
    course = COURSE + PACE.replace("hold: 5 min", "hold: 0 s")
    result = lessonplan.plan(write_course(tmp_path, {"course.yaml": course, "episodes/01.yaml": silent}))
    assert result.plan is not None, result.problems
    shots = [entry.number for entry in result.plan.days[0].entries if entry.kind == "shot"]
    assert shots == ["1.1.1", "1.1.2", "1.1.3", "1.2.1"]
    assert [shot.number for shot in result.plan.worked.filmed] == shots
