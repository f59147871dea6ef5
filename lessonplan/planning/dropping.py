"""What a shoot day gains where a shot is dropped, or filmed once: the day walked again, not the shot’s minutes alone.

The pieces stay those of the plan. What is worked on them in between is done as early as hands are free, the soonest
wanted first, and dries when the work is done; a piece that is not ready then is waited for, and so much of what was
saved is lost again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model.together import Course
from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.planning.asking import told_apart
from lessonplan.planning.worked import Plan, Worked
from lessonplan.remembered import remembered_each
from lessonplan.samples.choice.ladder import total
from lessonplan.shoot.clocks import ShotClock, shot_clocks
from lessonplan.shoot.day import Day, Listed, lay_out, run_days
from lessonplan.shoot.slots import Slot, slots_of

Place = tuple[str, int]
"""A take, by the number of its shot and its own."""


@dataclass
class _Job:
    """Minutes of work on a piece, from the slot after one take on, ready and ``dry`` before the slot of another.

    ``done``: when the work was done, in minutes since the first slot.
    """

    after: int
    before: int
    left: float
    dry: float
    done: float = 0.0

    def wait(self, time: float) -> float:
        """How long it is waited for at a time of day: the work that is left, and until it is dry."""
        return self.left + (self.dry if self.left else max(0.0, self.done + self.dry - time))


def freed(plan: Plan, day: int, number: ShotNumber, *, whole: bool) -> float:
    """Give the minutes by which a day (0-based) wraps sooner if a shot has one take only, or (``whole``) is left out.

    Nothing where the day has no other shot.
    """
    worked = plan.worked
    left = tuple(one for one in worked.listed if not whole or one.number != number)
    if all(one.day != day for one in left):
        return 0.0
    if whole:
        return _planned(plan, day) - _minutes(plan, day, worked.course, left, worked.clocks)
    once = filmed_once(worked, number)
    return _planned(plan, day) - _minutes(plan, day, once.course, once.listed, once.clocks)


def filmed_once(worked: Worked, number: ShotNumber) -> Worked:
    """Give the same course with a shot filmed in one take; the question of the samples stays as it was."""
    once = worked.course.shot(number).model_copy(update={"takes": 1})
    course = worked.course.with_shots({number: once})
    clock = shot_clocks(course, worked.kinds, worked.table, worked.word, (number,))[0]
    listed = tuple(replace(one, shot=once) if one.number == number else one for one in worked.listed)
    return replace(worked, course=course, clocks={**worked.clocks, **clock}, listed=listed)


@remembered_each(2)
def _planned(plan: Plan, day: int) -> float:
    """The minutes of a day as planned."""
    return _minutes(plan, day, plan.worked.course, plan.worked.listed, plan.worked.clocks)


@remembered_each(2)
def _days(plan: Plan, pinned: bool) -> tuple[Day, ...]:
    """All days as planned without waits, with lunch and rests where they are ``pinned``, or where they would come."""
    worked = plan.worked
    return run_days(worked.course, worked.listed, worked.clocks, {}, worked.breaks if pinned else None)


def _minutes(
    plan: Plan, day: int, course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock]
) -> float:
    """The minutes from the call of a day to its wrap, with the waits for pieces that are not ready.

    Only that day is otherwise than planned.
    """
    pinned = plan.worked.breaks.keys() <= {one.number for one in listed}
    own = lay_out(course, day, listed, clocks, {}, plan.worked.breaks if pinned else None)
    days = tuple(own if one.number == day else one for one in _days(plan, pinned))
    slots = slots_of(course, listed, days, told_apart(plan.worked.table))
    places = {(str(listed[one.shot].number), one.take): at for at, one in enumerate(slots) if one.what == "take"}
    waits = _waits(slots, _jobs(plan, places))
    waited = sum(minutes for at, minutes in waits.items() if listed[slots[at].shot].day == day)
    return own.wrap - own.call + waited


def _jobs(plan: Plan, places: Mapping[Place, int]) -> list[_Job]:
    """The work between the shots that are filmed; what was done in or for one that is not is done for the next."""
    found = list[_Job]()
    for piece in plan.choice.pieces:
        floor, more, dry, last = plan.worked.question.ladders[piece.kind].floor, 0.0, 0.0, -1
        for stop in piece.stops:
            place = places.get((shot_of(stop.demand), plan.worked.slots[stop.slot].take))
            more, dry = more + stop.worked, dry + sum(spell.minutes for spell in stop.drying)
            if place is None:
                more += total(floor, stop.end) - total(floor, stop.start)
                continue
            found += [_Job(last, place, more, dry)] if more or dry else []
            last, more, dry = place, 0.0, 0.0
    return found


def _waits(slots: Sequence[Slot], jobs: Sequence[_Job]) -> dict[int, float]:
    """How long the camera waits before each slot."""
    waits, time = defaultdict[int, float](float), 0.0
    wanted, begun = defaultdict[int, list[_Job]](list), defaultdict[int, list[_Job]](list)
    for job in jobs:
        wanted[job.before].append(job)
        begun[job.after].append(job)
    running = begun[-1]
    for at, slot in enumerate(slots):
        if due := wanted[at]:
            hands = max(1, round(slot.hands / slot.clock) if slot.clock else 1)
            waits[at] = max(*(job.wait(time) for job in due), sum(job.left for job in due) / hands)
            time += waits[at]
        free = slot.hands
        running = sorted((one for one in running if at < one.before), key=lambda one: one.before)
        for job in running:
            done = min(job.left, free, slot.clock)
            job.left, free = job.left - done, free - done
            job.done = time + done if done else job.done
        time += slot.clock
        for job in begun[at]:
            job.done = time
        running += begun[at]
    return waits
