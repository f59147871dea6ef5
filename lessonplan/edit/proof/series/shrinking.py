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


def judge_shrinking(quantities: Sequence[Quantity], words: Sequence[str], holds: Holds) -> Mapping[int, Verdict | None]:
    """Judge counts said one after the other: by its first token, what is wrong with each, or None."""
    found: dict[int, Verdict | None] = {}
    chains = [*_chains(quantities, words)]
    every = _countings(holds) if chains else []
    for chain in chains:
        values = [one.value for one in chain]
        odd = min((_odd(values, counts) for counts in every), key=len, default=dict.fromkeys(range(len(values)), 0.0))
        right = len(values) - len(odd)
        if (len(odd) < 2 and right > 1) or (len(odd) == 2 and right > 2):
            found |= {one.first: None for one in chain}
            for at, instead in odd.items():
                found[chain[at].first] = Verdict("disagrees", f"{instead:g} stitches (the next of its shaping)")
        elif right == 1 and all("then" in words[a.end : b.first] for a, b in pairwise(chain)):
            found |= {one.first: None for one in chain[2:]}
            found |= _next(chain[0], chain[1], holds)
    return {**found, **_from_to(quantities, words, holds)}


def _from_to(quantities: Sequence[Quantity], words: Sequence[str], holds: Holds) -> Mapping[int, Verdict | None]:
    """Judge “from twenty three down to eleven”: what a shaping leads to from the count that is named before it."""
    found: dict[int, Verdict | None] = {}
    for one, other in pairwise(quantities):
        between = words[one.end : other.first]
        if between[-1:] not in _LEADS or not {one.unit, other.unit} <= {"", "stitches"} or other.value < 4:
            continue
        if _AT_ONCE.search(" ".join((*between, "#", *words[other.end : other.end + 6]))):
            found |= _next(one, other, holds)
        elif len(between) <= _LEADS_FAR and not _APART & {*between} and other.size in (None, one.size):
            size = holds.size if one.size is None else one.size
            own = [counts for counts in _countings(holds, size) if one.value in counts]
            ways = [counts[counts.index(one.value) :] for counts in own]
            ways = [way for way in ways if way[1:] and (way[-1] > one.value) == (other.value > one.value)]
            whole = any(counts[0] == one.value for counts in own)
            last = {counts[-1] for counts in _countings(holds)} if whole else set[float]()
            right = any(other.value in way and (other.value == way[-1] or other.value not in last) for way in ways)
            if ways and not right and 0.4 <= other.value / ways[0][-1] <= 2.5:
                found[other.first] = Verdict("disagrees", f"{ways[0][-1]:g} stitches (what its shaping leads to)")
    return found


_LEADS = (["to"], ["into"], ["becomes"], ["become"])
_LEADS_FAR, _APART = 9, frozenset(words_in("and but so or if round row rounds rows for"))
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


def _countings(holds: Holds, of_size: int | None = None) -> list[list[float]]:
    """Give the counts that the shaping of each stage goes through, in every size or one, and between its markers."""
    planned = holds.pattern.get("stitches", ())
    found = list[list[float]]()
    for size in range(len(holds.sizes)) if of_size is None else (of_size,):
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


def _odd(values: Sequence[float], counts: Sequence[float]) -> Mapping[int, float]:
    """Give the places of values that are not what they should be, and what that is, where they fit best."""
    best = dict.fromkeys(range(len(values)), 0.0)
    for start in range(len(counts) - len(values) + 1):
        window = counts[start : start + len(values)]
        odd = {at: b for at, (a, b) in enumerate(zip(values, window, strict=True)) if a != b}
        most = 2 * max(abs(b - a) for a, b in pairwise(window))
        if len(odd) < len(best) and all(abs(values[at] - right) <= most for at, right in odd.items()):
            best = odd
    return best
