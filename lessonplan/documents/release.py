"""The page of the episodes: when each comes out, what to have ready for it, and the hours of work after it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonplan.course.words import day_text
from lessonplan.craft import tables
from lessonplan.craft.words import words_of
from lessonplan.documents.choices import ways_named
from lessonplan.documents.ready import Ready, ready, sizes_named, work_of, yarns_named
from lessonplan.documents.wording import hours
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import numbered
from lessonplan.publish.homework import PACES, Homework, all_quarters, homework, quarters, stages_in


@dataclass(frozen=True, slots=True)
class HoursRow:
    """Hours of work in one size, worked in one way: at a slow, a middling and a quick pace."""

    size: str
    way: str
    hours: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EpisodeRow:
    """One episode: its day, what to have ready for it, what is worked after it, and for how long."""

    ready: Ready
    day: str
    work: str
    until: str
    rows: tuple[HoursRow, ...]
    drying: str


@dataclass(frozen=True, slots=True)
class HomeworkView:
    """What stands on the page of the episodes. ``paces`` are the columns of hours, one where the craft has no pace.

    ``sizes`` names those of numbers in brackets, ``yarns`` says their colours.
    ``whole``: all episodes together, their hours added up.
    """

    title: str
    course: str
    edition: str
    host: str
    sizes: str
    yarns: str
    paces: tuple[str, ...]
    ways: bool
    episodes: tuple[EpisodeRow, ...]
    whole: tuple[HoursRow, ...]


def homework_view(plan: Plan) -> HomeworkView:
    """Lay out the episodes of a course with the homework between them."""
    file, homes = plan.course.course, homework(plan)
    return HomeworkView(
        title=plan.course.pattern.title,
        course=file.title,
        edition=numbered(plan),
        host=file.host,
        sizes=sizes_named(plan),
        yarns=yarns_named(plan),
        paces=tuple(
            f"{name.capitalize()}: {tables.pace(name):g} a minute" if _paced(plan) else "Hours" for name in _paces(plan)
        ),
        ways=len(ways_named(plan.worked)) > 1,
        episodes=tuple(
            EpisodeRow(
                ready=one,
                day=day_text(home.released) if home.released else "",
                work=work_of(plan, home),
                until=_until(homes[place : place + 2]),
                rows=tuple(_rows(plan, home)),
                drying=f"{one.rests}, without anybody’s hands" if one.rests else "",
            )
            for place, (home, one) in enumerate(zip(homes, ready(plan), strict=True))
        ),
        whole=tuple(_whole(plan)) if len(homes) > 1 else (),
    )


def _whole(plan: Plan) -> Iterator[HoursRow]:
    """Give the hours of all episodes together: every size as filmed, and for each choice."""
    for way in ways_named(plan.worked):
        for number, size in enumerate(plan.course.pattern.sizes):
            each = (all_quarters(plan, way, number, pace) for pace in _paces(plan))
            yield HoursRow(size.name, way.name or "as filmed", tuple(hours(taken) for taken in each))


def homework_table(view: HomeworkView) -> tuple[tuple[str, ...], ...]:
    """Give the hours as rows for a spreadsheet, a heading first."""
    head = ("episode", "title", "day", "work", "size", "way", *_columns(view), "edition")
    rows = (
        (str(one.ready.episode), one.ready.title, one.day, one.work, row.size, row.way, *row.hours, view.edition)
        for one in view.episodes
        for row in one.rows
    )
    return (head, *rows, *(("all", "", "", "", row.size, row.way, *row.hours, view.edition) for row in view.whole))


def _columns(view: HomeworkView) -> tuple[str, ...]:
    return tuple(f"hours_{name}" for name in PACES) if len(view.paces) > 1 else ("hours",)


def _paced(plan: Plan) -> bool:
    """Whether the craft's work has a pace; where it only takes its minutes, all viewers take them."""
    return bool(words_of(plan.course.pattern).pace)


def _paces(plan: Plan) -> tuple[str, ...]:
    return PACES if _paced(plan) else PACES[:1]


def _rows(plan: Plan, home: Homework) -> list[HoursRow]:
    """Give the hours after an episode: every size as filmed, and again for each way in which they are others."""
    sizes = plan.course.pattern.sizes
    found = dict[tuple[tuple[str, ...], ...], str]()
    for way in ways_named(plan.worked):
        if tuple(stages_in(plan, home, way)) or home.more:
            each = (
                tuple(hours(quarters(plan, home, way, n, pace)) for pace in _paces(plan)) for n in range(len(sizes))
            )
            found.setdefault(tuple(each), way.name or "as filmed")
    return [
        HoursRow(size.name, way, taken) for each, way in found.items() for size, taken in zip(sizes, each, strict=True)
    ]


def _until(homes: Sequence[Homework]) -> str:
    """Say until when the work of an episode is to be done."""
    if len(homes) < 2:
        return "after the last episode"
    after = homes[1]
    return f"until episode {after.episode}" + (f", {day_text(after.released)}" if after.released else "")
