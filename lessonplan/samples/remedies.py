"""What would bring every piece in time: the smallest change of each sort, each found by solving again.

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
from lessonplan.samples.milp import Model
from lessonplan.samples.workload import Gain, build

if TYPE_CHECKING:
    from lessonplan.samples.calendar import Person

MOST_HOURS = 40.0
MOST_EARLIER = 60
MOST_NAMED = 3
"""So many knitters are named for one sort of remedy, those with the smallest change first."""


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
    """Sentences, each a change that alone is enough. Whatever is not settled when the time is up is left out."""
    if not people:
        return ("Name at least one knitter with hours a week.",)
    asked = _Asked(works, hands, people, clock)
    never = any(one.days is None for one in late)
    found = [] if never else _later(asked, max(one.days or 0 for one in late), spare)
    found += _earlier(asked, today)
    found += _more_hours(asked)
    found += _one_more(asked, today)
    return tuple(found)


def _later(asked: _Asked, most: int, spare: int) -> list[str]:
    """Fewer days to spare if there are enough, else a later shoot: bisection, since more days never hurt."""
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        works = [replace(work, by=work.by + middle) for work in asked.works]
        found, proven = on_time(works, asked.hands, asked.clock)
        if found is None and not proven:
            return []
        low, high = (low, middle) if found is not None else (middle + 1, high)
    if low <= spare:
        return [f"{days_words(low)} fewer to spare ({spare - low} instead of {spare}) would be enough."]
    return [f"Filming {days_words(low)} later would be enough."]


def _earlier(asked: _Asked, today: date | None) -> list[str]:
    """Earlier starts: of one knitter each, and of everybody."""
    named: list[tuple[int, int, int, str]] = []
    everybody = range(len(asked.hands))
    for group in [[p] for p in everybody] + ([list(everybody)] if len(asked.hands) > 1 else []):
        days = _least(asked, _start_gains(asked, group, today))
        if not days:
            continue
        if len(group) == 1:
            person = asked.people[group[0]]
            first = date.fromordinal(person.starts.toordinal() - days)
            text = f"{person.name} starting {days_words(days)} earlier, on {day_words(first)}, would be enough."
        elif days < min((fewest for fewest, *_ in named), default=days + 1):
            text = f"Everybody starting {days_words(days)} earlier would be enough."
        else:
            continue
        named.append((days, len(group), group[0], text))
    return [text for *_, text in sorted(named)[:MOST_NAMED]]


def _start_gains(asked: _Asked, group: Sequence[int], today: date | None) -> Callable[[Model], list[Gain]]:
    """One column for each day earlier, each only after the one before; a day of more gives what is free on it."""
    first = date.min.toordinal() if today is None else today.toordinal()

    def gains(model: Model) -> list[Gain]:
        found: list[Gain] = []
        before = -1
        for back in range(1, MOST_EARLIER + 1):
            column = model.column(1, 0, 1, integer=True)
            if before >= 0:
                model.row(0, 1, [(before, 1.0), (column, -1.0)])
            before = column
            for p in group:
                hand = asked.hands[p]
                day = hand.starts - back
                if day < first:
                    continue
                found.append((p, column, _one_day(Hands(hand.share, day, hand.away), day)))
        return found

    return gains


def _one_day(hand: Hands, day: int) -> Callable[[int, int], int]:
    """The minutes of one day, if it lies between two others."""
    return lambda first, last: hand.minutes(max(first, day), min(last, day))


def _more_hours(asked: _Asked) -> list[str]:
    """More hours a week, for one knitter each."""
    from lessonplan.samples.calendar import daily_share

    named = []
    for p, person in enumerate(asked.people):
        most = daily_share(MOST_HOURS) - asked.hands[p].share
        minutes = _least(asked, _share_gains(asked.hands[p], p, most)) if most > 0 else None
        if minutes:
            now = max(0.0, person.hours_per_week)
            more = _half_hours(now, asked.hands[p].share + minutes)
            change = f"{hours_words(round(now + more, 2))} a week instead of {hours_words(now)}"
            named.append((more, p, f"{person.name} knitting {change} would be enough."))
    return [text for *_, text in sorted(named)[:MOST_NAMED]]


def _one_more(asked: _Asked, today: date | None) -> list[str]:
    """One more knitter, as slow as the slowest named, from today or the first day on which anybody may knit."""
    from lessonplan.samples.calendar import daily_share

    works = [
        replace(work, minutes=(*work.minutes, max((m for m in work.minutes if m is not None), default=None)))
        for work in asked.works
    ]
    newcomer = Hands(0, today.toordinal() if today else min(hand.starts for hand in asked.hands))
    p = len(asked.hands)
    more = replace(asked, works=works, hands=[*asked.hands, newcomer])
    minutes = _least(more, _share_gains(newcomer, p, daily_share(MOST_HOURS)))
    if not minutes:
        return []
    hours = hours_words(_half_hours(0.0, minutes))
    start = day_words(date.fromordinal(newcomer.starts))
    return [f"One more knitter with {hours} a week from {start}, at the slowest pace named, would be enough."]


def _share_gains(hand: Hands, p: int, most: int) -> Callable[[Model], list[Gain]]:
    """A column for minutes more on each day."""
    each = Hands(1, hand.starts, hand.away)

    def gains(model: Model) -> list[Gain]:
        return [(p, model.column(1, 0, most, integer=True), each.minutes)]

    return gains


def _half_hours(now: float, wanted: int) -> float:
    """The least number of half hours a week more that makes the daily share at least what is wanted."""
    from lessonplan.samples.calendar import daily_share

    halves = 1
    while daily_share(now + halves / 2) < wanted:
        halves += 1
    return halves / 2


def _least(asked: _Asked, gains: Callable[[Model], Sequence[Gain]]) -> int | None:
    """The least total of the gain columns with which nothing is late; None when there is none or no proof in time."""
    if not asked.clock.left:
        return None
    draft = build(asked.works, asked.hands, [work.by for work in asked.works], gains=gains)
    if draft is None:
        return None
    solved = run(draft.model, asked.clock)
    return round(solved.objective) if solved.optimal else None
