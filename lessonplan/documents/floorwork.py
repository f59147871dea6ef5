"""What is knitted on the set while others film: one line for each piece, with its time, its goal and its shot."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.numbers import shot_of
from lessonplan.documents.runsheet import HOSTS_OWN
from lessonplan.documents.wording import clock, duration, listing, short_day
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, Stop
from lessonplan.samples.states import in_words
from lessonplan.shoot.day import Day, Entry
from lessonplan.shoot.slots import Slot


@dataclass(frozen=True, slots=True)
class FloorJob:
    """One piece of work on the set: who, on which piece, from when and for how long, to which state and by when.

    A ``crumb`` is so short that the host does it herself at the shot ``number`` that it is for; ``sentence`` says so.
    ``night``: it is done after the wrap.
    """

    number: str
    crumb: bool
    night: bool
    sentence: str
    start: str
    who: str
    piece: str
    minutes: str
    goal: str
    until: str


def floor_jobs(plan: Plan, day: Day) -> tuple[FloorJob, ...]:
    """List the work on pieces that begins on a day, in order of time; its night counts to it."""
    entries = {entry.number: entry for one in plan.days for entry in one.entries if entry.kind == "shot"}
    found = []
    for piece in plan.choice.pieces:
        for stop in piece.stops:
            slots = [plan.worked.slots[spell.slot] for spell in stop.spells]
            if slots and plan.worked.listed[slots[0].shot].day == day.number:
                start = _start(day, plan.worked.listed[slots[0].shot].number, slots[0].what)
                found.append((start, piece.name, _job(plan, day, piece, stop, slots, start, entries)))
    return tuple(job for _, _, job in sorted(found, key=lambda one: one[:2]))


def _start(day: Day, number: str, what: str) -> float:
    """When the time begins in which a piece is taken up, in minutes after midnight; nobody knits in a break."""
    if what == "evening":
        return day.wrap
    place = next(place for place, entry in enumerate(day.entries) if entry.number == number and entry.kind == "shot")
    if what != "pause":
        return day.entries[place].start
    after = (entry for entry in day.entries[place + 1 :] if entry.kind not in ("lunch", "rest"))
    return next(after).start


def _job(
    plan: Plan, day: Day, piece: Piece, stop: Stop, slots: list[Slot], start: float, entries: dict[str, Entry]
) -> FloorJob:
    file, number = plan.course.course, shot_of(stop.demand)
    helpers = listing(file.shoot[day.number].helpers)
    crumb = stop.worked < HOSTS_OWN and not all(slot.what == "take" for slot in slots)
    when = next(one for one in plan.days if any(entry.number == number for entry in one.entries))
    other_day = "" if when is day else f"{short_day(when.day)} "
    taking_back = f", {duration(stop.ripping)} of it to take back rounds" if stop.ripping else ""
    if stop.ripping > 0.9 * stop.worked:
        taking_back = " to take back rounds"
    drying = sum(spell.minutes for spell in stop.drying)
    dries = f"; then it dries for {duration(drying)}" if drying else ""
    minutes = duration(max(1, round(stop.worked)))
    goal = in_words(stop.start, plan.worked.kinds[piece.kind], plan.worked.size)
    what = "taken back" if stop.ripping else "worked on"
    before = "Between takes: " if slots[0].what == "reset" else "Before: "
    return FloorJob(
        number=number,
        crumb=crumb,
        night=slots[0].what == "evening",
        sentence="" if not crumb else f"{before}{piece.name} is {what} to “{goal}”, {minutes}",
        start="after the wrap" if slots[0].what == "evening" else f"from {clock(start)}",
        who=file.host if crumb or not helpers else helpers,
        piece=piece.name,
        minutes=f"{minutes}{taking_back}",
        goal=f"{goal}{dries}",
        until=f"{other_day}{clock(entries[number].start)}, shot {number}",
    )
