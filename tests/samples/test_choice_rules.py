"""The rules of the trade, one by one, on shoots small enough to see the answer."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from lessonplan.samples.choice import (
    Appearance,
    Choice,
    Drawer,
    Ladder,
    Pause,
    Problem,
    Shot,
    State,
    Weights,
    choose,
    choose_problem,
    cost_without,
)

TEN = tuple(10.0 * n for n in range(11))
LADDER = Ladder(
    stages=("hand", "thumb"),
    before=((), (0,)),
    minutes={"full": (TEN, TEN), "small": (tuple(m / 2 for m in TEN), tuple(m / 2 for m in TEN))},
    drying=((0.0,) * 11, (0.0,) * 10 + (600.0,)),
)
FULL = ("full",)


def show(name: str, shot: int, state: State, kinds: tuple[str, ...] = FULL) -> Appearance:
    return Appearance(name, shot, state, state, kinds)


def plan(
    appearances: list[Appearance],
    pauses: list[Pause],
    *,
    helpers: int = 0,
    drawer: tuple[Drawer, ...] = (),
    weights: Weights = Weights(20),  # noqa: B008
) -> Choice:
    shots = [Shot(f"shot {n}", 10, helpers) for n in range(len(pauses) + 1)]
    answer = choose(LADDER, appearances, shots, pauses, drawer, weights)
    assert answer.optimal
    assert answer.gap == 0
    return answer


def served(answer: Choice) -> list[list[str]]:
    return [[stop.appearance for stop in piece.stops] for piece in answer.pieces]


def test_a_piece_only_shown_serves_again() -> None:
    answer = plan([show("a", 0, (5, 0)), show("b", 1, (5, 0)), show("c", 2, (5, 0))], [Pause(5)] * 2)
    assert served(answer) == [["a", "b", "c"]]
    assert (answer.cost, answer.bench_minutes, answer.naive_cost, answer.naive_pieces) == (70, 50, 210, 3)


def test_two_appearances_in_one_shot_are_two_pieces() -> None:
    answer = plan([show("a", 0, (5, 0)), show("b", 0, (5, 0)), show("c", 1, (5, 0))], [Pause(5)])
    assert len(answer.pieces) == 2


def test_a_piece_does_not_go_back() -> None:
    assert len(plan([show("a", 0, (6, 0)), show("b", 1, (5, 0))], [Pause(600, 600)]).pieces) == 2


def test_after_a_move_the_piece_is_where_it_was_moved_to() -> None:
    answer = plan([Appearance("a", 0, (5, 0), (7, 0), FULL), show("b", 1, (7, 0))], [Pause(5)])
    assert served(answer) == [["a", "b"]]
    assert answer.pieces[0].stops[0].end == (7, 0)


def test_a_one_way_move_takes_a_fresh_piece_for_each_take() -> None:
    moved = Appearance("a", 0, (5, 0), (7, 0), FULL, copies=3)
    answer = plan([moved, show("b", 1, (7, 0))], [Pause(5)])
    assert [piece.first for piece in answer.pieces] == [(5, 0)] * 3
    assert sorted(stop.copy for piece in answer.pieces for stop in piece.stops if stop.appearance == "a") == [1, 2, 3]
    assert sum(len(piece.stops) for piece in answer.pieces) == 4


def test_several_copies_come_from_one_pool_filled_in_several_shots() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 0, (5, 0)), show("c", 1, (5, 0))]
    answer = plan([*asked, Appearance("d", 2, (5, 0), (6, 0), FULL, copies=2)], [Pause(5)] * 2)
    assert len(answer.pieces) == 2


def test_a_spare_is_a_further_piece_and_serves_only_what_holds_either_way() -> None:
    asked = Appearance("a", 0, (5, 0), (6, 0), FULL, spare=1)
    back = plan([asked, show("b", 1, (5, 0))], [Pause(60, 60)])
    assert len(back.pieces) == 3
    on = plan([asked, show("b", 1, (7, 0)), show("c", 1, (7, 0))], [Pause(60, 60)])
    assert sorted(served(on)) == [["a", "b"], ["a", "c"]]
    assert on.floor_minutes == 30  # ten for the piece that was filmed, twenty for the spare


def test_a_piece_keeps_its_kind() -> None:
    answer = plan([show("a", 0, (5, 0), ("small",)), show("b", 1, (5, 0))], [Pause(600, 600)])
    assert sorted(piece.kind for piece in answer.pieces) == ["full", "small"]


def test_a_shot_that_accepts_small_pieces_gets_one() -> None:
    answer = plan([show("a", 0, (8, 0), ("full", "small"))], [])
    assert (answer.pieces[0].kind, answer.bench_minutes, answer.naive_minutes) == ("small", 40, 40)


def test_a_helper_knits_in_the_shots_between_but_not_in_the_piece_s_own() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 2, (6, 0))]
    between = plan(asked, [Pause(0), Pause(0)], helpers=1)
    assert [(spell.slot, spell.index, spell.minutes) for spell in between.pieces[0].stops[1].knitting] == [
        ("shot", 1, 10)
    ]
    assert len(plan([asked[0], show("b", 1, (6, 0))], [Pause(0), Pause(0)], helpers=1).pieces) == 2


def test_two_pieces_share_one_pair_of_hands() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 0, (5, 0)), show("c", 1, (6, 0)), show("d", 1, (6, 0))]
    assert len(plan(asked, [Pause(30, 20)]).pieces) == 2
    assert len(plan(asked, [Pause(30, 19)]).pieces) == 3


def test_two_helpers_cannot_knit_on_one_piece_at_once() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 1, (7, 0))]
    assert len(plan(asked, [Pause(20, 40)]).pieces) == 1
    assert len(plan(asked, [Pause(19, 40)]).pieces) == 2


def test_the_camera_waits_when_that_is_cheaper() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 1, (6, 0))]
    answer = plan(asked, [Pause(5, 4, 8)], weights=Weights(20, waiting=5))
    assert [wait.index for wait in answer.waits] == [0]
    assert answer.waiting_minutes == pytest.approx(6)
    assert answer.cost == pytest.approx(20 + 50 + 10 + 6 * 5)
    assert plan(asked, [Pause(5, 4, 8)], weights=Weights(20, waiting=50)).waits == ()


def test_drying_needs_clock_time() -> None:
    asked = [show("a", 0, (10, 9)), show("b", 1, (10, 10))]
    assert len(plan(asked, [Pause(610, 10)]).pieces) == 1
    assert len(plan(asked, [Pause(609, 60)]).pieces) == 2


def test_the_camera_may_wait_until_a_piece_is_dry() -> None:
    asked = [show("a", 0, (10, 9)), show("b", 1, (10, 10))]
    cheap, dear = Weights(20, waiting=1), Weights(20, waiting=25)
    answer = plan(asked, [Pause(600, 60, 30)], weights=cheap)
    assert len(answer.pieces) == 1
    assert answer.waiting_minutes == pytest.approx(10)
    assert len(plan(asked, [Pause(600, 60, 30)], weights=dear).pieces) == 2
    assert len(plan(asked, [Pause(600, 60, 9)], weights=cheap).pieces) == 2


def test_a_piece_from_the_drawer_is_knitted_on() -> None:
    answer = plan([show("a", 0, (5, 0))], [], drawer=(Drawer("old", "full", (3, 0)),))
    assert (answer.pieces[0].drawer, answer.bench_minutes, answer.cost) == ("old", 20, 20)


def test_a_drawer_piece_beyond_every_state_stays_there() -> None:
    answer = plan([show("a", 0, (5, 0))], [], drawer=(Drawer("old", "full", (6, 0)),))
    assert answer.unused == ("old",)
    assert answer.pieces[0].drawer == ""


def test_impossible_appearances_are_named_and_the_rest_is_planned() -> None:
    asked = [
        show("kind", 0, (5, 0), ("huge",)),
        show("state", 0, (5, 1)),
        show("short", 0, (5,)),
        Appearance("back", 0, (5, 0), (4, 0), FULL),
        show("fine", 0, (5, 0)),
    ]
    answer = plan(asked, [])
    assert [problem.appearance for problem in answer.impossible] == ["kind", "state", "short", "back"]
    assert served(answer) == [["fine"]]


def test_no_appearances_no_pieces() -> None:
    answer = plan([], [])
    assert (answer.pieces, answer.cost, answer.naive_cost, answer.optimal) == ((), 0, 0, True)


def test_the_same_input_gives_the_same_plan() -> None:
    asked = [show(f"a{n}", n % 4, (5, 0)) for n in range(8)]
    assert plan(asked, [Pause(5)] * 3) == plan(asked, [Pause(5)] * 3)


def plain(value: object) -> bool:
    """Whether a value is made of Python's own numbers and texts only."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return all(plain(getattr(value, field.name)) for field in dataclasses.fields(value))
    if isinstance(value, tuple):
        return all(plain(item) for item in value)
    return type(value) in (int, float, bool, str)


def test_the_answer_holds_plain_numbers() -> None:
    asked = [show("a", 0, (5, 0)), show("b", 1, (6, 0)), show("c", 1, (6, 0), ("full", "small"))]
    assert plain(plan(asked, [Pause(5, 4, 8)], weights=Weights(20, waiting=1)))


def problem(appearances: list[Appearance], count: int, **more: Any) -> Problem:
    shots = tuple(Shot(f"shot {n}", 10, 0) for n in range(count))
    return Problem(LADDER, tuple(appearances), shots, (Pause(60, 60),) * (count - 1), (), Weights(20), **more)


def test_cost_without_a_piece_takes_the_next_best_way() -> None:
    asked = problem([show("a", 0, (2, 0)), show("b", 1, (6, 0), ("full", "small"))], 2)
    whole = choose_problem(asked)
    assert served(whole) == [["a", "b"]]
    assert cost_without(asked, whole.pieces[0]) is None  # nothing else can serve the first shot

    either = problem([show("a", 0, (6, 0), ("full", "small"))], 1)
    small = choose_problem(either)
    assert small.cost == 50
    assert cost_without(either, small.pieces[0]) == 80


def test_cost_without_a_drawer_piece_is_that_of_an_empty_drawer() -> None:
    asked = dataclasses.replace(problem([show("a", 0, (5, 0))], 1), drawer=(Drawer("old", "full", (3, 0)),))
    assert cost_without(asked, choose_problem(asked).pieces[0]) == 70


def test_progress_is_told_and_ends_with_the_bound_at_the_cost() -> None:
    told: list[tuple[float, float | None, float | None]] = []
    asked = problem([show("a", 0, (5, 0)), show("b", 1, (5, 0))], 2)
    answer = choose_problem(asked, progress=lambda *figures: told.append(figures))
    assert told[-1][1:] == (answer.cost, answer.cost)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"pauses": ()}, "pauses between"),
        ({"appearances": (show("a", 9, (1, 0)),)}, "not there"),
        ({"appearances": (show("a", 0, (1, 0)), show("a", 1, (1, 0)))}, "same name"),
        ({"shots": (Shot("x", -1), Shot("y", 1))}, "negative"),
        ({"pauses": (Pause(1, -1),)}, "negative"),
        ({"appearances": (Appearance("a", 0, (1, 0), (1, 0), FULL, copies=-1),)}, "negative number"),
    ],
)
def test_a_problem_that_makes_no_sense_is_refused(change: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        dataclasses.replace(problem([show("a", 0, (1, 0))], 2), **change)


Table = tuple[tuple[float, ...], ...]
FLAT: Table = ((0.0, 1.0),)


@pytest.mark.parametrize(
    ("before", "minutes", "drying"),
    [
        ((), {}, FLAT),
        (((0,),), {}, FLAT),
        (((3,),), {}, FLAT),
        (((),), {"full": ((0.0, 2.0, 1.0),)}, ((0.0, 0.0, 0.0),)),
        (((),), {"full": ((0.0,),)}, FLAT),
        (((),), {"full": ()}, FLAT),
    ],
)
def test_a_ladder_checks_itself(before: tuple[tuple[int, ...], ...], minutes: dict[str, Table], drying: Table) -> None:
    with pytest.raises(ValueError, match=r"stage|ladder"):
        Ladder(("a",), before, minutes, drying)


def test_ladder_figures() -> None:
    assert LADDER.cost("full", (10, 2)) == 120
    assert LADDER.between("small", (4, 0), (10, 2)) == 40
    assert LADDER.dried((10, 10)) == 600
    assert (LADDER.is_state((10, 1)), LADDER.is_state((9, 1)), LADDER.is_state((11, 0))) == (True, False, False)
    with pytest.raises(ValueError, match="back"):
        LADDER.between("full", (5, 0), (4, 0))
