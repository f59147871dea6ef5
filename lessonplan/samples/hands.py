"""A person's days and minutes, and one person's pieces laid on them. Days are ordinals, minutes whole numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

LAST_DAY = date.max.toordinal()
"""The last day that a calendar can name."""

Job = tuple[int, int, int]
"""Index, minutes, day by whose end the hands are done."""


@dataclass(frozen=True, slots=True)
class Work:
    """A piece to give to somebody: minutes for each person (None: cannot), and the day to be done by."""

    minutes: tuple[int | None, ...]
    by: int


@dataclass(frozen=True, slots=True)
class Hands:
    """One person: ``share`` minutes on every day from ``starts`` that is not in ``away`` (sorted, apart, inclusive)."""

    share: int
    starts: int
    away: tuple[tuple[int, int], ...] = ()

    def days(self, first: int, last: int) -> int:
        """Days to knit on from first to last, both included."""
        first = max(first, self.starts)
        gone = sum(max(0, min(last, end) - max(first, begin) + 1) for begin, end in self.away)
        return max(0, last - first + 1) - gone if last >= first else 0

    def minutes(self, first: int, last: int) -> int:
        """Minutes from first to last, both included."""
        return self.share * self.days(first, last)

    def finish(self, minutes: int) -> int | None:
        """The day on which so many minutes are done when knitting from the start; None if there is none."""
        if not self.share:
            return None
        days, day = -(-minutes // self.share), self.starts
        for begin, end in self.away:
            if end < day:
                continue
            if begin - day >= days:
                break
            days -= max(0, begin - day)
            day = end + 1
        day += max(0, days - 1)
        return day if day <= LAST_DAY else None

    def back(self, day: int) -> int:
        """The last day to knit on that is not after the given one; it may lie before the start."""
        for begin, end in reversed(self.away):
            if begin <= day <= end:
                day = begin - 1
        return day

    def on(self, day: int) -> int:
        """The first day to knit on that is not before the given one."""
        day = max(day, self.starts)
        for begin, end in self.away:
            if begin <= day <= end:
                day = end + 1
        return day

    def from_day(self, day: int) -> Hands:
        """The same person not knitting before a day."""
        return replace(self, starts=max(day, self.starts))


def merged(away: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Periods sorted, turned the right way round, and joined where they touch."""
    joined: list[tuple[int, int]] = []
    for begin, end in sorted((min(pair), max(pair)) for pair in away):
        if joined and begin <= joined[-1][1] + 1:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((begin, end))
    return tuple(joined)


def backwards(jobs: Sequence[Job], hands: Hands) -> list[tuple[int, int, int]] | None:
    """Lay one person's pieces as late as possible, latest due last: (index, day, minutes) in order of time.

    None when they do not fit after the start. No other order starts later: it is the earliest-due rule with time
    turned round.
    """
    laid: list[tuple[int, int, int]] = []
    day, room = LAST_DAY + 1, 0
    for index, minutes, by in sorted(jobs, key=lambda job: (job[2], job[0]), reverse=True):
        if by < day:
            day, room = hands.back(by), hands.share
        while minutes > 0:
            if not room:
                day, room = hands.back(day - 1), hands.share
            if day < hands.starts or not hands.share:
                return None
            part = min(minutes, room)
            laid.append((index, day, part))
            minutes, room = minutes - part, room - part
    return laid[::-1]


def forwards(jobs: Sequence[Job], hands: Hands) -> list[tuple[int, int, int]]:
    """Lay one person's pieces as soon as possible, earliest due first. The share must not be 0."""
    laid: list[tuple[int, int, int]] = []
    day, room = hands.on(hands.starts), hands.share
    for index, minutes, _ in sorted(jobs, key=lambda job: (job[2], job[0])):
        while minutes > 0:
            if not room:
                day, room = hands.on(day + 1), hands.share
            part = min(minutes, room)
            laid.append((index, day, part))
            minutes, room = minutes - part, room - part
    return laid


def jobs_of(person: int, who: Sequence[int], by: Sequence[int], works: Sequence[Work]) -> list[Job]:
    """One person's pieces with their minutes and days."""
    return [(j, works[j].minutes[person] or 0, by[j]) for j, p in enumerate(who) if p == person]


def first_day(who: Sequence[int], by: Sequence[int], works: Sequence[Work], hands: Sequence[Hands]) -> int | None:
    """The first day on which anybody knits when all start as late as possible; None when it does not fit."""
    first = LAST_DAY
    for p, one in enumerate(hands):
        laid = backwards(jobs_of(p, who, by, works), one)
        if laid is None:
            return None
        if laid:
            first = min(first, laid[0][1])
    return first
