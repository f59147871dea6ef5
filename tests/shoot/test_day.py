"""The day from call to wrap."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import breaks_of, clock, run_days
from tests.documents import timed
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
    (problem,) = (one for one in lessonplan.plan(course).problems if one.severity == "warning")
    assert (problem.code, problem.where.line) == ("late-day", 6)


@pytest.mark.parametrize(("wrap", "told"), [("9:24", []), ("9:22", []), ("9:21", ["1 minutes after its wrap"])])
def test_a_day_that_wraps_when_it_should_is_not_late(tmp_path: Path, wrap: str, told: list[str]) -> None:
    """From 9:00 a quarter of an hour of setting up and a shot of 7 minutes (see `tests.documents.timed`)."""
    files = {"course.yaml": timed.COURSE.replace("17:00", wrap), "pattern.yaml": timed.PATTERN}
    files["episodes/01.yaml"] = timed.episode((timed.shot("face"),))
    late = [one for one in lessonplan.plan(write_course(tmp_path, files)).problems if one.code == "late-day"]
    assert [one.message.rpartition(", ")[2].rstrip(".") for one in late] == told


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


def timed_day(folder: Path, *shots: str, call: str = "", **course: str) -> list[tuple[str, int, int]]:
    """The entries of a day of silent shots: kind, start in minutes after the call, and length.

    A shot that is held for h minutes and taken once takes 7/6 h (see the module of timed courses).
    """
    text = timed.COURSE
    for old, new in course.items():
        text = text.replace(f"{old}: 17:00" if old == "wrap" else f"{old}:", f"{old}: {new}")
    made = timed.plan(folder, timed.episode(tuple(shots)), text + call)
    return [(e.kind, round(e.start) - 540, round(e.end - e.start)) for e in made.days[0].entries]


def long(view: str = "face") -> str:
    return timed.shot(view, "36 min")  # 42 minutes on the floor


def hour() -> str:
    return timed.shot("face", "48 min")  # 56 minutes on the floor


def test_a_rest_comes_before_the_shot_that_would_make_it_more_than_an_hour(tmp_path: Path) -> None:
    # The set-up of 15 minutes is no work for the hands: 42 and 14 minutes of shots are 56, and the next one takes 7.
    assert timed_day(tmp_path, long(), timed.shot("face", "12 min"), timed.shot("face")) == [
        ("set-up", 0, 15),
        ("shot", 15, 42),
        ("shot", 57, 14),
        ("rest", 71, 5),
        ("shot", 76, 7),
        ("wrap", 83, 0),
    ]


def test_an_hour_has_no_rest_in_it(tmp_path: Path) -> None:
    # 42 and 10.5 minutes, and the 1.2 and 1.2 of others: 54.8.
    shots = long(), timed.shot("face", "9 min"), timed.shot("face", "1 min"), timed.shot("face", "1 min")
    assert [kind for kind, _, _ in timed_day(tmp_path, *shots)] == ["set-up", "shot", "shot", "shot", "shot", "wrap"]


def test_no_rest_comes_after_the_last_shot(tmp_path: Path) -> None:
    # Twice 42 minutes in one go would be 84.
    assert [kind for kind, _, _ in timed_day(tmp_path, long(), long())] == ["set-up", "shot", "rest", "shot", "wrap"]


def test_no_rest_comes_after_a_few_minutes(tmp_path: Path) -> None:
    # 14 minutes before a shot of 56 are too few for a rest, 18 are not.
    few, more = timed.shot("face", "12 min"), timed.shot("face", "15 min")
    assert [kind for kind, _, _ in timed_day(tmp_path / "a", few, hour())][1:3] == ["shot", "shot"]
    assert [kind for kind, _, _ in timed_day(tmp_path / "b", more, hour())][1:3] == ["shot", "rest"]


@pytest.mark.parametrize(("lunch", "first"), [("10:21", "lunch"), ("10:22", "rest"), ("10:37", "rest")])
def test_lunch_is_taken_at_once_when_it_is_due_within_ten_minutes(tmp_path: Path, lunch: str, first: str) -> None:
    # The shot ends at 10:11; with the 7 minutes of the next one it would be more than an hour.
    found = timed_day(tmp_path, hour(), timed.shot("face", "6 min"), call=f"    lunch: {lunch} for 30 min\n")
    assert next(kind for kind, start, _ in found if start == 71) == first


def test_a_shot_that_runs_on_has_no_change_before_it(tmp_path: Path) -> None:
    # Not even for another view: the camera runs.
    runs_on = timed.shot("sink", runs_on="yes")
    assert timed_day(tmp_path, timed.shot("face"), runs_on, timed.shot("face")) == [
        ("set-up", 0, 15),
        ("shot", 15, 7),
        ("shot", 22, 7),
        ("change", 29, 5),
        ("shot", 34, 7),
        ("wrap", 41, 0),
    ]


def test_breaks_keep_their_places_when_the_camera_waits(tmp_path: Path) -> None:
    # Shots of seven minutes from 9:15: the third ends at 9:36, and lunch may come ten minutes early. When the camera
    # waits for twenty minutes after the first, lunch is due after the second, unless it keeps its place.
    course = timed.COURSE + "    lunch: 9:45 for 30 min\n"
    worked = timed.plan(tmp_path, timed.episode((timed.shot("face"),) * 4), course).worked
    laid = run_days(worked.course, worked.listed, worked.clocks, {})
    assert breaks_of(laid) == worked.breaks == {"1.1.3": "lunch"}
    for breaks, lunch in ((None, ("1.1.2", 49)), (worked.breaks, ("1.1.3", 56))):
        (day,) = run_days(worked.course, worked.listed, worked.clocks, {0: 20.0}, breaks)
        assert [(one.number, round(one.start) - 540) for one in day.entries if one.kind == "lunch"] == [lunch]


def test_a_table_is_cleared_between_water_and_what_is_plugged_in(tmp_path: Path) -> None:
    """In one segment and view a reset would do; water and iron take a cleared table, no less than another tray."""
    shots = ("tools: bowl of water", "tools: kettle", "tools: ruler", "tools: towel")
    text = EPISODE.partition("      - {view: face, say: Hello")[0]
    text += "".join(f"      - {{view: face, say: Look here., takes: 1, {tools}}}\n" for tools in shots)
    files = {"course.yaml": COURSE + PACE, "episodes/01.yaml": text}
    found = lessonplan.plan(write_course(tmp_path, files)).plan
    assert found is not None
    changes = [(one.text, one.end - one.start) for one in found.days[0].entries if one.kind == "change"]
    assert changes == [("Table cleared and dried", 2.0), ("Reset", 1.0), ("Reset", 1.0)]
