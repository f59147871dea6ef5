"""What the choice of step samples is asked: appearances, the shoot's timeline, the drawer, the weights."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.samples.ladder import Ladder, State


@dataclass(frozen=True, slots=True)
class Appearance:
    """A piece on the table in one shot.

    ``shot``: index in filming order, 0-based; several appearances may share a shot and then need different
    pieces. ``start``, ``end``: the states when the shot starts and ends (equal when it is only shown).
    ``kinds``: the kinds that will do. ``copies``: how many fresh pieces the shot takes, each moved from start
    to end. ``spare``: further pieces that must stand ready in the start state, used or not.
    """

    name: str
    shot: int
    start: State
    end: State
    kinds: tuple[str, ...]
    copies: int = 1
    spare: int = 0


@dataclass(frozen=True, slots=True)
class Shot:
    """A shot: ``minutes`` on the floor; ``helpers``: pairs of hands knitting meanwhile on other pieces."""

    name: str
    minutes: float
    helpers: int = 0


@dataclass(frozen=True, slots=True)
class Pause:
    """The time between a shot and the next one.

    ``minutes``: clock time (changeover, lunch, a night). ``hands``: minutes of knitting there is in it, in
    sum over all hands. ``waiting``: further minutes the camera may wait; each adds one minute to the clock
    and one minute of knitting, and costs ``Weights.waiting``.
    """

    minutes: float
    hands: float = 0.0
    waiting: float = 0.0


@dataclass(frozen=True, slots=True)
class Drawer:
    """A piece that exists already. Before the shoot it is knitted on to the state it is first needed in."""

    name: str
    kind: str
    state: State


@dataclass(frozen=True, slots=True)
class Weights:
    """What each thing costs, all in minutes of bench work.

    ``piece``: overhead of each new piece. ``bench``: per minute knitted before the shoot. ``floor``: per
    minute knitted between the first and last shot, by whomever. ``waiting``: per minute the camera waits, on
    top of ``floor``. ``drawer``: overhead of using a piece from the drawer. ValueError when one is negative.
    """

    piece: float
    bench: float = 1.0
    floor: float = 1.0
    waiting: float = 4.0
    drawer: float = 0.0

    def __post_init__(self) -> None:
        if min(self.piece, self.bench, self.floor, self.waiting, self.drawer) < 0:
            raise ValueError("a weight cannot be negative")


@dataclass(frozen=True, slots=True)
class Limit:
    """At most ``count`` new pieces may be knitted before the shoot to exactly ``state`` in ``kind``."""

    kind: str
    state: State
    count: int


@dataclass(frozen=True, slots=True)
class Problem:
    """All that the choice depends on.

    ``pauses[i]`` lies between shot i and shot i+1; one after the last shot may be given and is not used.
    ``limits``: for what-ifs. ValueError when times or counts are negative, when an appearance names a shot
    that is not there, or when two appearances or two drawer pieces have one name.
    """

    ladder: Ladder
    appearances: tuple[Appearance, ...]
    shots: tuple[Shot, ...]
    pauses: tuple[Pause, ...]
    drawer: tuple[Drawer, ...]
    weights: Weights
    limits: tuple[Limit, ...] = ()

    def __post_init__(self) -> None:
        if len(self.pauses) < len(self.shots) - 1:
            raise ValueError(f"{len(self.shots)} shots need {len(self.shots) - 1} pauses between them")
        if any(min(s.minutes, s.helpers) < 0 for s in self.shots):
            raise ValueError("a shot cannot have negative minutes or helpers")
        if any(min(p.minutes, p.hands, p.waiting) < 0 for p in self.pauses):
            raise ValueError("a pause cannot have negative minutes")
        for a in self.appearances:
            if not 0 <= a.shot < len(self.shots):
                raise ValueError(f"appearance {a.name} names shot {a.shot}, which is not there")
            if a.copies < 0 or a.spare < 0:
                raise ValueError(f"appearance {a.name} has a negative number of pieces")
        for names in ([a.name for a in self.appearances], [d.name for d in self.drawer]):
            if len(set(names)) != len(names):
                raise ValueError("two appearances or two drawer pieces have the same name")


def why_impossible(ladder: Ladder, appearance: Appearance) -> str:
    """Why no piece can serve this appearance, in one clause; empty when one can."""
    if not any(kind in ladder.minutes for kind in appearance.kinds):
        kinds = " or ".join(appearance.kinds) or "no kind at all"
        return f"it accepts only {kinds}, which the ladder does not have"
    if not ladder.is_state(appearance.start):
        return "the state it starts in cannot be reached: a stage is begun before those it needs are complete"
    if not ladder.is_state(appearance.end):
        return "the state it ends in cannot be reached: a stage is begun before those it needs are complete"
    if not ladder.contains(appearance.end, appearance.start):
        return "the state it ends in lacks something of the state it starts in"
    return ""
