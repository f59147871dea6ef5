"""At which round a count is told: “after round eight”, “on the ninth round I have”, “fifty one after that”."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from operator import attrgetter

from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import Quantity

_AFTERWARDS = re.compile(
    r"\b(?:have|has|am|you've|i've|we've|there's|count|counted|get|got|are|is|be|left|remain\w*|needles?|altogether|had"
    r"|holds?|brings?|takes|makes|gives|leaves|comes|it's|we're|you're|i'm)\b"
)
_AT_ROUND = frozenset(
    words_in(
        "and that's at after on by in stitches it's with the of them i'm here now there all told altogether each side"
    )
)
_PLACES = frozenset(words_in("round row rounds rows marker markers stitch plain"))
INTO = (
    r"(?:into\b|(?:in|up|later|along|gone|deep|on(?! it))(?: (?:now|already|here))? (?:i|i've|i'm|we|we've|we're"
    r"|you|you've"
    r"|you're|and|there's|there|it|it's|my|so|the (?:needle|count))\b|(?:done )?from the (?:cast on|edge|beginning)\b)"
)
"""How far it is told that somebody is: “eight rounds in, I count fifty one”."""


TELLING = 9
"""So many words behind a count, the rounds after which it is so are told at most."""
_REACH = 40
"""So many words off, what is said of a round is not looked at."""


def _around(one: Quantity, others: Sequence[Quantity]) -> Sequence[Quantity]:
    """Give the quantities that are said near one, of all of them in their order."""
    first = bisect_left(others, one.first - _REACH, key=attrgetter("first"))
    return others[first : bisect_right(others, one.end + _REACH, key=attrgetter("first"))]


def round_after(one: Quantity, words: Sequence[str], others: Sequence[Quantity]) -> str:
    """Give the cue of the round that is named right behind a count: “fifty one after round eight”."""
    others = _around(one, others)
    for other in others:
        between = words[one.number.end : other.first]
        if other.number.ordinal and not other.unit and between in (["after", "the"], ["stitches", "after", "the"]):
            near = {*words[max(0, one.first - 12) : other.end + 4]}
            shaped = {"increase", "decrease"} & near or near.isdisjoint(_PLACES)
            return f"shaping {other.value:g}" if shaped and other.value > 1 else ""
        behind = not other.ordinal and other.unit in ("rounds", "rows") and 0 < other.first - one.end <= TELLING
        if behind and words[other.first - 2 : other.first] == ["that's", "after"]:
            return f"round {other.value:g}"  # “thirty six left, and that's after four rounds”
        if 0 <= other.first - one.number.end <= 4 and other.ordinal and other.unit in ("rounds", "rows"):
            told = _AT_ROUND.issuperset(between) and {"that's", "at", "after", "on"} & {*between}
            goes_on = between[:2] == ["and", "after"] and any(0 <= each.first - other.end <= 5 for each in others)
            if goes_on:
                return ""  # “sixty four, and after round nine it's fifty six”
            kind = "shaping" if {"increase", "decrease"} & {*words[other.first : other.end]} else "round"
            return f"{kind} {other.value:g}" if told else ""
    return ""


_BEHIND = re.compile(
    r"(?:in(?! (?:this|that|the|each|every|an?|one|all)\b)|done|later|made|worked|finished|behind (?:you|us|me)"
    r"|under (?:my|your|our) belt)\b"
)
"""What follows shaping rounds that are told as done: “three increases in, the needle says fifty one”."""


def _is_first(one: Quantity, other: Quantity, words: Sequence[str], others: Sequence[Quantity]) -> bool:
    """Whether a count is the first behind some rounds, and told of just then."""
    if {"until", "then"} & {*words[other.end : one.first]} or words[one.first - 1] == "from":
        return False
    return not any(each.unit in ("", "stitches") and other.end <= each.first < one.first for each in others)


_LEAVES = tuple([word] for word in words_in("leaves gives brings takes makes gets puts done finished"))
_OF_THOSE = (["of", "those"], ["of", "these"], ["of", "them"])


def _done_so_often(one: Quantity, other: Quantity, words: Sequence[str]) -> float | None:
    """Give how many shaping rounds are told as done: “increased four times”, “after four of those”."""
    if other.end > one.first or other.value < 2 or other.size is not None:
        return None
    before = words[max(0, other.first - 3) : other.first]
    if other.unit == "times":
        often = before[-2:-1] in (["increase"], ["decrease"]) and before[-1] in _PLACES  # “the increase row nine times”
        return other.value if often or "increased" in before or "decreased" in before else None
    after = words[other.number.end : other.number.end + 2]
    return other.value if after in _OF_THOSE and "after" in before else None


def round_before(one: Quantity, words: Sequence[str], others: Sequence[Quantity], is_its: int = 0) -> str:
    """Give the cue of the round after which a count was said: “after round eight”, “on the ninth round I have”."""
    others = _around(one, others)
    for other in reversed(others):
        if one.first - other.end > 12:
            break
        if (often := _done_so_often(one, other, words)) is not None:
            return f"shaping {often:g}"
        if other.bare and words[max(0, other.first - 1) : other.first] == ["after"] and 0 <= one.first - other.end <= 6:
            named = any(each.ordinal and each.end <= other.first for each in others)
            return f"round {other.value:g}" if named else ""  # “after round nine fifty three, after eleven fifty five”
        if other.unit == "shapings" and _BEHIND.match(" ".join(words[other.end : other.end + 4])):
            return f"shaping {other.value:g}" if other.end <= one.first and _is_first(one, other, words, others) else ""
        if other.end > one.first or other.unit not in ("rounds", "rows"):
            continue
        if other.ordinal and words[max(0, other.first - 1) : other.first] in (["every"], ["each"]):
            continue  # “every sixth round five times, and thirty six are left”
        shaped = {"increase", "decrease"} & {*words[other.first : other.end]}
        after = bool({"after", "done", "worked", "knitted"} & {*words[max(0, other.first - 2) : other.first]})
        if shaped and after and not other.ordinal and one.first <= other.end + 8:
            return f"shaping {other.value:g}"  # “after five decrease rounds”
        told = (
            re.match(
                rf"{INTO}|and (?:there are|you have|you've|i've|that leaves)",
                " ".join(words[other.end : other.end + 5]),
            )
            is not None
        )
        if not other.ordinal and (after or told) and _is_first(one, other, words, others):
            return f"round {other.value:g}"
        if other.ordinal:
            if words[other.end : other.end + 1] == ["then"] and words[max(0, other.first - 2) : other.first][:1] == [
                "after"
            ]:
                return ""  # “eighty eight after the first round, then eighty”
            if is_its and one.first - other.end <= is_its:
                return f"round {other.value:g}"  # “round three is knit nine”
            before = words[max(0, other.first - 3) : other.first]
            shaping = {"increase", "decrease"} & {*words[other.first : other.end]}
            kind = f"{'shaping' if shaping else 'round'} {other.value:g}"
            if "after" in before[-2:] or before[-1:] == ["at"]:
                return kind
            near_by = (*words[other.end : one.first], *words[one.end : one.end + 4])
            told = bool({"on", "in", "with", "by", "at"} & {*before}) or not one.bare
            told = told or words[one.first - 1] in ("leaves", "leaving")
            told = (told or words[other.end : other.end + 1] in _LEAVES) and words[one.first - 1] != "from"
            return kind if told and _AFTERWARDS.search(" ".join(near_by)) else ""
    return ""
