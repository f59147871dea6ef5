"""Sentences about pieces that come too late and knitters who cannot help."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lessonplan.samples.calendar import Job, Person

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True, slots=True)
class Late:
    """A piece that is not done in time: by how many days (None: never), and why, in a sentence."""

    piece: str
    days: int | None
    sentence: str


def day_words(day: date) -> str:
    """Word a date: ``Sat 6 Mar 2027``, in English whatever the machine's language."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def days_words(count: int) -> str:
    """Word a number of days: ``1 day``, ``4 days``."""
    return "1 day" if count == 1 else f"{count} days"


def hours_words(hours: float) -> str:
    """Word hours to the half: ``3 h``, ``2.5 h``."""
    return f"{hours:g} h"


def listing(names: Sequence[str]) -> str:
    """Join names with commas and an “and”."""
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def explain(job: Job, person: str, done: date, days: int, people: Sequence[Person]) -> str:
    """Say how late a piece is, who knits it, and what stands in the way."""
    dry = days_words((job.due - done).days + days)
    done_text = f"{person} finishes it on {day_words(done)}" + (
        f" and leaves it {dry} to dry" if job.drying > 0 else ""
    )
    late = f"{days_words(days)} late"
    due = day_words(job.due)
    if all(one.starts > job.due for one in people):
        return f"Piece {job.piece} is due on {due}, before anybody starts; {done_text}, {late}."
    if not any(_free(one, job.due) for one in people if one.name in job.minutes):
        return f"Nobody is free before piece {job.piece} is due on {due}; {done_text}, {late}."
    return f"Piece {job.piece} is {late}: it is due on {due}, and {done_text}."


def _free(person: Person, last: date) -> bool:
    """Whether the person has a day with hours until ``last``."""
    day = person.starts
    for begin, end in sorted((min(pair), max(pair)) for pair in person.away):
        if begin <= day <= end:
            if end == date.max:
                return False
            day = end + timedelta(1)
    return person.hours_per_week > 0 and day <= last


def without_pieces(people: Sequence[Person], load: Mapping[str, int], due: Sequence[date]) -> tuple[str, ...]:
    """Say for each knitter who gets no piece why that is so, where the reason is theirs."""
    remarks = []
    for person in people:
        if not due or load.get(person.name):
            continue
        if not person.hours_per_week > 0:
            remarks.append(f"{person.name} has no hours a week and gets no piece.")
        elif person.starts > max(due):
            remarks.append(f"{person.name} starts on {day_words(person.starts)}, after every piece is due.")
        elif not _free(person, max(due)):
            remarks.append(f"{person.name} is away until every piece is due.")
    return tuple(remarks)
