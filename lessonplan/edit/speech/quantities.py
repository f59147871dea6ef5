"""Quantities in speech: a number with its craft unit, or with the words that tell what it counts.

The unit may follow at once or behind a word or two (“five plain rounds”), stand before (“round nine”, “cast on forty”),
or be that of the neighbour in a list by size (“forty for the small, forty four stitches for the medium”).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonplan.edit.speech.bare import asked, counted, ends_alone
from lessonplan.edit.speech.numbers import BEGINS, Number, Token, counted_aloud, numbers_in, words_in
from lessonplan.edit.speech.sizes import paired, size_names, sizes_said
from lessonplan.edit.speech.units import INCH, LENGTHS, PLURAL, TWO_WORDS, UNITS

_BETWEEN = frozenset(
    words_in(
        "of the these more other plain increase decrease increases live knit purl knitted purled whole "
        "little single extra new held blue full good increasing decreasing ribbed rib even straight final "
        "last picked additional"
    )
)
_VERBS = {"knit": "knit", "purl": "purl", "slip": "slip", "k": "knit", "p": "purl", "sl": "slip"}
_PICKED = ["pick", "up", "and"]
_PARTED = re.compile(r"and (a half|a quarter|three quarters?)\b(?! \w*(?:inch|centi))")
"""“Two inches and a half”."""
_REACH = 12
"""So many words off, a number without a unit takes its neighbour's in a list by size."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with what it counts, said in tokens ``first`` to ``end`` (a unit before the number included).

    ``unit`` is a key such as stitches, rounds, rows, cm, inches, mm, us, knit, purl, slip, together; ``number`` what
    was said; ``ordinal``: a place in the rounds (“round nine”), no count; ``size`` the index of the size it is said of;
    ``bare``: no unit was said with it.
    """

    unit: str
    number: Number
    first: int
    end: int
    ordinal: bool = False
    size: int | None = None
    bare: bool = False

    @property
    def value(self) -> float:
        """The number, or the higher end of a range."""
        return self.number.value


def quantities_in(tokens: Sequence[Token], sizes: Sequence[str] = (), film: int | None = None) -> tuple[Quantity, ...]:
    """Find the quantities in normal words; ``sizes`` are the names of the sizes that may be said with them.

    ``film`` is the size filmed, which is the teacher's own (“in mine”).
    """
    words = [token.text for token in tokens]
    numbers = numbers_in(words, PLURAL)
    silent = counted_aloud(numbers, words)
    named = {**size_names(sizes), **({} if film is None else dict.fromkeys(("mine", "me", "us"), film))}
    found: list[Quantity] = []
    for place, number in enumerate(numbers):
        if number.first in silent:
            continue
        following = numbers[place + 1].first if place + 1 < len(numbers) else len(words)
        one = _with_unit(words, number, following, named) or _before(words, number)
        part = (
            _PARTED.match(" ".join(words[one.end : one.end + 4])) if one and one.unit in (*LENGTHS, "hours") else None
        )
        if one and part:
            more = {"a half": 1 / 2, "a quarter": 1 / 4}.get(part[1], 3 / 4)
            silent = silent | {each.first for each in numbers[place + 1 : place + 2] if each.first <= one.end + 2}
            one = replace(one, number=replace(number, low=number.low + more, high=number.high + more, part=1 / 4))
        bare = Quantity("", number, number.first, number.end, bare=True)
        found.append(one or bare)
    found = list(_with_sizes(list(_in_turn(found, words, len(sizes))), words, named))
    found = [replace(one, unit="stitches") if not one.unit and asked(one.number, words) else one for one in found]
    found = list(_shared(found, words))
    found = [replace(one, unit=counted(one.number, words)) if not one.unit and one.value >= 1 else one for one in found]
    return tuple(_of_the_last(list(_beside(found, words)), words, named))


def _with_unit(words: Sequence[str], number: Number, following: int, sizes: Mapping[str, int]) -> Quantity | None:
    """Take the unit that follows a number, at once or behind a word or two."""
    end = number.end
    before = words[number.first - 1] if number.first else ""
    if before == "knit" and not number.ordinal and [*words[max(0, number.first - 4) : number.first - 1]] == _PICKED:
        return Quantity("stitches", number, number.first, end, bare=True)
    if words[end : end + 1] == ["together"] and number.value in (2, 3) and before in ("then", "and", "next"):
        return Quantity("together", number, number.first, end + 1)
    if before in _VERBS and not number.ordinal:
        after = words[end] if end < len(words) else ""
        if after == "together":
            return Quantity("together", number, number.first - 1, end + 1)
        if number.part == 1 and number.value < 40 and not _has_unit(words, end, following):
            size_list = after in ("for", "in") and {*words[end + 1 : end + 3]} & {*sizes}
            return None if size_list else Quantity(_VERBS[before], number, number.first - 1, end)
    for at in range(end, min(end + 3, following, len(words))):
        unit = UNITS.get(words[at])
        if " ".join(words[at : at + 2]) in TWO_WORDS and not number.ordinal:
            return Quantity("things", number, number.first, at + 2)
        if (unit == "ends" and before in ("round", "row", "rnd")) or (
            unit == "needles" and (number.part < 1 or not 1 < number.value <= 5 or before in ("us", "size", "number"))
        ):
            return None  # “round nine ends”, “us seven needles”
        if unit in ("knit", "purl") and words[at - 1] == "of":
            return None  # “eleven columns of knits and eleven of purls”
        if unit and _means_unit(words, at, number):
            ordinal = number.ordinal
            return (
                None
                if ordinal and unit not in ("rounds", "rows")
                else Quantity(unit=unit, number=number, first=number.first, end=at + 1, ordinal=ordinal)
            )
        if words[at] not in _BETWEEN and words[at + 1 : at + 2] != ["stripes"]:
            break
    return None


def _beside(found: Sequence[Quantity], words: Sequence[str]) -> Iterator[Quantity]:
    """Give a bare number the unit that its neighbour tells: “two by two rib”, “round six of twenty”, “makes thirty”."""
    for place, one in enumerate(found):
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
        elif one.bare and before and before.unit in ("rounds", "rows", "stitches") and _alike(before, one, words):
            unit = before.unit
        elif one.bare and before and before.unit in ("rounds", "rows"):
            plain = words[one.end : one.end + 1] == ["plain"] and one.first - before.end <= 8 and one.value > 1
            goes_on = plain or (between == "of" if before.ordinal else _SUMS_UP.match(between))
            unit = before.unit if goes_on else unit
        elif (
            one.bare and one.value > 1 and before and before.unit in _AMOUNTS and words[one.end : one.end + 1] == ["of"]
        ):
            unit = before.unit if one.first - before.end <= 14 else unit
        elif one.bare and before and before.unit == "mm" and one.number.part == 1 and _AMERICAN.match(between):
            old = {"english", "uk", "british", "old", "canadian", "imperial"} & {
                *words[one.end : one.end + 6],
                *between.split(),
            }
            unit = "" if old else "us"
        elif one.bare and before and before.unit == "mm" and _is_next_needle(one, before, words):
            unit = "mm"
        elif one.bare and before and before.unit == "mm" and one.first - before.end <= 14:
            needle = one.number.part < 1 or (words[one.end : one.end + 2] == ["for", "the"] and one.value <= 15)
            unit = unit or ("mm" if needle else "")
        yield one if unit == one.unit else replace(one, unit=unit)


_RESULT = re.compile(
    r"\b(?:that's|that is|which is|which makes|which leaves|that makes|makes|making|leaves|leaving|gives"
    r"|giving|so|so now)(?: (?:you|me|us|only|just|your|my|it's))*$"
)


def _alike(before: Quantity, one: Quantity, words: Sequence[str]) -> bool:
    """Whether two numbers are told in the same words: “three of blue, then three of oatmeal”."""
    after = words[before.end : before.end + 1]
    same = one.value > 1 and after in (["of"], ["in"], ["on"]) and words[one.end : one.end + 1] == after
    return same and one.first - before.end <= 6 and bool({"and", "then"} & {*words[before.end : one.first]})


def _is_next_needle(one: Quantity, before: Quantity, words: Sequence[str]) -> bool:
    """Whether a number behind a needle in mm is the next needle: “… and everything after that on the four”."""
    on_it = words[max(0, one.first - 2) : one.first] in (["rest", "on"], ["on", "the"], ["on", "a"], ["to", "the"], ["with", "the"])
    return on_it and one.value <= 10 and one.first - before.end <= 14 and ends_alone(words, one.end)


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
_SUMS_UP = re.compile(r"^(?:\w+ )?(?:so )?(?:that )?(?:makes|gives|that's)$")


def _has_unit(words: Sequence[str], end: int, following: int) -> bool:
    for at in range(end, min(end + 3, following, len(words))):
        if words[at] in UNITS and words[at] not in ("stitch",) and _plural(words[at]):
            return True
        if words[at] not in _BETWEEN:
            return False
    return False


def _plural(word: str) -> bool:
    return word not in ("round", "row", "repeat", "color", "colour", "marker", "yard", "meter")


def _means_unit(words: Sequence[str], at: int, number: Number) -> bool:
    """Whether a word behind a number is its unit: not “knit one round the ...”, not “one repeat”."""
    if UNITS.get(words[at]) == "colours" and words[at + 1 : at + 2] in (["change"], ["changes"]):
        return False  # “eight colour changes”
    singular = words[at] in ("round", "row", "repeat")
    return not singular or number.ordinal or number.value <= 1 or words[at] == "row"


def _before(words: Sequence[str], number: Number) -> Quantity | None:
    """Take the unit that stands before a number: “round nine”, “size us eight”, “number four needles”."""
    before = words[number.first - 1] if number.first else ""
    second = words[number.first - 2] if number.first > 1 else ""
    if number.ordinal:
        return None
    which = (
        words[number.first - 3]
        if number.first > 2 and second in ("increase", "decrease", "plain", "single")
        else second
    )
    if before in ("round", "row", "rnd") and not {which, second} & _ANY:
        return Quantity(UNITS[before], number, number.first - 1, number.end, ordinal=True)
    goes_on = words[number.end : number.end + 1] in (["and"], ["through"], ["or"])
    goes_on = goes_on and words[number.end + 1 : number.end + 2] != [] and words[number.end + 1] in BEGINS - {"a", "an"}
    if before in ("rounds", "rows") and (number.low < number.high or (goes_on and second not in BEGINS)):
        return Quantity(before, number, number.first - 1, number.end, ordinal=True)
    pronoun = before == "us" and second in ("for", "with", "of", "to", "gives", "leaves", "makes", "let", "both")
    if number.value < 20 and not pronoun and (before == "us" or (before == "size" and second == "us")):
        return Quantity("us", number, number.first - (1 if before == "us" else 2), number.end)
    return None


_ANY = frozenset(words_in("a this that every each one way all"))
"""What stands before a round that is told by no number."""


def _with_sizes(found: Sequence[Quantity], words: Sequence[str], names: Mapping[str, int]) -> Iterator[Quantity]:
    """Say of each quantity of which size it is, where a size is named with it."""
    said = sizes_said(words, names)
    mine = [
        place
        for place, one in enumerate(found)
        if _may_be_listed(one) and _MORE_THAN.match(" ".join(words[one.end : one.end + 4])) is None
    ]
    pairs = dict(paired(words, [(found[place].first, found[place].end) for place in mine], said))
    own = {mine[number]: names[words[at]] for number, at in pairs.items()}
    yield from (replace(one, size=own[place]) if place in own else one for place, one in enumerate(found))


_MORE_THAN = re.compile(r"(?:\w+ )?(?:more|fewer|less|longer|shorter|wider|narrower|extra) than\b")


def _may_be_listed(one: Quantity) -> bool:
    """Whether a number may be one of a list by size: no place in the rounds, no “one” that is no number."""
    return not (one.ordinal or one.number.ordinal or (one.bare and one.value <= 1)) and one.size is None


def _of_the_last(found: Sequence[Quantity], words: Sequence[str], names: Mapping[str, int]) -> Iterator[Quantity]:
    """Say that a quantity is of the size that was named last, where the talk of it goes on."""
    said = sizes_said(words, {word: size for word, size in names.items() if word not in ("mine", "me", "us")})
    for one in found:
        last = next((at for at in reversed(said) if at < one.first), None) if one.size is None else None
        ahead = next((at for at in said if at >= one.end and not _has_own(words, at)), len(words) + _REACH)
        after = next((other for other in found if other.first >= one.end), one)
        paired_off = words[one.end : after.first] == ["to"] and after.value == one.value  # “nine to nine in the child”
        paired_off = paired_off or (after is not one and words[one.end : after.first] == ["or"] and one.bare)
        nexts = [at for at in said if one.end <= at <= one.end + 14]
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


def _in_turn(found: Sequence[Quantity], words: Sequence[str], sizes: int) -> Iterator[Quantity]:
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


def _shared(found: Sequence[Quantity], words: Sequence[str]) -> Iterator[Quantity]:
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
            listed = (sized == 2 or (sized == 1 and gap <= 4)) and (other in told or same)
            between = words[min(one.end, other.end) : max(one.first, other.first)]
            follows = other.first >= one.end or (between in (["then"], ["and", "then"]) and other.value > 1)
            if (
                other.unit
                and not other.ordinal
                and (
                    (listed and gap <= _REACH and not (other.unit == "mm" and one.value > 15))
                    or _of_another(one, other, gap)
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
    if other.unit == "mm" and one.value > 15:
        return False
    behind = other.end <= one.first and gap <= _REACH - 3
    return behind and one.size is not None and other.size is None and 0.5 <= one.value / max(other.value, 1) <= 2


_JOINS = ("", "or", "and", "then", "and then", "goes to", "become", "becomes", "down to")


def comparable(unit: str, other: str) -> bool:
    """Whether two units measure the same."""
    return unit == other or (unit in LENGTHS and other in LENGTHS)


def near(one: Quantity, unit: str, value: float) -> bool:
    """Whether a quantity is a value: exactly, a length as it is rounded in speech, a range around it."""
    low, high = one.number.low, one.number.high
    if one.unit not in LENGTHS:
        return low <= value <= high if low < high and one.unit in ("minutes", "stitches") else abs(high - value) < 0.05
    scale = INCH if one.unit == "inches" else 1.0
    wanted = value * (INCH if unit == "inches" else 1.0)
    slack = min(one.number.part * scale / 2, max(0.11 * wanted, 0.2))
    return low * scale - slack <= wanted <= high * scale + slack
