"""What is to be said of a planned course once its parts and its kit are looked at."""

from __future__ import annotations

from dataclasses import replace

from lessonplan.course.problems import in_reading_order
from lessonplan.planning.worked import Result
from lessonplan.publish.editions import other_numbers
from lessonplan.publish.homework import too_much


def remarked(result: Result) -> Result:
    """Give a result with these remarks among its problems."""
    if result.plan is None:
        return result
    found = (*result.problems, *too_much(result.plan), *other_numbers(result.plan))
    return replace(result, problems=in_reading_order(found, result.files))
