"""The page of the parts: when each comes out, what to have ready for it, and the hours of work after it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from lessonplan.craft import tables
from lessonplan.craft.lengths import sizes_text
from lessonplan.documents.ready import Ready, ready
from lessonplan.documents.wording import day_text, duration, listing
from lessonplan.pattern.ways import Way
from lessonplan.planning.worked import Plan
from lessonplan.publish.homework import PACES, Homework, homework, minutes, stages_in


@dataclass(frozen=True, slots=True)
class HoursRow:
    """Hours of work in one size, worked in one way: at a slow, a middling and a quick pace."""

    size: str
    way: str
    hours: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part: its day, what to have ready for it, what is worked after it, and for how long."""

    ready: Ready
    day: str
    work: str
    until: str
    rows: tuple[HoursRow, ...]
    drying: str


@dataclass(frozen=True, slots=True)
class PartsView:
    """What stands on the page of the parts. ``paces`` are the columns of hours."""

    title: str
    course: str
    edition: int
    host: str
    paces: tuple[str, ...]
    ways: bool
    parts: tuple[PartRow, ...]


def parts_view(plan: Plan) -> PartsView:
    """Lay out the parts of a course with the homework between them."""
    file, homes = plan.course.course, homework(plan)
    return PartsView(
        title=plan.course.pattern.title,
        course=file.title,
        edition=file.edition,
        host=file.host,
        paces=tuple(f"{name.capitalize()}: {tables.pace(name):g} a minute" for name in PACES),
        ways=len(_ways(plan)) > 1,
        parts=tuple(
            PartRow(
                ready=one,
                day=day_text(home.released) if home.released else "",
                work=work_of(plan, home),
                until=_until(homes[place : place + 2]),
                rows=tuple(_rows(plan, home)),
                drying=f"{duration(home.drying)} to dry, without anybody’s hands" if home.drying else "",
            )
            for place, (home, one) in enumerate(zip(homes, ready(plan), strict=True))
        ),
    )


def parts_table(view: PartsView) -> tuple[tuple[str, ...], ...]:
    """Give the hours as rows for a spreadsheet, a heading first."""
    head = ("part", "title", "day", "work", "size", "way", *(f"hours_{name}" for name in PACES))
    rows = (
        (str(part.ready.episode), part.ready.title, part.day, part.work, row.size, row.way, *row.hours)
        for part in view.parts
        for row in part.rows
    )
    return (head, *rows)


def work_of(plan: Plan, home: Homework) -> str:
    """Word what is worked after a part: its stages, and the further pieces after the last."""
    titles = [plan.course.pattern.stages[key].title for key in home.stages]
    more = {0: (), 1: ("the second one from the beginning",)}.get(
        home.more, (f"the other {home.more} from the beginning",)
    )
    return listing([*titles, *more])


def hours_of(plan: Plan, home: Homework) -> str:
    """Word the hours after a part in all sizes, from a middling pace to a slow one, as filmed."""
    filmed, sizes = plan.worked.ways[0], range(len(plan.course.pattern.sizes))
    ends = [
        sizes_text([hours(minutes(plan, home, filmed, size, pace)) for size in sizes]) for pace in ("middling", "slow")
    ]
    return f"{ends[0]}\u00a0h" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}\u00a0h"


def hours(taken: float) -> str:
    """Word minutes as hours, quarters up to two and halves from there, never less than they are: ``1¾``, ``6½``."""
    quarters = ceil(taken / 15 - 1e-9)
    if quarters > 8:
        quarters = 2 * ceil(taken / 30 - 1e-9)
    whole, rest = divmod(quarters, 4)
    return f"{whole or ''}{('', '¼', '½', '¾')[rest]}" or "0"


def _ways(plan: Plan) -> tuple[Way, ...]:
    """Give the filmed way and those that differ from it in one thing."""
    return (plan.worked.ways[0], *(way for way in plan.worked.ways[1:] if way.name))


def _rows(plan: Plan, home: Homework) -> list[HoursRow]:
    """Give the hours of a part: every size as filmed, and again for each way in which the part is another."""
    found, filmed = list[HoursRow](), dict[int, tuple[str, ...]]()
    for way in _ways(plan):
        if not tuple(stages_in(plan, home, way)):
            continue
        for number, size in enumerate(plan.course.pattern.sizes):
            taken = tuple(hours(minutes(plan, home, way, number, pace)) for pace in PACES)
            if filmed.setdefault(number, taken) != taken or not way.name:
                found.append(HoursRow(size.name, way.name or "as filmed", taken))
    return found


def _until(homes: Sequence[Homework]) -> str:
    """Say until when the work of a part is to be done."""
    if len(homes) < 2:
        return "after the last part"
    after = homes[1]
    return f"until part {after.episode}" + (f", {day_text(after.released)}" if after.released else "")
