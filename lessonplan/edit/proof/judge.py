"""A quantity held against what holds where it was said."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.proof.findings import CUES, Planned, Verdict
from lessonplan.edit.proof.holds import Holds
from lessonplan.edit.proof.idle import around as said_around
from lessonplan.edit.proof.idle import is_idle
from lessonplan.edit.proof.placed import judge_place, judge_time
from lessonplan.edit.proof.texts import content
from lessonplan.edit.speech.quantities import LENGTHS, Quantity, comparable, near

_ONLY_CUED = frozenset(
    {
        "change",
        "repeat",
        "half",
        "each",
        "last",
        "between",
        "gauge",
        "line",
        "whole",
        "measure",
        "stripe",
        "run",
        "shaping",
    }
)
"""Numbers that are true only where their words stand beside them."""
_MEANT = ("cast on", "held", "picked up", "between", "change", "repeat", "last", "start", "half")
"""Cues that say alone which number is meant."""
_PARTLY = re.compile(
    r"\b(?:next|another|extra|first|last|again|every|each|already)\b.*#|#.*\b(?:more|extra|again|every|each|already)\b"
)
_APART = re.compile(r"\b(?:cut|leave|tail|weave|yarn|waste)\b")
_STRIPED = re.compile(r"\bevery #.*\b(?:colou?rs?|stripes?)|\b(?:colou?rs?|stripes?) every #|\bstripes? of #")


def judge(one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> Verdict | None:
    """Tell what is wrong with a quantity; None where it is right, or nothing to be told of.

    ``words`` are all words of the segment; ``others`` the quantities said around this one, itself among them.
    """
    if one.unit in ("", "ply", "metres", "yards", "grams") or one.number.loose:
        return None
    if one.ordinal:
        return judge_place(one, words, holds)
    if one.unit in ("minutes", "hours"):
        return judge_time(one, words, holds)
    if is_idle(one, words):
        return None
    unit = one.unit
    units = LENGTHS if unit in LENGTHS else (unit,)
    pattern = [each for other in units for each in holds.pattern.get(other, ())]
    pattern += [each for each in _named(one, words, holds) if comparable(unit, each.unit)]
    around = said_around(words, one, 7, 6).replace("#", " ".join(("#", *words[one.number.end : one.end])))
    if re.search(r"\bgauge\b", said_around(words, one, 16, 0)):
        around = f"gauge {around}"
    if one.unit in ("knit", "purl") and one.value > 5 and _is_a_count(one, holds):
        return None
    if re.search(r"\bif (?:you|yours?|it|there)\b[\w ]{0,12}#", around):
        return None
    if re.search(r"\bmultiple of #", around):
        return _multiple(one, holds)
    stripes = one.unit in ("rounds", "rows") and re.search(r"\bstripes?\b.*#", said_around(words, one, 5, 0))
    if stripes and any(each.cue == "stripe" and each.at(0) and one.value % each.at(0) == 0 for each in pattern):
        return None
    about = _about(one, words, pattern, others, around)
    if about:
        return None if _fits(one, about, holds, others) else _wrong(one, words, holds, about, around)
    usable = [each for each in pattern if _usable(one, each, around)]
    usable = _by_size(one, usable, others)
    if _fits(one, usable, holds, others):
        return None
    if one.unit not in LENGTHS and one.value <= 3 and _partly(one, words):
        return None
    return _wrong(one, words, holds, usable, around)


def _is_a_count(one: Quantity, holds: Holds) -> bool:
    """Whether “knit eighteen” means all the rounds or stitches there are."""
    planned = (each for unit in ("rounds", "rows", "stitches") for each in holds.pattern.get(unit, ()))
    planned = (each for each in planned if each.cue in ("total", "start", "end", "cast on"))
    return any(each.at(min(holds.size, len(each.values) - 1)) == one.value for each in planned)


def _usable(one: Quantity, each: Planned, around: str) -> bool:
    """Whether a planned number may be meant: some only where their words stand beside what was said."""
    if each.cue == "state" and one.size is not None:
        return False
    if each.cue == "state" and one.unit in ("rounds", "rows"):
        return _cued("state", around) and not re.search(r"\b(?:if you like|longer|extra)\b", around)
    if each.unit in LENGTHS and each.cue != "text" and re.search(r"\b(?:leave|tail)\b", around):
        return False
    if each.cue == "around" and re.search(
        r"\blength(?: is)? #|# (?:long|deep|high|tall|of (?:plain|rib|stock))", around
    ):
        return False
    if each.cue == "measure" and one.size is not None:
        return True
    if each.cue.startswith("shaping "):
        return False
    return each.cue not in _ONLY_CUED or _cued(each.cue, around) or _direct(one, each)


def _multiple(one: Quantity, holds: Holds) -> Verdict | None:
    """Judge “a multiple of four”: the stitches of the segment, in every size, must be one."""
    counts = [
        value for each in holds.pattern.get("stitches", ()) if each.cue in ("cast on", "start") for value in each.values
    ]
    if not counts or all(value % one.value == 0 for value in counts):
        return None
    return Verdict("disagrees", f"{max(counts):g} stitches are no multiple of it")


def _direct(one: Quantity, each: Planned) -> bool:
    """Whether a number that needs its words is said with its own unit alone (“knit two”, “ten centimetres apart”)."""
    return one.unit in ("knit", "purl", "slip", "together", "times") or each.cue == "stripe"


def _cued(cue: str, around: str) -> bool:
    return cue in CUES and re.search(CUES[cue], around) is not None


def _named(one: Quantity, words: Sequence[str], holds: Holds) -> list[Planned]:
    """Give the numbers of stages that are named beside a quantity, though the segment is about another."""
    near = {*words[max(0, one.first - 9) : one.first], *words[one.end : one.end + 9]}
    keys = [
        key
        for key in holds.titles
        if key not in holds.stages and key in near and key not in ("hand", "top", "join", "edge")
    ]
    return [each for each in holds.elsewhere if each.stage in keys]


def _about(
    one: Quantity, words: Sequence[str], pattern: Sequence[Planned], others: Sequence[Quantity], around: str
) -> list[Planned]:
    """Give the numbers that the words around a quantity mean: by a round, by a cue, or by a line of the script."""
    if one.unit == "stitches":
        meant = _stitches_meant(one, words, pattern, others)
        if meant is not None:
            return meant
    if one.unit in ("rounds", "rows") and _STRIPED.search(around):
        return [each for each in pattern if each.cue == "stripe"]
    if one.unit in LENGTHS and re.search(r"\bapart\b", around):
        return [each for each in pattern if each.cue == "gauge"]
    own = content(words, one, others)
    likely = [(len(own & each.words), each) for each in pattern if each.cue == "text" and each.words]
    best = max(
        (count for count, each in likely if count >= 3 and count >= 0.5 * min(len(own), len(each.words))), default=0
    )
    found = [each for count, each in likely if best and count >= max(3, best - 1)]
    # A line of the script says which number is meant only where it holds a fact; else it merely is one more number.
    return found if found and all(each.fact for each in found) else []


def _stitches_meant(
    one: Quantity, words: Sequence[str], pattern: Sequence[Planned], others: Sequence[Quantity]
) -> list[Planned] | None:
    """Give the counts of stitches that the words around one mean; None where they do not tell."""
    place = _round_before(one, words, others)
    if place:
        found = [each for each in pattern if each.cue == place]
        if found:
            return found
    close = _clause(words, one, others)
    if re.search(r"\bafter (?:the|my|your) last (?:increase|decrease)\b", close):
        return [each for each in pattern if each.cue in ("shaping last", "end")]
    if re.search(r"# from the (?:waste|scrap)", close):
        return [each for each in pattern if each.cue == "held"]
    if re.search(r"# (?:from|along|across|in) the gap", close):
        return [each for each in pattern if each.cue == "picked up"]
    if re.search(r"\b(?:ends?|left) (?:up )?with #", close):
        return [each for each in pattern if each.cue in ("end", "text", "between")]
    if not _cued("between", close) and re.search(
        r"\buntil (?:you have |you've got |there are |only )?#(?! (?:before|from|short))", close
    ):
        return [each for each in pattern if each.cue in ("end", "text", "picked up")]
    if re.search(
        r"\bmy last #|# (?:left|remain\w*)\b.*\bat the end\b|\bat the end\b.*# (?:are )?(?:left|remain)", close
    ):
        return [each for each in pattern if each.cue == "end"]
    if re.search(r"\bfrom (?:\w+ )?#", close):
        return [
            each
            for each in pattern
            if each.cue in ("start", "cast on", "end", "text", "picked up", "held", "shaping 0")
        ]
    for cue in _MEANT:
        found = [each for each in pattern if each.cue == cue]
        if found and _cued(cue, close) and not (cue == "last" and re.search(r"\bmy last|last round", close)):
            return found
    return None


def _clause(words: Sequence[str], one: Quantity, others: Sequence[Quantity]) -> str:
    """Give the words near a quantity that belong to no other."""
    same = [other for other in others if other.unit == one.unit or (other.bare and other.value >= 4)]
    start = max([other.end for other in same if other.end <= one.first], default=0)
    end = min([other.first for other in same if other.first >= one.end], default=len(words))
    before = words[max(start, one.first - 6) : one.first]
    if start > one.first - 6 and "and" in before:  # what stands before the “and” belongs to the number before it
        before = before[len(before) - [*reversed(before)].index("and") :]
    return " ".join([*before, "#", *words[one.end : min(end, one.end + 6)]])


def _round_before(one: Quantity, words: Sequence[str], others: Sequence[Quantity]) -> str:
    """Give the cue of the round after which a count was said: “after round eight”, “after the third increase round”."""
    for other in reversed(others):
        if other.end <= one.first <= other.end + 6 and other.ordinal:
            before = words[other.first - 1] if other.first else ""
            two = words[other.first - 2] if other.first > 1 else ""
            shaping = {"increase", "decrease"} & {*words[other.first : other.end]}
            kind = "shaping" if shaping else "round"
            return f"{kind} {other.value:g}" if "after" in (before, two) or before == "at" else ""
    return ""


def _fits(one: Quantity, planned: Iterable[Planned], holds: Holds, others: Sequence[Quantity]) -> bool:
    sizes = [one.size] if one.size is not None else [holds.size]
    planned = list(planned)
    for each in planned:
        for size in sizes:
            if (size < len(each.values) or len(each.values) == 1) and near(one, each.unit, each.at(size)):
                return True
    return one.size is None and _listed(one, planned, others)


def _by_size(one: Quantity, planned: list[Planned], others: Sequence[Quantity]) -> list[Planned]:
    """Give the numbers that a list by size speaks of: those that most of the list agrees with, whole stages first."""
    if one.size is None:
        return planned
    listed = [
        each for each in others if each.size is not None and each.unit == one.unit and abs(each.first - one.first) < 25
    ]
    whole = [each for each in planned if each.cue != "state" and not each.cue.startswith("round ")]
    for some in (whole, planned):
        best = max((_agree(each, listed) for each in some), default=0)
        if best:
            return [each for each in some if _agree(each, listed) == best] if len(listed) > 1 else some
    return planned


def _agree(planned: Planned, listed: Sequence[Quantity]) -> int:
    """Count the numbers of a list by size that a planned number agrees with."""
    sizes = [(each, each.size) for each in listed if each.size is not None]
    return sum(near(each, planned.unit, planned.at(min(size, len(planned.values) - 1))) for each, size in sizes)


def _listed(one: Quantity, planned: Sequence[Planned], others: Sequence[Quantity]) -> bool:
    """Whether a number stands in a list of all sizes: as many numbers, each of them that of one size."""
    at = others.index(one)
    for each in planned:
        count = len(each.values)
        if count < 2 or len(set(each.values)) < 2:
            continue
        for start in range(max(0, at - count + 1), at + 1):
            run = others[start : start + count]
            close = all(b.first - a.end <= 5 for a, b in pairwise(run))
            if len(run) == count and close and sorted(other.value for other in run) == sorted(each.values):
                return True
    return False


def _wrong(
    one: Quantity, words: Sequence[str], holds: Holds, planned: Sequence[Planned], around: str
) -> Verdict | None:
    """Say which kind of wrong it is."""
    close = {*words[max(0, one.first - 9) : one.first], *words[one.end : one.end + 9]}
    samples = (each for each in holds.samples if not each.stage or each.stage in close)
    sample = next((each for each in samples if each.unit == one.unit and near(one, each.unit, each.at(0))), None)
    right = _right(one, planned, holds, around)
    stripes = bool(planned) and all(each.cue == "stripe" for each in planned) and _STRIPED.search(around)
    rounds = (*holds.pattern.get("rounds", ()), *holds.pattern.get("rows", ()))
    done = any(each.cue == "state" and each.at(0) == one.value for each in rounds)
    if one.bare and one.size is None and done and not _meant(planned):
        return None  # “ten left”, of rounds
    if sample and not stripes:
        if one.size is not None:
            return None
        return Verdict("said of the sample only", f"{sample.what}; {right[0]}" if right[0] else sample.what, right[1])
    tail = one.unit in LENGTHS and re.search(r"\b(?:leave|tail)\b", around)
    unit = None if tail or (one.unit == "stitches" and _meant(planned)) else _other_unit(one, holds, around)
    if unit:
        return Verdict("wrong unit", _right(one, (unit,), holds, around)[0], unit.fact)
    if one.unit in ("knit", "purl", "slip", "together", "ends", "repeats") and not planned:
        return None
    partly = _partly(one, words) and not stripes and not _meant(planned)
    free = one.unit in LENGTHS and (partly or _APART.search(said_around(words, one, 6, 4)) is not None)
    free = free or (partly and one.unit in ("rounds", "rows", "stitches"))
    if one.unit == "mm":
        free = free or re.search(r"\b(?:maybe|thicker|thinner|if)\b", around) is not None
    whole = [each for each in planned if each.cue not in ("line", "stripe")] or (
        one.unit in ("knit", "purl", "slip", "together") and planned
    )
    if free or not (whole or stripes):
        return Verdict("unplanned number")
    return Verdict("disagrees", right[0], right[1])


def _partly(one: Quantity, words: Sequence[str]) -> bool:
    """Whether a number is said of a part or of something more: “the next five”, “ten more”, “every four”."""
    inside = " ".join(("#", *words[one.first : one.end]))
    return _PARTLY.search(said_around(words, one, 2, 1).replace("#", inside)) is not None


def _meant(planned: Sequence[Planned]) -> bool:
    """Whether all the numbers are of one cue that says alone what is meant."""
    cues = {each.cue.split(" ")[0] if each.cue.startswith("round") else each.cue for each in planned}
    return len(cues) == 1 and next(iter(cues)) in (*_MEANT, "round", "text", "end")


def _other_unit(one: Quantity, holds: Holds, around: str) -> Planned | None:
    """Find the number that would be right in another unit: rows for rounds, inches for centimetres."""
    groups = (("stitches", "rounds", "rows"), ("cm", "inches", "mm"))
    units = next((group for group in groups if one.unit in group), ())
    if one.value < 2 or one.bare or (one.value < 4 and one.unit == "stitches"):
        return None
    for each in (each for unit in units if unit != one.unit for each in holds.pattern.get(unit, ())):
        if each.cue in ("half", "each", "change", "line", "last", "run"):
            continue
        if one.unit == "stitches" and each.cue not in ("total", "text", "gauge"):
            continue
        if each.unit == "stitches" and each.cue in ("held", "picked up", "shaping"):
            continue
        if each.cue == "gauge" and not _cued("gauge", around):
            continue
        if each.unit == "mm" and not re.search(r"\b(?:needles?|hook)\b", around):
            continue
        if (
            each.cue in ("between", "repeat", "measure", "whole")
            or each.cue.startswith("round ")
            or (each.cue == "state" and each.unit == "stitches")
        ):
            continue
        size = one.size if one.size is not None and one.size < len(each.values) else holds.size
        few = one.value < 4 and "stitches" not in (one.unit, each.unit) and units == groups[0]
        if few and each.cue not in ("work", "text", "stripe"):
            continue
        value = each.at(size)
        if each.unit == "cm" and one.unit == "inches":
            if near(replace(one, unit="cm"), "cm", value):
                return each
        elif abs(value - one.value) < 0.05:
            return each
    return None


def _right(one: Quantity, planned: Sequence[Planned], holds: Holds, around: str) -> tuple[str, str]:
    """Word what holds: the one number that is meant, or the few that it may be."""
    size = one.size if one.size is not None else holds.size
    ranked = sorted(
        planned,
        key=lambda each: (
            not each.fact,
            not _cued(each.cue, around),
            abs(each.at(min(size, len(each.values) - 1)) - one.value),
        ),
    )
    if not ranked:
        return "", ""
    first = ranked[0]
    value = first.at(min(size, len(first.values) - 1))
    unit = {"mm": "mm", "us": "US"}.get(first.unit, first.unit)
    return f"{round(value, 2 if unit in ('mm', 'US') else 1):g} {unit} ({first.what})", first.fact
