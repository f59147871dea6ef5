"""What comes of the numbers that hold: what is left over, sums of parts, twice a thing, the tail of a cast-on.

And what nobody planned: lengths of things, fabrics, stitches cast on where the course does nothing like it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.edit.proof.counts.prose import Answer, at
from lessonplan.edit.proof.figures.fitting import COUNTS, WHOLE, is_after
from lessonplan.edit.proof.figures.idle import around
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.quantities import Quantity, near
from lessonplan.edit.speech.units import INCH, LENGTHS

_TOGETHER = re.compile(
    r"\bfrom (?:the |your |my )?(?:(?!bottom|first)[\w']+ )?(?!edge|bottom|start|beginning|first|on\b)[\w']+ "
    r"(?:(?:right"
    r"|all the way|up) )?to (?:the |its |your )?(?:very )?(?:tip|top|end|point)\b|(?<!two )(?<!three"
    r" )\btogether\b|\bfrom the cast on\b(?! edge)|\b(?:so far|above|altogether|in all)\b"
)


def sum_of_parts(said: Said) -> bool:
    """Whether a length is that of parts that follow one another: “the gusset and the band together”."""
    one = said.one
    from_the_first = re.search(r"\bfrom the (?:very )?first (?:round|row)\b", said.near(9, 12))
    since = max((each.end for each in said.others if each.end <= one.first), default=0)
    told = said.near(min(12, one.first - since), 12)
    if not from_the_first and (one.unit not in LENGTHS or not _TOGETHER.search(told)):
        return False
    size = said.one.size if said.one.size is not None else said.holds.size
    unit, cue = ("cm", "length") if one.unit in LENGTHS else (one.unit, "total")
    lengths = [
        at(each, size)
        for each in said.holds.elsewhere
        if each.cue == cue and each.unit == unit and each.fact.endswith((".length", f".{unit}"))
    ]
    return any(
        near(one, unit, sum(lengths[first:end]))
        for first in range(len(lengths))
        for end in range(first + 2, len(lengths) + 1)
    )


def tail(said: Said) -> Answer | None:
    """Judge the tail for a long-tail cast-on: three to four times what is cast on (common practice)."""
    one, holds = said.one, said.holds
    around = [each for each in holds.pattern.get("cm", ()) if each.cue == "around"]
    casts = any(each.cue == "cast on" for each in holds.pattern.get("stitches", ()))
    if not (casts and around and _PULLED.search(said.near(18, 8))):
        return None
    cm = one.value * (INCH if one.unit == "inches" else 1.0)
    size = one.size if one.size is not None else holds.size
    wide = at(around[0], size)
    if any(2.7 * at(each, size) <= cm <= 4.7 * at(each, size) for each in around):
        return (None,)
    return (
        (Verdict("disagrees", f"some {3.3 * wide:.0f} cm (three times {wide:.3g} cm, and a bit)"),)
        if one.size is not None
        else None
    )


_PULLED = re.compile(
    r"\b(?:pull\w*|(?:leave|need|want) (?:[\w']+ ){0,2}tail|tail (?:of|about|that's|around|roughly|wants"
    r"|should|has|needs|is)"
    r"|long tail|slip knot)\b.*#|#.*\b(?:of (?:a |your )?tail|slip knot)\b"
)


def left_over(said: Said) -> Answer | None:
    """Judge what is left of the rounds, where it is told how many are done: “eight in, so that leaves four”."""
    one, holds = said.one, said.holds
    if not (one.unit in ("rounds", "rows") or one.bare) or not _TO_GO.search(said.near(4, 5)):
        return None
    if _OF_ALL.match(said.near(0, 4)):
        return None
    before = [each for each in said.others if each.end <= one.first <= each.end + 14 and _is_done(each, said.words)]
    if not before or not (
        before[-1].ordinal
        or _DONE.match(" ".join(said.words[before[-1].end : one.first]))
        or {"done", "knit", "worked", "finished"} & {*said.words[max(0, before[-1].first - 3) : before[-1].first]}
    ):
        return None
    one = replace(one, unit=before[-1].unit or ("rows" if holds.flat else "rounds"))
    size = one.size if one.size is not None else holds.size
    totals = [at(each, size) for each in holds.pattern.get(one.unit, ()) if each.cue == "total"]
    if not totals or any(abs(before[-1].value + one.value - total) < 0.05 for total in totals):
        return (None,)
    if before[-1].ordinal and (
        abs(before[-1].value + one.value - totals[0]) <= 1 or not _I_AM.search(around(said.words, before[-1], 4, 1))
    ):
        return None
    if not (before[-1].ordinal or before[-1].unit) and not 0.6 <= (before[-1].value + one.value) / totals[0] <= 1.6:
        return None
    return (Verdict("disagrees", f"{totals[0] - before[-1].value:g} {one.unit} left of {totals[0]:g}"),)


_PAIR = re.compile(
    r"\b(?:so|that's|makes?|which is|is) #.* for (?:the (?:two|both)|both|two)(?: of (?:them|these|those))?\b"
    r"|\b(?:so|that's|makes?|which is|is) #.* for (?:the|a) (?:whole )?pair\b|# (?:for|in) (?:the|a) (?:whole )?pair\b"
)


def of_a_pair(said: Said) -> Answer | None:
    """Judge what is told of a pair behind what one has: “eight ends a mitten, so sixteen for the pair”."""
    one = said.one
    before = [each for each in said.others if each.end <= one.first <= each.end + 9 and each.value > 1]
    if not before or one.unit not in ("", before[-1].unit) or not _PAIR.search(said.near(3, 5)):
        return None
    twice = 2 * before[-1].value
    if abs(one.value - twice) <= 0.05 * twice * (before[-1].unit in ("grams", "metres", "yards")):
        return (None,)
    return (Verdict("disagrees", f"{twice:g} (twice {before[-1].value:g})"),)


def _is_done(each: Quantity, words: Sequence[str]) -> bool:
    """Whether rounds are told that are done: “round fourteen”, “eleven done”."""
    return each.unit in ("rounds", "rows") or (
        each.bare and "done" in (*words[each.end : each.end + 1], *words[max(0, each.first - 1) : each.first])
    )


def on_the_way(said: Said) -> Answer | None:
    """Judge how many are still to be cast on: “I'm at thirty five, so nine more to go”."""
    one, words = said.one, said.words
    if one.unit not in ("", "stitches") or {"more", "go"}.isdisjoint(words[one.end : one.end + 6]):
        return None
    totals = [at(each, said.holds.size) for each in said.holds.pattern.get("stitches", ()) if each.cue == "cast on"]
    behind = words[one.end : one.end + 1] == ["more"] or words[one.end : one.end + 2] == ["to", "go"]
    pairs = [(one, each) for each in said.others if 0 < each.first - one.end <= 3] if not behind else []
    pairs = pairs or [(each, one) for each in said.others if behind and 0 < one.first - each.end <= 3]
    if not (totals and pairs) or not _AT.search(around(words, pairs[0][0], 2, 0)):
        return None
    (first, rest), total = pairs[0], totals[0]
    right = first is one or first.value + rest.value in totals or not 4 <= first.value < total
    return (None if right else Verdict("disagrees", f"{total - first.value:g} stitches more"),)


_AT = re.compile(r"\b(?:at|on|done) #")
_I_AM = re.compile(r"\b(?:on|at|finished|done|did)(?: (?:with|the|my))* #|# done\b")


_TO_GO = re.compile(
    r"\bleaves (?:me |you |us )?#(?! stitches)|# (?:(?:more|rounds|rows|still|plain|of|them|those|yet|are) ){0,2}"
    r"(?:to go|to do|left|remaining)\b"
    r"|# more(?: (?:and|then|before|until)|$)"
)


_OF_ALL = re.compile(r"# (?:stitches )?(?:left|remaining) (?:of|from|out of)\b")
"""“Twenty eight left of my forty four.”"""


_DONE = re.compile(r"^(?:in|done|down|behind|knit|knitted|worked|already|so far)\b")


def anything(said: Said) -> bool:
    """Whether a number that is said without a unit is anything that holds, of whatever it is, or comes of one more."""
    one, holds = said.one, said.holds
    size = one.size if one.size is not None else holds.size
    lengths = LENGTHS if one.number.part < 1 or _LONG.search(said.about) else ()
    planned = [
        each
        for unit in (*COUNTS, "times", "repeats", "shapings", "stripes", "ends", *lengths)
        for each in holds.pattern.get(unit, ())
        if (len(each.values) > 1 if one.size is not None else True) or each.cue != "state"
        if one.size is not None or each.cue not in ("round", "state")
        if each.cue not in ("each", "made", "rested", "place", "taken up") or said.cued(each.cue)
        if not (said.holds.up_to and _THIS_ROUND.search(said.near(9, 0)) and is_after(said, each))
    ]
    values = [one.value, *_less(said)]
    shapes = [replace(one, number=replace(one.number, low=value, high=value)) for value in values]
    return any(
        near(replace(shape, unit=unit), each.unit, at(each, size))
        for each in planned
        for shape in shapes
        for unit in (LENGTHS if each.unit in LENGTHS else (each.unit,))
    )


_THIS_ROUND = re.compile(r"\bend of (?:this|the|that) round\b")
_LONG = re.compile(r"\b(?:long|round|around|across|wide|high|tall|deep|tip|top|head|hand|comes? out|measures?)\b")


_ADDS = re.compile(
    r"^(?P<way>more|extra|fewer|less)\b.*\b(?:so|that's|makes|which is|is|than we cast on|than before)\b"
)


def began_with(said: Said) -> list[Quantity]:
    """Give the number of stitches that a sum began with: “one more than we cast on, forty five”."""
    one = said.one
    return [replace(one, unit="stitches", number=replace(one.number, low=each, high=each)) for each in _less(said)]


def _less(said: Said) -> list[float]:
    """Give what a sum began with: “two more ends, so that's ten” began with eight."""
    one = said.one
    before = [each for each in said.others if each.end <= one.first <= each.end + 9]
    found = _ADDS.match(" ".join(said.words[before[-1].number.end : one.first])) if before else None
    if found is None:
        return []
    return [one.value - before[-1].value if found["way"] in ("more", "extra") else one.value + before[-1].value]


def likely(said: Said) -> bool:
    """Whether a count is near one that holds in its size: else nobody knows what it is of."""
    one, holds = said.one, said.holds
    size = one.size if one.size is not None else holds.size
    planned = [each for unit in COUNTS for each in holds.pattern.get(unit, ())]
    values = [at(each, size) for each in planned if each.cue in (*WHOLE, "total", "held")]
    return any(0.6 <= one.value / value <= 1.6 for value in values if value > 3)


def nobody_planned(said: Said, cue: str) -> bool:
    """Whether stitches are cast on or picked up (``cue``) where the course does nothing like it."""
    one, holds = said.one, said.holds
    if one.unit != "stitches" or one.value <= 1 or not said.cued(cue) or not _DONE_SO[cue].search(said.near(5, 0)):
        return False
    here = [each for each in holds.pattern.get("stitches", ()) if each.cue == cue]
    named = holds.options & holds.parts.stages(said.near(14, 12).split())
    away = [each for each in holds.elsewhere if each.cue == cue and each.stage in named] if named else []
    away = away or [each for each in holds.elsewhere if each.cue == cue and each.stage not in holds.options]
    values = [value for each in here or away for value in each.values if value]
    near_it = any(0.4 <= one.value / value <= 2.5 for value in values)
    return not near_it or (cue == "picked up" and not (here or named) and one.value not in values)


_DONE_SO = {"picked up": re.compile(r"\bpick(?:ed|ing)? up #"), "cast on": re.compile(r"\bcast(?:ing)? on #")}


_FOLDS = {"twice": 2, "double": 2, "doubled": 2, "doubles": 2, "both": 2, "pair": 2, "fold": 2}


_BOTH = re.compile(r"\bboth (?:the |your |my )?(\w+)s\b")
_MORE_TIMES = re.compile(r"# (?:more times|times more|times again)\b")


def with_the_first(said: Said) -> Quantity:
    """Give how often something is done in all where it is done so many more times."""
    number = said.one.number
    if said.one.unit != "times" or not _MORE_TIMES.match(said.near(0, 2)):
        return said.one
    return replace(said.one, number=replace(number, low=number.low + 1, high=number.high + 1))


def once(said: Said) -> Quantity:
    """Give half of what is said of twice a thing: “knit it twice as high, so thirty six rounds”."""
    if said.one.unit not in (*COUNTS, *LENGTHS, "ends"):
        return said.one
    times = next((_FOLDS[word] for word in said.near(10, 6).split() if word in _FOLDS), 1)
    if times == 1:
        return of_both(said)
    return _part_of(said.one, times)


def of_both(said: Said) -> Quantity:
    """Give what one has of what both have: “both cuffs, that's eighty eight stitches”."""
    both = _BOTH.search(said.near(20, 0))
    return _part_of(said.one, 2) if both and said.holds.parts.stage(both[1]) not in ("", "ends", "join") else said.one


def _part_of(one: Quantity, times: int) -> Quantity:
    low, high = one.number.low / times, one.number.high / times
    return replace(one, number=replace(one.number, low=low, high=high))
