"""Can the plan be carried out by the clock as it is printed? Every job on the set is looked at once more."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, error
from lessonplan.samples.choice import Choice, Stop
from lessonplan.shoot.day import MINUTES_A_DAY, Day, Listed
from lessonplan.shoot.slots import Slot

NEAR = 0.01
"""Minutes by which two clock times may differ."""
Span = tuple[float, float]
"""Start and end, in minutes since the midnight before the first shoot day."""


def spans_of(listed: Sequence[Listed], slots: Sequence[Slot], days: Sequence[Day]) -> list[Span]:
    """Find when each slot begins and ends by the days' entries, waits of the camera included."""
    times: dict[tuple[str, str], Span] = {}
    wraps: dict[int, float] = {}
    for day in days:
        midnight = (day.day - days[0].day).days * MINUTES_A_DAY
        wraps[day.number] = midnight + day.wrap
        for entry in day.entries:
            kind = "break" if entry.is_break else entry.kind
            times[kind, entry.number] = (midnight + entry.start, midnight + entry.end)
    found: list[Span] = []
    for place, slot in enumerate(slots):
        item = listed[slot.shot]
        before = found[-1][1] if found else 0.0
        takes = (listed[one.shot].number for one in slots[place + 1 :] if one.what == "take")
        if slot.what == "take" and slot.take == 1:
            start = times["shot", item.number][0]
            found.append((start, start + slot.clock))
        elif slot.what == "break":
            found.append(times["break", item.number])
        elif slot.what == "evening":
            found.append((wraps[item.day], wraps[item.day] + slot.clock))
        elif slot.what in ("pause", "set-up"):
            found.append((before, times["shot", next(takes)][0]))
        else:
            found.append((before, before + slot.clock))
    return found


def misfits(
    course: Course, listed: Sequence[Listed], slots: Sequence[Slot], days: Sequence[Day], choice: Choice
) -> Iterator[Problem]:
    """Report work on the set for which the printed day has no time or no hands, and pieces that would not be dry."""
    spans = spans_of(listed, slots, days)
    load: defaultdict[int, float] = defaultdict(float)
    for piece in choice.pieces:
        for before, stop in pairwise(piece.stops):
            for spell in stop.spells:
                load[spell.slot] += spell.minutes
            at, late = _late(spans, before, stop)
            if late > NEAR:
                item = listed[slots[at].shot]
                what = f"Piece {piece.name} cannot be ready for {stop.demand}: {late:.0f} min are lacking"
                yield error(course.course.shoot[item.day].mark(), "does-not-fit", f"{what} after {item.number}.")
    for place, minutes in sorted(load.items()):
        slot, item = slots[place], listed[slots[place].shot]
        clock = spans[place][1] - spans[place][0]
        # A wait of the camera lengthens the pause, and gives one pair of hands more in it.
        hands = slot.hands + max(0.0, clock - slot.clock)
        if minutes > hands + NEAR:
            what = f"There are {minutes:.0f} min to work at {item.number} and only {hands:.0f} min of hands for it."
            yield error(course.course.shoot[item.day].mark(), "does-not-fit", what)


def _late(spans: Sequence[Span], before: Stop, stop: Stop) -> tuple[int, float]:
    """By how many minutes the work or the drying before a stop runs over, and in which slot."""
    worst = (stop.slot, 0.0)
    free = spans[before.slot][1]
    events = sorted([(s.slot, 1, s.minutes) for s in stop.spells] + [(d.slot, 0, d.minutes) for d in stop.drying])
    for slot, is_work, minutes in events:
        start, end = spans[slot]
        over = free - start if not is_work else max(free - start, minutes - (end - start))
        worst = max(worst, (slot, over), key=lambda one: one[1])
        # Drying goes on for its own minutes, work for as long as the slot lasts.
        free = end if is_work else start + minutes
    return max(worst, (stop.slot, free - spans[stop.slot][0]), key=lambda one: one[1])
