"""A quantity held against what holds where it was said: which rule is asked first, and which numbers it may be."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.changes.compared import judge_difference
from lessonplan.edit.proof.changes.shaped import each_side, each_time, gone
from lessonplan.edit.proof.counts.gauged import judge_gauge
from lessonplan.edit.proof.counts.prose import Answer, at, things
from lessonplan.edit.proof.counts.stitches import is_place
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.figures.actions import foreign, not_done, other_rounds
from lessonplan.edit.proof.figures.derived import (
    anything,
    began_with,
    left_over,
    likely,
    nobody_planned,
    of_a_pair,
    of_both,
    on_the_way,
    once,
    sum_of_parts,
    with_the_first,
)
from lessonplan.edit.proof.figures.fitting import COUNTS, WHOLE, fits, usable
from lessonplan.edit.proof.figures.idle import is_idle
from lessonplan.edit.proof.figures.meant import meant, named, striped
from lessonplan.edit.proof.figures.placed import judge_amount, judge_place, judge_ply, judge_time, so_far
from lessonplan.edit.proof.figures.sayings import multiple, per_needle, sayings_of
from lessonplan.edit.proof.figures.verdicts import is_partly, other_unit, wrong
from lessonplan.edit.proof.findings import Planned, Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.bare import asked, counted
from lessonplan.edit.speech.quantities import Quantity, comparable, near
from lessonplan.edit.speech.units import LENGTHS

_STRONG = ("held", "cast on", "picked up", "end", "shaping last", "between", "turn")
"""Cues that ask for a number so clearly that one without a unit disagrees."""
_OF_COURSE = (*WHOLE, "total", "length", "around", "whole", "held")
_IN_A_ROUND = re.compile(r"# (?:\w+ )?(?:a|per|each|every|in (?:a|each|every|one)) (?:round|row)\b")
_OF_LINES = re.compile(
    r"\b(?:two|four|six|pair of|both|these|those|same) (?:[\w']+ )?(?:rounds|rows|lines)\b"
    r"|\bth(?:is|e|at) pair\b|\bplain (?:[\w']+ ){0,4}(?:and|then) (?:[\w']+ ){0,3}(?:in|de)creas|\b(?:in"
    r"|de)creas[\w']+ (?:[\w']+ "
    r"){0,3}(?:and|then)"
    r" (?:[\w']+ ){0,3}plain\b"
)
_RESTED = re.compile(r"\b(?:plain|rest|between|every (?:other|second)|slow\w*)\b")
_OF_STEPS = re.compile(r"\b(?:(?:knit|purl|slip) \w+|together)(?: (?:that|this|and|you|do|we|it)){0,3} #")
_COUNTED = re.compile(r"\bcount(?:s|ed|ing)?\b|\b(?:start|beginning)(?: of the round)?\b")
_BACK_AGAIN = re.compile(
    r"# (?:\w+ )?(?:rounds|rows) (?:and|then|makes?|is|are) .*\b(?:back where|again|start over|repeat"
    r"|whole (?:thing|business|pattern|lot))\b|# rounds (?:one|a) plain\b"
)
_THESE = re.compile(r"\b(?:these|those|both|the same|the) #(?! (?:rounds|rows) of\b)")
"""Said of the lines that are worked again and again: “these two rounds”."""


def judge(one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> Verdict | None:
    """Tell what is wrong with a quantity; None where it is right, or nothing to be told of.

    ``words`` are all words of the segment; ``others`` the quantities said around this one, itself among them.
    """
    if one.number.ordinal and not one.unit and one.value <= 3:
        return None  # “the first one”
    said = Said(one, words, holds, others)
    for rule in (foreign, not_done, other_rounds, each_time, each_side, gone, multiple, _apart, *sayings_of(one.unit)):
        answer = rule(said)
        if answer is not None:
            return answer[0]
    pattern = _pattern(said)
    taken_up = nobody_planned(said, "picked up") if not one.bare else False
    for answer in () if taken_up else (_let_be(said, pattern), _meant(said, pattern)):
        if answer is not None:
            return answer[0]
    if taken_up or (not one.bare and nobody_planned(said, "cast on")):
        return Verdict("unplanned number")
    may_be = _may_be(said, pattern)
    ways = {one, once(said), with_the_first(said)}
    if _is_small(said, pattern) or any(fits(way, may_be, holds, others) for way in ways):
        return None
    return wrong(said, may_be)


def _apart(said: Said) -> Answer | None:
    """Ask the rules of units that have their own, of differences, gauges, and of what is left over."""
    one, words, holds, others = said.one, said.words, said.holds, said.others
    if one.unit == "ply":
        return (judge_ply(one, words, holds),)
    called = one.bare and one.first > 0 and words[one.first - 1] == "number"  # “the number seventeen bus”
    if one.unit == "needles" or called or one.number.loose or (one.unit == "colours" and one.value > 6):
        return (None,)
    answer = (
        per_needle(said)
        or of_a_pair(said)
        or on_the_way(said)
        or left_over(said)
        or judge_difference(one, words, holds)
    )
    answer = answer or judge_gauge(one, words, holds, others)
    if answer is not None:
        return answer
    if one.unit in ("metres", "yards", "grams"):
        return (judge_amount(one, words, holds),)
    if so_far(said):
        return (None,)
    if one.ordinal and one.unit:
        return (judge_place(one, words, holds),)
    if one.unit in ("minutes", "hours", "days"):
        return (judge_time(one, words, holds),)
    if one.unit == "things":
        if (counted_things := things(said)) is not None:
            return counted_things
        known = re.search(rf"\b{' '.join(words[one.number.end : one.end]).removesuffix('s')}", holds.known) is not None
        return (None if known or one.value < 2 else Verdict("unplanned number"),)
    if one.unit == "markers":
        planned = {each.at(0) for each in holds.pattern.get("markers", ())}
        with_round = holds.flat is False and one.value - 1 in planned and _COUNTED.search(said.near(10, 11))
        if not holds.parts.here or with_round or one.value > 6:
            return (None,)  # anybody has as many as she likes; or that of the round is counted
    if (
        not one.unit
        or is_idle(one, words)
        or (one.unit in ("knit", "purl", "slip") and one.value > 5 and _is_a_count(said))
    ):
        return (None,)
    return None


def _is_a_count(said: Said) -> bool:
    """Whether “knit eighteen” means all the rounds or stitches there are."""
    one, holds = said.one, said.holds
    if any(each.cue != "text" and max(each.values) > 5 for each in holds.pattern.get(one.unit, ())):
        return False  # lines that have such numbers say which
    if one.unit == "slip" or _made_so(one, holds):
        return _made_so(one, holds)
    planned = (each for unit in COUNTS for each in holds.pattern.get(unit, ()))
    return any(at(each, holds.size) == one.value for each in planned if each.cue in (*WHOLE, "total"))


def _made_so(one: Quantity, holds: Holds) -> bool:
    """Whether so many stitches of a kind are made in a round."""
    size = holds.size if one.size is None else one.size
    made = (
        each for each in holds.pattern.get("stitches", ()) if each.cue == "made" and f": {one.unit} in" in each.what
    )
    return any(at(each, size) == one.value for each in made)


def _pattern(said: Said) -> list[Planned]:
    """Give the numbers that a quantity may be one of: those of the segment, and of what else is named."""
    one, holds = said.one, said.holds
    units: tuple[str, ...] = LENGTHS if one.unit in LENGTHS else (one.unit,)
    if one.bare and one.unit == "stitches":
        units = COUNTS  # “seventeen in the small, nineteen in the medium”, of whatever it is
    pattern = [each for other in units for each in holds.pattern.get(other, ())]
    unworked = one.unit in COUNTS and not any(each.stage for each in holds.pattern.get("stitches", ()))
    if not holds.parts.here or unworked:
        # where nothing is worked any number of the whole piece may be spoken of
        pattern += [each for each in holds.elsewhere if each.unit in units and each.cue in _OF_COURSE]
    told = {each.stage for each in named(said) if each.unit == one.unit}
    if (
        one.unit in ("rounds", "rows") and not holds.rounds and len(told) != 1
    ):  # how long the parts are that come together here
        size = holds.size if one.size is None else one.size
        pattern += [
            each
            for each in holds.elsewhere
            if each.unit == one.unit and each.cue == "total" and at(each, size) == one.value
        ]
    if one.unit in LENGTHS and said.cued("around") and not any(each.cue == "around" for each in pattern):
        pattern += [each for each in holds.elsewhere if each.cue == "around"]
    any_of = COUNTS if one.bare and one.unit == "stitches" else ()
    return [*pattern, *(each for each in named(said) if comparable(one.unit, each.unit) or each.unit in any_of)]


def _in_so_many_stripes(said: Said, pattern: Sequence[Planned]) -> Answer | None:
    """Judge rounds told of so many stripes: “nine stripes, so that is thirty six rounds”."""
    one, holds = said.one, said.holds
    beside = [each for each in said.others if each.unit == "stripes" and abs(each.first - one.first) <= 8]
    if not beside or one.unit not in ("rounds", "rows") or one.value <= 4:
        return None
    widths = {each.at(0) for each in pattern if each.cue == "stripe"}
    size = holds.size if one.size is None else one.size
    if len(widths) != 1 or any(at(each, size) == one.value for each in pattern if each.cue == "total"):
        return None
    come_to = {beside[-1].value * next(iter(widths)) * colours for colours in (1, 2)}
    return (None if one.value in come_to else Verdict("disagrees", f"{min(come_to):g} {one.unit} in so many stripes"),)


def _let_be(said: Said, pattern: Sequence[Planned]) -> Answer | None:
    """Let be whole stripes, what comes of a sum, and the length of parts together."""
    one, holds = said.one, said.holds
    in_stripes = one.unit in ("rounds", "rows") and re.search(
        r"\bstripes?\b(?! (?:go|goes|keep|are|run)\b)(?: (?!until\b)[^ ]+)* #", said.near(5, 0)
    )
    of_stripes = _in_so_many_stripes(said, pattern)
    if of_stripes:
        return of_stripes
    if in_stripes and any(each.cue == "stripe" and each.at(0) and one.value % each.at(0) == 0 for each in pattern):
        return (None,)
    if one.unit == "stitches" and is_place(said):
        live = any(each.cue == "place" and each.at(0) == one.value for each in pattern)
        if live or not any(each.cue == "last" for each in pattern):
            return (None,)
    size = one.size if one.size is not None else holds.size
    stitches = [each for each in pattern if each.unit == "stitches"] if one.bare else []
    if "than we cast on" in said.near(8, 0):
        stitches = [each for each in stitches if each.cue in ("cast on", "start")]
    if any(near(began, "stitches", at(each, size)) for began in began_with(said) for each in stitches):
        return (None,)
    return None


def _meant(said: Said, pattern: Sequence[Planned]) -> Answer | None:
    """Judge a quantity by the numbers that its words mean; none where they do not tell, and it has a unit."""
    one, holds = said.one, said.holds
    about = meant(said, pattern)
    loose = one.bare and one.unit not in ("mm", "us", "ends", "balls") and not asked(one.number, said.words)
    loose = loose and not (about and about[0].cue in ("plain", "stripe"))
    strong = any(each.cue in _STRONG or each.cue.startswith(("round ", "shaping ")) for each in about)
    if loose and not strong and anything(said):
        return (None,)
    if about:
        sure = one.unit == "stitches" or about[0].cue == "plain"
        right = any(fits(way, about, holds, said.others) for way in {one, of_both(said)})
        return (None if right else wrong(said, about, sure),)
    if one.unit in (*LENGTHS, "rounds", "rows") and sum_of_parts(said) and not other_unit(said):
        return (None,)
    if loose and one.size is not None and not counted(one.number, said.words) and not likely(said):
        return (None,)
    return None


def _may_be(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the numbers that a quantity may be, where its words do not tell which."""
    may_be = [each for each in pattern if usable(said, each)]
    if said.one.unit == "shapings" and _IN_A_ROUND.search(said.near(0, 5)):
        return [each for each in may_be if each.what.endswith("in each shaping round")]
    if said.one.unit != "times":
        return may_be
    before, _, after = said.near(14, 6).partition("#")
    near = f"{before.rpartition(' times ')[2]}#{after}"
    rested = _RESTED.search(near) is not None and not after.startswith(" without")
    may_be = [each for each in may_be if each.cue != ("unrested" if rested else "rested")]
    if _OF_LINES.search(near):
        may_be = [each for each in may_be if each.cue not in ("shaped", "line", "made", "repeated")]
    if _OF_STEPS.search(said.near(9, 0)) and any(each.cue == "repeated" for each in may_be):
        return [each for each in may_be if each.cue in ("repeated", "made", "line")]
    return may_be


def _is_small(said: Said, pattern: Sequence[Planned]) -> bool:
    """Whether a number is too small to be told of, of lines that are worked again, or how often all is done."""
    one, holds = said.one, said.holds
    if one.unit == "times":
        counts = (each for unit in COUNTS for each in holds.pattern.get(unit, ()) if each.cue in (*WHOLE, "total"))
        return (one.value <= 3 and is_partly(said)) or any(each.at(holds.size) == one.value for each in counts)
    lines = one.unit in ("rounds", "rows") and (_THESE.search(said.near(2, 2)) or _BACK_AGAIN.search(said.near(0, 10)))
    if lines and any(each.cue == "repeat" and each.at(0) == one.value for each in pattern):
        return True
    return (
        one.unit not in (*LENGTHS, "knit", "purl", "slip") and one.value <= 3 and is_partly(said) and not striped(said)
    )
