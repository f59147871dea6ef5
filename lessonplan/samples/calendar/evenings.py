"""A person's evenings as one line of minutes, and pieces laid on it. Days are ordinals, minutes whole numbers.

Planning guesses, from memory: a week's hours are spread evenly, so a knitter has a seventh of them, in
whole minutes, on every day that is not away; a piece stays with one person, who knits one piece after another; the
last minutes of a day are knitted in the evening, so drying counts from midnight on, in whole days. Where a piece must
dry before it is gone on with, others are knitted meanwhile, and it is taken up again from six in the evening on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from lessonplan.samples.calendar.jobs import Job, Pause, Person

LAST_DAY = date.max.toordinal()
"""The last day that a calendar can name."""

NEVER = 10**7
"""A day after all days: what ends then is never done."""

SHORT = 10
"""Minutes. For less than this nobody takes a piece out, or takes it up again the next evening."""

LONGEST = 1e9
"""Minutes beyond which nothing is reckoned: some 1,900 years."""

SIX = 6 * 60
"""Minutes from six in the evening, when a knitter sits down, to midnight."""

Part = tuple[int, int]
"""Minutes worked one after another, and the days after them on which a piece still dries when a knitter sits down."""


@dataclass(frozen=True, slots=True)
class Work:
    """A piece as numbers: minutes for each person (None: cannot), and the day by whose end the hands are done.

    ``parts``: for each person the minutes cut where something must dry. Such a piece is looked at as if all of it were
    done in one go, so many days before (``later``) the last part is in truth: with what is knitted meanwhile it fits
    as well then, or better.
    """

    minutes: tuple[int | None, ...]
    by: int
    parts: tuple[tuple[Part, ...], ...] = ()
    later: int = 0

    def parts_of(self, person: int) -> tuple[Part, ...]:
        """The parts that a person works."""
        return self.parts[person] if self.parts else ((self.minutes[person] or 0, 0),)


@dataclass(frozen=True, slots=True)
class Hands:
    """One person: ``share`` minutes on every day of the ``spans`` (first and last day, in order, apart).

    One after another these minutes make the person's line. On it, pieces that follow each other without a gap are
    plain addition, whatever days away lie between.
    """

    share: int
    spans: tuple[tuple[int, int], ...]

    def until(self, day: int) -> int:
        """Minutes from the person's beginning to the end of a day."""
        return self.share * sum(max(0, min(day, last) - first + 1) for first, last in self.spans)

    def day(self, minute: int) -> int:
        """The day on which a minute of the line (the first is 0) is knitted; `NEVER` when there is none."""
        days = minute // self.share if self.share else NEVER
        for first, last in self.spans:
            if days <= last - first:
                return first + days
            days -= last - first + 1
        return NEVER


def daily_share(hours_per_week: float) -> int:
    """Whole minutes on each day to knit on: a seventh of the week's, at least one; 0 for no hours."""
    return max(1, math.floor(min(hours_per_week, 168.0) * 60 / 7 + 0.5)) if hours_per_week > 0 else 0


def hands_of(person: Person) -> Hands:
    """The person's days and minutes as numbers; a period away may be written the wrong way round."""
    spans, start = [], person.starts.toordinal()
    for begin, end in sorted((min(period).toordinal(), max(period).toordinal()) for period in person.away):
        if start < begin:
            spans.append((start, begin - 1))
        start = max(start, end + 1)
    return Hands(daily_share(person.hours_per_week), (*spans, (start, LAST_DAY)))


def work_of(job: Job, people: Sequence[Person]) -> Work:
    """The piece as numbers: whole minutes, and the day whose end leaves time to dry.

    It is nobody else's than the agreed knitter's, if that one can knit it at all. The day agreed is not looked at.
    """
    minutes = [whole_minutes(job, person) for person in people]
    kept = [m if person.name == job.knitter else None for person, m in zip(people, minutes, strict=True)]
    parts, later = tuple(_parts(job, person) for person in people) if job.pauses else (), 0
    for number, pause in enumerate(job.pauses, 1):
        shares = [(mine[number][0], hands_of(one).share) for mine, one in zip(parts, people, strict=True) if mine]
        later += _days_between(pause) + max((math.ceil(mine / share) for mine, share in shares), default=0)
    by = job.due.toordinal() - drying_days(job) - later
    return Work(tuple(kept if any(kept) else minutes), by, parts, later)


def whole_minutes(job: Job, person: Person) -> int | None:
    """Minutes that a person needs, at least one; None for who cannot knit it or never knits."""
    return sum(minutes for minutes, _ in _parts(job, person)) or None


def usable_minutes(job: Job, person: Person) -> float | None:
    """Minutes that a person is said to need; None where that is no number of minutes, or no end of them."""
    minutes = job.minutes.get(person.name, -1.0)
    return minutes if 0 <= minutes < LONGEST else None


def _parts(job: Job, person: Person) -> tuple[Part, ...]:
    """The parts of a piece, each of at least a minute, with the days between; none for who cannot or never knits."""
    minutes = usable_minutes(job, person)
    if minutes is None or not person.hours_per_week > 0:
        return ()
    done, found = 0, list[Part]()
    for pause in (*job.pauses, None):
        until = minutes if pause is None else pause.after.get(person.name, 0.0)
        part = max(1, round(until) - done)  # as papers print it at the host’s pace: hers may be the same
        found.append((part, _days_between(pause) if pause else 0))
        done += part
    return tuple(found)


def _days_between(pause: Pause) -> int:
    """Days on which a piece still dries at six in the evening, from the midnight after its sitting."""
    return math.ceil((min(pause.drying, LONGEST) + SIX) / 1440) - 1


def drying_days(job: Job) -> int:
    """Whole days from the midnight after the last sitting."""
    return math.ceil(min(job.drying, LONGEST) / 1440) if job.drying > 0 else 0


def backwards(mine: Sequence[tuple[int, tuple[Part, ...], int]], hands: Hands) -> list[tuple[int, int, int]] | None:
    """Lay one person's pieces (number, parts, day to be done by) as late as possible on the line.

    Gives number, first minute and end of each part in order of time; None when they do not fit. Without pieces of
    several parts no order starts later: it is the earliest-due rule with time turned round.
    """
    laid, free, waiting = [], hands.until(LAST_DAY), [(by, j, parts) for j, parts, by in mine]
    while waiting and free >= 0:
        by, j, (*before, (minutes, _)) = waiting.pop(waiting.index(max(waiting)))
        end = min(free, hands.until(by))
        free = end - minutes
        laid.append((j, free, end))
        if before and free >= 0:
            waiting.append((hands.day(free) - 1 - before[-1][1], j, tuple(before)))
    return laid[::-1] if free >= 0 else None


def evenings(
    laid: Sequence[tuple[int, int, int]], hands: Hands, late: Sequence[int] = ()
) -> Iterator[tuple[int, int, int]]:
    """Cut what is laid into sittings: number, day, minutes.

    A piece that would be begun with less than `SHORT` minutes is begun at its next sitting, and one that lacks less
    is finished the evening before, so an evening may be longer than its share, but by less than that. ``late`` pieces
    are not finished sooner so: they keep the days late that were computed.
    """
    short, sat = min(SHORT, hands.share), dict[int, int]()
    for j, begin, end in laid:
        cuts = [begin, *range(begin - begin % hands.share + hands.share, end, hands.share), end]
        parts = [[hands.day(cut), after - cut] for cut, after in pairwise(cuts)]
        if len(parts) > 1 and parts[0][1] < short:
            parts[1][1] += parts.pop(0)[1]
        if len(parts) > 1 and parts[-1][1] < short and j not in late:
            before, minutes = parts[-2]
            if sat.get(before, 0) + minutes + parts[-1][1] < hands.share + SHORT:
                parts[-2][1] += parts.pop()[1]
        for day, minutes in parts:
            sat[day] = sat.get(day, 0) + minutes
            yield j, day, minutes
