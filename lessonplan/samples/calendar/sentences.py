"""Sentences about pieces that come too late, knitters who cannot help, and agreements that cannot be kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from lessonplan.course.model.groups import Words
from lessonplan.course.words import count_of, listing, short_date
from lessonplan.samples.calendar.evenings import drying_days, hands_of, whole_minutes
from lessonplan.samples.calendar.jobs import Job, Person


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
    known = [one.name for one in people if 0 <= job.minutes.get(one.name, -1) < 1e9]
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
