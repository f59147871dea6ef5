"""On the table: the page for a tablet beside the camera, on which takes are logged during a shoot day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonplan.documents.atshot import AtShot
from lessonplan.documents.floorwork import FloorJob, floor_jobs
from lessonplan.documents.runsheet import Line, Tray, run_sheet_view, slots_at
from lessonplan.documents.shotcards import waiting
from lessonplan.documents.shots import ShotText
from lessonplan.documents.standins import Instead
from lessonplan.documents.stints import Said, stints
from lessonplan.documents.wording import day_text
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from lessonplan.shoot.day import Day

_BETWEEN = ("change", "wait")


@dataclass(frozen=True, slots=True)
class TableShot:
    """One shot: its text, and when it is due. ``start``, ``end`` and ``ready`` are whole minutes after midnight.

    From ``ready`` on nothing but changes and waits stands before the shot: between ``ready`` and ``start`` the day is
    neither late nor early. ``before`` words what happens from the shot before to this one, lunch included. Of the work
    on pieces ``first`` is done before the camera runs, ``between`` its takes, ``meanwhile`` as it runs, ``then`` from
    the end of the shot on, in a pause or after the wrap. ``tray`` is laid out for the first shot of a segment;
    ``next_tray`` follows on the last. ``at``: what must be known at the shot beside its text. ``jobs``: the work that
    begins at it or after it, ``spoilt``: what may stand in for its pieces, both with their lines.
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
    place: str
    cameras: tuple[str, ...]
    shots: tuple[TableShot, ...]
    cautions: tuple[str, ...]


def table_view(plan: Plan, day: Day) -> TableView:
    """Lay out the page of one shoot day: its shots in filming order with all that is said, laid out and done."""
    file = plan.course.course
    return TableView(
        title=file.title,
        host=file.host,
        number=day.number + 1,
        day=day.day.isoformat(),
        day_text=day_text(day.day),
        place=file.shoot[day.number].place or file.place,
        cameras=tuple(camera.name for camera in file.cameras),
        shots=tuple(_shots(plan, day)),
        cautions=cautions(plan, "floor", day.number),
    )


def _shots(plan: Plan, day: Day) -> Iterator[TableShot]:
    sheet = run_sheet_view(plan, day)
    trays = {number: tray for tray in sheet.trays for number in tray.shots}
    ready = round(day.entries[0].start) if day.entries else 0
    before: list[str] = []
    told: list[Said] = []
    work = stints(plan)
    last: Tray | None = None
    for place, (entry, line) in enumerate(zip(day.entries, sheet.lines, strict=True)):
        begun = [said for slot in slots_at(plan, day, place) for said in work.get(slot, ()) if not said.crumb]
        if line.shot and line.at:
            then, following = _until_next_shot(sheet.lines[place + 1 :])
            number = line.shot.number
            first, between, meanwhile = _work_at(number, told, begun, line.at)
            mine, turned = trays[number], trays[following.number] if following else None
            yield TableShot(
                text=line.shot,
                time=line.time,
                minutes=line.minutes,
                ready=ready,
                start=round(entry.start),
                end=round(entry.end),
                before=tuple(one.replace("next tray", f"tray {mine.segment}") for one in before),
                first=first,
                between=between,
                meanwhile=meanwhile,
                then=then,
                at=line.at,
                jobs=tuple(job for job in sheet.jobs if job.at == number),
                spoilt=tuple(one for one in sheet.spoilt if one.number == number),
                tray=mine if mine is not last else None,
                next_tray=turned if turned is not mine else None,
            )
            before, told, last, begun = [], [], mine, []
        elif entry.kind == "wait":
            before.append(waiting(day, entry, floor_jobs(plan, day)))
        elif entry.end > entry.start:
            before.append(f"{line.text} ({line.minutes})" if line.text else line.kind)
        told += begun
        if entry.kind not in _BETWEEN:
            ready = round(entry.end)


def _work_at(number: str, told: Sequence[Said], begun: Sequence[Said], at: AtShot) -> tuple[tuple[str, ...], ...]:
    """Part the work that is told at a shot: done before it, between its takes, and while it is filmed.

    ``told``: begun since the shot before, where it is told too; ``begun``: in this one. What the host does is told
    where she does it, with the lines of short work; who is filmed works on nothing else.
    """
    first = (*at.before, *(said.text for said in told if said.due == number))
    between = (*at.between, *(said.text.removeprefix("Between takes, ") for said in begun if said.between))
    others = (said.text for said in begun if not (said.between or said.hosts))
    return tuple(tuple(dict.fromkeys(some)) for some in (first, between, (*others, *at.meanwhile)))


def _until_next_shot(lines: tuple[Line, ...]) -> tuple[tuple[str, ...], ShotText | None]:
    """What is knitted on before the next shot begins, or after the last one, and that shot."""
    jobs: list[str] = []
    for line in lines:
        if line.shot:
            return tuple(dict.fromkeys(jobs)), line.shot
        since = "" if line.kind == "wrap" else f"From {line.time} "
        jobs += [f"{since}{text}" for text in line.meanwhile]
    return tuple(dict.fromkeys(jobs)), None
