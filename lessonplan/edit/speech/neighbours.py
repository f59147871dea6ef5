"""What its neighbours tell of a number: a unit said once for several, the size that was named last, a list by size."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.speech.bare import ends_alone
from lessonplan.edit.speech.numbers import BEGINS, words_in
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.sizes import paired, sizes_said
from lessonplan.edit.speech.units import LENGTHS

_REACH = 12
"""So many words off, a number without a unit takes its neighbour's in a list by size."""


def beside(found: Sequence[Quantity], words: Sequence[str]) -> Iterator[Quantity]:
    """Give a bare number the unit that its neighbour tells: “two by two rib”, “round six of twenty”, “makes thirty”."""
    carried = ""
    for place, one in enumerate(found):
        carried = one.unit or carried if not one.bare else carried
        before, after = found[place - 1] if place else None, found[place + 1] if place + 1 < len(found) else None
        between = " ".join(words[before.end : one.first]) if before else ""
        unit = one.unit
        if (
            one.bare
            and after
            and words[one.end : after.first] == ["by"]
            and _RIBS & {*words[after.end : after.end + 3]}
        ):
            unit = "knit"
        elif one.bare and between == "by" and _RIBS & {*words[one.end : one.end + 3]}:
            unit = "purl"
        elif one.bare and before and _is_result(one, found[max(0, place - 4) : place], words):
            yield replace(one, unit="stitches", bare=False)
            continue
        elif (
            one.bare
            and before
            and before.unit in ("rounds", "rows", "stitches", "stripes")
            and _alike(before, one, words)
        ):
            unit = before.unit
        elif _is_of_part(one, before, carried, words):
            unit = carried
        elif one.bare and before and before.unit in ("rounds", "rows"):
            plain = words[one.end : one.end + 1] == ["plain"] and one.first - before.end <= 8 and one.value > 1
            goes_on = plain or (between == "of" if before.ordinal else _SUMS_UP.match(between))
            unit = before.unit if goes_on else unit
        elif (
            one.bare
            and one.value > 1
            and before
            and before.unit in (*_AMOUNTS, "balls")
            and words[one.end : one.end + 1] == ["of"]
        ):
            unit = before.unit if one.first - before.end <= 14 else unit
        elif one.bare and before and before.unit in ("mm", "us"):
            unit = _of_needle(one, before, found[:place], words)
        yield one if unit == one.unit else replace(one, unit=unit)


def _of_needle(one: Quantity, before: Quantity, found: Sequence[Quantity], words: Sequence[str]) -> str:
    """Give the unit of a bare number behind a needle's size: the same needle in other numbers, or the next needle."""
    between, behind = words[before.end : one.first], words[one.end : one.end + 6]
    if before.unit == "mm" and one.number.part == 1 and _AMERICAN.match(" ".join(between)):
        return "" if {"english", "uk", "british", "old", "canadian", "imperial"} & {*behind, *between} else "us"
    told = " ".join(words[max(0, before.first - 8) : one.first])
    if before.unit == "mm" and (_is_next_needle(one, before, words) or _NEEDLES_AND.search(told)):
        return "mm"
    if one.first - before.end > 14 or one.unit:
        return one.unit
    of_part = behind[:2] in (["for", "the"], ["for", "everything"], ["for", "what"]) and one.value <= 15
    only_us = one.number.part == 1 and not any(each.unit == "mm" for each in found)
    needle = (of_part and (before.unit == "mm" or only_us)) or (one.number.part < 1 and before.unit == "mm")
    return before.unit if needle else ""


def _is_of_part(one: Quantity, before: Quantity | None, carried: str, words: Sequence[str]) -> bool:
    """Whether a number goes on with the rounds of parts: “twenty two rounds of rib, nineteen of gusset, twelve of”."""
    if not one.bare or one.unit or before is None or carried not in ("rounds", "rows") or one.value <= 3:
        return False
    near_by = words[max(0, one.first - 3) : one.first]
    if {"the", "your"} & {*near_by[-2:-1]} and near_by[-1] not in BEGINS and ends_alone(words, one.end):
        return one.first - before.end <= 4  # “the cuff has twenty two rounds, the gusset nineteen”
    return words[one.end : one.end + 1] == ["of"] == words[before.end : before.end + 1] and one.first - before.end <= 4


_RESULT = re.compile(
    r"\b(?:that's|that is|which is|which makes|which leaves|that makes|makes|making|leaves|leaving|gives"
    r"|giving|so|so now)(?: (?:you|me|us|only|just|your|my|it's))*$"
)


def _alike(before: Quantity, one: Quantity, words: Sequence[str]) -> bool:
    """Whether two numbers are told in the same words: “three of blue, then three of oatmeal”."""
    after = words[before.end : before.end + 1]
    ones = words[one.end + 1 : one.end + 2] == ["ones"] and before.end - before.number.end == 2
    if ones and one.value > 1 and before.number.end != one.first and words[one.end] not in BEGINS:
        return one.first - before.end <= 6  # “three blue rounds and three oatmeal ones”
    same = one.value > 1 and after in (["of"], ["in"], ["on"]) and words[one.end : one.end + 1] == after
    return same and one.first - before.end <= 6 and bool({"and", "then"} & {*words[before.end : one.first]})


def _is_next_needle(one: Quantity, before: Quantity, words: Sequence[str]) -> bool:
    """Whether a number behind a needle in mm is the next needle: “… and everything after that on the four”."""
    on_it = words[max(0, one.first - 2) : one.first] in (
        ["rest", "on"],
        ["on", "the"],
        ["on", "a"],
        ["to", "the"],
        ["with", "the"],
    )
    return on_it and one.value <= 10 and one.first - before.end <= 14 and ends_alone(words, one.end)


_NEEDLES_AND = re.compile(r"\bneedles?\b(?: [\w']+){1,6} and(?: an?)?$")
_AMERICAN = re.compile(
    r"^(?:needles? |ones? )?(?:(?:and |so )?(?:that's|that is|which is|it's) an?|or an?|so an?)(?: size)?$"
)


def _is_result(one: Quantity, before: Sequence[Quantity], words: Sequence[str]) -> bool:
    """Whether a number is said as what comes of stitches: “thirteen off the waste yarn, so that's eighteen”."""
    before = [each for each in before if each.unit != "shapings"]
    if not before:
        return False
    last = before[-1]
    stitches = last.unit == "stitches" or (last.unit == "knit" and last.value > 5)
    stitches = stitches or (last.bare and any(each.unit == "stitches" for each in before[:-1]))
    stitches = stitches or (
        last.bare and last.value > 5 and any(each.unit == "knit" and each.value == last.value for each in before)
    )
    return (
        stitches
        and one.value >= 4
        and one.number.part == 1
        and one.first - last.end <= 10
        and not one.number.ordinal
        and not any(each.unit in ("rounds", "rows") for each in before)
        and _RESULT.search(" ".join(words[max(0, one.first - 4) : one.first])) is not None
        and not {"too", "if"} & {*words[max(0, last.first - 3) : one.first]}
        and ends_alone(words, one.end)
    )


_AMOUNTS = ("grams", "metres", "yards")
_RIBS = frozenset(words_in("rib ribs ribbing ribbed"))
_SUMS_UP = re.compile(r"^(?:[\w']+ )?(?:so )?(?:that )?(?:makes|gives|that's)$")


def with_sizes(found: Sequence[Quantity], words: Sequence[str], names: Mapping[str, int]) -> Iterator[Quantity]:
    """Say of each quantity of which size it is, where a size is named with it."""
    said = sizes_said(words, names)
    mine = [
        place
        for place, one in enumerate(found)
        if _may_be_listed(one)
        and _MORE_THAN.match(" ".join(words[one.end : one.end + 4])) is None
        and not _taken_back(found[place : place + 2], words)
    ]
    pairs = dict(paired(words, [(found[place].first, found[place].end) for place in mine], said))
    own = {mine[number]: names[words[at]] for number, at in pairs.items()}
    last: Quantity | None = None
    for place, one in enumerate(found):
        if place in own:
            one = replace(one, size=own[place])
        elif last and last.size is not None and one.size is None:
            grows = _GROWS_TO.match(" ".join(words[last.end : one.first]))
            one = replace(one, size=last.size) if grows else one  # “the small goes from forty to forty one”
        last = one
        yield one


_GROWS_TO = re.compile(r"(?:(?:down|up|back|goes|turns?|grows?|comes?|shrinks?) )*(?:in)?to$|becomes?$")
"""What leads from a number to what becomes of it."""


def _taken_back(pair: Sequence[Quantity], words: Sequence[str]) -> bool:
    """Whether the second of two numbers is said for the first: “nine, no, eleven”."""
    between = words[pair[0].end : pair[-1].first]
    return len(pair) == 2 and between[:1] in (["no"], ["sorry"], ["wait"], ["oops"]) and len(between) <= 2


_MORE_THAN = re.compile(r"(?:[\w']+ )?(?:more|fewer|less|longer|shorter|wider|narrower|extra) than\b")


def _may_be_listed(one: Quantity) -> bool:
    """Whether a number may be one of a list by size: no place in the rounds, no “one” that is no number."""
    return not (one.ordinal or one.number.ordinal or (one.bare and one.value <= 1)) and one.size is None


def of_the_last(found: Sequence[Quantity], words: Sequence[str], names: Mapping[str, int]) -> Iterator[Quantity]:
    """Say that a quantity is of the size that was named last, where the talk of it goes on."""
    said = sizes_said(words, {word: size for word, size in names.items() if word not in ("mine", "me", "us")})
    for place, one in enumerate(found):
        at = bisect_left(said, one.first)
        last = said[at - 1] if at and one.size is None else None
        if (
            last is not None
            and words[max(0, last - 2) : last] == ["that's", "the"]
            and {"no", "sorry", "wait", "oops"} & {*words[last - 6 : last]}
        ):
            last = None  # “oh no, that's the adult, it's ninety six”
        behind = bisect_left(said, one.end)
        ahead = next((said[k] for k in range(behind, len(said)) if not _has_own(words, said[k])), len(words) + _REACH)
        after = next((found[k] for k in range(place + 1, len(found)) if found[k].first >= one.end), one)
        paired_off = words[one.end : after.first] == ["to"] and after.value == one.value  # “nine to nine in the child”
        paired_off = paired_off or (after is not one and words[one.end : after.first] == ["or"] and one.bare)
        nexts = said[behind : bisect_right(said, one.end + 14)]
        told_after = last is None and one.size is None and len(nexts) == 1 and "if" in words[nexts[0] - 4 : nexts[0]]
        if told_after and one.value > 1 and not _BREAKS & {*words[one.end : nexts[0]]}:
            yield replace(one, size=names[words[nexts[0]]])
            continue
        if (
            not _MINE & {*words[one.end : one.end + 3]}
            and last is not None
            and not paired_off
            and ahead - one.end > one.first - last
            and one.first - last <= _REACH
            and not _LEAVES & {*words[last + 1 + (words[last + 1 : last + 2] == ["size"]) : one.first]}
        ):
            yield replace(one, size=names[words[last]])
        else:
            yield one


_BREAKS = frozenset(words_in("and but so then because you'll it you i or"))


def _has_own(words: Sequence[str], at: int) -> bool:
    """Whether a size that is named has numbers of its own behind it: “and the larges have”."""
    return words[at + 1 : at + 2] != [] and words[at + 1] in _HAVE and "the" in words[max(0, at - 1) : at]


_HAVE = frozenset(words_in("have has get gets need needs want wants take takes start starts stop stops put"))
_MINE = frozenset(words_in("me mine us ours"))
_LEAVES = frozenset(words_in("but otherwise others other every both size sizes inches centimeters"))
"""Words with which the talk of a size ends."""


def in_turn(found: Sequence[Quantity], words: Sequence[str], sizes: int) -> Iterator[Quantity]:
    """Say of as many numbers as there are sizes, in one row with an “or” or “and”, of which size each is."""
    place = 0
    while place < len(found):
        run = found[place : place + sizes]
        gaps = [tuple(words[a.end : b.first]) for a, b in pairwise(run)]
        grows = all(a.value < b.value for a, b in pairwise(run)) and not any(one.number.ordinal for one in run)
        grows = grows and len({one.unit for one in run} - {""}) < 2 and not any(one.unit for one in run[:-1])
        if len(run) == sizes > 2 and grows and gaps[-1] in ((), ("or",), ("and",)) and not any(gaps[:-1]):
            unit = next((one.unit for one in run if one.unit), "")
            yield from (replace(one, size=size, unit=one.unit or unit) for size, one in enumerate(run))
            place += sizes
        else:
            yield found[place]
            place += 1


def shared(found: Sequence[Quantity], words: Sequence[str]) -> Iterator[Quantity]:
    """Give a bare number in a list by size, or right beside another number, the unit of its neighbour."""
    told, found = found, list(found)
    for place, one in enumerate(told):
        if one.unit or one.number.ordinal or one.number.loose or one.value <= 1:
            yield one
            continue
        near = None
        for other in (*found[place + 1 : place + 4], *reversed(found[max(0, place - 3) : place])):
            gap = max(other.first - one.end, one.first - other.end)
            sized = (other.size is not None) + (one.size is not None)
            same = sized == 2 and other.size == one.size and other.bare
            listed = (sized == 2 or (sized == 1 and gap <= 4)) and (
                other in told[max(0, place - 3) : place + 4] or same
            )
            between = words[min(one.end, other.end) : max(one.first, other.first)]
            follows = other.first >= one.end or (between in (["then"], ["and", "then"]) and other.value > 1)
            if (
                other.unit
                and not other.ordinal
                and not (one.number.part < 1 == other.number.part and other.unit == "stitches" and between == ["and"])
                and (
                    (listed and gap <= _REACH and not (other.unit == "mm" and one.value > 15))
                    or _of_another(one, other, gap)
                    or (other.unit in _COUNTED and other.end <= one.first and _PARALLEL.match(" ".join(between)))
                    or (
                        follows
                        and (" ".join(between) in _JOINS or (between == ["to"] and words[one.first - 1] == "from"))
                    )
                )
            ):
                near = other
                break
        if near is None and one.size is not None and one.value >= 4:
            found[place] = replace(one, unit="stitches")
        elif near and (near.unit in ("stitches", "rounds", "rows", "mm", "times", "knit", *LENGTHS, *_AMOUNTS)):
            found[place] = replace(one, unit=near.unit)
        yield found[place]


def _of_another(one: Quantity, other: Quantity, gap: int) -> bool:
    """Whether a number of a size stands behind one of the size filmed: “twenty two rounds; the small stop at ten”."""
    behind = other.end <= one.first and gap <= _REACH - 3
    return behind and one.size is not None and other.size is None and 0.5 <= one.value / max(other.value, 1) <= 2


_COUNTED = ("rounds", "rows")
_PARALLEL = re.compile(r"(?:and|then|and then) the (?:[\w']+ ){0,2}?(?:\w+'s|\w+ (?:is|has|takes|gets|wants|needs))$")
"""“The cuff is twenty two rounds and the cobble band's sixteen.”"""
_JOINS = ("", "or", "and", "then", "and then", "goes to", "become", "becomes", "down to")
