"""Pieces that are not needed any more and can stand in for one that is spoilt in a move for good; and their yarn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

from lessonplan.course.model.agreed import BROKEN
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import listing
from lessonplan.craft.words import words_of
from lessonplan.documents.livework import left_on
from lessonplan.documents.shots import ShotText, all_shots, kind_label
from lessonplan.documents.stopping import stop_words
from lessonplan.documents.wording import duration
from lessonplan.documents.worklines import StageLines, lines_of, steps_of
from lessonplan.pattern.amounts.materials import Used, used
from lessonplan.pattern.amounts.yarn import is_waste, yarn_length
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Piece, State, contains
from lessonplan.samples.choice.ladder import total
from lessonplan.samples.knitters import yarn_between
from lessonplan.samples.states import in_words
from lessonplan.shoot.day import Day


@dataclass(frozen=True, slots=True)
class StandIn:
    """A piece that is not needed any more and can be worked on to stand in for a spoilt one; minutes of work."""

    piece: Piece
    minutes: float
    begun: State
    goal: State


def stand_ins(plan: Plan, text: ShotText) -> tuple[tuple[StandIn, ...], float]:
    """Give the pieces that may stand in for one spoilt in a move for good, the quickest first, and a new one's minutes.

    As many as there are takes; none where a new piece is as quick, and 0 minutes where none is asked for. What must
    dry first stands in for nothing on the day: a new one that must takes for ever; nor does what was noted as broken.
    """
    asked = [one for one in plan.worked.table if one.shot == text.number and one.moves]
    if not text.one_way or len(asked) != 1:
        return (), 0.0
    order, agreed = plan.worked.order, plan.course.agreed
    broken = {letter for letter, far in agreed.progress.items() if far == BROKEN} if agreed else set[str]()
    found, fresh = list[StandIn](), list[float]()
    for kind, stands in asked[0].stands.items():
        ladder = plan.worked.question.ladders[kind]
        fresh.append(inf if total(ladder.drying, stands.start) else total(ladder.bench, stands.start))
        for piece in plan.choice.pieces:
            last = piece.stops[-1]
            free = order.index(shot_of(last.demand)) < order.index(text.number)
            if piece.kind != kind or piece.name in broken or not free or not contains(stands.start, last.end):
                continue
            if total(ladder.drying, stands.start) == total(ladder.drying, last.start):
                more = total(ladder.bench, stands.start) - total(ladder.bench, last.end)
                found.append(StandIn(piece=piece, minutes=more, begun=last.end, goal=stands.start))
    found.sort(key=lambda one: (one.minutes, one.piece.name))
    return tuple(one for one in found[: text.takes] if one.minutes < min(fresh)), min(fresh)


def minutes_left(plan: Plan, number: str) -> float:
    """Minutes from the planned beginning of a shot to the wrap, without breaks; the day may last as long as planned."""
    day = plan.day_of(number)
    start = next(entry.start for entry in day.shots if entry.number == number)
    breaks = (one.end - one.start for one in day.entries if one.is_break and one.start >= start)
    return max(day.planned_wrap, day.wrap) - start - sum(breaks)


def in_time(plan: Plan, text: ShotText) -> tuple[StandIn, ...]:
    """Give the pieces that may stand in for one spoilt, worked so far by the wrap; where a day follows, for then."""
    found, _ = stand_ins(plan, text)
    if found and plan.day_of(text.number) is plan.days[-1]:
        left = minutes_left(plan, text.number)
        return tuple(one for one in found if one.minutes <= left)
    return found


@dataclass(frozen=True, slots=True)
class Instead:
    """What is worked on a piece that must stand in, for which shot and how long, with the stop and the lines.

    ``moved``: where to begin, since its last shot may have left it inside a round, or not have moved it on.
    """

    letter: str
    number: str
    takes: str
    kind: str
    stop: str
    moved: str
    stages: tuple[StageLines, ...]


def lines_to_stand_in(plan: Plan, day: Day) -> tuple[Instead, ...]:
    """Give the lines for each piece that may stand in on a day, shot by shot."""
    texts, size, words = all_shots(plan), plan.worked.size, words_of(plan.course.pattern)
    return tuple(
        Instead(
            letter=one.piece.name,
            number=entry.number,
            takes=duration(one.minutes),
            kind=kind_label(plan, one.piece.kind),
            stop=stop_words(one.goal, plan.worked.kinds[one.piece.kind], size, words=words).sentence,
            moved=left_on(plan, one.piece, one.piece.stops[-1], one.goal) or _unmoved(plan, one.piece),
            stages=lines_of(plan, one.piece.kind, one.begun, one.goal),
        )
        for entry in day.shots
        for one in in_time(plan, texts[entry.number])
    )


def _unmoved(plan: Plan, piece: Piece) -> str:
    """Say how far a piece still is if the later take that moves it in its last shot, or it as a spare, is not used."""
    last = piece.stops[-1]
    if last.end == last.start or not (last.copy > 1 or last.spare):
        return ""
    bench, worked = plan.worked.question.ladders[piece.kind].bench, plan.worked.kinds[piece.kind]
    far = in_words(last.start, worked, plan.worked.size)
    more = duration(total(bench, last.end) - total(bench, last.start))
    number = shot_of(last.demand)
    return f"If {number} has not moved it on, first do on it what {number} does, from “{far}” on: {more} more."


def may_stand_in(plan: Plan, day: Day) -> Mapping[str, Sequence[str]]:
    """Give the pieces that may stand in on a day, by their letters, each with the shots in which they may."""
    return _stand_in(plan)[day.number]


@remembered(2)
def _stand_in(plan: Plan) -> Mapping[int, Mapping[str, Sequence[str]]]:
    """The same of all days, by their numbers."""
    texts = all_shots(plan)
    every = dict[int, Mapping[str, Sequence[str]]]()
    for day in plan.days:
        found = defaultdict[str, list[str]](list)
        for entry in day.shots:
            for one in in_time(plan, texts[entry.number]):
                found[one.piece.name].append(entry.number)
        every[day.number] = dict(found)
    return every


def spoilt_in(plan: Plan, letter: str) -> tuple[str, ...]:
    """Give the shots, on whichever day, in which a piece that has served may stand in for what is spoilt there."""
    return tuple(number for day in plan.days for number in may_stand_in(plan, day).get(letter, ()))


def to_stand_in(plan: Plan, shots: Sequence[str]) -> str:
    """Word the pieces to have at hand for some shots to stand in for spoilt ones, and stuff for as much as it may take.

    Nothing where no piece may.
    """
    texts, asked = all_shots(plan), dict[str, list[str]]()  # shots in which the same will do are named together
    for number in shots:
        most, stuff = defaultdict[str, float](float), dict[str, Used]()
        ready = in_time(plan, texts[number])
        for one in ready:
            for use in used(plan.course.pattern, steps_of(plan, one.piece.kind, one.begun, one.goal)):
                stuff[use.key] = max(use, stuff.get(use.key, use), key=lambda each: each.amount)
            for yarn in yarn_between(plan.course, plan.worked.kinds[one.piece.kind], one.begun, one.goal):
                most[yarn.yarn] = max(most[yarn.yarn], yarn.metres)
        yarns = [name for name in plan.course.pattern.yarns if most[name] and not is_waste(plan.course.pattern, name)]
        each = [f"{yarn_length(plan.course.pattern, [most[name]])} of {name}" for name in yarns]
        each += [f"{use} of {use.name}" for use in stuff.values()]
        beside = f", with {listing(each)}" if each else ""
        letters = " or ".join(sorted((one.piece.name for one in ready), key=lambda name: (len(name), name)))
        if letters:
            asked.setdefault(letters + beside, []).append(number)
    wants = [
        (" or ".join(shots), what.replace(", with", ", each with") if shots[1:] else what)
        for what, shots in asked.items()
    ]
    if wants[1:]:
        return f"to stand in for a spoilt piece: {'; '.join(f'in {numbers} {what}' for numbers, what in wants)}"
    return "".join(f"to stand in for a piece spoilt in {numbers}: {what}" for numbers, what in wants)
