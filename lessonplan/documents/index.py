"""The index page: the course at a glance, and every document."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from lessonplan.course.model.episodes import Episode
from lessonplan.course.words import count_of
from lessonplan.craft.words import words_of
from lessonplan.documents.calendarentries import other_helpers, shoot_entries
from lessonplan.documents.editfiles import EDIT_FILES
from lessonplan.documents.errata import rows_still_met
from lessonplan.documents.knitters import knitters_view
from lessonplan.documents.papers import Reader, every_paper
from lessonplan.documents.samples import SamplesView, samples_view
from lessonplan.documents.today import TodayView, today_view
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.filmed.pickups import REMEDY
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import numbered


@dataclass(frozen=True, slots=True)
class Link:
    """A document on the index page; ``forms`` are the files that hold it: (name, form), if there are several."""

    href: str
    title: str
    text: str
    forms: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class IndexView:
    """What stands on the index page; ``again``: of pick-up shots alone."""

    title: str
    host: str
    place: str
    edition: str
    summary: str
    size: str
    samples: SamplesView
    today: TodayView
    errata: tuple[str, ...]
    again: bool
    for_host: tuple[Link, ...]
    for_knitters: tuple[Link, ...]
    for_editor: tuple[Link, ...]
    for_viewers: tuple[Link, ...]


def _edit_links(plan: Plan, episode: int) -> Iterator[Link]:
    """Link the files of an episode for the edit."""
    for one in (group for group in EDIT_FILES if group.is_there(plan, episode)):
        forms = one.names(episode)
        yield Link(forms[0][0], one.heading(plan, episode), "", forms)


def index_view(plan: Plan, today: date | None = None) -> IndexView:
    """Lay out the index page; ``today`` is the day from which it says what comes next."""
    course = plan.course
    samples, words = samples_view(plan), words_of(course.pattern)
    links: dict[Reader, list[Link]] = {"host": [], "knitters": [], "editor": [], "viewers": []}
    for paper, number, part in every_paper(plan):
        link = Link(
            f"{paper.name(number, words)}{paper.ending}",
            paper.heading(number, part, words),
            paper.about(plan, part),
        )
        links[paper.reader].append(link)
        if isinstance(part, Episode) and paper.reader == "editor":
            links["editor"] += _edit_links(plan, part.episode)
    links["host"].append(Link("shoot.ics", "Shoot days as a calendar", count_of(len(plan.days), "day")))
    if not plan.again:
        links["viewers"].append(Link("errata.atom", "Errata as a feed", "for readers of feeds: each new entry is told"))
    if course.course.release:
        many = count_of(len(course.episodes), "episode")
        links["viewers"].append(Link("release.ics", "Episodes as a calendar", many))
    for person in knitters_view(plan).people:
        if person.sittings:
            pieces = f"{count_of(len(person.pieces), 'piece')}, {person.total}, to start {person.starts}"
            links["knitters"].append(Link(person.file, f"Calendar of {person.name}", pieces))
    idle = [(one.file, one.name) for one in knitters_view(plan).people if not one.sittings]
    for file, name in (*idle, *other_helpers(plan)):
        if days := shoot_entries(plan, name):
            on_set = f"{count_of(len(days), 'day')} on the set"
            links["knitters"].append(Link(file, f"Calendar of {name}", on_set))
    return IndexView(
        title=course.course.title,
        host=course.course.host,
        place=course.course.place,
        edition=numbered(plan),
        summary=fill(course.course.summary, for_all_sizes(plan.worked.facts)),
        size=samples.film_size,
        samples=samples,
        today=today_view(plan, today),
        errata=tuple(
            f"{row.where}: {row.said}. Right: {row.right}."
            if plan.again
            else f"{row.where}: {row.said} ({row.stands}{'' if row.state == 'mended' else f'; remedy: {row.remedy}'})"
            for row in rows_still_met(plan)
            if not plan.again or (row.state != "mended" and row.remedy == REMEDY)
        ),
        again=plan.again,
        for_host=tuple(links["host"]),
        for_knitters=tuple(links["knitters"]),
        for_editor=tuple(links["editor"]),
        for_viewers=tuple(links["viewers"]),
    )
