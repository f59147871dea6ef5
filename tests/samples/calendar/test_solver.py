"""The little integer program: by hand, and with nothing left to search with."""

from __future__ import annotations

import math

import pytest

from lessonplan.samples.calendar.assign import Answer, solve
from lessonplan.samples.choice.solver import Model


def knapsack() -> Model:
    """Worth 10, 13, 7 at weights 3, 4, 2 into 6: by hand 13 + 7 = 20; with parts of things it were 20.67."""
    program = Model()
    columns = [program.column(-worth, 1.0, integer=True) for worth in (10.0, 13.0, 7.0)]
    program.row(-math.inf, 6, list(zip(columns, (3.0, 4.0, 2.0), strict=True)))
    return program


def test_a_small_one_by_hand(capfd: pytest.CaptureFixture[str]) -> None:
    answer = solve(knapsack(), 1000, 1e-7)
    assert [round(value) for value in answer.values] == [0, 1, 1]
    assert (round(answer.bound, 6), answer.proven) == (-20, True)
    assert capfd.readouterr() == ("", "")


def test_columns_that_are_not_whole_have_no_upper_end() -> None:
    program = Model()
    some, other = program.column(1.0), program.column(5.0, 1.0, integer=True)
    program.row(7.5, math.inf, [(some, 1.0), (other, 3.0)])
    answer = solve(program, 1000, 1e-7)
    assert (round(answer.values[some], 6), round(answer.values[other])) == (7.5, 0)


def test_no_answer_is_proven_too() -> None:
    program = Model()
    column = program.column(0.0, 1.0, integer=True)
    program.row(1, 1, [(column, 2.0)])
    assert solve(program, 1000, 1e-7) == Answer([], math.inf, True)


def test_work_is_the_only_limit() -> None:
    """Numbers to be split evenly: a search of more nodes than it may have ends without a proof, twice alike."""
    program = Model()
    weights = [float(10**6 + (7919 * n) % 104_729) for n in range(30)]
    columns = [program.column(0.0, 1.0, integer=True) for _ in weights]
    over = program.column(1.0)
    half = sum(weights) / 2 + 0.25
    program.row(half, math.inf, [*zip(columns, weights, strict=True), (over, 1.0)])
    program.row(-math.inf, half, [*zip(columns, weights, strict=True), (over, -1.0)])
    first = solve(program, 300, 1e-7)
    assert (first.values != [], first.proven) == (True, False)
    assert first == solve(program, 300, 1e-7)
