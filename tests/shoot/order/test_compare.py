"""The orders of a shoot side by side, and the search for the cheapest against every order there is."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.planning.plan import all_orders, in_order
from lessonplan.planning.worked import load, plan_worked
from lessonplan.samples.choice import Demand, Question, Slot, Weights
from lessonplan.shoot.order.compare import NAMES, Order, orders
from lessonplan.shoot.order.judge import Judge
from lessonplan.shoot.order.links import Guide
from lessonplan.shoot.order.search import PROBES, SOLVED, Descent, cheapest, rearranged
from lessonplan.shoot.order.setting import Asked
from tests.documents import timed
from tests.samples.choice import brute
from tests.shoot.order.small_shoots import MadeUp, every_order, made_up
from tests.small_course import write_course

CALM = settings(deadline=None, max_examples=10)
DAYS = st.sampled_from([(4,), (3, 2), (2, 3), (1, 2, 1)])
SEEDS = st.integers(0, 99999)


def true_cost(shoot: MadeUp, sequence: tuple[int, ...]) -> float:
    """What an order costs, read off its run sheet: changes, 20 for each minute past the wrap, and its samples."""
    choice, days = shoot.settle(tuple(shoot.setting.listed[i] for i in sequence))
    changes = sum(one.end - one.start for day in days for one in day.entries if one.kind == "change")
    return choice.cost + changes + 20 * sum(max(0.0, day.wrap - day.planned_wrap) for day in days)


def cost_in_time(shoot: MadeUp, sequence: tuple[int, ...]) -> float:
    """What an order costs that is never late: its changes by view and segment, its samples by trying everything."""
    listed = [shoot.setting.listed[i] for i in sequence]
    changes = 0.0
    for one, then in pairwise(listed):
        view, tray = one.shot.view != then.shot.view, one.number.split(".")[1] != then.number.split(".")[1]
        changes += (8 * view + 5 * tray or 0.5) if one.day == then.day else 0
    return changes + brute.cheapest(shoot.ask(tuple(listed)).question)


def with_locks(shoot: MadeUp, seed: int) -> MadeUp:
    """The shoot with up to two locks within days that do not contradict each other."""
    chance, listed = random.Random(seed), shoot.setting.listed
    pairs = [sorted(chance.sample(range(len(listed)), 2)) for _ in range(2)]
    if seed % 2:
        pairs = [pair[::-1] for pair in pairs]
    locks = tuple((a, b) for a, b in pairs if listed[a].day == listed[b].day)
    return replace(shoot, setting=replace(shoot.setting, locks=locks))


def worked_out(shoot: MadeUp, probes: int = PROBES, solved: int = SOLVED) -> dict[str, Order]:
    made = orders(shoot.setting, shoot.ask, shoot.settle, probes=probes, solved=solved)
    return {order.name: order for order in made}


@CALM
@given(DAYS, SEEDS, st.booleans())
def test_costs_and_bound_hold_against_every_order(counts: tuple[int, ...], seed: int, lock: bool) -> None:
    shoot = made_up(counts, seed)
    shoot = with_locks(shoot, seed) if lock else shoot
    place = {item.number: i for i, item in enumerate(shoot.setting.listed)}
    costs = {order: true_cost(shoot, order) for order in every_order(shoot.setting)}
    least = min(costs.values())
    found = worked_out(shoot)
    for order in found.values():
        sequence = tuple(place[number] for part in order.sequence for number in part)
        assert order.bound <= least + 1e-6
        assert bool(order.broken) == (sequence not in costs)
        if not order.broken:
            assert order.cost == pytest.approx(costs[sequence], abs=1e-6)
            assert found["cheapest"].cost <= order.cost + 1e-9
            assert order.exact == (order.cost <= order.bound + 1e-6 * max(1.0, order.cost))
            assert order.exact <= (order.cost <= least + 1e-6 * max(1.0, least))
    assert not found["cheapest"].broken


@pytest.mark.parametrize("seed", range(10))
def test_the_costs_are_those_of_a_reading_of_its_own(seed: int) -> None:
    shoot = made_up((3,), seed, wraps=(1320,))
    place = {item.number: i for i, item in enumerate(shoot.setting.listed)}
    costs = {order: cost_in_time(shoot, order) for order in every_order(shoot.setting)}
    found = worked_out(shoot)
    for order in found.values():
        assert order.cost == pytest.approx(costs[tuple(place[number] for number in order.sequence[0])], abs=1e-5)
    assert found["cheapest"].cost == pytest.approx(min(costs.values()), abs=1e-5)


def test_the_search_finds_the_least_of_small_days_nearly_always() -> None:
    missed = []
    for seed in range(12):
        shoot = made_up((4,) if seed % 2 else (3, 2), seed)
        least = min(true_cost(shoot, order) for order in every_order(shoot.setting))
        missed.append(worked_out(shoot)["cheapest"].cost / least - 1)
    assert sum(part < 1e-6 for part in missed) >= 11
    assert max(missed) < 0.1


@CALM
@given(st.sampled_from([(7,), (5, 4)]), SEEDS)
def test_no_bound_is_above_the_cost_of_an_order_it_is_for(counts: tuple[int, ...], seed: int) -> None:
    shoot = made_up(counts, seed)
    judge = Judge(shoot.setting, shoot.ask, shoot.settle)
    parts = [random.Random(seed + day).sample(shots, len(shots)) for day, shots in enumerate(shoot.setting.shots)]
    sequence = tuple(i for shots in parts for i in shots)
    cost = true_cost(shoot, sequence)
    assert judge.scored(sequence).cost == pytest.approx(cost, abs=1e-6)
    assert judge.bound <= cost + 1e-6
    assert judge.near(sequence) <= cost + 1e-6
    assert judge.floor <= judge.scored(sequence).choice.cost + 1e-6


def test_every_order_films_the_same_shots_on_the_same_days() -> None:
    shoot = made_up((5, 4), 3)
    found = worked_out(shoot, probes=20, solved=1)
    assert tuple(found) == NAMES
    for order in found.values():
        for day, numbers in enumerate(order.sequence):
            assert sorted(numbers) == sorted(item.number for item in shoot.setting.listed if item.day == day)


def test_the_listed_order_stays_as_it_is_even_against_a_lock() -> None:
    shoot = made_up((4,), 5)
    shoot = replace(shoot, setting=replace(shoot.setting, locks=((3, 0),)))
    first, last = shoot.setting.listed[0].number, shoot.setting.listed[3].number
    found = worked_out(shoot, probes=20)
    assert found["as listed"].sequence[0] == tuple(item.number for item in shoot.setting.listed)
    assert found["as listed"].broken == ((last, first),)
    assert not found["as listed"].exact
    for name in NAMES[1:]:
        assert found[name].sequence[0].index(last) < found[name].sequence[0].index(first)
        assert not found[name].broken


@pytest.mark.parametrize("seed", range(8))
def test_the_search_keeps_a_lock_against_the_cheapest_order(seed: int) -> None:
    shoot = made_up((4,), seed)
    place = {item.number: i for i, item in enumerate(shoot.setting.listed)}
    (best,) = worked_out(shoot)["cheapest"].sequence
    against = tuple((place[after], place[before]) for before, after in pairwise(best[:3]))
    shoot = replace(shoot, setting=replace(shoot.setting, locks=against))
    found = worked_out(shoot)["cheapest"]
    assert not found.broken
    assert found.cost == pytest.approx(min(true_cost(shoot, order) for order in every_order(shoot.setting)))


@pytest.mark.parametrize("seed", range(8))
def test_the_search_keeps_together_what_runs_on(seed: int) -> None:
    shoot = made_up((5,), seed)
    shoot = replace(shoot, setting=replace(shoot.setting, joined=((1, 2), (3, 4))))
    found = worked_out(shoot)
    numbers = [item.number for item in shoot.setting.listed]
    for order in found.values():
        (shots,) = order.sequence
        for first, then in ((1, 2), (3, 4)):
            assert shots.index(numbers[then]) - shots.index(numbers[first]) == 1
    least = min(true_cost(shoot, order) for order in every_order(shoot.setting))
    assert found["cheapest"].cost == pytest.approx(least)


def test_the_cheapest_is_the_cheapest_of_all_that_were_worked_out() -> None:
    better = 0
    for seed in range(6):
        shoot = made_up((6,), seed)
        judge = Judge(shoot.setting, shoot.ask, shoot.settle)
        best = cheapest(judge, [tuple(range(6))])
        assert best.cost == min(one.cost for one in judge.scores.values())
        better += best.cost < judge.scored(tuple(range(6))).cost
    assert better >= 3


def moves_by_hand(count: int) -> set[tuple[int, ...]]:
    """Every order in which one block stands elsewhere, and every one in which two shots change places."""
    told, found = tuple(range(count)), set()
    for first, stop in combinations(range(count + 1), 2):
        rest, block = told[:first] + told[stop:], told[first:stop]
        found |= {rest[:at] + block + rest[at:] for at in range(len(rest) + 1)}
    for i, j in combinations(range(count), 2):
        found.add(tuple({i: j, j: i}.get(place, place) for place in told))
    return found - {told}


def test_moves_are_those_of_one_block_and_swaps() -> None:
    for count in (1, 2, 5, 6):
        rows = [tuple(map(int, row)) for row in rearranged(count)]
        assert sorted(rows) == sorted(moves_by_hand(count))
    # Two blocks change places where one of them has eight shots at most.
    assert (*range(8, 17), *range(8)) in {tuple(row) for row in rearranged(17)}
    assert (*range(9, 18), *range(9)) not in {tuple(row) for row in rearranged(18)}


def test_a_move_within_a_day_wins_and_loses_what_lies_in_that_day() -> None:
    shoot = made_up((2, 2), 1)
    descent = Descent(Judge(shoot.setting, shoot.ask, shoot.settle), 1, trust=0.5)

    def expected(lost: tuple[int, int], won: tuple[int, int]) -> list[float]:
        """What the second day's shots 2 and 3 may cost more as they are and exchanged."""
        ends = [np.array([one]) for one in (*lost, *won)]
        guide = Guide(ends[0], ends[1], np.array([7.0]), ends[2], ends[3], np.array([4.0]))
        return [float(one) for one in descent._samples(1, np.array([[2, 3], [3, 2]]), guide)[1]]

    assert expected((2, 3), (3, 2)) == [0.0, 7.0 - 0.5 * 4.0]
    assert expected((0, 3), (0, 3)) == expected((2, 1), (2, 1)) == [0.0, 0.0]


def test_going_down_from_an_order_comes_to_a_likelier_one() -> None:
    better = 0
    for seed in range(6):
        shoot = made_up((6,), seed)
        descent, start = Descent(Judge(shoot.setting, shoot.ask, shoot.settle), PROBES), tuple(range(6))
        reached = descent.judge.near(descent._go(start))
        assert reached <= descent.judge.near(start)
        better += reached < descent.judge.near(start)
    assert better >= 3


def test_no_work_gives_the_best_of_the_others() -> None:
    found = worked_out(made_up((5, 4), 11), probes=0, solved=0)
    others = [found[name] for name in NAMES[:-1]]
    assert found["cheapest"].cost == min(order.cost for order in others)
    assert len({order.cost for order in others}) == 3
    assert found["cheapest"].sequence in [order.sequence for order in others]


def test_a_single_shot_has_one_order() -> None:
    found = worked_out(made_up((1,), 1))
    assert len({order.sequence for order in found.values()}) == 1
    assert all(order.change_minutes == 0 for order in found.values())


def test_the_same_shoot_gives_the_same_orders() -> None:
    assert worked_out(made_up((4, 3), 4)) == worked_out(made_up((4, 3), 4))


WAITING = timed.COURSE + (
    "    lunch: 9:30 for 45 min\n    helpers: [Bo]\nsamples: {camera_may_wait: 40 min, weights: {piece: 300 min}}\n"
)


def test_an_order_costs_what_it_is_planned_with(tmp_path: Path) -> None:
    # Waiting for ten rounds (5.55 minutes each) is cheaper than a second piece, and lunch moves forward of it.
    shots = (
        timed.shot("face"),
        timed.shot("face", pieces="[{needs: body round 1}]"),
        timed.shot("face", pieces="[{needs: body round 8}]"),
        timed.shot("face"),
    )
    files = {"course.yaml": WAITING, "pattern.yaml": timed.PATTERN, "episodes/01.yaml": timed.episode(shots)}
    worked = load(write_course(tmp_path, files)).worked
    assert worked is not None
    for order in all_orders(worked):
        planned, _ = plan_worked(in_order(worked, order))
        assert planned is not None
        assert order.wraps == tuple(day.wrap for day in planned.days)
        kinds = ("change", "shot", "wait")
        filmed = sum(one.end - one.start for day in planned.days for one in day.entries if one.kind in kinds)
        assert order.floor_minutes == pytest.approx(filmed)


def test_the_sample_course_is_cheaper_in_another_order(root: Path) -> None:
    worked = load(root / "sample_course").worked
    assert worked is not None
    found = {order.name: order for order in all_orders(worked)}
    listed, view, best = found["as listed"], found["by view"], found["cheapest"]
    assert view.view_changes < listed.view_changes
    assert view.change_minutes < listed.change_minutes
    assert 0 < best.bound <= best.cost < 0.9 * listed.cost
    assert all(best.cost <= order.cost for order in found.values())
    planned, _ = plan_worked(in_order(worked, best))
    assert planned is not None
    assert tuple(item.number for item in planned.worked.listed) == tuple(n for part in best.sequence for n in part)
    assert (best.pieces, best.bench_minutes) == (len(planned.choice.pieces), planned.choice.bench_minutes)
    assert best.wraps == tuple(day.wrap for day in planned.days)


@pytest.mark.parametrize("counts", [(5,), (3, 3)])
def test_what_a_move_promises_is_its_changes_and_what_the_guide_says_of_its_pairs(counts: tuple[int, ...]) -> None:
    """Added up pair by pair: what those that are turned lose, less a part of what those that are not win."""
    met = 0
    for seed in range(8):
        shoot = made_up(counts, seed)
        judge = Judge(shoot.setting, shoot.ask, shoot.settle)
        now, trust = tuple(range(sum(counts))), 0.5
        guide = judge.guide(now)
        lost, won = (
            list(zip(*(map(float, one) for one in some), strict=True))
            for some in ((guide.lost_i, guide.lost_j, guide.loss), (guide.won_i, guide.won_j, guide.gain))
        )
        moves = list(Descent(judge, 100, trust)._moves(now, guide))
        assert len({other for *_, other in moves}) > 3
        for hoped, cost, other in moves:
            assert not shoot.setting.broken(other)
            assert cost == pytest.approx(shoot.setting.cost_of(other), abs=1e-4)
            (day,) = {shoot.setting.days[i] for i, j in zip(now, other, strict=True) if i != j}
            here = {shot: at for at, shot in enumerate(other) if shoot.setting.days[shot] == day}
            samples = sum(loss for i, j, loss in lost if {i, j} <= here.keys() and here[int(i)] > here[int(j)])
            samples -= trust * sum(gain for i, j, gain in won if {i, j} <= here.keys() and here[int(i)] < here[int(j)])
            assert hoped - cost == pytest.approx(samples, abs=1e-4)
            met += samples != 0
    assert met > 20


def an_order(cost: float, bound: float, *, broken: bool = False) -> Order:
    apart = ((ShotNumber("1.1.1"), ShotNumber("1.1.2")),) if broken else ()
    return Order("any", (), 0, 0, 0.0, 0.0, 0, 0.0, 0.0, (), 0.0, cost, bound, apart)


def test_an_order_that_costs_no_more_than_every_one_is_exact_and_any_other_has_a_gap() -> None:
    assert (an_order(100, 100).exact, an_order(100, 100).gap) == (True, 0.0)
    assert (an_order(100, 80).exact, an_order(100, 80).gap) == (False, 0.2)
    assert (an_order(0, 0).exact, an_order(0, 0).gap) == (True, 0.0)
    assert not an_order(100, 100, broken=True).exact, "it does not keep the locks"


def test_what_every_order_of_two_shots_costs_is_their_one_change_and_the_samples() -> None:
    in_time = 0
    for seed in range(8):
        shoot = made_up((2,), seed)
        judge = Judge(shoot.setting, shoot.ask, shoot.settle)
        one, then = shoot.setting.listed
        view, tray = one.shot.view != then.shot.view, one.number.split(".")[1] != then.number.split(".")[1]
        least = judge.floor + (8 * view + 5 * tray or 0.5)
        assert judge.bound >= least - 1e-6
        in_time += judge.bound == pytest.approx(least)  # where the day wraps late that costs more
    assert in_time >= 3


def test_more_shots_than_anybody_films_are_not_searched_and_their_bound_is_that_of_the_samples() -> None:
    for count, large in ((80, False), (81, True)):
        shoot = made_up((count,), 1)
        judge = Judge(shoot.setting, shoot.ask, shoot.settle)
        assert (shoot.setting.large, judge.large) == (large, large)
        assert (judge.bound == judge.floor + shoot.setting.cost([0.0])) is large
    # The changes are the same, however they are looked up.
    shoot = made_up((81,), 1)
    fewer = replace(shoot.setting, listed=shoot.setting.listed[:40])
    assert shoot.setting.changes(range(40)) == fewer.changes(range(40))


@pytest.mark.parametrize(("pieces", "large"), [(200, False), (201, True)])
def test_more_pieces_than_two_hundred_are_not_searched(pieces: int, large: bool) -> None:
    shoot = made_up((2,), 1)
    demands = tuple(Demand(str(number), 0, ()) for number in range(pieces))
    question = Question({}, demands, (Slot(1.0),), (), Weights(piece=1.0))
    assert Judge(shoot.setting, lambda listed: Asked(lambda: question, ()), shoot.settle).large is large


@pytest.mark.parametrize("probes", [0, 1, 2, 7, 25])
def test_no_more_orders_are_guessed_and_chosen_for_than_are_allowed(probes: int) -> None:
    for seed in range(3):
        shoot = made_up((6,), seed)
        judge = Judge(shoot.setting, shoot.ask, shoot.settle)
        cheapest(judge, (tuple(range(6)),), probes, 2)
        assert len(judge.guesses) <= probes
        assert len(judge.scores) <= 1 + 2
