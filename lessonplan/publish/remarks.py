"""What is to be said of a planned course once its parts and its kit are looked at."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from lessonplan.course.problems import in_reading_order
from lessonplan.edit.proof.typed import with_typed
from lessonplan.edit.remarks import with_remarks
from lessonplan.planning.whole import plan
from lessonplan.planning.worked import Result
from lessonplan.publish.editions import other_numbers
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
    found = (*result.problems, *too_much(result.plan), *other_numbers(result.plan))
    return replace(result, problems=in_reading_order(found, result.files))
