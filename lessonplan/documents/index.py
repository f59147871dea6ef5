"""The index page: the course at a glance, what is to be done next, and every document."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from lessonplan.course.model.episodes import Episode
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import count_of, day_text, listing, short_day
from lessonplan.craft.words import file_word, words_of
from lessonplan.documents.arrivals import arrival, done_day, from_drawer, too_late
from lessonplan.documents.calendarentries import other_helpers, shoot_entries
from lessonplan.documents.editfiles import EDIT_FILES
from lessonplan.documents.errata import rows_still_met
from lessonplan.documents.filmed import Filmed, filmed_shots
from lessonplan.documents.knitters import knitters_view
from lessonplan.documents.papers import Reader, every_paper
from lessonplan.documents.samples import SamplesView, samples_view
from lessonplan.documents.shots import all_shots
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.filmed.pickups import REMEDY
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import numbered
from lessonplan.samples.knitters import begun_at
from lessonplan.shoot.day import clock
from lessonplan.shoot.takes.compare import left_out


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


DONE = 0.5
"""A piece with fewer minutes left to knit than these is ready."""


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do: its date in words, how far off that is (empty when no day is known), what, and where it says.

    ``late``: it should have been done.
    """

    day: str
    off: str
    what: str
    href: str
    late: bool = False


@dataclass(frozen=True, slots=True)
class TodayView:
    """What comes next: ``seen_from`` words the day, or says that only dates are known; ``filmed`` is empty at first.

    ``waiting``: shots whose takes wait for a verdict or cannot be used, and those of the days so far that have none.
    """

    seen_from: str
    tasks: tuple[Task, ...]
    late: tuple[str, ...]
    filmed: str
    waiting: tuple[str, ...]


def today_view(plan: Plan, today: date | None) -> TodayView:
    """Lay out what comes next, from the day given, else from that of the agreement; without both only the dates.

    No clock is read. What is over and done is left out; what is over and not done comes first, as late.
    """
    agreed = plan.course.agreed
    seen = today or (agreed.on if agreed else None)
    words = f"On {day_text(seen)}" if seen else "In order of their dates"
    if seen and not today:
        words += ", the day of the agreement: days are counted from there, whenever this page is opened"
    filmed, titles = filmed_shots(plan), all_shots(plan)
    tasks = sorted(_tasks(plan, filmed), key=lambda one: one[0])
    out = _is_out(plan)
    shown = [_shown(day, seen, over or out, words, href) for day, over, words, href in tasks]
    done = sum(one.done for one in filmed.values())
    shoot = plan.course.course.shoot
    left = left_out([(item.number, shoot[item.day].day) for item in plan.worked.listed], plan.takes)
    return TodayView(
        seen_from=words,
        tasks=tuple(sorted((one for one in shown if one), key=lambda one: not one.late)),
        late=tuple(one.sentence for one in plan.calendar.late),
        filmed=f"{done} of {len(filmed)}" if filmed else "",
        waiting=tuple(
            f"{number} {titles[number].heading}: {one.state}"
            for number, one in filmed.items()
            if (one.started or number in left) and not one.done
        ),
    )


def _is_out(plan: Plan) -> bool:
    """Whether all videos are there, with captions or published, so that whatever is past is over; no pick-ups are."""
    heard = {one.episode for one in plan.captions}
    there = bool(plan.course.published) or heard >= {episode.episode for episode in plan.course.episodes}
    return there and not plan.again


def _shown(day: date, seen: date | None, over: bool, words: str, href: str) -> Task | None:
    """Word a task as seen from a day; nothing for what is past and over."""
    if seen is None:
        return Task(short_day(day), "", words, href)
    days = (day - seen).days
    if days < 0:
        return None if over else Task(short_day(day), f"{count_of(-days, 'day')} late", words, href, late=True)
    off = "today" if days == 0 else "tomorrow" if days == 1 else f"in {days} days"
    return Task(short_day(day), off, words, href)


def _tasks(plan: Plan, filmed: Mapping[str, Filmed]) -> Iterator[tuple[date, bool, str, str]]:
    """Give each thing to do: its day, whether it is over once that day is past, its words, and the page about it."""
    pieces = {piece.name: piece for piece in plan.choice.pieces}
    assigned, craft = plan.calendar.assigned, words_of(plan.course.pattern)
    page = f"{file_word(craft.makers)}.html"
    at_work = _at_work(plan)
    for person, start in plan.calendar.latest_start.items():
        if person in at_work:
            continue
        yield (
            start,
            bool(filmed),
            f"{person} begins the first piece, {'for the days agreed' if plan.calendar.kept else 'at the latest'}",
            page,
        )
    due: dict[tuple[date, date, str, str, bool], list[str]] = {}
    for letter, person in assigned.items():
        piece = pieces[letter]
        seen = filmed.get(shot_of(piece.stops[0].demand))
        ready = piece.bench < DONE or (seen is not None and seen.started)
        late = "" if ready else too_late(plan, piece)
        days = done_day(plan, piece), arrival(plan, piece)
        due.setdefault((*days, person, late, ready), []).append(letter)
    for (day, last, person, late, ready), letters in due.items():
        here = " (ready)" if ready else f", {late}" if late else ""
        yield day, ready, f"{person} has {listing(sorted(letters))} done{here}", page
        if person != plan.course.course.host:
            arrive = "arrives" if len(letters) == 1 else "arrive"
            when = late or "at the latest"
            yield last, ready, f"{listing(sorted(letters))} {arrive} from {person}, {when}", page
    for shoot in plan.days:
        shots = [entry.number for entry in shoot.shots]
        done = sum(filmed[number].done for number in shots if number in filmed)
        place = plan.course.course.shoot[shoot.number].place
        words = f"Shoot day {shoot.number + 1}: call {clock(shoot.call)}, wrap about {clock(shoot.wrap)}"
        words += f", {place}" if place else ""
        words += f"; {done} of {count_of(len(shots), 'shot')} filmed" if filmed else ""
        yield shoot.day, bool(filmed) and done == len(shots), words, f"run-sheet-{shoot.number + 1}.html"


def _at_work(plan: Plan) -> set[str]:
    """Who has begun: those with a piece of which something is done, finished ones too."""
    agreed, assigned = plan.course.agreed, plan.calendar.assigned
    noted = {one.letter: one.knitter for one in agreed.pieces if one.letter in agreed.progress} if agreed else {}
    begun = (
        piece
        for piece in plan.choice.pieces
        if not from_drawer(plan, piece) and any(begun_at(plan.worked.question, piece))
    )
    return {assigned.get(piece.name) or noted.get(piece.name, "") for piece in begun}
