"""Rounds and rows as the handout prints them: numbered, with their yarns, and the stitches after each change.

They are read from the worked steps of all sizes, so that repeats, stripes and charts are printed as they are worked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, takewhile

from lessonplan.course.model import pattern as pm, works as wm
from lessonplan.course.words import count_of, several
from lessonplan.craft.lengths import NO_BREAK, sizes_text, unbroken
from lessonplan.documents.wording import told_once
from lessonplan.documents.worklines import rest_of
from lessonplan.pattern.worked import REMARK, Step
from lessonplan.printed.words.numbers import ONLY

Runs = Sequence[tuple[Step, ...]]
"""The rounds of one work, for each size."""
_NUMBERED = re.compile(
    rf"(?:{ONLY.pattern}|^\W*(next ([\d\W]+ )?|set-up |every )?(rnds?|rounds?|rows?)\b)", re.IGNORECASE
)
"""A line that says itself which round it is, or in which sizes there is one: numbers before it would contradict it."""


@dataclass(frozen=True, slots=True)
class LineView:
    """One printed instruction: which rounds and in which yarn, the line, and the stitches after it if they change.

    ``without`` are the sizes (0-based) in which it is not worked.
    """

    text: str
    count: str = ""
    label: str = ""
    without: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class PrintedRounds:
    """The rounds of a work: the lines of the first time, how they go on, and the stitches at the end."""

    lines: tuple[LineView, ...]
    end: str = ""
    count: str = ""


def numbers_itself(line: str) -> bool:
    """Tell whether a line says which rounds or how many it is for, so that they need not be told before it."""
    match = _NUMBERED.match(line)
    return match is not None and "every" not in match[0].lower()


def stitches(counts: Sequence[int | str]) -> str:
    """Word a number of stitches in each size: ``43 (47, 51) sts``; where none are left in any, nothing."""
    any_left = any(one not in (0, "–") for one in counts)
    return f"{sizes_text([str(count) for count in counts])}{NO_BREAK}sts" if any_left else ""


def printed_rounds(runs: Runs, firsts: Sequence[int], named: Callable[[Step], str]) -> PrintedRounds | None:
    """Print the rounds of one work; ``firsts`` is the number of its first round in each size.

    ``named`` words the yarns of a round. None where the sizes do not begin alike, or the lines are numbered themselves.
    """
    longest = max(runs, key=len)
    said = [step.text for step in takewhile(lambda one: one.kind == REMARK, longest)]
    if said and all([step.text for step in run[: len(said)]] == said for run in runs):
        rest = [run[len(said) :] for run in runs]
        printed = printed_rounds(rest, firsts, named) if all(rest) else PrintedRounds(()) if not any(rest) else None
        told = tuple(LineView(unbroken(text)) for text in said)
        return replace(printed, lines=(*told, *printed.lines)) if printed else None
    if any(step.kind == REMARK for run in runs for step in run):
        return None
    totals = [len(run) for run in runs]
    alike = [[(step.text, named(step)) for step in run] for run in runs]
    signs = max(alike, key=len)
    if any(one != signs[: len(one)] for one in alike) or any(_NUMBERED.match(step.text) for step in longest):
        return None
    period = next(p for p in range(1, len(signs) + 1) if all(signs[n] == signs[n % p] for n in range(p, len(signs))))
    if 1 < period == len(signs) - 1:
        period += 1  # the one round more is its line, not “go on in this way”
    what = "Row" if longest[0].flat else "Rnd"
    if period == 1:
        ends = [first + total - 1 for first, total in zip(firsts, totals, strict=True)]
        line = LineView(
            unbroken(told_once(longest[0].text, totals)),
            _count(runs, 0, totals),
            _label(what, firsts, ends, signs[0][1]),
        )
        return PrintedRounds((line,), _each_time(runs, 1, totals) if max(totals) > 1 else "")
    once = [min(period, total) for total in totals]
    lines = []
    for _, group in groupby(range(period), key=lambda place: signs[place]):
        places = list(group)
        begin, stop = places[0], places[-1]
        starts = [first + begin for first in firsts]
        ends = [first + min(stop, total - 1) for first, total in zip(firsts, totals, strict=True)]
        count = _count(runs, begin, [stop + 1] * len(runs))
        label = _label(what, starts, ends, signs[begin][1])
        without = tuple(size for size, total in enumerate(totals) if total <= begin)
        many = [max(0, min(stop + 1, total) - begin) for total in totals]
        lines.append(LineView(unbroken(told_once(longest[begin].text, many)), count, label, without))
    if totals == once:
        return PrintedRounds(tuple(lines))
    return PrintedRounds(tuple(lines), *_go_on(runs, firsts, totals, period, what.lower()))


def _go_on(runs: Runs, firsts: Sequence[int], totals: Sequence[int], period: int, what: str) -> tuple[str, str]:
    """Say how often the printed rounds are worked, up to which round, and how many stitches there are then."""
    last = sizes_text([str(first + total - 1) for first, total in zip(firsts, totals, strict=True)])
    if all(total % period == 0 for total in totals):
        times = sizes_text([str(total // period) for total in totals])
        name = {"rnd": "round", "row": "row"}[what]
        end = f"Work these {count_of(period, name)} {times} times in all, to {what}{NO_BREAK}{last}"
    else:
        end = f"Go on in this way to the end of {what}{NO_BREAK}{last}"
    each = _each_time(runs, period, totals)
    return (f"{end}; {each}" if each else f"{end}.", _count(runs, 0, totals))


def _each_time(runs: Runs, period: int, totals: Sequence[int]) -> str:
    """Say by how many stitches each repeat changes their number, where all change it alike."""
    changes = {
        run[at + period - 1].after - run[at].before
        for run, total in zip(runs, totals, strict=True)
        for at in range(0, total - period + 1, period)
    }
    change = next(iter(changes)) if len(changes) == 1 else 0
    if not change or max(totals) < 2 * period:
        return ""
    more = "more" if change > 0 else "fewer"
    return f"{abs(change)}{NO_BREAK}{'st' if abs(change) == 1 else 'sts'} {more} each time."


def _count(runs: Runs, begin: int, stops: Sequence[int]) -> str:
    """Give the stitches after some rounds where these change their number."""
    parts = [run[begin : min(stop, len(run))] for run, stop in zip(runs, stops, strict=True)]
    if not any(part and part[0].before != part[-1].after for part in parts):
        return ""
    return stitches([part[-1].after if part else "–" for part in parts])


def _label(what: str, firsts: Sequence[int], lasts: Sequence[int], yarns: str) -> str:
    """Name some rounds: ``Rnd 1 (CC)``, ``Rnds 2 and 3``, ``Rnds 12 (14, 16) to 16 (18, 20)``."""
    begin, end = ([str(number) for number in numbers] for numbers in (firsts, lasts))
    end = [one if int(one) >= int(other) else "–" for one, other in zip(end, begin, strict=True)]
    begin = [one if other != "–" else "–" for one, other in zip(begin, end, strict=True)]
    several = any(one != other for one, other in zip(begin, end, strict=True))
    word = "and" if {int(b) - int(a) for a, b in zip(begin, end, strict=True) if "–" not in (a, b)} == {1} else "to"
    numbers = f"{sizes_text(begin)} {word}{NO_BREAK}{sizes_text(end)}" if several else sizes_text(begin)
    return f"{what}{'s' if several else ''}{NO_BREAK}{numbers}" + (f" ({yarns})" if yarns else "")


def counted(work: wm.Units, pattern: pm.Pattern, runs: Sequence[Sequence[Step]]) -> str:
    """Word counted units: what is done to each, how many they are, and what each uses."""
    counts = [len(run) for run in runs]
    more = set(counts) != {1}
    number = f"{sizes_text([str(count) for count in counts])} {several(work.unit) if more else work.unit}"
    used = [f"{one} each" if more else one for one in uses(work, pattern)]
    said = f"{work.what.rstrip('.')} ({', '.join([number, *used])})" if work.what else ", ".join([number, *used])
    return f"{said}.{rested(runs)}"


def uses(work: wm.Work, pattern: pm.Pattern) -> list[str]:
    """Word what a work uses up in all sizes: ``450 g of stoneware clay``, ``4 sheets of paper``."""
    found = []
    for key, portion in work.uses.items():
        amount = sizes_text([f"{value:g}" for value in portion.values])
        found.append(f"{amount} {portion.unit} of {pattern.materials[key].name}" if portion.unit else f"{amount} {key}")
    return found


def rested(runs: Sequence[Sequence[Step]]) -> str:
    """Say how long what was made must lie, where it must."""
    return next((rest_of(run[-1]) for run in runs if run and run[-1].drying), "")
