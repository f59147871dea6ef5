"""The rounds of a piece sorted into chains: stages that are worked upward one on another's live stitches.

This is the first half of an outline: which round stands on which, what is put on hold and taken up again, and which
stitches lie to one side because they will be held. `lessonplan.pattern.shape.outline` gives it places in millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from lessonplan.craft.gauge import Fabric
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage


@dataclass(slots=True, eq=False)
class Row:
    """One round: stitches at its bottom (``low``) and top (``high``).

    ``sides``: how many of those lie at the left (-1) or right (1) because they will be held, bottom and top.
    ``chains`` lie between the stitches of crochet, bottom and top, and make it wider. A ``short`` row lies over some
    of the stitches alone.
    """

    stage: str
    yarn: str
    fabric: Fabric
    flat: bool
    done: bool
    low: int
    high: int
    sides: dict[int, tuple[int, int]] = field(default_factory=dict)
    chains: tuple[int, int] = (0, 0)
    short: bool = False

    def own(self, top: bool) -> int:
        """Stitches of its top or bottom edge that do not belong to a side."""
        return (self.high if top else self.low) - sum(ends[top] for ends in self.sides.values())

    def level(self, top: bool) -> tuple[float, float]:
        """Left and right of its top or bottom edge in mm."""
        held = {side: ends[top] for side, ends in self.sides.items()}
        half = self._width(self.own(top) + self.chains[top]) / 2
        return -half - self._width(held.get(-1, 0)), half + self._width(held.get(1, 0))

    def _width(self, stitches: int) -> float:
        return flat_width(stitches, self.fabric, self.flat)


@dataclass(slots=True, eq=False)
class Event:
    """Something done between rounds: ``at`` is the index of the round above it.

    ``stitches`` are those it holds, adds or ends; ``pair`` joins a hold (or a placeholder, whose stitches lie on waste
    yarn too) with what takes its stitches up again. ``name`` is what the stitches are called, ``side`` where they
    are laid, 1 right or -1 left.
    """

    kind: str
    stage: str
    at: int
    stitches: int
    before: int
    after: int
    done: bool
    pair: Event | None = None
    side: int = 1
    name: str = ""


@dataclass(slots=True, eq=False)
class Chain:
    """Stages worked upward one on another. ``live``: stitches on the needle in the state that is drawn."""

    stages: list[str] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    fabric: Fabric = field(default_factory=lambda: Fabric(1.0, 1.0))
    live: int = 0


def flat_width(stitches: float, fabric: Fabric, flat: bool) -> float:
    """Width in mm as the fabric lies: all stitches of a row, half of those of a round."""
    return fabric.width(stitches) / (1 if flat else 2)


def chains_of(worked: WorkedPattern, size: int, done: dict[str, int]) -> list[Chain]:
    """Sort the stages into chains: each goes on with the stitches of the one before it, or begins anew."""
    found: list[Chain] = []
    ends: dict[str, Chain] = {}
    for key in worked.order:
        stage = worked.stage(key, size)
        source = next((name for name in worked.before[key] if name in ends and worked.stage(name, size).stitches), "")
        goes_on = bool(stage.start and source)  # perhaps only handing the stitches on, when its rounds are left out
        if not goes_on and not any(step.is_round or step.before != step.after for step in stage.steps):
            continue
        chain = ends.pop(source) if goes_on else Chain()
        if not chain.stages:
            found.append(chain)
        ends[key] = chain
        _add_stage(chain, stage, done[key])
        _close_other_halves(stage, done[key], ends)
    return found


def _close_other_halves(stage: WorkedStage, done: int, ends: dict[str, Chain]) -> None:
    """Close the chains whose live stitches a stage grafts its own to."""
    for index, step in enumerate(stage.steps):
        if step.kind != "graft" or step.name not in ends:
            continue
        other, is_done = ends.pop(step.name), index < done
        count = other.rows[-1].high if other.rows else step.before - step.after
        other.events.append(
            Event(
                kind="graft", stage=stage.key, at=len(other.rows), stitches=count, before=count, after=0, done=is_done
            )
        )
        other.live = 0 if is_done else other.live


def _add_stage(chain: Chain, stage: WorkedStage, done: int) -> None:
    chain.stages.append(stage.key)
    chain.fabric = stage.fabric
    widths = iter(stage.widths)
    for index, step in enumerate(stage.steps):
        is_done = index < done
        at = len(chain.rows)
        kinds = [("hold", step.held)] if step.held or step.kind == "hold" else []
        if step.kind == "lifeline":
            kinds.append((step.kind, step.before))
        if step.is_round:
            chain.rows.append(_row(chain, stage, step, next(widths), is_done))
        elif step.before != step.after and step.kind != "hold":
            kinds.append((step.kind, abs(step.after - step.before)))
        for kind, stitches in kinds:
            ends = step.before, step.after
            chain.events.append(Event(kind, stage.key, at, stitches, *ends, is_done, name=step.name))
        if is_done and (step.is_round or step.before != step.after):
            chain.live = step.after


def _row(chain: Chain, stage: WorkedStage, step: Step, over: int, done: bool) -> Row:
    """A round of a stage upon those of its chain so far; a short one is as wide as the stitches it goes ``over``."""
    low = (min(step.before, step.after) if step.held else step.before) or step.after
    below = chain.rows[-1].chains[1] if chain.rows and chain.rows[-1].high == low else 0
    return Row(
        stage=stage.key,
        yarn=main_yarn(step),
        fabric=stage.fabric,
        flat=step.flat,
        done=done,
        low=over if step.short else low,
        high=over if step.short else step.after,
        short=step.short > 0,
        chains=(below, step.chains),
    )


def main_yarn(step: Step) -> str:
    """Give the yarn that makes most of a round's stitches."""
    return max(step.yarns, key=lambda one: one[1])[0] if step.yarns else ""


TAKES_UP = ("take-up", "open")
"""Kinds of steps that bring stitches back on to the needle from waste yarn."""


def pair_holds(worked: WorkedPattern, chains: list[Chain]) -> None:
    """Find for stitches taken up or grafted to which hold they come from, in a stage before.

    It is the one of their name, else one of the same count, else the last one. A hold of which only some are taken up
    falls into two, as each sleeve of a yoke has a waste yarn of its own.
    """
    holds = [event for chain in chains for event in chain.events if event.kind == "hold"]
    takers = (event for chain in chains for event in chain.events if event.kind in (*TAKES_UP, "graft"))
    for event in takers:
        allowed = worked.ancestors(event.stage) | {event.stage}
        free = [hold for hold in holds if hold.pair is None and hold.stage in allowed]
        found = [hold for hold in free if event.name and hold.name == event.name]
        if not found and event.kind != "graft":
            unnamed = [hold for hold in free if not (event.name and hold.name)]
            found = [hold for hold in unnamed if hold.stitches == event.stitches] or unnamed[-1:]
        if found and event.kind in TAKES_UP and event.stitches < found[0].stitches:
            rest = replace(found[0], stitches=found[0].stitches - event.stitches)
            chain = next(chain for chain in chains if found[0] in chain.events)
            chain.events.insert(chain.events.index(found[0]) + 1, rest)
            holds.insert(holds.index(found[0]) + 1, rest)
            found[0].stitches = event.stitches
        if found:
            event.pair, found[0].pair = found[0], event


def lay_aside(chain: Chain) -> None:
    """Lay stitches that will be held to one side of the rounds below, as far down as they were made for it.

    A gusset thus grows beside the body, which stays straight above it. Holds lie to the right and left in turn.
    """
    side = 1
    for event in chain.events:
        if event.kind != "hold" or not event.after or event.pair in chain.events:
            continue
        aside = _made_for(event, chain.rows)
        flat = {chain.rows[index].flat for index in aside} | {row.flat for row in chain.rows[event.at : event.at + 1]}
        if not aside or len(flat) > 1:
            continue
        event.side = side
        for index, (low, high) in aside.items():
            was = chain.rows[index].sides.get(side, (0, 0))
            chain.rows[index].sides[side] = (was[0] + low, was[1] + high)
        side = -side


def _made_for(hold: Event, rows: list[Row]) -> dict[int, tuple[int, int]]:
    """For each round below a hold, by index: how many of its lowest and highest stitches are those to be held."""
    found: dict[int, tuple[int, int]] = {}
    limit = hold.stitches
    for index in range(hold.at - 1, -1, -1):
        row = rows[index]
        high = min(limit, max(0, row.own(top=True) - hold.after))
        if not high:
            break
        limit = min(high, max(0, row.own(top=False) - hold.after))
        found[index] = (limit, high)
    return found
