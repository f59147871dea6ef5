"""Lists by size, “forty in the small, forty four in the medium”: judged whole, for their numbers tell what they are of.

A list is held against whatever has a number in each size; where it is one of them, it is right, and where all of it
but one number is, that one disagrees. What agrees with nothing is of something that nobody has worked out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import CUES, Planned, Verdict
from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import Quantity, near
from lessonplan.edit.speech.rounds import round_before
from lessonplan.edit.speech.units import LENGTHS

_COUNTS = ("stitches", "rounds", "rows", "times", "repeats")
_WITHIN = 30
"""So many words lie between two numbers of a list at most."""
_FIRST = (
    "cast on",
    "start",
    "end",
    "total",
    "held",
    "picked up",
    "length",
    "around",
    "measure",
    "whole",
    "text",
    "shaping last",
)
"""The cues of numbers that are rather meant than others."""


_BY_THE_WAY = ("made", "each", "half", "run", "line")
"""The cues of numbers that two in a row are rarely told of."""


def lists_in(quantities: Sequence[Quantity], words: Sequence[str]) -> Iterator[list[Quantity]]:
    """Gather the numbers that are said of different sizes one after the other, of one unit."""
    open_lists = dict[str, list[Quantity]]()
    last = ""
    for one in quantities:
        if words[one.end : one.end + 1] in (["more"], ["fewer"], ["less"]):
            continue
        if one.size is None or one.ordinal or one.number.ordinal or (one.bare and one.value <= 1):
            continue
        unit = last if one.bare and last in open_lists else one.unit
        unit = "cm" if unit in LENGTHS else unit
        found = open_lists.get(unit, [])
        if found and (one.first - found[-1].end > _WITHIN or one.size in {each.size for each in found}):
            yield open_lists.pop(unit)
            found = []
        open_lists[unit] = [*found, one]
        last = unit
    yield from open_lists.values()


def judge_lists(quantities: Sequence[Quantity], words: Sequence[str], holds: Holds) -> Mapping[int, Verdict | None]:
    """Judge the lists by size: for each number in one, by its first token, what is wrong with it, or None."""
    found: dict[int, Verdict | None] = {}
    for each in lists_in(quantities, words):
        if len(each) > 1:
            found |= _judged(each, words, holds, round_before(each[0], words, quantities))
    return found


def _judged(listed: Sequence[Quantity], words: Sequence[str], holds: Holds, place: str) -> Mapping[int, Verdict | None]:
    said = next((one.unit for one in listed if not one.bare), "")
    ranged = any(one.number.low < one.number.high for one in listed)
    ends = [_ends(one) for one in listed] if ranged else [[one] for one in listed]
    found: dict[int, Verdict | None] = {one.first: None for one in listed}
    columns = [[*column] for column in zip(*ends, strict=False)]
    if ranged and not all(one.number.low < one.number.high for one in listed):
        columns = [[each[-1] for each in ends]]  # “sixteen to seventeen, up to nineteen”
    for column in columns:
        best = _best(column, said, words, holds, place)
        for one in column:
            if best is None or _agrees(one, best) or (one.bare and len(column) < 3 and _of_else(one, holds)):
                continue
            value = best.at(min(one.size or 0, len(best.values) - 1))
            if best.unit in LENGTHS or 0.5 <= one.value / max(value, 1) <= 2:
                found[one.first] = Verdict("disagrees", _worded(one, best), best.fact)
    return found


def _known(column: Sequence[Quantity], said: str, holds: Holds) -> bool:
    """Whether any number of a list is one that some part of the course has in its size."""
    planned = [*holds.pattern.get(said, ()), *(each for each in holds.elsewhere if each.unit == said)]
    return any(_agrees(one, each) for one in column for each in planned if len(each.values) > 1)


def _of_else(one: Quantity, holds: Holds) -> bool:
    """Whether a number without a unit is another of its size: “the adult has thirty six, which is nine”."""
    planned = (each for unit in ("stitches", "rounds", "rows") for each in holds.pattern.get(unit, ()))
    whole = (each for each in planned if each.cue in ("total", "held", "cast on", "end", "picked up") and each.fact)
    return any(
        one.size is not None and len(each.values) > one.size and each.at(one.size) == one.value for each in whole
    )


def _ends(one: Quantity) -> list[Quantity]:
    return [replace(one, number=replace(one.number, low=end, high=end)) for end in (one.number.low, one.number.high)]


def _best(column: Sequence[Quantity], said: str, words: Sequence[str], holds: Holds, place: str) -> Planned | None:
    """Give what a list is of, where all of it but one number agrees, or its numbers are those of other sizes.

    None where it is right, or where it agrees with little.
    """
    near_by = " ".join(words[max(0, column[0].first - 12) : column[-1].end + 8])
    amounts = _AMOUNTS - {*near_by.split()} != _AMOUNTS
    own = [each for unit in holds.pattern.values() for each in unit if _may_be(said, each, amounts)]
    away = [each for each in holds.elsewhere if _may_be(said, each, amounts)]
    passing = [each for each in (*own, *away) if _of_a_round(each)]
    cued = [
        each
        for each in own
        if each.cue in (*_FIRST, "half", "each") and each.cue in CUES and re.search(CUES[each.cue], near_by)
    ]
    whole = [each for each in own if not _of_a_round(each)]
    else_where = [each for each in away if not _of_a_round(each)]
    placed = [each for each in own if each.cue == place or (holds.up_to and each.cue == f"round {holds.up_to}")]
    exact = [
        each
        for each in own
        if each.unit in LENGTHS and said in LENGTHS and {*each.values} == {each.at(0)} and each.cue == "length"
    ]
    for tier in (placed, exact if len({one.value for one in column}) > 1 else [], cued, whole):
        counted = ((_count(column, each), each) for each in tier)
        count, best = max(
            counted, key=lambda one: (one[0], one[1].cue in _FIRST and one[1].unit in _COUNTS), default=(0, None)
        )
        if count == len(column):
            return None
        if best and (count == len(column) - 1 or _shifted(column, best)):
            others = (
                [*whole, *else_where, *(each for each in passing if each.cue == place)]
                if len(column) > 2
                else whole
                if tier is cued
                else [*whole, *else_where]
            )
            if len(column) == 2:
                others = [each for each in others if each.cue not in _BY_THE_WAY]
            if tier is whole and len(column) == 2 and not (said or best.cue in _FIRST):
                return None
            return best if tier is exact or not any(_count(column, each) == len(column) for each in others) else None
    return None


def _of_a_round(each: Planned) -> bool:
    return each.cue == "state" or (each.cue.startswith(("round ", "shaping ")) and each.cue != "shaping last")


def _count(column: Sequence[Quantity], each: Planned) -> int:
    return sum(_agrees(one, each) for one in column)


def _shifted(column: Sequence[Quantity], each: Planned) -> bool:
    """Whether all numbers are those of a fact, and all of other sizes than they are said of."""
    return len(column) > 1 and {one.value for one in column} <= {*each.values}


_AMOUNTS = frozenset(words_in("gram grams meter meters metre metres yard yards"))


def _may_be(said: str, each: Planned, amounts: bool) -> bool:
    return len(each.values) > 1 and _fits(said, each.unit, amounts)


def _fits(said: str, unit: str, amounts: bool) -> bool:
    if not said:
        return unit in (*_COUNTS, *LENGTHS) or (amounts and unit in ("grams", "metres", "yards"))
    if said in LENGTHS:
        return unit in LENGTHS
    return unit == said or (said in ("times", "repeats") and unit in ("times", "repeats", "shapings"))


def _agrees(one: Quantity, each: Planned) -> bool:
    size = one.size if one.size is not None else 0
    value = each.at(min(size, len(each.values) - 1))
    if each.unit in LENGTHS and (one.bare or one.unit not in LENGTHS):
        return any(near(replace(one, unit=unit), each.unit, value) for unit in LENGTHS)
    if one.unit in LENGTHS and each.unit not in LENGTHS:
        one = replace(one, unit=each.unit)
    if each.unit in ("grams", "metres", "yards"):
        return abs(one.value - value) <= 0.1 * value
    return near(one, each.unit, value)


def _worded(one: Quantity, each: Planned) -> str:
    size = one.size if one.size is not None else 0
    return f"{round(each.at(min(size, len(each.values) - 1)), 1):g} {each.unit} ({each.what})"
