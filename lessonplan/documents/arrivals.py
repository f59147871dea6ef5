"""When each piece is due, done and there, from where it comes, and what papers say of one that is late or missing."""

from __future__ import annotations

from collections.abc import Container
from datetime import date, timedelta

from lessonplan.course.words import count_of, listing, short_day
from lessonplan.planning.worked import Plan, due_day
from lessonplan.samples.choice import Piece


def size_of(plan: Plan) -> str:
    """Name the size that is filmed; nothing for a pattern of one size."""
    sizes = plan.course.pattern.sizes
    return sizes[plan.worked.size].name if len(sizes) > 1 else ""


def drawer_names(plan: Plan) -> frozenset[str]:
    """Give the names of the pieces in the drawer."""
    return frozenset(item.name for item in plan.course.course.samples.drawer)


def from_drawer(plan: Plan, piece: Piece) -> str:
    """Give the name of the piece in the drawer that a piece is; nothing for one that is new or was agreed."""
    return piece.ready if piece.ready in drawer_names(plan) else ""


def done_day(plan: Plan, piece: Piece) -> date:
    """Give the day by whose end a piece is done: when it is due, or later where its maker can be no sooner."""
    due = due_day(plan, piece)
    return max(due, plan.calendar.ready.get(piece.name, due))


def arrival(plan: Plan, piece: Piece) -> date:
    """Give the last day on which a piece arrives: days in hand are for the way, one there must be."""
    eve = due_day(plan, piece) + timedelta(days=plan.course.course.samples.days_to_spare)
    return max(eve, done_day(plan, piece) + timedelta(days=1))


def too_late(plan: Plan, piece: Piece) -> str:
    """Say by how much a piece comes after its first shot; nothing where it is there, though no days may be in hand."""
    late = next((one for one in plan.calendar.late if one.piece == piece.name), None)
    if late is None:
        return ""
    if late.days is None:
        return "never ready"
    over = late.days - plan.course.course.samples.days_to_spare
    return f"{count_of(over, 'day')} too late for the shoot" if over > 0 else ""


def missing(plan: Plan, letters: Container[str], day: date) -> str:
    """Say which of some pieces are not there on a shoot day, and when they are done: ``R (done on Thu 25 Feb 2027)``.

    Nothing where all are; one that comes late but on the eve is there.
    """
    late = {one.piece: one.days for one in plan.calendar.late}
    found = list[str]()
    for piece in plan.choice.pieces:
        if piece.name not in late or piece.name not in letters:
            continue
        if late[piece.name] is None:
            found.append(f"{piece.name} (never ready)")
        elif done_day(plan, piece) >= day:
            found.append(f"{piece.name} (done on {short_day(done_day(plan, piece))})")
    return f"Not there on this day: {listing(found)}." if found else ""
