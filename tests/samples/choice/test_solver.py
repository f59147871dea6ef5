"""The model and its solver on programs that can be solved in the head."""

from __future__ import annotations

import math
from copy import deepcopy

import numpy as np
import pytest

from lessonplan.samples.choice.solver import OPTIONS, Engine, Model


def test_the_solver_takes_every_option() -> None:
    """HiGHS leaves an option as it was where it does not know it or where the value is out of range."""
    highs = Engine(Model()).highs
    assert {name: highs.getOptionValue(name)[1] for name in OPTIONS} == OPTIONS


def knapsack() -> Model:
    """Worth 60, 100 and 120 at 10, 20 and 30 with room for 50: 220 in whole things, 240 in parts (textbooks)."""
    model = Model()
    columns = [model.column(-worth, 1.0, integer=True) for worth in (60.0, 100.0, 120.0)]
    model.row(-math.inf, 50.0, list(zip(columns, (10.0, 20.0, 30.0), strict=True)))
    return model


def test_whole_things_and_parts() -> None:
    whole, parts = Engine(knapsack()).run(100), Engine(knapsack().relaxed()).run()
    assert (whole.objective, whole.bound) == pytest.approx((-220, -220))
    assert whole.values == pytest.approx([0, 1, 1])
    assert (parts.objective, parts.bound) == pytest.approx((-240, -240))
    assert parts.values == pytest.approx([1, 1, 2 / 3])
    # Another unit of room is worth 4; the first two things save 20 each against that price (10 x 4 and 20 x 4).
    assert parts.duals == pytest.approx([-4])
    assert parts.reduced == pytest.approx([-20, -20, 0])


def test_a_row_that_is_added_later_counts() -> None:
    engine = Engine(knapsack().relaxed())
    engine.run()
    engine.add(-math.inf, 0.5, [(1, 1.0)])
    assert engine.run().objective == pytest.approx(-(60 + 50 + 120))
    engine.add(3.0, math.inf, [(0, 1.0), (1, 1.0)])
    never = engine.run()
    assert (never.feasible, len(never.values), never.bound) == (False, 0, -math.inf)


def test_what_cannot_be_is_told_of_whole_things_too() -> None:
    model = knapsack()
    model.row(45.0, 48.0, [(0, 10.0), (1, 20.0), (2, 30.0)])
    assert not Engine(model).run(100).feasible
    assert Engine(model.relaxed()).run().objective == pytest.approx(-(60 + 100 + 18 * 4))


def test_what_is_cut_was_never_there() -> None:
    model = knapsack()
    before = deepcopy(model)
    more = [model.column(-1000.0), model.column(-2000.0, 3.0, integer=True)]
    model.row(0.0, 1.0, [(more[0], 1.0), (0, 2.0)])
    model.row(0.0, 2.0, [(more[1], 1.0)])
    model.cut(3, 1)
    assert model == before
    assert np.array(model.lp().a_matrix_.value_).tolist() == [10, 20, 30]


@pytest.mark.parametrize("work", [0, 1, 5])
def test_it_looks_no_more_often_than_it_may(work: int) -> None:
    """Thirty numbers to be split evenly, which takes far more looks: that after the last allowed one ends it."""
    model = Model()
    weights = [float(10**6 + (7919 * n) % 104_729) for n in range(30)]
    columns = [model.column(0.0, 1.0, integer=True) for _ in weights]
    over, half = model.column(1.0), sum(weights) / 2 + 0.25
    model.row(half, math.inf, [*zip(columns, weights, strict=True), (over, 1.0)])
    model.row(-math.inf, half, [*zip(columns, weights, strict=True), (over, -1.0)])
    engine = Engine(model)
    engine.run(work)
    assert engine.calls == work + 1


def test_a_column_twice_in_a_row_is_refused() -> None:
    model = knapsack()
    model.row(0.0, 1.0, [(0, 1.0), (0, 1.0)])
    with pytest.raises(ValueError, match="does not take"):
        Engine(model)
