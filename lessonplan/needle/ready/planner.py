"""A parsed row made ready to be worked, for one size and one reading of what is ambiguous in it.

The plan is a tuple of operations: stitches (`Work`), repeats (`Loop`), patterns, and the moves of the tree with the
number of the one size. A stretch of plain operations knows what it takes and makes in all.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from lessonplan.craft.techniques import technique
from lessonplan.needle.ready.ends import flattened
from lessonplan.needle.ready.hook import Hooked
from lessonplan.needle.ready.rings import in_ring
from lessonplan.needle.stitch.operations import Loop, Op, Pattern, Reading, Ring, Section, Stop, Work, total
from lessonplan.printed.heading import Num, value
from lessonplan.printed.tree import (
    BindOff,
    CableNeedle,
    CastOn,
    Even,
    Hold,
    Into,
    PickUp,
    Repeat,
    Return,
    Step,
    Stitch,
    Times,
    To,
    Turn,
)

RING_ONLY = ("ring", "yes")
"""Added to a reading where there is nothing yet that the stitches of a round of crochet could go into but a ring."""
CHAINS = "chains"
"""Added to a reading over a row with spaces, with the chains of each kind: `skip next ch` passes such a space."""
SLIPPED = ("slipped", "worked")
"""Added to a reading where slip stitches go into loops of the row below, so that they are stitches of the fabric."""
MOST_TURNED = 100_000
"""Operations of a repeat with turns in it, written out; a longer one is no real row."""
CABLE = re.compile(r"[CT]\d+[BF]")
CLAUSE_STITCHES = frozenset({"k", "p", "k1 tbl", "p1 tbl", "sl", "sc", "hdc", "dc", "tr"})


def plan(
    steps: Sequence[Step], size: int, reading: Reading, chain: str = "", top: int = 0, *, crochet: bool = False
) -> tuple[Op, ...]:
    """The operations of one row, for a 0-based size; `chain` and `top` as in `Line`."""
    planner = _Planner(size, dict(reading), chain, crochet=crochet)
    planner.top = top
    if widths := planner.reading.get(CHAINS):
        steps = _over_spaces(steps, size, [int(each) for each in widths.split()])
    ops = planner.sequence(steps, outer=True)
    if planner.reading.get("line") == "rest":
        return (Loop(body=ops, n=0, to=Stop("end", 0, "", ops[0].at), at=ops[0].at, sum=total(ops)),)
    return ops


def _over_spaces(steps: Sequence[Step], size: int, widths: Sequence[int]) -> tuple[Step, ...]:
    """Steps in which the chains that are skipped are a space of the row below, where it has spaces of so many."""
    found: list[Step] = []
    for step in steps:
        chains: Num = ()
        if isinstance(step, Repeat):
            step = replace(step, body=_over_spaces(step.body, size, widths))
        elif isinstance(step, Stitch) and step.chains:
            chains = (value(step.count, size),)
        elif isinstance(step, Into) and step.place == "base" and step.chains:
            chains = (value(step.chains, size),)
        passed = chains and chains[0] in widths
        found.append(Into((), "space", (1,), None, step.at, chains) if passed else step)
    return tuple(found)


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
    only = step.body[0]
    if not before or (isinstance(only, Stitch) and only.bare and only.name in CLAUSE_STITCHES):
        return False
    place, last = step.quantity.place, before[-1]
    told = place in ("end", "across") or (place == "over" and isinstance(last, Stitch))
    return told and _in_clause(last) and _in_clause(only)


def _in_clause(step: Step) -> bool:
    """Whether a step is stitches of a clause: `k2`, `k2tog`, `sc in next 2 sts`, `2 sc in next st`; no chain."""
    if isinstance(step, Into):
        return step.place == "next" and step.to is None and bool(step.body) and step.body[0].name != "ch"
    return isinstance(step, Stitch) and step.name != "ch"


def ends_with_times(body: Sequence[Step]) -> bool:
    """Whether how often something is worked stands inside a bracket, as in `(k2, p2 twice)`."""
    last = body[-1] if len(body) > 1 else None
    return isinstance(last, Repeat) and not last.kind and isinstance(last.quantity, Times)


class _Planner(Hooked):
    needles = 0
    """Needles of a round that is told needle by needle, where each has as many stitches (common practice)."""

    def __init__(self, size: int, reading: Mapping[str, str], chain: str, *, crochet: bool) -> None:
        self.crochet = crochet
        self.size = size
        self.reading = reading
        self.chain = chain
        self.ring = False

    def sequence(self, steps: Sequence[Step], *, outer: bool = False) -> tuple[Op, ...]:
        """The operations of steps one after the other; `outer`: they are a whole row."""
        ops: list[Op] = []
        done: list[int] = []
        ring = in_ring(steps) if outer and self.crochet else None
        if outer and self.reading.get("ring") and ring is None:
            ring = Ring(steps[0].at, empty=True)
        if ring is not None:
            self.ring = True
            ops.append(ring)
        if outer:
            needles = sum(isinstance(step, Repeat) and step.kind == "needle" for step in steps)
            self.needles = needles if needles in (2, 3, 4) else 0
        if outer and self.crochet:
            self.joining = any(isinstance(step, Into) and step.place == "elsewhere" for step in flattened(steps))
            lead, steps = self.begun(steps)
            ops += lead
        for index, step in enumerate(steps):
            following = steps[index + 1] if index + 1 < len(steps) else None
            if isinstance(step, Repeat) and (whole := self.whole_clause(step, steps[:index])):
                del ops[done[index - whole] :]
                step = Repeat((*steps[index - whole : index], *step.body), step.quantity, steps[index - whole].at)
            done.append(len(ops))
            edge = outer and (index == 0 or following is None or isinstance(following, Turn))
            edge = edge and not (index == 0 and (self.joining or self.opening(step, following)))
            if isinstance(step, Stitch) and step.name == "ch":
                ops += self.chains(step, edge=edge, first=index == 0)
            elif isinstance(step, Stitch) and self.makes_over(step, following or (None if outer else steps[0])):
                ops += self.stitch(replace(step, name="yfwd"))
            else:
                ops += self.step(step, following)
        return tuple(ops)

    def makes_over(self, step: Stitch, following: Step | None) -> bool:
        """Whether yarn that is brought forward goes over the needle, since a knit stitch follows."""
        if step.name != "yf":
            return False
        if isinstance(following, Repeat) and following.body:
            following = following.body[0]
        knit = isinstance(following, Stitch) and re.match(r"k|ssk|skp|s\dkp", following.name) is not None
        return knit and self.reading.get("yf", "by") == "by"

    def opening(self, step: Step, following: Step | None) -> bool:
        """Whether chains at the beginning of a row lead over as many stitches that are skipped: `ch 6, skip 6 sc`."""
        if not isinstance(step, Stitch) or not isinstance(following, Stitch) or following.name != "sk":
            return False
        return step.count == following.count and min(step.count) > 3

    def whole_clause(self, step: Repeat, before: Sequence[Step]) -> int:
        """How many steps before `p2 to end` are repeated with it."""
        if not clause_end(step, before) or self.reading.get("clause") == "last":
            return 0
        return len(list(itertools.takewhile(_in_clause, reversed(before))))

    def step(self, step: Step, following: Step | None) -> Sequence[Op]:
        """The operations of one step, given the one that follows it."""
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
            case Turn() if step.left:
                return (replace(step, left=self.one(step.left)),)
            case CastOn() if step.short and self.reading.get("co") == "off":
                return (BindOff(self.one(step.count), "BO", step.at),)
            case CastOn() | PickUp() | CableNeedle():
                return (replace(step, count=self.one(step.count)),)
            case Hold():
                count = None if step.count is None else self.one(step.count)
                return (replace(step, count=count, rest=step.rest and self.one(step.rest)),)
            case Return():
                return (replace(step, count=None if step.count is None else self.one(step.count)),)
        return (step,)

    def one(self, number: Num) -> Num:
        """A number for this size alone."""
        return (value(number, self.size),)

    def stitch(self, step: Stitch) -> Sequence[Op]:
        """The operations of a stitch worked so many times."""
        n = value(step.count, self.size)
        if n == 0:
            return ()
        name = step.name
        takes, makes = self.taken_and_made(name)
        if self.ring and technique(name).craft == "crochet":
            takes = 0
        return (Work(name=name, n=n, takes=takes, makes=makes, at=step.at, colour=step.colour or ""),)

    def taken_and_made(self, name: str) -> tuple[int, int]:
        """Stitches taken and made, by the chosen reading of names that authors use in two ways."""
        chosen = self.reading.get(name)
        if chosen in ("0/1", "1/2", "0/0"):
            return int(chosen[0]), int(chosen[2])
        entry = technique(name)
        times = 2 if self.reading.get("cable") == "half" and CABLE.fullmatch(name) else 1
        return times * entry.consumes, times * entry.produces

    def repeat(self, step: Repeat) -> Sequence[Op]:
        """The operations of a repeat."""
        body = self.sequence(step.body)
        quantity = step.quantity
        if step.kind == "needle":
            return (Section(body, step.at, self.needles),)
        if quantity is None and step.kind in ("pair", "group") and self.reading.get(step.kind) == "rest":
            quantity = To("rest", (0,), "", step.at)
        if isinstance(quantity, To):
            return (Loop(body=body, n=0, to=self.stop(quantity), at=step.at, sum=total(body)),) if body else ()
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
        if n in (2, 4) and any(isinstance(each, Repeat) and _over_a_needle(each) for each in step.body):
            return (Section(body, step.at, n),) * n  # `*K1, ssk, k to last 3 sts on needle, k2tog, k1; rep once`
        if any(isinstance(op, Turn) for op in body) and len(body) * n <= MOST_TURNED:
            return body * n
        return (Loop(body=body, n=n, to=None, at=step.at, sum=total(body)),)

    def bind_off(self, step: BindOff, following: Step | None) -> Sequence[Op]:
        """The operations of binding off, given the step that follows it."""
        step = replace(step, rest=self.one(step.rest)) if step.rest else step
        if step.count is None:
            return (step,)
        n = value(step.count, self.size)
        off = replace(step, count=(n,))
        if n < 0:
            return (off,)
        exact = isinstance(following, Stitch) or (
            isinstance(following, Repeat) and isinstance(following.quantity, Times)
        ) or (isinstance(following, Even) and following.to.place == "over")  # fmt: skip
        if n <= 0 or not exact:
            return (off,) if n else ()
        apart = isinstance(following, Stitch) and following.more
        if apart or self.reading.get("bo") == "extra":
            return (off, Work(name="k", n=1, takes=1, makes=1, at=step.at))
        return (off,)


def _over_a_needle(step: Repeat) -> bool:
    """Whether a fill goes to the end of a needle of which no number is told."""
    to = step.quantity
    return isinstance(to, To) and to.place == "needle" and not to.which and max(to.short) > 0
