"""A knitter's evenings: sittings in the order of knitting, crumbs put together with their neighbours."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from lessonplan.course.model.settings import Knitter
from lessonplan.course.words import short_day
from lessonplan.craft.words import rest_named
from lessonplan.documents.wording import duration
from lessonplan.pattern.worked import PART, Step, WorkedPattern, WorkedStage
from lessonplan.planning.worked import Plan
from lessonplan.samples.calendar.jobs import Sitting
from lessonplan.samples.choice import Piece, State
from lessonplan.samples.knitters import begun_at, rest_of, under_way, who_knits
from lessonplan.samples.pieces import ladders_of
from lessonplan.samples.states import in_words, parts_in_words

CRUMB = 10
"""A sitting of fewer minutes goes to the next on the same piece, or the one before (planning guess, from memory)."""


WORTH_TELLING = 5
"""Minutes of a work that goes on over evenings, of which the evening that has them tells (planning guess)."""


@dataclass(frozen=True, slots=True)
class Spell:
    """Some minutes on one piece in an evening, and how far it is then; ``left`` sittings on it come after."""

    piece: str
    minutes: int
    what: str
    left: int


@dataclass(frozen=True, slots=True)
class Evening:
    """One day's knitting in the order in which it is done."""

    day: date
    day_text: str
    takes: str
    spells: tuple[Spell, ...]


def merged(sittings: tuple[Sitting, ...]) -> list[Sitting]:
    """Put crumbs of a piece to its next sitting, or else to the one before; a piece of crumbs alone is one sitting."""
    found: list[Sitting] = []
    for piece in dict.fromkeys(one.piece for one in sittings):
        mine: list[Sitting] = []
        carried = 0
        for one in (sitting for sitting in sittings if sitting.piece == piece):
            if one.minutes + carried < CRUMB:
                carried += one.minutes
                last = one
                continue
            mine.append(replace(one, minutes=one.minutes + carried))
            carried = 0
        if carried and mine:
            mine[-1] = replace(mine[-1], minutes=mine[-1].minutes + carried)
        elif carried:
            mine.append(replace(last, minutes=carried))
        found += mine
    order = {(one.day, one.piece): place for place, one in enumerate(sittings)}
    return sorted(found, key=lambda one: (one.day, order[one.day, one.piece]))


def how_far(plan: Plan, knitter: Knitter, sittings: Sequence[Sitting]) -> tuple[str, ...]:
    """Word how far the piece is after each of a knitter's sittings, in their order, at the knitter's own pace.

    What is done stands there in whole steps, on the evening that brings it. A work that goes on over evenings says
    which part of it each of them is: else the work done the evening before would be named, and done, once more.
    What is wet is finished when it is dry, and so for every rest.
    """
    ladders = ladders_of(plan.course, plan.worked.kinds, knitter.pace)
    pieces = {piece.name: piece for piece in plan.choice.pieces}
    done: dict[str, int] = {}
    found = []
    for one in sittings:
        piece, before = pieces[one.piece], done.get(one.piece, 0)
        done[one.piece] = before + one.minutes
        ladder, begun = ladders[piece.kind], begun_at(plan.worked.question, piece)
        was, now = (under_way(ladder, piece.first, begun, minutes) for minutes in (before, done[one.piece]))
        found.append(_rests(plan, piece, was, now) or _by_evening(plan, piece, was, now, first=not before))
    return tuple(found)


def _rests(plan: Plan, piece: Piece, was: Place, now: Place) -> str:
    """Word the evening after which a piece is done but for a rest: until the day on which that is over."""
    worked, size, ready = plan.worked.kinds[piece.kind], plan.worked.size, plan.calendar.ready.get(piece.name)
    if now[1] >= 0 or ready is None or ready <= plan.calendar.finished[piece.name]:
        return ""
    stages = zip((worked.stage(key, size) for key in worked.order), was[0], now[0], strict=True)
    wet = [(stage.title, step.rest) for stage, start, end in stages for step in stage.steps[start:end] if step.drying]
    said = "; ".join(parts_in_words(now[0], worked, size))
    title, rest = wet[-1] if wet else (said, rest_of(worked, now[0], size))
    said, then = (f"{title} done", ", then finished") if said == "finished" else (said, "")
    return f"{said}; it {rest_named(rest).it} until {short_day(ready)}{then}"


Place = tuple[State, int, float, float]
"""How far a piece is: the state, the stage of the step under way, the minutes worked of that step, and all it takes."""


def _by_evening(plan: Plan, piece: Piece, was: Place, now: Place, *, first: bool) -> str:
    worked, size, state = plan.worked.kinds[piece.kind], plan.worked.size, now[0]
    if first and not any(state):
        stage = next((key for key, goal in zip(worked.order, piece.first, strict=True) if goal), "")
        return f"{worked.stage(stage, size).title} begun" if stage else in_words(state, worked, size)
    stays, told = state == was[0], parts_in_words(was[0], worked, size)
    text = "; ".join(one for one in parts_in_words(state, worked, size) if one not in told)
    earlier = round(was[2]) if was[2] >= WORTH_TELLING else 0
    if not stays and earlier and _long(worked, size, was):
        step, last = _next(worked, size, was)[1].text, f"the last {round(was[3]) - earlier} of {round(was[3])} min"
        alone = step.lower() in text.lower() or len(_next(worked, size, was)[0].steps) == 1
        text += f" ({last})" if alone else f" ({last} of “{step}”)"
    if now[1] < 0 or not (now[2] >= WORTH_TELLING or stays) or not (stays or _long(worked, size, now)):
        return text or in_words(state, worked, size)  # of a piece that is only ripped back nothing comes new
    more = earlier if stays else 0
    much = f"{round(now[2]) - more} of {round(now[3])} min"
    part = _part(worked, size, now, f"another {much}" if more else f"the first {much}")
    return f"{text}; {part}" if text else part


def _next(worked: WorkedPattern, size: int, place: Place) -> tuple[WorkedStage, Step]:
    """The stage and the step that are under way at a place."""
    stage = worked.stage(worked.order[place[1]], size)
    return stage, stage.steps[place[0][place[1]]]


def _long(worked: WorkedPattern, size: int, place: Place) -> bool:
    """Whether a work is under way there, no row or round of many, that is worth cutting over evenings."""
    if place[1] < 0 or place[3] < 2 * CRUMB:
        return False
    step = _next(worked, size, place)[1]
    return not (step.is_round or step.kind == PART)


def _part(worked: WorkedPattern, size: int, place: Place, part: str) -> str:
    stage, step = _next(worked, size, place)
    if step.is_round or step.kind == PART:
        number = stage.rounds_at(place[0][place[1]])
        of = f"{'row' if step.flat else 'round'} {stage.numbers[number] if stage.numbers else number + 1}"
        return f"{stage.title}, {part} of {of}"
    return f"{stage.title}: {step.text}, {part}"


def evenings(plan: Plan, name: str) -> tuple[Evening, ...]:
    """Give a knitter's evenings, each with the state that a piece has by its end, at the knitter's own pace."""
    knitter = next(one for one in who_knits(plan.course) if one.name == name)
    sittings = merged(tuple(one for one in plan.calendar.sittings if one.person == name))
    left = Counter(one.piece for one in sittings)
    found: dict[date, list[Spell]] = {}
    for one, what in zip(sittings, how_far(plan, knitter, sittings), strict=True):
        left[one.piece] -= 1
        found.setdefault(one.day, []).append(Spell(one.piece, one.minutes, what, left[one.piece]))
    return tuple(
        Evening(day, short_day(day), duration(sum(one.minutes for one in spells)), tuple(spells))
        for day, spells in sorted(found.items())
    )
