"""All that was said in a segment, proofed: quantities, sequences, corrections, and what was never said."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lessonplan.edit.proof.expected.carried import crossed_in, cut_in
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.expected.yarns import colours_in
from lessonplan.edit.proof.figures.verdicts import right_of
from lessonplan.edit.proof.findings import Finding, Kind, Planned
from lessonplan.edit.proof.numbers import Found, Numbers, out_of_step, takes_back
from lessonplan.edit.proof.pairs.needles import needles_in
from lessonplan.edit.proof.pairs.opposites import opposites_in, parity_in
from lessonplan.edit.proof.said import Said
from lessonplan.edit.proof.sequences import swaps_in
from lessonplan.edit.proof.steps import swapped_steps
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.numbers import Token, words_in
from lessonplan.edit.speech.quantities import Quantity, as_unit, comparable, near
from lessonplan.edit.speech.takenback import Remark, remarks_in, said_twice
from lessonplan.edit.speech.units import normal
from lessonplan.edit.speech.whose import Scopes
from lessonplan.remembered import remembered

WEIGHTS = frozenset(words_in("lace fingering sport dk worsted aran chunky bulky roving jumbo"))
"""The names of yarn weights (Craft Yarn Council and common practice)."""
COUNTED = ("stitches", "rounds", "rows")
SOON_AGAIN, SOON = 8, 15.0
"""A number is said twice where at most so many words, and seconds, lie between."""
ENOUGH = 18
"""A segment of which fewer words are heard is not asked for what was never said in it."""
BESIDE = 6
"""So many words stand between rounds that nobody planned and their yarn at most."""
AROUND = 4
"""So many words before and after it are the context by which a finding is known again."""
TAKEN_BACK, ONE_SLIP, SLIP = 6, 12, 10
"""So many words before a correction a word of a pair is taken back; so many around one swapped, others are its slip; so
many at most lie between a slip and the number that puts it right."""


def proofed(
    said: Sequence[Token], holds: Holds, whole: bool = True, nearby: Sequence[Token] = ()
) -> tuple[Finding, ...]:
    """Proof what was said in a segment; with ``whole``, what should have been said and was not is found too.

    ``nearby`` is what was said just before and after, where a number may stand that is not missing then.
    """
    tokens = normal(said)
    words = [token.text for token in tokens]
    quantities = quantities_in(tokens, holds.sizes, holds.size)
    heard = quantities_in(normal(nearby), holds.sizes) if whole and nearby else ()
    scope = Scopes(words, holds.own, _words_of(holds.known), holds.options)
    scopes = {one.first: scope.of(one.first, one.end, one.size is not None) for one in quantities}
    said_here = [one for one in quantities if not scopes[one.first]]
    remarks = [
        one
        for one in remarks_in(words, said_here, holds.colours)
        if not scope.of_others(one.first - (words[one.first - 1 : one.first] == ["but"]))
    ]
    judged = [_put_right(one, words, quantities) for one in Numbers(words, quantities, remarks, holds, scopes).found()]
    missed = _never(words, (*quantities, *heard), holds) if whole and len(words) >= ENOUGH else ()
    told = {one[4] for one in judged if one[4]}
    swapped = list(_swapped(words, quantities, remarks, holds, scope))
    unplanned = [one for one in judged if one[0] == "unplanned number"]
    numbers = [*judged, *out_of_step(words, said_here, holds, judged)]
    found = [
        *(one for one in numbers if not any(one[1] < other[2] and other[1] < one[2] for other in swapped)),
        *(one for one in swapped if not (unplanned and _of_unplanned(one, unplanned))),
        *_weights(words, holds, scope),
        *_taken_back(words, quantities, remarks, holds, judged),
        *_twice(words, [token.start for token in tokens], said_here, remarks, holds, judged),
        *(one for one in missed if one[4] not in told),  # said otherwise is not missed as well
    ]
    return tuple(_finding(one, tokens, words, holds.segment) for one in sorted(found, key=lambda one: one[1]))


_SLIPPED = frozenset(words_in("i i'm i've no oh oops wait wrong"))
_NO_SLIP = frozenset(words_in("not than if you your but when for and then"))
"""What stands between a slip and the number that puts it right, in whatever words, and what does not."""


def _put_right(one: Found, words: Sequence[str], quantities: Sequence[Quantity]) -> Found:
    """Take a wrong number as taken back where the right one follows in the same breath: “forty six, oh I'm hopeless,
    forty five”.
    """
    kind, first, end, right, fact = one
    if kind != "disagrees" or _SLIPPED.isdisjoint(words[end : end + SLIP]):
        return one
    then = next((each for each in quantities if each.first >= end), None)
    between = words[end : then.first] if then else ()
    if then is None or len(between) > SLIP or _SLIPPED.isdisjoint(between) or not _NO_SLIP.isdisjoint(between):
        return one
    if not right.startswith(f"{then.value:g} "):
        return one
    return "took it back", first, then.end, f"{right}: what was said last holds", fact


def _of_unplanned(one: Found, unplanned: Sequence[Found]) -> bool:
    """Whether a yarn is that of rounds which nobody planned: “two rounds in oatmeal as a fold line”."""
    near = (max(one[1] - other[2], other[1] - one[2]) for other in unplanned)
    return one[0] == "disagrees" and min(near) <= BESIDE


@remembered(2)
def _words_of(known: str) -> frozenset[str]:
    return frozenset(known.split())


def _finding(one: Found, tokens: Sequence[Token], words: Sequence[str], segment: str) -> Finding:
    kind, first, end, right, fact = one
    if kind == "never said":
        start = tokens[-1].start if tokens else 0.0
        return Finding(
            kind=kind, segment=segment, start=start, said="", context=right.partition(" (")[0], right=right, fact=fact
        )
    context = " ".join(words[max(0, first - AROUND) : end + AROUND])
    last = tokens[end - 1]
    return Finding(
        kind=kind,
        segment=segment,
        start=tokens[first].start,
        said=" ".join(words[first:end]),
        context=context,
        right=right,
        fact=fact,
        place=tokens[first].place,
        place_end=last.place + len(last.text),
    )


_ALONE = frozenset(words_in("dk worsted aran fingering"))
_IS = frozenset(words_in("is are it's they're both all"))
"""Weights that are names of nothing else, and what stands before them where they are told."""
_TOLD_AS = re.compile(
    r"\b(?:yarn|wool|balls?)\b.* (?:is|are|it's|that's) (?:(?!so |any |and |but )[\w']+ ){0,4}$"
    r"| (?:is|it's) an? (?:(?!so |any |and |but )[\w']+ ){0,3}$"
)
"""“Yarn wise it's a good honest worsted”."""
_MEANT_FOR = ("written for", "made for", "meant for", "designed for", "calls for")


def _weights(words: Sequence[str], holds: Holds, scope: Scopes) -> Iterator[Found]:
    """Find the yarn weights that are said and not the pattern's."""
    for at, word in ((at, word) for at, word in enumerate(words) if word in WEIGHTS):
        of_yarn = {"yarn", "wool", "weight", "yarn's", "wool's"} & {
            *words[at + 1 : at + 3],
            *words[max(0, at - 2 - ("a" in words[max(0, at - 1) : at]) * 2) : at],
        }
        of_yarn |= {"skein", "skeins", "ball", "balls", "hank"} & {*words[max(0, at - 2) : at]}
        of_yarn |= (
            {"wool", "yarn"} & {*words[max(0, at - 7) : at]}
            if words[max(0, at - 1) : at] in (["in"], ["is"], ["a"], ["it's"], ["an"], ["of"])
            else set()
        )
        of_ball = {"ball", "balls", "skein", "meters", "metres", "grams"} & {*words[at + 1 : at + 10]}
        of_yarn |= (
            of_ball
            if words[max(0, at - 2) : at] in (["it's", "a"], ["it's", "an"], ["is", "a"], ["is", "an"])
            else set()
        )
        article = words[max(0, at - 1) : at] in (["a"], ["an"])
        of_yarn |= _IS & {*words[max(0, at - 1 - article) : at]} if word in _ALONE else set()
        told = f" {' '.join(words[max(0, at - 9) : at])} "
        of_yarn |= {"yarn"} if word in _ALONE and _TOLD_AS.search(told) else set()
        made_in = words[max(0, at - 2) : at - 1] in (
            ["we're"],
            ["it's"],
            ["is"],
            ["are"],
            ["knit"],
            ["knitted"],
            ["worked"],
        )
        of_yarn |= {"in"} if made_in and words[at - 1] == "in" else set()
        of_yarn |= {"for"} if " ".join(words[max(0, at - 2) : at]) in _MEANT_FOR else set()
        wrong = of_yarn and holds.yarns and not any(word in known for known in holds.yarns)
        could = {"could", "can"} & {*words[max(0, at - 4) : at]}
        if wrong and not could and not scope.of(at, at + 1):
            yield "disagrees", at, at + 1, f"{', '.join(sorted(holds.yarns))} weight", ""


def _off_gauge(quantities: Sequence[Quantity], holds: Holds) -> dict[int, int]:
    """Tell at which words more (1) or fewer (-1) stitches are counted than the gauge has, where it is spoken of."""
    gauge = next((one.count for one in holds.gauges if one.unit == "stitches" and not one.stage), 0.0)
    counts = [] if holds.parts.here else [one for one in quantities if one.unit == "stitches" or one.bare]
    near_it = [one for one in counts if one.value != gauge and 0.75 <= one.value / max(gauge, 1) <= 1.3]
    return {one.first: 1 if one.value > gauge else -1 for one in near_it}


def _swapped(
    words: Sequence[str], quantities: Sequence[Quantity], remarks: Sequence[Remark], holds: Holds, scope: Scopes
) -> Iterator[Found]:
    """Find the words swapped in a technique, for the other of a pair, and yarns and needles that are not the part's."""
    seen = set[int]()

    def taken(at: int) -> bool:
        """Whether a word is found already, or stands in what is taken back."""
        return at in seen or any(takes_back(one, at) or 0 <= one.first - at <= TAKEN_BACK for one in remarks)

    def _goes_on(at: int) -> bool:  # “if you like, the cuff in oatmeal and the hand in blue”
        before = next((n for n in range(at - 1, max(-1, at - 7), -1) if words[n] in holds.colours), at)
        return before < at and scope.of(before, before + 1) in ("supposed", "chosen")

    for swap in swaps_in(words, holds.techniques, scope.starts):
        if not (any(takes_back(one, swap.first) for one in remarks) or scope.of_others(swap.first)):
            seen.update(range(swap.first - ONE_SLIP, swap.end + ONE_SLIP))  # of one telling
            yield "swapped words", swap.first, swap.end, swap.right, ""
    for first, end, right in swapped_steps(words, holds.lines):
        if not (any(map(taken, range(first, end))) or scope.of(first, end)):
            seen.update(range(first - ONE_SLIP, end + ONE_SLIP))
            yield "swapped words", first, end, right, ""
    for told in (
        *colours_in(words, holds.parts, holds.other_sizes),
        *crossed_in(words, holds.parts),
        *cut_in(words, holds.parts),
        *needles_in(scope.text, scope.starts, holds.parts, _off_gauge(quantities, holds)),
    ):
        advice = told.right in ("thicker", "thinner")  # what is supposed is what it is for
        if not (taken(told.first) or (not advice and (scope.of(told.first, told.end) or _goes_on(told.first)))):
            seen.add(told.first)
            yield "swapped words" if told.swapped else "disagrees", told.first, told.end, told.right, ""
    counts = holds.pattern.get("stitches", ())
    parity = [*parity_in(words, counts)]
    for one in (*parity, *(() if parity else opposites_in(words, holds.bound, holds.techniques))):
        if not taken(one.first) and (parity or not scope.of(one.first, one.end)):
            kind: Kind = "disagrees" if one.right.endswith("s") else "swapped words"
            yield kind, one.first, one.end, one.right, ""


def _taken_back(
    words: Sequence[str],
    quantities: Sequence[Quantity],
    remarks: Sequence[Remark],
    holds: Holds,
    judged: Sequence[Found],
) -> Iterator[Found]:
    for remark in remarks:
        last = next((one for one in quantities if remark.end <= one.first < remark.end + 6), None)
        end = max(last.end if last else remark.end, remark.until, min(remark.end + 2, len(words)))
        held = _held(last, words, quantities, holds, judged) if last else ""
        yield "took it back", remark.back_to, end, f"{held}: what was said last holds" if held else "", ""


def _held(
    one: Quantity, words: Sequence[str], quantities: Sequence[Quantity], holds: Holds, judged: Sequence[Found]
) -> str:
    """Word the number of the pattern that a quantity is; nothing where none is, or something is wrong with it."""
    size = holds.size if one.size is None else one.size
    planned = [each for each in holds.pattern.get(one.unit, ()) if near(one, one.unit, each.at(size))]
    if not planned or one.ordinal or any(first < one.end and one.first < end for _, first, end, _, _ in judged):
        return ""
    return right_of(Said(one, words, holds, quantities), planned)[0]


def _twice(
    words: Sequence[str],
    starts: Sequence[float],
    quantities: Sequence[Quantity],
    remarks: Sequence[Remark],
    holds: Holds,
    judged: Sequence[Found],
) -> Iterator[Found]:
    """Find sentences said again at once, and numbers said again with their unit within a few words."""
    spans = [*said_twice(words, starts)]
    for before, again in spans:
        yield "said twice", before, min(before + 10, again), "", ""
    for one, other in pairwise(quantities):
        same = (one.unit, one.number.low, one.number.high) == (other.unit, other.number.low, other.number.high)
        if not same or not one.unit or one.value <= 3 or one.bare or other.bare or one.ordinal:
            continue
        between = words[one.end : other.first]
        if between and words[other.end : other.end + len(between)] == between:
            continue  # “four rounds and change, four rounds and change”
        again = bool(between) and between == words[one.first - len(between) : one.first]
        if one.unit not in COUNTED and not again:
            continue
        known = any(takes_back(remark, one.first) for remark in remarks) or any(
            a <= one.first < b + 10 for a, b in spans
        )
        soon = 2 - again <= other.first - one.end <= SOON_AGAIN and starts[other.first] - starts[one.first] <= SOON
        colours = [_beside(each, words) & holds.colours for each in (one, other)]
        apart = {"here", "there"} & {*between[:2]} and {"here", "there"} & {*words[other.end : other.end + 2]}
        if soon and not known and not apart and colours[0] == colours[1] and "of" not in words[one.end : one.end + 1]:
            yield "said twice", one.first, other.end, _held(one, words, quantities, holds, judged), ""


def _beside(one: Quantity, words: Sequence[str]) -> set[str]:
    after = words[one.end : one.end + 2 + (words[one.end : one.end + 2] == ["of", "the"])]
    return {*words[max(0, one.first - 2) : one.first], *after}


def _never(words: Sequence[str], quantities: Sequence[Quantity], holds: Holds) -> Iterator[Found]:
    """Find the numbers that were to be said and were not, in any wording."""
    told = set[tuple[str, float]]()
    for one in holds.must_say:
        value = one.at(holds.size if len(one.values) > 1 else 0)
        if (one.unit, value) in told or _heard(one, value, quantities):
            continue
        told.add((one.unit, value))
        yield "never said", len(words), len(words), f"{round(value, 1):g} {one.unit} ({one.what})", one.fact


def _heard(one: Planned, value: float, quantities: Sequence[Quantity]) -> bool:
    return any(
        comparable(one.unit, each.unit or one.unit) and near(as_unit(each, each.unit or one.unit), one.unit, value)
        for each in quantities
        if not each.ordinal or each.unit == one.unit
    )
