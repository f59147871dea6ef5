"""The ladder of states of one kind of piece, and what each rung costs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from operator import ge, getitem
from typing import Any

State = tuple[int, ...]
"""Steps (rounds, rows or jobs) done of each stage, in the order of ``Ladder.stages``."""
Table = tuple[tuple[float, ...], ...]
"""For each stage what 0, 1, ... n of its steps come to, counted up."""


def contains(later: State, earlier: State) -> bool:
    """Whether a piece in state ``earlier`` can be worked on to ``later``: no stage goes backward."""
    return len(later) == len(earlier) and all(map(ge, later, earlier))


def meet(a: State, b: State) -> State:
    """What two states have in common: so far a piece in one is ripped back to become the other."""
    return tuple(map(min, a, b))


@dataclass(frozen=True, slots=True)
class Ladder:
    """The stages of one kind of piece, and what their steps take, in minutes counted up from nothing.

    ``stages``: names, none before a stage that it needs. ``before``: for each stage the indices of the stages that
    must be complete before it is begun. ``bench``: knitting before the shoot; ``floor``: knitting on the set, at the
    pace of whoever knits there; ``ripping``: taking the steps back; ``drying``: waiting for what a step leaves wet or
    unset. ``fixed``: how many of the steps cannot be taken back.

    Work on several stages is done in their order, and a step that needs drying holds up all that comes after it.
    Raises ValueError when the lengths do not match, when numbers are negative or fall, or when a stage needs one
    that does not stand before it.
    """

    stages: tuple[str, ...]
    before: tuple[tuple[int, ...], ...]
    bench: Table
    floor: Table
    ripping: Table
    drying: Table
    fixed: tuple[tuple[int, ...], ...]
    known: dict[object, Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What was worked out of this ladder: the same few ways are asked about for every order of the shots."""

    def __post_init__(self) -> None:
        tables = (self.bench, self.floor, self.ripping, self.drying, self.fixed)
        if any(len(table) != len(self.stages) for table in (self.before, *tables)):
            raise ValueError("a ladder needs one entry of everything for each stage")
        for number, (stage, needed) in enumerate(zip(self.stages, self.before, strict=True)):
            if not all(0 <= index < number for index in needed):
                raise ValueError(f"stage {stage} cannot come after a stage that does not stand before it")
            rows = [table[number] for table in tables]
            if not all(rows) or len(set(map(len, rows))) > 1:
                raise ValueError(f"stage {stage} does not have equally many steps in all tables")
            if any(row[0] < 0 or any(b < a for a, b in pairwise(row)) for row in rows):
                raise ValueError(f"the numbers of stage {stage} are negative or fall")

    def steps(self, stage: int) -> int:
        """How many steps the stage with this index has."""
        return len(self.drying[stage]) - 1

    def is_state(self, state: State) -> bool:
        """Whether each stage under way has all stages before it complete."""
        return len(state) == len(self.stages) and _in_order(self.before, tuple(map(len, self.drying)), state)

    def cost(self, state: State) -> float:
        """Bench minutes from nothing to ``state``."""
        return total(self.bench, state)

    def between(self, a: State, b: State) -> float:
        """Bench minutes from state ``a`` to state ``b``. ValueError: b lacks some of a."""
        if not contains(b, a):
            raise ValueError(f"a piece cannot go back from {a} to {b}")
        return max(0.0, self.cost(b) - self.cost(a))

    def dried(self, state: State) -> float:
        """Minutes of drying and other waiting from nothing to ``state``."""
        return total(self.drying, state)

    def can_rip(self, a: State, b: State) -> bool:
        """Whether a piece in ``a`` can be ripped back to ``b``, which it contains: nothing between is for good."""
        return total(self.fixed, a) == total(self.fixed, b)

    def phases(self, a: State, b: State) -> Iterator[tuple[float, float]]:
        """The work on the set from ``a`` to ``b`` in order: minutes of knitting, then minutes of drying, and so on."""
        knitted = 0.0
        for floor, drying, start, stop in zip(self.floor, self.drying, a, b, strict=True):
            since = start
            for step in range(start, stop):
                dry = drying[step + 1] - drying[step]
                if dry > 0:
                    yield knitted + floor[step + 1] - floor[since], dry
                    knitted, since = 0.0, step + 1
            if stop > since:
                knitted += floor[stop] - floor[since]
        if knitted > 0:
            yield knitted, 0.0


@lru_cache(4096)  # the same few states are asked about for every order of the shots
def _in_order(before: tuple[tuple[int, ...], ...], ends: tuple[int, ...], state: State) -> bool:
    """Whether the stages have so many steps (``ends`` is one more), and those before one under way are complete."""
    return all(
        0 <= done < ends[stage] and (done == 0 or all(state[need] == ends[need] - 1 for need in before[stage]))
        for stage, done in enumerate(state)
    )


def total(table: Table | tuple[tuple[int, ...], ...], state: State) -> float:
    """What all the steps of a state come to in one of the tables."""
    return float(sum(map(getitem, table, state)))
