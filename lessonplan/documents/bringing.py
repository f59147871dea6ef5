"""What is known of a piece before it is brought: from where it comes, by when it is due, and the yarn to lay out."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from lessonplan.documents.laidout import uses_before, uses_on_set, yarn_of
from lessonplan.documents.wording import count_of
from lessonplan.pattern.amounts.materials import Used
from lessonplan.pattern.amounts.yarn import Amount
from lessonplan.planning.worked import Plan
from lessonplan.planning.worked import due_day as due
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


def due_day(plan: Plan, piece: Piece) -> date:
    """Give the day by whose end a piece must be ready."""
    return due(plan.worked, piece)


def arrival(plan: Plan, due: date) -> date:
    """Give the last day on which a piece due on a day arrives: days in hand are for the way, one there must be."""
    return due + timedelta(days=max(1, plan.course.course.samples.days_to_spare))


def yarn_text(amounts: tuple[Amount, ...]) -> str:
    """Word the yarn to lay out: ``MC 38 m (17 g), waste 1 m``; whole metres and grams, rounded up."""
    grams = {one.yarn: f" ({one.grams} g)" if one.grams else "" for one in amounts}
    return ", ".join(f"{one.yarn} {one.whole_metres} m{grams[one.yarn]}" for one in amounts)


def laid_out(plan: Plan, piece: Piece) -> str:
    """Word all that is laid out for a piece: its yarn, and what else it uses up, before the shoot and on the set."""
    before = ", ".join(filter(None, (yarn_text(yarn_of(plan, piece)), uses_text(uses_before(plan, piece)))))
    on_set = uses_text(uses_on_set(plan, piece))
    return "; ".join(filter(None, (before, on_set and f"on the set {on_set}")))


def uses_text(uses: Iterable[Used], *, packs: bool = False) -> str:
    """Word amounts of materials: ``stoneware clay 450 g``; with their packs, where they are to be bought."""
    return ", ".join(
        f"{one.name} {one}" + (f" ({count_of(one.packs, 'pack')} of {one.in_a_pack})" if packs and one.packs else "")
        for one in uses
    )
