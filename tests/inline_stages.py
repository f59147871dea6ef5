"""Patterns written inside a test: the stages alone, below a head with two sizes, a gauge of 20 by 30 and two yarns."""

from __future__ import annotations

from lessonplan.course.model import pattern as pm
from lessonplan.course.problems import Problem
from lessonplan.course.yamltext import read_yaml
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.pattern.working.stages import work_pattern

HEAD = """\
title: Test
sizes: [S, M]
gauge: {stitches: 20, rounds: 30}
yarns:
  MC: {name: Wool, metres: 200, grams: 100}
  CC: {name: Wool, metres: 200, grams: 100}
stages:
"""


def read(stages: str, head: str = HEAD) -> pm.Pattern:
    """Read the text of some stages as a pattern in two sizes."""
    data, problems = read_yaml((head + stages).encode(), "pattern.yaml")
    assert data is not None, problems
    return pm.Pattern.model_validate(data)


def work(stages: str, head: str = HEAD) -> tuple[WorkedPattern, tuple[Problem, ...]]:
    """Work the text of some stages in two sizes."""
    return work_pattern(read(stages, head))


def sound(stages: str, head: str = HEAD) -> WorkedPattern:
    """Work stages in which nothing is wrong."""
    worked, problems = work(stages, head)
    assert [str(problem) for problem in problems] == []
    return worked


def wrong(stages: str, head: str = HEAD) -> list[str]:
    """Give what is wrong with some stages, in sentences."""
    return [problem.message for problem in work(stages, head)[1]]
