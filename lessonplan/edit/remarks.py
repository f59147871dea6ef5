"""What is to be said of a plan before its episodes are cut: texts without room, chapters, odd timecodes."""

from __future__ import annotations

from lessonplan.course.problems import Problem
from lessonplan.edit.chapters import chapter_problems
from lessonplan.edit.cues.whole import episode_cues
from lessonplan.edit.timing import odd_timecodes
from lessonplan.planning.worked import Plan


def edit_remarks(plan: Plan) -> tuple[Problem, ...]:
    """Give every problem of the edit, episode by episode."""
    cues = [problem for one in plan.course.episodes for problem in episode_cues(plan, one.episode).problems]
    return (*cues, *chapter_problems(plan), *odd_timecodes(plan))
