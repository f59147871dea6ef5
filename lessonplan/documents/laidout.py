"""What to lay out for one piece: yarn and materials for before the shoot, for its shots and for the helper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import ceil

from lessonplan.course.model.pattern import Pattern
from lessonplan.course.values.shotnumbers import place_of, shot_of
from lessonplan.course.words import count_of
from lessonplan.documents.stopping import hanging
from lessonplan.documents.worklines import steps_of
from lessonplan.pattern.amounts.materials import Used, used
from lessonplan.pattern.amounts.yarn import Amount, is_waste, yarn_length
from lessonplan.pattern.worked import Step
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, State, Stop
from lessonplan.samples.choice.ladder import meet
from lessonplan.samples.knitters import begun_at, last_state, yarn_between

LEAST = 0.05
"""Metres of yarn that are none."""


def yarn_of(plan: Plan, piece: Piece) -> tuple[Amount, ...]:
    """Give the yarn to lay out for a piece, with what is worked from it on the set, and with the margin.

    What is ripped back before gives its yarn again, and so much less is laid out.
    """
    end = last_state(piece)
    filmed = next_step(plan, piece, end) if any(stop.start == end and _line(plan, stop) for stop in piece.stops) else ()
    begun = begun_at(plan.worked.question, piece)
    worked = plan.worked.kinds[piece.kind]
    asked = yarn_between(plan.course, worked, begun, end, filmed)
    free = {one.yarn: one.metres for one in yarn_between(plan.course, worked, meet(begun, piece.first), begun)}
    left = [(one, 1 - free.get(one.yarn, 0.0) / one.metres) for one in asked if one.metres]
    return tuple(replace(one, metres=part * one.metres) for one, part in left if part > 0)


def yarn_on_set(plan: Plan, piece: Piece) -> dict[str, int]:
    """Give the whole metres of each yarn that is worked from a piece after it is brought, in shots and between them."""
    course, worked, begun = plan.course, plan.worked.kinds[piece.kind], begun_at(plan.worked.question, piece)
    before = {one.yarn: one.metres for one in yarn_between(course, worked, begun, piece.first)}
    every = {one.yarn: one.metres for one in yarn_of(plan, piece)}
    left = {name: metres - before.get(name, 0.0) for name, metres in every.items()}
    return {name: ceil(metres) for name, metres in left.items() if metres > LEAST}


def yarns_on_day(plan: Plan, piece: Piece, day: int) -> tuple[str, ...]:
    """Name the yarns that are worked from a piece on a shoot day (0-based): in its shots, between them and at night."""
    live, before, steps = live_shots(plan, piece), piece.first, list[Step]()
    for stop in piece.stops:
        if any(_day(plan, spell.slot) == day for spell in stop.spells):
            steps += steps_of(plan, piece.kind, before, stop.start)
        if _day(plan, stop.slot) == day and shot_of(stop.demand) in live:
            steps += (*steps_of(plan, piece.kind, stop.start, stop.end), *next_step(plan, piece, stop.start))
        before = stop.way.counted
    used = {name for step in steps for name, _ in (*step.yarns, *step.tails)}
    return tuple(name for name in plan.course.pattern.yarns if name in used and not is_waste(plan.course.pattern, name))


def _day(plan: Plan, slot: int) -> int:
    return plan.worked.listed[plan.worked.slots[slot].shot].day


def uses_of(plan: Plan, *pieces: Piece) -> tuple[Used, ...]:
    """Give the materials that some pieces use, on the set too, with the margin."""
    steps = (
        step
        for piece in pieces
        for step in steps_of(plan, piece.kind, begun_at(plan.worked.question, piece), last_state(piece))
    )
    return used(plan.course.pattern, steps)


def uses_before(plan: Plan, *pieces: Piece) -> tuple[Used, ...]:
    """Give the materials that some pieces use before the shoot, with the margin: the rest is brought to the set."""
    question = plan.worked.question
    steps = (step for piece in pieces for step in steps_of(plan, piece.kind, begun_at(question, piece), piece.first))
    return used(plan.course.pattern, steps)


def uses_on_set(plan: Plan, piece: Piece) -> tuple[Used, ...]:
    """Give the materials that a piece uses on the set, with the margin."""
    return used(plan.course.pattern, steps_of(plan, piece.kind, piece.first, last_state(piece)))


def uses_on_day(plan: Plan, day: int) -> tuple[Used, ...]:
    """Give the materials that are worked into pieces on a shoot day (0-based), in its shots and for them."""
    steps: list[Step] = []
    for piece in plan.choice.pieces:
        before = piece.first
        for stop in piece.stops:
            if _day(plan, stop.slot) == day:
                steps += steps_of(plan, piece.kind, before, stop.end)
            before = stop.end
    return used(plan.course.pattern, steps)


def next_step(plan: Plan, piece: Piece, state: State) -> tuple[Step, ...]:
    """Give the step that would come next: as much yarn as a shot works from a piece, a round at most (a guess)."""
    for stage, done in plan.worked.kinds[piece.kind].open_stages(state, plan.worked.size):
        step = stage.steps[done]
        return (step,) if step.yarns or step.tails else ()
    return ()


def yarn_shots(plan: Plan, piece: Piece) -> dict[str, tuple[str, ...]]:
    """Give for each yarn that is worked from a piece once it is brought the shots in which it is, or for which.

    Round stitches on waste yarn the yarn that hangs there is worked too.
    """
    found, before = dict[str, dict[str, None]](), piece.first
    for stop in piece.stops:
        steps = [*steps_of(plan, piece.kind, before, stop.start), *steps_of(plan, piece.kind, stop.start, stop.end)]
        steps += next_step(plan, piece, stop.start) if stop.end == stop.start and _line(plan, stop) else ()
        names = [name for step in steps for name, _ in (*step.yarns, *step.tails)]
        if any(step.kind == "placeholder" for step in steps):
            names += hanging(stop.start, plan.worked.kinds[piece.kind], plan.worked.size)
        for name in names:
            found.setdefault(name, {})[shot_of(stop.demand)] = None
        before = stop.way.counted
    order = plan.worked.order
    every = (*plan.course.pattern.yarns, *found)
    return {name: tuple(sorted(found[name], key=order.index)) for name in every if name in found}


def only_shown(plan: Plan, stop: Stop) -> bool:
    """Whether a piece is only shown in the shot of a stop, beside one that must be so far: no hand works on it."""
    pieces = plan.course.shot(shot_of(stop.demand)).pieces
    return bool(pieces[place_of(stop.demand)].shows) and any(one.needs for one in pieces)


def _line(plan: Plan, stop: Stop) -> bool:
    """Whether a line is worked in the shot of a stop, and may be on its piece."""
    return not only_shown(plan, stop) and any(one.work for one in plan.course.shot(shot_of(stop.demand)).hands)


def live_shots(plan: Plan, piece: Piece) -> list[str]:
    """Give the shots in which yarn of a piece is worked: a line is worked there, or the piece moves."""
    found = (shot_of(stop.demand) for stop in piece.stops if stop.end != stop.start or _line(plan, stop))
    return list(dict.fromkeys(found))


def yarn_text(pattern: Pattern, amounts: tuple[Amount, ...]) -> str:
    """Word the yarn to lay out: ``MC 38 m (17 g), waste 1 m``; whole metres (or yards) and grams, rounded up."""
    grams = {one.yarn: f" ({one.grams} g)" if one.grams else "" for one in amounts}
    return ", ".join(f"{one.yarn} {yarn_length(pattern, [one.metres])}{grams[one.yarn]}" for one in amounts)


def laid_out(plan: Plan, piece: Piece) -> str:
    """Word all that is laid out for a piece: its yarn, and what else it uses up, before the shoot and on the set."""
    before = ", ".join(
        filter(None, (yarn_text(plan.course.pattern, yarn_of(plan, piece)), uses_text(uses_before(plan, piece))))
    )
    on_set = uses_text(uses_on_set(plan, piece))
    return "; ".join(filter(None, (before, on_set and f"on the set {on_set}")))


def uses_text(uses: Iterable[Used], *, packs: bool = False) -> str:
    """Word amounts of materials: ``stoneware clay 450 g``; with their packs, where they are to be bought."""
    return ", ".join(
        f"{one.name} {one}" + (f" ({count_of(one.packs, 'pack')} of {one.in_a_pack})" if packs and one.packs else "")
        for one in uses
    )
