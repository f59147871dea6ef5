"""Whether a quantity is one of some numbers: in its size, at both ends of a range, or in a list of all sizes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import Planned
from lessonplan.edit.speech.quantities import Quantity, near
from lessonplan.edit.speech.units import LENGTHS

COUNTS = ("stitches", "rounds", "rows")
"""The units of counts, which are said for one another."""
WHOLE = ("cast on", "start", "end")
"""The cues of counts of all stitches of a stage."""


def at(each: Planned, size: int) -> float:
    """Give a number in a size; where it has fewer, that of its last."""
    return each.at(min(size, len(each.values) - 1))


def fits(one: Quantity, planned: Iterable[Planned], holds: Holds, others: Sequence[Quantity]) -> bool:
    """Whether a quantity is one of some planned numbers; ``others`` are said around it."""
    sizes = [one.size] if one.size is not None else [holds.size]
    planned = list(planned)
    if one.unit in COUNTS and one.number.high - one.number.low > 2:  # “forty to forty eight”, of all sizes
        return any({one.number.low, one.number.high} <= {*each.values} for each in planned)
    if one.size is not None and one.unit in LENGTHS and one.number.low < one.number.high:
        fits = [
            each for each in planned if each.cue == "measure" and not each.fact and len(each.values) > max(1, one.size)
        ]
        if fits:
            return _both(one, fits, one.size)
    if one.unit in LENGTHS and one.size is None and one.number.low < one.number.high:  # “from forty six to sixty”
        ends = [
            replace(one, number=replace(one.number, low=end, high=end)) for end in (one.number.low, one.number.high)
        ]
        if all(any(near(end, each.unit, value) for each in planned for value in each.values) for end in ends):
            return True
    if one.size not in (None, holds.size) and one.unit in LENGTHS and any(len(each.values) > 1 for each in planned):
        planned = [each for each in planned if len(each.values) > 1 or each.fact or each.cue != "text"]
    for each in planned:
        for size in sizes:
            if (size < len(each.values) or len(each.values) == 1) and near(one, each.unit, each.at(size)):
                return True
    return one.size is None and _listed(one, planned, others)


def _both(one: Quantity, fits: Sequence[Planned], size: int) -> bool:
    """Whether both ends of a length are those of what a size fits."""
    ends = [replace(one, number=replace(one.number, low=end, high=end)) for end in (one.number.low, one.number.high)]
    return all(any(near(end, each.unit, each.at(size)) for each in fits) for end in ends)


def _listed(one: Quantity, planned: Sequence[Planned], others: Sequence[Quantity]) -> bool:
    """Whether a number stands in a list of all sizes: as many numbers, each of them that of one size."""
    lists = {tuple(sorted(each.values)) for each in planned if len({*each.values}) > 1}
    at = next((place for place, each in enumerate(others) if each.first == one.first), 0)
    for count in {len(each) for each in lists}:
        for start in range(max(0, at - count + 1), at + 1):
            run = others[start : start + count]
            close = all(b.first - a.end <= 5 for a, b in pairwise(run))
            if close and tuple(sorted(other.value for other in run)) in lists:
                return True
    return False
