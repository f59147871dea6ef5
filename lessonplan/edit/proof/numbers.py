"""The numbers that were said, one after the other: sums, lengths told twice, lists, and what is wrong with each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import pairwise

from lessonplan.edit.proof.admitted import FOR_SHOW, HERE, ONLY_HERE, admitted, contrast, told_too
from lessonplan.edit.proof.counts.prose import of_parts
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.figures.actions import foreign
from lessonplan.edit.proof.figures.fitting import WHOLE
from lessonplan.edit.proof.figures.idle import is_passing
from lessonplan.edit.proof.figures.judge import judge
from lessonplan.edit.proof.figures.placed import is_first_aid
from lessonplan.edit.proof.findings import Kind, Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.proof.series.listed import judge_lists
from lessonplan.edit.proof.series.shrinking import judge_shrinking
from lessonplan.edit.proof.series.striped import of_stripes
from lessonplan.edit.proof.series.sums import (
    Sum,
    adds_up,
    comes_of_others,
    conversions_in,
    converts,
    follows,
    is_shared_out,
    shares_in,
    sums_in,
)
from lessonplan.edit.proof.steps import STEPS, stands
from lessonplan.edit.speech.quantities import Quantity, near
from lessonplan.edit.speech.rounds import round_before
from lessonplan.edit.speech.sizes import size_names, sizes_said
from lessonplan.edit.speech.takenback import Remark
from lessonplan.edit.speech.units import INCH, LENGTHS

AGAIN_SOON = 12
"""A slip said again within so many words is one slip."""
BESIDE = 8
"""So many quantities before and after one are looked at with it."""
NAMED = 14
"""So many words off, a size that is named may be that of a number."""
_REASONED = ("", "stitches", "rounds", "rows", "repeats", "stripes", "things")
_HELD = (*WHOLE, "total", "work", "held", "picked up", "shaping last")
"""What may follow from other numbers, and the cues of those it follows from."""
_OF_ROUND = re.compile(r"\.round_(\d+)\.stitches$")
Found = tuple[Kind, int, int, str, str]
"""Kind, first token, end, what is right, its fact."""


class Numbers:
    """The quantities of a segment, judged in their order; ``scopes`` tell by their first tokens whose each is.

    ``wrong`` holds what was found wrong, by first tokens.
    """

    def __init__(
        self,
        words: Sequence[str],
        quantities: Sequence[Quantity],
        remarks: Sequence[Remark],
        holds: Holds,
        scopes: Mapping[int, str],
    ) -> None:
        self.words, self.remarks, self.holds, self.scopes = words, remarks, holds, scopes
        self.quantities = quantities = of_parts(of_stripes(quantities, words, holds), words, holds)
        self.sums: tuple[Sum, ...] = tuple(sums_in(words, quantities))
        self.twice = {second: first for first, second in conversions_in(words, quantities)}
        ours = [one for one in quantities if scopes[one.first] != "apart"]
        self.listed = {**judge_lists(ours, words, holds), **judge_shrinking(ours, words, holds)}
        self.wrong: dict[int, Verdict] = {}

    def found(self) -> Iterator[Found]:
        """Find the numbers that are wrong."""
        for done in self.sums:
            said = self.quantities[done.result]
            right = self.scopes[said.first] or abs(said.value - done.comes_to) < 0.05
            if not (right or self._is_taken(said)):
                yield "disagrees", said.first, said.end, f"{done.comes_to:g} (what the sum comes to)", ""
        yield from self._shared_out()
        settled, firsts = self._of_sums()
        last: Found | None = None
        told = set[int]()  # where the pattern's own number stands beside that of a sample
        for place, quantity in enumerate(self.quantities):
            of_sum = place in firsts and not quantity.unit
            one = replace(quantity, unit="stitches") if of_sum else quantity
            scope = self.scopes[one.first]
            if place in settled or one.first in told or self._is_taken(one):
                continue
            if scope == "apart" and not self._is_my_way(one):
                continue
            verdict = self._verdict(place, one)
            if verdict is None:
                continue
            if scope == "supposed" and one.unit in ("rounds", "rows", *LENGTHS) and _LONGER.search(self._about(one)):
                continue  # which is for viewers to choose
            firm = one.unit == "us" or verdict.kind == "unplanned number" or verdict.right.endswith("size fits)")
            of_choice = scope == "chosen" and verdict.fact.partition(".")[0] in self.holds.options
            if scope and not (firm or of_choice or is_first_aid(one, self.words)):
                continue  # what is supposed cannot disagree
            other = contrast(one, self.words, self.quantities, self.holds)
            if (
                other
                or (verdict.kind == "said of the sample only" and self._is_explained(one, verdict))
                or self._is_for_show(one, verdict.kind)
            ):
                told |= {other.first} if other else set()
                continue
            again = last is not None and one.ordinal and (verdict.kind, verdict.right) == (last[0], last[3])
            if _said_again(one, verdict, self.words, last):
                continue
            if not (again and last and one.first - last[2] <= 5):  # “round twenty three and round twenty four”
                last = (verdict.kind, one.first, one.end, verdict.right, verdict.fact)
                last = self._round_misnamed(one, verdict) or last
                self.wrong[one.first] = verdict
                yield last

    def _round_misnamed(self, one: Quantity, verdict: Verdict) -> Found | None:
        """A count that the script has of another round than the one named: either may be wrong, so both are told."""
        place = round_before(one, self.words, self.quantities)
        if verdict.kind != "disagrees" or one.unit != "stitches" or not place.startswith("round "):
            return None
        counts = (each for each in self.holds.pattern.get("stitches", ()) if each.cue == "text")
        facts = (_OF_ROUND.search(each.fact) for each in counts if each.at(self.holds.size) == one.value)
        planned = {fact[1] for fact in facts if fact}
        named = [each for each in self.quantities if each.unit in ("rounds", "rows") and each.end <= one.first]
        if len(planned) != 1 or not named:
            return None
        round_, unit = named[-1], named[-1].unit
        right = f"{unit.removesuffix('s')} {min(planned)}" if round_.ordinal else f"{min(planned)} {unit}"
        count, sign, place = verdict.right.partition(" (")
        return "disagrees", one.first, one.end, f"{count}, or {right} for {one.value:g}{sign}{place}", ""

    def _about(self, one: Quantity) -> str:
        words = self.words
        return " ".join((*words[max(0, one.first - 14) : one.first], "#", *words[one.number.end : one.end + 2]))

    def _is_my_way(self, one: Quantity) -> bool:
        """Whether what the course does not have is one's own way: “I like to knit three rows of garter”."""
        before = " ".join(self.words[max(0, one.first - 10) : one.first])
        mine = _MY_WAY.search(before) is not None
        return mine and foreign(Said(one, self.words, self.holds, self.quantities)) is not None

    def _shared_out(self) -> Iterator[Found]:
        """Find stitches shared out over needles that come to other than there are."""
        counts = [each for each in self.holds.pattern.get("stitches", ()) if each.cue in WHOLE]
        for first, end, whole in shares_in(self.words, self.quantities):
            one, other = self.quantities[first], self.quantities[end]
            close = [each for each in counts if 0.85 <= whole / max(each.at(self.holds.size), 1) <= 1.15]
            if close and not (self.scopes[one.first] or any(whole in each.values for each in counts)):
                yield "disagrees", one.first, other.end, f"{close[0].at(self.holds.size):g} stitches in all", ""

    def _of_sums(self) -> tuple[set[int], set[int]]:
        """Give the places that a sum settles, and those of the first numbers of sums that are no products."""
        settled = {one.result for one in self.sums}
        for one in self.sums:
            result = self.quantities[one.result]
            if one.times and (abs(result.value - one.comes_to) < 0.05 or result.unit == "times"):
                settled |= {one.second} if self.quantities[one.first].unit == "ends" else {one.first, one.second}
            if one.parts > 2:
                settled |= {*range(one.first, one.first + one.parts)}
        for first, end, _ in shares_in(self.words, self.quantities):
            settled |= {*range(first, end + 1)}
        return settled, {one.first for one in self.sums if not one.times}

    def _verdict(self, place: int, one: Quantity) -> Verdict | None:
        """Judge a quantity as what it is: told in another unit, of a list or a chain, or by itself."""
        others = self.quantities[max(0, place - BESIDE) : place + BESIDE]
        if place in self.twice:
            first = self.quantities[self.twice[place]]
            same = self.wrong.get(first.first)  # a slip told in both units is wrong in both
            verdict = same if converts(first, one) else Verdict("disagrees", _converted(first))
        elif one.first in self.listed:
            verdict = self.listed[one.first]
        else:
            verdict = judge(one, self.words, self.holds, others)
            if verdict and (
                (verdict.kind != "wrong unit" and self._is_result(place, one)) or self._is_of_another_size(place, one)
            ):
                return None
            if verdict and verdict.kind == "disagrees" and self._is_of_one_named(one, others):
                return None
        if verdict and verdict.kind == "wrong unit" and place in self.twice.values():
            verdict = replace(verdict, kind="disagrees")  # who tells it in both units means it
        if verdict and is_passing(one, self.words, verdict.kind == "said of the sample only"):
            return None
        return verdict

    def _is_result(self, place: int, one: Quantity) -> bool:
        """Whether a number comes of those around it."""
        near_by = self.quantities[max(0, place - 4) : place + 4]
        before = self.quantities[max(0, place - BESIDE) : place]
        if comes_of_others(one, self.words, before) or is_shared_out(near_by, min(place, 4)):
            return True
        if one.unit in _REASONED and not one.ordinal:
            right = [each for each in near_by if each.first not in self.wrong]
            if follows(one, self.words, right, self._facts):
                return True
        whole = adds_up(self.quantities[max(0, place - 4) : place + 6], min(place, 4)) if one.value >= 4 else 0.0
        counts = (each for each in self.holds.pattern.get("stitches", ()) if each.cue in WHOLE)
        return whole > 0 and any(each.at(self.holds.size) == whole for each in counts)

    @cached_property
    def _facts(self) -> dict[str, frozenset[float]]:
        """The counts that hold in the size filmed, by their units."""
        return {
            unit: frozenset(
                each.at(self.holds.size) for each in every if each.cue in _HELD or each.cue.startswith("round ")
            )
            for unit, every in self.holds.pattern.items()
        }

    def _is_of_one_named(self, one: Quantity, others: Sequence[Quantity]) -> bool:
        """Whether a number is right in the one other size that is named near it."""
        if one.size is not None or one.ordinal or one.number.ordinal:
            return False
        names = size_names(self.holds.sizes)
        near = self.words[max(0, one.first - NAMED) : one.end + NAMED]
        sizes = {names[near[at]] for at in sizes_said(near, names)}
        if len(sizes) != 1 or sizes == {self.holds.size}:
            return False
        return judge(replace(one, size=next(iter(sizes))), self.words, self.holds, others) is None

    def _is_of_another_size(self, place: int, one: Quantity) -> bool:
        """Whether rounds and a length told of each other are those of one other size."""
        counts = ("rounds", "rows")
        for at in (place - 1, place + 1) if one.size is None and not one.ordinal else ():
            other = self.quantities[at] if 0 <= at < len(self.quantities) else one
            gap = max(other.first - one.end, one.first - other.end)
            count, length = (one, other) if one.unit in counts else (other, one)
            told = gap <= 4 and count.unit in counts and length.unit in LENGTHS and other.size is None
            if told and any(self._are_of(size, count, length) for size in range(len(self.holds.sizes))):
                return True
        return False

    def _are_of(self, size: int, count: Quantity, length: Quantity) -> bool:
        """Whether so many rounds, and so long, is a part in a size that is not the one filmed."""
        planned = [
            each
            for unit in (count.unit, "cm")
            for each in self.holds.pattern.get(unit, ())
            if each.cue in ("total", "length") and len(each.values) > size
        ]
        return size != self.holds.size and any(
            a.unit == count.unit and a.at(size) == count.value and b.unit == "cm" and near(length, "cm", b.at(size))
            for a in planned
            for b in planned
            if a.stage == b.stage and a.at(size) != a.at(self.holds.size)
        )

    def _is_explained(self, one: Quantity, verdict: Verdict) -> bool:
        of = verdict.right.rpartition(": ")[2].lower()
        stage = next((key for key, title in self.holds.titles.items() if of.startswith(title)), "")
        return told_too(one, self.quantities, self.holds, stage) or admitted(one, self.words)

    def _is_for_show(self, one: Quantity, kind: Kind) -> bool:
        """Whether rounds are told as few for the camera's sake: “this one's got six, only so that you can see”."""
        here = HERE.search(" ".join(self.words[max(0, one.first - 9) : one.first]))
        counted = one.unit in ("rounds", "rows") and one.value < self.holds.rounds
        if kind not in ("disagrees", "said of the sample only"):
            return False
        if counted and ONLY_HERE.search(" ".join(self.words[max(0, one.first - 12) : one.first])):
            return True
        return bool(counted and here and FOR_SHOW.search(" ".join(self.words[one.end : one.end + 16])))

    def _is_taken(self, one: Quantity) -> bool:
        return any(takes_back(remark, one.first) for remark in self.remarks)


def takes_back(remark: Remark, at: int) -> bool:
    """Whether a word was taken back by a remark."""
    return remark.back_to <= at < remark.end


def _said_again(one: Quantity, verdict: Verdict, words: Sequence[str], last: Found | None) -> bool:
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


def out_of_step(
    words: Sequence[str], quantities: Sequence[Quantity], holds: Holds, judged: Sequence[Found]
) -> Iterator[Found]:
    """Find what does not follow its step in the printed lines, though each is right alone: “slip one, knit two”."""
    told, wrong = {one[1] for one in judged}, set[tuple[tuple[str, float], tuple[str, float]]]()
    for one, other in pairwise(quantities):
        step, second = (one.unit, one.value), (other.unit, other.value)
        follows = [pair[1] for pair in holds.rhythms if pair[0] == step and pair[1][0] == other.unit]
        beside = other.first - one.end <= 5 and _STEP_ON.issuperset(words[one.end : other.first])
        again = (step, second) in wrong
        if beside and follows and second not in follows and not again and not told & {one.first, other.first}:
            wrong |= {(step, second)}
            right = " or ".join(f"{unit} {count:g}" for unit, count in sorted(follows))
            yield "disagrees", other.first, other.end, f"{right} (after {one.unit} {one.value:g})", ""
            told |= {one.first, other.first}
    repeats = [line for line in holds.lines if line.again]
    for three in zip(quantities, quantities[1:], quantities[2:], strict=False) if len(repeats) > 1 else ():
        steps = [(STEPS.get(one.unit, ""), int(one.value)) for one in three]
        beside = all(words[a.end : b.first] in ([], ["and"], ["then"]) for a, b in pairwise(three))
        one_telling = beside and not any(one.bare for one in three) and not told & {one.first for one in three}
        mixed = all(kind for kind, _ in steps) and len({kind for kind, _ in steps}) > 1
        if one_telling and mixed and not any(stands(steps, line) for line in repeats):
            told |= {one.first for one in three}
            yield "disagrees", three[0].first, three[2].end, "no line has these steps", ""


_STEP_ON = frozenset(["and", "then", "with", "the", "yarn", "wool", "held", "behind", "at", "in", "back"])
"""What stands between a step and the next one: “slip one with the yarn behind and”."""
_LONGER = re.compile(
    r"\bif you(?:'d)? (?:like|want|prefer|fancy|need)\b.* # (?:[\w']+ )?(?:more|extra|longer)\b"
    r"|\bif you(?:'d)? (?:like|want|prefer|fancy|need)\b.* (?:add|another|extra) #"
)
"""“If you like a long cuff then add twelve rounds more.”"""
_MY_WAY = re.compile(
    r"\bi(?:'d)? (?:like|prefer|tend|love|want) (?:you |us )?to (?!have|see|think)(?:[\w']+ ){0,5}\w+$"
    r"|\b(?:you|we) (?:sew|add|attach|crochet|stitch|glue) (?:[\w']+ ){0,6}[\w']+$"
)
