"""On the table: the page for a tablet beside the camera, on which takes are logged during a shoot day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lessonplan.documents.cautions import cautions
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.shots import ShotText
from lessonplan.documents.wording import day_text, duration
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import Day

_BETWEEN = ("change", "wait")


@dataclass(frozen=True, slots=True)
class TableShot:
    """One shot: its text, and when it is due. ``start``, ``end`` and ``ready`` are whole minutes after midnight.

    From ``ready`` on nothing but changes and waits stands before the shot: between ``ready`` and ``start`` the day is
    neither late nor early. ``before`` words what happens from the shot before to this one, lunch included;
    ``meanwhile`` what is knitted on in that time and during the shot.
    """

    text: ShotText
    time: str
    minutes: str
    ready: int
    start: int
    end: int
    before: tuple[str, ...]
    meanwhile: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TableView:
    """What stands on the page of one shoot day. ``day`` is the planned date as ``2027-03-06``."""

    title: str
    host: str
    number: int
    day: str
    day_text: str
    place: str
    shots: tuple[TableShot, ...]
    cautions: tuple[str, ...]


def table_view(plan: Plan, day: Day) -> TableView:
    """Lay out the page of one shoot day: its shots in filming order with all that is said, laid out and done."""
    file = plan.course.course
    return TableView(
        file.title,
        file.host,
        day.number + 1,
        day.day.isoformat(),
        day_text(day.day),
        file.shoot[day.number].place,
        tuple(_shots(plan, day)),
        cautions(plan, "floor"),
    )


def _shots(plan: Plan, day: Day) -> Iterator[TableShot]:
    before: list[str] = []
    meanwhile: list[str] = []
    ready = round(day.entries[0].start) if day.entries else 0
    for entry, line in zip(day.entries, run_sheet_view(plan, day).lines, strict=True):
        meanwhile += line.meanwhile
        if line.shot:
            start, end = round(entry.start), round(entry.end)
            once = tuple(dict.fromkeys(meanwhile))
            yield TableShot(line.shot, line.time, line.minutes, ready, start, end, tuple(before), once)
            before, meanwhile = [], []
        elif entry.end > entry.start:
            before.append(f"{line.text} ({duration(entry.end - entry.start)})" if line.text else line.kind)
        if entry.kind not in _BETWEEN:
            ready = round(entry.end)
