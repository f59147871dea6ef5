"""What an order of the shots depends on, its changes and lateness, and the orders that need no search.

Shots are known by their place in the present filming order, from 0. What a day films is fixed; only the order within
the day is open. A filming order holds all shots, day after day.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice, pairwise, permutations

from lessonplan.course.model import Course
from lessonplan.samples.choice import Question
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.day import Change, Listed, change_between, earliest_wrap
from lessonplan.shoot.slots import Slot

Filming = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """The question about the samples for one order of the shots, and the slots of its days."""

    question: Question
    slots: tuple[Slot, ...]


LATE = 20.0
"""What a minute past a day's wrap costs, in minutes of bench work (planning guess); a minute of changes costs one."""
VIEW_ORDERS = 720
"""So many orders of a day's views are tried at most: all orders of six."""


@dataclass(frozen=True)
class Setting:
    """All that the order depends on, the samples aside.

    ``filming``: minutes that the shots of each day take; ``locks``: pairs of shots of one day (before, after).
    """

    course: Course
    listed: tuple[Listed, ...]
    filming: tuple[float, ...]
    locks: tuple[tuple[int, int], ...] = ()

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
        """What is changed from each shot to each."""
        return tuple(tuple(change_between(self.course, one, other) for other in self.listed) for one in self.listed)

    def split(self, sequence: Sequence[int]) -> tuple[Filming, ...]:
        """The sequence of each day."""
        return tuple(tuple(i for i in sequence if self.days[i] == day) for day in range(len(self.filming)))

    def changes(self, sequence: Sequence[int]) -> tuple[Change, ...]:
        """The changes of a sequence of any of the shots, in its order."""
        return tuple(self.change[i][j] for i, j in pairwise(sequence))

    def minutes(self, sequence: Sequence[int]) -> float:
        """Minutes of all changes of a sequence, resets included."""
        return sum(change.minutes for change in self.changes(sequence))

    def broken(self, sequence: Sequence[int]) -> tuple[tuple[int, int], ...]:
        """The locks that a sequence has the wrong way round."""
        place = {shot: n for n, shot in enumerate(sequence)}
        return tuple((i, j) for i, j in self.locks if place[i] > place[j])

    def late(self, wraps: Sequence[float]) -> float:
        """Minutes past the planned wraps, all days together."""
        return sum(max(0.0, at - day.wrap) for at, day in zip(wraps, self.course.course.shoot, strict=True))

    def cost(self, minutes: Sequence[float]) -> float:
        """What so many minutes of changes on each day cost at least, with what they make the days late."""
        floor = [filming + more for filming, more in zip(self.filming, minutes, strict=True)]
        wraps = [earliest_wrap(self.course, day, some) for day, some in enumerate(floor)]
        return sum(minutes) + LATE * self.late(wraps)

    def cost_of(self, sequence: Sequence[int]) -> float:
        """What the changes of a filming order cost at least; see ``cost``."""
        return self.cost([self.minutes(part) for part in self.split(sequence)])


def setting_of(course: Course, listed: tuple[Listed, ...], clocks: Mapping[str, ShotClock]) -> Setting:
    """What the order of a course's shots depends on; locks on shots that are not filmed that day say nothing."""
    place = {item.number: i for i, item in enumerate(listed)}
    locks = ((place[a], place[b]) for a, b in course.locks() if a in place and b in place)
    filming = tuple(
        sum(clocks[item.number].floor.mean for item in listed if item.day == day)
        for day in range(len(course.course.shoot))
    )
    return Setting(course, listed, filming, tuple((i, j) for i, j in locks if listed[i].day == listed[j].day))


def as_told(setting: Setting) -> Filming:
    """The order of the story within each day; a shot that must wait for others comes as soon as they are there."""
    found: list[int] = []
    for shots in setting.shots:
        left = _by_story(setting, shots)
        while left:
            found.append(next(i for i in left if _free(setting, i, left)))
            left.remove(found[-1])
    return tuple(found)


def by_view(setting: Setting) -> Filming:
    """All shots of a view together, in the story's order within a view, the views so that changes take least.

    A view is left before all its shots are filmed only where a lock leaves nothing else to film in it.
    """
    found: list[int] = []
    for shots in setting.shots:
        told = _by_story(setting, shots)
        views = dict.fromkeys(setting.listed[i].shot.view for i in told)
        options = [_grouped(setting, told, order) for order in islice(permutations(views), VIEW_ORDERS)]
        best: list[int] = min(options, key=setting.minutes)
        found += best
    return tuple(found)


def _by_story(setting: Setting, shots: Sequence[int]) -> list[int]:
    return sorted(shots, key=lambda i: setting.listed[i].number.place)


def _free(setting: Setting, shot: int, left: Collection[int]) -> bool:
    """Whether no shot that is left must come before this one."""
    return not any(j == shot and i in left for i, j in setting.locks)


def _grouped(setting: Setting, told: Sequence[int], views: Sequence[str]) -> list[int]:
    left, found = list(told), list[int]()
    while left:
        for view in views:
            while free := [i for i in left if setting.listed[i].shot.view == view and _free(setting, i, left)]:
                found.append(free[0])
                left.remove(free[0])
    return found
