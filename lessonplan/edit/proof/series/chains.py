"""Counts told as they shrink or grow, “forty four, forty, then thirty six”: each must be the next of a shaping."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby, pairwise

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import Quantity

_BETWEEN = frozenset(
    words_in(
        "then and so to now next down up it's that's is goes again after that stitches until round the a plain than "
        "from we get have you i've got there's are there makes leaves turns into becomes on back by"
    )
)
"""Words that may stand between two counts of a chain."""
_FAR = 4


def judge_chains(quantities: Sequence[Quantity], words: Sequence[str], holds: Holds) -> Mapping[int, Verdict | None]:
    """Judge counts said one after the other: by its first token, what is wrong with each, or None."""
    found: dict[int, Verdict | None] = {}
    chains = [*_chains(quantities, words)]
    every = _countings(holds) if chains else []
    for chain in chains:
        values = [one.value for one in chain]
        best = max((_fitting(values, counts) for counts in every), key=lambda one: one[0], default=(0, 0, 0.0))
        right, odd, instead = best
        if right == len(values):
            found |= {one.first: None for one in chain}
        elif right == len(values) - 1 and right > 1:
            found |= {one.first: None for one in chain}
            found[chain[odd].first] = Verdict("disagrees", f"{instead:g} stitches (the next of its shaping)")
        elif right == 1 and all("then" in words[a.end : b.first] for a, b in pairwise(chain)):
            found |= {one.first: None for one in chain[2:]}
            found |= _next(chain[0], chain[1], holds)
    return {**found, **_from_to(quantities, words, holds)}


def _from_to(quantities: Sequence[Quantity], words: Sequence[str], holds: Holds) -> Mapping[int, Verdict | None]:
    """Judge “from twenty three down to eleven”: where a shaping begins in one size, it ends in that size."""
    planned = holds.pattern.get("stitches", ())
    starts = [each for each in planned if each.cue == "start"]
    found: dict[int, Verdict | None] = {}
    for one, other in pairwise(quantities):
        between = words[one.end : other.first]
        if between[-1:] == ["to"] and _AT_ONCE.search(" ".join((*between, "#", *words[other.end : other.end + 6]))):
            found |= _next(one, other, holds)
        told = one.first > 0 and words[one.first - 1] == "from" and between[-1:] == ["to"] and len(between) <= 4
        if not told or not {one.unit, other.unit} <= {"", "stitches"} or other.size not in (None, one.size):
            continue
        for start in starts:
            end = next((each for each in planned if each.cue == "end" and each.stage == start.stage), None)
            own = [size for size, value in enumerate(start.values) if value == one.value]
            sizes = [size for size in own if one.size in (None, size)]
            if end and sizes and other.value in end.values and other.value not in {end.at(size) for size in sizes}:
                found[other.first] = Verdict("disagrees", f"{end.at(sizes[0]):g} stitches ({end.what})", end.fact)
    return found


_AT_ONCE = re.compile(
    r"\b(?:drops?|goes|go|down|up|shrinks?|grows?|jumps?|falls?|turns?|takes you|brings you) (?:[\w']+ )?to #"
    r".*\b(?:next|one|single|same) (?:[\w']+ )?(?:round|row|go)\b"
    r"|\b(?:next|one|single|same) (?:[\w']+ )?(?:round|row|go)\b.*\bto #"
)
"""“From twenty eight it drops to twenty four in one round.”"""


def _next(one: Quantity, other: Quantity, holds: Holds) -> Mapping[int, Verdict | None]:
    """Judge a count by the one before it, from which one round of shaping leads to it."""
    if not {one.unit, other.unit} <= {"", "stitches"} or min(one.value, other.value) < 4:
        return {}
    steps = [pair for counts in _countings(holds) for pair in pairwise(counts)]
    right = [after for before, after in steps if before == one.value and (after > before) == (other.value > one.value)]
    if not right:
        return {}
    wrong = Verdict("disagrees", f"{right[0]:g} stitches (the next of its shaping)")
    return {one.first: None, other.first: None if other.value in right else wrong}


def _chains(quantities: Sequence[Quantity], words: Sequence[str]) -> Iterator[list[Quantity]]:
    """Give three counts and more that go one way, one after the other."""
    chain = list[Quantity]()
    changes = ("fewer", "more", "less", "gone")
    for one in (*(each for each in quantities if not {*words[each.end : each.end + 1]} & {*changes}), None):
        joins = False
        if one and one.unit in ("", "stitches") and not (one.ordinal or one.number.ordinal or one.number.part < 1):
            between = words[chain[-1].end : one.first] if chain else ()
            joins = bool(chain) and len(between) <= _FAR and _BETWEEN.issuperset(between)
            way = chain[1].value > chain[0].value if len(chain) > 1 else None
            same = one.value == chain[-1].value if chain else False
            if joins and (len(chain) > 2 if same else way in (None, one.value > chain[-1].value)):
                chain.append(one)
                continue
        if len(chain) > 2:
            yield chain
        turned = chain[-1:] if joins and one and one.value != chain[-1].value else []
        chain = [*turned, one] if one and one.unit in ("", "stitches") else []


def _countings(holds: Holds) -> list[list[float]]:
    """Give the counts that the shaping of each stage goes through, in every size, and those between its markers."""
    planned = holds.pattern.get("stitches", ())
    found = list[list[float]]()
    for size in range(len(holds.sizes)):
        for _, stage in groupby(planned, key=lambda one: one.stage):
            stage_ = list(stage)
            start = next((one.at(size) for one in stage_ if one.cue == "start"), None)
            rounds = [one.at(size) for one in stage_ if one.cue.startswith("round ") and len(one.values) > 1]
            for counts in (
                [*([] if start is None else [start]), *rounds],
                [one.at(size) for one in stage_ if one.cue == "between"],
            ):
                counts = [count for count, _ in groupby(counts)]
                if len(counts) > 2:
                    found.append(counts)
    return found


def _fitting(values: Sequence[float], counts: Sequence[float]) -> tuple[int, int, float]:
    """Tell how many of some values are what they should be, where one is not, and what it should be."""
    best = (0, 0, 0.0)
    for start in range(len(counts) - len(values) + 1):
        window = counts[start : start + len(values)]
        odd = [at for at, (a, b) in enumerate(zip(values, window, strict=True)) if a != b]
        steps = [abs(b - a) for a, b in pairwise(window)]
        if odd and abs(values[odd[0]] - window[odd[0]]) > 2 * max(steps):
            continue
        if len(values) - len(odd) > best[0]:
            best = (len(values) - len(odd), odd[0] if odd else 0, window[odd[0]] if odd else 0.0)
    return best
