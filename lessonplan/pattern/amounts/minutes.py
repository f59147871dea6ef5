"""Bench minutes: how long knitting takes at somebody's pace.

minutes = sum over techniques of (count x time factor) / pace, plus a fixed time for each round, colour change, cast-on
and so on. A pace is in plain knit stitches a minute. Time factors are the techniques' own (a table with sources), or
the course's; two colours in one round take longer by the table's factor.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import accumulate

from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, did_you_mean, error, warning
from lessonplan.craft import tables
from lessonplan.craft.techniques import all_techniques, technique
from lessonplan.pattern.worked import WorkedStage

NO_FACTORS: Mapping[str, float] = {}


def technique_minutes(
    counts: tuple[tuple[str, int], ...], pace: float, factors: Mapping[str, float] = NO_FACTORS, colours: int = 1
) -> float:
    """Minutes for counted techniques alone. Raises ``ValueError`` when the pace is not positive."""
    if pace <= 0:
        raise ValueError("a pace must be more than nothing")
    weighed = sum(count * factors.get(name, technique(name).time_factor) for name, count in counts)
    return weighed / pace * (tables.pace("two_colours") if colours > 1 else 1.0)


def cumulative_minutes(stage: WorkedStage, pace: float, factors: Mapping[str, float] = NO_FACTORS) -> tuple[float, ...]:
    """Hands-on minutes from the beginning of a stage to 0, 1, ... n steps done."""
    minutes = (
        technique_minutes(step.techniques, pace, factors, len(step.yarns)) * stage.pace_factor + step.fixed
        for step in stage.steps
    )
    return tuple(accumulate(minutes, initial=0.0))


def questioned(course: Course) -> Iterator[Problem]:
    """Question a pace above the published record or below 3 stitches a minute, and factors of unknown techniques."""
    people = [("knitting", course.course.pace.knitting, course.course.pace.mark("knitting"))]
    people.append(("on_camera", course.course.pace.on_camera, course.course.pace.mark("on_camera")))
    people += [(knitter.name, knitter.pace, knitter.mark("pace")) for knitter in course.course.knitters]
    for name, value, where in people:
        if value > tables.pace("record"):
            record = tables.pace("record")
            what = f"{value:g} stitches a minute ({name}) is above the published record of {record:g} in one minute."
            yield warning(where, "pace", what)
        elif value < tables.pace("slowest"):
            what = f"{value:g} stitches a minute ({name}) is slower than a first-time knitter."
            yield warning(where, "pace", what, "A pace is in stitches a minute, not minutes a stitch.")
    for name in course.course.techniques:
        try:
            technique(name)
        except KeyError:
            where = course.course.mark("techniques")
            yield error(
                where, "technique", f"“{name}” is not a technique known here.", did_you_mean(name, all_techniques())
            )
