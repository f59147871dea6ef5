"""The knitters' calendar: who knits which piece on which days, so that all is dry in time for the shoot.

Planning assumptions, all common practice: a week's hours are spread evenly, so a knitter has a seventh of them, in
whole minutes, on every day that is not away; a piece stays with one person, who knits one piece after another; the
last minutes of a day are knitted in the evening, so drying counts from midnight on, in whole days.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lessonplan.samples.hands import LAST_DAY, Hands, Work, backwards, forwards, jobs_of, merged
from lessonplan.samples.lateness import Late, day_words, explain, listing, without_pieces

if TYPE_CHECKING:
    from lessonplan.samples.workload import Assignment

MOST_LATE = 3653
"""A piece that nobody could finish within ten years after its day is nobody's."""


@dataclass(frozen=True, slots=True)
class Job:
    """One piece to knit before the shoot.

    ``piece``: its letter. ``what``: to which state, in words. ``minutes``: hands-on minutes by knitter's name; a
    knitter who is not in it cannot knit the piece. ``drying``: minutes to lie untouched after the last of them.
    ``due``: done and dry by the end of this day, the days to spare taken off already. A piece of no minutes for
    anybody is there already and appears nowhere in the calendar.
    """

    piece: str
    what: str
    minutes: Mapping[str, float]
    drying: float
    due: date


@dataclass(frozen=True, slots=True)
class Person:
    """A knitter. ``starts``: first day they may knit. ``away``: days without knitting, first and last included."""

    name: str
    hours_per_week: float
    starts: date
    away: tuple[tuple[date, date], ...] = ()


@dataclass(frozen=True, slots=True)
class Sitting:
    """So many minutes (whole) on this piece on this day."""

    day: date
    person: str
    piece: str
    minutes: int


@dataclass(frozen=True, slots=True)
class Calendar:
    """Who knits what and when.

    ``sittings``: by day. ``assigned``: person of each piece. ``latest_start``: day on which each person with work
    must start at the latest for this plan; ``piece_start`` and ``finished``: first and last day of each piece;
    ``ready``: the day by whose end it is dry too. ``load``: minutes of each person. ``late``: what is not done in
    time, each with a sentence; ``least_late``: proven least total of those days, apart from pieces that nobody can
    knit. ``optimal``: proven least total lateness, then (with the days found for late pieces) latest start, then (to
    within half a day's share) most even load in proportion to hours.
    ``remarks``: sentences about knitters who cannot help. ``remedies``: sentences, each of which alone brings every
    piece in time, computed by planning again.
    """

    sittings: tuple[Sitting, ...] = ()
    assigned: Mapping[str, str] = field(default_factory=dict)
    latest_start: Mapping[str, date] = field(default_factory=dict)
    piece_start: Mapping[str, date] = field(default_factory=dict)
    finished: Mapping[str, date] = field(default_factory=dict)
    ready: Mapping[str, date] = field(default_factory=dict)
    load: Mapping[str, int] = field(default_factory=dict)
    late: tuple[Late, ...] = ()
    least_late: int = 0
    optimal: bool = True
    remarks: tuple[str, ...] = ()
    remedies: tuple[str, ...] = ()


def plan_calendar(
    jobs: Sequence[Job],
    people: Sequence[Person],
    *,
    spare: int = 0,
    today: date | None = None,
    time_limit: float = 20.0,
) -> Calendar:
    """Plan who knits what on which days: least total lateness, then the latest start, then even load.

    ``spare``: the days to spare that were taken off the due dates. ``today``: no remedy starts before it.
    ``time_limit``: seconds in all; when they are used up the best found so far is given and not called optimal.
    Whoever has a late piece starts as soon as they may; everybody else as late as they can. Names of pieces and
    of people are taken to be different. What cannot be is said in ``late`` and ``remarks``; nothing is raised.
    """
    from lessonplan.samples.assignment import Clock, assign
    from lessonplan.samples.remedies import remedies

    clock = Clock(time_limit)
    jobs = [job for job in jobs if not job.minutes or any(job.minutes.values())]
    works, hands = [work_of(job, people) for job in jobs], [hands_of(person) for person in people]
    chosen = [j for j, work in enumerate(works) if _possible(work, hands)]
    picked = [works[j] for j in chosen]
    found = assign(picked, hands, clock.part(0.7))
    calendar = _calendar([jobs[j] for j in chosen], people, picked, hands, found)
    never = [Late(jobs[j].piece, None, _never(jobs[j], people)) for j in range(len(jobs)) if j not in chosen]
    late = tuple(sorted((*calendar.late, *never), key=lambda one: one.piece))
    mend = remedies(works, hands, people, late, clock, spare=spare, today=today) if late else ()
    return Calendar(
        calendar.sittings, calendar.assigned, calendar.latest_start, calendar.piece_start, calendar.finished,
        calendar.ready, calendar.load, late, found.bound, found.optimal,
        without_pieces(people, calendar.load, [job.due for job in jobs]), mend,
    )  # fmt: skip


def daily_share(hours_per_week: float) -> int:
    """Whole minutes on each day to knit on: a seventh of the week's, at least one; 0 for no hours."""
    if not hours_per_week > 0:
        return 0
    return max(1, math.floor(min(hours_per_week, 168.0) * 60 / 7 + 0.5))


def hands_of(person: Person) -> Hands:
    """The person's days and minutes as numbers."""
    away = merged((first.toordinal(), last.toordinal()) for first, last in person.away)
    return Hands(daily_share(person.hours_per_week), person.starts.toordinal(), away)


def work_of(job: Job, people: Sequence[Person]) -> Work:
    """The piece as numbers: minutes rounded up, and the day whose end leaves time to dry."""
    minutes = tuple(_whole(job.minutes.get(person.name)) for person in people)
    return Work(minutes, job.due.toordinal() - drying_days(job.drying))


def drying_days(drying: float) -> int:
    """Whole days from the midnight after the last sitting."""
    return math.ceil(min(drying, 1e9) / 1440) if drying > 0 else 0


def _whole(minutes: float | None) -> int | None:
    if minutes is None or not 0 <= minutes < 1e9:
        return None
    return math.ceil(minutes - 1e-6)


def _possible(work: Work, hands: Sequence[Hands]) -> bool:
    ends = (hand.finish(m) for hand, m in zip(hands, work.minutes, strict=True) if m is not None)
    return any(end is not None and end <= max(work.by, hand_start(hands)) + MOST_LATE for end in ends)


def hand_start(hands: Sequence[Hands]) -> int:
    """The first day on which anybody may knit; 0 without anybody."""
    return min((hand.starts for hand in hands), default=0)


def _never(job: Job, people: Sequence[Person]) -> str:
    """Why nobody can knit a piece."""
    if not people:
        return f"Nobody can knit piece {job.piece}: the course names no knitter."
    known = [person for person in people if _whole(job.minutes.get(person.name)) is not None]
    if not known:
        return f"Nobody can knit piece {job.piece}: no knitter has a usable number of minutes for it."
    if not any(daily_share(person.hours_per_week) for person in known):
        names = listing([person.name for person in known])
        return f"Nobody can knit piece {job.piece}: {names} {'has' if len(known) == 1 else 'have'} no hours a week."
    return f"Nobody can knit piece {job.piece} within ten years of {day_words(job.due)}."


def _calendar(
    jobs: Sequence[Job], people: Sequence[Person], works: Sequence[Work], hands: Sequence[Hands], found: Assignment
) -> Calendar:
    """Lay the sittings of everybody and read off what follows from them."""
    sittings: list[Sitting] = []
    load = {person.name: 0 for person in people}
    for p, person in enumerate(people):
        mine = jobs_of(p, found.who, found.by, works)
        behind = any(by > works[j].by for j, _, by in mine)
        laid = None if behind else backwards(mine, hands[p])
        for j, day, minutes in forwards(mine, hands[p]) if laid is None else laid:
            sittings.append(Sitting(date.fromordinal(min(day, LAST_DAY)), person.name, jobs[j].piece, minutes))
            load[person.name] += minutes
    sittings.sort(key=lambda s: (s.day, s.person))  # what one person does on one day stays in order
    starts = {s.person: s.day for s in reversed(sittings)}
    piece_start = {s.piece: s.day for s in reversed(sittings)}
    finished = {s.piece: s.day for s in sittings}
    assigned = {job.piece: people[p].name for job, p in zip(jobs, found.who, strict=True)}
    ready, late = {}, []
    for job in jobs:
        if job.piece in finished:
            done, days = finished[job.piece], drying_days(job.drying)
            ready[job.piece] = done + timedelta(min(days, LAST_DAY - done.toordinal()))
            behind_by = done.toordinal() + days - job.due.toordinal()
            if behind_by > 0:
                sentence = explain(job, assigned[job.piece], done, behind_by, people)
                late.append(Late(job.piece, behind_by, sentence))
    return Calendar(tuple(sittings), assigned, starts, piece_start, finished, ready, load, tuple(late))
