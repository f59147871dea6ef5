"""Orders of the shots of a course, side by side: as listed, as told, by view, cheapest.

The days' shots are fixed by ``films``; only the order within each day changes. Every order is worked out in full,
with the cheapest step samples for it.
"""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.shoot.order.judge import Ask, Judge, Scored, Settle
from lessonplan.shoot.order.search import PROBES, SOLVED, cheapest
from lessonplan.shoot.order.setting import Setting, as_told, by_view

NAMES = ("as listed", "as told", "by view", "cheapest")


@dataclass(frozen=True, slots=True)
class Order:
    """One order of the shots, and what it comes to; all times in minutes.

    ``sequence``: the numbers of each day's shots. ``change_minutes``: of changes and resets. ``floor_minutes``:
    shots, changes and waits of the camera, without setting up, rests and lunch. ``pieces``: how many the samples are.
    ``bench_minutes``: knitted before the shoot. ``knitting_minutes``: knitted on the set. ``wraps``: after
    midnight, one for each day; ``late``: past the wraps planned, in sum. ``cost``: what the
    search minimises: minutes of changes and of lateness at their prices, and the cost of the samples. ``bound``: no
    order costs less. ``broken``: locks (shot before, shot after) that it does not keep.
    """

    name: str
    sequence: tuple[tuple[ShotNumber, ...], ...]
    view_changes: int
    tray_changes: int
    change_minutes: float
    floor_minutes: float
    pieces: int
    bench_minutes: float
    knitting_minutes: float
    wraps: tuple[float, ...]
    late: float
    cost: float
    bound: float
    broken: tuple[tuple[ShotNumber, ShotNumber], ...] = ()

    @property
    def exact(self) -> bool:
        """Whether it is proven to cost the least of all that keep the locks."""
        return not self.broken and self.cost <= self.bound + 1e-6 * max(1.0, self.cost)

    @property
    def gap(self) -> float:
        """How far the cost may be from the least one, as a part of it (0 to 1)."""
        return 0.0 if self.exact else (self.cost - self.bound) / self.cost


def orders(
    setting: Setting, ask: Ask, settle: Settle, *, probes: int = PROBES, solved: int = SOLVED, search: bool = True
) -> tuple[Order, ...]:
    """Give the four orders of a course's shots, in the order of ``NAMES``.

    ``probes`` and ``solved``: how much work the search for the cheapest may do (see `search`), which comes last;
    without ``search`` it is left out.
    """
    judge = Judge(setting, ask, settle)
    fixed = (tuple(range(len(setting.listed))), as_told(setting), by_view(setting))
    scored = [judge.scored(sequence) for sequence in fixed]
    if search:
        scored.append(cheapest(judge, fixed, probes, solved))
    return tuple(_order(judge, name, one) for name, one in zip(NAMES, scored, strict=False))


def _order(judge: Judge, name: str, one: Scored) -> Order:
    setting, choice = judge.setting, one.choice
    numbers = [item.number for item in setting.listed]
    parts = setting.split(one.sequence)
    changes = [change for part in parts for change in setting.changes(part)]
    change_minutes = sum(change.minutes for change in changes)
    wraps = tuple(day.wrap for day in one.days)
    return Order(
        name=name,
        sequence=tuple(tuple(numbers[i] for i in part) for part in parts),
        view_changes=sum(change.view for change in changes),
        tray_changes=sum(change.tray for change in changes),
        change_minutes=change_minutes,
        floor_minutes=sum(setting.filming) + change_minutes + choice.waiting_minutes,
        pieces=len(choice.pieces),
        bench_minutes=choice.bench_minutes,
        knitting_minutes=choice.floor_minutes,
        wraps=wraps,
        late=setting.late(wraps),
        cost=one.cost,
        bound=min(judge.bound, one.cost),
        broken=tuple((numbers[i], numbers[j]) for i, j in setting.broken(one.sequence)),
    )
