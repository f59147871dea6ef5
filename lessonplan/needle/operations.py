"""A parsed row made ready to be worked, for one size and one reading of what is ambiguous in it.

The plan is a tuple of operations: stitches (`Work`), repeats (`Loop`), patterns, and the moves of the tree with the
number of the one size. A stretch of plain operations knows what it takes and makes in all.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from lessonplan.craft.techniques import technique
from lessonplan.needle.rings import in_ring
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
    Num,
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
MOST_TURNED = 100_000
"""Operations of a repeat with turns in it, written out; a longer one is no real row."""


@dataclass(frozen=True, slots=True)
class Work:
    """One technique `n` times, each taking `takes` stitches of the row below and making `makes`.

    `parts` are the techniques that one of these is counted as (empty: the one named).
    """

    name: str
    n: int
    takes: int
    makes: int
    at: int
    colour: str = ""
    parts: tuple[str, ...] = ()


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
class Loop:
    """A body worked `n` times, or up to a place (`to`)."""

    body: tuple[Op, ...]
    n: int
    to: Stop | None
    at: int
    sum: Sum


@dataclass(frozen=True, slots=True)
class Pattern:
    """A named pattern, or the established one (""), worked up to a place."""

    name: str
    to: Stop
    at: int


@dataclass(frozen=True, slots=True)
class Section:
    """Steps worked over one needle, to its end."""

    body: tuple[Op, ...]
    at: int


@dataclass(frozen=True, slots=True)
class Ring:
    """A round worked into a ring or a chain, which is no stitch."""

    at: int


@dataclass(frozen=True, slots=True)
class Space:
    """What follows goes into a space between stitches (`n` 0: no matter which); those of the row below are passed."""

    n: int
    at: int


@dataclass(frozen=True, slots=True)
class Chain:
    """Chains at the edge of a row: the foundation, or a turning chain, which may stand on the first stitch."""

    n: int
    counts: bool
    at: int


@dataclass(frozen=True, slots=True)
class Skip:
    """Chains of the foundation left without a stitch; `counts`: they stand for the first one."""

    n: int
    at: int
    counts: bool = False


Move = (
    Ring | Space | Chain | Skip | Mark | BindOff | CastOn | PickUp | Picot | CableNeedle | Hold | Return | Join | Colour
    | Turn
)  # fmt: skip
Op = Work | Loop | Pattern | Section | Move
CABLE = re.compile(r"[CT]\d+[BF]")
CLAUSE_STITCHES = frozenset({"k", "p", "k1 tbl", "p1 tbl", "sl"})


def plan(steps: Sequence[Step], size: int, reading: Reading, chain: str = "") -> tuple[Op, ...]:
    """The operations of one row, for a 0-based size; `chain` as in `Line`."""
    planner = _Planner(size, dict(reading), chain)
    ops = planner.sequence(steps, outer=True)
    if planner.reading.get("line") == "rest":
        return (Loop(ops, 0, Stop("end", 0, "", ops[0].at), ops[0].at, total(ops)),)
    return ops


def clause_end(step: Step, before: Sequence[Step]) -> bool:
    """Whether a fill ends a clause that may be meant as a whole, as in `k2, p2 to end` and `k10, k2tog around`."""
    if (
        not isinstance(step, Repeat)
        or not isinstance(step.quantity, To)
        or step.kind
        or len(step.body) != 1
        or step.quantity.which
    ):
        return False
    only, last = step.body[0], before[-1] if before else None
    if step.quantity.place not in ("end", "across", "over") or not isinstance(last, Stitch):
        return False
    plain = isinstance(only, Stitch) and only.bare and only.name in CLAUSE_STITCHES
    return isinstance(only, Stitch) and not plain


def ends_with_times(body: Sequence[Step]) -> bool:
    """Whether how often something is worked stands inside a bracket, as in `(k2, p2 twice)`."""
    last = body[-1] if len(body) > 1 else None
    return isinstance(last, Repeat) and not last.kind and isinstance(last.quantity, Times)


class _Planner:
    def __init__(self, size: int, reading: Mapping[str, str], chain: str) -> None:
        self.size = size
        self.reading = reading
        self.chain = chain
        self.ring = False

    def sequence(self, steps: Sequence[Step], *, outer: bool = False) -> tuple[Op, ...]:
        ops: list[Op] = []
        done: list[int] = []
        if outer and in_ring(steps):
            self.ring = True
            ops.append(Ring(steps[0].at))
        if outer:
            steps = self.begun(steps)
        for index, step in enumerate(steps):
            following = steps[index + 1] if index + 1 < len(steps) else None
            if isinstance(step, Repeat) and (whole := self.whole_clause(step, steps[:index])):
                del ops[done[index - whole] :]
                step = Repeat((*steps[index - whole : index], *step.body), step.quantity, steps[index - whole].at)
            done.append(len(ops))
            edge = outer and (index == 0 or following is None or isinstance(following, Turn))
            if isinstance(step, Stitch) and step.name == "ch" and outer and index == 0 and self.ring:
                ops += self.ring_chain(step)
            elif isinstance(step, Stitch) and step.name == "ch":
                ops += self.chains(step, edge=edge, first=index == 0)
            else:
                ops += self.step(step, following)
        return tuple(ops)

    def begun(self, steps: Sequence[Step]) -> Sequence[Step]:
        """The steps of a crocheted row without the slip stitches that only lead to where it begins."""
        steps = _open_end(steps)
        first = next((i for i, step in enumerate(steps) if not _leads(step)), len(steps))
        later = steps[first] if first < len(steps) else None
        if first and isinstance(later, Stitch) and later.name == "ch":
            steps = steps[first:]
        chain = steps[0] if steps and isinstance(steps[0], Stitch) and steps[0].name == "ch" else None
        at = int(chain is not None)
        step = steps[at] if len(steps) > at else None
        if not isinstance(step, Into) or step.place not in ("same", "base") or self.ring:
            return steps
        counts = chain is not None and self.counts(value(chain.count, self.size), stands=not step.body)
        if counts:
            rest = (replace(step, place="same"),) if step.body else ()
        else:
            rest = (replace(step, place="next") if step.body else Stitch("sk", (1,), step.at),)
        return (*steps[:at], *rest, *steps[at + 1 :])

    def counts(self, n: int, *, stands: bool = False) -> bool:
        """Whether a turning chain of `n` is the first stitch of its row; it `stands` where that one is skipped."""
        chosen = self.chain or self.reading.get("chain") or ("counts" if n >= 3 or stands else "not")
        return chosen == "counts"

    def whole_clause(self, step: Repeat, before: Sequence[Step]) -> int:
        """How many steps before `p2 to end` are repeated with it."""
        if not clause_end(step, before) or self.reading.get("clause") == "last":
            return 0
        return len(list(itertools.takewhile(lambda each: isinstance(each, Stitch), reversed(before))))

    def step(self, step: Step, following: Step | None) -> Sequence[Op]:
        match step:
            case Stitch():
                return self.stitch(step)
            case Repeat():
                return self.repeat(step)
            case Into():
                return self.into(step)
            case Even():
                return (Pattern(step.pattern, self.stop(step.to), step.at),)
            case BindOff():
                return self.bind_off(step, following)
            case CastOn() if step.short and self.reading.get("co") == "off":
                return (BindOff(self.one(step.count), "BO", step.at),)
            case CastOn() | PickUp() | Picot() | CableNeedle():
                return (replace(step, count=self.one(step.count)),)
            case Hold() | Return():
                return (replace(step, count=None if step.count is None else self.one(step.count)),)
        return (step,)

    def one(self, number: Num) -> Num:
        return (value(number, self.size),)

    def stitch(self, step: Stitch) -> Sequence[Op]:
        n = value(step.count, self.size)
        if n == 0:
            return ()
        name = step.name
        takes, makes = self.taken_and_made(name)
        if self.ring and technique(name).craft == "crochet":
            takes = 0
        return (Work(name, n, takes, makes, step.at, step.colour or ""),)

    def taken_and_made(self, name: str) -> tuple[int, int]:
        """Stitches taken and made, by the chosen reading of names that authors use in two ways."""
        chosen = self.reading.get(name)
        if chosen in ("0/1", "1/2", "0/0"):
            return int(chosen[0]), int(chosen[2])
        entry = technique(name)
        times = 2 if self.reading.get("cable") == "half" and CABLE.fullmatch(name) else 1
        return times * entry.consumes, times * entry.produces

    def chains(self, step: Stitch, *, edge: bool, first: bool) -> tuple[Op, ...]:
        """Chains at the edge of a row; elsewhere they make a space, which is no stitch."""
        n = value(step.count, self.size)
        if not edge:
            return (Work("ch", n, 0, 0, step.at),)
        return (Chain(n, first and self.counts(n), step.at),)

    def ring_chain(self, step: Stitch) -> tuple[Op, ...]:
        """The chain at the beginning of a round into a ring, which may count as a stitch."""
        counts = (self.chain or self.reading.get("chain")) == "counts"
        n = value(step.count, self.size)
        return (Work("ch", n - int(counts), 0, 0, step.at), *((Work("ch", 1, 0, 1, step.at),) if counts else ()))

    def repeat(self, step: Repeat) -> Sequence[Op]:
        body = self.sequence(step.body)
        quantity = step.quantity
        if step.kind == "needle":
            return (Section(body, step.at),)
        if quantity is None and step.kind in ("pair", "group") and self.reading.get(step.kind) == "rest":
            quantity = To("rest", (0,), "", step.at)
        if isinstance(quantity, To):
            return (Loop(body, 0, self.stop(quantity), step.at, total(body)),) if body else ()
        if (
            step.kind == "group"
            and quantity is None
            and ends_with_times(step.body)
            and self.reading.get("inner") == "all"
        ):
            last = step.body[-1]
            assert isinstance(last, Repeat)
            quantity = last.quantity
            body = self.sequence((*step.body[:-1], *last.body))
            if isinstance(quantity, To):
                return ()
        n = 1 if quantity is None else value(quantity.count, self.size)
        if step.kind in ("star", "line") and isinstance(quantity, Times):
            more = quantity.more if quantity.more is not None else self.reading.get("times", "more") == "more"
            n += int(more)
        if any(isinstance(op, Turn) for op in body) and len(body) * n <= MOST_TURNED:
            return body * n
        return (Loop(body, n, None, step.at, total(body)),)

    def into(self, step: Into) -> Sequence[Op]:
        parts = tuple(stitch.name for stitch in step.body for _ in range(value(stitch.count, self.size)))
        makes = sum(technique(name).produces for name in parts if name != "ch")
        label = step.body[0].name if len(step.body) == 1 else "group"
        count = value(step.count, self.size)
        if step.place == "base":
            step = replace(step, place="next")  # not at the beginning, it is any stitch
        if step.place == "space":
            return self.spaces(step, Work(label, 1, 0, makes, step.at, parts=parts), count)
        if step.place == "same":
            return (Work(label, 1, 0, makes, step.at, parts=parts),)
        if step.place == "new":
            return (Work(label, 1, 0, makes, step.at, parts=parts),)
        each = Work(label, 1, 1, makes, step.at, parts=parts)
        skipped: tuple[Op, ...] = ()
        if step.place == "skip" and self.ring:
            return (replace(each, takes=0),)
        if step.place == "skip":
            skipped, count = (Skip(count, step.at, self.chain == "counts" and count > 1),), 1
        if step.to is None:
            return (*skipped, replace(each, n=count)) if count else skipped
        return (*skipped, Loop((each,), 0, self.stop(step.to), step.at, total((each,))))

    def spaces(self, step: Into, work: Work, count: int) -> tuple[Op, ...]:
        """Stitches into the next space, into the same one (`count` -1), or into every space (0)."""
        if count < 0:
            return (Space(0, step.at), work)
        one: tuple[Op, ...] = (Space(max(1, count), step.at), *((replace(work, n=max(1, count)),) if work.parts else ()))
        if count:
            return one
        return (Loop(one, 0, Stop("end", 0, "", step.at), step.at, total(one)),)

    def bind_off(self, step: BindOff, following: Step | None) -> Sequence[Op]:
        if step.count is None:
            return (step,)
        n = value(step.count, self.size)
        off = replace(step, count=(n,))
        exact = isinstance(following, Stitch) or (
            isinstance(following, Repeat) and isinstance(following.quantity, Times)
        ) or (isinstance(following, Even) and following.to.place == "over")  # fmt: skip
        if n <= 0 or not exact:
            return (off,) if n else ()
        apart = isinstance(following, Stitch) and following.more
        if apart or self.reading.get("bo") == "extra":
            return (off, Work("k", 1, 1, 1, step.at))
        return (off,)

    def stop(self, to: To) -> Stop:
        return Stop(to.place, value(to.short, self.size), to.which, to.at)


def spaces(ops: Sequence[Op]) -> int:
    """Spaces that a stretch of operations works into, where that is known beforehand."""
    found = 0
    for op in ops:
        if isinstance(op, Space):
            found += op.n
        elif isinstance(op, Loop) and op.to is None:
            found += op.n * spaces(op.body)
    return found


def _leads(step: Step) -> bool:
    if isinstance(step, Stitch):
        return step.name == "sl st"
    if isinstance(step, Repeat):
        return bool(step.body) and all(map(_leads, step.body))
    return isinstance(step, Into) and bool(step.body) and all(each.name == "sl st" for each in step.body)


def _open_end(steps: Sequence[Step]) -> Sequence[Step]:
    """Steps without a stitch that only closes the round in place of chains: `ch 1, sc in first dc`."""
    last, before = (steps[-1], steps[-2]) if len(steps) > 2 else (None, None)
    closes = isinstance(last, Into) and last.place in ("base", "same") and sum(max(e.count) for e in last.body) == 1
    return steps[:-1] if closes and isinstance(before, Stitch) and before.name == "ch" else steps


def total(ops: Sequence[Op]) -> Sum:
    """What a stretch of operations takes and makes in all."""
    takes = makes = 0
    counts: dict[tuple[str, str], int] = {}
    fixed = plain = True
    for op in ops:
        match op:
            case Work():
                takes += op.takes * op.n
                makes += op.makes * op.n
                for name in op.parts or (op.name,):
                    counts[op.colour, name] = counts.get((op.colour, name), 0) + op.n
                    plain = plain and name != "ch"
            case Loop(to=None):
                takes += op.sum.takes * op.n
                makes += op.sum.makes * op.n
                for key, count in op.sum.counts.items():
                    counts[key] = counts.get(key, 0) + count * op.n
                fixed, plain = fixed and op.sum.fixed, plain and op.sum.plain
            case Loop() | Pattern() if op.to is not None and op.to.place == "over":
                takes += op.to.short
                inside = op.sum if isinstance(op, Loop) else Sum(1, 1)
                makes += op.to.short // inside.takes * inside.makes if inside.takes else 0
                plain = False
            case Loop() | Pattern() | Section():
                fixed = plain = False
            case _:
                taken, made = _of_move(op)
                takes, makes, plain = takes + taken, makes + made, False
                fixed = fixed and taken >= 0
    return Sum(takes, makes, counts, fixed, plain)


def _of_move(op: Move) -> tuple[int, int]:
    """Stitches that a move takes and makes; -1 where the needle tells."""
    match op:
        case BindOff() | Hold():
            return (-1 if op.count is None or op.count[0] < 0 else op.count[0]), 0
        case Return():
            return -1 if op.count is None else 0, 0
        case CastOn() | PickUp():
            return 0, op.count[0]
        case Skip():
            return op.n, 0
        case Chain():
            return int(op.counts), int(op.counts)
    return 0, 0
