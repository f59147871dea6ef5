"""What is said of pick-up shots: what is filmed again with which pieces, and what a move for good would cost again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import listing
from lessonplan.craft.words import words_of
from lessonplan.documents.tables import table
from lessonplan.documents.wording import duration, rest_time
from lessonplan.pattern.texts import fill
from lessonplan.planning.filmed.pickups import KeptBack
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, contains
from lessonplan.samples.knitters import begun_at
from lessonplan.samples.states import in_words
from lessonplan.shoot.day import clock


def pick_up_table(again: Plan) -> str:
    """Set the pieces of a pick-up shoot as text, with the day and the work before it."""
    day = again.days[0]
    rows = [
        (
            piece.name,
            _now(again, piece),
            _first(again, piece),
            _work(again, piece),
            listing([stop.demand for stop in piece.stops]),
        )
        for piece in again.choice.pieces
    ]
    head = f"{day.day.isoformat()}, call {clock(day.call)}, wrap about {clock(day.wrap)}."
    make = words_of(again.course.pattern).make
    before = f"To {make} before: {duration(again.choice.bench_minutes) if again.choice.bench_minutes else 'nothing'}."
    return "\n".join([head, before, "", table(("Piece", "As it was left", "As it must be", f"To {make}", "For"), rows)])


def _work(again: Plan, piece: Piece) -> str:
    """Word the work on a piece before the day; of one that is further than it must be, there is only to take back."""
    back = " to take back" if contains(begun_at(again.worked.question, piece), piece.first) else ""
    return f"{duration(piece.bench)}{back}" if piece.bench else "nothing"


def kept_table(plan: Plan, numbers: Sequence[ShotNumber], kept: Sequence[KeptBack]) -> str:
    """Say which shots are asked for again, and set what moves for good would cost again as text."""
    asked = (
        f"To be filmed again: {listing([str(one) for one in numbers])}." if numbers else "Nothing is asked for again."
    )
    if not kept:
        return asked
    rows = [
        (
            str(one.number),
            _title(plan, one.number),
            duration(one.again),
            rest_time(one.rests) if one.rests else "",
            duration(one.now),
            duration(one.then),
        )
        for one in kept
    ]
    head = (
        "Shot",
        "Cannot be undone",
        "Again from what is left",
        "It lies for",
        "To keep one back now",
        "Again with it",
    )
    return "\n".join([asked, "", table(head, rows), "", *_advice(plan, kept)])


def _advice(plan: Plan, kept: Sequence[KeptBack]) -> Iterator[str]:
    """Say for which shots a piece is best kept back before the shoot, and for which a new one would do."""
    pays, make = [one for one in kept if one.pays], words_of(plan.course.pattern).make
    waits = [one for one in kept if one.rests and not one.pays]
    if pays:
        yield (
            f"Keep a piece back for {_shots_of(pays)} (“spare: 1” at the piece): it costs no more now than at a "
            "pick-up, and is there at once."
        )
    if waits:
        yield f"For {_shots_of(waits)} a piece kept back spares the time for which another would have to lie."
    if len(pays) + len(waits) < len(kept):
        rest = [one for one in kept if one not in pays and one not in waits]
        yield f"For {_shots_of(rest)} none need be kept back: to {make} on what is left is cheaper."


def _shots_of(kept: Sequence[KeptBack]) -> str:
    return listing([str(one.number) for one in kept])


def pick_up_data(numbers: Sequence[ShotNumber], kept: Sequence[KeptBack], again: Plan | None) -> dict[str, Any]:
    """Give the same as plain values, times in minutes."""
    data: dict[str, Any] = {
        "shots": [str(one) for one in numbers],
        "kept_back": [
            {"shot": str(one.number)}
            | {key: round(getattr(one, key), 1) for key in ("again", "rests", "now", "then")}
            | {"pays": one.pays}
            for one in kept
        ],
    }
    if again:
        data["bench_minutes"] = round(again.choice.bench_minutes, 1)
        data["pieces"] = [
            {
                "piece": one.name,
                "left": _now(again, one),
                "state": _first(again, one),
                "minutes": round(one.bench, 1),
            }
            for one in again.choice.pieces
        ]
    return data


def _now(again: Plan, piece: Piece) -> str:
    if not piece.ready:
        return "a new one"
    return in_words(begun_at(again.worked.question, piece), again.worked.kinds[piece.kind], again.worked.size)


def _first(again: Plan, piece: Piece) -> str:
    return in_words(piece.first, again.worked.kinds[piece.kind], again.worked.size)


def _title(plan: Plan, number: ShotNumber) -> str:
    return fill(plan.course.shot(number).title, plan.worked.word)
