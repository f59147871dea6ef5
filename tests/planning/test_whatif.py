"""What-ifs are solved again, and their words name what is missing."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.whatif import (
    WhatIfError,
    accepting,
    filmed_before,
    reasons,
    savings,
    what_if,
    with_helpers,
    without_piece,
)
from lessonplan.planning.worked import Plan
from tests.small_course import COURSE, PATTERN, write_course

EPISODE = """\
episode: 1
title: All of it
segments:
  - title: Later first
    shots:
      - {view: face, say: Look at this ring., pieces: [{needs: body round 8}], takes: 1}
  - title: Earlier second
    shots:
      - {view: face, say: And how it begins., pieces: [{needs: edge round 2}], takes: 1}
"""


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    pattern = PATTERN.replace("title: Body\n", "title: Body\n    short: 2\n")
    result = lessonplan.plan(write_course(tmp_path, {"episodes/01.yaml": EPISODE, "pattern.yaml": pattern}))
    assert result.plan is not None, result.problems
    return result.plan


def test_two_pieces_are_needed_in_the_order_as_listed(plan: Plan) -> None:
    assert [piece.name for piece in plan.choice.pieces] == ["A", "B"]


def test_filming_the_earlier_state_first_saves_a_piece_with_a_helper(plan: Plan) -> None:
    (alone,) = what_if(plan, film="1.2", before="1.1")
    assert alone.pieces in (0, 1)
    helped = filmed_before(with_helpers(plan.worked, 9), "1.2", "1.1")
    from lessonplan.samples.choice import choose_problem

    assert len(choose_problem(helped.question).pieces) <= 2
    assert [item.number for item in helped.listed] == ["1.2.1", "1.1.1"]


def test_accepting_a_short_piece_saves_its_rounds(plan: Plan) -> None:
    (change,) = what_if(plan, accept="short 1.1.1")
    assert change.minutes > 0
    assert accepting(plan.worked, "1.1.1", "short").table[0].kinds == ("full", "short")


def test_the_best_saving_is_what_solving_again_gives(plan: Plan) -> None:
    best = savings(plan)
    assert best
    assert list(best) == sorted(best, key=lambda change: -change.minutes)
    kind, _, rest = best[0].what.removeprefix("accept the ").partition(" kind in ")
    (again,) = what_if(plan, accept=f"{kind} {rest}")
    assert again.minutes == pytest.approx(best[0].minutes)


def test_a_piece_that_stands_alone_cannot_be_done_without(plan: Plan) -> None:
    more = without_piece(plan, "A")
    assert more is None or more >= 0
    assert set(reasons(plan).without) == {"A", "B"}


@pytest.mark.parametrize(
    "asked",
    [
        {"without": "Q"},
        {"film": "9.9", "before": "1.1"},
        {"film": "1.1"},
        {"accept": "huge 1.1.1"},
        {"accept": "short"},
    ],
)
def test_what_is_not_there_is_named(plan: Plan, asked: dict[str, str]) -> None:
    with pytest.raises(WhatIfError):
        what_if(plan, **asked)  # type: ignore[arg-type]


def test_a_course_without_hands_on_pieces_saves_nothing(tmp_path: Path) -> None:
    episode = "episode: 1\ntitle: T\nsegments:\n  - title: A\n    shots:\n      - {view: face, say: Hello.}\n"
    result = lessonplan.plan(write_course(tmp_path, {"episodes/01.yaml": episode, "course.yaml": COURSE}))
    assert result.plan is not None
    assert savings(result.plan) == ()
