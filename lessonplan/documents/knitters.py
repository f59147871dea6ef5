"""The knitters' calendar: for each knitter a dated list, the latest start, and what to do when it cannot be done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lessonplan.course.model import Knitter
from lessonplan.course.numbers import shot_of
from lessonplan.documents.samples import yarn_text
from lessonplan.documents.wording import day_text, duration, short_day
from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning.worked import Plan
from lessonplan.samples.knitters import begun_at, due_day, reached, task_in_words, who_knits, yarn_to_lay_out
from lessonplan.samples.pieces import ladder_of
from lessonplan.samples.plan import Piece
from lessonplan.samples.states import in_words


@dataclass(frozen=True, slots=True)
class SittingRow:
    """One day's knitting, and how far the piece is by the evening."""

    day: date
    day_text: str
    piece: str
    what: str
    minutes: int


@dataclass(frozen=True, slots=True)
class ToKnit:
    """One piece in a knitter's hands: how far and in which kind, its yarn, the day it must be ready, and remarks."""

    piece: str
    what: str
    yarn: str
    due: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KnitterView:
    """One knitter: hours in all, the latest start, and the days."""

    name: str
    total: str
    latest_start: str
    pieces: tuple[str, ...]
    sittings: tuple[SittingRow, ...]
    to_knit: tuple[ToKnit, ...]
    file: str


@dataclass(frozen=True, slots=True)
class KnittersView:
    """What stands on the knitters' page."""

    title: str
    people: tuple[KnitterView, ...]
    late: tuple[str, ...]
    remarks: tuple[str, ...]
    remedies: tuple[str, ...]
    shoot_days: tuple[str, ...]
    proven: str


def knitters_view(plan: Plan) -> KnittersView:
    """Lay out the knitters' calendar."""
    calendar = plan.calendar
    what = {piece.name: task_in_words(plan.course, plan.worked.pattern, piece) for piece in plan.choice.pieces}
    people, assigned = [], calendar.assigned
    for number, knitter in enumerate(who_knits(plan.course), 1):
        name = knitter.name
        sittings = _sittings(plan, knitter)
        start = calendar.latest_start.get(name)
        people.append(
            KnitterView(
                name,
                duration(calendar.load.get(name, 0)),
                day_text(start) if start else "",
                tuple(dict.fromkeys(sitting.piece for sitting in sittings)),
                sittings,
                tuple(
                    _to_knit(plan, one, what[one.name]) for one in plan.choice.pieces if assigned.get(one.name) == name
                ),
                f"knitter-{number}.ics",
            )
        )
    proven = "The latest start and the most even load without any piece late: proven." if calendar.optimal else ""
    if calendar.late:
        proven = "Not everything can be ready in time."
    return KnittersView(
        plan.course.course.title,
        tuple(people),
        tuple(one.sentence for one in calendar.late),
        calendar.remarks,
        calendar.remedies,
        tuple(f"Day {day.number + 1}: {day_text(day.day)}" for day in plan.days),
        proven,
    )


def _sittings(plan: Plan, knitter: Knitter) -> tuple[SittingRow, ...]:
    """Word a knitter's days, each with the state that the piece has by the evening, at the knitter's own pace."""
    worked, size = plan.worked.pattern, plan.worked.size
    ladder = ladder_of(plan.course, worked, knitter.pace)
    pieces = {piece.name: piece for piece in plan.choice.pieces}
    done: dict[str, int] = {}
    rows = []
    for one in plan.calendar.sittings:
        if one.person != knitter.name:
            continue
        piece = pieces[one.piece]
        done[one.piece] = done.get(one.piece, 0) + one.minutes
        state = reached(ladder, piece, begun_at(plan.worked.question, piece), done[one.piece])
        what = in_words(state, worked, size, piece.kind)
        rows.append(SittingRow(one.day, short_day(one.day), one.piece, what, one.minutes))
    return tuple(rows)


def _to_knit(plan: Plan, piece: Piece, what: str) -> ToKnit:
    """Word one piece for its knitter; the remarks are the notes of the shots that it stands in."""
    yarns = yarn_to_lay_out(plan.course, plan.worked.pattern, plan.worked.question, plan.choice)
    word = for_size(plan.worked.facts, plan.worked.size)
    shots = {item.number: item.shot for item in plan.worked.listed}
    labels = {one.name: one.label for one in plan.worked.table}
    notes = []
    for name in dict.fromkeys(stop.appearance for stop in piece.stops):
        number = shot_of(name)
        if shots[number].note:
            label = f", {labels[name]}" if labels[name] else ""
            notes.append(f"Shot {number}{label}: {fill(shots[number].note, word)}")
    due = day_text(due_day(plan.course, plan.worked.filmed, piece))
    return ToKnit(piece.name, what, yarn_text(yarns[piece.name]), due, tuple(notes))


def knitters_table(view: KnittersView) -> tuple[tuple[str, ...], ...]:
    """Give all sittings as rows for a spreadsheet, a heading first."""
    rows = [
        (one.day.isoformat(), person.name, one.piece, one.what, str(one.minutes))
        for person in view.people
        for one in person.sittings
    ]
    return (("day", "knitter", "piece", "by_the_evening", "minutes"), *sorted(rows))
