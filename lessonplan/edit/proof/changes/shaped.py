"""How many stitches a round is told to add or take: each time, at each side, made, gone, or with rests between."""

from __future__ import annotations

import re

from lessonplan.edit.proof.counts.prose import Answer, at
from lessonplan.edit.proof.figures.idle import MADE
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.bare import ends_alone


def made(said: Said) -> Answer | None:
    """Judge “make two stitches”: one in each place, and in a round as many as it adds."""
    if said.one.unit != "stitches" or said.one.value > 6 or not MADE.search(said.near(2, 0)):
        return None
    changes = {each.at(0) for each in said.holds.pattern.get("stitches", ()) if each.cue == "change"}
    if said.holds.up_to:
        changes &= {1.0}
    right = {1.0} if re.search(r"\b(?:sides?|markers?)\b", said.about) else {1.0, *changes}
    if not changes or said.one.value in right:
        return (None,)
    return (Verdict("disagrees", " or ".join(f"{each:g}" for each in sorted(right)) + " stitch made at a place"),)


_EACH_TIME = re.compile(
    r"\b(?:every|each|any)(?: (?:one|single))?(?: of (?:those|these|the|them))?(?: \w+){0,2}? (?:rounds?|rows?"
    r"|times?|go"
    r"|increases?|decreases?|one of (?:those|these))\b|\b(?:rounds|rows) each\b"
)
_CHANGES = re.compile(
    r"\b(?:gain\w*|los\w+|adds?|added|adding|difference|(?:goes|go|comes|come) (?:up|down) by|takes? (?:away|out|off)"
    r"|grows?(?: by)?|shrinks? by|gives? (?:you|us|me)|eats?|swallows?|putting in|puts? in|making|nibbles?|costs?(?: "
    r"you| us)?|remov(?:es?|ing)|takes?|taking)\b.*#|\bthere comes? #|# (?:[\w']+ )?(?:more|fewer|less|extra"
    r"|gone)\b(?! than)"
    r"|# gone\b|# on top\b(?! of)|\bputs? # on\b"
    r"|# more stitches"
    r"|# (?:that |are |is |get |gets |will )*(?:go(?:es|ing)?|off|lost|eaten|swallowed|taken|disappear\w*|vanish\w*"
    r"|(?:drop|fall|come)(?:s|ping|ing)? (?:off|away|out)|leav(?:e|es|ing))(?: away| off| out)?"
    r" (?:on|in|at|with|every|each|youth|adult|child|toddler|medium|small|large)\b"
)


_EACH_SIDE = re.compile(
    r"\b(?:on|at) (?:each|either|both|every) (?:sides?|ends?|edges?) (?:of [\w']+ [\w']+ )?(?:we|you|i) (?:add"
    r"|make|lose|take) #|# (?:(?:stitch|stitches|more|fewer|less) ){0,2}(?:on|at) (?:each|either|both"
    r"|every) (?:sides?|ends?|edges?)\b"
)


def each_side(said: Said) -> Answer | None:
    """Judge what a round adds or takes at each side: half of it, or one at each place."""
    one, holds = said.one, said.holds
    if one.value > 4 or not (one.bare or one.unit == "stitches") or not _EACH_SIDE.search(said.about):
        return None
    changes = {each.at(holds.size) for each in holds.pattern.get("stitches", ()) if each.cue == "change"}
    if not changes or holds.up_to:
        return None
    right = {1.0, *(each / 2 for each in changes)}
    shared = any(each.value == 2 * one.value and 0 <= one.first - each.end <= 8 for each in said.others)
    if one.value in right or shared:  # of a number that is told of already
        return (None,)
    return (Verdict("disagrees", " or ".join(f"{each:g}" for each in sorted(right)) + " stitches at each side"),)


_GONE = re.compile(
    r"\bcorners? (?:eats?|swallows?|costs?|takes?) (?:up |you |us )?#|# (?:stitches )?(?:of (?:them|these"
    r"|those) )?(?:vanish|disappear|get eaten|drop out|go missing|are gone)\b"
)


def gone(said: Said) -> Answer | None:
    """Judge how many stitches are told to go: “two of them vanish in the corners”."""
    one, holds = said.one, said.holds
    if one.value > 12 or not (one.bare or one.unit == "stitches") or not _GONE.search(said.about):
        return None
    if one.value == 1 and "each" in said.near(3, 2).split():
        return (None,)
    changes = sorted({each.at(holds.size) for each in holds.pattern.get("stitches", ()) if each.cue == "change"})
    if not changes or one.value in changes:
        return None
    return (Verdict("disagrees", " or ".join(f"{each:g}" for each in changes) + " stitches fewer"),)


_UNTIL = re.compile(r"\b(?:until|till) (?:[\w']+ ){0,2}#")
_IN_SECTIONS = re.compile(
    r"# (?:stitch(?:es)? )?(?:in|from|off|at) (?:every|each) (?:section|repeat|wedge|segment"
    r"|panel)\b"
)
_EVERY = frozenset(("every", "each", "any"))
_AT_EACH = re.compile(
    r"# (?:(?:stitch|stitches|more|fewer|less) ){0,2}(?:on|at) (?:each|either|every|both) (?:side|end|edge|marker)s?\b"
)


def each_time(said: Said) -> Answer | None:
    """Judge by how many stitches a round is told to change the count: “each of those rows gives you two more”."""
    one, holds = said.one, said.holds
    if one.unit not in ("", "stitches") or _EVERY.isdisjoint(said.words[max(0, one.first - 9) : one.end + 7]):
        return None
    if said.words[max(0, one.first - 2) : one.first] in (
        ["goes", "to"],
        ["turns", "into"],
        ["down", "to"],
        ["up", "to"],
    ):
        return None  # all there are then
    if _UNTIL.search(said.near(4, 0)):
        return None
    near_by = said.clause(12)
    if _IN_SECTIONS.search(near_by):
        return None  # so many in each section are more in a round
    if not (_EACH_TIME.search(near_by) and _CHANGES.search(near_by)) or not (
        one.unit
        or (
            one.value > 1 and ends_alone(said.words, one.end + (said.words[one.end : one.end + 2] == ["gone", "every"]))
        )
    ):
        return None
    changes = sorted({each.at(holds.size) for each in holds.pattern.get("stitches", ()) if each.cue == "change"})
    if _AT_EACH.search(near_by):
        return each_side(said)
    if not changes or one.value in changes:
        return (None,) if changes else None
    return (Verdict("disagrees", " or ".join(f"{each:g}" for each in changes) + " stitches more or fewer"),)


_RESTING = re.compile(
    r"# .*\bplain (?:rounds?|rows?|ones?)\b.*\b(?:after|between|behind|follow\w*)\b|# .*\b(?:after|between"
    r"|behind) .*\bplain\b"
    r"|# .*\bwith a plain (?:\w+ )?(?:in )?between\b"
)


def resting(said: Said) -> Answer | None:
    """Judge how many shaping rounds have a plain one behind them, and how many follow one another at once."""
    one, words = said.one, said.words
    if (
        one.unit not in ("rounds", "rows")
        or one.ordinal
        or {"increase", "decrease"}.isdisjoint(words[one.first : one.end])
    ):
        return None
    ending = "with a plain one behind" if _RESTING.search(said.near(0, 12)) else "-"
    planned = [each for each in said.holds.pattern.get(one.unit, ()) if each.what.endswith(ending)]
    size = one.size if one.size is not None else said.holds.size
    counts = {at(each, size) for each in planned if at(each, size)}
    if not counts or counts & {one.value, one.value - 1}:
        return (None,) if counts else None
    return (Verdict("disagrees", f"{max(counts):g} {planned[0].what.partition(': ')[2]}"),)
