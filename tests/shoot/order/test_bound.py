"""What every order costs at least, against every order there is."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.samples.choice import Demand, Ladder, Question, Ready, Slot, State, Way, Weights
from lessonplan.samples.choice.choose import choose
from lessonplan.shoot.order.judge import least_changes, least_samples
from tests.samples.choice import brute, made
from tests.shoot.order.small_shoots import every_order, made_up, one_day

CALM = settings(deadline=None, max_examples=60)
CELLS = st.lists(st.sampled_from(["o1", "o2", "o3", "f1", "f2", "f3", "t1", "t2", "t1+"]), min_size=1, max_size=6)


@CALM
@given(CELLS)
def test_the_least_changes_are_never_above_the_truth(cells: list[str]) -> None:
    day = one_day(" ".join(cells))
    every = range(len(cells))
    assert least_changes(day, every) <= min(day.minutes(order) for order in permutations(every)) + 1e-9


def test_the_least_changes_are_reached_where_neighbouring_views_share_a_segment() -> None:
    # Two views, three segments each: 1 view (8) and 4 trays (5); the middle segment is shared at the turn.
    assert least_changes(one_day("o1 o2 o3 f1 f2 f3"), range(6)) == 28.0
    # Two views of one segment, two shots each: 1 view and 2 resets.
    assert least_changes(one_day("o1 f1 o1 f1"), range(4)) == 9.0
    assert least_changes(one_day("o1"), range(1)) == 0.0


@settings(deadline=None, max_examples=15)
@given(counts=st.sampled_from([(4,), (3, 2), (2, 3), (1, 2, 2)]), seed=st.integers(0, 99999))
def test_the_least_samples_cost_no_more_than_those_of_any_order(counts: tuple[int, ...], seed: int) -> None:
    shoot = made_up(counts, seed)
    floor = least_samples(shoot.ask(shoot.setting.listed).question)
    for order in every_order(shoot.setting):
        asked = shoot.ask(tuple(shoot.setting.listed[i] for i in order))
        assert least_samples(asked.question) == floor
        assert floor <= choose(asked.question).cost + 1e-6


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_nor_than_the_cheapest_plan_of_any_question(first: int) -> None:
    found = [
        (least_samples(made.question(seed)), brute.cheapest(made.question(seed))) for seed in range(first, first + 50)
    ]
    assert all(least <= true + 1e-6 for least, true in found)
    assert any(least > 0 for least, _ in found)


LADDER = Ladder(
    ("a",), ((),), ((0.0, 10.0, 20.0),), ((0.0, 16.0, 20.0),), ((0.0, 1.0, 2.0),), ((0.0,) * 3,), ((0, 0, 0),)
)
"""The first step is quicker before the shoot (10 minutes, 16 on the set), the second on it (10 and 4)."""


def least(demands: list[Demand], *ready: Ready) -> float:
    slots = (Slot(30.0),) * 3
    return least_samples(Question({"full": LADDER}, tuple(demands), slots, ready, Weights(piece=8.0)))


def shown(name: str, slot: int, state: State, count: int = 1) -> Demand:
    return Demand(name, slot, (Way("full", state, state),), count)


def test_pieces_that_stand_on_a_table_at_once_are_counted_up() -> None:
    # One of two steps takes 8 + 10 + 4, one of one step 8 + 10, and each of the last two as much as that.
    assert least([shown("a", 0, (2,)), shown("b", 0, (1,)), shown("c", 1, (1,), 2)]) == 22 + 18
    assert least([shown("a", 0, (2,)), shown("b", 1, (1,)), shown("c", 2, (1,), 2)]) == 18 + 18


def test_what_a_shot_works_need_not_be_knitted() -> None:
    # The first shot works the first step, so the second one's piece may come from there.
    worked = Demand("a", 0, (Way("full", (0,), (1,)),))
    assert least([worked, shown("b", 1, (2,))]) == 8 + 4
    # A spare that may not have been used is no help.
    spare = Demand("a", 0, (Way("full", (0,), (1,), base=(0,)),))
    assert least([spare, shown("b", 1, (2,))]) == 22


def test_each_piece_that_is_ready_may_be_one_of_them_for_nothing() -> None:
    some = [shown("a", 0, (2,)), shown("b", 0, (1,))]
    assert [least(some, *(Ready(name, "full", (0,)) for name in names)) for names in ("", "r", "rs", "rst")] == [
        40, 18, 0, 0,
    ]  # fmt: skip


def test_the_very_piece_of_the_take_before_costs_nothing_more() -> None:
    again = Demand("a again", 1, (Way("full", (1,), (1,), None, "a"),))
    assert least([shown("a", 0, (1,)), again]) == 18
    assert least([shown("a", 0, (0,)), again, shown("b", 1, (1,))]) == 18


def test_the_cheapest_way_counts_and_a_way_that_cannot_be_does_not() -> None:
    either = Demand("a", 0, (Way("full", (2,), (2,)), Way("full", (1,), (1,)), Way("other", (0,), (0,))))
    assert least([either]) == 18
    assert least([Demand("a", 0, (Way("other", (0,), (0,)),))]) == 0
    assert least([]) == 0
