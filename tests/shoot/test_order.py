"""The orders that need no search, and the locks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from lessonplan.shoot.order import Changes, Hours, LockError, Setting, as_told, bits, by_view, locked, story_place

DAY = Hours(540.0, 60.0, 1020.0)


def setting(cells: str, numbers: Iterable[str] = (), locks: Iterable[tuple[str, str]] = ()) -> Setting:
    """A day of shots from cells like ``o1 f1 o2``: a letter for the view, a digit for the segment."""
    parts = cells.split()
    names = tuple(numbers) or tuple(f"1.{cell[1]}.{place}" for place, cell in enumerate(parts, 1))
    segments = tuple(f"1.{cell[1]}" for cell in parts)
    days = (0,) * len(parts)
    return Setting(
        views=tuple(cell[0] for cell in parts),
        segments=segments,
        days=days,
        story=tuple(story_place(name) for name in names),
        before=locked(names, segments, days, locks),
        view_change=8.0,
        tray_change=5.0,
        swap=0.5,
        hours=(DAY,),
    )


def test_changes_are_counted_as_on_the_floor() -> None:
    # reset, view, tray, both: 0.5 + 8 + 5 + 13
    assert setting("o1 o1 f1 f2 o3").changes(range(5)) == Changes(views=2, trays=2, minutes=26.5)


def test_nothing_is_changed_from_one_day_to_the_next() -> None:
    two = replace(setting("o1 f2"), days=(0, 1), hours=(DAY, DAY))
    assert two.changes((0, 1)) == Changes(0, 0, 0.0)


def test_the_story_counts_numbers_as_numbers() -> None:
    told = as_told(setting("o1 o1 o1", numbers=("1.1.10", "1.1.9", "1.1.1")))
    assert told == (2, 1, 0)


def test_the_story_yields_to_a_lock() -> None:
    told = as_told(setting("o1 o1 o1", numbers=("1.1.1", "1.1.2", "1.1.3"), locks=[("1.1.3", "1.1.1")]))
    assert told == (1, 2, 0)


def test_views_are_kept_together_and_begin_where_it_saves_a_tray() -> None:
    # Overhead in the middle, from segment 1 to 2, meets the table in 1 and the face in 2: only one tray is changed.
    shots = setting("f2 o1 t1 o2")
    assert shots.changes(by_view(shots)) == Changes(views=2, trays=1, minutes=21.0)


def test_a_view_is_left_only_where_a_lock_says_so() -> None:
    shots = setting("o1 f1 o1", locks=[("1.1.1", "1.1.2"), ("1.1.2", "1.1.3")])
    assert by_view(shots) == (0, 1, 2)


def test_seven_views_are_grouped_too() -> None:
    shots = setting("a1 b1 c1 d1 e1 f1 g1 a1 b1 c1 d1 e1 f1 g1")
    assert shots.changes(by_view(shots)).views == 6


def test_locks_hold_through_others() -> None:
    before = locked(("1", "2", "3"), ("a", "a", "a"), (0, 0, 0), [("1", "2"), ("2", "3")])
    assert [tuple(bits(mask)) for mask in before] == [(), (0,), (0, 1)]


def test_a_segment_in_order_follows_the_story_not_the_list() -> None:
    before = locked(("1.1.2", "1.1.1"), ("1.1", "1.1"), (0, 0), in_order=["1.1"])
    assert [tuple(bits(mask)) for mask in before] == [(1,), ()]


def test_a_lock_on_a_shot_that_is_not_filmed_says_nothing() -> None:
    assert locked(("1",), ("a",), (0,), [("1", "9"), ("9", "1")]) == (0,)


def test_locks_in_a_circle_are_refused() -> None:
    with pytest.raises(LockError, match="circle"):
        locked(("1", "2"), ("a", "a"), (0, 0), [("1", "2"), ("2", "1")])


def test_a_lock_against_the_days_is_refused() -> None:
    with pytest.raises(LockError, match="later day"):
        locked(("1", "2"), ("a", "a"), (0, 1), [("2", "1")])


def test_lunch_belongs_to_the_day_once_a_shot_ends_late_enough() -> None:
    hours = Hours(begins=540.0, filming=100.0, limit=700.0, lunch_due=650.0, lunch=45.0)
    assert (hours.wrap(9.0), hours.wrap(10.0)) == (649.0, 695.0)
    assert (hours.over(9.0), hours.over(20.0)) == (0.0, 5.0)
