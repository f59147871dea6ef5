"""Three ways to the least cost agree: the program's own model, a column for each pair, and trying everything."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

from lessonplan.samples.choice import Problem, choose_problem
from tests.samples.bruteforce import least_cost
from tests.samples.instances import problems
from tests.samples.pairwise import solve_pairwise

CALM = settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])


@CALM
@given(problems(most=4))
def test_choice_costs_what_trying_everything_finds(problem: Problem) -> None:
    plan = choose_problem(problem)
    assert plan.optimal
    assert plan.cost == pytest.approx(least_cost(problem), abs=1e-4)


@CALM
@given(problems(most=7))
def test_choice_costs_what_the_pairwise_program_finds(problem: Problem) -> None:
    assert choose_problem(problem).cost == pytest.approx(solve_pairwise(problem).objective, abs=1e-4)


@CALM
@given(problems(most=5))
def test_out_of_time_the_plan_is_still_one_and_its_bound_holds(problem: Problem) -> None:
    plan = choose_problem(problem, time_limit=0.0)
    least = solve_pairwise(problem).objective
    assert plan.bound <= least + 1e-4
    assert plan.cost >= least - 1e-4
    assert plan.optimal or plan.gap > 0
