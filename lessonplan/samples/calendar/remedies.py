"""What would bring every piece in time: the smallest change of each sort, each found by planning again.

Bounds of what is worth saying (planning guesses, from memory): nobody knits more than 40 hours a week, and nobody
is asked to start more than 60 days earlier. A remedy that would need more is not offered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from functools import partial

from lessonplan.course.model.groups import Words
from lessonplan.course.words import count_of, listing, short_date
from lessonplan.samples.calendar.assign import Bench
from lessonplan.samples.calendar.evenings import LAST_DAY, hands_of, usable_minutes, whole_minutes, work_of
from lessonplan.samples.calendar.jobs import Job, Late, Person

MOST_HOURS = 40.0
MOST_EARLIER = 60
MOST_NAMED = 3
"""So many knitters are named for one sort of remedy, those with the smallest change first."""

MUCH = 0.75
"""Handing over that is not enough is told where at most this share of the days late is left (planning guess)."""

Asked = tuple[Sequence[Job], Sequence[Person]]
Planned = Callable[[Sequence[Job], Sequence[Person]], Mapping[str, int]]
"""Gives the pieces that are late when some are planned for some people, with the days late of each."""

InTime = Callable[[Sequence[Job], Sequence[Person]], bool]
"""Tells whether nothing is late when some pieces are planned for some people."""


def remedies(
    jobs: Sequence[Job], people: Sequence[Person], late: Sequence[Late], spare: int, words: Words, in_time: InTime
) -> Iterator[str]:
    """Sentences, each a change that alone is enough: the smallest of its sort.

    Pieces that dry in between are looked at as if they took more days than they may (`Work.later`), so that a little
    less may do for these. How much later to film, which is read first, is tried with less by planning it all.
    """
    if not people:
        yield f"Name at least one {words.maker} with hours a week."
        return
    yield from _later(jobs, people, max(one.days or 0 for one in late), spare, in_time)
    yield from _earlier(jobs, people)
    for person, halves in _by_one(jobs, people, _busier, int(MOST_HOURS * 2)):
        hours, now = _busier(person, halves).hours_per_week, _busier(person, 0).hours_per_week
        yield f"{person.name} {words.making} {round(hours, 2):g} h a week instead of {now:g} h would be enough."
    yield from _one_more(jobs, people, words)


def handed_over(jobs: Sequence[Job], people: Sequence[Person], planned: Planned) -> tuple[str, str]:
    """What comes of giving pieces to others than agreed, as few as that takes: a sentence if it is enough, and one if
    it helps much (`MUCH`). Pieces that are begun stay where they are.
    """
    given = _given_on(jobs, people)
    anew = [replace(job, knitter=given.get(job.piece, job.knitter)) for job in jobs]
    late = planned(anew, people) if given else {}
    if not given or sum(late.values()) > sum(planned(jobs, people).values()) * MUCH:
        return "", ""
    to = {name: sorted(piece for piece, one in given.items() if one == name) for name in sorted(given.values())}
    said = f"Giving {listing([f'{listing(pieces)} to {name}' for name, pieces in to.items()])} would"
    if not late:
        return f"{said} be enough.", ""
    rest = listing([f"{piece} late by {count_of(days, 'day')}" for piece, days in late.items()])
    return "", f"{said} leave {rest}, and nothing else."


def _given_on(jobs: Sequence[Job], people: Sequence[Person]) -> dict[str, str]:
    """Pieces, each with the other person that takes it: one by one the one that saves the most days late in sum.

    The days are those of everybody knitting what is due first, which takes no search; each piece given on saves some.
    """
    hands, given = [hands_of(person) for person in people], dict[str, str]()
    free = [job for job in jobs if job.knitter and not job.begun]

    def late(given: Mapping[str, str]) -> int:
        """The days late of all pieces when some are knitted by others."""
        anew = (replace(job, knitter=given.get(job.piece, job.knitter)) for job in jobs)
        return Bench([work_of(job, people) for job in anew], hands).earliest_due()[1]

    least = late(given)
    while least:
        ways = [
            {**given, job.piece: one.name}
            for job in free
            if job.piece not in given
            for one in people
            if one.name != job.knitter and whole_minutes(job, one)
        ]
        days, best = min(((late(way), number) for number, way in enumerate(ways)), default=(least, 0))
        if days >= least:
            break
        least, given = days, ways[best]
    return given


def _least(change: Callable[[int], Asked], most: int, in_time: InTime | None = None) -> int | None:
    """The least amount, from 1 to ``most``, with which nothing is late; more must never hurt."""
    fits = in_time or _fits
    if most < 1 or not fits(*change(most)):
        return None
    low, high, step = 1, most, 1
    while low < high:
        middle = max(high - step, (low + high) // 2) if in_time else (low + high) // 2
        low, high, step = (low, middle, 2 * step) if fits(*change(middle)) else (middle + 1, high, most)
    return high


def _fits(jobs: Sequence[Job], people: Sequence[Person]) -> bool:
    """Whether nothing is late, as if pieces that dry in between took all the days that they may."""
    works = [work_of(job, people) for job in jobs]
    bench = Bench(works, [hands_of(person) for person in people])
    return all(any(work.minutes) for work in works) and bench.on_time()[0] is not None


def _later(jobs: Sequence[Job], people: Sequence[Person], most: int, spare: int, in_time: InTime) -> Iterator[str]:
    """Fewer days to spare if there are enough, else a later shoot."""
    most = min(most, LAST_DAY - max(job.due.toordinal() for job in jobs))
    put_off, waits = partial(_put_off, jobs, people), any(job.pauses for job in jobs)
    days = _least(put_off, most)
    if waits:  # with what is made meanwhile fewer may do; most often not
        days = _least(put_off, (days or most + 1) - 1, in_time) or days
    anew = ", with the pieces given out anew" if days and days < most else ""
    if days and days <= spare:
        yield f"{count_of(days, 'day')} fewer to spare ({spare - days} instead of {spare}) would be enough{anew}."
    elif days:
        none = f", or {count_of(days - spare, 'day')} later with none to spare," if spare else ""
        yield f"Filming {count_of(days, 'day')} later{none} would be enough{anew}."


def _put_off(jobs: Sequence[Job], people: Sequence[Person], days: int) -> Asked:
    return [replace(job, due=job.due + timedelta(days)) for job in jobs], people


def _by_one(
    jobs: Sequence[Job], people: Sequence[Person], changed: Callable[[Person, int], Person], most: int
) -> list[tuple[Person, int]]:
    """Who could change alone, and by how much; the smallest changes first."""
    found: list[tuple[int, int]] = []
    for place in range(len(people)):
        worth = sorted(found)[MOST_NAMED - 1][0] - 1 if len(found) >= MOST_NAMED else most
        if amount := _least(partial(_with_one, jobs, people, place, changed), worth):
            found.append((amount, place))
    return [(people[place], amount) for amount, place in sorted(found)[:MOST_NAMED]]


def _with_one(
    jobs: Sequence[Job], people: Sequence[Person], place: int, changed: Callable[[Person, int], Person], amount: int
) -> Asked:
    return jobs, [*people[:place], changed(people[place], amount), *people[place + 1 :]]


def _earlier(jobs: Sequence[Job], people: Sequence[Person]) -> list[str]:
    """Earlier starts: of one knitter each, and of everybody where that is less."""
    said = []
    alone = _by_one(jobs, people, _sooner, MOST_EARLIER)
    most = alone[0][1] - 1 if alone else MOST_EARLIER
    if len(people) > 1 and (days := _least(lambda n: (jobs, [_sooner(one, n) for one in people]), most)):
        said.append(f"Everybody starting {count_of(days, 'day')} earlier would be enough.")
    for person, days in alone:
        start = f"{count_of(days, 'day')} earlier, on {short_date(_sooner(person, days).starts)}"
        said.append(f"{person.name} starting {start}, would be enough.")
    return said[:MOST_NAMED]


def _sooner(person: Person, days: int) -> Person:
    """Start so many days sooner, but not before today, or the first day that a calendar can name."""
    return replace(person, starts=person.starts - timedelta(min(days, max(0, (person.starts - person.now).days))))


def _busier(person: Person, halves: int) -> Person:
    """Knit so many half hours a week more."""
    now = min(MOST_HOURS, person.hours_per_week) if person.hours_per_week > 0 else 0.0
    return replace(person, hours_per_week=min(MOST_HOURS, now + halves / 2))


def _one_more(jobs: Sequence[Job], people: Sequence[Person], words: Words) -> Iterator[str]:
    """One more knitter, as slow as the slowest named, from the first day on which anybody may knit."""
    name, starts = "".join(one.name for one in people) + "+", min(one.starts for one in people)
    jobs = [replace(job, minutes={**job.minutes, name: _slowest(job, people)}) for job in jobs]
    if halves := _least(lambda n: (jobs, [*people, Person(name, n / 2, starts)]), int(MOST_HOURS * 2)):
        hours, start = f"{halves / 2:g} h a week", short_date(starts)
        yield f"One more {words.maker} with {hours} from {start}, at the slowest pace named, would be enough."


def _slowest(job: Job, people: Sequence[Person]) -> float:
    """The most minutes that anybody needs who can knit it; less than none when nobody can."""
    return max((m for one in people if (m := usable_minutes(job, one)) is not None), default=-1)
