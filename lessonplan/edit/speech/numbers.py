"""Numbers in speech: in words or digits, with halves and quarters, dozens, ranges, and as ordinals.

Automatic captions have no punctuation and write what they hear, so that “four” may stand as “for” and “two” as “to”;
these are read as numbers only where a unit follows, or inside a number that goes on (“twenty to rounds”).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import NamedTuple

BEGINS_WORD = r"(?<!\w)(?=\w)"
"""Where a word begins, for long expressions: it is found sooner than any border of words."""


def words_in(text: str) -> tuple[str, ...]:
    """Give the words of a list that is written as one text."""
    return tuple(text.split())


_UP_TO_TEN = words_in("zero one two three four five six seven eight nine ten")
_TEENS = words_in("eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen")
_TIES = words_in("twenty thirty forty fifty sixty seventy eighty ninety")
COUNTS = {name: value for value, name in enumerate((*_UP_TO_TEN, *_TEENS))}
"""The numbers below twenty, by their words."""
TENS = {name: 10 * place for place, name in enumerate(_TIES, 2)} | {"fourty": 40, "ninty": 90}
"""The tens, by their words as they are said or written."""
_FIRSTS = words_in("first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth")
ORDINALS = {
    **{name: place for place, name in enumerate(_FIRSTS, 1)},
    **{f"{name}th": COUNTS[name] for name in _TEENS[2:]},
    **{f"{name[:-1]}ieth": value for name, value in TENS.items()},
    "hundredth": 100,
}
"""The place in a row that each word names."""
_PARTS = {"half": 1 / 2, "halfs": 1 / 2, "quarter": 1 / 4, "third": 1 / 3, "eighth": 1 / 8}
_SIGNS = {
    "¼": (1 / 4, 4), "½": (1 / 2, 2), "¾": (3 / 4, 4), "⅓": (1 / 3, 3), "⅔": (2 / 3, 3),
    "⅛": (1 / 8, 8), "⅜": (3 / 8, 8), "⅝": (5 / 8, 8), "⅞": (7 / 8, 8),
}  # fmt: skip
_SOUNDS = {"to": 2, "too": 2, "for": 4, "fore": 4, "ate": 8, "won": 1, "tin": 10}
"""What automatic captions write for a number that sounds alike (from memory of such captions)."""
BEGINS = frozenset({*COUNTS, *TENS, *ORDINALS, *_PARTS, *_SOUNDS, "quarters", "thirds", "couple", "dozen", "hundred"})
BEGINS |= {"a", "an"}
_LEADS = frozenset(
    words_in(
        "knit purl work slip decrease increase next last these those have are only exactly about after "
        "until first another every pick off on up be is was with does do of all then want need needs take takes get "
        "gets make makes gives leaves left than it's there's plus minus use buy again slipped in"
    )
)
"""Words behind which such a sound is a number, where a unit follows it."""
_DIGITS = re.compile(r"(\d{1,9}(?:[.,]\d{1,4})?)(st|nd|rd|th|½|¼|¾|⅓|⅔|⅛|⅜|⅝|⅞)?")


class Token(NamedTuple):
    """A word as it was said or typed, in small letters; when (s, in captions), and where in its text (typed)."""

    text: str
    start: float = 0.0
    place: int = 0


@dataclass(frozen=True, slots=True)
class Number:
    """A number in a row of tokens, from token ``first`` up to ``end``; ``low`` and ``high`` differ in a range.

    ``ordinal``: “the ninth”. ``loose``: “a couple”, which nobody counts. ``part``: the least part it is given in (1
    where it is whole).
    """

    first: int
    end: int
    low: float
    high: float
    ordinal: bool = False
    loose: bool = False
    part: float = 1.0

    @property
    def value(self) -> float:
        """The number, or the higher end of a range."""
        return self.high


def numbers_in(tokens: Sequence[str], units: frozenset[str]) -> tuple[Number, ...]:
    """Find the numbers in a row of words; ``units`` are the words before which a sound is taken for a number."""
    found = _ranges(tuple(_each(tokens, units)), tokens)
    return tuple(found)


def _each(tokens: Sequence[str], units: frozenset[str]) -> Iterator[Number]:
    at = 0
    while at < len(tokens):
        word = tokens[at]
        if word in BEGINS or word[0].isdigit():
            one = _at(tokens, at, units)
        else:
            one = _of_needles(tokens, at) if word in NEEDLES else None
        if one and word in TENS and tokens[at + 1 : at + 2] == [word] and {*tokens[at + 3 : at + 4]} & units:
            at += 1  # a false start: “twenty, twenty two rounds”
        elif one:
            yield one
            at = one.end
        else:
            at += 1


NEEDLES = {f"{name}s": COUNTS[name] for name in (*_UP_TO_TEN[2:6], *_UP_TO_TEN[7:])} | {"sixes": 6}
"""Needles called by their size: “on my fours”."""
_ON = frozenset(words_in("on onto to with off use need take"))
_MINE = frozenset(words_in("my your our the those these some"))


def _of_needles(tokens: Sequence[str], at: int) -> Number | None:
    """Read “on my fours”, “off the threes”, “a pair of fives”: needles, by their size."""
    if at == 0:
        return None
    before = tokens[max(0, at - 2) : at]
    told = before[-1] in _ON or before == ["pair", "of"] or (before[-1] in _MINE and before[-1] != "the")
    told = told or (before[-1] in _MINE and before[0] in (*_ON, "are", "are", "is"))
    return _whole(at, at + 1, NEEDLES[tokens[at]]) if told else None


def _at(tokens: Sequence[str], at: int, units: frozenset[str]) -> Number | None:
    """Read the number that begins at a token, if one does."""
    word = tokens[at]
    after = tokens[at + 1] if at + 1 < len(tokens) else ""
    if after in ("baker's", "bakers") and tokens[at + 2 : at + 3] == ["dozen"]:
        return _whole(at, at + 3, 13)
    if word in ("a", "an", "one") and after in ("couple", "dozen", "hundred"):
        return _from(tokens, at + 1, units, at)
    if word == "a" and after in ("good", "full", "whole", "solid") and tokens[at + 2 : at + 3] == ["hour"]:
        return _whole(at, at + 2, 1)
    if word in ("a", "an") and after in ("hour", "meter", "metre", "yard"):
        return _with_part(tokens, _whole(at, at + 1, 1))
    if word in ORDINALS and not (word == "second" and after in ("s", "")):
        return _whole(at, at + 1, ORDINALS[word], ordinal=True)
    if word in TENS and after in ORDINALS and ORDINALS[after] < 10:
        return _whole(at, at + 2, TENS[word] + ORDINALS[after], ordinal=True)
    if word in ("half", "quarter", "quarters", "third", "thirds"):
        return _part_alone(tokens, at)
    if (word == "three" and after in ("quarter", "quarters")) or (word == "two" and after == "thirds"):
        value = 3 / 4 if word == "three" else 2 / 3
        return Number(at, _past_of(tokens, at + 2), value, value, part=1 / 4)
    if word in _SOUNDS:
        return _sound(tokens, at, units)
    return _from(tokens, at, units, at)


def _sound(tokens: Sequence[str], at: int, units: frozenset[str]) -> Number | None:
    """Read “for” as four: before a unit, before “and three quarter inches”, behind a stitch (“knit to purl to”)."""
    before, after = tokens[at - 1] if at else "", tokens[at + 1] if at + 1 < len(tokens) else ""
    number = _whole(at, at + 1, _SOUNDS[tokens[at]])
    if after in units and (before in _LEADS or before in TENS):
        return number
    if tokens[at] == "ate" and after in ("in", "for", "left", "remain", "of"):
        return number
    parted = _with_part(tokens, number)
    if parted.end > number.end and tokens[parted.end : parted.end + 1] and tokens[parted.end] in units:
        return parted
    return number if before in _WORKED and after in _GOES_ON else None


_WORKED = frozenset(words_in("knit purl slip slipped knitted purled k p"))
_GOES_ON = frozenset(words_in("knit purl slip work and then so round all over again repeat")) | {""}
"""What follows a number of stitches in a rhythm, and follows no “to” or “for” that are words."""


def _from(tokens: Sequence[str], at: int, units: frozenset[str], first: int) -> Number | None:
    """Read a cardinal number, and the parts behind it."""
    word = tokens[at]
    if word == "couple":
        return replace(_whole(first, at + 1, 2), loose=True)
    if word == "dozen":
        return _whole(first, at + 1, 12)
    digits = _DIGITS.fullmatch(word)
    if digits:
        value, end = float(digits[1].replace(",", ".")), at + 1
        sign = digits[2] or ""
        if sign in _SIGNS:
            more, parts = _SIGNS[sign]
            return Number(first, end, value + more, value + more, part=1 / parts)
        if sign:
            return _whole(first, end, int(value), ordinal=True)
        if value % 1:
            return Number(first, end, value, value, part=_decimal_part(value))
        return _with_part(tokens, Number(first, end, value, value))
    number, end = _cardinal(tokens, at, units)
    if end == at:
        return None
    if end < len(tokens) and tokens[end] == "dozen":
        return _whole(first, end + 1, 12 * number)
    return _with_part(tokens, _whole(first, end, number))


def _cardinal(tokens: Sequence[str], at: int, units: frozenset[str]) -> tuple[int, int]:
    """Read a whole number in words: its value, and where it ends (at its beginning where there is none)."""
    below, end = _below_hundred(tokens, at, units)
    if below and tokens[end : end + 1] == ["thousand"]:
        skip = end + 1 + (tokens[end + 1 : end + 2] == ["and"])
        more, to = _cardinal(tokens, skip, units)
        return (1000 * below + more, to) if to > skip else (1000 * below, end + 1)
    if end == at + 1 and 0 < below < 10 and end < len(tokens) and tokens[end] in TENS:
        more, to = _below_hundred(tokens, end, units)
        if to < len(tokens) and tokens[to] in _HUNDREDS:
            return 100 * below + more, to  # “two twenty five metres”
    if at < len(tokens) and tokens[at] == "hundred":
        below, end = 1, at
    if end < len(tokens) and tokens[end] == "hundred" and 0 < below < 10:
        end += 1
        skip = end + (end < len(tokens) and tokens[end] == "and")
        more, to = _below_hundred(tokens, skip, units)
        return (100 * below + more, to) if to > skip else (100 * below, end)
    return below, end


_HUNDREDS = frozenset(words_in("meter meters metre metres yard yards gram grams"))


def _below_hundred(tokens: Sequence[str], at: int, units: frozenset[str]) -> tuple[int, int]:
    word = tokens[at] if at < len(tokens) else ""
    if word in TENS:
        after = tokens[at + 1] if at + 1 < len(tokens) else ""
        if 0 < COUNTS.get(after, 0) < 10:
            return TENS[word] + COUNTS[after], at + 2
        if after in _SOUNDS and at + 2 < len(tokens) and tokens[at + 2] in units:
            return TENS[word] + _SOUNDS[after], at + 2
        return TENS[word], at + 1
    return (COUNTS[word], at + 1) if word in COUNTS else (0, at)


def _with_part(tokens: Sequence[str], number: Number) -> Number:
    """Take what follows a whole number: “and a half”, “and three quarters”, “three quarter”."""
    end = number.end
    rest = [*tokens[end : end + 3], "", "", ""][:3]
    if rest[0] == "point" and (tenths := COUNTS.get(rest[1], 10)) < 10:
        five = rest[2] == "five" and tenths in (2, 7)
        value = number.low + tenths / 10 + (0.05 if five else 0.0)
        return Number(number.first, end + 2 + five, value, value, part=_decimal_part(value))
    if rest[0] == "and" and rest[1] in ("a", "one") and rest[2] in _PARTS:
        return _more(number, end + 3, _PARTS[rest[2]])
    if rest[0] == "and" and rest[1] in ("three", "3") and rest[2] in ("quarter", "quarters"):
        return _more(number, end + 3, 3 / 4)
    if rest[0] == "and" and rest[1] == "two" and rest[2] == "thirds":
        return _more(number, end + 3, 2 / 3)
    if rest[0] == "three" and rest[1] in ("quarter", "quarters"):
        return _more(number, end + 2, 3 / 4)
    if rest[0] == "odd" and rest[1] not in ("number", "round", "rounds", "row", "rows", "numbers"):
        return replace(number, end=end + 1, loose=True)
    if rest == ["and", "a", "bit"]:
        return replace(number, end=end + 3)
    if rest[0] == "and" and rest[2] in ("eighths", "eighth") and (eighths := COUNTS.get(rest[1], 0)) in (1, 3, 5, 7):
        return _more(number, end + 3, eighths / 8)
    if rest[0] == "and" and rest[1] == "half" and rest[2] != "of":
        return _more(number, end + 2, 1 / 2)
    return number


def _more(number: Number, end: int, part: float) -> Number:
    value = number.low + part
    return Number(number.first, end, value, value, part=_least(part))


def _least(part: float) -> float:
    """The least part that a fraction is given in: a quarter for three of them."""
    return next(1 / parts for parts in (2, 3, 4, 8) if abs(part * parts - round(part * parts)) < 1e-6)


def _decimal_part(value: float) -> float:
    """The least part that a decimal is given in: half for 6.5, which is said of what lies near it."""
    return next((1 / parts for parts in (2, 4, 10) if abs(value * parts - round(value * parts)) < 1e-6), 0.01)


def _part_alone(tokens: Sequence[str], at: int) -> Number | None:
    """Read “half an inch”, “a quarter of an hour”, “half a dozen”; “half the stitches” is none."""
    part = _PARTS[tokens[at].removesuffix("s")]
    first = at - (at > 0 and tokens[at - 1] in ("a", "one"))
    end = _past_of(tokens, at + 1)
    if tokens[end : end + 1] == ["dozen"]:
        return _whole(first, end + 1, 6)
    return Number(first, end, part, part, part=_least(part))


def _past_of(tokens: Sequence[str], end: int) -> int:
    """Go past “of an” in “a quarter of an hour”."""
    end += end < len(tokens) and tokens[end] == "of"
    return end + (end < len(tokens) and tokens[end] in ("a", "an"))


def _whole(first: int, end: int, value: int, ordinal: bool = False) -> Number:
    return Number(first=first, end=end, low=float(value), high=float(value), ordinal=ordinal)


_FITS = frozenset(words_in("knuckles head heads hand hands wrist wrists palm fit fits measure measures foot feet"))
"""What is told of whom a size fits: “from sixteen to seventeen round the knuckles”."""


def _ranges(numbers: Sequence[Number], tokens: Sequence[str]) -> Iterator[Number]:
    """Put two numbers with “to”, “or” or nothing but a step of one between them into a range: “two or three”."""
    at = 0
    while at < len(numbers):
        one = numbers[at]
        other = numbers[at + 1] if at + 1 < len(numbers) else None
        if other and not one.ordinal and not other.ordinal and one.high < other.low:
            between = tuple(tokens[one.end : other.first])
            before = tokens[one.first - 1] if one.first else ""
            near = other.low - one.high <= 2 and other.high <= 12
            long = tokens[other.end : other.end + 1] != [] and tokens[other.end].startswith(("inch", "centi", "cm"))
            fits = other.high <= 1.15 * one.low and not _FITS.isdisjoint(tokens[max(0, one.first - 14) : other.end + 6])
            long = long or (before == "from" and fits)
            joined = (between in (("to",), ("up", "to")) and (before not in ("from", "round", "row") or long)) or (
                not between and other.low - one.high == 1 and one.low >= 4 and other.end < len(tokens)
            )
            third = numbers[at + 2] if at + 2 < len(numbers) else None
            if third and third.low > other.high and tokens[other.end : third.first] in (["or"], ["and"]):
                joined = False  # “seven, eight or nine”, in three sizes
            if joined or (between in (("or",), ("and",)) and ((near and between == ("or",)) or before == "between")):
                yield replace(one, end=other.end, high=other.high, part=min(one.part, other.part))
                at += 2
                continue
        yield one
        at += 1


def _in_step(numbers: Sequence[Number], tokens: Sequence[str]) -> frozenset[int]:
    """Find, by their first tokens, numbers that go on by one step, the same words between: “that's ten that's …”."""
    found = set[int]()
    for one, other, third in zip(numbers, numbers[1:], numbers[2:], strict=False):
        between = [tuple(tokens[a.end : b.first]) for a, b in ((one, other), (other, third))]
        step = other.low - one.low
        if (
            between[0] == between[1]
            and 0 < len(between[0]) <= 2
            and between[0] != ("or",)
            and step
            and step == third.low - other.low
        ):
            found |= {one.first, other.first, third.first}
    return frozenset(found)


def counted_aloud(numbers: Sequence[Number], tokens: Sequence[str] = ()) -> frozenset[int]:
    """Find, by their first tokens, numbers that are only counted: three or more in a row, from one or from the step."""
    found = {*_in_step(numbers, tokens)}
    run: list[Number] = []
    for one in (*numbers, None):
        if one and run and not one.ordinal and one.first == run[-1].end and one.low != run[-1].low:
            run.append(one)
            continue
        steps = [b.low - a.low for a, b in pairwise(run)]
        regular = steps and len({*steps[:2]}) == 1 and (steps[0] == 1 or run[0].low in (1, steps[0]))
        if len(run) > 3 and len({*steps}) == 1:
            found |= {number.first for number in run}  # whatever it is: “eleven thirteen fifteen seventeen”
        if len(run) > 2 and regular:
            # “seven, seven stitches” or a last jump says the sum: it is not counted on, but said.
            last = run[-1] if len({*steps}) == 1 else None
            found |= {number.first for number in (run if last else run[:-1])}
            goes_on = (
                one and not one.ordinal and one.low == run[-1].low + steps[0] <= 12 and one.first <= run[-1].end + 3
            )
            found |= {one.first} if one and goes_on else set()
        run = [one] if one and not one.ordinal else []
    return frozenset(found)
