"""How a row of crochet is made ready to be worked: its turning chain, spaces, rings, and where stitches go."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace

from lessonplan.craft.techniques import TALL, chains_high, stands_for, technique
from lessonplan.needle.ready.ends import (
    bridged,
    chained,
    chained_inside,
    closed,
    flattened,
    leads,
    missed_first,
    misses_one,
    only_a_ring,
    only_said,
    only_yarn,
    opened,
    part_of_group,
    slipped_inside,
    stitches_of,
)
from lessonplan.needle.ready.rings import in_a_space, space_used
from lessonplan.needle.stitch.operations import (
    Chain,
    Edge,
    Groups,
    Lead,
    Links,
    Loop,
    Mingle,
    Op,
    Skip,
    Space,
    Stop,
    Work,
    total,
)
from lessonplan.printed.heading import value
from lessonplan.printed.tree import Colour, Into, Mark, Repeat, Step, Stitch, To

LOOP = "tss"
"""A loop that is drawn up and stays on the hook."""
LONGER = 3
"""A chain of more than these that is worked into makes the row longer."""


class Hooked:
    """The part of a plan that knows crochet: `chain` as in `Line`, `ring` if the round goes into a ring."""

    size: int
    reading: Mapping[str, str]
    chain: str
    ring: bool
    tallest: int = 0
    """Height of the stitch after the turning chain."""
    top: int = 0
    """As many chains as the round's join tells that stand for its first stitch, or 0."""
    looped: bool = False
    """Whether loops are drawn up and kept on the hook."""
    joining: bool = False
    """Whether another piece is joined to this one."""
    longer: bool = False
    """Whether the row begins with a chain that is worked into."""
    inside: bool = False
    """Whether the row begins in a space."""
    several: bool = False
    """Whether the first place of a row holds several stitches."""

    def begun(self, steps: Sequence[Step]) -> tuple[tuple[Op, ...], Sequence[Step]]:
        """What leads to the beginning of a crocheted row, and its steps without that."""
        steps = bridged(closed([step for step in flattened(steps) if not only_a_ring(step)], self.ring))
        yarn: tuple[Op, ...] = tuple(
            step for step in itertools.takewhile(only_yarn, steps) if isinstance(step, Colour | Mark)
        )
        steps = steps[len(yarn) :]
        missed = missed_first(steps)
        steps = steps[len(missed) :]
        first = next((i for i, step in enumerate(steps) if not leads(step)), len(steps))
        passed, again, at = 0, False, 0
        used: tuple[Op, ...] = ()
        if first and (chained(opened(steps[first:])) or chained_inside(steps[first:])):
            passed = sum(map(self._passed, steps[:first]))
            again = len(steps) > first + 1 and isinstance(after := steps[first + 1], Into) and after.place == "same"
            at = steps[0].at
            used = () if again else space_used(steps[first - 1], steps[first:])
            steps = steps[first:]
        elif slipped := self._slipped(steps):
            n = sum(map(self._passed, slipped))
            yarn = (*yarn, Lead(n, slipped[0].at, stays=True))
            steps = steps[steps.index(slipped[-1]) + 1 :]
        steps = slipped_inside(steps)
        begins = steps[0] if steps else None
        if isinstance(begins, Into) and chained_inside(steps):
            steps = (begins.body[0], replace(begins, body=begins.body[1:]), *steps[1:])  # `(ch 3, 2 dc) in corner`
        chain = chained(steps)
        self.inside = chain is not None and len(steps) > 1 and in_a_space(steps[1])
        then = steps[1] if chain is not None and len(steps) > 2 else None
        self.longer = isinstance(then, Into) and then.place == "skip" and bool(then.body) and not self.ring
        starts = chain is not None or only_said(steps[0] if steps else None)
        self.tallest = next((chains_high(name) for name in stitches_of(steps[1:])), 0) if starts else 0
        if next(stitches_of(steps), "") == LOOP:
            self.looped, self.chain = True, "counts"  # the loop on the hook is the first one
        if chain and len(steps) > 1 and part_of_group(steps[1]):
            self.chain = "not"
        beside = chain is not None and len(steps) > 2 and self._stands_on_skipped(passed, chain, *steps[1:3])
        on_last = again or (
            chain is not None and self.counts(value(chain.count, self.size)) and not (beside and passed > 1)
        )
        lead = (Lead(sum(map(self._passed, missed)), missed[0].at, missed=True),) if missed else ()
        lead = (*yarn, *lead, *((Lead(passed - int(on_last), at),) if passed > int(on_last) else ()))
        if used and chain is not None and self.counts(value(chain.count, self.size)):
            self.inside, lead = True, (*lead, *used)
        if beside:
            return lead, (steps[0], *steps[2:])
        if chain is not None and self.reading.get("missed") == "base" and misses_one(steps):
            return lead, (steps[0], *steps[2:])
        return lead, self._first_place(steps, chain)

    def _first_place(self, steps: Sequence[Step], chain: Stitch | None) -> Sequence[Step]:
        """The steps of a row, what is worked beside its chain put where that stands, or behind it."""
        at = int(chain is not None)
        if len(steps) > at and isinstance(second := steps[at], Into) and second.place == "second":
            stands = chain is None or self.counts(value(chain.count, self.size))
            passed_first = () if stands else (Stitch("sk", (1,), second.at),)
            return (*steps[:at], *passed_first, replace(second, place="next"), *steps[at + 1 :])
        step = steps[at] if len(steps) > at else None
        if not isinstance(step, Into) or step.place not in ("same", "base") or self.ring:
            return steps
        if chain is None and step.place == "base" and not step.body:
            return (step, *steps[1:])
        counts = chain is not None and self.counts(value(chain.count, self.size), stands=not step.body)
        rest: tuple[Step, ...]
        if counts:
            rest = (replace(step, place="same"),) if step.body else ()
        else:
            rest = (replace(step, place="next") if step.body else Stitch("sk", (1,), step.at),)
        return (*steps[:at], *rest, *steps[at + 1 :])

    def _slipped(self, steps: Sequence[Step]) -> list[Step]:
        """Slip stitches over several stitches that a row begins with: `Ch 1, sl st in first 7 sts, hdc in each st`."""
        chain = chained(steps)
        begun = steps[int(chain is not None and max(chain.count) == 1) :]
        found = list(itertools.takewhile(leads, begun))
        then = begun[len(found)] if len(begun) > len(found) else None
        to = then.to if isinstance(then, Into) else then.quantity if isinstance(then, Repeat) else None
        bound = isinstance(to, To) and not self.ring and not self.reading.get("slipped")
        return found if bound and sum(map(self._passed, found)) > 1 else []

    def _stands_on_skipped(self, passed: int, chain: Stitch, skip: Step, then: Step) -> bool:
        """`3 ch (counts as 1 tr), miss 1 st, 1 tr in each st to end`: the stitch missed is the one below the chain.

        What is missed at its base when stitches were `passed` in slip stitches is none of those: the one behind them.
        """
        if passed > 1 and isinstance(skip, Into) and skip.place == "base" and not skip.body:
            return self.counts(value(chain.count, self.size), stands=True)
        one = isinstance(skip, Stitch) and skip.name == "sk" and skip.count == (1,) and not skip.more
        fills = isinstance(then, Into) and then.place == "next" and then.to is not None
        return one and fills and self.chain == "counts" and value(chain.count, self.size) in (2, 3, self.tallest)

    def _passed(self, step: Step) -> int:
        if isinstance(step, Stitch):
            return value(step.count, self.size)
        if isinstance(step, Into):
            return value(step.count, self.size) if step.place in ("next", "base") and step.to is None else 0
        over = step.quantity if isinstance(step, Repeat) else None
        return value(over.short, self.size) if isinstance(over, To) and over.place == "over" else 0

    def counts(self, n: int, *, stands: bool = False) -> bool:
        """Whether a chain of `n` is the first stitch of its row; it `stands` where that one is skipped."""
        custom = (stands and n > 1) or stands_for(n, self.tallest) or (n >= TALL and not self.tallest)
        said = self.chain if self.chain != "joined" else ("counts" if n > 1 else "not")
        tall_enough = n > 1 and n >= self.tallest - (self.tallest > TALL) and self.tallest != 1
        chosen = self.reading.get("chain") if tall_enough else None
        return (said or chosen or ("counts" if custom else "not")) == "counts"

    def chains(self, step: Stitch, *, edge: bool, first: bool) -> tuple[Op, ...]:
        """Chains at the edge of a row; elsewhere they make a space, which is no stitch."""
        n = value(step.count, self.size)
        if not edge:
            return (Work(name="ch", n=n, takes=0, makes=0, at=step.at),)
        counts = first and self.counts(n)
        stands = self.top if self.top >= max(2, self.tallest - 1) else self.tallest if self.tallest >= TALL else n
        space = max(0, n - stands) if counts else 0
        more = first and self.longer and n > LONGER
        ring, inside = self.ring and first, self.inside and first
        return (Chain(n, counts and not more, step.at, space=space, ring=ring, more=more, inside=inside),)

    def into(self, step: Into) -> Sequence[Op]:
        """Stitches worked into one place, or into each of several."""
        parts = tuple(stitch.name for stitch in step.body for _ in range(value(stitch.count, self.size)))
        makes = sum(technique(name).produces for name in parts if name != "ch")
        label = step.body[0].name if len(step.body) == 1 else "group"
        count = value(step.count, self.size)
        work = Work(name=label, n=1, takes=0, makes=makes, at=step.at, parts=parts)
        if step.place == "new" or not parts:
            return (work,) if parts else self._passing(step, count)
        if step.place in ("elsewhere", "below", "side", "rows"):
            return (replace(work, n=max(1, count)),)
        if step.place == "links" and self.joining:
            return (replace(work, n=max(1, count)),)  # chains made in this round
        if step.place == "same" or self.ring:
            return (replace(work, n=max(1, count) if step.place in ("next", "same") else 1),)
        if step.place == "space":
            return self._spaces(step, work, count)
        each = replace(work, takes=1)
        if step.place == "both" and step.to is not None and max(step.to.short):
            return (Mingle(step.at), *self._every(step, each))
        if step.place == "both":
            return (*self._every(step, each), *self._spaces(step, work, 0))
        if step.place == "links":
            return (Links(count, each, step.at),) if count else (*self._every(step, each), Links(0, each, step.at))
        if step.place == "edge":
            return (Edge(each, step.at),)
        skipped: tuple[Op, ...] = ()
        if step.place == "skip":
            self.several = len(parts) > 1  # a group stands over the chains beside it
            skipped, count = self._skipped(step, count, chains_high(parts[0])), 1
        if step.to is None:
            return (*skipped, replace(each, n=count)) if count else skipped
        return (*skipped, *self._every(step, each))

    def _passing(self, step: Into, count: int) -> Sequence[Op]:
        """A place of which only is said that it is passed, or that the row begins there."""
        if step.place == "skip":
            return self._skipped(step, count, self.tallest)
        if step.place == "base":
            tall = max(2, self.tallest)
            return (Chain(tall, self.counts(tall), step.at, before=True),)
        return (
            self._spaces(step, Work(name="", n=0, takes=0, makes=0, at=step.at), count)
            if step.place == "space" and not self.ring
            else ()
        )

    def _every(self, step: Into, each: Work) -> tuple[Op, ...]:
        stop = self.stop(step.to) if step.to is not None else Stop("end", 0, "", step.at)
        return (Loop(body=(each,), n=0, to=stop, at=step.at, sum=total((each,))),)

    def stop(self, to: To) -> Stop:
        """A place to work to, for the one size."""
        return Stop(to.place, value(to.short, self.size), to.which, to.at)

    def _skipped(self, step: Into, count: int, tall: int) -> tuple[Op, ...]:
        """The first chains of the foundation, which stand for a stitch if they are as high and nothing else is said."""
        custom = stands_for(count, tall)
        said = self.chain.replace("joined", "counts")
        counts = (said or self.reading.get("chain") or ("counts" if custom else "not")) == "counts"
        counts = counts and (count > 1 or self.looped)
        high = (counts and tall >= TALL) or (tall == 1 and not counts)
        space = max(0, count - tall) // 2 if high and not self.several else 0
        return (Skip(count, step.at, counts, space),)

    def _spaces(self, step: Into, work: Work, count: int) -> tuple[Op, ...]:
        """Stitches into the next space, into the same one (`count` -1), or into every space (0)."""
        if count < 0:
            return (Space(0, step.at), work)
        groups = (Groups(step.chains == (-2,), step.at),) if min(step.chains, default=0) < 0 else ()
        one: tuple[Op, ...] = (
            Space(max(1, count), step.at, max((0, *step.chains)), passed=not work.parts),
            *((replace(work, n=max(1, count)),) if work.parts else ()),
        )
        if count:
            return (*groups, *one)
        return (
            *groups,
            Loop(body=one, n=0, to=Stop("end", 0, "", step.at), at=step.at, sum=total(one)),
        )
