"""The ladder of states of a piece, and what each rung costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

State = tuple[int, ...]
"""Steps (rounds, rows or jobs) done of each stage, in the order of ``Ladder.stages``."""


def contains(later: State, earlier: State) -> bool:
    """Whether a piece in state ``earlier`` can be worked on to ``later``: no stage goes backward."""
    return len(later) == len(earlier) and all(a >= b for a, b in zip(later, earlier, strict=True))


@dataclass(frozen=True, slots=True)
class Ladder:
    """Hands-on minutes and waiting minutes of the stages of one thing, for each kind of piece.

    ``stages``: names. ``before``: for each stage the indices of the stages that must be complete before it
    is begun. ``minutes``: for each kind (full, short, small) and stage the hands-on minutes from the stage's
    beginning to 0, 1, ... n steps done. ``drying``: for each stage the minutes of waiting (drying, setting)
    after 0 ... n steps, counted up in the same way; it is the same for all kinds.

    Raises ValueError when the lengths do not match, when minutes are negative or fall, when a stage stands
    before itself or when an index names no stage.
    """

    stages: tuple[str, ...]
    before: tuple[tuple[int, ...], ...]
    minutes: Mapping[str, tuple[tuple[float, ...], ...]]
    drying: tuple[tuple[float, ...], ...]

    def __post_init__(self) -> None:
        if len(self.before) != len(self.stages) or len(self.drying) != len(self.stages):
            raise ValueError("a ladder needs one entry of `before` and of `drying` for each stage")
        for stage, needed in zip(self.stages, self.before, strict=True):
            for index in needed:
                if not 0 <= index < len(self.stages) or self.stages[index] == stage:
                    raise ValueError(f"stage {stage} cannot come after stage number {index}")
        self._check_counts("drying", self.drying)
        for kind, table in self.minutes.items():
            self._check_counts(kind, table)

    def _check_counts(self, what: str, table: tuple[tuple[float, ...], ...]) -> None:
        if len(table) != len(self.stages):
            raise ValueError(f"{what}: {len(table)} stages given, {len(self.stages)} needed")
        for stage, counted, waits in zip(self.stages, table, self.drying, strict=True):
            if not counted or len(counted) != len(waits):
                raise ValueError(f"{what}: stage {stage} has {len(counted)} entries, drying has {len(waits)}")
            if counted[0] < 0 or any(b < a for a, b in pairwise(counted)):
                raise ValueError(f"{what}: the minutes of stage {stage} are negative or fall")

    def steps(self, stage: int) -> int:
        """How many steps the stage with this index has."""
        return len(self.drying[stage]) - 1

    def is_state(self, state: State) -> bool:
        """Whether ``state`` is a down-set: each stage under way has all stages before it complete."""
        if len(state) != len(self.stages):
            return False
        if not all(0 <= done <= self.steps(stage) for stage, done in enumerate(state)):
            return False
        return all(
            done == 0 or all(state[need] == self.steps(need) for need in self.before[stage])
            for stage, done in enumerate(state)
        )

    def contains(self, later: State, earlier: State) -> bool:
        """Whether a piece in state ``earlier`` can be worked on to ``later``."""
        return contains(later, earlier)

    def cost(self, kind: str, state: State) -> float:
        """Hands-on minutes from nothing to ``state`` in this kind, stage by stage. KeyError: no such kind."""
        table = self.minutes[kind]
        return float(sum(counted[done] for counted, done in zip(table, state, strict=True)))

    def between(self, kind: str, a: State, b: State) -> float:
        """Hands-on minutes from state ``a`` to state ``b`` in this kind. ValueError: b lacks some of a."""
        if not contains(b, a):
            raise ValueError(f"a piece cannot go back from {a} to {b}")
        return max(0.0, self.cost(kind, b) - self.cost(kind, a))

    def dried(self, state: State) -> float:
        """Minutes of drying and other waiting from nothing to ``state``."""
        return float(sum(counted[done] for counted, done in zip(self.drying, state, strict=True)))
