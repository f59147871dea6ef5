"""From a choice of pieces to the knitters' jobs, with each knitter's own minutes, and the yarn to lay out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from lessonplan.course.model import Course, Knitter
from lessonplan.course.problems import Problem, note, warning
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.pattern.yarn import Amount, amounts, metres_by_yarn, pattern_loop
from lessonplan.samples.calendar import Calendar, Job, Person, plan_calendar
from lessonplan.samples.ladder import Ladder, State
from lessonplan.samples.pieces import FilmedShot, film_size, ladder_of
from lessonplan.samples.plan import Choice, Piece
from lessonplan.samples.problem import Problem as Question
from lessonplan.samples.states import in_words, kind_in_words

WEEKS_BEFORE = 8
"""Weeks before the first shoot day from which a knitter may begin who has no day of starting in the course."""

HOST_HOURS = 7.0
"""Hours a week that the host knits where the course names no knitter."""


def knitters_calendar(
    course: Course, worked: WorkedPattern, asked: Question, filmed: tuple[FilmedShot, ...], choice: Choice
) -> Calendar:
    """Plan who knits which piece by when: ready the days to spare before the shoot day that first needs it."""
    file = course.course
    first_day = file.shoot[0].day
    knitters = who_knits(course)
    people = tuple(
        Person(one.name, one.hours_per_week, one.starts or first_day - timedelta(weeks=WEEKS_BEFORE), one.away)
        for one in knitters
    )
    ladders = {one.name: ladder_of(course, worked, one.pace) for one in knitters}
    jobs = []
    for piece in choice.pieces:
        start = begun_at(asked, piece)
        minutes = {name: ladder.between(piece.kind, start, piece.first) for name, ladder in ladders.items()}
        drying = asked.ladder.dried(piece.first) - asked.ladder.dried(start)
        what = task_in_words(course, worked, piece)
        jobs.append(Job(piece.name, what, minutes, drying, due_day(course, filmed, piece)))
    return plan_calendar([job for job in jobs if not job.minutes or max(job.minutes.values()) > 0], people)


def task_in_words(course: Course, worked: WorkedPattern, piece: Piece) -> str:
    """Say to which state a piece is knitted before the shoot, and what its kind means."""
    size = film_size(course)
    kind = kind_in_words(piece.kind, piece.first, worked, size, course.pattern.small)
    return in_words(piece.first, worked, size, piece.kind) + (f" ({kind})" if kind else "")


def who_knits(course: Course) -> tuple[Knitter, ...]:
    """Give the course's knitters, or the host where it names none."""
    file = course.course
    return file.knitters or (Knitter(name=file.host, pace=file.pace.knitting, hours_per_week=HOST_HOURS),)


def due_day(course: Course, filmed: tuple[FilmedShot, ...], piece: Piece) -> date:
    """Give the day by whose end a piece must be ready: the eve of its first shoot day, less the days to spare."""
    day = course.course.shoot[filmed[piece.stops[0].shot].day].day
    return day - timedelta(days=1 + course.course.samples.days_to_spare)


def begun_at(asked: Question, piece: Piece) -> State:
    """Give the state from which a piece is knitted: nothing, or what the drawer's piece has."""
    drawer = {one.name: one.state for one in asked.drawer}
    return drawer.get(piece.drawer, tuple(0 for _ in piece.first))


def reached(ladder: Ladder, piece: Piece, begun: State, minutes: float) -> State:
    """Give the state that a piece has after so many minutes of knitting, stage after stage, whole steps only."""
    state = list(begun)
    for stage, (start, goal) in enumerate(zip(begun, piece.first, strict=True)):
        counted = ladder.minutes[piece.kind][stage]
        for step in range(start, goal):
            one = counted[step + 1] - counted[step]
            if one > minutes + 0.5:
                return tuple(state)
            minutes -= one
            state[stage] = step + 1
    return tuple(state)


def late_pieces(course: Course, calendar: Calendar) -> Iterator[Problem]:
    """Warn of each piece that nobody can have ready in time, name the smallest remedy, and who cannot help."""
    where = course.course.mark("knitters") if course.course.knitters else course.course.mark()
    for late in calendar.late:
        yield warning(where, "late-piece", late.sentence, calendar.remedies[0] if calendar.remedies else "")
    for remark in calendar.remarks:
        yield note(where, "knitter", remark)


def yarn_to_lay_out(
    course: Course, worked: WorkedPattern, asked: Question, choice: Choice
) -> Mapping[str, tuple[Amount, ...]]:
    """Give the yarn that each piece takes from its beginning to its last state in any shot, with the margin."""
    begun = {drawer.name: drawer.state for drawer in asked.drawer}
    return {piece.name: _yarn(course, worked, piece, begun.get(piece.drawer)) for piece in choice.pieces}


def _yarn(course: Course, worked: WorkedPattern, piece: Piece, begun: State | None) -> tuple[Amount, ...]:
    size, loop = film_size(course), pattern_loop(course.pattern)
    last = piece.stops[-1].end
    total: dict[str, float] = {}
    for place, key in enumerate(worked.order):
        stage = worked.stage(key, size)
        steps = stage.steps[begun[place] if begun else 0 : last[place]]
        rounds = len(stage.rounds)
        shorter = min(1.0, stage.short / rounds) if piece.kind == "short" and stage.short and rounds else 1.0
        scale = course.pattern.small if piece.kind == "small" else 1.0
        for yarn, metres in metres_by_yarn(steps, loop, scale * shorter).items():
            total[yarn] = total.get(yarn, 0.0) + metres
    return amounts(course.pattern, total)
