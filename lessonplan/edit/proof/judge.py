"""A quantity held against what holds where it was said."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.proof.compared import judge_difference
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.expected.parts import needle_of
from lessonplan.edit.proof.findings import Planned, Verdict
from lessonplan.edit.proof.gauged import judge_gauge
from lessonplan.edit.proof.idle import MADE, is_idle
from lessonplan.edit.proof.meant import MEANT, Said, meant, named, striped, usable
from lessonplan.edit.proof.placed import judge_amount, judge_place, judge_time
from lessonplan.edit.speech.bare import asked, counted
from lessonplan.edit.speech.quantities import INCH, LENGTHS, UNITS, Quantity, comparable, near

_PARTLY = re.compile(
    r"\b(?:next|another|extra|first|last|again|every|each|already)\b.*#|#.*\b(?:more|extra|again|every|each|already)\b"
)
_APART = re.compile(r"\b(?:cut|leave|tail|weave|yarn|waste)\b")
_OF_STITCHES = re.compile(
    r"# (?:are |is )?(?:still )?(?:left|remain\w*|on (?:the|my|your|each|a)|between)\b|\b(?:pick\w* up"
    r"|cast\w* on|remain|left with) #"
)
"""Words that are said of stitches alone, never of rounds."""
_GROUPS = (("stitches", "rounds", "rows"), (*LENGTHS, "mm"))
"""Units that are said for one another."""


def judge(one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> Verdict | None:
    """Tell what is wrong with a quantity; None where it is right, or nothing to be told of.

    ``words`` are all words of the segment; ``others`` the quantities said around this one, itself among them.
    """
    if one.unit in ("ply", "needles") or one.number.loose:
        return None
    left = _left_over(Said(one, words, holds, others))
    if left is not None:
        return left[0]
    compared, verdict = judge_difference(one, words, holds)
    if compared:
        return verdict
    gauged, verdict = judge_gauge(one, words, holds, others)
    if gauged or not one.unit:
        return verdict
    if one.unit == "things":
        known = re.search(rf"\b{' '.join(words[one.number.end : one.end])}", holds.known) is not None
        return None if known or one.value < 2 else Verdict("unplanned number")
    if one.unit in ("metres", "yards", "grams"):
        return judge_amount(one, words, holds)
    if one.ordinal:
        return judge_place(one, words, holds)
    if one.unit in ("minutes", "hours"):
        return judge_time(one, words, holds)
    if one.unit == "markers" and not holds.parts.here:
        return None  # of which anybody has as many as she likes
    if is_idle(one, words) or (one.unit in ("knit", "purl") and one.value > 5 and _is_a_count(one, holds)):
        return None
    if one.bare and one.value > 3 * max((each.at(holds.size) for each in holds.pattern.get("stitches", ())), default=0):
        return None  # nothing here is counted so high
    said = Said(one, words, holds, others)
    if one.unit == "stitches" and one.value <= 6 and MADE.search(said.near(2, 0)):
        return _made(said)
    if one.unit == "rows" and holds.flat is False and _ONE_ROW.search(" ".join(words[one.first : one.end + 1])):
        return Verdict("wrong unit", "rounds are worked here")
    if one.unit in ("rounds", "rows") and not one.ordinal and _LEFT.search(said.near(7, 2)):
        ends = [each for each in holds.pattern.get("stitches", ()) if each.cue == "end"]
        meant_of = next((each for each in ends if each.at(one.size or holds.size) == one.value), None)
        if meant_of:
            return Verdict("wrong unit", f"{one.value:g} stitches ({meant_of.what})", meant_of.fact)
    if one.bare and one.value == _gauged_over(holds) and re.search(r"\b(?:over|on) (?:the |a )?(?:whole|full) #", said.about):
        return None
    if re.search(r"\bmultiple of #", said.near(3, 0)):
        return _multiple(one, holds)
    if one.unit == "repeats" and words[one.end : one.end + 1] == ["of"]:
        return _groups(said)
    if one.unit == "mm":
        title, sizes = needle_of(said.near(9, 7), holds.parts)
        if sizes:
            right = " or ".join(f"{size:g} mm" for size in sorted(sizes))
            return None if any(near(one, "mm", size) for size in sizes) else Verdict("disagrees", f"{right} ({title})")
    if one.unit in LENGTHS:
        tail = _tail(said)
        if tail is not None:
            return tail[0]
        if _on_a_thing(said):
            return Verdict("unplanned number")
    units: tuple[str, ...] = LENGTHS if one.unit in LENGTHS else (one.unit,)
    if one.bare and one.unit == "stitches":
        units = _GROUPS[0]  # “seventeen in the small, nineteen in the medium”, of whatever it is
    pattern = [each for other in units for each in holds.pattern.get(other, ())]
    if not holds.parts.here:  # of the whole piece any of its numbers may be spoken of
        whole = (*_WHOLE, "total", "length", "around", "whole", "held")
        pattern += [each for each in holds.elsewhere if each.unit in units and each.cue in whole]
    if one.unit in LENGTHS and said.cued("around") and not any(each.cue == "around" for each in pattern):
        pattern += [each for each in holds.elsewhere if each.cue == "around"]
    pattern += [each for each in named(said) if comparable(one.unit, each.unit)]
    in_stripes = one.unit in ("rounds", "rows") and re.search(r"\bstripes?\b.*#", said.near(5, 0))
    if in_stripes and any(each.cue == "stripe" and each.at(0) and one.value % each.at(0) == 0 for each in pattern):
        return None
    if one.bare and any(near(_said_as(one, value), "stitches", _at(each, one.size or holds.size)) for value in _less(said)
                        for each in pattern if each.unit == "stitches"):
        return None
    loose = one.bare and one.unit not in ("mm", "us", "ends", "") and not asked(one.number, words)
    about = meant(said, pattern)
    if loose and not any(each.cue in _STRONG or each.cue.startswith("round ") for each in about) and _anything(said):
        return None
    if about and one.unit == "stitches" and all(each.cue == "change" for each in about) and _SIDES.search(said.about):
        if one.value == 1 or any(2 * one.value == _at(each, 0) for each in about):
            return None  # “two on each side”
    if about:
        return None if _fits(one, about, holds, others) else _wrong(said, about, one.unit == "stitches" or about[0].cue == "plain")
    if not one.bare and _nobody_planned(said):
        return Verdict("unplanned number")
    if one.unit in LENGTHS and _sum_of_parts(said):
        return None
    may_be = [each for each in pattern if usable(said, each)]
    if one.unit == "times" and _OF_LINES.search(said.near(14, 4)):
        may_be = [each for each in may_be if each.cue != "shaped"]
    if one.unit == "times" and _OF_STEPS.search(said.near(9, 0)):
        if any(each.cue == "repeated" for each in may_be):
            may_be = [each for each in may_be if each.cue in ("repeated", "made", "line")]
    if loose and one.size is not None and not counted(one.number, words) and not _likely(said):
        return None
    counts = (each for unit in _GROUPS[0] for each in holds.pattern.get(unit, ()) if each.cue in (*_WHOLE, "total"))
    if one.unit == "times" and any(each.at(holds.size) == one.value for each in counts):
        return None  # “do that forty four times”
    small = one.unit not in LENGTHS and one.value <= 3 and _partly(said) and not striped(said)
    lines = re.search(_THESE, said.near(2, 0)) is not None and one.unit in ("rounds", "rows")
    lines = lines and any(each.cue == "repeat" and each.at(0) == one.value for each in pattern)
    if small or lines or _fits(one, may_be, holds, others) or _fits(_once(said), may_be, holds, others):
        return None
    return _wrong(said, may_be)


def _sum_of_parts(said: Said) -> bool:
    """Whether a length is that of parts that follow one another: “the gusset and the band together”."""
    if not re.search(r"\b(?:together|so far|above|altogether|in all)\b", said.near(9, 12)):
        return False
    size = said.one.size if said.one.size is not None else said.holds.size
    lengths = [_at(each, size) for each in said.holds.elsewhere if each.cue == "length" and each.fact.endswith(".length")]
    return any(
        near(said.one, "cm", sum(lengths[first:end]))
        for first in range(len(lengths))
        for end in range(first + 2, len(lengths) + 1)
    )


def _tail(said: Said) -> tuple[Verdict | None] | None:
    """Judge the tail for a long-tail cast-on: three to four times what is cast on (common practice)."""
    one, holds = said.one, said.holds
    around = [each for each in holds.pattern.get("cm", ()) if each.cue == "around"]
    casts = any(each.cue == "cast on" for each in holds.pattern.get("stitches", ()))
    if not (casts and around and _PULLED.search(said.near(18, 8))):
        return None
    cm = one.value * (INCH if one.unit == "inches" else 1.0)
    size = one.size if one.size is not None else holds.size
    wide = _at(around[0], size)
    if any(2.7 * _at(each, size) <= cm <= 4.7 * _at(each, size) for each in around):
        return (None,)
    return (Verdict("disagrees", f"some {3.3 * wide:.0f} cm (three times {wide:.3g} cm, and a bit)"),) if one.size is not None else None


_PULLED = re.compile(r"\b(?:pull\w*|tail of|long tail|slip knot)\b.*#|#.*\b(?:of tail|slip knot)\b")
_NOUN = re.compile(r"\b(\w+?)s? (?:of|is|that's|that is|with) #")


def _on_a_thing(said: Said) -> bool:
    """Whether a length is that of a thing that nobody planned: “a pompom of nine centimetres”."""
    found = _NOUN.search(said.near(3, 0))
    return found is not None and UNITS.get(found[1]) == "things" and found[1] not in said.holds.known


def _left_over(said: Said) -> tuple[Verdict | None] | None:
    """Judge what is left of the rounds, where it is told how many are done: “eight in, so that leaves four”."""
    one, holds = said.one, said.holds
    if not (one.unit in ("rounds", "rows") or one.bare) or not _TO_GO.search(said.near(4, 5)):
        return None
    before = [each for each in said.others if each.end <= one.first <= each.end + 9 and each.unit in ("rounds", "rows")]
    if not before or not (
        before[-1].ordinal or
        _DONE.match(" ".join(said.words[before[-1].end : one.first]))
        or {"done", "knit", "worked", "finished"} & {*said.words[max(0, before[-1].first - 3) : before[-1].first]}
    ):
        return None
    one = replace(one, unit=before[-1].unit)
    size = one.size if one.size is not None else holds.size
    totals = [_at(each, size) for each in holds.pattern.get(one.unit, ()) if each.cue == "total"]
    if not totals or any(abs(before[-1].value + one.value - total) < 0.05 for total in totals):
        return (None,)
    if before[-1].ordinal:
        return None
    return (Verdict("disagrees", f"{totals[0] - before[-1].value:g} {one.unit} left of {totals[0]:g}"),)


_TO_GO = re.compile(r"# (?:\w+ )?(?:\w+ )?(?:to go|to do|left|remaining)\b|# more(?: (?:and|then|before|until)|$)")
_DONE = re.compile(r"^(?:in|done|down|behind|knit|knitted|worked|already|so far)\b")


def _anything(said: Said) -> bool:
    """Whether a number that is said without a unit is anything that holds, of whatever it is, or comes of one more."""
    one, holds = said.one, said.holds
    size = one.size if one.size is not None else holds.size
    lengths = LENGTHS if one.number.part < 1 or _LONG.search(said.about) else ()
    planned = [each for unit in (*_GROUPS[0], "times", "repeats", "shapings", "stripes", "ends", *lengths)
               for each in holds.pattern.get(unit, ()) if one.size is not None or each.cue not in ("round", "state")]
    values = [one.value, *_less(said)]
    shapes = [replace(one, number=replace(one.number, low=value, high=value)) for value in values]
    return any(
        near(replace(shape, unit=unit), each.unit, _at(each, size))
        for each in planned
        for shape in shapes
        for unit in (LENGTHS if each.unit in LENGTHS else (each.unit,))
    )


_LONG = re.compile(r"\b(?:long|round|around|across|wide|high|tall|deep|tip|top|head|hand|comes? out|measures?)\b")
_ADDS = re.compile(r"^(?P<way>more|extra|fewer|less)\b.*\b(?:so|that's|makes|which is|is|than we cast on|than before)\b")


def _said_as(one: Quantity, value: float) -> Quantity:
    return replace(one, unit="stitches", number=replace(one.number, low=value, high=value))


def _less(said: Said) -> list[float]:
    """Give what a sum began with: “two more ends, so that's ten” began with eight."""
    one = said.one
    before = [each for each in said.others if each.end <= one.first <= each.end + 9]
    found = _ADDS.match(" ".join(said.words[before[-1].number.end : one.first])) if before else None
    if found is None:
        return []
    return [one.value - before[-1].value if found["way"] in ("more", "extra") else one.value + before[-1].value]


def _likely(said: Said) -> bool:
    """Whether a count is near one that holds in its size: else nobody knows what it is of."""
    one, holds = said.one, said.holds
    size = one.size if one.size is not None else holds.size
    planned = [each for unit in _GROUPS[0] for each in holds.pattern.get(unit, ())]
    values = [_at(each, size) for each in planned if each.cue in (*_WHOLE, "total", "held")]
    return any(0.6 <= one.value / value <= 1.6 for value in values if value > 3)


def _at(each: Planned, size: int) -> float:
    return each.at(min(size, len(each.values) - 1))


def _gauged_over(holds: Holds) -> float:
    return next((each.over for each in holds.gauges), 0.0)


_FABRIC = re.compile(
    r"# (?:\w+ )?(?:of|in) (?:\w+ )?(?P<what>seed|moss|garter|lace|brioche|linen|cable|cables|basket\w*|bobble|icord|stocking|"
    r"stockinette|fair|intarsia|crochet|chain|embroider\w+|duplicate|reflective|elastic|beads)\b"
)
"""Fabrics and bands that a piece may have (common practice)."""


def _nobody_planned(said: Said) -> bool:
    """Whether stitches are said to be cast on or picked up where the course does nothing like it, or a fabric unknown."""
    one, holds = said.one, said.holds
    fabric = _FABRIC.search(said.near(0, 5))
    if fabric and one.unit in _GROUPS[0] and fabric["what"] not in holds.known.split():
        return True
    if one.unit != "stitches" or one.value <= 1:
        return False
    for cue, words in (("picked up", r"\bpick(?:ed|ing)? up #"), ("cast on", r"\bcast(?:ing)? on #")):
        if re.search(words, said.near(5, 0)):
            planned = [each for each in (*holds.pattern.get("stitches", ()), *holds.elsewhere) if each.cue == cue]
            values = [value for each in planned for value in each.values if value]
            return not any(0.4 <= one.value / value <= 2.5 for value in values)
    return False


_STRONG = ("held", "cast on", "picked up", "end", "shaping last")
_SIDES = re.compile(r"# (?:\w+ )?(?:on|at) (?:each|either|every|both) (?:side|end|edge)s?\b")
_OF_LINES = re.compile(r"\b(?:two|pair of|both|these|those|same) (?:\w+ )?(?:rounds|rows|lines)\b")
_OF_STEPS = re.compile(r"\b(?:(?:knit|purl|slip) \w+|together)(?: (?:that|this|and|you|do|we|it)){0,3} #")
_ONE_ROW = re.compile(r"^one (?:plain row|row plain)\b")
_LEFT = re.compile(r"\buntil\b.*# (?:are )?(?:left|remain)\b|\buntil\b.*# \w+ (?:are )?(?:left|remain)\b")


def _made(said: Said) -> Verdict | None:
    """Judge “make two stitches”: one in each place, and in a round as many as it adds."""
    changes = {each.at(0) for each in said.holds.pattern.get("stitches", ()) if each.cue == "change"}
    right = {1.0} if re.search(r"\b(?:sides?|markers?)\b", said.about) else {1.0, *changes}
    if not changes or said.one.value in right:
        return None
    return Verdict("disagrees", " or ".join(f"{each:g}" for each in sorted(right)) + " stitch made at a place")


_THESE = re.compile(r"\b(?:these|those|both|the same|the) #")
"""Said of the lines that are worked again and again: “these two rounds”."""
_FOLDS = {"twice": 2, "double": 2, "doubled": 2, "doubles": 2, "both": 2, "pair": 2, "fold": 2}


def _once(said: Said) -> Quantity:
    """Give half of what is said of twice a thing: “knit it twice as high, so thirty six rounds”."""
    if said.one.unit not in (*_GROUPS[0], *LENGTHS, "ends"):
        return said.one
    times = next((_FOLDS[word] for word in said.about.split() if word in _FOLDS), 1)
    low, high = said.one.number.low / times, said.one.number.high / times
    return replace(said.one, number=replace(said.one.number, low=low, high=high))


def _is_a_count(one: Quantity, holds: Holds) -> bool:
    """Whether “knit eighteen” means all the rounds or stitches there are."""
    if any(each.cue != "text" and max(each.values) > 5 for each in holds.pattern.get(one.unit, ())):
        return False  # lines that have such numbers say which
    planned = (each for unit in ("rounds", "rows", "stitches") for each in holds.pattern.get(unit, ()))
    planned = (each for each in planned if each.cue in ("total", "start", "end", "cast on"))
    return any(each.at(min(holds.size, len(each.values) - 1)) == one.value for each in planned)


def _multiple(one: Quantity, holds: Holds) -> Verdict | None:
    """Judge “a multiple of four”: the stitches of the segment, in every size, must be one."""
    counts = [
        value for each in holds.pattern.get("stitches", ()) if each.cue in ("cast on", "start") for value in each.values
    ]
    if not counts or all(value % one.value == 0 for value in counts):
        return None
    return Verdict("disagrees", f"{max(counts):g} stitches are no multiple of it")


def _groups(said: Said) -> Verdict | None:
    """Judge “eleven groups of four”: stitches that there are."""
    of = next((each for each in said.others if each.first == said.one.end + 1), None)
    counts = [each.at(said.holds.size) for each in said.holds.pattern.get("stitches", ()) if each.cue in _WHOLE]
    if of is None or of.unit not in ("", "stitches") or not counts or said.one.value * of.value in counts:
        return None
    return Verdict("disagrees", f"{min(counts, key=lambda each: abs(each - said.one.value * of.value)):g} stitches")


_WHOLE = ("cast on", "start", "end")


def _fits(one: Quantity, planned: Iterable[Planned], holds: Holds, others: Sequence[Quantity]) -> bool:
    sizes = [one.size] if one.size is not None else [holds.size]
    planned = list(planned)
    if one.unit in _GROUPS[0] and one.number.high - one.number.low > 2:  # “forty to forty eight”, of all sizes
        return any({one.number.low, one.number.high} <= {*each.values} for each in planned)
    if one.size is not None and one.unit in LENGTHS and one.number.low < one.number.high:
        fits = [each for each in planned if each.cue == "measure" and not each.fact and len(each.values) > max(1, one.size)]
        if fits:
            return _both(one, fits, one.size)
    if one.unit in LENGTHS and one.size is None and one.number.low < one.number.high:  # “from forty six to sixty”
        ends = [replace(one, number=replace(one.number, low=end, high=end)) for end in (one.number.low, one.number.high)]
        if all(any(near(end, each.unit, value) for each in planned for value in each.values) for end in ends):
            return True
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


def _wrong(said: Said, planned: Sequence[Planned], meant_so: bool = False) -> Verdict | None:
    """Say which kind of wrong it is."""
    one, words, holds = said.one, said.words, said.holds
    close = {*words[max(0, one.first - 9) : one.first], *words[one.end : one.end + 9]}
    parts = {holds.parts.stage(word) for word in close}
    samples = (each for each in holds.samples if not each.stage or each.stage in parts or close & {*holds.titles[each.stage].split()})
    sample = next((each for each in samples if each.unit == one.unit and near(one, each.unit, each.at(0))), None)
    right = _right(said, planned)
    stripes = bool(planned) and all(each.cue == "stripe" for each in planned) and striped(said)
    rounds = (*holds.pattern.get("rounds", ()), *holds.pattern.get("rows", ()))
    done = any(each.cue == "state" and each.at(0) == one.value for each in rounds)
    if one.bare and one.size is None and done and not _sure(planned):
        return None  # “ten left”, of rounds
    if sample and not stripes:
        if one.size is not None:
            return None
        return Verdict("said of the sample only", f"{sample.what}; {right[0]}" if right[0] else sample.what, right[1])
    unit = None if one.unit == "stitches" and _sure(planned) else _other_unit(said)
    if unit:
        return Verdict("wrong unit", _right(said, (unit,))[0], unit.fact)
    if one.unit in ("knit", "purl", "slip", "together", "ends", "repeats") and not planned:
        return None
    made = any(each.cue == "made" for each in planned)
    partly = _partly(said) and not (stripes or meant_so or made or _sure(planned))
    free = one.unit in LENGTHS and (partly or _APART.search(said.near(6, 4)) is not None)
    free = free or (partly and one.unit in ("rounds", "rows", "stitches"))
    if one.unit == "mm":
        free = free or re.search(r"\b(?:maybe|thicker|thinner|if)\b", said.about) is not None
    whole = [each for each in planned if each.cue not in ("line", "stripe")] or (
        one.unit in ("knit", "purl", "slip", "together") and planned
    )
    if free or not (whole or stripes):
        return None if one.bare and one.unit != "mm" or one.unit == "times" else Verdict("unplanned number")
    return Verdict("disagrees", right[0], right[1])


def _partly(said: Said) -> bool:
    """Whether a number is said of a part or of something more: “the next five”, “ten more”, “every four”."""
    one = said.one
    inside = " ".join(("#", *said.words[one.first : one.end]))
    before, after = said.words[max(0, one.first - 2) : one.first], said.words[one.end : one.end + 1]
    return _PARTLY.search(" ".join((*before, inside, *after))) is not None


def _sure(planned: Sequence[Planned]) -> bool:
    """Whether all the numbers are of one cue that says alone what is meant."""
    cues = {each.cue.split(" ")[0] if each.cue.startswith("round") else each.cue for each in planned}
    return len(cues) == 1 and next(iter(cues)) in (*MEANT, "round", "text", "end", "gauge")


def _other_unit(said: Said) -> Planned | None:
    """Find the number that would be right in another unit: rows for rounds, inches for centimetres."""
    one = said.one
    units = next((group for group in _GROUPS if one.unit in group), ())
    length = one.unit in (*LENGTHS, "mm")
    if (one.value < 2 and not length) or one.bare or (one.unit == "stitches" and (one.value < 4 or _of_stitches(said))):
        return None
    if length and re.search(r"\b(?:leave|tail)\b", said.about):
        return None
    holding = (*(each for unit in units for each in said.holds.pattern.get(unit, ())), *named(said))
    return next((each for each in holding if each.unit in units and _swapped(said, each, length)), None)


def _of_stitches(said: Said) -> bool:
    return _OF_STITCHES.search(said.near(3, 4).replace("# stitches", "#")) is not None


def _swapped(said: Said, each: Planned, length: bool) -> bool:
    """Whether a number would be this one, had another unit been said."""
    one, size = said.one, said.one.size if said.one.size is not None else said.holds.size
    value = each.at(min(size, len(each.values) - 1))
    if "mm" in (one.unit, each.unit):
        return one.unit != each.unit and abs(value - one.value) < 0.05 and said.cued("needle")
    if length:
        told = (
            each.cue == "length"
            or (each.cue == "text" and (said.cued("around") or "around" not in each.words))
            or (each.cue in ("around", "across", "whole", "measure", "gauge") and said.cued(each.cue))
        )
        other = next(unit for unit in LENGTHS if unit != one.unit)
        return told and near(replace(one, unit=other), each.unit, value)
    if each.unit == one.unit or abs(value - one.value) > 0.05:
        return False
    if each.unit == "stitches":
        return each.cue in ("end", "start", "cast on", "text") or (
            each.cue in ("held", "picked up", "gauge") and said.cued(each.cue)
        )
    if one.unit == "stitches":
        return each.cue in ("total", "text") or (each.cue == "gauge" and said.cued("gauge"))
    if each.cue == "gauge" or (each.cue == "state" and value < 4):
        return said.cued(each.cue)
    few = ("work", "text", "stripe") if value < 4 else ("total", "work", "text", "stripe", "state", "shaping")
    return each.cue in few


def _right(said: Said, planned: Sequence[Planned]) -> tuple[str, str]:
    """Word what holds: the one number that is meant, or the few that it may be."""
    one = said.one
    size = one.size if one.size is not None else said.holds.size
    ranked = sorted(
        planned,
        key=lambda each: (
            not each.fact,
            not said.cued(each.cue),
            abs(each.at(min(size, len(each.values) - 1)) - one.value),
        ),
    )
    if not ranked:
        return "", ""
    first = ranked[0]
    value = first.at(min(size, len(first.values) - 1))
    unit = {"mm": "mm", "us": "US"}.get(first.unit, first.unit)
    return f"{round(value, 2 if unit in ('mm', 'US') else 1):g} {unit} ({first.what})", first.fact
