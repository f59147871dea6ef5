"""From a choice of pieces to the knitters' jobs, with each knitter's own minutes, and the yarn to lay out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from lessonplan.course.model.agreed import Agreed, AgreedPiece
from lessonplan.course.model.settings import Knitter
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, note, warning
from lessonplan.course.words import count_of, listing
from lessonplan.craft.words import rest_named, words_of
from lessonplan.pattern.amounts.yarn import Amount, amounts, metres_by_yarn, pattern_loop
from lessonplan.pattern.worked import Step, WorkedPattern
from lessonplan.samples.calendar.jobs import Calendar, Job, Pause, Person
from lessonplan.samples.choice import Choice, Ladder, Piece, Question, State, contains
from lessonplan.samples.choice.ladder import meet, total
from lessonplan.samples.pieces import Kinds, film_size, ladders_of
from lessonplan.samples.states import in_words, kind_in_words

WEEKS_BEFORE = 8
"""Weeks before the first shoot day from which a knitter may begin who has no day of starting in the course."""

HOST_HOURS = 7.0
"""Hours a week that the host knits where the course names no knitter."""


def knitters_calendar(
    course: Course, kinds: Kinds, asked: Question, days: Mapping[str, date], choice: Choice, today: date | None
) -> Calendar:
    """Plan who knits which piece by when: ready the days to spare before the shoot day that first needs it.

    ``days``: for each piece that day. What was agreed (knitter and day) stays where it can. Until the first shoot day
    nobody is given a day before ``today``, or before that of the agreement where no day is told.
    """
    file = course.course
    first_day = file.shoot[0].day
    knitters = who_knits(course)
    seen = today or (course.agreed.on if course.agreed else None) or date.min
    now = seen if seen < first_day else date.min  # once it is filmed, what was made for it is past
    begin = first_day - timedelta(weeks=WEEKS_BEFORE)
    people = tuple(
        Person(one.name, one.hours_per_week, max(now, one.starts or begin), one.away, now) for one in knitters
    )
    ladders = {one.name: ladders_of(course, kinds, one.pace) for one in knitters}
    agreed = {one.letter: one for one in (course.agreed or Agreed()).pieces}
    jobs = []
    for piece in choice.pieces:
        begun = begun_at(asked, piece)
        cut = {name: stretches(one[piece.kind], begun, piece.first) for name, one in ladders.items()}
        *between, (_, drying) = next(iter(cut.values()))
        known = agreed.get(piece.name, AgreedPiece(letter="A", stop="nothing"))
        jobs.append(
            Job(
                piece=piece.name,
                minutes={name: mine[-1][0] for name, mine in cut.items()},
                due=days[piece.name] - timedelta(days=1 + file.samples.days_to_spare),
                drying=drying,
                leave=rest_named(rest_of(kinds[piece.kind], piece.first, film_size(course))).leave,
                pauses=tuple(
                    Pause({name: mine[number][0] for name, mine in cut.items()}, dry)
                    for number, (_, dry) in enumerate(between)
                ),
                begun=piece.name in (course.agreed.progress if course.agreed else {}) and any(begun),
                knitter=known.knitter if known.knitter in ladders else "",
                agreed=known.ready,
            )
        )
    from lessonplan.samples.calendar.plan import plan_calendar  # loads the solver

    return plan_calendar(jobs, people, spare=file.samples.days_to_spare, words=words_of(course.pattern))


def stretches(ladder: Ladder, begun: State, goal: State) -> list[tuple[float, float]]:
    """Cut the work at the bench from one state to another where it must wait for something to dry.

    For each stretch the minutes worked by its end, all counted, and the longest drying that it leaves: what is wet
    dries side by side. The first minutes take back what the goal does not have.
    """
    shared = meet(begun, goal)
    minutes = 0.0 if contains(goal, begun) else total(ladder.ripping, begun) - total(ladder.ripping, shared)
    found, wet, needed = list[tuple[float, float]](), dict[int, float](), list[set[int]]()
    for stage, (start, stop) in enumerate(zip(shared, goal, strict=True)):
        needed.append({stage}.union(*(needed[one] for one in ladder.before[stage])))
        bench, drying = ladder.bench[stage], ladder.drying[stage]
        for step in range(start, stop):
            if needed[stage] & wet.keys():
                found.append((minutes, max(wet.values())))
                wet = {}
            minutes += bench[step + 1] - bench[step]
            if drying[step + 1] > drying[step]:
                wet[stage] = drying[step + 1] - drying[step]
    return [*found, (minutes, max(wet.values(), default=0.0))]


def rest_of(worked: WorkedPattern, goal: State, size: int) -> str:
    """Give the key of what a piece in a state rests for: the last that any of its steps leaves it to."""
    steps = [*worked.steps_between([0] * len(goal), goal, size)]
    return next((step.rest for step in reversed(steps) if step.drying), "drying")


def task_in_words(course: Course, kinds: Kinds, piece: Piece) -> str:
    """Say to which state a piece is knitted before the shoot, and what its kind means."""
    size, worked = film_size(course), kinds[piece.kind]
    kind = kind_in_words(piece.kind, piece.first, worked, kinds["full"], size)
    return in_words(piece.first, worked, size) + (f" ({kind})" if kind else "")


def who_knits(course: Course) -> tuple[Knitter, ...]:
    """Give the course's knitters, or the host where it names none."""
    file = course.course
    return file.knitters or (Knitter(name=file.host, pace=file.pace.knitting, hours_per_week=HOST_HOURS),)


def begun_at(asked: Question, piece: Piece) -> State:
    """Give the state from which a piece is knitted: nothing, or what it has already."""
    ready = {one.name: one.state for one in asked.ready}
    return ready.get(piece.ready, tuple(0 for _ in piece.first))


def reached(ladder: Ladder, goal: State, begun: State, minutes: float) -> State:
    """Give the state that a piece has after so many minutes of knitting, stage after stage, whole steps only."""
    return under_way(ladder, goal, begun, minutes)[0]


def under_way(ladder: Ladder, goal: State, begun: State, minutes: float) -> tuple[State, int, float, float]:
    """Give the state reached after so many minutes, the stage whose next step is begun, and the minutes worked of it.

    The last is what that step takes as a whole. Where nothing is left to do the stage is -1.
    """
    state = [min(pair) for pair in zip(begun, goal, strict=True)]
    for stage, (start, stop) in enumerate(zip(tuple(state), goal, strict=True)):
        counted = ladder.bench[stage]
        for step in range(start, stop):
            one = counted[step + 1] - counted[step]
            if one > minutes + 0.5:
                return tuple(state), stage, max(0.0, minutes), one
            minutes -= one
            state[stage] = step + 1
    return tuple(state), -1, 0.0, 0.0


def late_pieces(course: Course, calendar: Calendar) -> Iterator[Problem]:
    """Warn of each piece that nobody can have ready in time, name the smallest remedy, and who cannot help.

    A day of filming before anybody begins comes first: most often its year is a slip. No clock is read for that.
    """
    starts = [(one.starts, one.name) for one in course.course.knitters if one.starts]
    begins = min(starts) if len(starts) == len(course.course.knitters) and starts else None
    for day in course.course.shoot if begins and calendar.late else ():
        if begins and day.day < begins[0]:
            what = f"{day.day} comes before anybody begins to {words_of(course.pattern).make}"
            sentence = f"{what}: the first, {begins[1]}, starts on {begins[0]}."
            yield warning(day.mark("day"), "early-day", sentence, "Look at the year of both.")
    where = course.course.mark("knitters") if course.course.knitters else course.course.mark()
    late, remedy = calendar.late, " ".join(filter(None, (calendar.nearer, *calendar.remedies[:1])))
    if len(late) == 1:
        yield warning(where, "late-piece", late[0].sentence, remedy)
    elif late:
        days = [(one.piece, count_of(one.days, "day") if one.days else "") for one in late]
        by = listing([f"{piece} by {much}" if much else f"{piece}, which nobody can make" for piece, much in days])
        yield warning(where, "late-piece", f"{len(late)} pieces are late: {by}.", remedy)
    for remark in calendar.remarks:
        yield note(where, "knitter", remark)


def last_state(piece: Piece) -> State:
    """Give all that is ever worked on a piece: the most of each stage in any of its shots."""
    return tuple(max(stop.end[place] for stop in piece.stops) for place in range(len(piece.first)))


def yarn_between(
    course: Course, worked: WorkedPattern, begun: State, end: State, more: Sequence[Step] = ()
) -> tuple[Amount, ...]:
    """Give the yarn from one state of a piece to another, and for ``more`` steps, with the margin."""
    steps = worked.steps_between(begun, end, film_size(course))
    return amounts(course.pattern, metres_by_yarn([*steps, *more], pattern_loop(course.pattern)))
