"""Pick-up shots: what the errata ask to be filmed again, planned as a small shoot from the pieces that are left.

The pieces of the last plan, as their last shots left them, are the drawer; one that was made wrong on purpose, or that
no words reach in its state, is not in it. One that made a move for good cannot be taken back, so it is there only where
it is wanted as it is. Shots keep their numbers and slates.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from datetime import date

from lessonplan.course.model.settings import Drawer, ShootDay
from lessonplan.course.names.slates import named_shots
from lessonplan.course.problems import Problem
from lessonplan.course.values.quantities import read_clock
from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.planning.worked import Plan, ask, plan_worked
from lessonplan.samples.choice import Progress
from lessonplan.samples.pieces import table_pieces
from lessonplan.samples.states import typed
from lessonplan.shoot.day import filming_order

REMEDY = "pick-up shot"


def day_of(day: date, call: str) -> ShootDay:
    """Make a shoot day from its date and the time of its call. Raises ``ValueError`` for a time that is none."""
    return ShootDay(day=day, call=read_clock(call), films=())


@dataclass(frozen=True, slots=True)
class Kept:
    """What a shot with a move for good would cost again, in minutes: from what is left, and with one more piece now."""

    number: ShotNumber
    again: float
    now: float


def keep_back(plan: Plan, progress: Progress | None = None) -> tuple[Kept, ...]:
    """Say of each shot with a move for good what filming it again would ask of the knitters.

    ``again``: knitting for it from the pieces that are left. ``now``: how much more is knitted before the shoot when a
    piece is kept back for it from the beginning (a spare more). A shot for which no plan is found is left out.
    """
    found = []
    for one in plan.course.shots():
        if one.shot.one_way:
            again, _, _ = pick_ups(plan, ShootDay(day=plan.days[-1].day, films=()), (one.number,), progress)
            more = with_spare(plan, one.number, progress)
            if again and more is not None:
                found.append(Kept(one.number, again.choice.bench_minutes, more))
    return tuple(found)


def with_spare(plan: Plan, number: ShotNumber, progress: Progress | None = None) -> float | None:
    """Give the minutes of knitting before the shoot that a piece kept back for a shot adds; None without a plan."""
    shot = plan.course.shot(number)
    pieces = tuple(one.model_copy(update={"spare": one.spare + 1}) if one.leaves else one for one in shot.pieces)
    course = plan.course.with_shots({number: shot.model_copy(update={"pieces": pieces})})
    table, _ = table_pieces(course, plan.worked.kinds)
    worked = replace(plan.worked, course=course, table=table, listed=filming_order(course))
    made, _ = plan_worked(ask(worked), progress)
    return made.choice.bench_minutes - plan.choice.bench_minutes if made else None


def wanted(plan: Plan) -> tuple[ShotNumber, ...]:
    """Give the shots that errata which are not mended ask to be filmed again, in the order of the story."""
    named = {
        one.number
        for erratum in plan.course.errata.errata
        if erratum.remedy == REMEDY and erratum.state != "mended"
        for one in named_shots(plan.course, erratum.where)
    }
    return tuple(one.number for one in plan.course.shots() if one.number in named)


def left_over(plan: Plan, numbers: Collection[ShotNumber]) -> tuple[Drawer, ...]:
    """Give the pieces of a plan as they are left after its last shots, as things in a drawer for some shots."""
    return tuple(_left(plan, numbers))


def _left(plan: Plan, numbers: Collection[ShotNumber]) -> Iterator[Drawer]:
    apart = {one.name for one in plan.worked.question.demands if one.apart}
    asked = {(kind, at.start) for one in plan.worked.table if one.shot in numbers for kind, at in one.stands.items()}
    for piece in plan.choice.pieces:
        for_good = any(
            plan.course.shot(shot_of(stop.demand)).one_way and stop.start != stop.end for stop in piece.stops
        )
        if any(stop.demand in apart for stop in piece.stops):
            continue
        if for_good and (piece.kind, piece.stops[-1].end) not in asked:
            continue
        try:
            state = typed(piece.stops[-1].end, plan.worked.kinds[piece.kind], plan.worked.size)
        except ValueError:
            continue
        yield Drawer.model_validate({"name": f"{piece.name} of the shoot", "kind": piece.kind, "state": state})


def pick_ups(
    plan: Plan, day: ShootDay, numbers: tuple[ShotNumber, ...], progress: Progress | None = None
) -> tuple[Plan | None, tuple[Problem, ...], tuple[Drawer, ...]]:
    """Plan some shots for a day once more, whose own ``films`` are not looked at.

    Gives the plan, or None with the problems that stand in its way, and the drawer that it started from.
    """
    drawer = left_over(plan, numbers)
    file = plan.course.course
    samples = file.samples.model_copy(update={"drawer": (*drawer,)})
    shoot = (day.model_copy(update={"films": tuple(str(number) for number in numbers)}),)
    file = file.model_copy(
        update={"shoot": shoot, "samples": samples, "title": f"{file.title}: pick-ups", "release": None, "kit": None}
    )
    course = plan.course.model_copy(update={"course": file, "agreed": None})
    table = tuple(one for one in plan.worked.table if one.shot in numbers)
    worked = replace(plan.worked, course=course, table=table, listed=filming_order(course))
    made, problems = plan_worked(ask(worked), progress)
    return replace(made, again=True) if made else None, tuple(one for one in problems if one.code != "drawer"), drawer
