"""The order of shots within each day: what it depends on, the orders that need no search, and what one comes to.

Shots are known by their place in the present filming order, from 0; a sequence is all of them, day after day.
What a day films is fixed; only the order within the day is open.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, permutations

Filming = tuple[int, ...]
"""Shots in filming order, by their place in the present order."""

MOST_VIEWS = 6
"""With more views in a day than this, not every order of the views is tried."""


class LockError(ValueError):
    """The shots cannot be put into an order that keeps all locks."""


@dataclass(frozen=True, slots=True)
class Hours:
    """The clock of one day, in minutes after midnight and minutes.

    ``begins``: when the first shot starts; ``filming``: minutes of all its shots; ``limit``: when the day must be
    over. Lunch of ``lunch`` minutes is had as soon as a shot ends at ``lunch_due`` or later (None: no lunch).
    ``rests``: minutes of rests for the hands, at most; when they come, and how many, depends on the order.
    """

    begins: float
    filming: float
    limit: float
    lunch_due: float | None = None
    lunch: float = 0.0
    rests: float = 0.0

    def wrap(self, extra: float) -> float:
        """When the day is over at the earliest, with ``extra`` minutes of changes: without rests and waits."""
        time = self.begins + self.filming + extra
        return time + self.lunch if self.lunch_due is not None and time >= self.lunch_due else time

    def over(self, extra: float) -> float:
        """Minutes past the limit at least, with ``extra`` minutes of changes; 0 when there may be none."""
        return max(0.0, self.wrap(extra) - self.limit)


@dataclass(frozen=True, slots=True)
class Prices:
    """What a minute costs, in minutes of bench work: of changing over, and past a day's limit."""

    change: float = 1.0
    late: float = 20.0

    def __post_init__(self) -> None:
        if min(self.change, self.late) < 0:
            raise ValueError("a price cannot be negative")


@dataclass(frozen=True, slots=True)
class Changes:
    """Changes of view, changes of tray, and the minutes they take, resets between like shots included."""

    views: int
    trays: int
    minutes: float


@dataclass(frozen=True)
class Setting:
    """All that the order depends on, the samples aside. One entry for each shot in most fields.

    ``days``: the day (from 0, never falling); ``story``: where it stands in the story; ``before``: the shots of the
    same day that must come before it, as bits of a whole number, closed under going on (see ``locked``). Minutes of
    a change of view, of tray, and of a reset (``swap``) when neither changes. ``hours``: one entry for each day.
    """

    views: tuple[str, ...]
    segments: tuple[str, ...]
    days: tuple[int, ...]
    story: tuple[tuple[int, ...], ...]
    before: tuple[int, ...]
    view_change: float
    tray_change: float
    swap: float
    hours: tuple[Hours, ...]
    prices: Prices = Prices()

    def __len__(self) -> int:
        return len(self.views)

    @cached_property
    def shots(self) -> tuple[Filming, ...]:
        """The shots of each day."""
        return tuple(tuple(i for i, day in enumerate(self.days) if day == d) for d in range(len(self.hours)))

    @cached_property
    def masks(self) -> tuple[int, ...]:
        """The shots of each day, as bits."""
        return tuple(sum(1 << i for i in shots) for shots in self.shots)

    @cached_property
    def matrix(self) -> tuple[tuple[float, ...], ...]:
        """Minutes of changing over from each shot to each, as if both were on one day."""
        return tuple(
            tuple(
                (
                    self.view_change * (self.views[i] != self.views[j])
                    + self.tray_change * (self.segments[i] != self.segments[j])
                )
                or self._reset(i, j)
                for j in range(len(self))
            )
            for i in range(len(self))
        )

    def _reset(self, i: int, j: int) -> float:
        return self.swap if self.views[i] == self.views[j] and self.segments[i] == self.segments[j] else 0.0

    def split(self, sequence: Sequence[int]) -> tuple[Filming, ...]:
        """The sequence of each day."""
        return tuple(tuple(i for i in sequence if self.days[i] == d) for d in range(len(self.hours)))

    def changes(self, sequence: Sequence[int]) -> Changes:
        """Count the changes of a sequence of any of the shots; there is none from one day to the next."""
        pairs = [(i, j) for i, j in pairwise(sequence) if self.days[i] == self.days[j]]
        return Changes(
            sum(self.views[i] != self.views[j] for i, j in pairs),
            sum(self.segments[i] != self.segments[j] for i, j in pairs),
            sum(self.matrix[i][j] for i, j in pairs),
        )

    def broken(self, sequence: Sequence[int]) -> tuple[tuple[int, int], ...]:
        """The pairs (shot before, shot after) that a sequence has the wrong way round."""
        place = {shot: n for n, shot in enumerate(sequence)}
        return tuple((i, j) for j in place for i in bits(self.before[j]) if i in place and place[i] > place[j])

    def day_cost(self, day: int, minutes: float) -> float:
        """What so many minutes of changes cost on a day at least, with what they make it run late."""
        return self.prices.change * minutes + self.prices.late * self.hours[day].over(minutes)

    def cost(self, sequence: Sequence[int]) -> float:
        """What the changes of a sequence cost at least, with what they make the days run late; without samples."""
        return sum(self.day_cost(d, self.changes(part).minutes) for d, part in enumerate(self.split(sequence)))


def bits(mask: int) -> Iterable[int]:
    """The places of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def story_place(number: str) -> tuple[int, ...]:
    """Where a shot stands in the story: ``3.5.2`` comes after ``3.5.1`` and before ``10.1.1``."""
    return tuple(int(part) for part in number.split("."))


def locked(
    numbers: Sequence[str],
    segments: Sequence[str],
    days: Sequence[int],
    locks: Iterable[tuple[str, str]] = (),
    in_order: Collection[str] = (),
) -> tuple[int, ...]:
    """Give for each shot the shots of its day that must come before it, as bits.

    ``locks``: pairs of numbers (shot before, shot after); a pair with a shot that is not filmed says nothing.
    ``in_order``: segments whose shots keep the order of the story. Raises `LockError` when locks go round in a
    circle, or when the days are the wrong way round.
    """
    place = {number: i for i, number in enumerate(numbers)}
    pairs = [(place[a], place[b]) for a, b in locks if a in place and b in place]
    for segment in in_order:
        chain = [i for i, name in enumerate(segments) if name == segment]
        by_story = sorted(chain, key=lambda i: story_place(numbers[i]))
        pairs += list(pairwise(by_story))
    before = [0] * len(numbers)
    for a, b in pairs:
        if days[a] > days[b]:
            raise LockError(f"shot {numbers[a]} must come before {numbers[b]}, but is filmed on a later day")
        before[b] |= 1 << a
    for _ in numbers:
        longer = [mask | _union(before, mask) for mask in before]
        if longer == before:
            break
        before = longer
    for i, mask in enumerate(before):
        if mask >> i & 1:
            raise LockError(f"the locks go round in a circle through shot {numbers[i]}")
    same_day = [sum(1 << i for i, day in enumerate(days) if day == d) for d in days]
    return tuple(mask & day for mask, day in zip(before, same_day, strict=True))


def _union(before: Sequence[int], mask: int) -> int:
    found = 0
    for i in bits(mask):
        found |= before[i]
    return found


def ranked(setting: Setting, rank: Callable[[int], tuple[int, ...]]) -> Filming:
    """The shots of each day by rank; one that must wait for others comes as soon as they are there."""
    found: list[int] = []
    for shots in setting.shots:
        left = sorted(shots, key=rank)
        while left:
            done = sum(1 << i for i in found)
            now = next(i for i in left if not setting.before[i] & ~done)
            left.remove(now)
            found.append(now)
    return tuple(found)


def as_told(setting: Setting) -> Filming:
    """The order of the story within each day, as far as the locks let it."""
    return ranked(setting, lambda i: setting.story[i])


def by_view(setting: Setting) -> Filming:
    """All shots of a view together, the story's order within a view, views so that changes take least.

    A view is left before all its shots are filmed only where a lock leaves nothing else to film in it. All orders
    of up to ``MOST_VIEWS`` views are tried; with more, those that swapping two views reaches from the story's.
    """
    found: list[int] = []
    for shots in setting.shots:
        told = sorted(shots, key=lambda i: setting.story[i])
        views = list(dict.fromkeys(setting.views[i] for i in told))
        if len(views) <= MOST_VIEWS:
            options = [_grouped(setting, told, order) for order in permutations(views)]
            minutes = [setting.changes(part).minutes for part in options]
            found += options[minutes.index(min(minutes))]
        else:
            found += _swapped(setting, told, views)
    return tuple(found)


def _grouped(setting: Setting, told: Sequence[int], views: Sequence[str]) -> list[int]:
    left, found, done = list(told), list[int](), 0
    while left:
        for view in views:
            while True:
                free = (i for i in left if setting.views[i] == view and not setting.before[i] & ~done)
                now = next(free, None)
                if now is None:
                    break
                left.remove(now)
                found.append(now)
                done |= 1 << now
    return found


def _swapped(setting: Setting, told: Sequence[int], views: list[str]) -> list[int]:
    best = _grouped(setting, told, views)
    better = True
    while better:
        better = False
        for a in range(len(views)):
            for b in range(a + 1, len(views)):
                other = list(views)
                other[a], other[b] = views[b], views[a]
                part = _grouped(setting, told, other)
                if setting.changes(part).minutes < setting.changes(best).minutes - 1e-9:
                    best, views, better = part, other, True
    return best
