"""The outline of a piece to scale, from its worked rounds and gauge: values in millimetres, heights upward.

A tube lies flat, so a round is half as wide as its stitches; a row has its whole width. Stages that go on with the
stitches of another stand above it in one part; a stage that starts from held or picked-up stitches is a branch
beside the body, at the height where its stitches were put aside.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby, pairwise

from lessonplan.pattern.shape.chains import (
    TAKES_UP,
    Chain,
    Event,
    Row,
    chains_of,
    flat_width,
    lay_aside,
    main_yarn,
    pair_holds,
)
from lessonplan.pattern.worked import WorkedPattern, WorkedStage

Point = tuple[float, float, float]
"""Height, left and right in mm."""

GAP = 5.0
"""Millimetres between a branch and what it stands beside, so that the two are told apart; a choice of this drawing."""
BOX = (60.0, 16.0)
"""Width and height of the box that stands for a stage when a pattern has no rounds at all; not to scale."""
LINE = "lifeline"
"""Edges of waste yarn that only run through stitches; they are pulled out when the part is closed."""
_NEAR = 1e-6


@dataclass(frozen=True, slots=True)
class Edge:
    """A stretch of stitches across a part: ``left`` to ``right`` at a ``height``, in mm.

    ``done`` tells whether the piece has it yet; ``how`` names the kind of the step that made it.
    """

    left: float
    right: float
    height: float
    stitches: int
    done: bool = True
    how: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """Neighbouring rounds of one stage in one yarn, all done or all to come; the profile goes from bottom to top."""

    stage: str
    yarn: str
    rounds: int
    done: bool
    profile: tuple[Point, ...]

    @property
    def area(self) -> float:
        """Area in square millimetres."""
        return sum((b[0] - a[0]) * (a[2] - a[1] + b[2] - b[1]) / 2 for a, b in pairwise(self.profile))


@dataclass(frozen=True, slots=True)
class Part:
    """What is worked in one go upward, and the branches beside it. ``live``: the stitches now on the needle."""

    bands: tuple[Band, ...]
    cast_on: Edge | None = None
    closed: Edge | None = None
    live: Edge | None = None
    waste: tuple[Edge, ...] = ()
    branches: tuple[Part, ...] = ()

    def walk(self) -> Iterator[Part]:
        """Give this part and every branch of it."""
        yield self
        for branch in self.branches:
            yield from branch.walk()

    def points(self) -> Iterator[Point]:
        """Give every corner of this part alone."""
        for band in self.bands:
            yield from band.profile
        for edge in (self.cast_on, self.closed, self.live, *self.waste):
            if edge:
                yield edge.height, edge.left, edge.right


@dataclass(frozen=True, slots=True)
class StageShare:
    """How much of a stage is done, in its rounds (or, without any, its steps)."""

    key: str
    title: str
    unit: str
    done: int
    whole: int


@dataclass(frozen=True, slots=True)
class Outline:
    """A piece to scale. ``to_scale`` is false for a pattern without any rounds: its stages are boxes then."""

    parts: tuple[Part, ...]
    stages: tuple[StageShare, ...]
    to_scale: bool = True

    def walk(self) -> Iterator[Part]:
        """Give every part with its branches."""
        for part in self.parts:
            yield from part.walk()

    @property
    def stitches(self) -> tuple[int, int]:
        """The stitches on the needle and on waste yarn."""
        waste = [edge for part in self.walk() for edge in part.waste if edge.done and edge.how != LINE]
        return sum(part.live.stitches for part in self.walk() if part.live), sum(edge.stitches for edge in waste)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, right, bottom and top in mm; all zero when there is nothing to draw."""
        points = [point for part in self.walk() for point in part.points()]
        if not points:
            return 0.0, 0.0, 0.0, 0.0
        heights = [point[0] for point in points]
        return min(p[1] for p in points), max(p[2] for p in points), min(heights), max(heights)

    def area(self, done: bool = True) -> float:
        """Area done, or to come, in square millimetres."""
        return sum(band.area for part in self.walk() for band in part.bands if band.done == done)


def outline(worked: WorkedPattern, size: int, state: Sequence[int]) -> Outline:
    """Draw the outline of a piece in one size (0-based) and a state: steps done of each stage of ``worked.order``.

    ``worked`` is the pattern as its kind of piece is worked. Raises ``ValueError`` when the state has not one entry for
    each stage.
    """
    return _outline(worked, size, tuple(state))


@lru_cache(maxsize=256)
def _outline(worked: WorkedPattern, size: int, state: tuple[int, ...]) -> Outline:
    if len(state) != len(worked.order):
        raise ValueError(f"a state of {len(worked.order)} stages has {len(state)} entries")
    done = dict(zip(worked.order, state, strict=True))
    shares = tuple(_share(worked.stage(key, size), done[key]) for key in worked.order)
    chains = chains_of(worked, size, done)
    if not any(chain.rows for chain in chains):
        return Outline((_boxes(worked, size, done),), shares, to_scale=False)
    pair_holds(worked, chains)
    for chain in chains:
        lay_aside(chain)
    return Outline(_assemble(worked, chains), shares)


def _share(stage: WorkedStage, done: int) -> StageShare:
    if not stage.rounds:
        return StageShare(
            key=stage.key, title=stage.title, unit="step", done=min(done, len(stage.steps)), whole=len(stage.steps)
        )
    unit = stage.unit
    return StageShare(key=stage.key, title=stage.title, unit=unit, done=stage.rounds_at(done), whole=len(stage.rounds))


def _assemble(worked: WorkedPattern, chains: list[Chain]) -> tuple[Part, ...]:
    """Put the parts together: branches at their places, other parts side by side."""
    built = [_part(chain) for chain in chains]
    where = {stage: index for index, chain in enumerate(chains) for stage in chain.stages}
    parents: dict[int, int] = {}
    for index, chain in enumerate(chains):
        parent, side, base = _root_of(worked, chains, index, where, built)
        if parent is None:
            continue
        parents[index] = parent
        family = [built[one] for one in (parent, *(i for i, p in parents.items() if p == parent and i != index))]
        built[index] = _beside(built[index], family, side, base, whole=chain.events[0].kind not in TAKES_UP)
    nested: dict[int, Part] = {}
    for index in reversed(range(len(chains))):
        below = tuple(nested[child] for child, parent in parents.items() if parent == index)
        nested[index] = replace(built[index], branches=below)
    row: list[Part] = []
    for index in range(len(chains)):
        if index not in parents:
            row.append(_next_to(nested[index], row))
    return tuple(row)


def _root_of(
    worked: WorkedPattern, chains: list[Chain], index: int, where: dict[str, int], built: list[Part]
) -> tuple[int | None, int, Edge]:
    """Tell which chain a branch grows from, on which side, and over which edge; no chain for what is cast on anew."""
    chain = chains[index]
    nothing = Edge(0, 0, 0, 0)
    first = chain.events[0] if chain.events and chain.events[0].at == 0 else None
    parent = next((where[name] for name in worked.before[chain.stages[0]] if where.get(name, index) < index), None)
    if first is None or first.kind not in (*TAKES_UP, "pick-up"):
        return None, 1, nothing
    for other, candidate in enumerate(chains[:index]):
        if first.pair in candidate.events:
            edge = built[other].waste[[e for e in candidate.events if e.kind == "hold"].index(first.pair)]
            body = (edge.left + edge.right) / 2
            return other, -1 if body < -_NEAR else 1, edge
    if parent is None:
        return None, 1, nothing
    stages = {name for name in worked.before[chain.stages[0]] if where.get(name) == parent}
    top = max((b.profile[-1][0] for b in built[parent].bands if b.stage in stages), default=0.0)
    return parent, 1, Edge(0, 0, top, 0)


def _beside(branch: Part, family: list[Part], side: int, base: Edge, whole: bool) -> Part:
    """Move a branch over its base, and outward until it is clear of what stands there already."""
    height = base.height
    points = list(branch.points())
    tall = max((point[0] for point in points), default=0.0)
    if whole:
        top = max((point[0] for part in family for point in part.points()), default=0.0)
        height = max(0.0, min(height, top - tall))
    moved = _shift(branch, (base.left + base.right) / 2, height)
    reach = [
        side * (point[2] if side > 0 else point[1])
        for part in family
        for band in part.bands
        for pair in pairwise(band.profile)
        if pair[1][0] > height + _NEAR and pair[0][0] < height + tall - _NEAR
        for point in pair
    ]
    inner = min((side * (point[1] if side > 0 else point[2]) for point in moved.points()), default=0.0)
    push = max(0.0, max(reach, default=inner - GAP) + GAP - inner)
    return _shift(moved, side * push, 0.0)


def _next_to(part: Part, row: list[Part]) -> Part:
    if not row:
        return part
    right = max((point[2] for before in row for one in before.walk() for point in one.points()), default=0.0)
    left = min((point[1] for one in part.walk() for point in one.points()), default=0.0)
    gap = max(3 * GAP, 0.05 * right)
    return _shift(part, right - left + gap, 0.0)


def _part(chain: Chain) -> Part:
    """Lay the rounds of a chain one on another, with its middle at 0 and its bottom at height 0."""
    heights = [0.0]
    for row in chain.rows:
        heights.append(heights[-1] + row.fabric.length(1))
    bands, start = [], 0
    for (stage, yarn, done), group in groupby(chain.rows, key=lambda row: (row.stage, row.yarn, row.done)):
        rows = list(group)
        profile = _profile(rows, heights[start : start + len(rows) + 1])
        bands.append(Band(stage=stage, yarn=yarn, rounds=len(rows), done=done, profile=profile))
        start += len(rows)
    holds = tuple(_hold_edge(chain, event, heights[event.at]) for event in chain.events if event.kind == "hold")
    rows_done = sum(row.done for row in chain.rows)
    live = _across(chain, rows_done, heights[rows_done], chain.live) if chain.live else None
    lines = tuple(
        replace(_across(chain, event.at, heights[event.at], event.before), done=event.done and bool(live), how=LINE)
        for event in chain.events
        if event.kind == LINE
    )
    return Part(
        bands=tuple(bands),
        cast_on=_cast_on(chain, heights),
        closed=_closed(chain, heights),
        live=live,
        waste=holds + lines,
    )


def _profile(rows: Sequence[Row], heights: Sequence[float]) -> tuple[Point, ...]:
    """The corners of some rounds, without those that lie on a straight line between others."""
    points: list[Point] = []
    for row, low, high in zip(rows, heights, heights[1:], strict=False):
        for point in ((low, *row.level(False)), (high, *row.level(True))):
            if points and points[-1] == point:
                continue
            if len(points) > 1 and _straight(points[-2], points[-1], point):
                points.pop()
            points.append(point)
    return tuple(points)


def _straight(a: Point, b: Point, c: Point) -> bool:
    """Tell whether b lies between a and c on both sides; corners on one level are kept."""
    if c[0] - b[0] < _NEAR or b[0] - a[0] < _NEAR:
        return False
    share = (b[0] - a[0]) / (c[0] - a[0])
    return all(abs(a[side] + share * (c[side] - a[side]) - b[side]) < _NEAR for side in (1, 2))


def _across(chain: Chain, at: int, height: float, stitches: int) -> Edge:
    """The edge of so many stitches in the middle, under the round with this index."""
    row = chain.rows[min(at, len(chain.rows) - 1)] if chain.rows else None
    if row is not None and at == len(chain.rows) and stitches == row.high:
        return Edge(*row.level(True), height, stitches)
    below = chain.rows[at - 1] if at else None
    if row is not None and not at and stitches == row.low:
        return Edge(*row.level(False), height, stitches)
    if below is not None and stitches == below.high:
        return Edge(*below.level(True), height, stitches)
    half = flat_width(stitches, row.fabric if row else chain.fabric, row.flat if row else False) / 2
    return Edge(-half, half, height, stitches)


def _hold_edge(chain: Chain, event: Event, height: float) -> Edge:
    """Where held stitches wait: at the side laid out for them, else at the right end of what lies below."""
    below = chain.rows[event.at - 1] if event.at else None
    waiting = event.done and not (event.pair and event.pair.done)
    if below is None:
        half = flat_width(event.stitches, chain.fabric, chain.rows[0].flat if chain.rows else False) / 2
        ends = -half, half
    else:
        left, right = below.level(True)
        wide = flat_width(event.stitches, below.fabric, below.flat)
        ends = (left, left + wide) if event.side < 0 else (right - wide, right)
    return Edge(*ends, height, event.stitches, waiting, "hold")


def _cast_on(chain: Chain, heights: Sequence[float]) -> Edge | None:
    event = next((one for one in chain.events if one.kind == "cast-on" and one.at == 0), None)
    if event:
        return replace(_across(chain, 0, 0.0, event.after), done=event.done, how="cast-on")
    if chain.rows and not any(one.at == 0 for one in chain.events):
        first = chain.rows[0]
        return Edge(*first.level(False), heights[0], first.low, first.done, "cast-on")
    return None


def _closed(chain: Chain, heights: Sequence[float]) -> Edge | None:
    """The edge that ends a part: bound off, grafted or drawn together to no stitches."""
    ends = [one for one in chain.events if one.kind in ("bind-off", "graft", "draw-through") and not one.after]
    if ends:
        end = ends[-1]
        return replace(_across(chain, end.at, heights[end.at], end.before), done=end.done, how=end.kind)
    if chain.rows and not chain.rows[-1].high:
        last = chain.rows[-1]
        return Edge(*last.level(False), heights[-1], last.low, last.done, "bind-off")
    return None


def _boxes(worked: WorkedPattern, size: int, done: dict[str, int]) -> Part:
    """A box for each stage, filled as far as its steps are done, for a pattern that has no rounds."""
    bands, bottom = [], 0.0
    for key in worked.order:
        stage = worked.stage(key, size)
        yarn = next((main_yarn(step) for step in stage.steps if step.yarns), "")
        share = min(done[key], len(stage.steps)) / len(stage.steps) if stage.steps else 0.0
        middle, top = bottom + share * BOX[1], bottom + BOX[1]
        for low, high, is_done in ((bottom, middle, True), (middle, top, False)):
            if high - low > _NEAR:
                corners = ((low, -BOX[0] / 2, BOX[0] / 2), (high, -BOX[0] / 2, BOX[0] / 2))
                bands.append(Band(stage=key, yarn=yarn, rounds=0, done=is_done, profile=corners))
        bottom = top + GAP
    return Part(tuple(bands))


def _shift(part: Part, right: float, up: float) -> Part:
    """Move a part with its branches."""

    def edge(one: Edge) -> Edge:
        """An edge moved by so many mm."""
        return replace(one, left=one.left + right, right=one.right + right, height=one.height + up)

    bands = tuple(
        replace(band, profile=tuple((h + up, a + right, b + right) for h, a, b in band.profile)) for band in part.bands
    )
    cast_on, closed, live = (edge(one) if one else None for one in (part.cast_on, part.closed, part.live))
    branches = tuple(_shift(branch, right, up) for branch in part.branches)
    return Part(
        bands=bands,
        cast_on=cast_on,
        closed=closed,
        live=live,
        waste=tuple(edge(one) for one in part.waste),
        branches=branches,
    )
