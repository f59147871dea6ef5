"""What an order of the shots depends on, its changes and lateness, and the orders that need no search.

Shots are known by their place in the present filming order, from 0. What a day films is fixed; only the order within
the day is open. A filming order holds all shots, day after day.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice, pairwise, permutations

from lessonplan.course.model.together import Course
from lessonplan.samples.choice import Question
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.day import Change, Listed, change_between, earliest_wrap
from lessonplan.shoot.slots import Slot

Filming = tuple[int, ...]


@dataclass(frozen=True)
class Asked:
    """The slots of the days for one order of the shots; ``put`` puts the question about its samples when needed."""

    put: Callable[[], Question]
    slots: tuple[Slot, ...]

    @cached_property
    def question(self) -> Question:
        """The question about the samples, put once."""
        return self.put()


LATE = 20.0
"""What a minute past a day's wrap costs, in minutes of bench work (planning guess); a minute of changes costs one."""
VIEW_ORDERS = 720
"""So many orders of a day's views are tried at most: all orders of six."""
STEPS = 60_000
"""Shots put in place at most while such orders are tried: all 720 of a day of 80 shots."""
SEARCHED, SEARCHED_A_DAY = 200, 80
"""Shots of a course and of a day up to which the cheapest order is searched: twice what anybody films in a day."""


@dataclass(frozen=True)
class Setting:
    """All that the order depends on, the samples aside.

    ``filming``: minutes that the shots of each day take; ``last``: those of its longest, which may come last;
    ``locks``: pairs of shots of one day (before, after); ``joined``: pairs between which the camera runs on.
    """

    course: Course
    listed: tuple[Listed, ...]
    filming: tuple[float, ...]
    last: tuple[float, ...]
    locks: tuple[tuple[int, int], ...] = ()
    joined: tuple[tuple[int, int], ...] = ()

    @cached_property
    def days(self) -> tuple[int, ...]:
        """The day of each shot, from 0."""
        return tuple(item.day for item in self.listed)

    @cached_property
    def shots(self) -> tuple[Filming, ...]:
        """The shots of each day."""
        return self.split(range(len(self.listed)))

    @cached_property
    def change(self) -> tuple[tuple[Change, ...], ...]:
        """What is changed from each shot to each: as many as the shots squared, so not to be asked of ``large``."""
        return tuple(tuple(change_between(self.course, one, other) for other in self.listed) for one in self.listed)

    @cached_property
    def before(self) -> Mapping[int, tuple[int, ...]]:
        """The shots that locks put before a shot, for each that they do."""
        found: dict[int, tuple[int, ...]] = {}
        for i, j in self.locks:
            found[j] = (*found.get(j, ()), i)
        return found

    @property
    def large(self) -> bool:
        """Whether the shots are too many for a search, and for a bound on what every order costs."""
        return len(self.listed) > SEARCHED or max(map(len, self.shots), default=0) > SEARCHED_A_DAY

    def split(self, sequence: Sequence[int]) -> tuple[Filming, ...]:
        """The sequence of each day."""
        parts: list[list[int]] = [[] for _ in self.filming]
        for i in sequence:
            parts[self.days[i]].append(i)
        return tuple(map(tuple, parts))

    def changes(self, sequence: Sequence[int]) -> tuple[Change, ...]:
        """The changes of a sequence of any of the shots, in its order."""
        if self.large:
            return tuple(change_between(self.course, self.listed[i], self.listed[j]) for i, j in pairwise(sequence))
        return tuple(self.change[i][j] for i, j in pairwise(sequence))

    def minutes(self, sequence: Sequence[int]) -> float:
        """Minutes of all changes of a sequence, resets included."""
        return sum(change.minutes for change in self.changes(sequence))

    def broken(self, sequence: Sequence[int]) -> tuple[tuple[int, int], ...]:
        """The locks that a sequence has the wrong way round, and the joined shots that it takes apart."""
        place = {shot: n for n, shot in enumerate(sequence)}
        apart = ((i, j) for i, j in self.joined if place[j] != place[i] + 1)
        return (*((i, j) for i, j in self.locks if place[i] > place[j]), *apart)

    def late(self, wraps: Sequence[float]) -> float:
        """Minutes past the planned wraps, all days together."""
        return sum(max(0.0, at - day.wrap) for at, day in zip(wraps, self.course.course.shoot, strict=True))

    def weighed(self, changes: float, wraps: Sequence[float]) -> float:
        """Minutes of changes, and of lateness by its weight: what an order costs beside its samples."""
        return changes + LATE * self.late(wraps)

    def cost(self, minutes: Sequence[float]) -> float:
        """What so many minutes of changes on each day cost at least, with what they make the days late."""
        floor = [filming + more for filming, more in zip(self.filming, minutes, strict=True)]
        pace = self.course.course.pace
        last = [shot + max(pace.swap, pace.view_change + pace.tray_change) for shot in self.last]
        wraps = [earliest_wrap(self.course, day, floor[day], last[day]) for day in range(len(floor))]
        return self.weighed(sum(minutes), wraps)

    def cost_of(self, sequence: Sequence[int]) -> float:
        """What the changes of a filming order cost at least; see ``cost``."""
        return self.cost([self.minutes(part) for part in self.split(sequence)])


def setting_of(course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock]) -> Setting:
    """What the order of a course's shots depends on; locks on shots that are not filmed that day say nothing.

    A shot that runs on stays behind the one that it is listed behind, unless a lock comes between them.
    """
    place = {item.number: i for i, item in enumerate(listed)}
    locks = ((place[a], place[b]) for a, b in course.locks() if a in place and b in place)
    days = range(len(course.course.shoot))
    minutes = [[clocks[item.number].floor.mean for item in listed if item.day == day] for day in days]
    setting = Setting(
        course=course,
        listed=listed,
        filming=tuple(sum(some) for some in minutes),
        last=tuple(max(some, default=0.0) for some in minutes),
        locks=tuple((i, j) for i, j in locks if listed[i].day == listed[j].day),
    )
    ties = [(i, j) for i, j in pairwise(range(len(listed))) if listed[j].shot.runs_on]
    ties = [(i, j) for i, j in ties if listed[i].day == listed[j].day]
    if not setting.locks:
        return replace(setting, joined=tuple(ties))
    for tie in ties:
        more = replace(setting, joined=(*setting.joined, tie))
        setting = more if len(as_told(more)) == len(listed) else setting
    return setting


def as_told(setting: Setting) -> Filming:
    """The order of the story within each day; a shot that must wait for others comes as soon as they are there."""
    found: dict[int, None] = {}
    for shots in setting.shots:
        _film_free(setting, _by_story(setting, shots), found)
    return tuple(found)


def _film_free(setting: Setting, left: list[Filming], found: dict[int, None]) -> None:
    """Move those of some runs that wait for nothing behind what is found, one after the other."""
    while free := next((run for run in left if _free(setting, run, found)), None):
        found.update(dict.fromkeys(free))
        left.remove(free)


def by_view(setting: Setting) -> Filming:
    """All shots of a view together, in the story's order within a view, the views so that changes take least.

    A view is left before all its shots are filmed only where a lock leaves nothing else to film in it, or where the
    camera runs on to another.
    """
    found: list[int] = []
    for shots in setting.shots:
        told = _by_story(setting, shots)
        views = dict.fromkeys(_view(setting, run) for run in told)
        tried = min(VIEW_ORDERS, (STEPS // 10 if setting.large else STEPS) // max(1, len(told)) + 1)
        options = [_grouped(setting, told, order) for order in islice(permutations(views), tried)]
        best: list[int] = min(options, key=setting.minutes)
        found += best
    return tuple(found)


def _by_story(setting: Setting, shots: Sequence[int]) -> list[Filming]:
    """The shots in the order of the story, each with those to which the camera runs on from it."""
    then, behind = dict(setting.joined), {j for _, j in setting.joined}
    runs = []
    for first in sorted((i for i in shots if i not in behind), key=lambda i: setting.listed[i].number.place):
        run = [first]
        while run[-1] in then:
            run.append(then[run[-1]])
        runs.append(tuple(run))
    return runs


def _view(setting: Setting, run: Filming) -> str:
    return setting.listed[run[0]].shot.view


def _free(setting: Setting, run: Filming, found: Container[int]) -> bool:
    """Whether all shots are found that must come before this run's, but for those before them in the run itself."""
    before = setting.before
    return not before or all(i in found or i in run[:n] for n, j in enumerate(run) if j in before for i in before[j])


def _grouped(setting: Setting, told: Sequence[Filming], views: Sequence[str]) -> list[int]:
    left: dict[str, list[Filming]] = {view: [] for view in views}
    for run in told:
        left[_view(setting, run)].append(run)
    found: dict[int, None] = {}
    while any(left.values()):
        for runs in left.values():
            _film_free(setting, runs, found)
    return list(found)
