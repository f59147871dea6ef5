"""The shoot days from call to wrap: shots in filming order, changes of view and tray, rests, lunch and waits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.settings import Lunch, ShootDay
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, error, warning
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import capital
from lessonplan.craft import tables
from lessonplan.craft.words import words_of
from lessonplan.remembered import remembered
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.estimate import NINE_IN_TEN, NO_TIME, Estimate, around
from lessonplan.shoot.hazards import cleared_between

MINUTES_A_DAY = 1440
LUNCH_EARLY = 10
"""Lunch may come so many minutes before it is planned rather than after one more shot."""
LEAST_WORK = 15
"""No rest is laid out after less than so many minutes of work."""


@dataclass(frozen=True, slots=True)
class Listed:
    """A shot in filming order: its number, the day (from 0) and the shot itself."""

    number: ShotNumber
    day: int
    shot: Shot

    @property
    def segment(self) -> str:
        """The number of its segment, ``1.2``."""
        return self.number.segment


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a run sheet. Times are minutes after midnight; ``late`` is the start nine times in ten.

    ``kind`` is ``set-up``, ``change``, ``shot``, ``rest``, ``lunch``, ``wait`` or ``wrap``; ``number`` names the shot
    (for a change the one it leads to, for a wait the one before it). ``reset``: minutes between two takes of a shot.
    """

    kind: str
    start: float
    end: float
    late: float
    number: str = ""
    text: str = ""
    reset: float = 0.0

    @property
    def is_break(self) -> bool:
        """Whether nobody works: a rest, or lunch."""
        return self.kind in ("rest", "lunch")


@dataclass(frozen=True, slots=True)
class Day:
    """One shoot day: its entries in order, when it wraps (expected, and nine times in ten), and the planned wrap."""

    number: int
    day: date
    call: int
    planned_wrap: int
    wrap: float
    late_wrap: float
    entries: tuple[Entry, ...]

    @property
    def shots(self) -> tuple[Entry, ...]:
        """The shots among its entries."""
        return tuple(entry for entry in self.entries if entry.kind == "shot")

    @property
    def over(self) -> float:
        """Minutes past the planned wrap; negative when there is time left."""
        return self.wrap - self.planned_wrap


@dataclass
class _Clock:
    """The day's clock while it is laid out: the expected time, and what may come to it by then."""

    time: float
    so_far: Estimate = NO_TIME
    since_rest: float = 0.0
    entries: list[Entry] = field(default_factory=list)

    def add(self, kind: str, takes: Estimate | float, number: str = "", text: str = "", reset: float = 0.0) -> None:
        """Put an entry of so many minutes behind the last one, and the clock on."""
        takes = takes if isinstance(takes, Estimate) else _estimate(kind, takes)
        if takes.mean > 0 or kind in ("shot", "wrap"):
            late = self.time + NINE_IN_TEN * self.so_far.deviation
            self.entries.append(Entry(kind, self.time, self.time + takes.mean, late, number, text, reset))
            self.time += takes.mean
            self.so_far += takes
            self.since_rest = 0.0 if kind in ("rest", "lunch") else self.since_rest + takes.mean


@lru_cache(256)
def _estimate(kind: str, minutes: float) -> Estimate:
    """The set-up, a change or a break, which may differ from what is planned for it; a wait is as long as it is."""
    if kind not in ("set-up", "change", "rest", "lunch"):
        return Estimate(minutes)
    low, _, high = tables.three_points(kind)
    return Estimate(minutes, variance=around(minutes, low, high).deviation ** 2)


def filming_order(course: Course) -> tuple[Listed, ...]:
    """List the shots in the order in which they are filmed: day by day, as each day's ``films`` name them."""
    return tuple(
        Listed(one.number, day_number, one.shot)
        for day_number, day in enumerate(course.course.shoot)
        for name in day.films
        for one in course.shots_in(name)
    )


@dataclass(frozen=True, slots=True)
class Change:
    """Changing over from one shot to the next: what is changed, and the minutes it takes."""

    minutes: float = 0.0
    view: bool = False
    tray: bool = False
    text: str = ""


def change_between(course: Course, before: Listed | None, after: Listed) -> Change:
    """Say what is changed before a shot: the view, the tray (for a new segment), or neither, which is just a reset.

    Nothing is before the first shot of a day, which is set up beforehand, or before one that runs on. Between water
    and what is plugged in (and others of `hazards`) the table is cleared, which takes no less time than another tray.
    """
    pace = course.course.pace
    if before is None or before.day != after.day or after.shot.runs_on:
        return Change()
    view, tray = before.shot.view != after.shot.view, before.segment != after.segment
    if cleared := cleared_between(course, before.number, after.number):
        what = [f"View: {after.shot.view}"] * view + ["next tray"] * tray + [cleared]
        text = ", ".join(what)
        minutes = max(pace.view_change * view + pace.tray_change * tray, pace.tray_change)
        return Change(minutes, view, tray, capital(text))
    if not view and not tray:
        return Change(pace.swap, text="Reset")
    what = [f"View: {after.shot.view}"] * view + ["next tray"] * tray
    return Change(pace.view_change * view + pace.tray_change * tray, view, tray, ", ".join(what))


Breaks = Mapping[ShotNumber, str]
"""After which shots there is ``lunch`` or a ``rest``."""


def lay_out(
    course: Course,
    number: int,
    listed: tuple[Listed, ...],
    clocks: Mapping[str, ShotClock],
    waits: Mapping[int, float],
    breaks: Breaks | None = None,
) -> Day:
    """Lay out one day (from 0) from call to wrap. ``waits`` are minutes the camera waits after a shot, by its index.

    A shot takes its expected floor minutes. A rest for the hands comes after about an hour of work, lunch after the
    shot that ends nearest to it, unless ``breaks`` says after which shots they are.
    """
    day = course.course.shoot[number]
    clock = _Clock(float(day.call))
    rest = tables.three_points("rest_minutes")[1]
    clock.add("set-up", course.course.pace.set_up, text="Light, sound, views, trays")
    clock.since_rest = 0.0  # lamps and trays are no work for the hands that knit
    today = [(index, item) for index, item in enumerate(listed) if item.day == number]
    eaten = False
    for place, (index, item) in enumerate(today):
        change = change_between(course, today[place - 1][1] if place else None, item)
        clock.add("change", change.minutes, item.number, change.text)
        clock.add("shot", clocks[item.number].floor, item.number, reset=clocks[item.number].reset)
        if place + 1 < len(today):
            following = today[place + 1][1]
            next_one = change_between(course, item, following).minutes + clocks[following.number].floor.mean
            due = _break(day, clock, eaten, next_one) if breaks is None else breaks.get(item.number, "")
            if due == "lunch" and day.lunch:
                clock.add("lunch", day.lunch.takes, item.number, "Lunch")
                eaten = True
            elif due:
                clock.add("rest", rest, item.number, "Rest your hands, look into the distance, stretch")
        clock.add("wait", waits.get(index, 0.0), item.number, f"The camera waits for {words_of(course.pattern).making}")
    clock.add("wrap", 0.0)
    last = clock.entries[-1]
    return Day(
        number=number,
        day=day.day,
        call=day.call,
        planned_wrap=day.wrap,
        wrap=clock.time,
        late_wrap=last.late,
        entries=tuple(clock.entries),
    )


def _break(day: ShootDay, clock: _Clock, eaten: bool, next_one: float) -> str:
    """Whether lunch or a rest is due now: a rest before the shot that would make it too long a work for the hands."""
    if day.lunch and not eaten and _lunch_is_due(day.lunch, clock.time):
        return "lunch"
    return (
        "rest"
        if clock.since_rest > LEAST_WORK and clock.since_rest + next_one > tables.three_points("rest_after")[2]
        else ""
    )


def _lunch_is_due(lunch: Lunch, time: float) -> bool:
    return time >= lunch.at - LUNCH_EARLY


def breaks_of(days: tuple[Day, ...]) -> Breaks:
    """After which shots the breaks of these days are."""
    return {ShotNumber(one.number): one.kind for day in days for one in day.entries if one.is_break}


def earliest_wrap(course: Course, number: int, minutes: float, last: float) -> float:
    """When a day (from 0) is over at the earliest if its shots and changes take so many minutes.

    ``last``: how many of them may come after the last pause; after these no lunch is had. Rests and waits of the
    camera, which depend on the order, are left out.
    """
    day = course.course.shoot[number]
    time = day.call + course.course.pace.set_up + minutes
    return time + day.lunch.takes if day.lunch and _lunch_is_due(day.lunch, time - last) else time


def run_days(
    course: Course,
    listed: tuple[Listed, ...],
    clocks: Mapping[str, ShotClock],
    waits: Mapping[int, float],
    breaks: Breaks | None = None,
) -> tuple[Day, ...]:
    """Lay out every day, with the waits that the choice of samples asks for."""
    days = range(len(course.course.shoot))
    if waits or breaks is not None:
        return tuple(lay_out(course, number, listed, clocks, waits, breaks) for number in days)
    known, found = _laid_out(course, clocks), []
    for number in days:  # of orders of the shots that are tried one after the other most differ in one day alone
        today = tuple(item for item in listed if item.day == number)
        order = number, tuple(item.number for item in today)
        if order not in known or known[order][0] != today:
            known[order] = today, lay_out(course, number, today, clocks, waits)
        found.append(known[order][1])
    return tuple(found)


@remembered(1)
def _laid_out(course: Course, clocks: Mapping[str, ShotClock]) -> dict[object, tuple[tuple[Listed, ...], Day]]:
    """The days of a course laid out so far without waits, by number and order of the shots."""
    return {}


def endless_days(course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock]) -> Iterator[Problem]:
    """Report days that come to more than a week: no calendar can hold them, and some time or pace is mistyped."""
    for number, day in enumerate(course.course.shoot):
        minutes = lay_out(course, number, listed, clocks, {}).wrap - day.call
        if minutes > 7 * MINUTES_A_DAY:
            what = f"Day {number + 1} comes to {minutes / 60:,.0f} hours."
            yield error(day.mark(), "endless-day", what, "Look at the paces and at the times and takes of its shots.")


def late_days(course: Course, days: tuple[Day, ...]) -> Iterator[Problem]:
    """Warn of days that are expected to run past their wrap."""
    for day in days:
        if day.over > 0.5:
            where = course.course.shoot[day.number].mark("wrap")
            late = f"{day.over:.0f} minutes after its wrap"
            what = f"Day {day.number + 1} is expected to wrap at {clock(day.wrap)}, {late}."
            yield warning(where, "late-day", what)


def clock(minutes: float) -> str:
    """Word a time of day from minutes after midnight: ``9:05``, ``14:30``."""
    whole = round(minutes)
    return f"{whole // 60 % 24}:{whole % 60:02d}"
