"""What is to be done next: knitting, hand-overs, shoot days and takes, seen from a day that is given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import count_of, day_text, listing, short_day
from lessonplan.craft.words import file_word, words_of
from lessonplan.documents.arrivals import arrival, done_day, from_drawer, too_late
from lessonplan.documents.filmed import Filmed, filmed_shots
from lessonplan.documents.shots import all_shots
from lessonplan.planning.worked import Plan
from lessonplan.samples.knitters import begun_at
from lessonplan.shoot.day import clock
from lessonplan.shoot.takes.compare import left_out

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
