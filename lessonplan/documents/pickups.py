"""What is said of pick-up shots: what is filmed again with which pieces, and what a move for good would cost again."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.craft.words import words_of
from lessonplan.documents.tables import table
from lessonplan.documents.wording import clock, duration, listing
from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning.filmed.pickups import Kept
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece
from lessonplan.samples.states import in_words


def pick_up_table(again: Plan) -> str:
    """Set the pieces of a pick-up shoot as text, with the day and the work before it."""
    day = again.days[0]
    rows = [
        (
            piece.name,
            _from(piece),
            _first(again, piece),
            duration(piece.bench) if piece.bench else "nothing",
            _shots(piece),
        )
        for piece in again.choice.pieces
    ]
    head = f"{day.day.isoformat()}, call {clock(day.call)}, wrap about {clock(day.wrap)}."
    make = words_of(again.course.pattern).make
    before = f"To {make} before: {duration(again.choice.bench_minutes) if again.choice.bench_minutes else 'nothing'}."
    return "\n".join([head, before, "", table(("Piece", "From", "As it must be", f"To {make}", "For"), rows)])


def kept_table(plan: Plan, numbers: Sequence[ShotNumber], kept: Sequence[Kept]) -> str:
    """Say which shots are asked for again, and set what moves for good would cost again as text."""
    asked = (
        f"To be filmed again: {listing([str(one) for one in numbers])}." if numbers else "Nothing is asked for again."
    )
    if not kept:
        return asked
    rows = [(str(one.number), _title(plan, one.number), duration(one.again), duration(one.now)) for one in kept]
    cheaper = [one for one in kept if one.now < one.again]
    make = words_of(plan.course.pattern).make
    advice = (
        f"Keep a piece back for {listing([str(one.number) for one in cheaper])} (“spare: 1” at the piece)."
        if cheaper
        else f"No piece need be kept back: each is cheaper to {make} again from what is left."
    )
    head = ("Shot", "Cannot be undone", "Again from what is left", "To keep a piece back now")
    return "\n".join([asked, "", table(head, rows), "", advice])


def pick_up_data(plan: Plan, numbers: Sequence[ShotNumber], kept: Sequence[Kept], again: Plan | None) -> dict[str, Any]:
    """Give the same as plain values, times in minutes."""
    data: dict[str, Any] = {
        "shots": [str(one) for one in numbers],
        "kept_back": [
            {"shot": str(one.number), "again": round(one.again, 1), "now": round(one.now, 1)} for one in kept
        ],
    }
    if again:
        data["bench_minutes"] = round(again.choice.bench_minutes, 1)
        data["pieces"] = [
            {"piece": one.name, "from": one.ready, "state": _first(again, one), "minutes": round(one.bench, 1)}
            for one in again.choice.pieces
        ]
    return data


def _from(piece: Piece) -> str:
    return piece.ready or "new"


def _first(again: Plan, piece: Piece) -> str:
    return in_words(piece.first, again.worked.kinds[piece.kind], again.worked.size)


def _shots(piece: Piece) -> str:
    return listing([stop.demand for stop in piece.stops])


def _title(plan: Plan, number: ShotNumber) -> str:
    return fill(plan.course.shot(number).title, for_size(plan.worked.facts, plan.worked.size))
