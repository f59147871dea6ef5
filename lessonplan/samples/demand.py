"""Appearances taken apart into demands: so many equal pieces, one state to enter and one to leave with."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.samples.ladder import State
from lessonplan.samples.problem import Problem, why_impossible


@dataclass(frozen=True, slots=True)
class Demand:
    """``count`` pieces that must stand in ``start`` when ``shot`` begins, in one of ``kinds``.

    Afterwards each can serve what contains ``end``, and the work until then counts from ``base``. For a piece
    that is filmed both are its end state. For a spare nobody knows whether it was used: it serves only what
    contains the end state, but its time is counted from the start state, so the plan holds in either case.
    """

    appearance: int
    name: str
    shot: int
    start: State
    end: State
    base: State
    kinds: tuple[str, ...]
    count: int
    spare: bool


def demands(problem: Problem) -> list[Demand]:
    """All demands of the appearances that can be served, by shot, then name; spares after the others."""
    found: list[Demand] = []
    for index, a in enumerate(problem.appearances):
        if why_impossible(problem.ladder, a):
            continue
        kinds = tuple(sorted({kind for kind in a.kinds if kind in problem.ladder.minutes}))
        if a.copies:
            found.append(Demand(index, a.name, a.shot, a.start, a.end, a.end, kinds, a.copies, False))
        if a.spare:
            found.append(Demand(index, a.name, a.shot, a.start, a.end, a.start, kinds, a.spare, True))
    return sorted(found, key=lambda d: (d.shot, d.name, d.spare))


@dataclass(frozen=True, slots=True)
class Link:
    """The same pieces serve demand ``a`` and then demand ``b``, in ``kind``; minutes in between."""

    a: int
    b: int
    kind: str
    knitting: float
    drying: float
