"""The shoot days from call to wrap: shots in filming order, changes of view and tray, rests, lunch and waits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from lessonplan.course.model import Course, ShootDay, Shot
from lessonplan.course.numbers import ShotNumber
from lessonplan.course.problems import Problem, error, warning
from lessonplan.craft import tables
from lessonplan.samples.pieces import FilmedShot
from lessonplan.samples.plan import Choice
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.estimate import NINE_IN_TEN

MINUTES_A_DAY = 1440
LUNCH_EARLY = 10
"""Lunch may come so many minutes before it is planned rather than after one more shot."""
HELPERS_LUNCH = 30
"""Minutes of lunch in which a helper does not knit either (common practice)."""
REST_BEFORE = 15
"""No rest is laid out that would come so many minutes before lunch or wrap."""


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
    (for a change the one it leads to, for a wait the one before it).
    """

    kind: str
    start: float
    end: float
    late: float
    number: str = ""
    text: str = ""


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
    def over(self) -> float:
        """Minutes past the planned wrap; negative when there is time left."""
        return self.wrap - self.planned_wrap


@dataclass
class _Clock:
    """The day's clock while it is laid out: the expected time and the variance gathered so far."""

    time: float
    variance: float = 0.0
    since_rest: float = 0.0
    entries: list[Entry] = field(default_factory=list)

    def add(self, kind: str, minutes: float, number: str = "", text: str = "", variance: float = 0.0) -> None:
        if minutes > 0 or kind in ("shot", "wrap"):
            late = self.time + NINE_IN_TEN * self.variance**0.5
            self.entries.append(Entry(kind, self.time, self.time + minutes, late, number, text))
            self.time += minutes
            self.variance += variance
            self.since_rest = 0.0 if kind in ("rest", "lunch") else self.since_rest + minutes


def filming_order(course: Course) -> tuple[Listed, ...]:
    """List the shots in the order in which they are filmed: day by day, as each day's ``films`` name them."""
    every = tuple(course.shots())
    return tuple(
        Listed(one.number, day_number, one.shot)
        for day_number, day in enumerate(course.course.shoot)
        for name in day.films
        for one in every
        if one.number.is_part_of(name)
    )


def change_between(course: Course, before: Listed | None, after: Listed) -> tuple[float, str]:
    """Minutes of changing over to a shot, and what is changed: the view, the tray (a new segment), or just a reset."""
    pace = course.course.pace
    if before is None or before.day != after.day:
        return 0.0, ""
    minutes, what = 0.0, []
    if before.shot.view != after.shot.view:
        minutes += pace.view_change
        what.append(f"View: {after.shot.view}")
    if before.segment != after.segment:
        minutes += pace.tray_change
        what.append("next tray")
    return (minutes, ", ".join(what)) if what else (pace.swap, "Reset")


def lay_out(
    course: Course,
    number: int,
    listed: tuple[Listed, ...],
    clocks: Mapping[str, ShotClock],
    waits: Mapping[int, float],
) -> Day:
    """Lay out one day (from 0) from call to wrap. ``waits`` are minutes the camera waits after a shot, by its index.

    A shot takes its expected floor minutes; its variance adds to the times that hold nine times in ten. A rest for the
    hands comes after about an hour of work, lunch after the shot that ends nearest to it.
    """
    day = course.course.shoot[number]
    clock = _Clock(float(day.call))
    rest_after, rest = tables.three_points("rest_after")[1], tables.three_points("rest")[1]
    clock.add("set-up", course.course.pace.set_up, text="Light, sound, views, trays")
    eaten, previous = False, None
    for index, item in enumerate(listed):
        if item.day != number:
            continue
        minutes, what = change_between(course, previous, item)
        clock.add("change", minutes, item.number, what)
        floor = clocks[item.number].floor
        clock.add("shot", floor.mean, item.number, variance=floor.deviation**2)
        if day.lunch and not eaten and clock.time >= day.lunch.at - LUNCH_EARLY:
            clock.add("lunch", day.lunch.takes, item.number, "Lunch")
            eaten = True
        elif clock.since_rest >= rest_after and not _break_is_near(day, clock.time, eaten):
            clock.add("rest", rest, item.number, "Rest your hands, look into the distance, stretch")
        clock.add("wait", waits.get(index, 0.0), item.number, "The camera waits for knitting")
        previous = item
    clock.add("wrap", 0.0)
    last = clock.entries[-1]
    return Day(number, day.day, day.call, day.wrap, clock.time, last.late, tuple(clock.entries))


def _break_is_near(day: ShootDay, time: float, eaten: bool) -> bool:
    lunch = day.lunch is not None and not eaten and time >= day.lunch.at - LUNCH_EARLY - REST_BEFORE
    return lunch or time >= day.wrap - REST_BEFORE


def filmed_shots(course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock]) -> tuple[FilmedShot, ...]:
    """Give the shots with the time after each in which a piece can be knitted on: changes, rests, lunch, a night."""
    days = [lay_out(course, number, listed, clocks, {}) for number in range(len(course.course.shoot))]
    spans = [(day.number, entry) for day in days for entry in day.entries if entry.kind == "shot"]
    found = []
    for index, (number, entry) in enumerate(spans):
        day = course.course.shoot[number]
        after = spans[index + 1] if index + 1 < len(spans) else None
        pause = hands = waiting = 0.0
        if after is not None:
            nights = (course.course.shoot[after[0]].day - day.day).days
            pause = max(0.0, nights * MINUTES_A_DAY + after[1].start - entry.end)
            hands = day.night_knitting if nights else knitting_time(days[number], entry, after[1]) * len(day.helpers)
            waiting = 0.0 if nights else course.course.samples.camera_may_wait
        minutes = entry.end - entry.start
        found.append(FilmedShot(entry.number, number, minutes, len(day.helpers), pause, hands, waiting))
    return tuple(found)


def knitting_time(day: Day, before: Entry, after: Entry) -> float:
    """Minutes in which a helper can knit between two shots of a day: not in rests, nor in half an hour of lunch."""
    pause = after.start - before.end
    for entry in day.entries:
        if before.end <= entry.start < after.start:
            pause -= entry.end - entry.start if entry.kind == "rest" else 0.0
            pause -= min(HELPERS_LUNCH, entry.end - entry.start) if entry.kind == "lunch" else 0.0
    return max(0.0, pause)


def run_days(
    course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock], choice: Choice
) -> tuple[Day, ...]:
    """Lay out every day with the waits that the choice of samples asks for."""
    waits = {wait.index: wait.minutes for wait in choice.waits}
    return tuple(lay_out(course, number, listed, clocks, waits) for number in range(len(course.course.shoot)))


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
