"""A course planned whole: read, worked, its shots put in the order that the host picked, samples and days."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from lessonplan.course.problems import Problem, has_errors, in_reading_order
from lessonplan.planning.agreed.changes import change_notes
from lessonplan.planning.contradicted import contradicted
from lessonplan.planning.coverage import not_covered
from lessonplan.planning.filmed.keptcaptions import kept_captions
from lessonplan.planning.filmed.kepttakes import filmed
from lessonplan.planning.worked import Result, Worked, ask, load, plan_worked, settle, slots_in_order
from lessonplan.samples.choice import Choice, Progress
from lessonplan.shoot.day import Day, Listed
from lessonplan.shoot.order.compare import Order, orders
from lessonplan.shoot.order.setting import Asked, setting_of


def plan(
    folder: Path | str, *, use_learnt: bool = True, progress: Progress | None = None, today: date | None = None
) -> Result:
    """Read a course folder and plan all of it: samples and shoot days besides the arithmetic.

    The shots are filmed in the course's ``order``; no work is planned before ``today`` (else the day of the agreement),
    unless that is past the first shoot day. Raises ``OSError`` when a file cannot be read. With errors in the
    course the plan is None and the problems say why.
    """
    loaded = load(folder, use_learnt=use_learnt)
    if loaded.worked is None:
        return loaded
    worked = in_picked_order(replace(loaded.worked, today=today))
    planned, found = plan_worked(worked, progress)
    found = _with_orders(worked, found)
    takes, unread = filmed(Path(folder), worked)
    captions, unheard = kept_captions(Path(folder), worked.course)
    planned = replace(planned, takes=takes, captions=captions) if planned else None
    words = (*change_notes(planned), *contradicted(planned)) if planned else ()
    told = (*unread, *unheard, *not_covered(worked), *words)
    problems = in_reading_order((*loaded.problems, *found, *told), loaded.files)
    return Result(None if has_errors(problems) else worked, planned, problems, loaded.files)


def _with_orders(worked: Worked, problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Say of days that run over in which order of the shots they would not.

    The orders are worked out only then, and the cheapest, which takes a search, only by the command for it.
    """
    late = [one for one in problems if one.code == "late-day"]
    if not late:
        return problems
    last = "Film some shots on another day, or call earlier."
    if worked.course.course.order == "cheapest":
        return tuple(replace(one, hint=last) if one is late[-1] else one for one in problems)
    orders = {one.name: one for one in all_orders(worked, search=False)}
    now = orders[worked.course.course.order]
    kept = [one for one in orders.values() if not one.broken]
    fits = next((one for one in kept if one.late < 0.5), None)
    best = min(kept, key=lambda one: one.late, default=now)
    search = "“lessonplan orders COURSE” looks for a cheaper one."
    if fits:
        hint = f"With “order: {fits.name}” in course.yaml every day ends in time."
    elif best.late < now.late - 0.5:
        much = f"{best.late:.0f} minutes late in all instead of {now.late:.0f}"
        hint = f"“order: {best.name}” is nearer, {much}; {search}"
    else:
        hint = f"{last} {search}"
    return tuple(replace(one, hint=hint) if one is late[-1] else one for one in problems)


def all_orders(worked: Worked, *, search: bool = True) -> tuple[Order, ...]:
    """Work out the orders of the shots side by side, under the course's locks; without ``search`` not the cheapest."""

    def asked(listed: tuple[Listed, ...]) -> Asked:
        """The question of the samples for the shots in an order."""
        here = replace(worked, listed=listed)
        return Asked(lambda: ask(here).question, slots_in_order(here))

    def settled(listed: tuple[Listed, ...]) -> tuple[Choice, tuple[Day, ...]]:
        """The samples and days for the shots in an order."""
        _, choice, days = settle(ask(replace(worked, listed=listed)))
        return choice, days

    return orders(setting_of(worked.course, worked.listed, worked.clocks), asked, settled, search=search)


def in_picked_order(worked: Worked) -> Worked:
    """Put the shots in the order that the course picks; as listed, nothing is worked out."""
    name = worked.course.course.order
    if name == "as listed":
        return worked
    return in_order(worked, next(one for one in all_orders(worked) if one.name == name))


def in_order(worked: Worked, order: Order) -> Worked:
    """Put the shots in an order, and the question of the samples anew."""
    shots = {item.number: item for item in worked.listed}
    return ask(replace(worked, listed=tuple(shots[number] for part in order.sequence for number in part)))
