"""What a shoot day gains where a shot is dropped, or filmed once: the plan made again, not the shot’s minutes alone.

A piece that is worked on meanwhile may be ready no sooner, and then the camera waits for what was saved.
"""

from __future__ import annotations

from dataclasses import replace

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.pattern.texts import for_size
from lessonplan.planning.worked import Plan, ask, settle
from lessonplan.samples.choice import NoPlanError
from lessonplan.shoot.clocks import shot_clocks


def freed(plan: Plan, day: int, number: ShotNumber, *, whole: bool) -> float:
    """Give the minutes by which a day (0-based) wraps sooner if a shot has one take only, or (``whole``) is left out.

    Nothing where no other plan can be made, or where the day has no other shot.
    """
    worked = plan.worked
    once = worked.course.shot(number).model_copy(update={"takes": 1})
    course = worked.course.with_shots({number: once})
    clocks = shot_clocks(course, worked.kinds, worked.table, for_size(worked.facts, worked.size))[0]
    left = [one for one in worked.listed if not whole or one.number != number]
    if all(one.day != day for one in left):
        return 0.0
    listed = tuple(replace(one, shot=once) if one.number == number else one for one in left)
    breaks = worked.breaks if not whole or number not in worked.breaks else None
    try:
        changed = ask(replace(worked, course=course, clocks=clocks, listed=listed), breaks)
        days = settle(changed)[2]
    except NoPlanError:
        return 0.0
    return plan.days[day].wrap - days[day].wrap if len(days) == len(plan.days) else 0.0
