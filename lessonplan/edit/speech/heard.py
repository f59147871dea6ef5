"""Quantities heard in normal words: the unit that follows a number, or stands before it.

The unit may follow at once or behind a word or two (“five plain rounds”), stand before (“round nine”, “cast on forty”),
or be that of the neighbour in a list by size (“forty for the small, forty four stitches for the medium”: `neighbours`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.speech.bare import FAR, asked, counted
from lessonplan.edit.speech.neighbours import beside, in_turn, of_the_last, shared, with_sizes
from lessonplan.edit.speech.numbers import BEGINS, NEEDLES, Number, Token, counted_aloud, numbers_in, words_in
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.sizes import size_names
from lessonplan.edit.speech.units import LENGTHS, PLURAL, TWO_WORDS, UNITS

_BETWEEN = frozenset(
    words_in(
        "of the these more other plain increase decrease increases live knit purl knitted purled whole "
        "little single extra new held blue full good increasing decreasing ribbed rib even straight final "
        "last picked additional slipped thumb gusset cuff crown brim sleeping sleepy loose"
    )
)
_COLOURED = tuple([word] for word in words_in("stripes balls skeins rounds rows tails ends"))
"""What a colour stands before: “two oatmeal balls”."""
_NO_COLOUR = BEGINS | frozenset(words_in("and or then so more to into on in by times between after before"))
"""What stands between a number and a noun that is not its own."""
_VERBS = {"knit": "knit", "purl": "purl", "slip": "slip", "k": "knit", "p": "purl", "sl": "slip"}
_ON_A_THREAD = re.compile(
    r"(?:of them )?(?:on ?to|over to|over on|on) (?:the|a|your|some) (?:string|thread|waste|scrap|holder|spare|yarn)"
)
_PICKED = ["pick", "up", "and"]
_PARTED = re.compile(r"and (a half|a quarter|three quarters?)\b(?! \w*(?:inch|centi))")
"""“Two inches and a half”."""


def quantities_in(tokens: Sequence[Token], sizes: Sequence[str] = (), film: int | None = None) -> tuple[Quantity, ...]:
    """Find the quantities in normal words; ``sizes`` are the names of the sizes that may be said with them.

    ``film`` is the size filmed, which is the teacher's own (“in mine”).
    """
    words = [token.text for token in tokens]
    numbers = numbers_in(words, PLURAL)
    silent = counted_aloud(numbers, words)
    named = dict(size_names(sizes))
    here = [] if named.keys().isdisjoint(words) else ["here", "i", "i've"]  # beside other sizes
    named |= {} if film is None else dict.fromkeys(("mine", "me", "us", *here), film)
    found: list[Quantity] = []
    for place, number in enumerate(numbers):
        if number.first in silent or _is_year(numbers[max(0, place - 1) : place + 2], number):
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
        if one and one.unit == "mm" and one.value > 15:  # no needle, but a length
            scaled = replace(number, low=number.low / 10, high=number.high / 10, part=0.1)
            one = replace(one, unit="cm", number=scaled)
        bare = Quantity("", number, number.first, number.end, bare=True)
        found.append(one or bare)
    found = list(with_sizes(list(in_turn(found, words, len(sizes))), words, named))
    found = [replace(one, unit="stitches") if not one.unit and asked(one.number, words) else one for one in found]
    found = list(shared(found, words))
    found = [replace(one, unit=counted(one.number, words)) if not one.unit and one.value >= 1 else one for one in found]
    return tuple(_answers(list(_of_bodies(of_the_last(list(beside(found, words)), words, named), words)), words))


_ASKS = re.compile(
    r"\bhow many(?: (?P<unit>\w+))?((?: (?!of\b|people\b|times\b)[\w']+){0,6})$|\bwhat(?:'s| is|'re| are) left$"
    r"|\b(?:the|those|these|number of)(?: \w+)? (?P<noun>stitches|rounds|rows|ends|tails|sections|stripes|ones)"
    r" (?:(?:that|which|you|we|i|y'all)\b(?: [\w']+){2,24} (?:is|are|was|were|be|number)|number)"
    r"(?: (?:exactly|only|just|about))*$"
)
"""What is asked, or told of in a clause of its own, before its number: “the stitches that you park are thirteen”."""


def _answers(found: Sequence[Quantity], words: Sequence[str]) -> Iterator[Quantity]:
    """Give a bare number that answers a question what that asks for: “how many sections? eight”."""
    end = 0
    for one in found:
        asks = (
            _ASKS.search(" ".join(words[max(end, one.first - 28) : one.first])) if one.bare and one.value > 3 else None
        )
        end = one.end
        unit = UNITS.get(asks["unit"] or asks["noun"] or "", "stitches") if asks else ""
        told = unit in ("stitches", "rounds", "rows", "ends", "repeats", "stripes") and one.number.part == 1
        yield replace(one, unit=unit, bare=False) if asks and told else one


def _is_year(near: Sequence[Number], number: Number) -> bool:
    """Whether a number is half of a year: “nineteen eighty four”."""
    return any(
        one.end == other.first and one.value == 19 and 40 <= other.value < 100 and number in (one, other)
        for one, other in pairwise(near)
    )


_BODY = re.compile(
    r"\b(?:knuckles?|wrists?|heads?|hands?|tape)\b(?: [\w']+){0,4}? (?:measures?|is|are|of|says?|it's|from|between"
    r"|comes to)(?: (?:about|around|from|between|only|just))?$|(?P<fits>\bfits?)(?: (?:about|around|from|between))?$"
)


_BOUND = re.compile(
    r"\bround (?:the|your) (?:knuckles?|wrists?|heads?|hands?) (?:[\w']+ ){0,3}(?:up to|over|under) [\w']+"
    r"|\b(?:up to|over|under) (?:[\w']+ ){1,3}round (?:the|your) (?P<fits>knuckles?|wrists?|heads?|hands?)\b"
)
"""“Over nineteen round the knuckles and up to twenty”."""


def _of_bodies(found: Iterable[Quantity], words: Sequence[str]) -> Iterator[Quantity]:
    """Take what is measured of a hand or a head, without a unit, for centimetres where a size is said with it."""
    for one in found:
        may_be = one.bare and one.unit in ("", "stitches") and 10 <= one.value <= 70
        sized = one.size is not None or one.number.low < one.number.high
        told = _BODY.search(" ".join(words[max(0, one.first - 9) : one.first])) if may_be else None
        told = told or (
            _BOUND.search(" ".join(words[max(0, one.first - 9) : one.end + 4])) if sized and may_be else None
        )
        if may_be and one.number.low < one.number.high and words[one.first - 1 : one.first] == ["from"]:
            yield replace(one, unit="cm", bare=False)  # a range told with “from” is one of whom a size fits
            continue
        told = None if told and one.value > 30 and told[0].startswith(("hand", "wrist", "knuckle")) else told
        if told and (sized or not told["fits"]):
            yield replace(one, unit="cm", bare=False) if sized else replace(one, unit="")
        else:
            yield one


def _with_unit(words: Sequence[str], number: Number, following: int, sizes: Mapping[str, int]) -> Quantity | None:
    """Take the unit that follows a number, at once or behind a word or two."""
    end = number.end
    before = words[number.first - 1] if number.first else ""
    if before == "knit" and not number.ordinal and [*words[max(0, number.first - 4) : number.first - 1]] == _PICKED:
        return Quantity("stitches", number, number.first, end, bare=True)
    goes_on = before in ("", "then", "and", "next") or words[end + 1 : end + 2] in (["all"], ["around"], ["across"])
    if words[end : end + 1] == ["together"] and number.value in (2, 3) and before not in _VERBS and goes_on:
        return Quantity("together", number, number.first, end + 1)
    if (
        before == "purl"
        and number.value == 1
        and words[end : end + 1] == ["round"]
        and words[end + 1 : end + 2] != ["and"]
    ):
        return Quantity("rounds", number, number.first, end + 1)  # not “knit one, purl one, round and round”
    if before in _VERBS and not number.ordinal:
        after = words[end] if end < len(words) else ""
        if after == "together":
            return Quantity("together", number, number.first - 1, end + 1)
        if after in ("pair", "pairs"):
            return None  # “you can knit nine pairs”
        if number.part == 1 and number.value < 40 and not _has_unit(words, end, following):
            size_list = after in ("for", "in") and {*words[end + 1 : end + 3]} & {*sizes} - {"middle"}
            if before == "slip" and number.value > 3 and _ON_A_THREAD.match(" ".join(words[end : end + 4])):
                return Quantity("stitches", number, number.first, end, bare=True)
            steps = {"ssk", "together", "tog"} & {*words[max(0, number.first - 6) : number.first - 1]}
            return None if size_list and not steps else Quantity(_VERBS[before], number, number.first - 1, end)
    for at in range(end, min(end + 3 + (words[end : end + 1] == ["of"]), following, len(words))):
        unit = UNITS.get(words[at])
        if " ".join(words[at : at + 2]) in TWO_WORDS and not number.ordinal:
            return Quantity("things", number, number.first, at + 2)
        if (unit == "ends" and before in ("round", "row", "rnd")) or (
            unit == "needles" and (number.part < 1 or not 1 < number.value <= 5 or before in ("us", "size", "number"))
        ):
            return None  # “round nine ends”, “us seven needles”
        if unit in ("knit", "purl", "stripes") and words[at - 1] == "of":
            return None  # “eleven columns of knits and eleven of purls”
        if unit and _means_unit(words, at, number):
            ordinal = number.ordinal
            return (
                None
                if ordinal and unit not in ("rounds", "rows")
                else Quantity(unit=unit, number=number, first=number.first, end=at + 1, ordinal=ordinal)
            )
        if words[at] in ("the", "these") and words[at - 1] != "of":
            break  # “on row eight the wedge”
        coloured = (
            words[at + 1 : at + 2] in _COLOURED and number.value > 1 and at == end and words[at] not in _NO_COLOUR
        )
        if words[at] not in _BETWEEN and not coloured:
            break
    return None


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
    if words[at] in ("laps", "trips", "circuits") and words[at + 1 : at + 2] == ["of"]:
        return False  # “four laps of the wrist”
    singular = words[at] in ("round", "row", "repeat") and words[at + 1 : at + 2] not in _HIGH
    return not singular or number.ordinal or number.value <= 1 or words[at] == "row"


_HIGH = tuple([word] for word in words_in("band cuff brim gusset crown body top thumb rib section pattern repeat"))
"""“An eighteen round band.”"""


def _before(words: Sequence[str], number: Number) -> Quantity | None:
    """Take the unit that stands before a number: “round nine”, “size us eight”, “number four needles”."""
    before = words[number.first - 1] if number.first else ""
    second = words[number.first - 2] if number.first > 1 else ""
    if number.ordinal:
        return None
    if words[number.end - 1] == "halfs" or words[number.first] in NEEDLES:
        american = {"us", "american"} & {*words[max(0, number.first - FAR) : number.end + FAR]}
        return Quantity("us" if american else "mm", number, number.first, number.end, bare=True)
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
    if (
        number.value < 20
        and before in ("a", "an", "size", "number")
        and (
            _IN_AMERICA.search(" ".join(words[max(0, number.first - 9) : number.first]))
            and (words[number.end : number.end + 1] == [] or words[number.end] in _US_ENDS)
        )
    ):
        return Quantity("us", number, number.first, number.end)
    pronoun = before == "us" and second in ("for", "with", "of", "to", "gives", "leaves", "makes", "let", "both")
    pronoun = pronoun or (before == "american" and number.part < 1)
    if number.value < 20 and not pronoun and (before in ("us", "american") or (before == "size" and second == "us")):
        return Quantity("us", number, number.first - (1 if before != "size" else 2), number.end)
    return None


_IN_AMERICA = re.compile(
    r"\b(?:americans|america|the states|the us)\b(?: [\w']+){0,3} (?:call|have|has|know|say|is|it's|that's|label\w*)\b"
)
_US_ENDS = frozenset(words_in("on and so in but needle needles or if for which you if there over"))
"""Where a needle is told as it is called in America: “the Americans will have it as a seven on the packet”."""
_ANY = frozenset(words_in("a this that every each one way all"))
"""What stands before a round that is told by no number."""
