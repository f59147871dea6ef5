"""A parsed row made ready to be worked, for one size and one reading of what is ambiguous in it.

The plan is a tuple of operations. A stretch of plain operations knows what it takes and makes in all, so that a repeat
is worked in closed form.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from lessonplan.craft.techniques import technique
from lessonplan.printed.tree import (
    BindOff,
    CableNeedle,
    CastOn,
    Colour,
    Even,
    Hold,
    Into,
    Join,
    Mark,
    PickUp,
    Picot,
    Repeat,
    Return,
    Step,
    Stitch,
    Times,
    To,
    Turn,
    value,
)

Reading = tuple[tuple[str, str], ...]
"""Chosen meanings of what is ambiguous: pairs of subject (such as "times") and choice (such as "more")."""
Counts = Mapping[tuple[str, str], int]
"""How many of each technique, by (yarn, canonical name); yarn "" is the one in use."""


@dataclass(frozen=True, slots=True)
class Work:
    """One technique `n` times, each taking `takes` stitches of the row below and making `makes`."""

    name: str
    n: int
    takes: int
    makes: int
    at: int
    colour: str = ""
    parts: tuple[str, ...] = ()
    """Techniques that one of these is counted as; empty: the one named."""


@dataclass(frozen=True, slots=True)
class Loop:
    """A body worked `n` times, or up to a place (`to`)."""

    body: tuple[Op, ...]
    n: int
    to: Stop | None
    at: int
    sum: Sum


@dataclass(frozen=True, slots=True)
class Stop:
    """`To` for one size."""

    place: str
    short: int
    which: str
    at: int


@dataclass(frozen=True, slots=True)
class Sum:
    """What a stretch takes and makes in all: `fixed` if that is known beforehand, `plain` if it can be multiplied."""

    takes: int = 0
    makes: int = 0
    counts: Counts = field(default_factory=dict)
    fixed: bool = True
    plain: bool = True


@dataclass(frozen=True, slots=True)
class Move:
    """Anything else, with its number.

    `what`: bo, co, pu, picot, cn, uncn, hold, holdlast, back, pm, sm, rm, rmall, turn, wrap, join, colour, ring, skip
    or chain.
    """

    what: str
    n: int
    at: int
    name: str = ""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A named pattern, or the established one (""), worked up to a place."""

    name: str
    to: Stop
    at: int


Op = Work | Loop | Move | Pattern
CLAUSE_STITCHES = frozenset({"k", "p", "k1 tbl", "p1 tbl", "sl", "sl1p"})
ALL = -1
"""In place of a number: all that are left."""


def plan(steps: Sequence[Step], size: int, reading: Reading, chain: str = "") -> tuple[Op, ...]:
    """The operations of one row, for a 0-based size; `chain` as in `Line`."""
    planner = _Planner(size, dict(reading), chain)
    return planner.sequence(steps, outer=True)


def clause_end(step: Repeat) -> bool:
    """Whether a fill is printed with a number, as in `k2, p2 to end`, where the whole clause may be meant."""
    only = step.body[0]
    fill = len(step.body) == 1 and isinstance(only, Stitch) and not only.bare and only.name in CLAUSE_STITCHES
    return fill and isinstance(step.quantity, To) and step.quantity.place == "end" and not step.star


class _Planner:
    def __init__(self, size: int, reading: Mapping[str, str], chain: str) -> None:
        self.size = size
        self.reading = reading
        self.chain = chain

    def sequence(self, steps: Sequence[Step], *, outer: bool = False) -> tuple[Op, ...]:
        ops: list[Op] = []
        for index, step in enumerate(steps):
            following = steps[index + 1] if index + 1 < len(steps) else None
            if isinstance(step, Repeat) and (whole := self.whole_clause(step, steps[:index])):
                ops = ops[: len(ops) - whole]
                step = Repeat((*steps[index - whole : index], *step.body), step.quantity, steps[index - whole].at)
            edge = outer and (index == 0 or following is None or isinstance(following, Turn))
            if edge and isinstance(step, Stitch) and step.name == "ch":
                ops.append(self.edge_chain(step, first=index == 0))
            else:
                ops += self.step(step, following)
        return tuple(ops)

    def whole_clause(self, step: Repeat, before: Sequence[Step]) -> int:
        """How many steps before `p2 to end` are repeated with it: in `k2, p2 to end` the number tells that all are."""
        if not clause_end(step) or self.reading.get("clause") == "last":
            return 0
        run = list(itertools.takewhile(lambda each: isinstance(each, Stitch), reversed(before)))
        return len(run)

    def step(self, step: Step, following: Step | None) -> Sequence[Op]:
        if isinstance(step, Stitch):
            return self.stitch(step)
        if isinstance(step, Repeat):
            return self.repeat(step)
        if isinstance(step, Into):
            return self.into(step)
        if isinstance(step, Even):
            return (Pattern(step.pattern, self.stop(step.to), step.at),)
        if isinstance(step, BindOff):
            return self.bind_off(step, following)
        return (self.move(step),)

    def stitch(self, step: Stitch) -> Sequence[Op]:
        n = value(step.count, self.size)
        if n == 0:
            return ()
        name = step.name
        takes, makes = self.taken_and_made(name)
        return (Work(name, n, takes, makes, step.at, step.colour or ""),)

    def taken_and_made(self, name: str) -> tuple[int, int]:
        """Stitches taken and made, by the chosen reading of names that authors use in two ways."""
        chosen = self.reading.get(name)
        if chosen in ("0/1", "1/2", "0/0"):
            return int(chosen[0]), int(chosen[2])
        entry = technique(name)
        return entry.consumes, entry.produces

    def edge_chain(self, step: Stitch, *, first: bool) -> Op:
        """A chain at the edge of a row: the foundation, or a turning chain, which may stand on the first stitch."""
        n = value(step.count, self.size)
        counts = self.chain or self.reading.get("chain") or ("counts" if n >= 3 else "not")
        return Move("chain", n, step.at, "counts" if first and counts == "counts" else "")

    def repeat(self, step: Repeat) -> Sequence[Op]:
        body = self.sequence(step.body)
        quantity = step.quantity
        if isinstance(quantity, To):
            return (Loop(body, 0, self.stop(quantity), step.at, total(body)),)
        n = 1 if quantity is None else value(quantity.count, self.size)
        if step.star and isinstance(quantity, Times):
            more = quantity.more if quantity.more is not None else self.reading.get("times", "more") == "more"
            n += int(more)
        if any(isinstance(op, Move) and op.what in ("turn", "wrap") for op in body):
            return body * n
        return (Loop(body, n, None, step.at, total(body)),)

    def into(self, step: Into) -> Sequence[Op]:
        parts = tuple(stitch.name for stitch in step.body for _ in range(value(stitch.count, self.size)))
        makes = sum(technique(name).produces for name in parts)
        label = step.body[0].name if len(step.body) == 1 else "group"
        count = value(step.count, self.size)
        if step.place == "same":
            return (Work(label, 1, 0, makes, step.at, parts=parts),)
        if step.place == "new":
            return (Move("ring", makes, step.at), Work(label, 1, 0, makes, step.at, parts=parts))
        each = Work(label, 1, 1, makes, step.at, parts=parts)
        skipped: tuple[Op, ...] = ()
        if step.place == "skip":
            skipped, count = (Move("skip", count, step.at),), 1
        if step.to is None:
            return (*skipped, Work(label, count, 1, makes, step.at, parts=parts)) if count else skipped
        return (*skipped, Loop((each,), 0, self.stop(step.to), step.at, total((each,))))

    def bind_off(self, step: BindOff, following: Step | None) -> Sequence[Op]:
        n = ALL if step.count is None else value(step.count, self.size)
        off = Move("bo", n, step.at, step.method)
        exact = isinstance(following, Stitch) or (
            isinstance(following, Repeat) and isinstance(following.quantity, Times)
        )
        if n <= 0 or not exact:
            return (off,) if n else ()
        apart = isinstance(following, Stitch) and following.more
        if apart or self.reading.get("bo") == "extra":
            return (off, Work("k", 1, 1, 1, step.at))
        return (off,)

    def move(self, step: Step) -> Op:
        size = self.size
        if isinstance(step, Mark):
            return Move(step.action, 0, step.at, step.name)
        if isinstance(step, Turn):
            return Move("wrap" if step.wrap else "turn", 0, step.at)
        if isinstance(step, CastOn):
            if step.short and self.reading.get("co") == "off":
                return Move("bo", value(step.count, size), step.at, "BO")
            return Move("co", value(step.count, size), step.at)
        if isinstance(step, PickUp):
            return Move("pu", value(step.count, size), step.at)
        if isinstance(step, CableNeedle):
            return Move("uncn" if step.off else "cn", value(step.count, size), step.at)
        if isinstance(step, Picot):
            return Move("picot", value(step.count, size), step.at)
        if isinstance(step, Hold):
            n = ALL if step.count is None else value(step.count, size)
            return Move("holdlast" if step.last else "hold", n, step.at)
        if isinstance(step, Return):
            return Move("back", ALL if step.count is None else value(step.count, size), step.at, step.name)
        if isinstance(step, Colour):
            return Move("colour", 0, step.at, step.name)
        if isinstance(step, Join):
            return Move("join", 0, step.at)
        raise TypeError(step)

    def stop(self, to: To) -> Stop:
        return Stop(to.place, value(to.short, self.size), to.which, to.at)


def total(ops: Sequence[Op]) -> Sum:
    """What a stretch of operations takes and makes in all."""
    takes = makes = 0
    counts: dict[tuple[str, str], int] = {}
    fixed = plain = True
    for op in ops:
        if isinstance(op, Work):
            takes += op.takes * op.n
            makes += op.makes * op.n
            for name in op.parts or (op.name,):
                key = (op.colour, name)
                counts[key] = counts.get(key, 0) + op.n
        elif isinstance(op, Loop) and op.to is None:
            takes += op.sum.takes * op.n
            makes += op.sum.makes * op.n
            for key, count in op.sum.counts.items():
                counts[key] = counts.get(key, 0) + count * op.n
            fixed, plain = fixed and op.sum.fixed, plain and op.sum.plain
        elif isinstance(op, Move) and op.n >= 0:
            takes += op.n if op.what in ("bo", "hold", "skip") else int(op.name == "counts")
            makes += op.n if op.what in ("co", "pu") else int(op.name == "counts")
            plain = False
        elif isinstance(op, Loop) and op.to is not None and op.to.place == "over":
            takes += op.to.short
            makes += op.to.short // op.sum.takes * op.sum.makes if op.sum.takes else 0
            plain = False
        else:
            fixed = plain = False
    return Sum(takes, makes, counts, fixed, plain)
