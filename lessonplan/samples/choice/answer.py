"""What the choice of step samples answers: the pieces, where each goes, and what it all costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from lessonplan.samples.choice.ladder import State
from lessonplan.samples.choice.question import Way

Progress = Callable[[float | None, float | None], None]
"""Called now and then with the best cost so far and the proven bound (None while there is none)."""


class NoPlanError(Exception):
    """No plan exists within the limits."""


@dataclass(frozen=True, slots=True)
class Spell:
    """Minutes in which a piece is worked on in a slot, or from whose beginning on it dries."""

    slot: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Stop:
    """A piece on the table for a demand, which it serves in the state of ``way``.

    ``copy``: 1-based number among the pieces of the demand's group. What happened to the piece on the set since its
    stop before, in order of time: ``spells`` of work, of which the first ``ripping`` minutes take rounds back, and
    ``drying``, which no work of the same piece runs into.
    """

    demand: str
    slot: int
    way: Way
    copy: int
    spare: bool
    ripping: float
    spells: tuple[Spell, ...]
    drying: tuple[Spell, ...]

    @property
    def start(self) -> State:
        """The state in which the piece comes."""
        return self.way.start

    @property
    def end(self) -> State:
        """The state in which it is left."""
        return self.way.end

    @property
    def worked(self) -> float:
        """Minutes of work since the stop before, ripping and knitting."""
        return sum(spell.minutes for spell in self.spells)


@dataclass(frozen=True, slots=True)
class Piece:
    """One physical piece: ``first`` is the state it is brought to before the shoot, in ``bench`` minutes of work.

    ``ready``: the name of the piece that is ready which it is, or empty for a new one. ``floor``: minutes of work on
    the set.
    """

    name: str
    kind: str
    ready: str
    first: State
    bench: float
    floor: float
    stops: tuple[Stop, ...]

    def before(self, stop: Stop) -> Stop | None:
        """The stop before one; None before the first."""
        place = self.stops.index(stop)
        return self.stops[place - 1] if place else None

    def brought(self, stop: Stop) -> State:
        """The state from which it is worked on for a stop: that which the stop before counts on, else the first."""
        before = self.before(stop)
        return before.way.counted if before else self.first


@dataclass(frozen=True, slots=True)
class Costs:
    """Weighted minutes by what they are for; they add up to the cost of a plan."""

    pieces: float
    bench: float
    floor: float
    waiting: float
    drawer: float
    change: float

    @property
    def total(self) -> float:
        """The whole cost."""
        return self.pieces + self.bench + self.floor + self.waiting + self.drawer + self.change


@dataclass(frozen=True, slots=True)
class Choice:
    """The pieces to make and where each goes; ``waits``: how long the camera waits in which slots.

    ``cost``, ``costs`` and ``naive_cost`` are weighted minutes, the other minutes are plain; ``bench_minutes`` are
    those still to be worked, whether they cost anything again or not. The naive way is a fresh piece for every piece
    asked for, in the cheapest way. ``optimal``: no plan costs less than ``cost`` (within 1e-6 relative and the little
    that tells equal plans apart); else ``bound`` is proven and ``gap`` = (cost - bound) / cost. Demands that
    nothing can serve are left out (`Question.why_impossible`). ``unused``: pieces that are ready and serve nothing.
    """

    pieces: tuple[Piece, ...]
    waits: tuple[Spell, ...]
    cost: float
    costs: Costs
    bench_minutes: float
    floor_minutes: float
    waiting_minutes: float
    naive_pieces: int
    naive_cost: float
    naive_minutes: float
    optimal: bool
    gap: float
    bound: float
    unused: tuple[str, ...]
