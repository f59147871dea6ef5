"""Orders of the shots of a course, side by side: as listed, as told, by view, cheapest.

The days' shots are fixed by ``films``; only the order within each day changes. Every order is worked out in full,
with the cheapest step samples for it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from lessonplan.craft import tables
from lessonplan.planning.worked import Worked, ask
from lessonplan.samples.plan import Choice
from lessonplan.samples.problem import Problem
from lessonplan.shoot.day import LUNCH_EARLY, run_days
from lessonplan.shoot.order import Filming, Hours, Prices, Setting, as_told, by_view, locked, story_place
from lessonplan.shoot.order_judge import Judge, Scored
from lessonplan.shoot.order_search import Effort, Found, cheapest, gap

LISTED, TOLD, BY_VIEW, CHEAPEST = "as listed", "as told", "by view", "cheapest"
PRICES = Prices()
NAMES = (LISTED, TOLD, BY_VIEW, CHEAPEST)


@dataclass(frozen=True, slots=True)
class Order:
    """One order of the shots, and what it comes to; all times in minutes.

    ``sequence``: the numbers of each day's shots. ``change_minutes``: of changes and resets. ``floor_minutes``:
    shots, changes and waits of the camera, without setting up, rests and lunch. ``pieces``: how many the samples are.
    ``bench_minutes``: knitted before the shoot. ``knitting_minutes``: knitted on the set. ``wraps``: after
    midnight, one for each day; ``late``: past the wraps planned, overtime allowed for, in sum. ``cost``: what the
    search minimises: minutes of changes and of lateness at their prices, and the cost of the samples. ``bound``: no
    order costs less. ``exact``: this one is proven to cost the least. ``broken``: locks (shot before, shot after)
    that it does not keep.
    """

    name: str
    sequence: tuple[tuple[str, ...], ...]
    view_changes: int
    tray_changes: int
    change_minutes: float
    floor_minutes: float
    pieces: int
    bench_minutes: float
    knitting_minutes: float
    waiting_minutes: float
    wraps: tuple[float, ...]
    late: float
    cost: float
    bound: float
    exact: bool
    broken: tuple[tuple[str, str], ...] = ()

    @property
    def gap(self) -> float:
        """How far the cost may be from the least one, as a part of it (0 to 1)."""
        return gap(self.cost, self.bound)


def setting_of(
    worked: Worked,
    *,
    locks: Iterable[tuple[str, str]] = (),
    in_order: Collection[str] | None = None,
    prices: Prices = PRICES,
    overtime: float = 0.0,
) -> Setting:
    """What the order of a course's shots depends on; shots by their place in ``listed``. Raises `LockError`."""
    file, listed = worked.course.course, worked.listed
    numbers, segments = [item.number for item in listed], tuple(item.segment for item in listed)
    days = tuple(item.day for item in listed)
    hours = []
    for number, day in enumerate(file.shoot):
        filming = sum(worked.clocks[item.number].floor.mean for item in listed if item.day == number)
        due, lunch = (float(day.lunch.at - LUNCH_EARLY), day.lunch.takes) if day.lunch else (None, 0.0)
        steps = max(0, sum(item.day == number for item in listed) - 1)
        longest = (
            filming + file.pace.set_up + steps * max(file.pace.swap, file.pace.view_change + file.pace.tray_change)
        )
        rests = longest // tables.three_points("rest_after")[1] * tables.three_points("rest")[1]
        begins = day.call + file.pace.set_up
        hours.append(Hours(begins, filming, day.wrap + overtime, due, lunch, rests))
    return Setting(
        views=tuple(item.shot.view for item in listed),
        segments=segments,
        days=days,
        story=tuple(story_place(number) for number in numbers),
        before=locked(numbers, segments, days, locks, marked(worked) if in_order is None else in_order),
        view_change=file.pace.view_change,
        tray_change=file.pace.tray_change,
        swap=file.pace.swap,
        hours=tuple(hours),
        prices=prices,
    )


def marked(worked: Worked) -> tuple[str, ...]:
    """The segments (``1.2``) that the course marks as filmed in the order of the story."""
    return tuple(
        f"{episode.episode}.{number}"
        for episode in worked.course.episodes
        for number, segment in enumerate(episode.segments, 1)
        if segment.in_order
    )


def judge_of(worked: Worked, setting: Setting, time_limit: float = 30.0) -> Judge:
    """A judge of a course's orders. ``time_limit``: seconds for the samples of one order."""

    def question(sequence: Filming) -> Problem:
        return ask(in_sequence(worked, sequence)).question

    def wraps(sequence: Filming, choice: Choice) -> tuple[float, ...]:
        course = in_sequence(worked, sequence)
        return tuple(day.wrap for day in run_days(course.course, course.listed, course.clocks, choice))

    return Judge(setting, question, wraps, time_limit)


def in_sequence(worked: Worked, sequence: Filming) -> Worked:
    """The course with its shots listed in another order; the question is not put anew (see `worked.ask`)."""
    return replace(worked, listed=tuple(worked.listed[i] for i in sequence))


def orders(
    worked: Worked,
    *,
    evaluations: int = Effort().evaluations,
    locks: Iterable[tuple[str, str]] = (),
    in_order: Collection[str] | None = None,
    prices: Prices = PRICES,
    overtime: float = 0.0,
    effort: Effort | None = None,
) -> tuple[Order, ...]:
    """Give the four orders of a course's shots, in the order of ``NAMES``.

    ``evaluations``: how many orders the search for the cheapest may solve the samples for, beside the other three.
    ``locks``: pairs of shot numbers (before, after). ``in_order``: segments (``1.2``) whose shots keep the story's
    order; None: those the course marks. ``overtime``: minutes that a day may go beyond its wrap. ``effort``: all
    limits of the search, in place of ``evaluations``. Raises `LockError` when the locks contradict each other or
    the days.
    """
    setting = setting_of(worked, locks=locks, in_order=in_order, prices=prices, overtime=overtime)
    judge = judge_of(worked, setting)
    found = cheapest(judge, effort or Effort(evaluations=evaluations))
    fixed = (tuple(range(len(setting))), as_told(setting), by_view(setting))
    scored = (*(judge.scored(sequence) for sequence in fixed), found.best)
    return tuple(_order(worked, setting, name, one, found) for name, one in zip(NAMES, scored, strict=True))


def _order(worked: Worked, setting: Setting, name: str, one: Scored, found: Found) -> Order:
    changes, choice = setting.changes(one.sequence), one.choice
    course = in_sequence(worked, one.sequence)
    wraps = tuple(day.wrap for day in run_days(course.course, course.listed, course.clocks, choice))
    numbers = [item.number for item in worked.listed]
    broken = setting.broken(one.sequence)
    return Order(
        name=name,
        sequence=tuple(tuple(numbers[i] for i in part) for part in setting.split(one.sequence)),
        view_changes=changes.views,
        tray_changes=changes.trays,
        change_minutes=changes.minutes,
        floor_minutes=sum(hours.filming for hours in setting.hours) + changes.minutes + choice.waiting_minutes,
        pieces=len(choice.pieces),
        bench_minutes=choice.bench_minutes,
        knitting_minutes=choice.floor_minutes,
        waiting_minutes=choice.waiting_minutes,
        wraps=wraps,
        late=sum(max(0.0, wrap - hours.limit) for wrap, hours in zip(wraps, setting.hours, strict=True)),
        cost=one.cost,
        bound=min(found.bound, one.cost),
        exact=not broken and one.cost <= found.bound + 1e-6 * max(1.0, one.cost),
        broken=tuple((numbers[i], numbers[j]) for i, j in broken),
    )


def ordered(worked: Worked, name: str, *, among: Iterable[Order] | None = None) -> Worked:
    """Give the course with an order in ``listed`` and the question put anew.

    ``among``: the orders to look in when they are known already; else they are worked out without further locks. Raises
    ``KeyError`` when there is none of that name.
    """
    one = next((order for order in (orders(worked) if among is None else among) if order.name == name), None)
    if one is None:
        raise KeyError(name)
    place: dict[str, int] = {item.number: i for i, item in enumerate(worked.listed)}
    return ask(in_sequence(worked, tuple(place[number] for part in one.sequence for number in part)))


__all__ = ["NAMES", "Choice", "Order", "in_sequence", "judge_of", "ordered", "orders", "setting_of"]
