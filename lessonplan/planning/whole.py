"""A course planned whole: read, worked, its shots put in the order that the host picked, samples and days."""

from __future__ import annotations

from pathlib import Path

from lessonplan.course.problems import error, has_errors, in_reading_order
from lessonplan.planning.ordering import Order, ordered, orders
from lessonplan.planning.worked import Result, Worked, load, plan_worked
from lessonplan.samples.milp import Progress
from lessonplan.shoot.order import LockError


def plan(
    folder: Path | str, time_limit: float = 30.0, *, use_learnt: bool = True, progress: Progress | None = None
) -> Result:
    """Read a course folder and plan all of it: samples and shoot days besides the arithmetic.

    The shots are filmed in the course's ``order``. Raises ``OSError`` when a file cannot be read. With errors in the
    course the plan is None and the problems say why.
    """
    loaded = load(folder, use_learnt=use_learnt)
    if loaded.worked is None:
        return loaded
    try:
        worked = in_picked_order(loaded.worked)
    except LockError as bad:
        where = loaded.worked.course.course.mark("order")
        problems = in_reading_order((*loaded.problems, error(where, "locks", str(bad))), loaded.files)
        return Result(None, None, problems, loaded.files)
    planned, found = plan_worked(worked, time_limit, progress)
    problems = in_reading_order((*loaded.problems, *found), loaded.files)
    return Result(None if has_errors(problems) else worked, planned, problems, loaded.files)


def locks_of(worked: Worked) -> tuple[tuple[str, str], ...]:
    """Give the course's locks as pairs of shots of one day: this one before that one."""
    days = {item.number: item.day for item in worked.listed}
    pairs = []
    for item in worked.listed:
        for name in item.shot.after:
            before = [number for number in days if number.is_part_of(name)]
            pairs += [(number, item.number) for number in before if days[number] == item.day and number != item.number]
    return tuple(pairs)


def all_orders(worked: Worked) -> tuple[Order, ...]:
    """Work out the orders of the shots side by side, under the course's locks. Raises ``LockError``."""
    return orders(worked, locks=locks_of(worked))


def in_picked_order(worked: Worked) -> Worked:
    """Put the shots in the order that the course picks; as listed, nothing is worked out. Raises ``LockError``."""
    name = worked.course.course.order
    return worked if name == "as listed" else ordered(worked, name, among=all_orders(worked))
