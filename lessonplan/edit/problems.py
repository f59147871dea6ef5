"""What is to be said of a plan before its episodes are cut: texts without room, chapters, odd timecodes, captions,
and rounds that are said to be done over a piece that has fewer."""

from __future__ import annotations

from dataclasses import replace

from lessonplan.course.problems import Problem, in_reading_order
from lessonplan.edit.chapters import chapter_problems
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.kept import captions_of
from lessonplan.edit.shown import shown_short
from lessonplan.edit.timing import odd_timecodes
from lessonplan.edit.video import cut_remarks
from lessonplan.planning.worked import Plan, Result


def edit_problems(plan: Plan) -> tuple[Problem, ...]:
    """Give every problem of the edit, episode by episode."""
    cues = [problem for one in plan.course.episodes for problem in episode_cues(plan, one.episode).problems]
    kept = (captions_of(plan, one.episode) for one in plan.course.episodes)
    unread = (replace(one, severity="warning") for captions in kept if captions for one in captions.problems)
    return (
        *cues,
        *chapter_problems(plan),
        *odd_timecodes(plan.takes, plan.course.course.frame_rate),
        *cut_remarks(plan),
        *shown_short(plan),
        *unread,
    )


def with_edit(result: Result) -> Result:
    """Give a result with the problems of its edit among the others, in reading order; without a plan there are none."""
    if result.plan is None:
        return result
    problems = in_reading_order((*result.problems, *edit_problems(result.plan)), result.files)
    return replace(result, problems=problems)
