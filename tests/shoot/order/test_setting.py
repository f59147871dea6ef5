"""What an order depends on: changes, locks, days that run late; and the orders that need no search."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st

import lessonplan
from lessonplan.course.model.settings import Lunch
from lessonplan.shoot.day import earliest_wrap, lay_out
from lessonplan.shoot.order import setting as module
from lessonplan.shoot.order.setting import as_told, by_view, setting_of
from tests.shoot.order.small_shoots import clocks_of, course_of, listed_as, made_up, one_day
from tests.small_course import COURSE, write_course

CALM = settings(deadline=None, max_examples=60)


def counts(cells: str, order: tuple[int, ...] = ()) -> tuple[int, int, float]:
    """Changes of view, of tray, and minutes of a sequence of shots (as given, unless another is named)."""
    day = one_day(cells)
    sequence = order or tuple(range(len(day.listed)))
    changes = day.changes(sequence)
    return sum(one.view for one in changes), sum(one.tray for one in changes), day.minutes(sequence)


def test_changes_are_counted_as_on_the_floor() -> None:
    # reset, view, tray, both: 0.5 + 8 + 5 + 13
    assert counts("o1 o1 f1 f2 o3") == (2, 2, 26.5)


def test_nothing_is_changed_from_one_day_to_the_next() -> None:
    listed = (*listed_as("o1"), *listed_as("f2", 1))
    two = setting_of(course_of(2), listed, clocks_of(listed, [5.0, 7.0]))
    assert (two.minutes((0, 1)), two.changes((0, 1))[0].view) == (0.0, False)
    assert two.filming == (5.0, 7.0)
    assert two.split((1, 0)) == ((0,), (1,))


@CALM
@given(st.integers(0, 9999), st.permutations(range(6)), st.lists(st.sampled_from([0.0, 2.0, 40.0]), min_size=6))
def test_minutes_and_wraps_are_those_of_the_day_laid_out(seed: int, order: list[int], waits: list[float]) -> None:
    shoot = made_up((6,), seed)
    setting = shoot.setting
    listed = tuple(setting.listed[i] for i in order)
    day = lay_out(setting.course, 0, listed, shoot.clocks, {})
    minutes = setting.minutes(order)
    assert minutes == pytest.approx(sum(one.end - one.start for one in day.entries if one.kind == "change"))
    waited = lay_out(setting.course, 0, listed, shoot.clocks, dict(enumerate(waits)))
    late = max(0.0, day.wrap - day.planned_wrap)
    assert setting.cost_of(order) <= minutes + 20 * late + 1e-6
    shots = [one for one in waited.entries if one.kind == "shot"]
    least = earliest_wrap(setting.course, 0, setting.filming[0] + minutes, waited.wrap - shots[-2].end)
    assert least <= min(day.wrap, waited.wrap) + 1e-9


def test_the_earliest_wrap_has_lunch_once_a_shot_ends_late_enough() -> None:
    # Called at 9:00, set up until 9:30; lunch at 11:00 is had from 10:50, when 80 minutes are filmed.
    course = course_of(1, lunch=Lunch(at=660, takes=45.0))
    assert [earliest_wrap(course, 0, minutes, 0.0) for minutes in (79.0, 80.0)] == [649.0, 695.0]
    # Nobody stops for lunch once the last shot is filmed.
    assert [earliest_wrap(course, 0, minutes, 30.0) for minutes in (109.0, 110.0)] == [679.0, 725.0]


def test_lunch_may_fall_behind_the_last_shot_of_a_day() -> None:
    # Shots of 20 and 80 minutes end at 9:50 and, after a reset of half a minute, at 11:10:30; lunch is due from 10:50.
    # The short one first, there is no lunch, and the 5 minutes of a rest between them; then it is lunch, 45 minutes.
    listed = listed_as("o1 o1")
    course = course_of(1, wrap=671, lunch=Lunch(at=660, takes=45.0))
    setting = setting_of(course, listed, clocks_of(listed, [20.0, 80.0]))
    wraps = [lay_out(course, 0, order, clocks_of(listed, [20.0, 80.0]), {}).wrap for order in (listed, listed[::-1])]
    assert wraps == [675.5, 715.5]
    assert setting.cost_of((0, 1)) == 0.5


def test_a_minute_late_costs_as_much_as_twenty_of_changes() -> None:
    # 9:30 and 60 minutes of shots come to 10:30; changes of 3 and 10 minutes are then 0 and 5 minutes late.
    listed = listed_as("o1 o1")
    late = setting_of(course_of(1, wrap=635), listed, clocks_of(listed, [20.0, 40.0]))
    assert (late.cost([3.0]), late.cost([10.0])) == (3.0, 10.0 + 5 * 20.0)
    assert late.late([640.0]) == 5.0


def test_the_story_counts_numbers_as_numbers() -> None:
    assert as_told(one_day("o1 o1 o1", numbers=("1.1.10", "1.1.9", "1.1.1"))) == (2, 1, 0)


def test_a_shot_that_runs_on_stays_behind_the_one_before_it() -> None:
    day = one_day("f1 o1 o2+ t1+ f1", numbers=("1.1.1", "1.2.9", "1.2.4", "1.3.1", "1.1.2"))
    assert day.joined == ((1, 2), (2, 3))
    assert as_told(day) == (0, 4, 1, 2, 3)
    assert by_view(day) in ((0, 4, 1, 2, 3), (1, 2, 3, 0, 4))
    assert day.broken((1, 0, 2, 3, 4)) == ((1, 2),)
    # What must come before any of them comes before them all; and what one of them must come after, too.
    assert as_told(replace(day, locks=((1, 0), (4, 3)))) == (4, 1, 2, 3, 0)


def test_the_first_shot_of_a_day_runs_on_from_nothing() -> None:
    listed = (*listed_as("o1"), *listed_as("o1+ o1", 1, numbers=("1.1.2", "1.1.3")))
    assert setting_of(course_of(2), listed, clocks_of(listed, [1.0] * 3)).joined == ()


def test_a_shot_runs_on_only_where_the_locks_let_it(tmp_path: Path) -> None:
    shots = "{view: f, after: 1.1.3}, {view: f, runs_on: yes}, {view: f, after: 1.1.2}, {view: f, runs_on: yes}"
    episode = f"episode: 1\ntitle: One\nsegments:\n  - title: A\n    shots: [{shots}]\n"
    worked = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": episode})).worked
    assert worked is not None
    # The first comes after the third and the third after the second: nothing can run from the first to the second.
    setting = setting_of(worked.course, worked.listed, worked.clocks)
    assert setting.joined == ((2, 3),)
    assert as_told(setting) == (1, 2, 3, 0)


def test_the_story_yields_to_a_lock() -> None:
    assert as_told(one_day("o1 o1 o1", locks=[(2, 0)])) == (1, 2, 0)


def test_views_are_kept_together_and_begin_where_it_saves_a_tray() -> None:
    # Overhead in the middle, from segment 1 to 2, meets the table in 1 and the face in 2: only one tray is changed.
    shots = one_day("f2 o1 t1 o2")
    assert by_view(shots) == (2, 1, 3, 0)
    assert counts("f2 o1 t1 o2", by_view(shots)) == (2, 1, 21.0)


def test_a_view_is_left_only_where_a_lock_says_so() -> None:
    assert by_view(one_day("o1 f1 o1", locks=[(0, 1), (1, 2)])) == (0, 1, 2)


def test_seven_views_are_grouped_too() -> None:
    shots = "a1 b1 c1 d1 e1 f1 g1 a1 b1 c1 d1 e1 f1 g1"
    assert counts(shots, by_view(one_day(shots)))[0] == 6


@pytest.mark.parametrize(
    ("views", "shots", "most"),
    # All orders of up to six views, as many of seven; of a day of 80 shots, too. One that is longer is not searched.
    [("abc", 3, 6), ("abcdef", 6, 720), ("abcdefg", 7, 720), ("abcdefg", 80, 720), ("abcdefg", 120, 6000 // 120 + 1)],
)
def test_so_many_orders_of_the_views_are_tried(
    views: str, shots: int, most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried = []
    grouped = module._grouped
    monkeypatch.setattr(module, "_grouped", lambda *asked: tried.append(asked[2]) or grouped(*asked))  # type: ignore[func-returns-value]
    numbers = [f"1.1.{place}" for place in range(1, shots + 1)]
    day = one_day(" ".join(f"{views[place % len(views)]}1" for place in range(shots)), numbers)
    assert sorted(by_view(day)) == list(range(shots))
    assert len(tried) == len(set(tried)) == most


def test_broken_locks_are_named() -> None:
    day = one_day("o1 o1 o1", locks=[(0, 1), (2, 1)])
    assert day.broken((0, 1, 2)) == ((2, 1),)
    assert day.broken((2, 0, 1)) == ()


EPISODE = """\
episode: 1
title: One
segments:
  - title: A
    shots: [{view: f, say: One.}, {view: f, say: Two., after: 1.2}]
  - title: B
    in_order: yes
    shots: [{view: f, say: Three.}, {view: f, say: Four.}, {view: f, say: Five., after: shot 1.1.1}]
"""


def test_locks_come_from_after_and_from_segments_in_order(tmp_path: Path) -> None:
    files = {"episodes/01.yaml": EPISODE, "course.yaml": COURSE.replace("films: [1]", "films: 1.2, 1.1")}
    worked = lessonplan.load(write_course(tmp_path, files)).worked
    assert worked is not None
    setting = setting_of(worked.course, worked.listed, worked.clocks)
    numbers = [item.number for item in worked.listed]
    assert {(numbers[a], numbers[b]) for a, b in setting.locks} == {
        ("1.2.1", "1.1.2"), ("1.2.2", "1.1.2"), ("1.2.3", "1.1.2"),  # 1.1.2 comes after all of segment 1.2
        ("1.1.1", "1.2.3"),
        ("1.2.1", "1.2.2"), ("1.2.2", "1.2.3"),  # in order
    }  # fmt: skip


def test_a_lock_on_a_shot_of_another_day_or_none_says_nothing() -> None:
    course = course_of(2)
    first = course.episodes[0].segments[0].shots[0]
    segment = (
        course.episodes[0]
        .segments[0]
        .model_copy(update={"shots": (first, *(first.model_copy(update={"after": ("1.1.1",)}) for _ in range(2)))})
    )
    episode = course.episodes[0].model_copy(update={"segments": (segment,)})
    course = course.model_copy(update={"episodes": (episode,)})
    listed = listed_as("o1 o1", numbers=("1.1.1", "1.1.2"))
    listed = (*listed, *listed_as("o1", 1, numbers=("1.1.3",)))
    assert setting_of(course, listed, clocks_of(listed, [1.0] * 3)).locks == ((0, 1),)
    assert setting_of(course, listed[1:], clocks_of(listed, [1.0] * 3)).locks == ()


def test_a_setting_with_other_locks_is_another() -> None:
    day = one_day("o1 f1")
    assert as_told(replace(day, locks=((1, 0),))) == (1, 0)
    assert as_told(day) == (0, 1)
