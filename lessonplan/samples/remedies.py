"""What would bring every piece in time: the smallest change of each sort, each found by planning again.

Bounds of what is worth saying (common practice, not science): nobody knits more than 40 hours a week, and nobody
is asked to start more than 60 days earlier. A remedy that would need more is not offered.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from lessonplan.samples.assignment import Clock, on_time, run
from lessonplan.samples.hands import Hands, Work
from lessonplan.samples.lateness import Late, day_words, days_words, hours_words
from lessonplan.samples.workload import build

if TYPE_CHECKING:
    from lessonplan.samples.calendar import Person

MOST_HOURS = 40.0
MOST_EARLIER = 60
MOST_NAMED = 3
"""So many knitters are named for one sort of remedy, those with the smallest change first."""

Changed = tuple[Sequence[Work], Sequence[Hands]]


@dataclass(frozen=True, slots=True)
class _Asked:
    works: Sequence[Work]
    hands: Sequence[Hands]
    people: Sequence[Person]
    clock: Clock


def remedies(
    works: Sequence[Work],
    hands: Sequence[Hands],
    people: Sequence[Person],
    late: Sequence[Late],
    clock: Clock,
    *,
    spare: int = 0,
    today: date | None = None,
) -> tuple[str, ...]:
    """Sentences, each a change that alone is enough; the smallest of its sort, unless the time ran out on the proof.

    Whatever is not settled at all when the time is up is left out.
    """
    if not people:
        return ("Name at least one knitter with hours a week.",)
    asked = _Asked(works, hands, people, clock)
    never = any(one.days is None for one in late)
    found = [] if never else _later(asked, max(one.days or 0 for one in late), spare)
    found += _earlier(asked, today)
    found += _more_hours(asked)
    found += _one_more(asked, today)
    return tuple(found)


def _least(asked: _Asked, change: Callable[[int], Changed], most: int) -> int | None:
    """The least amount, from 1 to ``most``, with which nothing is late; more must never hurt.

    Bisection over the relaxed program gives the amount below which there is nothing, then each is tried in turn.
    """

    def may_fit(amount: int) -> bool:
        works, hands = change(amount)
        draft = build(works, hands, [work.by for work in works])
        return draft is not None and run(draft.relaxed(), asked.clock).feasible

    if most < 1 or not may_fit(most):
        return None
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if may_fit(middle) else (middle + 1, high)
    for amount in range(low, most + 1):
        if not asked.clock.left:
            return None
        if on_time(*change(amount), asked.clock.part(0.1))[0] is not None:
            return amount
    return None


def _later(asked: _Asked, most: int, spare: int) -> list[str]:
    """Fewer days to spare if there are enough, else a later shoot."""

    def change(days: int) -> Changed:
        return [replace(work, by=work.by + days) for work in asked.works], asked.hands

    days = _least(asked, change, most)
    if days is None:
        return []
    if days <= spare:
        return [f"{days_words(days)} fewer to spare ({spare - days} instead of {spare}) would be enough."]
    return [f"Filming {days_words(days)} later would be enough."]


def _earlier(asked: _Asked, today: date | None) -> list[str]:
    """Earlier starts: of one knitter each, and of everybody where that is less."""
    first = date.min.toordinal() if today is None else today.toordinal()
    named: list[tuple[int, str]] = []
    for p, person in enumerate(asked.people):
        most = min(MOST_EARLIER, asked.hands[p].starts - first)
        days = _least(asked, lambda days, p=p: _starting(asked, [p], days, first), most)  # type: ignore[misc]
        if days is not None:
            start = day_words(date.fromordinal(person.starts.toordinal() - days))
            named.append((days, f"{person.name} starting {days_words(days)} earlier, on {start}, would be enough."))
    everybody = range(len(asked.people))
    if len(everybody) > 1:
        most = min(MOST_EARLIER, min((days for days, _ in named), default=MOST_EARLIER + 1) - 1)
        days = _least(asked, lambda days: _starting(asked, everybody, days, first), most)
        if days is not None:
            named.append((days, f"Everybody starting {days_words(days)} earlier would be enough."))
    return [text for _, text in sorted(named, key=lambda one: one[0])[:MOST_NAMED]]


def _starting(asked: _Asked, group: Sequence[int], days: int, first: int) -> Changed:
    hands = list(asked.hands)
    for p in group:
        hands[p] = replace(hands[p], starts=min(hands[p].starts, max(first, hands[p].starts - days)))
    return asked.works, hands


def _more_hours(asked: _Asked) -> list[str]:
    """More hours a week, by the half, for one knitter each."""
    named = []
    for p, person in enumerate(asked.people):
        now = max(0.0, person.hours_per_week) if person.hours_per_week < MOST_HOURS else MOST_HOURS
        most = int((MOST_HOURS - now) * 2)
        halves = _least(asked, lambda halves, p=p, now=now: _knitting(asked, p, now + halves / 2), most)  # type: ignore[misc]
        if halves is not None:
            change = f"{hours_words(round(now + halves / 2, 2))} a week instead of {hours_words(now)}"
            named.append((halves, f"{person.name} knitting {change} would be enough."))
    return [text for _, text in sorted(named, key=lambda one: one[0])[:MOST_NAMED]]


def _knitting(asked: _Asked, p: int, hours: float) -> Changed:
    from lessonplan.samples.calendar import daily_share

    hands = list(asked.hands)
    hands[p] = replace(hands[p], share=daily_share(hours))
    return asked.works, hands


def _one_more(asked: _Asked, today: date | None) -> list[str]:
    """One more knitter, as slow as the slowest named, from today or the first day on which anybody may knit."""
    works = [
        replace(work, minutes=(*work.minutes, max((m for m in work.minutes if m is not None), default=None)))
        for work in asked.works
    ]
    newcomer = Hands(0, today.toordinal() if today else min(hand.starts for hand in asked.hands))
    more = replace(asked, works=works, hands=[*asked.hands, newcomer])
    halves = _least(more, lambda halves: _knitting(more, len(asked.hands), halves / 2), int(MOST_HOURS * 2))
    if halves is None:
        return []
    start = day_words(date.fromordinal(newcomer.starts))
    return [
        f"One more knitter with {hours_words(halves / 2)} a week from {start}, at the slowest pace named, "
        "would be enough."
    ]
