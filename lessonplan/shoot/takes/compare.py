"""Planned against real: what shots, segments and shoot days took on the floor, beside what was planned.

The real floor time of a shot is the sum of its takes and of the gaps between takes that follow each other with no other
shot between. A gap longer than `PAUSE_MINUTES` is a pause (lunch, a rest) and does not count. Changes of view and tray
between shots belong to no shot.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from lessonplan.shoot.takes.log import USABLE, Take, in_order

PAUSE_MINUTES = 20.0  # nobody resets one shot for so long; the shortest usual meal break is 20 to 30 minutes


@dataclass(frozen=True, slots=True)
class PlannedShot:
    """What the plan says of one shot.

    ``segment`` is ``2.4`` for shot ``2.4.1``; ``stitches_weighted`` counts stitches worked live, each times its
    technique's time factor; ``take_seconds`` is the likely length of one take with its handles; ``floor_minutes`` the
    likely floor time; ``off_camera`` the minutes of it in which the camera waits for knitting; ``doing_seconds`` are
    those of handwork whose time the course gives.
    """

    number: str
    segment: str
    day: date
    view: str
    words: int
    stitches_weighted: float
    take_seconds: float
    floor_minutes: float
    takes: int
    off_camera: float = 0.0
    doing_seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class ShotRow:
    """One shot, planned and real. Minutes; ``real_minutes`` is None until a take of known length is logged.

    ``best`` is the take to use; ``slips`` counts takes with a slip of the tongue; ``days`` are the days on which it was
    really filmed.
    """

    number: str
    segment: str
    planned_day: date
    days: tuple[date, ...]
    planned_minutes: float
    real_minutes: float | None
    takes_planned: int
    takes_real: int
    slips: int
    best: Take | None

    @property
    def late_minutes(self) -> float:
        """Minutes over the plan (negative: under it); 0 while nothing is measured."""
        return 0.0 if self.real_minutes is None else self.real_minutes - self.planned_minutes


@dataclass(frozen=True, slots=True)
class SumRow:
    """A segment (``2.4``) or a day (``2027-03-06``): sums over its shots, in minutes.

    ``planned_so_far`` is the plan for the shots that are measured, so that ``late_minutes`` compares like with like;
    ``takes_planned`` are those of the shots that have a take. A day's shots are those planned for it and those really
    filmed on it; its minutes planned are of the first, its real figures of the second; ``first_start`` and
    ``last_stop`` are seconds after midnight.
    """

    name: str
    shots: int
    filmed: int
    good: int
    planned_so_far: float
    real_minutes: float
    takes_planned: int
    takes_real: int

    @property
    def late_minutes(self) -> float:
        """Minutes over the plan for what is measured so far (negative: under it)."""
        return self.real_minutes - self.planned_so_far


@dataclass(frozen=True, slots=True)
class PlannedReal:
    """Planned against real by shot (in the plan's order), segment and day; other shots are left out."""

    shots: tuple[ShotRow, ...]
    segments: tuple[SumRow, ...]
    days: tuple[SumRow, ...]


def planned_real(shots: Sequence[PlannedShot], takes: Iterable[Take]) -> PlannedReal:
    """Compare the plan with merged takes. Shots filmed on another day than planned count there for real."""
    ordered = in_order(takes)
    by_shot = takes_by_shot(ordered)
    minutes = floor_minutes(ordered)
    rows = tuple(_shot_row(shot, by_shot.get(shot.number, ()), minutes) for shot in shots)
    segments = tuple(
        _segment_row(name, [row for row in rows if row.segment == name])
        for name in dict.fromkeys(row.segment for row in rows)
    )
    planned = {row.number for row in rows}
    known = tuple(take for take in ordered if take.shot in planned)
    days = sorted({row.planned_day for row in rows} | {take.day for take in known})
    return PlannedReal(
        rows,
        segments,
        tuple(_day_row(day, rows, [take for take in known if take.day == day], minutes) for day in days),
    )


def takes_by_shot(takes: Iterable[Take]) -> dict[str, tuple[Take, ...]]:
    """Group takes by shot, each in the order in which they were filmed."""
    found: dict[str, list[Take]] = {}
    for take in in_order(takes):
        found.setdefault(take.shot, []).append(take)
    return {shot: tuple(several) for shot, several in found.items()}


def left_out(planned: Iterable[tuple[str, date]], takes: Sequence[Take]) -> tuple[str, ...]:
    """Give the shots, planned each on its day, that have no take though their day is there, by the last take's."""
    there, last = {take.shot for take in takes}, max((take.day for take in takes), default=date.min)
    return tuple(number for number, day in planned if day <= last and number not in there)


def best_take(takes: Sequence[Take]) -> Take | None:
    """Choose the take to use of a shot's takes in filming order; None when none is called usable.

    One without a slip of the tongue comes before any with one, then the better verdict, then the later take.
    """
    able = [(place, take) for place, take in enumerate(takes) if take.verdict in USABLE]
    return max(able, key=lambda one: (not one[1].slip, USABLE.index(one[1].verdict), one[0]), default=(0, None))[1]


def gaps(takes: Iterable[Take]) -> Iterator[tuple[Take, Take, int]]:
    """Yield takes that follow each other on one day, with the seconds between them (0 where they overlap).

    A gap next to a take without a start or, before the gap, without a stop is not known and left out.
    """
    ordered = in_order(takes)
    for before, after in pairwise(ordered):
        if before.day == after.day and before.stop is not None and before.start is not None and after.start is not None:
            yield before, after, max(0, after.start - before.stop)


def floor_minutes(takes: Iterable[Take]) -> dict[tuple[str, date], float]:
    """Real floor minutes by shot and day: its takes and the gaps between them, pauses left out (see the module)."""
    ordered = in_order(takes)
    minutes: dict[tuple[str, date], float] = {}
    for take in ordered:
        if take.seconds is not None:
            minutes[take.shot, take.day] = minutes.get((take.shot, take.day), 0.0) + take.seconds / 60
    for before, after, seconds in gaps(ordered):
        if before.shot == after.shot and seconds <= PAUSE_MINUTES * 60:
            minutes[after.shot, after.day] = minutes.get((after.shot, after.day), 0.0) + seconds / 60
    return minutes


def _shot_row(shot: PlannedShot, takes: Sequence[Take], minutes: Mapping[tuple[str, date], float]) -> ShotRow:
    days = tuple(sorted({take.day for take in takes}))
    known = [minutes[shot.number, day] for day in days if (shot.number, day) in minutes]
    return ShotRow(
        number=shot.number,
        segment=shot.segment,
        planned_day=shot.day,
        days=days,
        planned_minutes=shot.floor_minutes,
        real_minutes=sum(known) if known else None,
        takes_planned=shot.takes,
        takes_real=len(takes),
        slips=sum(bool(take.slip) for take in takes),
        best=best_take(takes),
    )


def _segment_row(name: str, rows: Sequence[ShotRow]) -> SumRow:
    measured = [row for row in rows if row.real_minutes is not None]
    return SumRow(
        name=name,
        shots=len(rows),
        filmed=sum(row.takes_real > 0 for row in rows),
        good=sum(row.best is not None for row in rows),
        planned_so_far=sum(row.planned_minutes for row in measured),
        real_minutes=sum(row.real_minutes or 0.0 for row in rows),
        takes_planned=sum(row.takes_planned for row in rows if row.takes_real),
        takes_real=sum(row.takes_real for row in rows),
    )


def _day_row(
    day: date, rows: Sequence[ShotRow], takes: Sequence[Take], minutes: Mapping[tuple[str, date], float]
) -> SumRow:
    filmed = {take.shot for take in takes}
    there = [row for row in rows if row.planned_day == day or row.number in filmed]
    return SumRow(
        name=day.isoformat(),
        shots=len(there),
        filmed=len(filmed),
        good=len({take.shot for take in takes if take.verdict in USABLE}),
        planned_so_far=sum(row.planned_minutes * _share(row, day, minutes) for row in rows),
        real_minutes=sum(minutes.get((row.number, day), 0.0) for row in rows),
        takes_planned=sum(row.takes_planned for row in there if row.number in filmed),
        takes_real=len(takes),
    )


def _share(row: ShotRow, day: date, minutes: Mapping[tuple[str, date], float]) -> float:
    """The part of a shot's real minutes that fell on a day: a shot taken up again is not planned for twice."""
    here = minutes.get((row.number, day))
    if here is None or not row.real_minutes:
        return float(here is not None and row.days[-1] == day)
    return here / row.real_minutes


def slips_kept(takes: Iterable[Take]) -> list[Take]:
    """Give the takes with a slip that may be seen: the take to use of each shot or, without one, those not judged."""
    found = []
    for several in takes_by_shot(takes).values():
        best = best_take(several)
        found += [take for take in several if take.slip and (take is best or not (best or take.verdict))]
    return list(in_order(found))
