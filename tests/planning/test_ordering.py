"""The orders of a course's shots: the cheapest one against every order there is."""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from itertools import permutations, product
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lessonplan.planning.ordering import NAMES, PRICES, Order, in_sequence, judge_of, ordered, orders, setting_of
from lessonplan.planning.worked import Worked, ask, load
from lessonplan.samples.choice import choose_problem
from lessonplan.shoot.day import change_between, run_days
from lessonplan.shoot.order import Filming, LockError, Setting
from lessonplan.shoot.order_search import Effort
from tests.benchmarks.order import made_up
from tests.small_course import COURSE, write_course

CALM = settings(deadline=None, max_examples=10, suppress_health_check=[HealthCheck.too_slow])
FULL = Effort(proof_evaluations=1000)
SLIGHT = Effort(probes=6, evaluations=1, beginnings=0, proof_evaluations=0)
DAYS = st.sampled_from([(4,), (3, 2), (2, 3), (1, 2, 1)])
LATE = st.sampled_from([22 * 60, 10 * 60 + 30, 11 * 60])


@cache
def base() -> Worked:
    """A small pattern with dear changes, so that samples and changes pull in different directions."""
    pace = (
        "pace: {view_change: 8 min, tray_change: 5 min}\nsamples: {weights: {piece: 8 min, floor: 1.5, waiting: 4}}\n"
    )
    with TemporaryDirectory() as folder:
        worked = load(write_course(Path(folder) / "c", {"course.yaml": COURSE + pace})).worked
    assert worked is not None
    return worked


def every_order(setting: Setting) -> Iterator[Filming]:
    """All orders that keep the locks, the days apart."""
    for parts in product(*(permutations(shots) for shots in setting.shots)):
        sequence = tuple(i for part in parts for i in part)
        if not setting.broken(sequence):
            yield sequence


def true_cost(worked: Worked, sequence: Filming) -> float:
    """What an order costs, worked out from the run sheet and the chosen samples alone."""
    asked = ask(in_sequence(worked, sequence))
    choice = choose_problem(asked.question)
    days = run_days(asked.course, asked.listed, asked.clocks, choice)
    cost = choice.cost + PRICES.late * sum(max(0.0, day.over) for day in days)
    previous = None
    for item in asked.listed:
        cost += PRICES.change * change_between(asked.course, previous, item)[0]
        previous = item
    return cost


def chance_locks(worked: Worked, seed: int) -> list[tuple[str, str]]:
    """Up to two locks within days that do not contradict each other."""
    chance = random.Random(seed)
    found: list[tuple[str, str]] = []
    for _ in range(2):
        a, b = sorted(chance.sample(range(len(worked.listed)), 2), key=lambda i: (i * 7 + seed) % 11)
        if worked.listed[a].day == worked.listed[b].day:
            found.append((worked.listed[a].number, worked.listed[b].number))
    return found if len(set(map(frozenset, found))) == len(found) else found[:1]


@CALM
@given(counts=DAYS, seed=st.integers(0, 9999), wrap=LATE, views=st.integers(1, 3), lock=st.booleans())
def test_the_cheapest_is_what_trying_every_order_finds(
    counts: tuple[int, ...], seed: int, wrap: int, views: int, lock: bool
) -> None:
    worked = made_up(base(), counts, seed, views, wrap)
    compare_with_every_order(worked, chance_locks(worked, seed) if lock else [])


@pytest.mark.parametrize(("seed", "wrap"), [(81, 630), (7, 1320)])
def test_so_it_is_with_five_shots_in_a_day(seed: int, wrap: int) -> None:
    compare_with_every_order(made_up(base(), (5,), seed, 3, wrap), [])


def compare_with_every_order(worked: Worked, locks: list[tuple[str, str]]) -> None:
    setting = setting_of(worked, locks=locks)
    least = min(true_cost(worked, sequence) for sequence in every_order(setting))
    best = orders(worked, locks=locks, effort=FULL)[-1]
    assert best.exact
    assert best.cost == pytest.approx(least, abs=1e-4)
    assert best.bound == pytest.approx(least, abs=1e-4)
    assert not best.broken


@CALM
@given(counts=DAYS, seed=st.integers(0, 9999), wrap=LATE)
def test_bound_exact_heuristic_present_stand_in_this_order(counts: tuple[int, ...], seed: int, wrap: int) -> None:
    worked = made_up(base(), counts, seed, 3, wrap)
    exact, slight = orders(worked, effort=FULL)[-1], orders(worked, effort=SLIGHT)
    assert slight[-1].bound <= exact.cost + 1e-4
    assert exact.cost <= slight[-1].cost + 1e-4
    assert all(slight[-1].cost <= order.cost + 1e-9 for order in slight)
    assert all(order.bound <= order.cost for order in slight)


@CALM
@given(counts=DAYS, seed=st.integers(0, 9999), part=st.integers(0, 4))
def test_no_bound_is_above_the_cost_of_an_order_it_is_for(counts: tuple[int, ...], seed: int, part: int) -> None:
    worked = made_up(base(), counts, seed, 3, 11 * 60)
    setting = setting_of(worked)
    judge = judge_of(worked, setting)
    parts = [random.Random(seed + d).sample(shots, len(shots)) for d, shots in enumerate(setting.shots)]
    sequence = tuple(i for shots in parts for i in shots)
    cost = judge.scored(sequence).cost
    assert cost == pytest.approx(true_cost(worked, sequence), abs=1e-6)
    problem, begun = judge.question(sequence), sequence[:part]
    begins = judge.least.cost(begun) + judge.relaxed.least(begun, problem)
    assert judge.bound <= begins + 1e-6
    for bound in (judge.bound, begins, judge.quick(sequence), judge.near(sequence)):
        assert bound <= cost + 1e-6


def by_name(found: tuple[Order, ...]) -> dict[str, Order]:
    return {order.name: order for order in found}


def test_every_order_films_the_same_shots_on_the_same_days() -> None:
    worked = made_up(base(), (5, 4), 3)
    found = orders(worked, effort=SLIGHT)
    assert tuple(order.name for order in found) == NAMES
    for order in found:
        for day, numbers in enumerate(order.sequence):
            assert sorted(numbers) == sorted(item.number for item in worked.listed if item.day == day)


def test_the_listed_order_stays_as_it_is_even_against_a_lock() -> None:
    worked = made_up(base(), (4,), 5)
    first, last = worked.listed[0].number, worked.listed[3].number
    found = by_name(orders(worked, locks=[(last, first)], effort=SLIGHT))
    assert found["as listed"].sequence[0] == tuple(item.number for item in worked.listed)
    assert found["as listed"].broken == ((last, first),)
    assert not found["as listed"].exact
    for name in NAMES[1:]:
        assert found[name].sequence[0].index(last) < found[name].sequence[0].index(first)
        assert not found[name].broken


def test_a_segment_in_order_keeps_its_order() -> None:
    worked = made_up(base(), (6,), 2)
    segment = worked.listed[0].segment
    best = orders(worked, in_order=[segment])[-1]
    inside = [number for number in best.sequence[0] if number.startswith(f"{segment}.")]
    assert len(inside) > 1
    assert inside == sorted(inside)


def test_locks_that_contradict_each_other_are_refused() -> None:
    worked = made_up(base(), (3,), 1)
    a, b = worked.listed[0].number, worked.listed[1].number
    with pytest.raises(LockError):
        orders(worked, locks=[(a, b), (b, a)])


def test_the_figures_of_an_order_are_those_of_the_course_in_it() -> None:
    worked = made_up(base(), (4, 3), 8)
    found = orders(worked)
    for order in found:
        course = ordered(worked, order.name, among=found)
        assert tuple(item.number for item in course.listed) == tuple(n for part in order.sequence for n in part)
        choice = choose_problem(course.question)
        days = run_days(course.course, course.listed, course.clocks, choice)
        assert order.wraps == tuple(day.wrap for day in days)
        assert (order.pieces, order.bench_minutes) == (len(choice.pieces), choice.bench_minutes)
        kinds = ("change", "shot", "wait")
        filmed = sum(e.end - e.start for day in days for e in day.entries if e.kind in kinds)
        assert order.floor_minutes == pytest.approx(filmed)


def test_overtime_makes_no_day_late() -> None:
    worked = made_up(base(), (4,), 8, wrap=10 * 60)
    assert orders(worked, effort=SLIGHT)[0].late > 0
    assert orders(worked, effort=SLIGHT, overtime=600.0)[0].late == 0


def test_an_unknown_order_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        ordered(made_up(base(), (2,), 1), "backwards", among=())


def test_a_single_shot_has_one_order() -> None:
    found = orders(made_up(base(), (1,), 1))
    assert len({order.sequence for order in found}) == 1
    assert all(order.exact and order.change_minutes == 0 for order in found)


def test_the_same_course_gives_the_same_orders() -> None:
    worked = made_up(base(), (6, 5), 4)
    assert orders(worked) == orders(worked)


def test_the_sample_course_is_cheaper_in_another_order(root: Path) -> None:
    worked = load(root / "sample_course").worked
    assert worked is not None
    found = by_name(orders(worked))
    listed, view, best = found["as listed"], found["by view"], found["cheapest"]
    assert view.view_changes < listed.view_changes
    assert view.change_minutes < listed.change_minutes
    assert best.bound <= best.cost < 0.95 * listed.cost
    assert all(best.cost <= order.cost for order in found.values())
    assert 0 < best.gap < 0.12
