"""Stages and their rounds as numbers: what a state such as “round 3” means, found by walking the steps."""

from __future__ import annotations

import random

import pytest

from lessonplan.pattern.worked import PART, UNIT, Step, ancestors
from tests.small_pieces import mitten, rounds, stage


def test_a_round_is_done_with_the_step_that_ends_it() -> None:
    aside = Step("hold", "Put 8 sts aside", 20, 12, held=8)
    half = Step(PART, "Half a round", 12, 12, part=6)
    one = stage("a", Step("cast-on", "Cast on", 0, 20), *rounds([20, 20]), aside, half, *rounds([12, 12]))
    # Steps: cast-on, 1, 2, put aside, half, 3, 4.
    assert [one.steps_to_round(number) for number in range(5)] == [1, 2, 3, 6, 7]
    assert [one.rounds_at(steps) for steps in range(8)] == [0, 0, 1, 2, 2, 2, 3, 4]
    begun = stage("b", aside, half, *rounds([12]))
    assert begun.steps_to_round(0) == 1, "the half round belongs to round 1"
    for number in (-1, 5):
        with pytest.raises(ValueError, match=f"“a” has 4 rounds, not {number}"):
            one.steps_to_round(number)


def test_a_short_piece_has_the_numbers_of_the_full_one() -> None:
    short = stage("a", *rounds([20] * 4), Step("bind-off", "Bind off", 20, 0), numbers=(1, 2, 9, 10))
    assert [short.steps_to_round(number) for number in (0, 1, 2, 9, 10)] == [0, 1, 2, 3, 4]
    with pytest.raises(ValueError, match="not 3"):
        short.steps_to_round(3)
    none = stage("b", numbers=(), start=20)
    assert none.steps_to_round(0) == 0
    with pytest.raises(ValueError, match="0 rounds"):
        none.steps_to_round(1)


def test_without_rounds_the_counted_units_are_counted_or_else_the_steps() -> None:
    glue, unit = Step("minutes", "Glue", 0, 0), Step(UNIT, "A square", 0, 0)
    counted = stage("a", glue, unit, unit, glue)
    assert [counted.steps_to_round(number) for number in range(3)] == [1, 2, 3]
    assert [stage("b", glue, glue).steps_to_round(number) for number in range(3)] == [0, 1, 2]
    assert stage("c").steps_to_round(0) == 0
    for number in (-1, 3):
        with pytest.raises(ValueError, match="not"):
            counted.steps_to_round(number)


def test_everything_before_a_stage_is_what_a_walk_back_from_it_meets() -> None:
    dice = random.Random(3)
    for _ in range(50):
        keys = [str(number) for number in range(8)]
        before = {key: tuple(one for one in keys[:at] if dice.random() < 0.3) for at, key in enumerate(keys)}

        def meets(key: str, before: dict[str, tuple[str, ...]] = before) -> set[str]:
            return {one for parent in before[key] for one in (parent, *meets(parent))}

        assert all(ancestors(key, before) == meets(key) for key in keys)
    assert mitten().ancestors("thumb") == {"edge", "cuff", "gusset"}
