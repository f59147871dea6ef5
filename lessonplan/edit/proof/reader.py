"""All that was said in a segment, proofed: quantities, sequences, corrections, and what was never said."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.expected.parts import colours_in, needles_in
from lessonplan.edit.proof.figures.chains import judge_chains
from lessonplan.edit.proof.figures.idle import is_passing
from lessonplan.edit.proof.figures.judge import judge
from lessonplan.edit.proof.figures.listed import judge_lists
from lessonplan.edit.proof.findings import Finding, Kind, Planned, Verdict
from lessonplan.edit.proof.opposites import opposites_in
from lessonplan.edit.proof.sequences import swaps_in
from lessonplan.edit.proof.steps import swapped_steps
from lessonplan.edit.speech.numbers import Token, words_in
from lessonplan.edit.speech.quantities import Quantity, comparable, near, quantities_in
from lessonplan.edit.speech.scope import Scopes
from lessonplan.edit.speech.sums import comes_of_others, conversions_in, converts, is_shared_out, sums_in
from lessonplan.edit.speech.takenback import Remark, remarks_in, said_twice
from lessonplan.edit.speech.units import INCH, normal

WEIGHTS = frozenset(words_in("lace fingering sport dk worsted aran chunky bulky roving jumbo"))
"""The names of yarn weights (Craft Yarn Council and common practice)."""
COUNTED = ("stitches", "rounds", "rows")
SOON_AGAIN, SOON = 8, 15.0
"""A number is said twice where at most so many words, and seconds, lie between."""
ENOUGH = 18
"""A segment of which fewer words are heard is not asked for what was never said in it."""
AROUND = 4
"""So many words before and after it are the context by which a finding is known again."""
AGAIN_SOON = 12
"""A slip said again within so many words is one slip."""
BESIDE = 8
"""So many quantities before and after one are looked at with it."""
TAKEN_BACK, ONE_SLIP = 6, 12
"""So many words before a correction a word of a pair is taken back; so many around one swapped, others are its slip."""
TOLD_WITHIN = 40
"""So many words off, the pattern's own number beside that of a sample says what viewers do."""


def proofed(
    said: Sequence[Token], holds: Holds, whole: bool = True, nearby: Sequence[Token] = ()
) -> tuple[Finding, ...]:
    """Proof what was said in a segment; with ``whole``, what should have been said and was not is found too.

    ``nearby`` is what was said just before and after, where a number may stand that is not missing then.
    """
    tokens = normal(said)
    words = [token.text for token in tokens]
    quantities = quantities_in(tokens, holds.sizes)
    heard = quantities_in(normal(nearby), holds.sizes) if whole and nearby else ()
    scope = Scopes(words, holds.own)
    scopes = {one.first: scope.of(one.first, one.end, one.size is not None) for one in quantities}
    said_here = [one for one in quantities if not scopes[one.first]]
    remarks = [
        one
        for one in remarks_in(words, said_here)
        if not scope.of_others(one.first - (words[one.first - 1 : one.first] == ["but"]))
    ]
    judged = list(_judged(words, quantities, remarks, holds, scopes))
    missed = _never(words, (*quantities, *heard), holds) if whole and len(words) >= ENOUGH else ()
    told = {one[4] for one in judged if one[4]}
    swapped = list(_swapped(words, remarks, holds, scope))
    numbers = [*judged, *_out_of_step(words, said_here, holds, judged)]
    found = [
        *(one for one in numbers if not any(other[1] <= one[1] < other[2] for other in swapped)),
        *swapped,
        *_weights(words, holds, scope),
        *_taken_back(words, quantities, remarks),
        *_twice(words, [token.start for token in tokens], said_here, remarks, holds),
        *(one for one in missed if one[4] not in told),  # said otherwise is not missed as well
    ]
    return tuple(_finding(one, tokens, words, holds.segment) for one in sorted(found, key=lambda one: one[1]))


_Found = tuple[Kind, int, int, str, str]
"""Kind, first token, end, what is right, its fact."""


def _finding(one: _Found, tokens: Sequence[Token], words: Sequence[str], segment: str) -> Finding:
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


def _judged(
    words: Sequence[str],
    quantities: Sequence[Quantity],
    remarks: Sequence[Remark],
    holds: Holds,
    scopes: Mapping[int, str],
) -> Iterator[_Found]:
    wrong = dict[int, Verdict]()
    last: _Found | None = None
    told = set[int]()  # where the pattern's own number stands beside that of a sample
    sums = list(sums_in(words, quantities))
    twice = {second: first for first, second in conversions_in(words, quantities)}
    ours = [one for one in quantities if scopes[one.first] != "apart"]
    listed = {**judge_lists(ours, words, holds), **judge_chains(ours, words, holds)}
    right_products = {
        place
        for one in sums
        if one.times and abs(quantities[one.result].value - one.comes_to) < 0.05
        for place in (one.first, one.second)
    }
    results, firsts = {one.result for one in sums}, {one.first for one in sums if not one.times}
    for done in sums:
        said = quantities[done.result]
        right = scopes[said.first] or abs(said.value - done.comes_to) < 0.05
        if not right and not any(_taken(remark, said.first) for remark in remarks):
            yield "disagrees", said.first, said.end, f"{done.comes_to:g} (what the sum comes to)", ""
    for place, quantity in enumerate(quantities):
        if place in results or place in right_products or quantity.first in told:
            continue
        of_sum = place in firsts and not quantity.unit
        one = replace(quantity, unit="stitches") if of_sum else quantity
        scope = scopes[one.first]
        if scope == "apart" or any(_taken(remark, one.first) for remark in remarks):
            continue
        if place in twice:
            first = quantities[twice[place]]
            same = wrong.get(first.first)  # a slip told in both units is wrong in both
            verdict = same if converts(first, one) else Verdict("disagrees", _converted(first))
        elif one.first in listed:
            verdict = listed[one.first]
        else:
            verdict = judge(one, words, holds, quantities[max(0, place - BESIDE) : place + BESIDE])
        if (
            verdict
            and verdict.kind == "wrong unit"
            and any(quantities[each].first == one.first for each in twice.values())
        ):
            verdict = replace(verdict, kind="disagrees")  # who tells it in both units means it
        if verdict and verdict.kind != "said of the sample only" and is_passing(one, words):
            continue
        if (
            verdict
            and place not in twice
            and one.first not in listed
            and (
                comes_of_others(one, words, quantities[max(0, place - BESIDE) : place])
                or is_shared_out(quantities[max(0, place - 4) : place + 4], min(place, 4))
            )
        ):
            continue
        if verdict is None or (scope and one.unit != "us" and verdict.kind != "unplanned number"):
            continue  # what is supposed cannot disagree
        other = _contrast(one, words, quantities, holds)
        sample = verdict.kind == "said of the sample only"
        if other or (sample and (_told_too(one, quantities, holds) or _admitted(one, words))):
            told |= {other.first} if other else set()
            continue
        again = last is not None and one.ordinal and (verdict.kind, verdict.right) == (last[0], last[3])
        if _said_again(one, verdict, words, last):
            continue
        if not (again and last and one.first - last[2] <= 5):  # “round twenty three and round twenty four”
            last = (verdict.kind, one.first, one.end, verdict.right, verdict.fact)
            wrong[one.first] = verdict
            yield last


def _said_again(one: Quantity, verdict: Verdict, words: Sequence[str], last: _Found | None) -> bool:
    """Whether a slip is the one before it, said again in the same breath: “knit two, slip one, knit two”."""
    step = one.unit in ("knit", "purl", "slip", "together") or verdict.kind == "wrong unit"
    step = step or (last is not None and words[one.end : one.end + 2] == words[last[2] : last[2] + 2] != [])
    if (
        last is None
        or not step
        or (verdict.kind, verdict.right) != (last[0], last[3])
        or one.first - last[2] > AGAIN_SOON
    ):
        return False
    return words[one.first : one.end] == words[last[1] : last[2]]


def _converted(one: Quantity) -> str:
    value = one.value * INCH if one.unit == "inches" else one.value / INCH
    return f"{value:.3g} {'cm' if one.unit == 'inches' else 'inches'}"


def _out_of_step(
    words: Sequence[str], quantities: Sequence[Quantity], holds: Holds, judged: Sequence[_Found]
) -> Iterator[_Found]:
    """Find what does not follow its step in the printed lines, though each is right alone: “slip one, knit two”."""
    told = {one[1] for one in judged}
    for one, other in pairwise(quantities):
        step, second = (one.unit, one.value), (other.unit, other.value)
        follows = [pair[1] for pair in holds.rhythms if pair[0] == step and pair[1][0] == other.unit]
        beside = words[one.end : other.first] in ([], ["and"], ["then"])
        if beside and follows and second not in follows and not told & {one.first, other.first}:
            right = " or ".join(f"{unit} {count:g}" for unit, count in sorted(follows))
            yield "disagrees", other.first, other.end, f"{right} (after {one.unit} {one.value:g})", ""


_MEANT_FOR = ("written for", "made for", "meant for", "designed for", "calls for")


def _weights(words: Sequence[str], holds: Holds, scope: Scopes) -> Iterator[_Found]:
    """Find the yarn weights that are said and not the pattern's."""
    for at, word in ((at, word) for at, word in enumerate(words) if word in WEIGHTS):
        of_yarn = {"yarn", "wool", "weight"} & {
            *words[at + 1 : at + 3],
            *words[max(0, at - 2 - ("a" in words[max(0, at - 1) : at]) * 2) : at],
        }
        of_yarn |= {"skein", "skeins", "ball", "balls", "hank"} & {*words[max(0, at - 2) : at]}
        of_yarn |= (
            {"wool", "yarn"} & {*words[max(0, at - 7) : at]}
            if words[max(0, at - 1) : at] in (["in"], ["is"], ["a"], ["it's"], ["an"], ["of"])
            else set()
        )
        of_yarn |= {"for"} if " ".join(words[max(0, at - 2) : at]) in _MEANT_FOR else set()
        wrong = of_yarn and holds.yarns and not any(word in known for known in holds.yarns)
        could = {"could", "can"} & {*words[max(0, at - 4) : at]}
        if wrong and not could and not scope.of(at, at + 1):
            yield "disagrees", at, at + 1, f"{', '.join(sorted(holds.yarns))} weight", ""


def _taken(remark: Remark, at: int) -> bool:
    """Whether a word was taken back by a remark."""
    return remark.back_to <= at < remark.end


_HERE = re.compile(r"\b(?:this|here|mine|sample|short|little|tight|i (?:only|just|cheated))\b")
_YOURS = re.compile(r"\b(?:yours?|you|you'll|real|whole|good|instead|pattern)\b")


_ADMITTED = re.compile(
    r"\b(?:yours (?:will|has|have|should|needs?|is|wants)|in real life|the real (?:one|thing)|not the whole|don't (?:go by|copy|do as))\b"
)


def _admitted(one: Quantity, words: Sequence[str]) -> bool:
    """Whether it is told that the piece on the table is a short one, so that nobody takes its number for the pattern's."""
    return _ADMITTED.search(" ".join(words[max(0, one.first - 16) : one.end + 12])) is not None


def _contrast(one: Quantity, words: Sequence[str], quantities: Sequence[Quantity], holds: Holds) -> Quantity | None:
    """Give the pattern's number beside that of the piece here: “this one has six, yours twenty two”."""
    if not _HERE.search(" ".join(words[max(0, one.first - 9) : one.first])):
        return None
    real = (*holds.pattern.get(one.unit, ()), *_whole_of(one.unit, holds))
    for other in quantities:
        if one.end <= other.first <= one.end + 16 and (other.bare or other.unit == one.unit):
            right = any(near(_as(other, one.unit), each.unit, each.at(holds.size)) for each in real)
            if right and _YOURS.search(" ".join(words[one.end : other.first])):
                return other
    return None


def _told_too(one: Quantity, quantities: Sequence[Quantity], holds: Holds) -> bool:
    """Whether the pattern's own number stands near that of a sample."""
    real = _whole_of(one.unit, holds)
    for other in quantities:
        close = abs(other.first - one.first) <= TOLD_WITHIN and other.value != one.value
        close = close and (other.unit == one.unit or other.value > 5)  # “knit three” is no count of stitches
        if (
            close
            and (other.bare or other.unit in (one.unit, "knit"))
            and any(near(_as(other, one.unit), one.unit, each.at(holds.size)) for each in real)
        ):
            return True
    return False


def _whole_of(unit: str, holds: Holds) -> list[Planned]:
    """Give what whole stages have of a unit, here or elsewhere."""
    every = (*holds.pattern.get(unit, ()), *holds.elsewhere)
    return [each for each in every if each.unit == unit and each.cue in ("total", "end", "cast on", "start")]


def _as(one: Quantity, unit: str) -> Quantity:
    return Quantity(unit, one.number, one.first, one.end)


def _swapped(words: Sequence[str], remarks: Sequence[Remark], holds: Holds, scope: Scopes) -> Iterator[_Found]:
    """Find the words swapped in a technique, for the other of a pair, and yarns and needles that are not the part's."""
    seen = set[int]()

    def taken(at: int) -> bool:
        return at in seen or any(_taken(one, at) or 0 <= one.first - at <= TAKEN_BACK for one in remarks)

    for swap in swaps_in(words, holds.techniques):
        if not (any(_taken(one, swap.first) for one in remarks) or scope.of_others(swap.first)):
            seen.update(range(swap.first - ONE_SLIP, swap.end + ONE_SLIP))  # of one telling
            yield "swapped words", swap.first, swap.end, swap.right, ""
    for first, end, right in swapped_steps(words, holds.lines):
        if not (any(map(taken, range(first, end))) or scope.of(first, end)):
            seen.update(range(first - ONE_SLIP, end + ONE_SLIP))
            yield "swapped words", first, end, right, ""
    for told in (*colours_in(words, holds.parts), *needles_in(scope.text, scope.starts, holds.parts)):
        advice = told.right in ("thicker", "thinner")  # what is supposed is what it is for
        if not (taken(told.first) or (not advice and scope.of(told.first, told.end))):
            seen.add(told.first)
            yield "swapped words" if told.swapped else "disagrees", told.first, told.end, told.right, ""
    for one in opposites_in(words, holds.bound):
        if not (taken(one.first) or scope.of(one.first, one.end)):
            kind: Kind = "disagrees" if one.right.endswith("s") else "swapped words"
            yield kind, one.first, one.end, one.right, ""


def _taken_back(words: Sequence[str], quantities: Sequence[Quantity], remarks: Sequence[Remark]) -> Iterator[_Found]:
    for remark in remarks:
        after = next((one.end for one in quantities if remark.end <= one.first < remark.end + 6), remark.end)
        yield "took it back", remark.back_to, max(after, remark.until, min(remark.end + 2, len(words))), "", ""


def _twice(
    words: Sequence[str],
    starts: Sequence[float],
    quantities: Sequence[Quantity],
    remarks: Sequence[Remark],
    holds: Holds,
) -> Iterator[_Found]:
    """Find sentences said again at once, and numbers said again with their unit within a few words."""
    spans = [*said_twice(words, starts)]
    for before, again in spans:
        yield "said twice", before, min(before + 10, again), "", ""
    for one, other in pairwise(quantities):
        same = (one.unit, one.number.low, one.number.high) == (other.unit, other.number.low, other.number.high)
        if not same or not one.unit or one.value <= 3 or one.bare or other.bare or one.ordinal:
            continue
        between = words[one.end : other.first]
        again = bool(between) and between == words[one.first - len(between) : one.first]
        if "again" in between:
            continue
        if one.unit not in COUNTED and not again:
            continue
        known = any(_taken(remark, one.first) for remark in remarks) or any(a <= one.first < b + 10 for a, b in spans)
        soon = 2 - again <= other.first - one.end <= SOON_AGAIN and starts[other.first] - starts[one.first] <= SOON
        colours = [{*words[max(0, each.first - 2) : each.first], *words[each.end : each.end + 2]} & holds.colours for each in (one, other)]
        if soon and not known and colours[0] == colours[1] and "of" not in words[one.end : one.end + 1]:
            yield "said twice", one.first, other.end, "", ""


def _never(words: Sequence[str], quantities: Sequence[Quantity], holds: Holds) -> Iterator[_Found]:
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
        comparable(one.unit, each.unit or one.unit) and near(_as(each, each.unit or one.unit), one.unit, value)
        for each in quantities
        if not each.ordinal or each.unit == one.unit
    )
