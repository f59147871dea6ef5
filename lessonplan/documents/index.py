"""The index page: the course at a glance, and every document."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.model import Episode
from lessonplan.documents.samples import SamplesView, samples_view
from lessonplan.documents.wording import count_of, day_text, screen_time
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.worked import Plan
from lessonplan.shoot.clocks import on_screen
from lessonplan.shoot.day import Day


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
    course, clocks = plan.course, plan.worked.clocks
    samples = samples_view(plan)
    days = tuple(link for day in plan.days for link in _of_day(day))
    editors = tuple(
        Link(
            f"editor-{episode.episode}.html",
            f"Editor’s sheet, episode {episode.episode}",
            f"{episode.title}: {_length(plan, episode)} in {count_of(len(episode.segments), 'segment')}",
        )
        for episode in course.episodes
    )
    return IndexView(
        course.course.title,
        course.course.host,
        course.course.place,
        course.course.edition,
        fill(course.course.summary, for_all_sizes(plan.worked.facts)),
        samples.film_size,
        samples,
        (
            Link("step-samples.html", "Step samples", f"{samples.piece_count} to bring, {samples.planned} of work"),
            Link(
                "knitters.html",
                "Knitters",
                f"Who knits what by when: {count_of(len(course.course.knitters), 'knitter')}",
            ),
            *days,
            Link("shot-list.html", "Shot list", f"{count_of(len(clocks), 'shot')} by view"),
        ),
        editors,
        (
            Link("handout.html", "Handout", f"{course.pattern.title}, {count_of(len(course.pattern.sizes), 'size')}"),
            Link("errata.html", "Errata", count_of(len(course.errata.errata), "entry").replace("entrys", "entries")),
        ),
    )


def _length(plan: Plan, episode: Episode) -> str:
    clocks = plan.worked.clocks.values()
    return screen_time(on_screen(one for one in clocks if one.number.episode == episode.episode).expected)


def _of_day(day: Day) -> tuple[Link, ...]:
    number = day.number + 1
    return (
        Link(f"run-sheet-{number}.html", f"Run sheet, day {number}", day_text(day.day)),
        Link(f"table-{number}.html", f"On the table, day {number}", "for the tablet on the set, with the take log"),
        Link(f"cue-cards-{number}.html", f"Cue cards, day {number}", "counts, and words that are easily swapped"),
    )
