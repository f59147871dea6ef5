"""The index page: the course at a glance, and every document."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.documents.papers import Reader, every_paper
from lessonplan.documents.samples import SamplesView, samples_view
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class Link:
    """A document on the index page."""

    href: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class IndexView:
    """What stands on the index page."""

    title: str
    host: str
    place: str
    edition: int
    summary: str
    size: str
    samples: SamplesView
    for_host: tuple[Link, ...]
    for_editor: tuple[Link, ...]
    for_viewers: tuple[Link, ...]


def index_view(plan: Plan) -> IndexView:
    """Lay out the index page."""
    course = plan.course
    samples = samples_view(plan)
    links: dict[Reader, list[Link]] = {"host": [], "editor": [], "viewers": []}
    for paper, number, part in every_paper(plan):
        link = Link(f"{paper.name(number)}{paper.ending}", paper.heading(number, part), paper.about(plan, part))
        links[paper.reader].append(link)
    return IndexView(
        title=course.course.title,
        host=course.course.host,
        place=course.course.place,
        edition=course.course.edition,
        summary=fill(course.course.summary, for_all_sizes(plan.worked.facts)),
        size=samples.film_size,
        samples=samples,
        for_host=tuple(links["host"]),
        for_editor=tuple(links["editor"]),
        for_viewers=tuple(links["viewers"]),
    )
