"""The shoot days: shots in filming order with clock times, changes of view and tray, lunch, and knitting on between."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from lessonplan.course.crosschecks import is_part_of, shots_of
from lessonplan.course.model import Course, ShootDay, Shot
from lessonplan.course.problems import Problem, warning
from lessonplan.samples.pieces import FilmedShot
from lessonplan.samples.plan import Choice
from lessonplan.shoot.clocks import ShotClock, Span


@dataclass(frozen=True, slots=True)
class Listed:
    """A shot in filming order: its number, the day (from 0), its segment (``1.2``) and the shot itself."""

    number: str
    day: int
    segment: str
    shot: Shot


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a run sheet. Times are minutes after midnight.

    ``kind`` is ``set-up``, ``change``, ``shot``, ``lunch``, ``wait`` or ``wrap``; ``number`` names the shot.
    """

    kind: str
    start: float
    end: float
    number: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Day:
    """One shoot day: its entries in order, when it wraps, and how far that is from the planned wrap (minutes over)."""

    number: int
    day: date
    call: int
    planned_wrap: int
    wrap: float
    entries: tuple[Entry, ...]
    floor: Span

    @property
    def over(self) -> float:
        """Minutes past the planned wrap; negative when there is time left."""
        return self.wrap - self.planned_wrap


def filming_order(course: Course) -> tuple[Listed, ...]:
    """List the shots in the order in which they are filmed: day by day, as each day's ``films`` name them."""
    every = [
        (number, f"{episode.episode}.{index + 1}", shot)
        for episode in course.episodes
        for index, segment in enumerate(episode.segments)
        for number, owner, shot in shots_of(episode)
        if owner is segment
    ]
    listed: list[Listed] = []
    for day_number, day in enumerate(course.course.shoot):
        for name in day.films:
            listed += [
                Listed(number, day_number, segment, shot) for number, segment, shot in every if is_part_of(number, name)
            ]
    return tuple(listed)


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
    if not what:
        return pace.swap, "Reset"
    return minutes, ", ".join(what)


def filmed_shots(course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock]) -> tuple[FilmedShot, ...]:
    """Give the shots with the time after each in which a piece can be knitted on: changes, lunch, a night."""
    found = []
    days = course.course.shoot
    time, eaten = 0.0, False
    for index, item in enumerate(listed):
        day = days[item.day]
        helpers = len(day.helpers)
        if index == 0 or listed[index - 1].day != item.day:
            time, eaten = day.call + course.course.pace.set_up, False
        minutes = clocks[item.number].floor.likely
        time += minutes
        after = listed[index + 1] if index + 1 < len(listed) else None
        if after is None:
            pause = hands = waiting = 0.0
        elif after.day != item.day:
            pause, hands, waiting = (
                _night(day, days[after.day], course.course.pace.set_up, time),
                day.night_knitting,
                0.0,
            )
        else:
            pause, _ = change_between(course, item, after)
            if not eaten and lunch_is_due(day, time):
                pause += day.lunch.takes if day.lunch else 0.0
                eaten = True
            hands, waiting = pause * helpers, course.course.samples.camera_may_wait
        time += pause
        found.append(FilmedShot(item.number, item.day, minutes, helpers, pause, hands, waiting))
    return tuple(found)


def lunch_is_due(day: ShootDay, time: float) -> bool:
    """Tell whether lunch comes after a shot that ends at ``time``: not more than ten minutes before it is planned."""
    return day.lunch is not None and time >= day.lunch.at - 10


def _night(before: ShootDay, after: ShootDay, set_up: float, time: float) -> float:
    """Minutes of clock from the end of one day's last shot to the next day's first."""
    return max(0.0, (after.day - before.day).days * 1440 + after.call + set_up - time)


def run_days(
    course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock], choice: Choice
) -> tuple[Day, ...]:
    """Lay out each day from call to wrap."""
    waits = {wait.index: wait.minutes for wait in choice.waits}
    found = []
    for number, day in enumerate(course.course.shoot):
        places = [index for index, item in enumerate(listed) if item.day == number]
        found.append(_lay_out(course, number, day, listed, places, clocks, waits))
    return tuple(found)


def _lay_out(
    course: Course,
    number: int,
    day: ShootDay,
    listed: tuple[Listed, ...],
    places: list[int],
    clocks: Mapping[str, ShotClock],
    waits: Mapping[int, float],
) -> Day:
    time = float(day.call)
    entries: list[Entry] = []
    floor = Span(0.0, 0.0, 0.0)

    def add(kind: str, minutes: float, shot: str = "", text: str = "") -> None:
        nonlocal time
        if minutes > 0:
            entries.append(Entry(kind, time, time + minutes, shot, text))
            time += minutes

    add("set-up", course.course.pace.set_up, text="Light, sound, views, trays")
    lunch = day.lunch
    previous: Listed | None = None
    for index in places:
        item = listed[index]
        minutes, what = change_between(course, previous, item)
        add("change", minutes, item.number, what)
        clock = clocks[item.number]
        add("shot", clock.floor.likely, item.number)
        floor = floor + clock.floor + Span(minutes, minutes, minutes)
        if lunch and lunch_is_due(day, time):
            add("lunch", lunch.takes, text="Lunch")
            lunch = None
        add("wait", waits.get(index, 0.0), item.number, "The camera waits for knitting")
        previous = item
    entries.append(Entry("wrap", time, time))
    return Day(number, day.day, day.call, day.wrap, time, tuple(entries), floor)


def late_days(course: Course, days: tuple[Day, ...]) -> Iterator[Problem]:
    """Warn of days that are expected to run past their wrap."""
    for day in days:
        if day.over > 0.5:
            where = course.course.shoot[day.number].mark("wrap")
            what = (
                f"Day {day.number + 1} is expected to wrap at {clock(day.wrap)}, {day.over:.0f} minutes after its wrap."
            )
            yield warning(where, "late-day", what)


def clock(minutes: float) -> str:
    """Word a time of day from minutes after midnight: ``9:05``, ``14:30``."""
    whole = round(minutes)
    return f"{whole // 60 % 24}:{whole % 60:02d}"
