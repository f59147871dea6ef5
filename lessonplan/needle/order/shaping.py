"""Rows that print names without writing them out: plain ones, edge shapings, shapings spread evenly, "
"and "in this manner"."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TypeGuard

from lessonplan.needle.decided.line import times_of
from lessonplan.needle.ready.patterns import MOST_ROWS, PatternBook
from lessonplan.needle.stitch.live import FitError, Needle, WorkError, stitches
from lessonplan.printed.heading import Label, Num, value
from lessonplan.printed.tree import (
    Again,
    BindOff,
    CastOn,
    Charted,
    Even,
    Into,
    Line,
    Mark,
    Repeat,
    Rows,
    Shape,
    Spell,
    Step,
    Stitch,
    Times,
    To,
    Turn,
)

ONE: Num = (1,)
NONE: Num = (0,)


def single_rows(line: Line, size: int) -> list[Line]:
    """Every row of a line as a line of its own, without label and printed counts."""
    return [
        single
        for part, single in zip(line.parts, _each_row(line), strict=True)
        if isinstance(part, Rows)
        for _ in range(min(1000, value(part.times, size)))
    ]


def row_units(line: Line, size: int) -> list[tuple[Line, int]]:
    """The single rows that a line of rows stands for, with how often each is worked in a run."""
    return [
        (single, times_of(line, part, size))
        for part, single in zip(line.parts, _each_row(line), strict=True)
        if isinstance(part, Rows)
    ]


def bare(line: Line, *parts: Rows) -> Line:
    """A line of these rows only, without label, printed counts and other readings."""
    label = Label(needles=line.label.needles)
    return replace(line, parts=parts, label=label, printed=(), change=(), per="", others=())


@lru_cache(maxsize=4096)
def _each_row(line: Line) -> tuple[Line, ...]:
    return tuple(bare(line, replace(part, times=ONE)) if isinstance(part, Rows) else bare(line) for part in line.parts)


def even_row(line: Line, pattern: str = "") -> Line:
    """A row worked even, standing in for the plain rounds between shaping rounds."""
    return bare(replace(line, text="Work even"), Rows((Even(pattern, To("end", NONE, "", 0), 0),), ONE, 0))


def shaping_row(line: Line, part: Shape, needle: Needle, size: int) -> Line:
    """One row of a `Shape`, its rest worked even; which decreases and increases are used is common practice."""
    at = part.at
    if part.where == "evenly":
        return bare(line, Rows(_evenly(part, needle, value(part.count, size)), ONE, at, spread=part))
    if part.where == "markers":
        return bare(line, Rows(_at_markers(part, needle), ONE, at))
    first: tuple[Step, ...] = ()
    last: tuple[Step, ...] = ()
    taken: Num = NONE
    if part.action == "BO":
        first = last = (BindOff(part.count, "BO", at),)
        taken = part.count
    elif part.action == "CO":
        first = last = (CastOn(part.count, False, at),)
    elif part.action == "dec":
        first = (Repeat((Stitch("ssk", ONE, at),), Times(part.count, False, at), at),)
        last = (Repeat((Stitch("k2tog", ONE, at),), Times(part.count, False, at), at),)
        taken = tuple(2 * each for each in part.count)
    else:
        first = (Stitch("k", ONE, at), Stitch("m1l", part.count, at))
        last = (Stitch("m1r", part.count, at), Stitch("k", ONE, at))
        taken = ONE
    at_start, at_end = part.where in ("start", "each"), part.where in ("end", "each")
    rest = Even(part.pattern, To("end", taken if at_end else NONE, "", at), at)
    return bare(line, Rows((*(first if at_start else ()), rest, *(last if at_end else ())), ONE, at))


def anew(line: Line, needle: Needle, size: int) -> Line:
    """A row worked again: what is spread evenly in it is spread over the stitches that there are now."""
    part = line.parts[0] if len(line.parts) == 1 else None
    return shaping_row(line, part.spread, needle, size) if isinstance(part, Rows) and part.spread else line


def _evenly(part: Shape, needle: Needle, n: int) -> tuple[Step, ...]:
    """`n` shapings with plain stretches between them that differ by at most one stitch."""
    at, uses = part.at, 2 if part.action == "dec" else 0
    plain = needle.stitches - n * uses
    if n == 0:
        return (Even("", To("end", NONE, "", at), at),)
    if n < 0 or plain < 0:
        raise WorkError(f"spreads {n} shapings over {stitches(needle.stitches)}", at + 1)
    name = "k2tog" if part.action == "dec" else "m1"
    each, longer = divmod(plain, n)
    runs = ((each + 1, longer), (each, n - longer))
    return tuple(
        Repeat((Stitch("k", (length,), at), Stitch(name, ONE, at)), Times((times,), False, at), at)
        for length, times in runs
        if times
    )


def _at_markers(part: Shape, needle: Needle) -> tuple[Step, ...]:
    """One shaping before and one after each marker."""
    at = part.at
    short: Num = (2,) if part.action == "dec" else NONE
    before, after = ("k2tog", "ssk") if part.action == "dec" else ("m1r", "m1l")
    body = (
        Repeat((Stitch("k", ONE, at, bare=True),), To("marker", short, "", at), at),
        Stitch(before, ONE, at),
        Mark("sm", "", at),
        Stitch(after, ONE, at),
    )
    n = max(1, len(needle.markers))
    around: Step = Repeat(body, Times((n,), False, at), at)
    if needle.marked:
        return Stitch(after, ONE, at), around, Even("", To("end", short, "", at), at), Stitch(before, ONE, at)
    return around, Even("", To("end", NONE, "", at), at)


def round_the_marker(part: Shape, needle: Needle) -> Shape:
    """A shaping each side of the marker: where none was placed, it is that of the round's beginning, or somewhere."""
    if part.where != "the marker":
        return part
    if needle.flat and not needle.markers:
        return replace(part, where="evenly", count=tuple(2 * n for n in part.count))
    return replace(part, where="markers" if needle.markers else "each")


def counted_markers(line: Line, part: Shape, needle: Needle, size: int) -> Shape:
    """A shaping at markers of which no line told where they are: the count of it tells how many there are."""
    told = abs(value(line.change, size)) if line.change else 0
    there = len(needle.markers) + needle.marked
    at_one = value(part.count, size) * (2 if part.where == "markers" else 1)
    if part.where == "evenly" or (part.where == "markers" and there and told in (0, at_one * there)):
        return part
    if told and told % at_one == 0:
        return replace(part, where="evenly", count=(told,))
    if part.where == "a marker" and there and (needle.flat or needle.marked):
        return replace(part, where="evenly", count=(at_one * there,))
    sections = itertools.pairwise([0, *(place for place, _ in needle.markers), needle.stitches])
    if part.where == "a marker" and there and len({end - start for start, end in sections}) == 1:
        return replace(part, where="evenly", count=(at_one * (there + 1),))  # the round begins at one of them
    if not there or part.where == "a marker":
        raise WorkError("shapes at markers, but nothing tells how many there are", line.column(part.at), "ambiguous")
    return part


def between_markers(line: Line, action: str, at: int) -> Line:
    """A row with one shaping after the first marker and one before the next."""
    plain = Stitch("k", ONE, at, bare=True)
    first, last = ("ssk", "k2tog") if action == "dec" else ("m1l", "m1r")
    to = To("marker", (2,) if action == "dec" else NONE, "", at)
    steps: tuple[Step, ...] = (
        Repeat((plain,), replace(to, short=NONE), at), Mark("sm", "", at), Stitch(first, ONE, at),
        Repeat((plain,), to, at), Stitch(last, ONE, at), Mark("sm", "", at), Even("", To("end", NONE, "", at), at),
    )  # fmt: skip
    return bare(line, Rows(steps, ONE, at))


_ONE_EDGE = re.compile(
    r"[^;]{0,80}?\b(?:at|on|along) (?:the )?(?:neck|armhole|front|shaped|same) edge\b", re.IGNORECASE
)


def edge_alone(line: Line, part: Again, delta: int) -> Shape | None:
    """A shaping gone on with at one edge, where the row that changed the count by `delta` was shaped at both."""
    if abs(delta) < 2 or not (part.until or part.times) or not _ONE_EDGE.match(line.text, part.at):
        return None
    spell = part.spells[0] if part.spells else Spell((2,), None, None, part.at)
    spell = replace(spell, times=part.times or spell.times, until=part.until or spell.until)
    return Shape("dec" if delta < 0 else "inc", (1,), "end", (spell,), part.at)


def in_this_manner(line: Line, part: Rows, by: int, *, lead: bool = False) -> Line | None:
    """The next shaping row of a series: its repeat `by` plain stitches longer (or shorter, where it is negative).

    With `lead` what stands before the repeat is longer too.
    """
    steps = part.steps
    for index, step in enumerate(steps):
        if isinstance(step, Repeat) and len(step.body) > 1:
            body = _shorter(step.body, by)
            before = _shorter(steps[:index], by) if lead else steps[:index]
            if body is not None and before is not None:
                return bare(line, replace(part, steps=(*before, replace(step, body=body), *steps[index + 1 :])))
    whole = None if lead else _shorter(steps, by)
    return None if whole is None else bare(line, replace(part, steps=whole))


def in_two_places(line: Line, part: Rows, by: int) -> Iterator[Line]:
    """The same, two plain stretches beside shapings being so much longer: `before the k2tog and after the ssk`."""
    steps = part.steps
    beside = [
        index
        for index, step in enumerate(steps)
        if _plain(step) and not all(map(_plain, (*steps[max(0, index - 1) : index], *steps[index + 1 : index + 2])))
    ]
    for two in itertools.combinations(beside, 2):
        longer = [(_shorter((step,), by) or (step,))[0] if n in two else step for n, step in enumerate(steps)]
        yield bare(line, replace(part, steps=tuple(longer)))


def apart_in(line: Line, size: int) -> int | None:
    """The plain stitches between two shapings of a row that repeats; None of any other row."""
    steps = line.parts[0].steps if len(line.parts) == 1 and isinstance(line.parts[0], Rows) else ()
    body = next((step.body for step in steps if isinstance(step, Repeat) and len(step.body) > 1), ())
    plain = [value(step.count, size) for step in body if _plain(step)]
    return plain[0] if len(plain) == 1 else None


def grown(line: Line, part: Rows) -> Line | None:
    """The next row of groups in spaces of crochet, with a group more on each side; None where there are none."""
    steps = _with_more(part.steps) if line.crochet else part.steps
    if steps == part.steps:
        steps = _with_first(part.steps) if line.crochet else part.steps
    return None if steps == part.steps else bare(line, replace(part, steps=steps))


def _in_space(step: Step, *, corner: bool) -> TypeGuard[Into]:
    """Whether a step is a group in a space, or (`corner`) two of them with chains between."""
    if not isinstance(step, Into) or step.place != "space" or step.count == NONE or step.to is not None:
        return False
    names = [each.name for each in step.body]
    return ("ch" in names[1:-1]) is corner and bool(names) and names[0] != "ch"


def _with_more(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Steps with every run of groups in spaces, each with the chains after it, longer by one."""
    found: list[Step] = []
    place = 0
    while place < len(steps):
        step = steps[place]
        after = place + 1
        if isinstance(step, Repeat) and isinstance(step.quantity, Times) and _a_unit(step.body):
            found.append(replace(step, quantity=replace(step.quantity, count=_one_more(step.quantity.count))))
        elif isinstance(step, Repeat):
            found.append(replace(step, body=_with_more(step.body)))
        elif _in_space(step, corner=False) and max(step.count) > 1:
            found.append(replace(step, count=_one_more(step.count)))
        elif _in_space(step, corner=False) and sum(max(each.count) for each in step.body) > 1:
            chained = _chain_at(steps, after)
            unit = tuple(steps[place : after + chained])
            after += chained
            found += unit
            if not _a_unit(steps[after : after + len(unit)]):
                found += unit
        else:
            found.append(step)
        place = after
    return tuple(found)


def _with_first(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Steps with a first group in a space behind every corner."""
    found: list[Step] = []
    place = 0
    while place < len(steps):
        step = steps[place]
        place += 1
        if isinstance(step, Repeat):
            found.append(replace(step, body=_with_first(step.body)))
            continue
        found.append(step)
        if _in_space(step, corner=True):
            chained = _chain_at(steps, place)
            chain = tuple(steps[place : place + chained])
            found += (*chain, Into((step.body[-1],), "space", ONE, None, step.at), *chain)
            place += chained
    return tuple(found)


def _chain_at(steps: Sequence[Step], place: int) -> int:
    """1 where chains stand between two groups, else 0."""
    step = steps[place] if place < len(steps) else None
    return int(isinstance(step, Stitch) and step.name == "ch")


def _a_unit(steps: Sequence[Step]) -> bool:
    """Whether steps are a group in a space, with chains after it or without."""
    first = steps[0] if steps else None
    group = first is not None and _in_space(first, corner=False) and sum(max(each.count) for each in first.body) > 1
    return group and (len(steps) == 1 or (len(steps) == 2 and _chain_at(steps, 1) == 1))


def _one_more(count: Num) -> Num:
    return tuple(each + 1 for each in count)


def cut_at_turn(line: Line) -> Line | None:
    """A short row without the plain stitch before its turn, for which the last row has no stitch left."""
    part = line.parts[0] if len(line.parts) == 1 else None
    if not isinstance(part, Rows) or len(part.steps) < 3 or not isinstance(part.steps[-1], Turn):
        return None
    last = part.steps[-2]
    if not isinstance(last, Stitch) or last.name not in ("k", "p") or last.count != ONE:
        return None
    return bare(line, replace(part, steps=(*part.steps[:-2], part.steps[-1])))


def longest_plain(line: Line, size: int) -> int | None:
    """The longest plain stretch of a row that is turned before its end; None of any other row."""
    steps = line.parts[0].steps if len(line.parts) == 1 and isinstance(line.parts[0], Rows) else ()
    if not steps or not isinstance(steps[-1], Turn):
        return None
    return max((value(step.count, size) for step in steps if _plain(step)), default=0)


def _shorter(body: Sequence[Step], by: int) -> tuple[Step, ...] | None:
    plain = {index: each for index, each in enumerate(body) if _plain(each)}
    if not plain:
        return None
    longest = max(plain, key=lambda index: max(plain[index].count))
    stitch = plain[longest]
    count = tuple(max(0, each + by) for each in stitch.count)
    longer = replace(stitch, count=count)
    longer = replace(longer, place="next") if isinstance(longer, Into) else longer
    return (*body[:longest], longer, *body[longest + 1 :])


def _plain(step: Step) -> TypeGuard[Stitch | Into]:
    """Whether a step is a plain stretch: `k3`, `sc in each of next 3 sts`."""
    if isinstance(step, Into):
        return step.place in ("next", "base") and step.to is None and len(step.body) == 1 and step.body[0].count == ONE
    return isinstance(step, Stitch) and step.name in ("k", "p", "sc", "hdc", "dc", "tr")


def chart_rows(part: Charted, line: Line, book: PatternBook, size: int) -> list[Line]:
    """The rows in the order worked; raises `WorkError` where nobody wrote the chart, or not so many rows of it."""
    column = line.column(part.at)
    try:
        height = book.height(part.name, part.at)
    except FitError as misfit:
        raise WorkError(misfit.sentence, column, misfit.kind) from None
    first, last = part.first or 1, part.last or (1 if height == MOST_ROWS else height)
    if last > height:
        raise WorkError(f"asks for row {last} of {part.name}, which has {height} rows", column)
    numbers = range(first, last + 1) if first <= last else range(first, last - 1, -1)
    times = value(part.times.count, size) if part.times else 1
    count = len(line.label.numbers) or (value(part.rows, size) if part.rows else len(numbers) * times)
    if count > MOST_ROWS:
        raise WorkError(f"asks for {count} rounds, more than any piece has", column)
    names = [f"{part.name}, row {numbers[number % len(numbers)]}" for number in range(count)]
    to_end = To("end", (0,), "", part.at)
    return [bare(line, Rows((Even(name, to_end, part.at),), (1,), part.at)) for name in names]
