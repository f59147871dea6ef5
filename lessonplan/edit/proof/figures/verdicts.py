"""What kind of wrong a number is: of the sample, of another unit, planned by nobody, or not what holds."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.edit.proof.counts.stitches import MEANT
from lessonplan.edit.proof.expected.prose import ONE_PLACE, WORKED_HERE
from lessonplan.edit.proof.figures.fitting import COUNTS, MEASURED
from lessonplan.edit.proof.figures.meant import named, striped
from lessonplan.edit.proof.findings import CUES, Planned, Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.quantities import near
from lessonplan.edit.speech.units import LENGTHS

_PARTLY = re.compile(
    r"\b(?:next|another|extra|first|last|again|every|each|already)\b.*#|#.*\b(?:more|extra|again|every|each|already)\b"
)
_APART = re.compile(r"\b(?:cut|leave|tail|weave|yarn|waste|thread|string)\b")
_BY_BODY = re.compile(
    r"\b(?:as (?:long as|your)|a|an|your) (?:whole )?(?:hand|forearm|arm|palm|finger|elbow|foot)(?:'s|s)?\b"
)
"""A tail is measured by these, and its inches only say so once more."""
_HABIT = re.compile(r"\bi (?:always |usually |often |just |only )?(?:use|cut|leave|like|take|keep|pull|make|give)\b")
"""What one person does with waste yarn and tails."""
_ON_A_SAMPLE = re.compile(r"# (?:[\w']+ ){0,3}(?:in|on) (?:my|this|the) (?:[\w']+ )?(?:sample|swatch)\b")
_OF_STITCHES = re.compile(
    r"# (?:are |is )?(?:still )?(?:left|remain\w*|around|on (?:the|my|your|each|a)|over|between)\b"
    r"|# (?:[\w']+ )?(?:stitches )?in (?:every|each|a|one) (?:single )?(?:round|row)?"
    r"|\b(?:pick\w* up|cast\w* on|remain|left with|slips?|purls?) #"
    r"|\b(?:there (?:are|should be|ought to be)|you've got|you have|we have|i have|counts?|needle|brings? us|holds?"
    r"|up to|gain|lose)\b.*#"
)
"""Words that are said of stitches alone, never of rounds."""
_GROUPS = (COUNTS, (*LENGTHS, "mm"))
"""Units that are said for one another."""


def wrong(said: Said, planned: Sequence[Planned], meant_so: bool = False) -> Verdict | None:
    """Say which kind of wrong it is."""
    one, holds = said.one, said.holds
    shared = bool(planned) and all(each.cue in ("half", "each") for each in planned)
    sample = None if shared else _of_the_sample(said, planned)  # all stitches of a sample are no half of others
    right = right_of(said, planned)
    stripes = bool(planned) and all(each.cue == "stripe" for each in planned) and striped(said)
    rounds = (*holds.pattern.get("rounds", ()), *holds.pattern.get("rows", ()))
    done = any(
        each.cue in ("state", "total") and each.at(holds.size if len(each.values) > 1 else 0) == one.value
        for each in rounds
    )
    if one.bare and one.unit != "mm" and one.size is None and done and not _sure(planned):
        return None  # “ten left”, of rounds
    if sample is None and one.unit == "stitches" and _ON_A_SAMPLE.search(said.near(2, 7)):
        return None
    if sample and not stripes:
        if one.size is not None:
            return None
        so = f"{right[0] or 'no such number'}; what was said is true of this alone: {sample.what}"
        return Verdict("said of the sample only", so, right[1])
    plain = bool(planned) and planned[0].cue == "plain"  # “eight rounds plain” are none of stitches
    unit = None if stripes or plain or (one.unit == "stitches" and _sure(planned)) else other_unit(said)
    if unit:
        return Verdict("wrong unit", right_of(said, (unit,))[0], unit.fact)
    if one.unit in ("knit", "purl", "slip", "together", "ends", "repeats") and not planned:
        return None
    made = any(each.cue == "made" for each in planned)
    partly = is_partly(said) and not (stripes or meant_so or made or _sure(planned))
    free = one.unit in LENGTHS and (partly or _APART.search(said.near(9, 4)) is not None)
    if free and not partly and _BY_BODY.search(said.near(8, 9)):
        return None
    if partly and one.unit in ("rounds", "rows") and re.search(r"\blonger\b.*#", said.near(8, 0)):
        return None  # what a length comes to
    free = free or (partly and one.unit in ("rounds", "rows", "stitches"))
    if one.unit == "mm":
        if re.search(r"\b(?:thicker|thinner|bigger|larger) (?:[\w']+ ){0,3}#.* if\b|\bif\b.*#", said.near(8, 8)):
            return None  # advice
        advice = r"\b(?:maybe|thicker|thinner|if)\b.*#|#.*\b(?:maybe|thicker|thinner)\b"
        free = free or re.search(advice, said.about) is not None
    whole = [each for each in planned if each.cue not in ("line", "stripe")] or (
        one.unit in ("knit", "purl", "slip", "together") and planned
    )
    far = all(
        not 0.5 <= one.value / max(each.at(min(said.holds.size, len(each.values) - 1)), 0.1) <= 2
        for each in whole or ()
    )
    if one.unit in LENGTHS and not partly and (free or far) and _HABIT.search(said.near(9, 0)):
        return None
    most = max(
        (each.at(min(said.holds.size, len(each.values) - 1)) for each in whole or () if each.cue == "total"), default=0
    )
    if partly and one.unit in ("rounds", "rows") and 0 < most < one.value and one.size is None:
        return Verdict("disagrees", right[0], right[1])
    if not (free or whole or stripes) and said.cued("gauge") and one.unit in ("rounds", "rows"):
        return Verdict("disagrees", *right_of(said, [each for each in rounds if each.cue == "gauge"]))
    if free or not (whole or stripes):
        return None if (one.bare and one.unit != "mm") or one.unit == "times" else Verdict("unplanned number")
    return Verdict("disagrees", right[0], right[1])


def _of_the_sample(said: Said, planned: Sequence[Planned]) -> Planned | None:
    """The number of the piece on the table that was said, of the part that is meant, or is named beside it if "
    "any is."""
    one, words, holds = said.one, said.words, said.holds
    close = {*words[max(0, one.first - 9) : one.first], *words[one.end : one.end + 9]}
    parts = {holds.parts.stage(word) for word in close}
    samples = (
        each
        for each in holds.samples
        if not each.stage or each.stage in parts or close & {*holds.titles[each.stage].split()}
    )
    found = [each for each in samples if each.unit == one.unit and near(one, each.unit, each.at(0))]
    titles = tuple(f"{holds.titles.get(each.stage, '-')} of".capitalize() for each in planned[:1])
    return next((each for each in found if each.what.startswith(titles)), found[0] if found else None)


def is_partly(said: Said) -> bool:
    """Whether a number is said of a part or of something more: “the next five”, “ten more”, “every four”."""
    one = said.one
    inside = " ".join(("#", *said.words[one.first : one.end]))
    before, after = said.words[max(0, one.first - 2) : one.first], said.words[one.end : one.end + 1]
    return _PARTLY.search(" ".join((*before, inside, *after))) is not None


def _sure(planned: Sequence[Planned]) -> bool:
    """Whether all the numbers are of one cue that says alone what is meant."""
    cues = {each.cue.split(" ")[0] if each.cue.startswith("round") else each.cue for each in planned}
    return len(cues) == 1 and next(iter(cues)) in (*MEANT, "round", "text", "end", "gauge")


def other_unit(said: Said) -> Planned | None:
    """Find the number that would be right in another unit: rows for rounds, inches for centimetres."""
    one = said.one
    units = next((group for group in _GROUPS if one.unit in group), ())
    length = one.unit in (*LENGTHS, "mm")
    unsaid = (one.first, one.end) == (one.number.first, one.number.end)
    if (
        (one.value < 2 and not length)
        or one.bare
        or unsaid
        or not {"increase", "decrease"}.isdisjoint(said.words[one.first : one.end])
        or (one.unit == "stitches" and (one.value < 4 or _of_stitches(said)))
    ):
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
        needle = "needle" in (each.cue, each.unit) or (one.unit != "mm" and each.unit == "mm")
        return needle and one.unit != each.unit and abs(value - one.value) < 0.05 and said.cued("needle")
    if length:
        told = (
            each.cue == "length"
            or (each.cue == "text" and (said.cued("around") or "around" not in each.words))
            or (each.cue in ("whole", "measure") and said.cued(each.cue))
            or (each.cue == "gauge" and MEASURED.search(said.near(16, 6)) is not None)
            or (each.cue in ("around", "across") and re.search(CUES[each.cue], said.near(3, 3)) is not None)
        )
        other = next(unit for unit in LENGTHS if unit != one.unit)
        return told and near(replace(one, unit=other), each.unit, value)
    if each.unit == one.unit or abs(value - one.value) > 0.05:
        return False
    if each.unit == "stitches":
        return (
            each.cue in ("end", "start", "cast on")
            or (each.cue == "text" and each.fact != "")
            or (each.cue in ("held", "picked up", "gauge") and said.cued(each.cue))
        )
    if one.unit == "stitches":
        return each.cue in ("total", "text") or (each.cue == "gauge" and said.cued("gauge"))
    if each.cue == "gauge" or (each.cue == "state" and value < 4):
        return said.cued(each.cue)
    if each.cue == "repeat" and said.cued("repeat"):
        return True
    few = ("work", "text", "stripe") if value < 4 else ("total", "work", "text", "stripe", "state", "shaping")
    return each.cue in few


AROUND = 10
"""Words before and behind a number among which those of the script are looked for (a guess)."""


def right_of(said: Said, planned: Sequence[Planned]) -> tuple[str, str]:
    """Word what holds: the one number that is meant, or the few that it may be."""
    one = said.one
    size = one.size if one.size is not None else said.holds.size
    around = frozenset(said.words[max(0, one.first - AROUND) : one.end + AROUND])
    ranked = sorted(
        planned,
        key=lambda each: (
            each.what != WORKED_HERE or each.cue not in MEANT,
            not (each.fact or ONE_PLACE in each.what),
            not said.cued(each.cue),
            len(each.words & around) < 2,  # what the script has in these words
            abs(each.at(min(size, len(each.values) - 1)) - one.value),
        ),
    )
    if not ranked:
        return "", ""
    first = ranked[0]
    value = first.at(min(size, len(first.values) - 1))
    unit = {"mm": "mm", "us": "US"}.get(first.unit, first.unit)
    unit = _ONE.get(unit, unit) if value == 1 else unit
    return f"{round(value, 2 if unit in ('mm', 'US') else 1):g} {unit} ({first.what})", first.fact


_ONE = {"stitches": "stitch", **{f"{one}s": one for one in ("ball", "round", "row", "end", "time", "size", "marker")}}
"""What one of a thing is called."""
