"""Walking through the days before the shoot: who knits what, in which hours, ready when; and sums on all pages."""

from __future__ import annotations

import math
from datetime import date, timedelta
from itertools import pairwise

from tests.walk.floor import ROUNDED
from tests.walk.pages import Card, Sitting
from tests.walk.states import (
    State,
    asked_state,
    at_least,
    done_after,
    evening_states,
    meet,
    minutes,
    printed_state,
    undoing,
)
from tests.walk.ways import Faults, Walk, too_little, too_much

OVER = 20
"""Minutes in a week by which a few evenings may be longer, to finish what is nearly done; and each day is rounded."""
AWAKE = 18 * 60
"""Minutes from getting up to midnight."""


def begun_in(walk: Walk, card: Card) -> State:
    """The state in which a piece is when its knitter takes it up."""
    piece = walk.of(card.piece)
    told = walk.folder.begun.get(card.drawer) or walk.folder.begun.get(card.piece)
    return asked_state(told, piece) if told else piece.nothing()


def estimate(walk: Walk, card: Card, pace: float) -> float:
    """The minutes of work before the shoot at somebody's pace."""
    piece, goal, begun = walk.of(card.piece), printed_state(card.first, walk.of(card.piece)), begun_in(walk, card)
    base = meet(begun, goal)
    return sum(undoing(piece, base, begun)) / 2 + minutes(piece, base, goal, pace)


def cards(walk: Walk) -> Faults:
    """The step-sample page tells of the same pieces, shots, states and minutes as the run sheets."""
    for letter in walk.events:
        if letter not in walk.cards:
            yield "pages", f"{letter} is on no step-sample page"
    for letter, card in walk.cards.items():
        events = walk.events.get(letter, [])
        printed = [(one.place.row.shot, one.stand.spare, one.stand.now, one.stand.becomes) for one in events]
        told = [(stop.shot, stop.spare, stop.now, stop.becomes) for stop in card.stops]
        if printed != told:
            yield "pages", f"{letter}: run sheets {printed}, step samples {told}"
            continue
        for event, stop in zip(events, card.stops, strict=True):
            if abs(event.stand.worked - sum(stop.spells)) > ROUNDED * (1 + len(stop.spells)):
                yield "pages", f"{letter} for {stop.shot}: {event.stand.worked:g} min, and {sum(stop.spells):g} min"
        if events and (events[0].stand.now != card.first or card.needed != walk.day(events[0].place.day).day):
            yield "pages", f"{letter} is knitted to {card.first} for {card.needed}"
        full = (step.stitches for stage in walk.piece("full").stages.values() for step in stage.steps if step.stitches)
        if card.kind == "small" and (not 0 < card.stitches < card.instead or card.instead != next(full)):
            yield "pages", f"{letter} has {card.stitches} stitches instead of {card.instead}"
        about = estimate(walk, card, walk.folder.pace)
        if too_little(card.minutes, about) or too_much(card.minutes, about):
            yield "minutes", f"{letter} ({card.first}) takes {card.minutes:g} min; it is about {about:.0f}"


def sums(walk: Walk) -> Faults:
    """What the step-sample page adds up is the sum of its pieces and of the days."""
    samples, stands = walk.pages.samples, [one.stand for every in walk.events.values() for one in every]
    jobs = [one.worked for one in stands if one.worked]
    waits = [place.end - place.begin for place in walk.places if place.row.what == "wait"]
    before = [card.minutes for card in samples.cards]
    pairs = (
        ("before the shoot", samples.before, sum(before), ROUNDED * (len(before) + 1)),
        ("on the days", samples.floor, sum(jobs), ROUNDED * (len(jobs) + 2)),
        ("of waiting", samples.waiting, sum(waits), 1.0 * (len(waits) + 1)),
        ("in all", samples.total, samples.before + samples.floor, 1.5),
        ("pieces", samples.count, len(samples.cards), 0.0),
    )
    for what, said, added, rounded in pairs:
        if abs(said - added) > rounded:
            yield "sums", f"{said:g} {what}, and what is printed adds up to {added:g}"


def knitters(walk: Walk) -> Faults:
    """Every piece is somebody's, in their own minutes, inside their hours, ready and dry in time or said to be late."""
    page = walk.pages.knitters
    table = sorted((one.knitter, one.piece, one.what, one.minutes) for one in page.sittings)
    if table != sorted((name, *row) for name, *row in page.rows):
        yield "pages", "the knitters' page and its table differ"
    for name, total in page.totals.items():
        if total != sum(one.minutes for one in page.sittings if one.knitter == name):
            yield "sums", f"{name} has {total:g} min in all"
    for letter, card in walk.cards.items():
        mine = [one for one in page.sittings if one.piece == letter]
        if letter not in page.due:
            if letter not in page.late and estimate(walk, card, walk.folder.pace) > 0:
                yield "knitter", f"{letter} is nobody's"
            continue
        yield from _one_piece(walk, card, sorted(mine, key=lambda one: one.day))
    for person in walk.folder.people:
        yield from _hours(walk, person.name)


def _one_piece(walk: Walk, card: Card, mine: list[Sitting]) -> Faults:
    letter, (name, goal, by) = card.piece, walk.pages.knitters.due[card.piece]
    due = card.needed - timedelta(1 + walk.folder.spare_days)
    if not mine or {one.knitter for one in mine} != {name} or not card.knitter.startswith(name):
        yield "knitter", f"{letter} is {name}'s, and knitted by {sorted({one.knitter for one in mine})}"
        return
    if not goal.startswith(card.first) or by != due + timedelta(walk.pages.knitters.late.get(letter) or 0):
        yield "pages", f"{letter} is to be {goal} by {by}; step samples say {card.first} for {card.needed}"
    pace = next((one.pace for one in walk.folder.people if one.name == name), walk.folder.pace)
    total, about = sum(one.minutes for one in mine), estimate(walk, card, pace)
    if too_little(total, about) or too_much(total, about):
        yield "minutes", f"{name} knits {letter} ({card.first}) in {total} min; it is about {about:.0f}"
    piece, begun = walk.of(letter), begun_in(walk, card)
    goal_state = printed_state(card.first, piece)
    state, done = meet(begun, goal_state), 0
    for one, then in zip(mine, evening_states([one.what for one in mine], piece, state), strict=True):
        done += one.minutes
        if not at_least(then, state):
            yield "knitter", f"{letter} goes back on {one.day}: {one.what}"
        elif minutes(piece, meet(begun, goal_state), then, pace) * 0.85 > done + 3:
            yield "knitter", f"{letter} is {one.what} on {one.day} after only {done} min"
        state = then
    if state != goal_state:
        yield "knitter", f"{letter} is {mine[-1].what} on its last evening instead of {card.first}"
    yield from _in_time(walk, card, mine, pace, due)


def _in_time(walk: Walk, card: Card, mine: list[Sitting], pace: float, due: date) -> Faults:
    """Dry by the end of the day it is due, and no work begun on what still dries."""
    letter, piece = card.piece, walk.of(card.piece)
    goal = printed_state(card.first, piece)
    base = meet(begun_in(walk, card), goal)
    whole = done_after(piece, base, goal, pace, 0.0)
    awake = 1440 * (mine[-1].day - mine[0].day).days + AWAKE
    if whole.worked * 0.9 > awake:
        yield "drying", f"{letter} cannot be done from {mine[0].day} to {mine[-1].day}: it takes {whole.worked:.0f} min"
    yield from _dry_in_between(walk, letter, mine, base)
    ready, states = mine[-1].day, evening_states([one.what for one in mine], piece, base)
    for key, stage in piece.stages.items():
        drying = stage.steps[-1].drying if stage.steps and goal[key] == len(stage.steps) > base[key] else 0.0
        there = [one.day for one, state in zip(mine, states, strict=True) if state[key] == len(stage.steps)]
        day = next(iter(there), mine[-1].day)
        ready = max(ready, day + timedelta(math.ceil(drying / 1440)))
    late, said = (ready - due).days, walk.pages.knitters.late.get(letter, 0)
    if late > 0 and not said:
        yield "late", f"{letter} is ready on {ready}, due on {due}, and nothing says so"
    elif said and not late <= said <= late + 2:
        yield "late", f"{letter} is said to be {said} days late and is ready on {ready}, due on {due}"


def _dry_in_between(walk: Walk, letter: str, mine: list[Sitting], base: State) -> Faults:
    """What dries is left alone: nobody goes on with what needs it, not by the last minute of the day."""
    piece = walk.of(letter)
    states = [base, *evening_states([one.what for one in mine], piece, base)]
    moved = [{key for key in piece.stages if then[key] > before[key]} for before, then in pairwise(states)]
    for at, wet in enumerate(moved):
        for key in wet:
            drying = piece.stages[key].steps[states[at + 1][key] - 1].drying
            for one, later in zip(mine[at:], moved[at:], strict=True):
                needing = [other for other in later if key in piece.needs(other)]
                if needing and 1440 * (one.day - mine[at].day).days + AWAKE < drying:
                    yield (
                        "drying",
                        f"{letter}: {needing} on {one.day}, and {key} of {mine[at].day} dries {drying:g} min",
                    )


def _hours(walk: Walk, name: str) -> Faults:
    person = next(one for one in walk.folder.people if one.name == name)
    days: dict[date, int] = {}
    for one in walk.pages.knitters.sittings:
        if one.knitter == name:
            days[one.day] = days.get(one.day, 0) + one.minutes
    for day in days:
        if day < person.starts or any(first <= day <= last for first, last in person.away):
            yield "hours", f"{name} knits on {day} and is not there"
        here = [length for other, length in days.items() if 0 <= (other - day).days < 7]
        if sum(here) > person.week + OVER + ROUNDED * len(here):
            yield "hours", f"{name} knits {sum(here)} min in the week from {day} instead of {person.week:g}"
