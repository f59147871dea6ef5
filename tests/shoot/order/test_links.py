"""What the samples of an order are likely to cost, against shoots worked out by hand."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

import pytest

from lessonplan.samples.choice import Demand, Ladder, Question, Ready, Slot as Stretch, Table, Way, Weights
from lessonplan.shoot.order.links import Guide, Links
from lessonplan.shoot.order.setting import Asked, Setting, setting_of
from lessonplan.shoot.slots import Slot
from tests.samples.choice.brute import least
from tests.shoot.order.small_shoots import clocks_of, course_of, listed_as, one_day

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


def made(seed: int) -> tuple[Setting, Question, list[Slot], list[int]]:
    """Two to four shots on one or two days, each with a piece of two stages and a pause; and another order of them."""
    chance = random.Random(seed)
    counts = chance.choice(((2,), (3,), (2, 1), (1, 2), (2, 2)))
    listed = tuple(item for day, count in enumerate(counts) for item in listed_as(" ".join(["o1"] * count), day))
    setting = setting_of(course_of(len(counts)), listed, clocks_of(listed, [1.0] * len(listed)))
    steps = [(0.0, *accumulate(chance.choice((0.0, 4.0, 9.0)) for _ in range(2))) for _ in range(6)]
    ladder = Ladder(
        ("a", "b"),
        ((), (0,)),
        bench=(steps[0], steps[1]),
        floor=(steps[2], steps[3]),
        ripping=((0.0,) * 3,) * 2,
        drying=(steps[4], steps[5]) if chance.random() < 0.5 else ((0.0,) * 3,) * 2,
        fixed=((0,) * 3,) * 2,
    )
    states = [(0, 0), (1, 0), (2, 0), (2, 1), (2, 2)]
    slots, asked, kept = list[Slot](), list[Demand](), 0
    for shot in range(len(listed)):
        kept = max(0, min(4, kept + chance.choice((-1, 0, 1, 1))))
        ways = (Way("full", states[kept], states[min(4, kept + chance.choice((0, 0, 1)))]),)
        asked.append(Demand(str(shot), len(slots), ways, chance.choice((1, 1, 2))))
        slots.append(Slot("take", shot, chance.choice((0.0, 3.0)), chance.choice((0.0, 2.0))))
        clock, hands = chance.choice((0.0, 5.0, 9.0, 20.0)), chance.choice((0.0, 5.0, 9.0, 20.0))
        slots.append(Slot("pause", shot, clock, hands, chance.choice((0.0, 6.0))))
    piece, floor, waiting = (chance.choice(some) for some in ((5.0, 30.0), (0.5, 2.0), (0.5, 3.0)))
    weights = Weights(piece=piece, floor=floor, waiting=waiting)
    stretches = tuple(Stretch(slot.clock, slot.hands, slot.waiting) for slot in slots)
    order = [shot for shots in setting.shots for shot in chance.sample(shots, len(shots))]
    return setting, Question({"full": ladder}, tuple(asked), stretches, (), weights), slots, order


def likely(setting: Setting, question: Question, slots: list[Slot], order: list[int]) -> float | None:
    """The same program written down anew, and solved by fractions: what a piece may go on to, and what all hands do."""
    ladder, weights, demands = question.ladders["full"], question.weights, question.demands
    days = [sum(shot >= first for first in accumulate(map(len, setting.shots))) for shot in range(len(order))]
    place = {shot: at for at, shot in enumerate(order)}
    whole = [Fraction(one.count) for one in demands]
    costs, rows = list[Fraction](), list[tuple[dict[int, Fraction], Fraction]]()
    enter: list[list[int]] = [[] for _ in demands]
    leave: list[list[int]] = [[] for _ in demands]
    worked: list[tuple[int, int, int, float]] = []

    def steps(table: Table, state: tuple[int, ...]) -> float:
        return sum(row[done] for row, done in zip(table, state, strict=True))

    for b, then in enumerate(demands):
        goal = then.ways[0]
        enter[b].append(len(costs))
        costs.append(Fraction(weights.piece + weights.bench * steps(ladder.bench, goal.start)))
        for a, one in enumerate(demands):
            way = one.ways[0]
            if a == b or days[a] > days[b] or any(x > y for x, y in zip(way.end, goal.start, strict=True)):
                continue
            minutes = steps(ladder.floor, goal.start) - steps(ladder.floor, way.end)
            drying = steps(ladder.drying, goal.start) - steps(ladder.drying, way.end)
            between = slots[2 * place[a] + 1 : 2 * place[b]]
            if way.start == way.end == goal.start == goal.end:
                able = days[a] < days[b] or a < b
            else:
                able = place[a] < place[b]
                able &= minutes <= sum(min(slot.clock, slot.hands) + slot.waiting for slot in between)
                able &= minutes + drying <= sum(slot.clock + slot.waiting for slot in between)
            if able:
                enter[b].append(len(costs))
                leave[a].append(len(costs))
                worked.append((len(costs), days[a], days[b], minutes))
                costs.append(Fraction(weights.floor * minutes))
    for day in range(len(setting.shots)):
        most = sum(slot.waiting for slot in slots if days[slot.shot] == day)
        rows.append(({len(costs): Fraction(1)}, Fraction(most)))
        costs.append(Fraction(weights.waiting))
    waits = len(costs) - len(setting.shots)
    for first in range(len(setting.shots)):
        for last in range(first, len(setting.shots)):
            at = [place[shot] for shot in range(len(order)) if first <= days[shot] <= last]
            terms = {column: Fraction(m) for column, i, j, m in worked if first <= i and j <= last}
            terms |= {waits + day: Fraction(-1) for day in range(first, last + 1)}
            rows.append((terms, Fraction(sum(slot.hands for slot in slots[2 * min(at) : 2 * max(at) + 1]))))
    for b in range(len(demands)):
        rows.append(({column: Fraction(1) for column in enter[b]}, whole[b]))
        rows.append(({column: Fraction(-1) for column in enter[b]}, -whole[b]))
        terms = {column: Fraction(-1) for column in enter[b]} | {column: Fraction(1) for column in leave[b]}
        rows.append((terms, Fraction(0)))
    found = least(costs, rows)
    return None if found is None else float(found)


def test_what_is_likely_is_the_least_of_the_program_written_down_anew() -> None:
    """For the present order and then for another, by the program kept warm, and the present one again."""
    for seed in range(40):
        setting, question, slots, other = made(seed)
        program = Links(setting, Asked(lambda question=question: question, tuple(slots)))  # type: ignore[misc]
        present = list(range(len(other)))
        for order in (present, other, present):
            assert program.cost(order, slots) == pytest.approx(likely(setting, question, slots, order)), seed


def test_without_pieces_there_is_nothing_to_pay() -> None:
    program, slots = links([])
    assert program.cost((), slots) == 0.0
