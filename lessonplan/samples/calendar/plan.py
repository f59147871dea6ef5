"""Plan who knits which piece on which days, so that all is dry in time for the shoot, and say what is late."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache

from lessonplan.course.model.groups import Words
from lessonplan.course.words import count_of, listing, short_date
from lessonplan.craft.words import KNITTING
from lessonplan.samples.calendar.assign import Bench, Given, assign, least_late
from lessonplan.samples.calendar.evenings import (
    LAST_DAY,
    NEVER,
    drying_days,
    evenings,
    hands_of,
    usable_minutes,
    whole_minutes,
    work_of,
)
from lessonplan.samples.calendar.jobs import Calendar, Job, Late, Person, Sitting
from lessonplan.samples.calendar.remedies import handed_over, remedies

MOST_LATE = 3653
"""A piece that nobody could finish within ten years after its day is nobody's."""


def plan_calendar(
    jobs: Sequence[Job], people: Sequence[Person], *, spare: int = 0, words: Words = KNITTING
) -> Calendar:
    """Plan who knits what on which days: least total lateness, then the latest start, then even load.

    ``spare``: the days to spare that were taken off the due dates. Every piece is knitted as late as can be, a late
    one for the day found for it. Names of pieces and of people are taken to be different. What cannot be is said in
    ``late`` and ``remarks``; nothing is raised.
    """
    asked = [job for job in jobs if not job.minutes or any(job.minutes.values())]
    jobs = [job if _possible(job, people) else replace(job, knitter="") for job in asked]
    able = [job for job in jobs if _possible(job, people)]
    found, kept = _as_agreed(able, people)
    sittings = tuple(sorted(_sittings(able, people, found), key=lambda one: (one.day, one.person)))
    assigned, finished = {one.piece: one.person for one in sittings}, {one.piece: one.day for one in sittings}
    ready = {job.piece: _dry(job, finished[job.piece]) for job in able if job.piece in finished}
    load = {person.name: sum(one.minutes for one in sittings if one.person == person.name) for person in people}
    late = tuple(_late(jobs, people, assigned, finished, spare, words))
    enough, nearer = handed_over(able, people, _days_late) if late and len(able) == len(jobs) else ("", "")
    return Calendar(
        sittings=sittings,
        assigned=assigned,
        latest_start={one.person: one.day for one in reversed(sittings)},
        piece_start={one.piece: one.day for one in reversed(sittings)},
        finished=finished,
        ready=ready,
        load=load,
        late=late,
        optimal=found.proven and not kept,
        kept=kept,
        remarks=(*without_pieces(people, load, jobs), *not_as_agreed(asked, assigned, ready, words)),
        remedies=(*((enough,) if enough else ()), *remedies(jobs, people, late, spare, words, _in_time))
        if late
        else (),
        nearer=nearer,
    )


def _in_time(jobs: Sequence[Job], people: Sequence[Person]) -> bool:
    """Whether every piece is done and dry by its day when these are planned."""
    return all(_possible(job, people) for job in jobs) and not _days_late(jobs, people)


def _days_late(jobs: Sequence[Job], people: Sequence[Person]) -> dict[str, int]:
    """By how many days the pieces are late that are when possible ones are planned."""
    who, by, sure = least_late([work_of(job, people) for job in jobs], [hands_of(person) for person in people])
    sittings = _sittings(jobs, people, Given(tuple(who), tuple(by), sure))
    done = {one.piece: one.day for one in sorted(sittings, key=lambda one: one.day)}
    late = {job.piece: (_dry(job, done.get(job.piece, date.max)) - job.due).days for job in jobs}
    return {piece: days for piece, days in late.items() if days > 0}


def _possible(job: Job, people: Sequence[Person]) -> bool:
    """Whether somebody can finish a piece within ten years of its day, or of their own start."""
    work = work_of(job, people)
    return any(
        minutes and hands_of(one).day(minutes - 1) <= max(work.by, one.starts.toordinal()) + MOST_LATE
        for one, minutes in zip(people, work.minutes, strict=True)
    )


def _as_agreed(jobs: Sequence[Job], people: Sequence[Person]) -> tuple[Given, bool]:
    """Keep the days that were agreed, unless that makes the pieces later for the shoot than they would be.

    And whether days are kept that are sooner than the shoot wants: what is the latest or most even for these days
    need not be so for the shoot.
    """
    works, hands = [work_of(job, people) for job in jobs], [hands_of(person) for person in people]
    sooner = [
        replace(work, by=min(work.by, job.agreed.toordinal() - drying_days(job) - work.later)) if job.agreed else work
        for job, work in zip(jobs, works, strict=True)
    ]
    found = _once_assigned(tuple(sooner), tuple(hands))
    late = sum(max(0, day - work.by) for day, work in zip(found.by, works, strict=True))
    plain = _once_assigned(tuple(works), tuple(hands)) if late and sooner != works else found
    if sum(max(0, day - work.by) for day, work in zip(plain.by, works, strict=True)) < late:
        return plain, False
    return found, sooner != works


_once_assigned = lru_cache(maxsize=16)(assign)
"""Most edits of a course leave the pieces and the days as they are."""


def _sittings(jobs: Sequence[Job], people: Sequence[Person], found: Given) -> Iterator[Sitting]:
    """Cut everybody's line into sittings; a piece for which the days give out has none."""
    works, hands = [work_of(job, people) for job in jobs], [hands_of(person) for person in people]
    who = [p if day < NEVER else -1 for p, day in zip(found.who, found.by, strict=True)]
    behind, bench, by = [j for j, day in enumerate(found.by) if day > works[j].by], Bench(works, hands), found.by
    laid = bench.laid(who, by)
    while None in laid:  # pieces that dry in between leave gaps: all of that person's come later
        by = tuple(day + (p >= 0 and laid[p] is None) for p, day in zip(who, by, strict=True))
        laid = bench.laid(who, by)
    for person, hand, mine in zip(people, hands, laid, strict=True):
        for j, day, minutes in evenings(mine or [], hand, behind):
            yield Sitting(date.fromordinal(day), person.name, jobs[j].piece, minutes)


def _dry(job: Job, finished: date) -> date:
    return finished + timedelta(min(drying_days(job), LAST_DAY - finished.toordinal()))


def _late(
    jobs: Sequence[Job],
    people: Sequence[Person],
    assigned: Mapping[str, str],
    finished: Mapping[str, date],
    spare: int,
    words: Words,
) -> Iterator[Late]:
    """Every piece that is late or never done, by its letter."""
    for job in sorted(jobs, key=lambda one: one.piece):
        done = finished.get(job.piece)
        days = done.toordinal() + drying_days(job) - job.due.toordinal() if done else 0
        if done is None:
            yield Late(job.piece, None, why_never(job, people, words))
        elif days > 0:
            yield Late(job.piece, days, why_late(job, assigned[job.piece], done, days, people, spare))


def why_late(job: Job, person: str, done: date, days: int, people: Sequence[Person], spare: int) -> str:
    """Say how late a piece is, who knits it, what stands in the way, and what is left of the days to spare."""
    free = any(free_until(one, job.due) for one in people if one.name in job.minutes)
    due = short_date(job.due) + ("" if free else ", before anybody is free")
    dry = f" and leaves it {count_of(drying_days(job), 'day')} {job.leave}" if drying_days(job) else ""
    said = f"Piece {job.piece} is {count_of(days, 'day')} late: it is due on {due}, and {person} finishes it on"
    said += f" {short_date(done)}{dry}."
    if not spare:
        return said
    if days > spare:
        return f"{said} That is {count_of(days - spare, 'day')} too late for the shoot."
    return f"{said} That leaves {spare - days or 'none'} of the {count_of(spare, 'day')} to spare."


def why_never(job: Job, people: Sequence[Person], words: Words) -> str:
    """Say why nobody can make a piece."""
    nobody = f"Nobody can {words.make} piece {job.piece}"
    if not people:
        return f"{nobody}: the course names no {words.maker}."
    known = [one.name for one in people if usable_minutes(job, one) is not None]
    if not known:
        return f"{nobody}: no {words.maker} has a usable number of minutes for it."
    if all(whole_minutes(job, one) is None for one in people):
        have = "has" if len(known) == 1 else "have"
        return f"{nobody}: {listing(known)} {have} no hours a week."
    return f"{nobody} within ten years of {short_date(job.due)}."


def free_until(person: Person, day: date) -> bool:
    """Tell whether a person has a minute to knit until the end of a day."""
    return hands_of(person).until(day.toordinal()) > 0


def without_pieces(people: Sequence[Person], load: Mapping[str, int], jobs: Sequence[Job]) -> Iterator[str]:
    """Say for each knitter who gets no piece why that is so, where the reason is theirs."""
    last = max((job.due for job in jobs), default=None)
    for person in people:
        if last is None or load[person.name]:
            continue
        if not person.hours_per_week > 0:
            yield f"{person.name} has no hours a week and gets no piece."
        elif person.starts > last:
            yield f"{person.name} starts on {short_date(person.starts)}, after every piece is due."
        elif not free_until(person, last):
            yield f"{person.name} is away until every piece is due."


def not_as_agreed(
    jobs: Sequence[Job], assigned: Mapping[str, str], ready: Mapping[str, date], words: Words
) -> Iterator[str]:
    """Say which pieces go to somebody else than agreed, or are ready later than agreed though still in time."""
    for job in jobs:
        name = assigned.get(job.piece, job.knitter)
        if job.knitter and name != job.knitter:
            yield f"Piece {job.piece} was agreed with {job.knitter}, who cannot {words.make} it now; {name} does."
        if job.agreed and job.piece in ready and job.agreed < ready[job.piece] <= job.due:
            day, agreed = short_date(ready[job.piece]), short_date(job.agreed)
            yield f"Piece {job.piece} was agreed for {agreed} and is ready on {day}."
