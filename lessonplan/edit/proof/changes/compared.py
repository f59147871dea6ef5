"""Differences: “ten stitches more than the small”, “four more than the round before”, “two longer than that”."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations, pairwise

from lessonplan.edit.proof.counts.prose import Answer
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.speech.numbers import BEGINS
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.sizes import size_names, sizes_said
from lessonplan.edit.speech.units import INCH, LENGTHS

_MORE = re.compile(
    rf"^(?:(?!than|{'|'.join(BEGINS)})[\w']+ )??(?:more|fewer|less|longer|shorter|wider|narrower|taller|bigger"
    rf"|smaller|extra)\b(?P<than>(?: \w+)? than)?"
)
_OTHERWISE = re.compile(r"\b(?:longer|shorter|taller|wider|narrower)\b")
"""“I knit mine five rounds shorter.”"""
_ROUNDS = re.compile(
    r"\b(?:(?:last|round|row) (?:one|before|time)|every|each (?:time|round|row)|than the (?:last|round|row))\b"
)
_THAN_BEFORE = re.compile(
    r"# (?:[\w']+ )?(?:more|fewer|less) than (?:(?:you|we|i|they|what we"
    r"|what you) (?:[\w']+ )?(?:had|did|cast|started|began)|at the start)\b"
)
_WHOLE = (
    "cast on",
    "start",
    "end",
    "total",
    "held",
    "length",
    "whole",
    "around",
    "across",
    "shaping last",
    "measure",
    "work",
)


def judge_difference(one: Quantity, words: Sequence[str], holds: Holds) -> Answer | None:
    """Judge a number that is said of a difference: what is wrong with it, none where it is no difference.

    A difference between rounds is what a round adds or takes; one between sizes, that of any number that they have.
    """
    found = _MORE.match(" ".join(words[one.number.end : one.number.end + 4]))
    if found is None and one.unit == "stitches" and words[max(0, one.first - 1) : one.first] in (["add"], ["adding"]):
        whole = [each for each in holds.pattern.get("stitches", ()) if each.cue in _WHOLE]
        steps = {abs(a - b) for each in whole for a, b in pairwise(each.values)}
        return (None,) if one.value in steps else None  # from size to size
    if found is None or one.unit not in ("stitches", "rounds", "rows", "grams", "metres", *LENGTHS, ""):
        return None
    near = " ".join((*words[max(0, one.first - 9) : one.first], "#", *words[one.end : one.end + 9]))
    planned_here = holds.pattern.get("stitches", ())
    in_all = any(one.value in each.values for each in planned_here if each.cue == "shaping")
    if in_all and one.unit in ("stitches", "") and found["than"] is None:
        return (None,)
    if one.unit in ("stitches", "") and (_ROUNDS.search(near) or (one.value > 1 and _THAN_BEFORE.search(near))):
        changes = sorted({each.at(holds.size) for each in holds.pattern.get("stitches", ()) if each.cue == "change"})
        sums = [value for each in planned_here if each.cue == "shaping" for value in each.values]
        if not changes or one.value in (*changes, *sums) or one.value <= 1:
            return (None,) if changes else None
        return (Verdict("disagrees", " or ".join(f"{value:g}" for value in changes) + " stitches more or fewer"),)
    pair = _sizes(one, words, holds)
    if pair is None:
        other = one.unit in ("rounds", "rows") and _OTHERWISE.search(found[0])
        return (None,) if one.size is not None or other else None
    noun = words[one.number.end + 1] if one.number.end + 1 < len(words) else ""
    unit = {"inches": "cm"}.get(one.unit, one.unit) or (noun if noun in ("stitches", "rounds", "rows") else "")
    if not unit and one.number.part == 1 and any(each.cue == "cast on" for each in holds.pattern.get("stitches", ())):
        unit = "stitches"  # nothing else is told of where stitches are cast on
    said = one.value * (INCH if one.unit == "inches" else 1.0)
    slack = 0.6 if one.unit in LENGTHS else 0.1 * said if one.unit in ("grams", "metres") else 0.05
    own = any(each.cue in ("cast on", "total") for each in holds.pattern.get(unit, ()))
    away = () if own and unit in ("stitches", "rounds", "rows") else holds.elsewhere
    planned = [
        each
        for other in ((unit,) if unit else ("stitches", "rounds", "rows", "cm"))
        for each in (*holds.pattern.get(other, ()), *(each for each in away if each.unit == other))
        if len(each.values) == len(holds.sizes) and each.cue in _WHOLE
    ]
    pairs = (pair,) if found["than"] else tuple(combinations(range(len(holds.sizes)), 2))
    differences = [(abs(each.at(a) - each.at(b)), each) for each in planned for a, b in pairs]
    if (not unit and not found["than"]) or any(
        abs(value - said) <= (max(slack, 0.3) if each.unit == "cm" else slack) for value, each in differences
    ):
        return (None,)
    unit = unit or "stitches"
    here = [(value, each) for value, each in differences if each in holds.pattern.get(unit, ()) and value]
    if not here:
        return (None,)
    value, each = min(here, key=lambda one: (one[1].cue not in ("cast on", "whole", "total"), abs(one[0] - said)))
    return (Verdict("disagrees", f"{value:.3g} {unit} ({each.what})", each.fact),)


def _sizes(one: Quantity, words: Sequence[str], holds: Holds) -> tuple[int, int] | None:
    """Give the two sizes that a difference is between: that of the number, and the other that is named or filmed."""
    names = size_names(holds.sizes)
    start = max(0, one.first - 12)
    said = [names[words[start : one.end + 9][at]] for at in sizes_said(words[start : one.end + 9], names)]
    if len({*said}) > 2 or not said:
        return None
    ours = bool({"me", "mine", "ours", "us", "i"} & {*words[one.end : one.end + 5]})
    other = holds.size if ours else next((size for size in said if size != said[-1]), None)
    return (said[-1], other) if other is not None and other != said[-1] else None
