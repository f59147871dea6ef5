"""What the steps of a row of crochet tell of its beginning and its end: chains, joins, stitches missed or slipped."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonplan.craft.techniques import TALL, chains_high, stands_for
from lessonplan.printed.tree import Colour, Into, Line, Mark, Repeat, Rows, Step, Stitch, To


def flattened(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Steps with those that are only written in one breath (`in same st and in each st`) taken apart."""
    found: list[Step] = []
    for step in steps:
        found += flattened(step.body) if isinstance(step, Repeat) and not (step.quantity or step.kind) else (step,)
    return tuple(found)


def stitches_of(steps: Sequence[Step]) -> Iterator[str]:
    """Names of the stitches of steps in order, without chains, slip stitches and skipped ones."""
    for step in steps:
        if isinstance(step, Repeat | Into):
            yield from stitches_of(step.body)
        elif isinstance(step, Stitch) and step.name not in ("ch", "sl st", "sk"):
            yield step.name


def leads(step: Step) -> bool:
    """Whether a step is of slip stitches alone."""
    if isinstance(step, Stitch):
        return step.name == "sl st"
    if isinstance(step, Repeat):
        return bool(step.body) and all(map(leads, step.body))
    return isinstance(step, Into) and bool(step.body) and all(each.name == "sl st" for each in step.body)


def _only_missed(step: Step) -> bool:
    """Whether stitches are only passed: `miss first 5 sts`."""
    if isinstance(step, Into):
        return step.place in ("next", "base") and step.to is None and not step.body
    return isinstance(step, Stitch) and step.name == "sk" and not step.more


def missed_first(steps: Sequence[Step]) -> Sequence[Step]:
    """The steps of a row that only pass stitches before yarn is joined behind them.

    `Miss first 5 sts, rejoin yarn to next st, 3 ch, 1 tr in each st`: the chain begins the row there. As many chains
    before low stitches are an opening: `sk 6 sts, ch 6, sc in next 10 sts`.
    """
    missed = tuple(itertools.takewhile(_only_missed, steps))
    behind = [*itertools.dropwhile(leads, steps[len(missed) :])]
    many = sum(max(step.count) for step in missed if isinstance(step, Stitch | Into))
    chain = chained(behind) if many > 1 and len(behind) > 1 else None
    opens = chain is not None and max(chain.count) == many and next(map(chains_high, stitches_of(behind)), 0) < TALL
    return missed if chain is not None and not opens else ()


def only_yarn(step: Step) -> bool:
    """Whether a step only tells of a yarn or a marker."""
    return isinstance(step, Colour | Mark)


def only_said(step: Step | None) -> bool:
    """Whether of a step is only said in which chain or stitch the row begins: `starting in 2nd ch from hook, ...`."""
    return isinstance(step, Into) and step.place in ("skip", "base") and not step.body


def only_a_ring(step: Step) -> bool:
    """Whether a step only makes a ring."""
    return isinstance(step, Into) and step.place == "new" and not step.body


def _one_slip(step: Step) -> bool:
    if isinstance(step, Into) and step.place == "next" and step.to is None and step.count == (1,):
        return len(step.body) == 1 and _one_slip(step.body[0])
    return isinstance(step, Stitch) and step.name == "sl st" and step.count == (1,)


def _fills(step: Step) -> bool:
    """Whether a step takes whatever is left of the round, so that nothing is left to be closed with."""
    to = step.to if isinstance(step, Into) else step.quantity if isinstance(step, Repeat) else None
    return isinstance(to, To) and to.place in ("end", "across", "rest") and not max(to.short)


def closed(steps: Sequence[Step], ring: bool) -> Sequence[Step]:
    """Steps without what only closes the round: a slip stitch into its beginning, a stitch in place of chains."""
    if len(steps) > 2 and _one_slip(steps[-2]) and chained(steps[-1:]):
        steps = steps[:-1]  # the chain of the next round
    last, before = (steps[-1], steps[-2]) if len(steps) > 1 else (None, None)
    if last is not None and before is not None and _one_slip(last):
        spaced = isinstance(last, Stitch) and any(isinstance(each, Into) and each.place == "space" for each in steps)
        if _fills(before) or (spaced and (chained((before,)) or isinstance(before, Repeat))):
            return steps[:-1]
    if not isinstance(last, Into) or last.place not in ("base", "same", "edge"):
        return steps
    only = last.body[0].name if len(last.body) == 1 and max(last.body[0].count) == 1 else ""
    tallest = max(map(chains_high, stitches_of(steps)), default=0)
    if isinstance(before, Stitch) and before.name == "sk" and len(steps) > 3:
        before = steps[-3]  # `ch 2, skip 3 sc, dc in first sc`
    after_chain = len(steps) > 2 and isinstance(before, Stitch) and before.name == "ch"
    after_chain = after_chain and (ring or last.place != "edge" or chains_high(only) < tallest)
    return steps[:-1] if only == "sl st" or (only and after_chain) else steps


def bridged(steps: Sequence[Step]) -> Sequence[Step]:
    """Steps with those missed below the last chain: `*ch 5, sk 2, sc in next; rep from * to last 2 sts, ch 5, join`."""
    again, chain = steps[-2:] if len(steps) > 1 else (None, None)
    if not isinstance(again, Repeat) or not isinstance(again.quantity, To) or not isinstance(chain, Stitch):
        return steps
    missed = Stitch("sk", again.quantity.short, chain.at)
    made = [(each.name, each.count) for each in flattened(again.body) if isinstance(each, Stitch)]
    as_before = chain.name == "ch" and {("ch", chain.count), ("sk", missed.count)} <= {*made}
    return (*steps, missed) if as_before else steps


def part_of_group(step: Step) -> bool:
    """Whether a chain is the first leg of stitches joined at the top: `ch 3, dc2tog in same st`."""
    first = step.body[0] if isinstance(step, Into) and step.place != "next" and step.body else None
    return (
        first is not None
        and (first.name.endswith("tog") or first.name == "cluster")
        and chains_high(first.name) >= TALL
    )


def chained(steps: Sequence[Step]) -> Stitch | None:
    """The chain that steps begin with, or None."""
    first = steps[0] if steps else None
    return first if isinstance(first, Stitch) and first.name == "ch" else None


def first_chain(line: Line) -> int:
    """Chains at the beginning of the last row of a line, 0 if there are none."""
    rows = [part for part in line.parts if isinstance(part, Rows)]
    steps = [
        step
        for step in (flattened(rows[-1].steps) if rows else ())
        if not (leads(step) or only_a_ring(step) or only_yarn(step))
    ]
    chain = chained(steps)
    return max(chain.count) if chain is not None and len(steps) > 1 else 0


def opened(steps: Sequence[Step]) -> Sequence[Step]:
    """Steps, or those of the repeat that they begin with: `sl st in next 2 ch, *ch 5, sc in next loop; ...`."""
    return steps[0].body if steps and isinstance(steps[0], Repeat) else steps


def open_chain(line: Line, flat: bool) -> str:
    """How ("counts", "not") the chain of a row that skips its first stitch is taken without a word or custom; or ""."""
    for part in line.parts if line.crochet and not line.chain else ():
        told = flattened(part.steps) if isinstance(part, Rows) else ()
        steps = [step for step in told if not (leads(step) or only_yarn(step))]
        chain, tall = chained(steps), next(map(chains_high, stitches_of(steps)), 0)
        n = max(chain.count) if chain is not None else tall  # the chain of the row before, if any
        begins = steps[int(chain is not None) :]
        skips = len(begins) > 1 and isinstance(begins[0], Into) and begins[0].place == "base" and not begins[0].body
        if skips and n > 1 and not stands_for(n, tall) and (flat or chain is not None):
            return "not" if chain is None else "counts"
    return ""


def misses_one(steps: Sequence[Step]) -> bool:
    """Whether a row begins `3 ch, miss 1 tr`, so that it may be the one below the chain."""
    steps = [step for step in steps if not only_yarn(step)]
    skip = steps[1] if len(steps) > 2 and chained(steps) else None
    return isinstance(skip, Stitch) and skip.name == "sk" and skip.count == (1,) and not skip.more


def begins_with_chain(line: Line) -> bool:
    """Whether a row begins with a chain, so that no stitch of the next one can be borrowed."""
    rows = next((part for part in line.parts if isinstance(part, Rows)), None)
    return rows is not None and chained(rows.steps) is not None


def chained_inside(steps: Sequence[Step]) -> bool:
    """Whether a row begins with a chain among what is worked into one place: `(ch 3, 2 dc) in corner`."""
    first = steps[0] if steps else None
    return isinstance(first, Into) and len(first.body) > 1 and first.body[0].name == "ch"


def slipped_inside(steps: Sequence[Step]) -> Sequence[Step]:
    """Steps without the slip stitch that leads into the first place: `(sl st, ch 1, sc, 3 dc) in first loop`."""
    first = steps[0] if steps else None
    leads = isinstance(first, Into) and len(first.body) > 2 and [one.name for one in first.body[:2]] == ["sl st", "ch"]
    return (replace(first, body=first.body[1:]), *steps[1:]) if leads and isinstance(first, Into) else steps
