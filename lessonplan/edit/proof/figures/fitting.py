"""Which numbers a quantity may be, and whether it is one: in its size, at both ends of a range, in a list of sizes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.proof.counts.prose import at
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import Planned
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import Quantity, near
from lessonplan.edit.speech.units import INCH, LENGTHS

COUNTS = ("stitches", "rounds", "rows")
"""The units of counts, which are said for one another."""
WHOLE = ("cast on", "start", "end")
"""The cues of counts of all stitches of a stage."""


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


_ONLY_CUED = frozenset(
    words_in(
        "rested change repeat half each last between gauge line whole measure stripe run shaping every ball made plain"
    )
)
"""Numbers that are true only where their words stand beside them."""


def _counted_over(said: Said) -> bool:
    """Whether a length follows a count at once: “twenty four rows to ten centimetres”."""
    one, words = said.one, said.words
    counts = [
        each for each in said.others if each.unit in ("stitches", "rounds", "rows") and 0 < one.first - each.end <= 3
    ]
    return bool(counts) and words[one.first - 1] in ("to", "in", "per", "over", "across")


MEASURED = re.compile(r"\b(?:gauge|tension|swatch|apart|pins?|ruler|(?<!cast )(?:over|on) (?:the )?(?:whole |full )?#)")
"""Said where the length of a gauge is meant."""

_GAUGED = re.compile(
    r"\b(?:gauge (?:is|of|says|gives)|tension|swatch|across|apart|upwards?|pins?"
    r"|(?:to|over|on|in|per) (?:the |an? )?(?:ten|four|10|4|inch))\b"
)
_TO_DO = re.compile(r"\b(?:left|to go|(?<!no )more|still|another|rest|remain\w*)\b")
_DONE = re.compile(r"\b(?:done|here|after|now|so far|have|already|this one|worked|am|i'm|like this)\b")
_NOT_HERE = re.compile(
    r"\b(?:if you like|longer|extra|is finished|is done|call it done|all done|all you need|that's it)\b"
)


_LATER = re.compile(
    r"\b(?:later|end up|in the end|at the end(?! of (?:this|the|that) round)|eventually|finish\w*|finally"
    r"|by the time|will|we'll|you'll|it'll|last"
    r"|gusset|until|all done|when|once|grow\w*|next|waste|increases)\b"
)
"""Said of rounds that come after those of the segment."""


_SLOWLY = re.compile(
    r"\bplain (?:rounds?|rows?|ones?) (?:after|behind|between|in between)\b|\bevery (?:single )?(?:round|row)\b"
    r"|\bafter the (?:other|next)\b|\bin a row\b"
)
"""Said where it is told how many shaping rounds have a plain one behind them, or follow one another."""


def is_after(said: Said, each: Planned) -> bool:
    """Whether a count is that of a round after those that a segment of setting up tells of."""
    up_to = said.holds.up_to
    return up_to > 0 and each.cue.startswith("round ") and int(each.cue.removeprefix("round ")) > up_to


_ANYWHERE = frozenset((*WHOLE, "total", "held", "picked up", "work", "text"))
"""The cues of counts that may be told of in any words."""


def usable(said: Said, each: Planned) -> bool:
    """Whether a planned number may be meant: some only where their words stand beside what was said."""
    if each.cue in ("turn", "taken up", "place") or each.cue.startswith(("for ", "own ")):
        return False
    if each.cue in _ANYWHERE and each.unit in COUNTS:
        return True
    one, near = said.one, said.about
    if each.cue == "shaping" and each.what.endswith(("with a plain one behind", "one after the other")):
        return _SLOWLY.search(said.near(0, 12)) is not None
    if each.cue == "state" and one.size is not None and len(each.values) == 1:
        return False
    if each.cue == "state" and one.unit in ("rounds", "rows"):
        here = _TO_DO if each.what.endswith("still to do") else _DONE
        return here.search(near) is not None and not _NOT_HERE.search(near)
    if each.cue in ("around", "across"):
        return said.cued(each.cue)
    if each.cue == "gauge" and each.unit not in LENGTHS:
        return _GAUGED.search(said.near(12, 6)) is not None
    if each.cue == "gauge" and each.unit in LENGTHS:
        return MEASURED.search(said.near(16, 6)) is not None or _counted_over(said)
    if each.cue == "whole" and not said.holds.parts.here:
        return True
    cm = one.value * (INCH if one.unit == "inches" else 1.0)
    if each.cue == "whole" and not said.holds.rounds and 0.6 <= cm / at(each, said.holds.size) <= 1.6:
        return True
    if (
        each.cue == "measure"
        and not each.fact
        and len(each.values) == 1 < len(said.holds.sizes)
        and one.size is not None
    ):
        return each.what.startswith(said.holds.sizes[one.size])  # of another size it says nothing
    if each.cue == "measure" and one.size is not None and (one.bare or one.number.low < one.number.high):
        return True
    if each.unit == "balls" and each.cue == "text" and re.search(r"# [\w']+ (?:of each|of every|apiece|per)\b", near):
        return False
    if each.unit == "balls" and each.cue == "text" and not each.fact:
        after = said.words[one.number.end : one.end + 4]
        each_one = [*said.words[one.end : one.end + 9]].count(
            "one"
        ) > 1  # “two balls of wool, one oatmeal and one blue”
        after = after[: [*after, "and"].index("and")]
        return each_one or said.holds.colours.isdisjoint(after)
    if each.cue.startswith("shaping "):
        return False
    if each.cue == "run" and said.words[one.first - 1 : one.first] in (["knit"], ["in"], ["skip"], ["miss"]):
        return True
    if each.what == "worked here" and said.words[one.first - 1] in ("the", "these", "those", "my", "first"):
        return True
    if said.holds.up_to and is_after(said, each):
        return _LATER.search(said.near(14, 9)) is not None
    told_alone = one.unit in ("knit", "purl", "slip", "together", "times") or each.cue == "stripe"
    return each.cue not in _ONLY_CUED or said.cued(each.cue) or told_alone
