"""What the choice of step samples answers: the pieces, where each goes, and what it all costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lessonplan.samples.ladder import State


@dataclass(frozen=True, slots=True)
class Spell:
    """Minutes knitted on a piece in one go: during shot ``index`` or in the pause after shot ``index``."""

    slot: Literal["shot", "pause"]
    index: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Stop:
    """A piece in one shot.

    ``copy``: 1-based number among the pieces of that appearance; ``spare`` ones come last. ``knitting``: what
    was knitted on since the stop before, in order of time (empty for the first stop).
    """

    appearance: str
    shot: int
    start: State
    end: State
    copy: int = 1
    spare: bool = False
    knitting: tuple[Spell, ...] = ()

    @property
    def knitted(self) -> float:
        """Minutes knitted on since the stop before."""
        return sum(spell.minutes for spell in self.knitting)


@dataclass(frozen=True, slots=True)
class Piece:
    """One physical piece: ``first`` is the state it is knitted to before the shoot, in ``bench`` minutes.

    ``drawer``: the name of the drawer piece it is, or empty for a new one. ``cost``: overhead, bench and
    floor minutes at their weights; the camera's waiting is shared by all pieces and not in it.
    """

    name: str
    kind: str
    drawer: str
    first: State
    bench: float
    floor: float
    cost: float
    stops: tuple[Stop, ...]


@dataclass(frozen=True, slots=True)
class Wait:
    """The camera waits ``minutes`` in the pause after shot ``index``, beyond that pause's own minutes."""

    index: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Impossible:
    """An appearance that no piece can serve, and why, as a clause."""

    appearance: str
    why: str


@dataclass(frozen=True, slots=True)
class Choice:
    """The pieces to knit and where each goes.

    ``cost`` and ``naive_cost`` are weighted minutes, the other minutes are plain. The naive way is a fresh
    piece for every appearance, copy and spare, in the cheapest accepted kind. ``optimal``: no plan costs less
    than ``cost`` (within 1e-6 relative); else ``bound`` is proven and ``gap`` = (cost - bound) / cost.
    ``impossible``: appearances left out because nothing can serve them. ``unused``: drawer pieces not needed.
    """

    pieces: tuple[Piece, ...]
    waits: tuple[Wait, ...]
    cost: float
    bench_minutes: float
    floor_minutes: float
    waiting_minutes: float
    naive_pieces: int
    naive_cost: float
    naive_minutes: float
    optimal: bool
    gap: float
    bound: float
    impossible: tuple[Impossible, ...] = ()
    unused: tuple[str, ...] = ()
