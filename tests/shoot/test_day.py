"""The day from call to wrap."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import clock
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


def test_a_rest_comes_after_55_minutes_of_work(tmp_path: Path) -> None:
    # 15 minutes of set-up and 42 of a shot are 57; after the rest of five it takes two more shots to come to 55.
    assert timed_day(tmp_path, long(), long(), timed.shot("face", "12 min")) == [
        ("set-up", 0, 15),
        ("shot", 15, 42),
        ("rest", 57, 5),
        ("shot", 62, 42),
        ("shot", 104, 14),
        ("rest", 118, 5),
        ("wrap", 123, 0),
    ]


@pytest.mark.parametrize(("wrap", "rests"), [("10:11", []), ("10:12", []), ("10:13", ["rest"])])
def test_no_rest_comes_in_the_last_quarter_of_an_hour_before_wrap(tmp_path: Path, wrap: str, rests: list[str]) -> None:
    # The shot ends at 9:57.
    found = timed_day(tmp_path, long(), timed.shot("face", "1 min"), wrap=wrap)
    assert [kind for kind, start, _ in found if kind == "rest" and start == 57] == rests


@pytest.mark.parametrize(
    ("lunch", "first"), [("10:07", "lunch"), ("10:12", "shot"), ("10:22", "shot"), ("10:23", "rest")]
)
def test_no_rest_comes_shortly_before_lunch(tmp_path: Path, lunch: str, first: str) -> None:
    # Lunch is taken at once when it is due within ten minutes, and waited for when it is due within fifteen more.
    found = timed_day(tmp_path, long(), timed.shot("face", "6 min"), call=f"    lunch: {lunch} for 30 min\n")
    assert next(kind for kind, start, _ in found if start == 57) == first


def test_helpers_do_not_knit_in_rests_nor_in_half_an_hour_of_lunch(tmp_path: Path) -> None:
    # After the first shot a rest (5) and a change of view (5), after the second lunch (45) and a change of view (5).
    shots = long("face"), timed.shot("overhead", "30 min"), timed.shot("face")
    course = timed.COURSE + "    lunch: 10:45 for 45 min\n    helpers: HELPERS\n"
    for helpers, minutes in (("[Bo]", [5, 20, 0]), ("[Bo, Cy]", [10, 40, 0])):
        made = timed.plan(tmp_path / helpers, timed.episode(shots), course.replace("HELPERS", helpers))
        filmed = made.worked.filmed
        assert [shot.hands for shot in filmed] == pytest.approx(minutes)
        assert [shot.pause for shot in filmed] == pytest.approx([10, 50, 0])
        assert [shot.helpers for shot in filmed] == [helpers.count(",") + 1] * 3


def test_a_night_has_the_minutes_that_are_knitted_in_it(tmp_path: Path) -> None:
    course = timed.COURSE.replace("films: [1]", "films: [1.1.1]\n    night_knitting: 90 min")
    course += "  - {day: 2027-03-07, call: 10:00, wrap: 12:00, films: [1.1.2]}\n"
    made = timed.plan(tmp_path, timed.episode((timed.shot("face"), timed.shot("face"))), course)
    first, _ = made.worked.filmed
    # From 9:22 on Saturday to 10:15 on Sunday, after the set-up, are 24 h 53 min.
    assert (first.hands, first.pause, first.waiting) == pytest.approx((90, 24 * 60 + 53, 0))
