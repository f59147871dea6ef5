"""The fewest minutes of changes with which the shots of a day can be filmed: exactly for small days, else a bound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from lessonplan.shoot.order import Filming, Setting, bits

MOST_EXACT = 12
"""Days of up to so many shots are tabled exactly: 2^12 sets of 12 last shots."""

Floats = npt.NDArray[np.float64]


def least_changes(setting: Setting, left: Sequence[int], last: int | None = None) -> float:
    """A lower bound of the minutes of changes for filming ``left`` in any order, after ``last`` if one is given.

    With n shots, the last one counted, in m combinations of v views and s segments there are n - 1 steps. Of them
    at least v - 1 change the view, s - 1 the tray, and m - 1 one or the other; the cheapest mix of steps that does
    so is taken. Filming view by view comes to just that whenever neighbouring views share a segment. Locks are not
    looked at.
    """
    every = [*left] if last is None else [last, *left]
    if len(every) < 2:
        return 0.0
    steps = len(every) - 1
    views = {setting.views[i] for i in every}
    segments = {setting.segments[i] for i in every}
    cells = {(setting.views[i], setting.segments[i]) for i in every}
    best = float("inf")
    for q in range(len(views) - 1, steps + 1):
        for t in range(len(segments) - 1, steps + 1):
            # As many steps as can be change something, for each of the others is a reset.
            moving = min(q + t, steps)
            if moving >= len(cells) - 1 and moving >= max(q, t):
                resets = setting.swap * (steps - moving)
                best = min(best, setting.view_change * q + setting.tray_change * t + resets)
    return best


@dataclass(slots=True)
class Table:
    """For each set of shots of a day that is done, and each last one of them, the least minutes for the rest.

    Dynamic programming over sets (Held and Karp, Journal of SIAM 10, 1962), locks kept: exact. Shots are numbered
    within the day here, in the order of ``shots``.
    """

    setting: Setting
    shots: Filming
    rest: Floats = field(init=False)

    def __post_init__(self) -> None:
        n = len(self.shots)
        change = np.array([[self.setting.matrix[i][j] for j in self.shots] for i in self.shots]).reshape(n, n)
        place = {shot: k for k, shot in enumerate(self.shots)}
        before = [sum(1 << place[i] for i in bits(self.setting.before[shot])) for shot in self.shots]
        self.rest = np.full((1 << n, n), np.inf)
        self.rest[-1] = 0.0
        for done in range((1 << n) - 2, 0, -1):
            free = [j for j in range(n) if not done >> j & 1 and not before[j] & ~done]
            if free:
                after = np.array([self.rest[done | 1 << j, j] for j in free])
                self.rest[done] = (change[:, free] + after).min(axis=1)

    def least(self, done: Sequence[int]) -> float:
        """The least minutes of changes after the shots ``done``, the last of them last (any order before)."""
        place = {shot: k for k, shot in enumerate(self.shots)}
        if not self.shots:
            return 0.0
        if done:
            return float(self.rest[sum(1 << place[i] for i in done), place[done[-1]]])
        free = [k for k, shot in enumerate(self.shots) if not self.setting.before[shot]]
        return float(min(self.rest[1 << k, k] for k in free))


@dataclass(slots=True)
class Least:
    """The least minutes of changes that are still to come on a day: exact or a bound, by the day's size."""

    setting: Setting
    tables: list[Table | None] = field(init=False)
    known: dict[tuple[int, int, int], float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.tables = [Table(self.setting, s) if len(s) <= MOST_EXACT else None for s in self.setting.shots]

    def rest(self, day: int, done: Sequence[int]) -> float:
        """Minutes of changes still to come on a day after the shots ``done`` of it."""
        table = self.tables[day]
        if table is not None:
            return table.least(done)
        key = (day, sum(1 << i for i in done), done[-1] if done else -1)
        if key not in self.known:
            left = [i for i in self.setting.shots[day] if not key[1] >> i & 1]
            self.known[key] = least_changes(self.setting, left, done[-1] if done else None)
        return self.known[key]

    def cost(self, done: Sequence[int]) -> float:
        """The least cost of changes and lateness of all days when filming begins with ``done``."""
        total = 0.0
        for day, part in enumerate(self.setting.split(done)):
            total += self.setting.day_cost(day, self.setting.changes(part).minutes + self.rest(day, part))
        return total

    def path(self, day: int) -> Filming | None:
        """An order of a day with the least minutes of changes; None for a day too large for the table."""
        if self.tables[day] is None:
            return None
        done: list[int] = []
        left = sorted(self.setting.shots[day], key=lambda i: self.setting.story[i])
        while left:
            mask = sum(1 << i for i in done)
            free = [i for i in left if not self.setting.before[i] & ~mask]
            step = [self.setting.matrix[done[-1]][i] if done else 0.0 for i in free]
            totals = [cost + self.rest(day, [*done, i]) for cost, i in zip(step, free, strict=True)]
            now = free[totals.index(min(totals))]
            done.append(now)
            left.remove(now)
        return tuple(done)
