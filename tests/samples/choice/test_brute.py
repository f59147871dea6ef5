"""Made-up questions against trying everything; and the walker that looks for faults finds those planted in plans."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from lessonplan.samples.choice import Choice, NoPlanError, Piece, Question, Spell, Stop, choose as module
from lessonplan.samples.choice.choose import WORK, bound, choose
from tests.samples.choice.brute import cheapest, compared
from tests.samples.choice.made import question, wet
from tests.samples.choice.walk import faults


@pytest.mark.parametrize("first", range(0, 400, 40))
def test_no_plan_is_cheaper_and_every_plan_can_be_carried_out(first: int) -> None:
    assert {seed: said for seed in range(first, first + 40) if (said := compared(question(seed)))} == {}


@pytest.mark.parametrize("first", range(3000, 3040, 20))
def test_nor_with_six_pieces(first: int) -> None:
    assert {seed: said for seed in range(first, first + 20) if (said := compared(question(seed, 6)))} == {}


def test_nor_where_much_must_dry_in_between() -> None:
    """Another made-up sort: where a drying begins earlier than it must, the camera may wait the less for it."""
    asked = {seed: wet(seed) for seed in range(80)}
    assert {seed: said for seed, one in asked.items() if (said := compared(one))} == {}


def test_what_is_likely_is_only_where_the_search_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    """Begun among next to nothing, and widened step by step, it still finds the cheapest plan and proves it."""
    asked = [question(seed) for seed in (100, 181, 186)]
    whole = [choose(one).cost for one in asked]
    monkeypatch.setattr(module, "LIKELY", 1)
    for one, cost in zip(asked, whole, strict=True):
        told: list[tuple[float | None, float | None]] = []
        answer = choose(one, progress=lambda *figures, to=told: to.append(figures))
        assert answer.optimal
        assert answer.cost == pytest.approx(cost)
        assert len(told) > 3, "looked for more than twice"


def test_the_bound_is_never_above_the_least_cost() -> None:
    for seed in range(500, 560):
        assert bound(question(seed)) <= cheapest(question(seed)) + 1e-5


def test_when_the_work_is_done_a_plan_is_at_hand_that_can_be_carried_out() -> None:
    proven = 0
    for seed in range(600, 660):
        asked = question(seed, 6)
        try:
            answer = choose(asked, effort=0)
        except NoPlanError:
            # Without limits and further takes a new piece can be made for everything.
            assert asked.limits or any(way.only_after for one in asked.demands for way in one.ways)
            continue
        assert faults(asked, answer) == []
        true = cheapest(asked)
        alone = replace(asked, slots=tuple(replace(one, hands=0, waiting=0) for one in asked.slots))
        assert answer.cost <= cheapest(alone) + 1e-5, "no dearer than with nobody at work on the set"
        assert answer.bound <= true + 1e-5
        assert answer.cost >= true - 1e-5
        assert answer.gap == pytest.approx(0 if answer.optimal else 1 - answer.bound / answer.cost)
        proven += answer.optimal
    assert proven < 55


@pytest.mark.parametrize(("seed", "most"), [(3, 14), (5, 14), (7, 14), (17, 14), (5, 18), (21, 18)])
def test_the_more_work_the_better_the_plan(seed: int, most: int) -> None:
    asked = question(seed, most)
    whole: list[tuple[float | None, float | None]] = []
    best = choose(asked, progress=lambda *figures: whole.append(figures))
    assert best.optimal
    assert whole[-1] == pytest.approx((best.cost, best.cost))
    assert whole[0][0] is not None, "a plan is at hand from the beginning"
    assert whole[0][0] > best.cost, "and told on the way"
    before = math.inf
    for looks in (1, 4, 16):
        told: list[tuple[float | None, float | None]] = []
        answer = choose(asked, effort=looks / WORK, progress=lambda *figures, to=told: to.append(figures))
        assert faults(asked, answer) == []
        assert answer.bound - 1e-5 <= best.cost <= answer.cost + 1e-5
        assert answer.cost <= before + 1e-5
        if looks == 1:
            assert not answer.optimal, "one look is not enough for so many pieces"
        costs = [cost for cost, _ in told if cost is not None]
        bounds = [round(low, 6) for _, low in told if low is not None]
        assert costs == sorted(costs, reverse=True)
        assert bounds == sorted(bounds)
        assert told[-1] == pytest.approx(
            (answer.cost, answer.bound), abs=0.01
        )  # told with what tells equal plans apart
        before = answer.cost


@cache
def worked() -> tuple[Question, Choice, int, int]:
    """A question, its plan, and where in it a piece is worked on and must dry: (piece, stop)."""
    for seed in range(1000):
        asked = question(seed, 5)
        try:
            answer = choose(asked)
        except NoPlanError:
            continue
        for i, piece in enumerate(answer.pieces):
            for j, stop in enumerate(piece.stops):
                if stop.spells and stop.drying and answer.waits and stop.drying[0].slot > stop.spells[0].slot:
                    return asked, answer, i, j
    raise AssertionError("no such question")


def first_spell(stop: Stop, *, more: float = 0.0, slot: int | None = None) -> Stop:
    first = stop.spells[0]
    changed = Spell(first.slot if slot is None else slot, first.minutes + more)
    return replace(stop, spells=(changed, *stop.spells[1:]))


SPOILT: list[tuple[str, Callable[[Stop], Stop]]] = [
    ("lacking", lambda stop: first_spell(stop, more=-1)),
    ("more", lambda stop: first_spell(stop, more=99)),
    ("dries before it is worked", lambda stop: first_spell(stop, slot=stop.drying[0].slot)),
    ("another drying", lambda stop: replace(stop, drying=())),
    ("not dry in time", lambda stop: replace(stop, drying=(Spell(stop.slot, stop.drying[0].minutes),))),
    ("minutes of ripping", lambda stop: replace(stop, ripping=stop.ripping + 1)),
    ("on the table", lambda stop: first_spell(stop, slot=stop.slot)),
]


@pytest.mark.parametrize(("said", "spoil"), SPOILT)
def test_a_spoilt_stop_is_found(said: str, spoil: Callable[[Stop], Stop]) -> None:
    asked, answer, i, j = worked()
    assert faults(asked, answer) == []
    piece = answer.pieces[i]
    stops = (*piece.stops[:j], spoil(piece.stops[j]), *piece.stops[j + 1 :])
    pieces = (*answer.pieces[:i], replace(piece, stops=stops), *answer.pieces[i + 1 :])
    assert any(said in fault for fault in faults(asked, replace(answer, pieces=pieces)))


def with_first(answer: Choice, change: Callable[[Piece], Piece]) -> Choice:
    return replace(answer, pieces=(change(answer.pieces[0]), *answer.pieces[1:]))


PLANS: list[tuple[str, Callable[[Choice], Choice]]] = [
    ("not", lambda plan: replace(plan, cost=plan.cost - 1)),
    ("has ", lambda plan: replace(plan, pieces=plan.pieces[:-1])),
    ("waits too long", lambda plan: replace(plan, waits=(replace(plan.waits[0], minutes=99.0),))),
    ("takes", lambda plan: with_first(plan, lambda piece: replace(piece, bench=piece.bench + 1))),
    ("one piece twice", lambda plan: replace(plan, pieces=(*plan.pieces, plan.pieces[0]))),
    ("told", lambda plan: replace(plan, unused=("nothing",))),
]


@pytest.mark.parametrize(("said", "spoil"), PLANS)
def test_a_spoilt_plan_is_found(said: str, spoil: Callable[[Choice], Choice]) -> None:
    asked, answer, *_ = worked()
    assert any(said in fault for fault in faults(asked, spoil(answer)))
