"""Pieces that are ready and must not come to some demands: each is asked for as a kind of its own.

Where a piece comes after its first demand is known of no piece, only of its kind; so a piece that is kept from
something is the only one of a kind that is worked like its own, in which nothing new is begun.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from lessonplan.samples.choice.answer import Choice, Piece, Stop
from lessonplan.samples.choice.question import Demand, Limit, Question, Ready, Way


def kinds_apart(question: Question) -> tuple[Question, Mapping[str, str]]:
    """Put the question with such kinds, and give the kind that each of them was."""
    kept = {f"{one.kind}: {one.name}": one for one in question.ready if one.not_for}
    if not kept:
        return question, {}
    limits = {
        Limit(kind, way.start, 0, demand.name if demand.apart else "")
        for kind, piece in kept.items()
        for demand in question.demands
        for way in _also(demand, kind, piece)
    }
    ready = (replace(one, kind=f"{one.kind}: {one.name}") if one.not_for else one for one in question.ready)
    asked = replace(
        question,
        ladders={**question.ladders, **{kind: question.ladders[one.kind] for kind, one in kept.items()}},
        demands=tuple(
            replace(one, ways=(*one.ways, *(way for kind, piece in kept.items() for way in _also(one, kind, piece))))
            for one in question.demands
        ),
        ready=tuple(ready),
        limits=(*question.limits, *sorted(limits, key=lambda one: (one.kind, one.state, one.apart))),
    )
    return asked, {kind: one.kind for kind, one in kept.items()}


def _also(demand: Demand, kind: str, piece: Ready) -> tuple[Way, ...]:
    """The ways in which a piece that is kept from something may serve a demand, as of a kind of its own."""
    if demand.name in piece.not_for:
        return ()
    return tuple(replace(way, kind=kind) for way in demand.ways if way.kind == piece.kind)


def as_asked(choice: Choice, was: Mapping[str, str]) -> Choice:
    """Give the plan with the kinds that were asked for."""

    def stop(one: Stop) -> Stop:
        return replace(one, way=replace(one.way, kind=was.get(one.way.kind, one.way.kind)))

    def piece(one: Piece) -> Piece:
        return replace(one, kind=was.get(one.kind, one.kind), stops=tuple(map(stop, one.stops)))

    return replace(choice, pieces=tuple(map(piece, choice.pieces))) if was else choice
