"""What is to be said of a planned course once its episodes and its kit are looked at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from lessonplan.course.names.errataplaces import timed
from lessonplan.course.problems import Problem, in_reading_order, warning
from lessonplan.course.words import clock_of
from lessonplan.edit.kept import captions_of
from lessonplan.edit.proof.typed import with_typed
from lessonplan.edit.remarks import with_remarks
from lessonplan.edit.timing import shot_times
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Plan, Result
from lessonplan.publish.editions import used_editions
from lessonplan.publish.homework import too_much
from lessonplan.samples.choice import Progress


def checked(folder: Path | str, progress: Progress | None = None) -> Result:
    """Plan a course and say all that is to be said of it: what ``check`` prints, and a build begins with.

    Raises ``OSError`` when a file cannot be read.
    """
    return remarked(with_remarks(with_typed(plan(folder, progress=progress))))


def remarked(result: Result) -> Result:
    """Give a result with these remarks among its problems."""
    if result.plan is None:
        return result
    found = (*result.problems, *too_much(result.plan), *used_editions(result.plan), *past_the_end(result.plan))
    return replace(result, problems=in_reading_order(found, result.files))


def past_the_end(plan: Plan) -> Iterator[Problem]:
    """Tell of errata at a time at which their episode is over, as its captions have it or as it is planned."""
    known = {episode.episode for episode in plan.course.episodes}
    for one in plan.course.errata.errata:
        episode, second = timed(one.where) or (0, 0)
        if episode not in known:
            continue
        captions, times = captions_of(plan, episode), shot_times(plan, episode)
        heard = max((cue.end for cue in captions.cues), default=0) if captions else 0
        end = (heard or max((time.end for time in times), default=0)) / 1000
        if second > end:
            ends = "ends with its captions at" if heard else "is planned to end at"
            what = f"Episode {episode} {ends} {clock_of(end)}, and this stands at {clock_of(second)}."
            yield warning(one.mark("where"), "past-the-end", what)
