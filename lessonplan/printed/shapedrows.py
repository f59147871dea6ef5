"""Rows and the shapings told of them: which rows are meant by `knit 8 rows, increasing 1 st on each`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.tree import Even, Part, Repeat, Rows, Shape, Spell, Step, Stitch, Times, To
from lessonplan.printed.wholerow import PLAIN


def so_often(item: Part, parts: list[Part]) -> tuple[Part, ...]:
    """`Work 5 rows, dec 1 st at neck edge of each row`: the rows are those that are shaped, and those between them.

    Rows behind the last one that is shaped are a part of their own.
    """
    last = parts[-1] if parts else None
    if not isinstance(item, Shape) or not isinstance(last, Rows) or last.measured or not plain_row(last):
        return (item,)
    spell = item.spells[-1]
    if len(item.spells) > 1 or spell.times or spell.until or max(len(last.times), len(spell.every)) > 1:
        return (item,)
    rows, every, lead = last.times[0], spell.every[0], spell.first[0] if spell.first else 0
    if spell.first is not None and every < 2:
        return (item,)  # `dec 4 sts evenly in next rnd`
    often = (rows - lead + every - 1) // every if lead else rows // every if every else 0
    if often < 1:
        return (item,)
    parts.pop()
    times = Times((often,), False, spell.at)
    spells: tuple[Spell, ...]
    if lead:  # the last one has no plain rows of its own behind it
        some = replace(spell, times=replace(times, count=(often - 1,)))
        spells = (some, replace(spell, every=ONE, first=None, times=replace(times, count=ONE)))
    else:
        spells = (replace(spell, times=times),)
    rest = rows - (lead + 1 + every * (often - 1) if lead else every * often)
    shaped = replace(item, spells=spells)
    return (shaped, replace(last, times=(rest,))) if rest else (shaped,)


def plain_row(rows: Rows) -> bool:
    """Whether rows are worked even, or plain from one end to the other: `work 8 rows`, `knit 8 rows`."""
    step = rows.steps[0]
    if isinstance(step, Repeat) and isinstance(step.quantity, To) and len(step.body) == 1:
        step = step.body[0]
    return len(rows.steps) == 1 and (isinstance(step, Even) or (isinstance(step, Stitch) and step.name in PLAIN))


def fabric(steps: Sequence[Step]) -> list[Step]:
    """Steps without the chain that a row of crochet begins with."""
    return [step for step in steps if not (isinstance(step, Stitch) and step.name == "ch")]


def same_row(shape: Shape) -> bool:
    """Whether a shaping says how the row before it in the line is worked, and is no row of its own."""
    once = len(shape.spells) == 1 and shape.spells[0].every == ONE and shape.spells[0].until is None
    return shape.where in ("evenly", "markers") or (shape.action in ("dec", "inc") and once)


def own_rows(shape: Shape) -> bool:
    """Whether a shaping has plain rows of its own, before or between those that it is in."""
    first = shape.spells[0]
    return shape.where not in ("evenly", "markers") and (first.first is not None or first.every not in (ONE, NONE))


def one_plain(part: Part) -> bool:
    """Whether a row is worked plain, so that a shaping spread over it is in that row: `K5, p to last 5 sts, k5`."""
    return isinstance(part, Rows) and part.times == ONE and all(map(plain, part.steps))


def plain(step: Step) -> bool:
    """Whether a step is plain stitches, or rows worked even."""
    if isinstance(step, Repeat):
        return all(map(plain, step.body))
    return isinstance(step, Even) or (isinstance(step, Stitch) and step.name in PLAIN)


def only_fill(step: Step) -> bool:
    """Whether a step after `BO 3 sts at beg of next 2 rows` only says what is done with the rest of the row."""
    return (
        isinstance(step, Even)
        or (isinstance(step, Repeat) and isinstance(step.quantity, To))
        or (isinstance(step, Stitch) and step.bare and step.name in PLAIN)
    )
