"""What would bring every piece in time: the smallest change of each sort, each found by planning again.

Bounds of what is worth saying (common practice, not science): nobody knits more than 40 hours a week, and nobody
is asked to start more than 60 days earlier. A remedy that would need more is not offered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

from lessonplan.course.words import count_of, short_date
from lessonplan.samples.calendar.assign import Bench
from lessonplan.samples.calendar.days import LAST_DAY, hands_of, work_of
from lessonplan.samples.calendar.jobs import Job, Late, Person

MOST_HOURS = 40.0
MOST_EARLIER = 60
MOST_NAMED = 3
"""So many knitters are named for one sort of remedy, those with the smallest change first."""

WORK = 6000
"""Nodes times columns for one question: a remedy that takes more to be seen is not the smallest, or is not offered."""

Change = Callable[[int], tuple[Sequence[Job], Sequence[Person]]]


def remedies(jobs: Sequence[Job], people: Sequence[Person], late: Sequence[Late], spare: int) -> Iterator[str]:
    """Sentences, each a change that alone is enough: the smallest of its sort."""
    if not people:
        yield "Name at least one knitter with hours a week."
        return
    if all(one.days for one in late):
        yield from _later(jobs, people, max(one.days or 0 for one in late), spare)
    yield from _earlier(jobs, people)
    yield from _more_hours(jobs, people)
    yield from _one_more(jobs, people)


def _least(change: Change, most: int) -> int | None:
    """The least amount, from 1 to ``most``, with which nothing is late; more must never hurt."""

    def fits(amount: int) -> bool:
        jobs, people = change(amount)
        works = [work_of(job, people) for job in jobs]
        bench = Bench(works, [hands_of(person) for person in people])
        return all(any(work.minutes) for work in works) and bench.on_time(work=WORK)[0] is not None

    if most < 1 or not fits(most):
        return None
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if fits(middle) else (middle + 1, high)
    return high


def _later(jobs: Sequence[Job], people: Sequence[Person], most: int, spare: int) -> Iterator[str]:
    """Fewer days to spare if there are enough, else a later shoot."""
    last = max(job.due.toordinal() for job in jobs)
    days = _least(
        lambda n: ([replace(job, due=job.due + timedelta(n)) for job in jobs], people), min(most, LAST_DAY - last)
    )
    anew = ", with the pieces given out anew" if days and days < most else ""
    if days and days <= spare:
        yield f"{count_of(days, 'day')} fewer to spare ({spare - days} instead of {spare}) would be enough{anew}."
    elif days:
        none = f", or {count_of(days - spare, 'day')} later with none to spare," if spare else ""
        yield f"Filming {count_of(days, 'day')} later{none} would be enough{anew}."


def _earlier(jobs: Sequence[Job], people: Sequence[Person]) -> Iterator[str]:
    """Earlier starts: of one knitter each, and of everybody where that is less."""
    named = []
    for place, person in enumerate(people):
        days = _least(lambda n, place=place: (jobs, _sooner(people, n, [place])), MOST_EARLIER)  # type: ignore[misc]
        if days:
            start = short_date(_sooner(people, days, [place])[place].starts)
            named.append(
                (days, f"{person.name} starting {count_of(days, 'day')} earlier, on {start}, would be enough.")
            )
    if len(people) > 1:
        most = min((days - 1 for days, _ in named), default=MOST_EARLIER)
        days = _least(lambda n: (jobs, _sooner(people, n, range(len(people)))), most)
        named += [(days, f"Everybody starting {count_of(days, 'day')} earlier would be enough.")] if days else []
    yield from _smallest(named)


def _sooner(people: Sequence[Person], days: int, places: Sequence[int]) -> list[Person]:
    """Some start so many days sooner, not before the first day that a calendar can name."""
    starts = [one.starts - timedelta(min(days, one.starts.toordinal() - 1)) for one in people]
    return [replace(one, starts=starts[p]) if p in places else one for p, one in enumerate(people)]


def _more_hours(jobs: Sequence[Job], people: Sequence[Person]) -> Iterator[str]:
    """More hours a week, by the half, for one knitter each."""
    named = []
    for place, person in enumerate(people):
        now = min(MOST_HOURS, person.hours_per_week) if person.hours_per_week > 0 else 0.0
        more = [replace(person, hours_per_week=now + n / 2) for n in range(int((MOST_HOURS - now) * 2) + 1)]
        halves = _least(
            lambda n, place=place, more=more: (jobs, [*people[:place], more[n], *people[place + 1 :]]),  # type: ignore[misc]
            len(more) - 1,
        )
        if halves:
            change = f"{round(now + halves / 2, 2):g} h a week instead of {now:g} h"
            named.append((halves, f"{person.name} knitting {change} would be enough."))
    yield from _smallest(named)


def _one_more(jobs: Sequence[Job], people: Sequence[Person]) -> Iterator[str]:
    """One more knitter, as slow as the slowest named, from the first day on which anybody may knit."""
    name, starts = "".join(one.name for one in people) + "+", min(one.starts for one in people)
    jobs = [replace(job, minutes={**job.minutes, name: max(job.minutes.values(), default=-1)}) for job in jobs]
    halves = _least(lambda n: (jobs, [*people, Person(name, n / 2, starts)]), int(MOST_HOURS * 2))
    if halves:
        hours, start = f"{halves / 2:g} h a week", short_date(starts)
        yield f"One more knitter with {hours} from {start}, at the slowest pace named, would be enough."


def _smallest(named: Sequence[tuple[int, str]]) -> list[str]:
    return [text for _, text in sorted(named, key=lambda one: one[0])[:MOST_NAMED]]
