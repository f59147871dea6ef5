"""Sums said aloud: “forty four plus one is forty five”, “eleven groups of four”, “eight stripes of four rounds”."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonplan.edit.speech.numbers import COUNTS
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.units import INCH, LENGTHS

_PLUS = re.compile(r"^(?:[\w']+ ){0,4}plus$")
_AND = re.compile(r"^and$")
_MINUS = re.compile(r"^(?:[\w']+ )?(?:minus|less|take away)$")
_LOSES = re.compile(
    r"^(?:(?!each|every|rounds?|rows?)[\w']+ ){0,4}(?:eat|swallow|take|cost|lose)s?(?: (?:up|us|you|away|off))?$"
)
_LEAVES = re.compile(
    r"^(?:(?!each|every|rounds?|rows?|for)[\w']+ ){0,2}?(?:so|(?:that |which )?(?:leaves|leaving))"
    r"(?: (?:you|we|i|me|us|you're|we're|i'm|it's|there's|are|at|on|with|have))*$"
)
"""“Eighteen, and the corners eat two, so you're at sixteen.”"""
_TIMES = re.compile(
    r"^(?:(?:(?:to|in|for|per) (?:an?|each|every|the) [\w']+ )?times"
    r"|(?:stripes|repeats|sections|groups|lots|sets|times) of|of)$"
)
_INTO = re.compile(r"^(?:goes |fits |divides )?into$")
_MAKES = re.compile(r"^(?:[\w']+ )?(?:makes?|leaves?|gives?|equals)$")
_IS = re.compile(r"^(?:[\w']+ )?(?:(?:so )?that(?:'s| is| makes| leaves| gives)|is|are|so)$")


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum: the places of its two numbers and of its result among the quantities, and what it should come to.

    ``times``: it is a product; ``parts``: so many numbers are added.
    """

    first: int
    second: int
    result: int
    comes_to: float
    times: bool = False
    parts: int = 2


_FOLDS = {f"{word}s": value for word, value in COUNTS.items() if value > 1} | {"sixes": 6, "tens": 10}
_FOLDED = re.compile(
    r"^(?:(?:that's|that is|which is|which makes|which comes to|is|are|makes|make|equals|so)(?: \w+)?)?$"
)
"""“Eleven fours are forty four”."""


def sums_in(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[Sum]:
    """Find the sums among quantities of one unit, or of none."""
    for place, (one, result) in enumerate(pairwise(quantities)):
        fold = _FOLDS.get(words[one.end]) if one.bare and one.end < len(words) else None
        if fold and result.unit in ("", "stitches") and _FOLDED.match(" ".join(words[one.end + 1 : result.first])):
            yield Sum(place, place, place + 1, one.value * fold, times=True)
    yield from _runs(words, quantities)
    yield from _losses(words, quantities)
    yield from _repeats(words, quantities)
    for place in range(len(quantities) - 2):
        one, other, result = quantities[place : place + 3]
        if place and _PLUS.match(_between(words, quantities[place - 1], one)):
            one = replace(one, number=replace(one.number, low=0.0, high=quantities[place - 1].value + one.value))
        ways, makes = _between(words, one, other), _between(words, other, result)
        if other.bare and other.end < len(words) and words[other.end] in _FOLDS:
            continue  # “is twelve, and eight twelves make ninety six”
        if one.value == 0.5 and ways in ("", "the", "our", "your", "my", "those") and _IS.match(makes):
            yield Sum(place, place + 1, place + 2, other.value / 2, times=True)
            continue
        if _INTO.match(ways) and result.unit == "times":
            yield Sum(place, place + 1, place + 2, other.value / max(one.value, 1), times=True)
            continue
        says = _MAKES.match(makes) is not None or (
            not makes and _PLUS.match(ways) is not None and 0.7 <= result.value / max(one.value + other.value, 1) <= 1.3
        )
        if one.ordinal or other.ordinal or result.ordinal or not (says or _IS.match(makes)):
            continue
        counted = ("", "stripes", "repeats", "times", "rounds", "rows", "shapings", "ends")
        times = (one.unit in counted or ways.endswith("times")) and result.unit in ("", other.unit, one.unit)
        if times and _TIMES.match(ways):
            yield Sum(place, place + 1, place + 2, one.value * other.value, times=True)
        elif {one.unit, other.unit, result.unit} <= {"", "stitches"}:
            goes_on = place > 0 and _between(words, quantities[place - 1], one) in ("and", "then")
            close = one.bare and result.bare and 0.8 <= result.value / max(one.value + other.value, 1) <= 1.25
            if _PLUS.match(ways) or (not goes_on and (says or (close and makes in ("is", "are"))) and _AND.match(ways)):
                yield Sum(place, place + 1, place + 2, one.value + other.value)
            elif _MINUS.match(ways):
                yield Sum(place, place + 1, place + 2, one.value - other.value)


def _losses(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[Sum]:
    """Find what is left of a count: “eighteen, and the corners eat two, so you're at sixteen”."""
    for place, (one, other, result) in enumerate(zip(quantities, quantities[1:], quantities[2:], strict=False)):
        counts = {one.unit, other.unit, result.unit} <= _OF_STITCHES and not (one.ordinal or other.number.ordinal)
        if (
            counts
            and other.number.high < one.number.high / 2 < result.number.high
            and _LOSES.match(ways := _between(words, one, other))
            and not _MINUS.match(ways)
            and _LEAVES.match(_between(words, other, result))
        ):
            yield Sum(place, place + 1, place + 2, one.value - other.value)


def _repeats(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[Sum]:
    """Find what steps come to that are worked so often: “knit two, purl two, five times, that's twenty stitches”."""
    steps, last = 0.0, -1
    for place, one in enumerate(quantities[:-1]):
        goes_on = last == place - 1 and words[quantities[place - 1].end : one.first] in ([], ["and"], ["then"])
        if one.unit in ("knit", "purl", "slip"):
            steps, last = one.number.high + steps * goes_on, place
        elif one.unit == "times" and goes_on and steps:
            result, between = quantities[place + 1], _between(words, one, quantities[place + 1])
            comes_to = steps * one.value
            if result.unit in ("", "stitches") and between and _FOLDED.match(between.removeprefix("over ")):
                yield Sum(place - 1, place, place + 1, comes_to, times=True)


def _runs(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[Sum]:
    """Find counts added up one after the other: “twelve and twelve and twelve and eight, forty four”."""
    first = 0
    for end in range(1, len(quantities)):
        if quantities[end].bare and _between(words, quantities[end - 1], quantities[end]) in ("and", "plus"):
            continue
        some, result = quantities[first:end], quantities[end]
        comes_to = sum(each.value for each in some)
        close = result.unit in ("", "stitches") and 0.7 <= result.value / max(comes_to, 1) <= 1.4
        if len(some) > 2 and close and _FOLDED.match(_between(words, some[-1], result)):
            yield Sum(first, first + 1, end, comes_to, parts=len(some))
        first = end


_RESULT = re.compile(
    r"\b(?:that's|that is|it's|which is|makes?|making|leaves?|leaving|gives?|giving|equals|so|total"
    r"|altogether|now|get|has)"
    r"(?: (?:[\w']+ )?(?:of|you|me|us|only|just|your|my|then|all|with))*$"
)
_IN_ALL = re.compile(r"^(?:[\w']+ ){0,4}?(?:altogether|all up|in all|in total|all told|all in)\b")
_GROUPED = re.compile(r"\b(?:times|each|every|of|by|lots|groups|repeats|stripes|either|both|sections|pairs?)\b")
_SOON = 8
"""So many words lie between a length and what it is in the other unit at most, where nothing says that it is; and
between parts."""
BREATH, TELLING = 16, 24
"""So many words off, a number is part of a sum; of one that is reasoned aloud."""


def comes_of_others(one: Quantity, words: Sequence[str], quantities: Sequence[Quantity]) -> bool:
    """Whether a number is said as what comes of those before it, and does: their sum, difference or product."""
    after = " ".join(words[one.number.end : one.number.end + 6])
    if not (_RESULT.search(" ".join(words[max(0, one.first - 5) : one.first])) or _IN_ALL.match(after)):
        return False
    before = [each for each in quantities if each.end <= one.first <= each.end + BREATH and not each.ordinal]
    values = [each.value for each in before if not each.number.ordinal][-5:]
    sums = [sum(values[-count:]) for count in range(2, len(values) + 1)]
    if len(values) > 1 and _GROUPED.search(" ".join(words[max(0, before[-2].first - 3) : one.first])):
        sums.append(values[-1] * values[-2])
    if len(values) > 1:
        sums.append(abs(values[-1] - values[-2]))
    return any(abs(each - one.value) < 0.05 for each in sums)


_SHARED = re.compile(
    r"\b(?:times|each|every|lots|groups|sets|pairs?|repeats|stripes|sections|wedges|panels|halved?|thirds?|divided"
    r"|goes into|made up|over|(?:to|per|in) (?:the|an?|each|every|one) (?!round\b|row\b|end\b)[\w']+)\b"
)
_ADDED = re.compile(
    r"\b(?:plus|minus|take away|less|more|gone|left|leaves?|leaving|lost|fewer|altogether|in all|all told|makes?"
    r"|to go|over)\b"
    r"|\band (?:that's|that is|it's|you're|we're|so)\b"
)
"""What tells that one number comes of two others: shared out or so often, added or taken."""


def follows(
    one: Quantity, words: Sequence[str], near: Sequence[Quantity], facts: Mapping[str, frozenset[float]]
) -> bool:
    """Whether a number follows by one step from two others in the same breath that hold (``facts`` by unit), where the
    words say so: “after the fourth it starts again, so you've three lots of it and the twelve is made up”.
    """
    counts = facts.get(one.unit or "stitches", frozenset[float]())
    fold = _FOLDS.get(words[one.number.end] if one.number.end < len(words) else "")
    if fold and one.value * fold in counts | {each.value for each in near}:
        return True  # “forty on the needle, ten fours”
    close = [each for each in near if -TELLING <= each.first - one.end <= TELLING and each.first != one.first]
    close = [each for each in close if each.value >= 2 and each.unit not in ("knit", "purl", "slip", "together")]
    for at, first in enumerate(close if one.value >= 2 else ()):
        for other in close[at + 1 :]:
            low, high = sorted((first, other), key=lambda each: each.value)
            start, end = min(one.first, first.first), max(one.end, other.end)
            told = " ".join((*words[max(0, start - 3) : end], *words[end : end + 5]))
            shared = abs(one.value * low.value - high.value) < 0.05 and any(
                high.value in each for each in facts.values()
            )
            added = {low.unit, high.unit} <= {"", one.unit} and {low.value, high.value} <= counts
            added = added and one.value in (high.value - low.value, high.value + low.value)
            if (shared and _SHARED.search(told)) or (added and _ADDED.search(told)):
                return True
    return False


def shares_in(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[tuple[int, int, float]]:
    """Find counts shared out over needles, “sixteen, sixteen and fourteen”: first and last place, and their sum."""
    at = 0
    while at < len(quantities):
        end = at
        while end + 1 < len(quantities) and _is_share(quantities[end], quantities[end + 1], words):
            end += 1
        values = [each.value for each in quantities[at : end + 1]]
        near = {
            *words[max(0, quantities[at].first - 12) : quantities[at].first],
            *words[quantities[end].end : quantities[end].end + 8],
        }
        if len(values) in (3, 4) and max(values) < 2 * min(values) and {"needle", "needles"} & near:
            yield at, end, sum(values)
        at = end + 1


def _is_share(one: Quantity, other: Quantity, words: Sequence[str]) -> bool:
    """Whether two counts are told one after the other as shares."""
    counts = all(
        each.value > 5 and each.unit in ("", "stitches") and each.size is None and not each.number.ordinal
        for each in (one, other)
    )
    return counts and words[one.end : other.first] in ([], ["and"], ["then"], ["and", "then"])


def adds_up(near: Sequence[Quantity], at: int) -> float:
    """Give the sum that is said in the end, where a number is added to others: “ten here and ten, that's twenty”."""
    for first in range(at + 1):
        whole = near[first].value
        for place in range(first + 1, len(near)):
            one = near[place]
            if (
                one.first - near[place - 1].end > _SOON
                or one.ordinal
                or one.number.ordinal
                or one.unit not in _OF_STITCHES
            ):
                break
            if one.value == whole and place - first > 1 and place > at:
                return whole if near[first].unit in _OF_STITCHES else 0.0
            whole += 0 if one.value == whole and place - first > 1 else one.value
    return 0.0


def is_shared_out(near: Sequence[Quantity], at: int) -> bool:
    """Whether a number is a sum told with its parts, or one of these: “forty five, so twenty two, one, twenty two”."""
    for first in range(at + 1):
        for parts in (2, 3):
            window = near[first : first + parts + 1]
            if (
                len(window) <= parts
                or first + parts < at
                or any(each.ordinal or each.number.ordinal for each in window)
            ):
                continue
            told = all(b.first - a.end <= _SOON for a, b in pairwise(window)) and window[0].value >= 4
            if (
                told
                and sum(each.value for each in window[1:]) == window[0].value
                and {each.unit for each in window} <= _OF_STITCHES
            ):
                return True
    return False


_OF_STITCHES = {"", "stitches", "knit"}
_OR = re.compile(
    r"^(?:(?:which |that )?(?:is|comes to|makes)|(?:so )?that(?:'s| is)|or|so|equals)(?: (?:in (?:inches"
    r"|centimeters)|about|"
    r"some|shade|touch|hair|bit|nearly|almost|around|roughly|just|a|over|under|good))*$|^(?:[\w']+ ){0,4}(?:metric"
    r"|inch|american"
    r"|imperial)\w* [\w']+ (?:that's|it's|that is)$"
)


def conversions_in(words: Sequence[str], quantities: Sequence[Quantity]) -> Iterator[tuple[int, int]]:
    """Find lengths that are said once more in the other unit: the places of both among the quantities."""
    for place, (one, other) in enumerate(pairwise(quantities)):
        if {one.unit, other.unit} == {*LENGTHS} and (
            _OR.match(_between(words, one, other)) or (other.first - one.end <= _SOON and converts(one, other))
        ):
            yield place, place + 1


def converts(one: Quantity, other: Quantity) -> bool:
    """Whether two lengths in different units are the same, as finely as the coarser is said."""
    cm = [each.value * (INCH if each.unit == "inches" else 1.0) for each in (one, other)]
    step = max(each.number.part * (INCH if each.unit == "inches" else 1.0) for each in (one, other))
    return abs(cm[0] - cm[1]) <= max(step / 2, 0.04 * max(cm)) + 0.01


def _between(words: Sequence[str], one: Quantity, other: Quantity) -> str:
    return " ".join(words[one.end : other.first])
