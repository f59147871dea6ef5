"""A course that goes on for weeks: what was right on two shoot days holds on six."""

from __future__ import annotations

from pathlib import Path

from lessonplan.building import Papers
from lessonplan.planning.plan import plan
from tests.benchmarks.courses import many


def test_every_paper_of_a_course_twice_as_long_is_made(tmp_path: Path) -> None:
    result = plan(many(tmp_path, 2))
    assert result.plan, result.problems
    made = {one.name: one.make() for one in Papers(result.plan) if not one.printed}
    assert all(made.values())
    # each of the sample's episodes twice, so each episode's papers six times
    assert {f"editor-{number}.html" for number in range(1, 7)} <= made.keys()
