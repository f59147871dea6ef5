"""On the table: the page for a tablet beside the camera, on which takes are logged during a shoot day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lessonplan.course.words import day_text
from lessonplan.documents.atshot import AtShot
from lessonplan.documents.floorwork import FloorJob, floor_jobs
from lessonplan.documents.runsheet import Line, Tray, run_sheet_view, slots_at
from lessonplan.documents.shotcards import waiting
from lessonplan.documents.shots import ShotText
from lessonplan.documents.standins import Instead
from lessonplan.documents.stints import Said, stints
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import Day

_BETWEEN = ("change", "wait")


@dataclass(frozen=True, slots=True)
class TableShot:
    """One shot: its text, and when it is due. ``start``, ``end`` and ``ready`` are whole minutes after midnight.

    From ``ready`` on nothing but changes and waits stands before the shot: between ``ready`` and ``start`` the day is
    neither late nor early. ``before`` words what happens from the shot before to this one, lunch included. ``first`` is
    done before the camera runs, with the first shot what holds for the whole day; of the work on pieces ``between`` is
    done between takes, ``meanwhile`` as it runs, ``then`` from the end of the shot on, in a pause or after the wrap.
    ``tray`` is laid out for the first shot of a segment; ``next_tray`` follows on the last. ``at``: what must be known
    at the shot beside its text. ``jobs``: the work that begins at it or after it, ``spoilt``: what may stand in for its
    pieces, both with their lines.
    """

    text: ShotText
    time: str
    minutes: str
    ready: int
    start: int
    end: int
    before: tuple[str, ...]
    first: tuple[str, ...]
    between: tuple[str, ...]
    meanwhile: tuple[str, ...]
    then: tuple[str, ...]
    at: AtShot
    jobs: tuple[FloorJob, ...]
    spoilt: tuple[Instead, ...]
    tray: Tray | None
    next_tray: Tray | None


@dataclass(frozen=True, slots=True)
class TableView:
    """What stands on the page of one shoot day. ``day`` is the planned date as ``2027-03-06``."""

    title: str
    host: str
    number: int
    day: str
    day_text: str
    cameras: tuple[str, ...]
    shots: tuple[TableShot, ...]
    cautions: tuple[str, ...]
    pieces: tuple[tuple[str, str], ...]
    notions: tuple[str, ...]


def table_view(plan: Plan, day: Day) -> TableView:
    """Lay out the page of one shoot day: its shots in filming order with all that is said, laid out and done."""
    file, sheet = plan.course.course, run_sheet_view(plan, day)
    return TableView(
        title=file.title,
        host=file.host,
        number=day.number + 1,
        day=day.day.isoformat(),
        day_text=day_text(day.day),
        cameras=tuple(camera.name for camera in file.cameras),
        shots=tuple(_shots(plan, day)),
        cautions=sheet.cautions,
        pieces=sheet.pieces,
        notions=sheet.notions,
    )


def _shots(plan: Plan, day: Day) -> Iterator[TableShot]:
    sheet = run_sheet_view(plan, day)
    trays = {number: tray for tray in sheet.trays for number in tray.shots}
    ready = round(day.entries[0].start) if day.entries else 0
    before: list[str] = []
    told: list[Said] = []
    work = stints(plan)
    head = [text for text in (sheet.missing, sheet.brought, sheet.unnamed) if text]
    last: Tray | None = None
    for place, (entry, line) in enumerate(zip(day.entries, sheet.lines, strict=True)):
        begun = [said for slot in slots_at(plan, day, place) for said in work.get(slot, ()) if not said.crumb]
        if line.shot and line.at:
            then, following = _until_next_shot(sheet.lines[place + 1 :])
            number = line.shot.number
            first = (*line.at.before, *(said.text for said in told if said.due == number))
            mine, turned = trays[number], trays[following.number] if following else None
            yield TableShot(
                text=line.shot,
                time=line.time,
                minutes=line.minutes,
                ready=ready,
                start=round(entry.start),
                end=round(entry.end),
                before=tuple(one.replace("next tray", f"tray {mine.segment}") for one in before),
                first=tuple(dict.fromkeys((*head, *first))),
                between=line.between,
                meanwhile=line.others,
                then=then,
                at=line.at,
                jobs=tuple(job for job in sheet.jobs if job.at == number),
                spoilt=tuple(one for one in sheet.spoilt if one.number == number),
                tray=mine if mine is not last else None,
                next_tray=turned if turned is not mine else None,
            )
            before, told, head, last, begun = [], [], [], mine, []
        elif entry.kind == "wait":
            before.append(waiting(plan, day, entry, floor_jobs(plan, day)))
        elif entry.end > entry.start:
            before.append(f"{line.text} ({line.minutes})" if line.text else line.kind)
        told += begun
        if entry.kind not in _BETWEEN:
            ready = round(entry.end)


def _until_next_shot(lines: tuple[Line, ...]) -> tuple[tuple[str, ...], ShotText | None]:
    """What is knitted on before the next shot begins, or after the last one, and that shot."""
    jobs: list[str] = []
    for line in lines:
        if line.shot:
            return tuple(dict.fromkeys(jobs)), line.shot
        since = "" if line.kind == "wrap" else f"From {line.time} "
        jobs += [f"{since}{text}" for text in line.meanwhile]
    return tuple(dict.fromkeys(jobs)), None
