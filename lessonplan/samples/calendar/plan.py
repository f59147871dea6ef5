"""Plan who knits which piece on which days, so that all is dry in time for the shoot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache

from lessonplan.course.model.groups import Words
from lessonplan.craft.words import KNITTING
from lessonplan.samples.calendar.assign import Bench, Given, assign, least_late
from lessonplan.samples.calendar.evenings import LAST_DAY, NEVER, drying_days, evenings, hands_of, work_of
from lessonplan.samples.calendar.jobs import Calendar, Job, Late, Person, Sitting
from lessonplan.samples.calendar.remedies import handed_over, remedies
from lessonplan.samples.calendar.sentences import not_as_agreed, why_late, why_never, without_pieces

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
