"""What the choice of step samples is asked: who must stand on the table when, the clock, what exists, the weights."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lessonplan.samples.choice.ladder import Ladder, State, contains


@dataclass(frozen=True, slots=True)
class Slot:
    """A stretch of the shoot: a shot, a pause or a part of one; slots follow each other without a gap.

    ``clock``: its minutes. ``hands``: minutes of knitting there is in it, in sum over all pairs of hands; each piece
    takes one pair and no more of it than the clock gives. ``waiting``: further minutes the camera may wait; each adds
    one minute to the clock and one to the hands, and costs ``Weights.waiting``. ``name``: for the one who asks.
    """

    clock: float
    hands: float = 0.0
    waiting: float = 0.0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """One way of serving a demand: with a piece of this kind that comes in ``start`` and is left in ``end``.

    ``base`` is the state from which later work is counted (None: ``end``). For a spare, of which nobody knows whether
    it was used, it is ``start``: it serves only what contains the end state, but the time is counted from the start.
    ``only_after``: only the very piece that served the demand of this name just before comes this way.
    """

    kind: str
    start: State
    end: State
    base: State | None = None
    only_after: str = ""

    @property
    def counted(self) -> State:
        """The state from which later work is counted."""
        return self.end if self.base is None else self.base


@dataclass(frozen=True, slots=True)
class Demand:
    """So many pieces on the table from slot ``slot`` to slot ``until`` (the same, unless given), each by a way.

    Several ways of one kind say that any of several states will do. A piece that is ``apart`` serves nothing else.
    ``spare`` is only told on in the answer. ``group``: what copies are numbered in, with those of other demands
    (the demand's own name, unless given).
    """

    name: str
    slot: int
    ways: tuple[Way, ...]
    count: int = 1
    apart: bool = False
    until: int = -1
    spare: bool = False
    group: str = ""

    @property
    def last(self) -> int:
        """The last slot in which the pieces stand on the table."""
        return max(self.slot, self.until)


@dataclass(frozen=True, slots=True)
class Ready:
    """A piece that exists, or that was agreed: where it is, and where it is to stop before the shoot.

    Up to ``agreed`` nothing costs again; another first stop than that costs ``Weights.change``. ``letter``: the name
    it keeps (none: it gets one like a new piece). ``weight``: what using it costs instead of ``Weights.drawer``.
    ``only_for``: the demand for which it was set apart; a demand that is apart takes no other that is ready.
    ``not_for``: the demands to which it never comes. ``serves``: those that it was to come to, in this order; of
    plans of equal cost the one is taken that leaves most of it.
    """

    name: str
    kind: str
    state: State
    agreed: State | None = None
    letter: str = ""
    weight: float | None = None
    only_for: str = ""
    not_for: frozenset[str] = frozenset()
    serves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Weights:
    """What each thing costs, all in minutes of bench work.

    ``piece``: overhead of each new piece. ``bench``: per minute knitted before the shoot. ``floor``: per minute
    knitted on the set, by whomever. ``waiting``: per minute the camera waits, on top of ``floor``. ``drawer``:
    overhead of using a piece that is ready; ``change``: of stopping one elsewhere than was agreed. ValueError when one
    is negative.
    """

    piece: float
    bench: float = 1.0
    floor: float = 1.0
    waiting: float = 4.0
    drawer: float = 0.0
    change: float = 1.0

    def __post_init__(self) -> None:
        if min(self.piece, self.bench, self.floor, self.waiting, self.drawer, self.change) < 0:
            raise ValueError("a weight cannot be negative")


@dataclass(frozen=True, slots=True)
class Limit:
    """At most ``count`` new pieces may be begun in exactly ``state`` in ``kind``.

    ``apart``: the name of a demand that is apart, if it is the pieces for that one; else those for all others.
    """

    kind: str
    state: State
    count: int
    apart: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """All that the choice depends on; ``ladders`` has one for each kind, all of the same stages.

    ValueError when times or counts are negative, when something named is not there, or when two things have one name.
    """

    ladders: Mapping[str, Ladder]
    demands: tuple[Demand, ...]
    slots: tuple[Slot, ...]
    ready: tuple[Ready, ...]
    weights: Weights
    limits: tuple[Limit, ...] = ()

    def __post_init__(self) -> None:
        if len({(ladder.stages, ladder.before) for ladder in self.ladders.values()}) > 1:
            raise ValueError("the kinds do not have the same stages in the same order")
        if any(min(slot.clock, slot.hands, slot.waiting) < 0 for slot in self.slots):
            raise ValueError("a slot cannot have negative minutes")
        names = [demand.name for demand in self.demands]
        for demand in self.demands:
            if not 0 <= demand.slot <= demand.last < len(self.slots):
                raise ValueError(f"demand {demand.name} names a slot that is not there")
            if demand.count < 0:
                raise ValueError(f"demand {demand.name} is for a negative number of pieces")
            if any(way.only_after and way.only_after not in names for way in demand.ways):
                raise ValueError(f"demand {demand.name} comes after one that is not there")
        for piece in self.ready:
            if piece.kind not in self.ladders or not self.ladders[piece.kind].is_state(piece.state):
                raise ValueError(f"piece {piece.name} is in a state that is not there")
        letters = [piece.letter for piece in self.ready if piece.letter]
        for texts in (names, [piece.name for piece in self.ready], letters):
            if len(set(texts)) != len(texts):
                raise ValueError("two demands or two pieces that are ready have the same name")

    def possible(self, demand: Demand) -> tuple[Way, ...]:
        """The ways of a demand that any piece could come, the same one once."""
        return tuple(dict.fromkeys(way for way in demand.ways if not self._wrong(way)))

    def _wrong(self, way: Way) -> str:
        if way.kind not in self.ladders:
            return "kind"
        ladder = self.ladders[way.kind]
        for what, state in (("starts", way.start), ("ends", way.end), ("counts from", way.counted)):
            if not ladder.is_state(state):
                return f"the state it {what} in cannot be reached: a stage is begun before those it needs are complete"
        if not (contains(way.end, way.start) and contains(way.end, way.counted)):
            return "the state it ends in lacks something of the state it starts in"
        return ""

    def why_impossible(self, demand: Demand) -> str:
        """Why no piece can serve this demand, in one clause; empty when one can."""
        wrong = [self._wrong(way) for way in demand.ways]
        if not all(wrong):
            return ""
        kinds = " or ".join(dict.fromkeys(way.kind for way in demand.ways)) or "no kind at all"
        return next((why for why in wrong if why != "kind"), f"it accepts only {kinds}, which the ladder does not have")
