"""The time of the shoot cut into slots, in which pieces stand on the table, are knitted on, or dry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from lessonplan.course.model.together import Course
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.shoot.day import MINUTES_A_DAY, Day, Entry, Listed

What = Literal["take", "reset", "pause", "break", "evening", "night", "set-up"]


@dataclass(frozen=True, slots=True)
class Slot:
    """A stretch of the shoot that belongs to a shot, by its index in filming order: a take of it, or what follows it.

    ``clock``: its minutes; ``hands``: minutes of knitting there is in it, all hands together; ``waiting``: how long the
    camera may wait beyond. Nobody knits in a break (unless the day says so), in a night after its evening, or while a
    day is set up.
    """

    what: What
    shot: int
    clock: float
    hands: float = 0.0
    waiting: float = 0.0
    take: int = 1


def slots_of(
    course: Course, listed: tuple[Listed, ...], days: tuple[Day, ...], takes: Mapping[ShotNumber, int]
) -> tuple[Slot, ...]:
    """Cut the days, laid out without waits of the camera, into slots, from the first shot to the last.

    ``takes``: the shots whose takes are told apart, since a piece must be brought back between them, and how many.
    """
    index = {item.number: place for place, item in enumerate(listed)}
    found: list[Slot] = []
    for day, then in zip(days, (*days[1:], None), strict=True):
        filmed = [place for place, entry in enumerate(day.entries) if entry.kind == "shot"]
        for place, following in zip(filmed, (*filmed[1:], None), strict=True):
            entry = day.entries[place]
            shot = index[number := ShotNumber(entry.number)]
            today = course.course.shoot[day.number]
            helpers = len(today.helpers)
            found += _shot(course, entry, shot, helpers, takes.get(number, 1))
            if following is not None:
                between = day.entries[place + 1 : following]
                found += _pause(course, between, shot, helpers, breaks=today.knits_in_breaks)
        if then is not None and filmed and found:
            found += _night(course, day, then, found[-1].shot)
    return tuple(found)


def _shot(course: Course, entry: Entry, shot: int, helpers: int, takes: int) -> Iterator[Slot]:
    """A shot as one slot, or its takes with the resets between.

    In these the host has her hands free as well; where there is a helper she is not counted on, since nobody takes
    over a helper's piece for a minute.
    """
    minutes = entry.end - entry.start
    planned = course.course.pace.reset
    most = 0.9 * minutes / max(1, takes - 1) if entry.reset > planned else minutes / (2 * takes)
    reset = min(max(entry.reset, planned), most)
    each = (minutes - reset * (takes - 1)) / takes
    for take in range(1, takes + 1):
        yield Slot("take", shot, each, each * helpers, take=take)
        if take < takes:
            yield Slot("reset", shot, reset, reset * max(helpers, 1), take=take)


def _pause(course: Course, between: tuple[Entry, ...], shot: int, helpers: int, *, breaks: bool) -> Iterator[Slot]:
    """What lies between two shots of a day: a break, and then the change, in which the camera may wait.

    ``breaks``: helpers go on in breaks too.
    """
    resting = sum(entry.end - entry.start for entry in between if entry.is_break)
    minutes = sum(entry.end - entry.start for entry in between if entry.kind == "change")
    if resting:
        yield Slot("break", shot, resting, resting * helpers if breaks else 0.0)
    yield Slot(
        what="pause", shot=shot, clock=minutes, hands=minutes * helpers, waiting=course.course.samples.camera_may_wait
    )


def _night(course: Course, day: Day, then: Day, shot: int) -> Iterator[Slot]:
    """From a wrap to the first shot of the next day: an evening with hands, the rest of the night, and the set-up."""
    evening = course.course.shoot[day.number].night_knitting
    whole = (then.day - day.day).days * MINUTES_A_DAY + then.call - day.wrap
    used = min(evening, max(0.0, whole))
    yield Slot("evening", shot, used, used)
    yield Slot("night", shot, max(0.0, whole - evening))
    yield Slot("set-up", shot, course.course.pace.set_up)
