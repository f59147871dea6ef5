"""What the samples of an order are likely to cost, against shoots worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonplan.samples.choice import Demand, Ladder, Question, Ready, Slot as Stretch, Way, Weights
from lessonplan.shoot.order.links import Guide, Links
from lessonplan.shoot.order.setting import Asked
from lessonplan.shoot.slots import Slot
from tests.shoot.order.small_shoots import one_day

# One stage of three steps, 10 minutes each; nothing dries.
STEPS = ((0.0, 10.0, 20.0, 30.0),)
LADDER = Ladder(("a",), ((),), STEPS, STEPS, ((0.0, 1.0, 2.0, 3.0),), ((0.0,) * 4,), ((0,) * 4,))
WEIGHTS = Weights(piece=5.0, bench=1.0, floor=2.0, waiting=8.0)


def links(
    states: list[tuple[int, int]], *, pause: float = 60.0, ladder: Ladder = LADDER, copies: int = 1
) -> tuple[Links, list[Slot]]:
    """A day of shots of no length, a piece in each with its steps before and after, and pauses with one helper."""
    setting = one_day(" ".join(["o1"] * len(states)))
    slots = [
        Slot("take", n, 0.0) if take else Slot("pause", n, pause, pause) for n in range(len(states)) for take in (1, 0)
    ]
    question = Question(
        {"full": ladder},
        tuple(Demand(str(n), 2 * n, (Way("full", (a,), (b,)),), copies) for n, (a, b) in enumerate(states)),
        tuple(Stretch(slot.clock, slot.hands) for slot in slots),
        (Ready("left aside", "full", (3,)),),
        WEIGHTS,
    )
    return Links(setting, Asked(lambda: question, tuple(slots))), slots


def pairs(first: list[int], then: list[int]) -> set[tuple[int, int]]:
    return set(zip(map(int, first), map(int, then), strict=True))


def test_a_piece_goes_on_where_the_order_lets_it() -> None:
    program, slots = links([(1, 1), (2, 2)])
    # Forward one piece will do: 5 + 10 before the shoot, 2 x 10 on the set. Backward two: 5 + 10 and 5 + 20.
    assert program.cost((0, 1), slots) == pytest.approx(35.0)
    assert program.cost((1, 0), slots) == pytest.approx(40.0)


def test_a_piece_that_only_rests_serves_both_ways() -> None:
    program, slots = links([(2, 2), (2, 2)])
    assert program.cost((0, 1), slots) == program.cost((1, 0), slots) == pytest.approx(25.0)


def test_there_must_be_time_between() -> None:
    program, slots = links([(1, 1), (2, 2)], pause=9.0)
    assert program.cost((0, 1), slots) == pytest.approx(40.0)
    slow = replace(LADDER, drying=((0.0, 0.0, 55.0, 55.0),))
    program, slots = links([(1, 1), (2, 2)], ladder=slow)
    assert program.cost((0, 1), slots) == pytest.approx(40.0)


def test_time_before_and_after_does_not_help() -> None:
    program, long = links([(0, 0), (1, 1), (2, 2), (0, 0)])
    # The piece of the first shot costs 5 and serves the last one too; to go on from it is dearer than a new piece.
    short = [replace(slot, hands=9.0) if slot.shot == 1 and slot.what == "pause" else slot for slot in long]
    assert program.cost((0, 1, 2, 3), short) == pytest.approx(5 + 15 + 25)
    assert program.cost((0, 1, 2, 3), long) == pytest.approx(5 + 15 + 20)


def test_all_hands_of_a_day_do_no_more_than_they_can() -> None:
    # Two pieces in each shot, 15 each to begin with. Going on takes 10 minutes for each, so 12 minutes of hands carry
    # 1.2 of them on at 20 each; 0.8 are new at 25 each.
    program, slots = links([(1, 1), (2, 2)], pause=12.0, copies=2)
    assert program.cost((0, 1), slots) == pytest.approx(2 * 15 + 1.2 * 20 + 0.8 * 25)
    program, slots = links([(1, 1), (2, 2)], pause=20.0, copies=2)
    assert program.cost((0, 1), slots) == pytest.approx(2 * 15 + 2 * 20)


def test_the_guide_tells_what_is_lost_and_won() -> None:
    program, slots = links([(1, 1), (2, 2)])
    program.cost((0, 1), slots)
    lost: Guide = program.guide()
    assert pairs(list(lost.lost_i), list(lost.lost_j)) == {(0, 1)}
    assert lost.loss == pytest.approx([5.0])  # 40 - 35
    program.cost((1, 0), slots)
    won = program.guide()
    assert pairs(list(won.won_i), list(won.won_j)) == {(0, 1)}
    assert won.gain == pytest.approx([5.0])


def test_without_pieces_there_is_nothing_to_pay() -> None:
    program, slots = links([])
    assert program.cost((), slots) == 0.0
