"""The fewest minutes of changes, against every order there is."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonplan.shoot.order import Hours, Setting
from lessonplan.shoot.order_least import Least, Table, least_changes

CALM = settings(deadline=None, max_examples=60)


@st.composite
def days(draw: st.DrawFn) -> Setting:
    """One day of up to six shots, with locks that follow the list and prices of any order of size."""
    count = draw(st.integers(1, 6))
    every = range(count)
    before = [sum(1 << i for i in range(j) if draw(st.integers(0, 5)) == 0) for j in every]
    for j in every:
        for i in every:
            if before[j] >> i & 1:
                before[j] |= before[i]
    return Setting(
        views=tuple(draw(st.sampled_from("abc")) for _ in every),
        segments=tuple(draw(st.sampled_from("123")) for _ in every),
        days=(0,) * count,
        story=tuple((i,) for i in every),
        before=tuple(before),
        view_change=draw(st.sampled_from([8.0, 4.0, 0.0])),
        tray_change=draw(st.sampled_from([5.0, 6.0, 0.0])),
        swap=draw(st.sampled_from([0.5, 0.0, 9.0])),
        hours=(Hours(540.0, 60.0, 1020.0),),
    )


def fewest(day: Setting, begins: tuple[int, ...] = (), *, locks: bool = True) -> float:
    """The fewest minutes of changes after ``begins`` over all orders that begin so."""
    rest = [i for i in range(len(day)) if i not in begins]
    orders = [(*begins, *part) for part in permutations(rest)]
    return min(
        day.changes(order).minutes - day.changes(begins).minutes
        for order in orders
        if not locks or not day.broken(order)
    )


@CALM
@given(days())
def test_the_table_is_exact(day: Setting) -> None:
    least = Least(day)
    assert least.rest(0, ()) == pytest.approx(fewest(day))
    path = least.path(0)
    assert path is not None
    assert not day.broken(path)
    assert day.changes(path).minutes == pytest.approx(fewest(day))
    for begins in (path[:1], path[:2]):
        assert least.rest(0, begins) == pytest.approx(fewest(day, begins))


@CALM
@given(days())
def test_the_bound_for_large_days_is_never_above_the_truth(day: Setting) -> None:
    every = range(len(day))
    assert least_changes(day, every) <= fewest(day, locks=False) + 1e-9
    for last in every:
        left = [i for i in every if i != last]
        assert least_changes(day, left, last) <= fewest(day, (last,), locks=False) + 1e-9


def test_the_bound_is_reached_where_neighbouring_views_share_a_segment() -> None:
    # Two views, three segments each: 1 view and 4 trays; the middle segment is shared at the turn.
    day = Setting(
        views=tuple("aaabbb"),
        segments=tuple("123123"),
        days=(0,) * 6,
        story=tuple((i,) for i in range(6)),
        before=(0,) * 6,
        view_change=8.0,
        tray_change=5.0,
        swap=0.5,
        hours=(Hours(540.0, 60.0, 1020.0),),
    )
    assert least_changes(day, range(6)) == 28.0
    assert fewest(day) == 28.0


def test_two_large_days_are_not_mixed_up() -> None:
    shots = 14
    day = Setting(
        views=tuple("ab" * 7) + tuple("a" * shots),
        segments=("1",) * (2 * shots),
        days=(0,) * shots + (1,) * shots,
        story=tuple((i,) for i in range(2 * shots)),
        before=(0,) * (2 * shots),
        view_change=8.0,
        tray_change=5.0,
        swap=0.5,
        hours=(Hours(540.0, 60.0, 1020.0),) * 2,
    )
    least = Least(day)
    assert least.rest(0, ()) == 8.0 + 12 * 0.5
    assert least.rest(1, ()) == 13 * 0.5
    assert least.path(0) is None


def test_a_day_without_shots_needs_no_changes() -> None:
    day = Setting((), (), (), (), (), 8.0, 5.0, 0.5, (Hours(540.0, 0.0, 1020.0),))
    assert Table(day, ()).least(()) == 0.0
    assert Least(day).cost(()) == 0.0
