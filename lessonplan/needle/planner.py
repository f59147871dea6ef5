"""A parsed row made ready to be worked, for one size and one reading of what is ambiguous in it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from lessonplan.craft.techniques import technique
from lessonplan.needle.operations import (
    MOST_TURNED,
    Chain,
    Loop,
    Op,
    Pattern,
    Reading,
    Ring,
    Section,
    Skip,
    Space,
    Stop,
    Work,
    total,
)
from lessonplan.needle.rings import in_ring
from lessonplan.printed.tree import (
    BindOff,
    CableNeedle,
    CastOn,
    Even,
    Hold,
    Into,
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

CABLE = re.compile(r"[CT]\d+[BF]")
CLAUSE_STITCHES = frozenset({"k", "p", "k1 tbl", "p1 tbl", "sl"})


def plan(
    steps: Sequence[Step], size: int, reading: Reading, chain: str = "", *, crochet: bool = False
) -> tuple[Op, ...]:
    """The operations of one row, for a 0-based size; `chain` as in `Line`."""
    planner = _Planner(size, dict(reading), chain, crochet=crochet)
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
    def __init__(self, size: int, reading: Mapping[str, str], chain: str, *, crochet: bool) -> None:
        self.crochet = crochet
        self.size = size
        self.reading = reading
        self.chain = chain
        self.ring = False
        self.height = 0
        """Chains that stand for the highest stitch of the row."""
        self.in_space = False
        """Whether a space was worked into in this row."""

    def sequence(self, steps: Sequence[Step], *, outer: bool = False) -> tuple[Op, ...]:
        ops: list[Op] = []
        done: list[int] = []
        if outer and self.crochet and in_ring(steps):
            self.ring = True
            ops.append(Ring(steps[0].at))
        if outer and self.crochet:
            self.height = max((HEIGHTS.get(name, 0) for name in _names(steps)), default=0)
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
        if self.ring and isinstance(steps[0], Into) and steps[0].place == "new" and not steps[0].body:
            steps = steps[1:]  # `in magic ring, ch 3 ...`
        first = next((i for i, step in enumerate(steps) if not _leads(step)), len(steps))
        later = steps[first] if first < len(steps) else None
        if first and isinstance(later, Stitch) and later.name == "ch":
            steps = steps[first:]
        begins = steps[0] if steps else None
        if isinstance(begins, Into) and len(begins.body) > 1 and begins.body[0].name == "ch":
            steps = (begins.body[0], replace(begins, body=begins.body[1:]), *steps[1:])  # `(ch 3, 2 dc) in corner`
        chain = steps[0] if steps and isinstance(steps[0], Stitch) and steps[0].name == "ch" else None
        at = int(chain is not None)
        step = steps[at] if len(steps) > at else None
        if not isinstance(step, Into) or step.place not in ("same", "base") or self.ring:
            return steps
        counts = chain is not None and self.counts(value(chain.count, self.size), stands=not step.body)
        if counts:
            left = tuple(max(0, n - 1) for n in step.count)
            skipped: tuple[Step, ...] = (Stitch("sk", left, step.at),) if max(left) else ()
            rest: tuple[Step, ...] = (replace(step, place="same"),) if step.body else skipped
        else:
            rest = (replace(step, place="next") if step.body else Stitch("sk", step.count, step.at),)
        return (*steps[:at], *rest, *steps[at + 1 :])

    def counts(self, n: int, *, stands: bool = False) -> bool:
        """Whether a turning chain of `n` is the first stitch of its row; it `stands` where that one is skipped."""
        chosen = self.chain or self.reading.get("chain") or ("counts" if n >= 3 or (stands and n > 1) else "not")
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
        counts = first and self.counts(n)
        return (Chain(n, counts, step.at, counts and n > self.height > 0),)

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
            return (Work(label, 1, 0, makes, step.at, parts=parts),) if parts else ()
        each = Work(label, 1, 1, makes, step.at, parts=parts)
        skipped: tuple[Op, ...] = ()
        if step.place == "skip" and self.ring:
            return (replace(each, takes=0),)
        if step.place == "skip":
            skipped, count = (Skip(count, step.at, count > 1 and self.counts(count)),), 1
        if step.to is None:
            return (*skipped, replace(each, n=count)) if count else skipped
        return (*skipped, Loop((each,), 0, self.stop(step.to), step.at, total((each,))))

    def spaces(self, step: Into, work: Work, count: int) -> tuple[Op, ...]:
        """Stitches into the next space, into the same one (`count` -1), or into every space (0)."""
        if count < 0 and self.in_space:
            return (Space(0, step.at), work)
        count, self.in_space = abs(count), True
        one: tuple[Op, ...] = (
            Space(max(1, count), step.at),
            *((replace(work, n=max(1, count)),) if work.parts else ()),
        )
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


HEIGHTS = {"sc": 1, "hdc": 2, "dc": 3, "tr": 4}
"""How many chains are as high as a stitch (common practice)."""


def _names(steps: Sequence[Step]) -> Iterator[str]:
    """The stitches of a row, wherever they are worked."""
    for step in steps:
        if isinstance(step, Stitch):
            yield step.name
        elif isinstance(step, Repeat | Into):
            yield from _names(step.body)


def _leads(step: Step) -> bool:
    if isinstance(step, Stitch):
        return step.name == "sl st"
    if isinstance(step, Repeat):
        return bool(step.body) and all(map(_leads, step.body))
    return isinstance(step, Into) and bool(step.body) and all(each.name == "sl st" for each in step.body)


def _open_end(steps: Sequence[Step]) -> Sequence[Step]:
    """Steps without a stitch that only closes the round in place of chains: `ch 1, sc in first dc`."""
    last, before = (steps[-1], steps[-2]) if len(steps) > 2 else (None, None)
    if isinstance(last, Stitch) and last.name == "sl st" and last.bare and not (before is not None and _leads(before)):
        return steps[:-1]
    closes = isinstance(last, Into) and last.place in ("base", "same") and sum(max(e.count) for e in last.body) == 1
    return steps[:-1] if closes and isinstance(before, Stitch) and before.name == "ch" else steps
