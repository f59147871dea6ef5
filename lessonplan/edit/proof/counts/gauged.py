"""A gauge said of any length: “twenty two stitches to ten centimetres”, “five and a half to the inch”."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from lessonplan.edit.proof.counts.prose import Answer
from lessonplan.edit.proof.expected.holds import Counted, Holds
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.units import INCH, LENGTHS, UNITS

_OVER = frozenset(("on", "to", "over", "in", "per", "equals", "equal", "across", "within", "for", "every"))
_TO_ONE = re.compile(
    r"^(?!and )(?:[\w']+ ){0,4}?(?:(?:on|to|per|in|for|over|at) (?:the|an|a|one|every|each)|per|each|every) "
    r"(?P<unit>inch"
    r"|centi\w+|cm)\b"
)
_REACH = 10
_HOLDS = re.compile(
    r"\b(?:hold|holds|have|has|get|give|gives|be|count|find|contain|want|hop(?:e|ing) for|looking for|aim(?:ing)? for"
    r"|after|should be)\b"
)
_IS = re.compile(r"\b(?:it's|is|that's|that is|there's|there are|makes)\b")
"""What stands between a length and the count that lies in it; and where “over” or “across” stands before it."""
_MENDED = re.compile(
    r"\b(?:(?:go|going) (?:up|down) (?:a|one|to|in)\b|it should be|ought to be|too (?:tight|loose)|try again)\b"
)
"""What follows a gauge that somebody has, and should not have."""
_OFF = re.compile(r"\b(?:too (?:many|few)|(?:one|two|half) (?:over|under|more|less|off|out)|wrong)\b")
_SUPPOSED = re.compile(r"\b(?:when|if|who|somebody|maybe)\b")


@dataclass(frozen=True, slots=True)
class Over:
    """The length that a number is said to go over, in cm, and the words it ends at."""

    cm: float
    end: int


def over(one: Quantity, words: Sequence[str], others: Sequence[Quantity]) -> Over | None:
    """Give the length that stitches or rounds are counted over, where one is said behind them."""
    length = next(
        (each for each in others if one.end <= each.first <= one.end + _REACH and _is_length(each, words)), None
    )
    if "at" in words[one.end : one.end + 2]:
        return None  # “forty four stitches at twenty two to the ten”
    between = words[one.end : length.first] if length else words[one.end : one.end + 8]
    single = _TO_ONE.match(" ".join(words[one.end : one.end + 8]))
    if single and (length is None or length.value <= 1 or single.end() < len(" ".join(between))):
        return Over(INCH if single["unit"] == "inch" else 1.0, one.end + 8)
    if (
        length is None
        or "so" in between
        or not _leads(between)
        or "round" in between
        or not _counts_only(between, others, one, length)
    ):
        return None
    return Over(length.value * (INCH if length.unit == "inches" else 1.0), length.end)


def _leads(between: Sequence[str]) -> bool:
    """Whether words lead to the length of a gauge: “over”, “to the”, not “in oatmeal”."""
    last = [word for word in between[-3:] if word not in _ARTICLES]
    return bool(last) and last[-1] in _OVER


_ARTICLES = frozenset(
    ("the", "a", "an", "about", "every", "each", "roughly", "just", "full", "whole", "exactly", "my", "of")
)


def _before(one: Quantity, words: Sequence[str], others: Sequence[Quantity]) -> Over | None:
    """Give the length of the count that stands before: “five and a half stitches to the inch and seven rounds”."""
    count = next(
        (each for each in reversed(others) if each.end <= one.first <= each.end + _REACH and each.unit == "stitches"),
        None,
    )
    behind = words[max(0, one.first - 3) : one.first]
    if count is None or not {"and", "by"} & {*behind}:
        return None
    length = over(count, words, others)
    return length if length and length.end <= one.first + 5 else None


def _ahead(one: Quantity, words: Sequence[str], others: Sequence[Quantity]) -> float:
    """Give the length, in cm, that is said before a count that lies in it; 0 where none is."""
    length = next(
        (each for each in reversed(others) if each.unit in LENGTHS and each.end <= one.first <= each.end + 9), None
    )
    over = length is not None and words[max(0, length.first - 1) : length.first] in (["over"], ["across"], ["in"])
    between = " ".join(words[length.end : one.first]) if length else ""
    told = (
        length
        and "then" not in words[length.end : one.first]
        and (_HOLDS.search(between) or (over and _IS.search(between)))
    )
    return length.value * (INCH if length.unit == "inches" else 1.0) if length and told else 0.0


def _is_length(each: Quantity, words: Sequence[str]) -> bool:
    """Whether a number is a length, or one without a unit such as “eleven in five”, “twenty two to the ten”."""
    if each.unit in LENGTHS:
        return True
    before = words[max(0, each.first - 2) : each.first]
    return (
        each.bare
        and each.value in (4, 5, 10)
        and (before[-1:] in (["in"], ["over"]) or before in (["to", "the"], ["over", "the"]))
    )


def _counts_only(between: Sequence[str], others: Sequence[Quantity], one: Quantity, length: Quantity) -> bool:
    """Whether nothing but the other count of the gauge stands between a count and its length."""
    inside = [each for each in others if one.end <= each.first and each.end <= length.first]
    if len(inside) > 1 or any(each.unit not in ("stitches", "rounds", "rows", "") for each in inside):
        return False
    free = {"and", "then", "so", "the", "a", "just", "about", "of", "full", *_OVER, "these", "them", "exactly", "high"}
    spoken = sum(each.end - each.first for each in inside)
    return sum(word not in free and word not in UNITS for word in between) - spoken <= 1


_WAYS = {"across": 0, "wide": 0, "sideways": 0, "up": 1, "upward": 1, "upwards": 1, "tall": 1, "high": 1}
"""Which count of a gauge goes that way: stitches, or rounds."""


def _gauges(one: Quantity, words: Sequence[str], holds: Holds) -> tuple[Counted, ...]:
    """Give the gauges that may be meant: the pattern's, and those of the segment's parts or of one that is named."""
    here = holds.parts.here
    if all(not each.stage or each.stage in here for each in holds.gauges):
        return holds.gauges
    near = holds.parts.stages((*words[max(0, one.first - 16) : one.first], *words[one.end : one.end + 9]))
    return tuple(each for each in holds.gauges if not each.stage or each.stage in near or each.stage in here)


def _way(one: Quantity, words: Sequence[str], holds: Holds) -> Answer | None:
    """Judge a count of a gauge that is told by its way alone: “twenty two across and thirty up”."""
    way = _WAYS.get(words[one.end]) if one.end < len(words) else None
    if way is None or holds.parts.here:
        return None
    gauge = holds.gauges[way]  # the pattern's own come first
    if _OFF.search(" ".join(words[one.end : one.end + 8])):
        return (None,)  # who has it tells that it is not right
    if not 0.6 <= one.value / gauge.count <= 1.6 or one.value == gauge.count:
        return (None,) if one.value == gauge.count else None
    return (Verdict("disagrees", f"{gauge.count:g} {gauge.unit} (gauge)", "gauge.over"),)


def _pair(one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> Answer | None:
    """Judge a gauge said as a pair, of a course or a swatch: “twenty two by thirty”."""
    if holds.parts.here or {"rib", "ribbing", "ribs"} & {*words[one.end : one.end + 6]}:
        return None
    for gauge, step in zip(holds.gauges[:2], (1, -1), strict=True):
        beside = [
            each
            for each in others
            if each.bare and (each.first == one.end + 1 if step > 0 else each.end + 1 == one.first)
        ]
        joined = words[one.end if step > 0 else one.first - 1] == "by" if beside else False
        if joined and all(
            0.6 <= each.value / of.count <= 1.6
            for each, of in zip((one, beside[0])[::step], holds.gauges[:2], strict=True)
        ):
            wrong = Verdict("disagrees", f"{gauge.count:g} {gauge.unit} (gauge)", "gauge.over")
            return (None if one.value == gauge.count else wrong,)
    return None


def far(length: Over, gauge: Counted) -> bool:
    """Whether a length is another than that of a gauge, of which four inches are said for ten centimetres."""
    return abs(length.cm - gauge.over) > 0.5


def _is_it_itself(one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> bool:
    """Whether a count is that of a gauge over its own length: “thirty rounds is ten centimetres”."""
    length = next((each for each in others if each.unit in LENGTHS and 0 < each.first - one.end <= 2), None)
    if length is None or not {"is", "are", "makes", "gives"} & {*words[one.end : length.first]}:
        return False
    cm = length.value * (INCH if length.unit == "inches" else 1.0)
    return any(each.unit == one.unit and each.count == one.value and abs(each.over - cm) < 0.5 for each in holds.gauges)


def _in_length_before(one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> Answer | None:
    """Judge a count by the length that is said before it: “three inches of it should hold sixteen and a half”."""
    ahead = _ahead(one, words, others)
    if not ahead:
        return None
    own = _gauges(one, words, holds)
    over_it = "over" in {words[each.first - 1] for each in others if each.unit in LENGTHS and each.first}
    rates = [each.count / each.over for each in own if each.unit == one.unit or one.bare]
    if over_it and any(each.count == one.value and each.unit == one.unit for each in own):
        return (None,)  # then it is the length that is wrong
    if any(abs(rate * ahead - one.value) <= max(0.5, 0.04 * one.value) for rate in rates):
        return (None,)  # “three inches of it should hold sixteen and a half stitches”
    if (one.bare or not holds.parts.here) and any(0.6 <= one.value / (rate * ahead) <= 1.6 for rate in rates):
        return (Verdict("disagrees", f"{rates[0] * ahead:.3g} stitches (gauge)", "gauge.over"),)
    return None


def judge_gauge(one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> Answer | None:
    """Judge a count over a length by the gauges of the course: what is wrong with it, none where it is of no length."""
    to_it = words[max(0, one.first - 2) : one.first] if one.bare or one.unit in LENGTHS else []
    if _OVER & {*to_it} and to_it[:1] not in (["down"], ["up"], ["back"]):
        count = next((each for each in reversed(others) if each.end <= one.first <= each.end + 4), None)
        cm, gauges = one.value * (INCH if one.unit == "inches" else 1.0), _gauges(one, words, holds)
        rates = [each.count / each.over for each in gauges]
        count = None if count and "and" in words[count.end : one.first] else count
        exact = [each for each in gauges if count and count.unit in (each.unit, "") and count.value == each.count]
        if exact and count and abs(cm - exact[0].over) > 0.5 and one.unit in LENGTHS:
            swapped = abs(one.value * (1.0 if one.unit == "inches" else INCH) - exact[0].over) < 0.5
            told = f"{exact[0].over:g} cm (gauge)"
            return (Verdict("wrong unit" if swapped else "disagrees", told, "gauge.over"),)
        if (
            cm
            and count
            and count.unit not in LENGTHS
            and any(abs(count.value / cm - rate) <= 0.03 * rate for rate in rates)
        ):
            return (None,)  # the length of a gauge itself
        if one.bare and "over" in to_it and _is_length(one, words):
            return (None,)
    if one.unit in ("stitches", "rounds", "rows") and _is_it_itself(one, words, holds, others):
        return (None,)
    if one.bare and (pair := _pair(one, words, holds, others) or _way(one, words, holds)):
        return pair
    length = over(one, words, others) if one.unit in ("stitches", "rounds", "rows") or one.bare else None
    counted = one.unit in ("stitches", "rounds", "rows") or (one.bare and not holds.parts.here)
    if length is None and counted and (answer := _in_length_before(one, words, holds, others)):
        return answer
    if length is None and one.unit in ("rounds", "rows"):
        length = _before(one, words, others)
    gauges = _gauges(one, words, holds) if length and length.cm else ()
    if length is None or not gauges:
        return None
    units = ("stitches", "rounds", "rows") if one.bare else (one.unit,)
    of_unit = [each for each in gauges if each.unit in units]
    come_to = [(each, each.count * length.cm / (each.over if far(length, each) else length.cm)) for each in of_unit]
    if not come_to:
        elsewhere = [(each, each.count * (length.cm / each.over if far(length, each) else 1)) for each in gauges]
        right = next((each for each, value in elsewhere if abs(value - one.value) <= 0.5), None)
        return (Verdict("wrong unit", f"{right.unit} are counted here", "gauge.rounds") if right else None,)
    if any(each.count == one.value for each in of_unit):
        return (None,)  # then it is the length that is wrong
    slack = max(one.number.part / 2, 0.03 * one.value) if far(length, of_unit[0]) else 0.05
    supposed = _SUPPOSED.search(" ".join(words[max(0, one.first - 12) : one.first])) is not None
    supposed = supposed or _MENDED.search(" ".join(words[one.end : one.end + 18])) is not None
    if supposed or any(abs(value - one.value) <= slack for _, value in come_to):
        return (None,)
    best, value = come_to[0]
    if not 0.5 <= one.value / value <= 2:
        return None if one.bare else (None,)
    other = [each for each in gauges if each.unit not in units and each.count == one.value]
    exchanged = any(each.unit == other[0].unit and each.value == best.count for each in others) if other else False
    if other and not (one.bare or exchanged or far(length, other[0])):
        return (Verdict("wrong unit", f"{value:.3g} {best.unit}, {one.value:g} {other[0].unit} (gauge)", "gauge.over"),)
    fact = f"gauge.{'stitches' if best.unit == 'stitches' else 'rounds'}"
    return (Verdict("disagrees", f"{value:.3g} {best.unit} (gauge)", fact),)
