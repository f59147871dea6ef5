"""Walking with a piece from shot to shot: what it lacks is worked in between, in time, by hands that are free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from tests.walk.pages import Job, Stand
from tests.walk.states import (
    Piece,
    State,
    at_least,
    can_go_back,
    difference,
    done_after,
    meet,
    minutes,
    printed_state,
    undoing,
)
from tests.walk.ways import MINUTE, Event, Faults, Place, Walk, too_little, too_much

ROUNDED = 0.5
"""Printed minutes are rounded to whole ones."""
BESIDE = 0.15
"""The share of its minutes in which something may be worked anew where a line says only that work is taken back."""


@dataclass(frozen=True)
class Task:
    """A job with the line it stands in, the shot it is for, and whether it is done between the takes of that shot.

    ``event``: number of the stand that it is for, among those of its piece.
    """

    job: Job
    place: Place
    goal: Place
    between: bool
    event: int


@dataclass
class Trail:
    """What is known of a piece on its way: where it stood last, the states it may be in, and what still dries.

    Nobody knows which of several states it will be in: all of them must be provided for.
    """

    piece: Piece
    states: list[State]
    last: Place | None = None
    wet: dict[str, float] = field(default_factory=dict)


def tasks(walk: Walk) -> tuple[list[Task], list[tuple[str, str]]]:
    """The jobs of all days, each with the stand that it is for; and those that are for nothing."""
    listed = [(job, place) for place in walk.places for job in place.row.jobs]
    found, faults = [], []
    for letter, events in walk.events.items():
        mine = [(job, place) for job, place in listed if job.piece == letter]
        for at, event in enumerate(events):
            if not event.stand.worked:
                continue
            take = event.stand.take if event.stand.take > 1 else 0
            parts = _parts([pair for pair in mine if (pair[0].shot, pair[0].take) == (event.place.row.shot, take)])
            if not parts:
                faults.append(("job", f"{letter} was worked on for {event.place.row.shot}, and no line says when"))
                continue
            before = at > 0 and events[at - 1].place is event.place
            for pair in parts:
                mine.remove(pair)
                listed.remove(pair)
                found.append(Task(*pair, event.place, before, at))
                if pair[0].goal != event.stand.now:
                    faults.append(("job", f"{pair[0].text}: on the table it says {event.stand.now}"))
            if parts[-1][0].more:
                faults.append(("job", f"{parts[-1][0].text}: no line says how it is gone on with"))
            worked = sum(job.minutes for job, _ in parts)
            # One job is printed alike in both places; of several each is rounded, and their sum on the table.
            if abs(worked - event.stand.worked) > ROUNDED * (len(parts) + (len(parts) > 1)):
                faults.append(("job", f"{parts[0][0].text}: on the table it says {event.stand.worked:g} min"))
    faults += [("job", f"for nothing: {job.text}") for job, _ in listed]
    return found, faults


def _parts(listed: Sequence[tuple[Job, Place]]) -> list[tuple[Job, Place]]:
    """The first of these jobs, and with it those in which it is gone on with when it says so: a day or a wrap later."""
    found: list[tuple[Job, Place]] = []
    for job, place in listed:
        if found and not _goes_on(found[-1][0], found[-1][1], job, place):
            break
        found.append((job, place))
    return found


def _goes_on(job: Job, place: Place, then: Job, later: Place) -> bool:
    if job.more == "after the wrap":
        return then.night and later.day == place.day
    return job.more == f"on day {later.day + 1}" and later.day > place.day


def trails(walk: Walk) -> Faults:
    """Every piece goes from stand to stand with what it lacks worked in between."""
    found, faults = tasks(walk)
    yield from faults
    for letter, events in walk.events.items():
        if letter not in walk.cards:
            continue
        trail = Trail(walk.of(letter), [printed_state(walk.cards[letter].first, walk.of(letter))])
        for at, event in enumerate(events):
            mine = [task for task in found if (task.job.piece, task.event) == (letter, at)]
            yield from _arrive(walk, letter, trail, event, mine)
            _leave(walk, trail, event, events)


def _arrive(walk: Walk, letter: str, trail: Trail, event: Event, mine: Sequence[Task]) -> Faults:
    """A piece comes to the table: is it what it says, and how did it get there?"""
    number, goal = event.place.row.shot, printed_state(event.stand.now, trail.piece)
    if mine:
        for task in mine:
            yield from _in_between(walk, letter, trail, event, task)
        yield from _worked(walk, trail, goal, [task.job for task in mine])
    else:
        for state in trail.states:
            if state != goal:
                sort = "lacking" if not at_least(state, goal) else "back"
                yield sort, f"{letter} comes to {number} as {event.stand.now}, and nobody worked on it since"
                break
    begun = mine[0].place.begin if mine else event.place.begin
    for state in trail.states:
        base = meet(state, goal)
        ready = done_after(trail.piece, base, goal, walk.folder.pace * 1.5, begun, trail.wet).dry if mine else 0.0
        ready = max([ready, *trail.wet.values()])
        if (trail.wet or _dries(trail.piece, base, goal)) and ready > event.place.begin + 1:
            yield "drying", f"{letter} is not dry at {number}: {ready - event.place.begin:.0f} min are missing"


def _dries(piece: Piece, low: State, high: State) -> float:
    return sum(step.drying for stage, begin, end in difference(piece, low, high) for step in stage.steps[begin:end])


def _in_between(walk: Walk, letter: str, trail: Trail, event: Event, task: Task) -> Faults:
    since, at, until = trail.last.index if trail.last else -1, task.place.index, event.place.index
    in_shot = at == until and (task.between or _later_take(walk, task))
    left_early = since == at < until and walk.places[at].row.takes > 1 and _moved(walk.places[at], letter)
    if not (since < at < until or in_shot or left_early):
        yield "place", f"{task.job.text}: it stands before {letter} left its last shot, or after it is wanted"


def _moved(place: Place, letter: str) -> bool:
    """Whether a piece is worked on in a shot: it may then leave after one take, before the last."""
    return any(stand.becomes for stand in place.row.stands if stand.piece == letter)


def _worked(walk: Walk, trail: Trail, goal: State, jobs: Sequence[Job]) -> Faults:
    """The minutes of a job are what its rounds take whoever does it, and it says what is taken back and what dries.

    Where a piece may come in several states, there is time for the longest way, and the shortest is told beside it.
    """
    text, worked, fewer = jobs[0].text, sum(job.minutes for job in jobs), sum(job.fewer for job in jobs)
    ripping, drying = sum(job.ripping for job in jobs), sum(job.drying for job in jobs)
    paces = [pace for job in jobs for pace in walk.paces(job.who)]
    least, most, back, dries, anew = [], [], [], [], 0.0
    for state in trail.states:
        base = meet(state, goal)
        if base != state and not can_go_back(trail.piece, base, state):
            yield "back", f"{text}: what cannot be undone would have to be"
        undone = undoing(trail.piece, base, state)
        back.append(undone)
        least.append(undone[0] + minutes(trail.piece, base, goal, min(paces)))
        most.append(undone[1] + minutes(trail.piece, base, goal, walk.slowest))
        dries.append(_dries(trail.piece, base, goal))
        anew = max(anew, least[-1] - undone[0])
    if too_little(worked, max(least)):
        yield "minutes", f"{text}: it takes about {max(least):.1f} min"
    if too_much(worked, max(most)):
        yield "minutes", f"{text}: it takes only about {max(most):.1f} min"
    if too_little(fewer, min(least)) or too_much(fewer, min(most)):
        yield "minutes", f"{text}: it takes {min(least):.1f} to {min(most):.1f} min where least is to be done"
    if any(job.moved not in ("", trail.last.row.shot if trail.last else "") for job in jobs):
        yield "minutes", f"{text}: it stood in another shot before"
    if jobs[0].moved and jobs[0].moved not in jobs[0].once:
        yield "once", f"{text}: {jobs[0].moved} cannot be filmed again with it, and may not be good yet"
    if ripping and not min(low for low, _ in back) - 1 <= ripping <= max(high for _, high in back) + 1:
        yield "back", f"{text}: to take back takes {max(back)[0]:.1f} to {max(back)[1]:.1f} min"
    if all(job.back for job in jobs) and anew > BESIDE * worked + MINUTE:
        yield "back", f"{text}: work is not only to be taken back, {anew:.1f} min are to be worked"
    if not ripping and max(low for low, _ in back) > 1:
        yield "back", f"{text}: there are rounds to take back"
    if abs(drying - max(dries)) > 1 and abs(drying - min(dries)) > 1:
        yield "drying", f"{text}: it dries for {max(dries):g} min"


def _leave(walk: Walk, trail: Trail, event: Event, events: Sequence[Event]) -> None:
    """A piece is left as it came, or moved on; of some moves nobody knows beforehand whether they will be made.

    A take is only filmed if those before it were not good: a piece for the first one, and for all up to another, is
    moved on whichever was good; one for later takes alone, or after a gap, may be as it was.
    """
    stand = event.stand
    now = printed_state(stand.now, trail.piece)
    trail.states, trail.last = [now], event.place
    if not stand.becomes:
        return
    end = printed_state(stand.becomes, trail.piece)
    same = [one.stand for one in events if one.place is event.place and _alike(one.stand, stand)]
    takes = [one.take for one in same if one.take <= stand.take]
    known = not stand.spare and takes == list(range(1, stand.take + 1) if stand.take else [0])
    trail.states = [end] if known else [end, now]
    for stage, begin, stop in difference(trail.piece, now, end):
        drying = sum(step.drying for step in stage.steps[begin:stop])
        if drying:
            trail.wet[stage.key] = event.place.end + drying


def _alike(one: Stand, other: Stand) -> bool:
    return (one.now, one.becomes, one.spare) == (other.now, other.becomes, other.spare)


def hands(walk: Walk) -> Faults:
    """Nobody works in a break; and never more work between two times than the hands that are free."""
    found, _ = tasks(walk)
    for place in walk.places:
        if place.row.jobs and place.row.what in ("lunch", "rest", "set-up"):
            yield "break", f"work stands at {place.row.text}"
        for job in place.row.jobs:
            if job.night != (place.row.what == "wrap"):
                yield "place", f"{job.text}: it stands at {place.row.text}"
            there = (walk.folder.host, *walk.day(place.day).helpers)
            if not any(name in job.who for name in there):
                yield "who", f"{job.text}: nobody of that name is there"
    windows = [(task, *_window(walk, task)) for task in found]
    for task, first, last in windows:
        free = sum(_free(walk, place, task.between) for place in walk.places[first : last + 1])
        if task.between and task.job.back:
            free += walk.folder.may_wait  # all stand by until a piece is taken back, as long as the camera may wait
        if task.job.minutes > free + ROUNDED + 1:
            yield "room", f"{task.job.text}: there are {free:g} min for it"
    for host in (True, False):
        mine = [
            (task.job.minutes, first, last)
            for task, first, last in windows
            if (task.job.who == walk.folder.host) == host
        ]
        yield from _crowded(walk, mine, host)
    nights = {place.index: place for place in walk.places if place.row.what == "wrap"}
    for index, place in nights.items():
        work = sum(task.job.minutes - ROUNDED for task, first, last in windows if first == last == index)
        if work > place.end - place.begin + 1:
            yield "room", f"{work:g} min of work after the wrap of day {place.day + 1}"


def _free(walk: Walk, place: Place, between: bool) -> float:
    """Minutes in which a piece can be worked on, by anybody."""
    if between:
        return walk.folder.fixed["reset"] * (walk.shots[place.row.shot].takes - 1)
    return place.end - place.begin if place.row.what in ("shot", "change", "wait", "wrap") else 0.0


def _capacity(walk: Walk, place: Place, host: bool) -> float:
    """Minutes of the host's hands, or of all helpers', in one line of the day."""
    length = place.end - place.begin
    if place.row.what == "wrap":
        return length
    if not host:
        return length * len(walk.day(place.day).helpers) if place.row.what in ("shot", "change", "wait") else 0.0
    if place.row.what == "shot":
        return walk.folder.fixed["reset"] * (walk.shots[place.row.shot].takes - 1)
    return length if place.row.what in ("change", "wait") else 0.0


def _crowded(walk: Walk, work: Sequence[tuple[float, int, int]], host: bool) -> Faults:
    for begin in sorted({first for _, first, _ in work}):
        for end in sorted({last for _, _, last in work if last >= begin}):
            inside = [one for one, first, last in work if begin <= first and last <= end]
            free = sum(_capacity(walk, place, host) for place in walk.places[begin : end + 1])
            hands_there = 1 if host else max(len(day.helpers) for day in walk.folder.days)
            if sum(inside) - ROUNDED * len(inside) > free + max(hands_there, 1):
                span = f"from {_at(walk.places[begin])} to the end of {_at(walk.places[end])}"
                who = "the host" if host else "the helpers"
                yield "room", f"{who} has {sum(inside):g} min of work in {free:g} min of hands {span}"
                return


def _at(place: Place) -> str:
    clock = f"{place.row.at // 60}:{place.row.at % 60:02d}"
    return f"day {place.day + 1} {clock} {place.row.shot or place.row.what}"


def _window(walk: Walk, task: Task) -> tuple[int, int]:
    """The first and last line in which a job may be done as it is printed."""
    first, until, into = task.place.index, task.job.until, task.job.into
    if task.between:
        return first, first
    if not (until or into):
        return first, max(_slot(walk, first))
    ends = (one.index for one in walk.places[first:] if (until or into) in (one.row.shot, f"the {one.row.what}"))
    last = next(ends, first + 1) - bool(until)
    return first, max(first, min(last, task.goal.index if _later_take(walk, task) else task.goal.index - 1))


def _later_take(walk: Walk, task: Task) -> bool:
    """Whether a piece may come to its shot for a later take than the first."""
    shot = walk.shots[task.goal.row.shot]
    return shot.takes > 1 and any(asked.leaves for asked in shot.pieces)


def _slot(walk: Walk, index: int) -> list[int]:
    """The lines of the same shot or pause."""
    return [index] if walk.places[index].row.what in ("shot", "wrap") else [index, *_after(walk, index)]


def _after(walk: Walk, index: int) -> Iterator[int]:
    for place in walk.places[index + 1 :]:
        if place.row.what in ("shot", "wrap"):
            return
        yield place.index
