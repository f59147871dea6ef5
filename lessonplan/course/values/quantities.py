"""Quantities as a teacher types them: lengths, durations, clock times, values for each size.

Every reader takes text and gives a plain value or raises ``ValueError`` with one sentence. Lengths are in
millimetres, durations in minutes, clock times in minutes after midnight. Nothing is guessed: a length without a unit
is refused, and so is what two people read in two ways (``1,000``, ``41/2``). Numbers beyond all work are refused here,
so that nothing computed from them runs out of bounds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal, TypeVar

MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "yd": 914.4, "ft": 304.8}
_LENGTH_WORDS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "cm": "cm", "centimetre": "cm", "centimetres": "cm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "in": "in", "inch": "in", "inches": "in",
    '"': "in", "″": "in", "”": "in", "yd": "yd", "yds": "yd", "yard": "yd", "yards": "yd", "ft": "ft", "feet": "ft",
}  # fmt: skip
_TIME_WORDS = {
    "s": 1 / 60, "sec": 1 / 60, "secs": 1 / 60, "second": 1 / 60, "seconds": 1 / 60,
    "min": 1.0, "mins": 1.0, "minute": 1.0, "minutes": 1.0,
    "h": 60.0, "hr": 60.0, "hrs": 60.0, "hour": 60.0, "hours": 60.0,
    "d": 1440.0, "day": 1440.0, "days": 1440.0,
}  # fmt: skip
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
MOST = 1_000_000
"""No count and no number of a course is greater: more stitches than anybody works."""
LEAST = 0.001
"""No number but nothing itself is smaller."""
LONGEST = 10_000 * 60.0
"""Minutes that no single time of a course exceeds: 10,000 hours, over a year."""
FARTHEST = 10_000_000.0
"""Millimetres that no length of a course exceeds: 10 km."""
_MOST_SIGNS = 60
_NUMBER = r"\d+\s+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+"


def read_number(text: str) -> float:
    """Read a plain or mixed number: ``2``, ``2.5``, ``2,5``, ``2 1/2``, ``2½``.

    One that may mean a thousand or a decimal (``1,000``, ``1.250``) is refused.
    """
    _check_readable(text)
    return read_decimal(text)


def read_decimal(text: str) -> float:
    """Read a number as `read_number` does, with any number of decimals (``1.250``), as the program writes them."""
    if len(text) > _MOST_SIGNS:
        raise ValueError(f"“{text[:12]}…” is too long for a number")
    for sign, spelled in _VULGAR.items():
        text = text.replace(sign, f" {spelled}")
    text = text.strip()
    if re.fullmatch(rf"[-−]\s*(?:{_NUMBER})", text):
        return -read_decimal(text[1:])
    if not re.fullmatch(rf"(?:{_NUMBER})(?:[eE][+-]?\d{{1,3}})?", text):
        united = re.fullmatch(rf"({_NUMBER})\s*[A-Za-z]\S*", text)
        hint = f"; it stands without its unit here: “{united[1]}”" if united else ""
        raise ValueError(f"“{text}” is not a number{hint}")
    whole, _, part = text.replace("\t", " ").rpartition(" ")
    try:
        total = Fraction(part.replace(",", ".")) + (Fraction(whole) if whole else 0)
    except ZeroDivisionError:
        raise ValueError(f"“{text}” divides by zero") from None
    if "/" in part and Fraction(part) >= 1:
        raise ValueError(_odd_fraction(text, part, float(total)))
    if total > MOST:
        raise ValueError(f"{text} is more than anybody works")
    if total and float(total) < LEAST:
        raise ValueError(f"{text} is less than anybody measures")
    return float(total)


def _check_readable(text: str) -> None:
    """Refuse what is too long, and ``1,000`` or ``1.000``: the sign before three digits parts thousands or decimals."""
    if len(text) > _MOST_SIGNS:
        raise ValueError(f"“{text.strip()[:12]}…” is too long for a number or a time")
    found = re.search(r"(?<![\d.,])[1-9]\d{0,2}(?:[.,]\d{3})+(?![\d.,])", text)
    if not found:
        return
    plain = re.sub("[.,]", "", found[0])
    if len(found[0]) - len(plain) > 1:
        raise ValueError(f"“{found[0]}” is read only without signs between its digits: {plain}")
    decimal = f"{float(found[0].replace(',', '.')):g}"
    decimal += "0" if re.search(r"\.\d{3}$", decimal) else ""
    raise ValueError(f"“{found[0]}” may mean {plain} or {decimal}; write it like one of these")


def _odd_fraction(text: str, part: str, value: float) -> str:
    above, _, below = part.partition("/")
    if " " not in text and len(above) > 1 and 0 < int(above[-1]) < int(below):
        return f"“{text}” is {value:g}; if it means “{above[:-1]} {above[-1]}/{below}”, put a blank between"
    return f"“{text}” is an odd way to write {value:g}"


def read_length(text: str) -> float:
    """Read a length with its unit into millimetres: ``12 cm``, ``4 1/2 in``, ``5"``."""
    _check_readable(text)
    number, unit = _split_unit(text)
    if not unit:
        raise ValueError(f"“{text}” has no unit; write for example “{text} cm” or “{text} in”")
    if unit.lower() not in _LENGTH_WORDS:
        raise ValueError(f"“{unit}” is not a unit of length known here (mm, cm, m, in, ft, yd)")
    value = read_number(number) * MM_PER[_LENGTH_WORDS[unit.lower()]]
    if value <= 0:
        raise ValueError(f"“{text}” should be more than nothing")
    if value > FARTHEST:
        raise ValueError(f"“{text}” is longer than anything that is made (10 km at most)")
    return value


def read_range(text: str) -> tuple[float, float]:
    """Read a range of lengths into millimetres, low and high: ``5 to 10 cm``; a unit said once is for both."""
    low, high = _ends_of_range(text)
    found = read_length(low), read_length(high)
    if found[0] >= found[1]:
        raise ValueError(f"“{text}” should go from a shorter length to a longer one")
    return found


def read_ease(text: str) -> tuple[float, float]:
    """Read an ease into millimetres, least and most: ``0 to 2 cm``, ``-3 to -1 cm``, or a single ``2 cm``."""
    low, high = _ends_of_range(text) if re.search(r"\sto\s", text) else (text, text)
    found = _signed_length(low), _signed_length(high)
    if found[0] > found[1]:
        raise ValueError(f"“{text}” should go from a smaller ease to a larger one")
    return found


def _ends_of_range(text: str) -> tuple[str, str]:
    low, _, high = re.sub(r"\s+to\s+", "\n", text.strip(), count=1).partition("\n")
    if not high:
        raise ValueError(f"“{text}” is not a range such as “5 to 10 cm”")
    unit = _trailing_word(high)
    return (low if not unit or _trailing_word(low) else f"{low} {unit}"), high


def _signed_length(text: str) -> float:
    plain = text.strip()
    below = plain.startswith(("-", "−"))
    number, unit = _split_unit(plain[below:])
    if unit.lower() not in _LENGTH_WORDS:
        raise ValueError(f"“{plain}” is not an ease such as “2 cm” or “0 to 2 cm”")
    value = read_number(number) * MM_PER[_LENGTH_WORDS[unit.lower()]]
    if value > FARTHEST:
        raise ValueError(f"“{plain}” is more than anything that is made is long (10 km at most)")
    return -value if below else value


def read_duration(text: str) -> float:
    """Read a duration into minutes: ``20 min``, ``1 h 30 min``, ``45 s``, ``24 h``, ``2 days``."""
    total, rest = 0.0, text.strip()
    if not rest:
        raise ValueError("a time such as “20 min” is expected")
    _check_readable(text)
    while rest:
        found = re.match(rf"({_NUMBER})\s*([a-zA-Z]*)\.?[\s,]*(?:and\s+)?", rest)
        if not found:
            raise ValueError(f"“{text}” is not a time such as “20 min” or “1 h 30 min”")
        word = found.group(2).lower()
        if word not in _TIME_WORDS:
            so = _with_units(text.strip())
            missing = f"has no unit; write for example {so}" if not word else "is not a time such as “20 min”"
            raise ValueError(f"“{text}” {missing}")
        total += read_number(found.group(1)) * _TIME_WORDS[word]
        rest = rest[found.end() :]
    if total > LONGEST:
        raise ValueError(f"“{text}” is longer than anybody works ({LONGEST / 60:,.0f} hours at most)")
    return total


def _with_units(text: str) -> str:
    """Say how a time without units may be meant: ``1:30`` as hours or as minutes."""
    clock = re.fullmatch(r"(\d{1,3}):(\d{2})", text)
    if clock is None:
        return f"“{text} min” or “{text} s”"
    first, second = int(clock[1]), int(clock[2])
    units = [("min", "s"), ("h", "min")] if first or second else [("min", "s")]
    parts = ([f"{much} {unit}" for much, unit in zip((first, second), each, strict=True) if much] for each in units)
    return " or ".join(f"“{' '.join(each) or '0 s'}”" for each in parts)


def read_clock(text: str) -> int:
    """Read a time of day (24 hours) into minutes after midnight: ``9:00``, ``09.30``, ``17:15``."""
    found = re.fullmatch(r"\s*(\d{1,2})[:.](\d{2})\s*", text)
    if not found or int(found.group(1)) > 23 or int(found.group(2)) > 59:
        raise ValueError(f"“{text}” is not a time of day such as 9:30 or 17:00")
    return int(found.group(1)) * 60 + int(found.group(2))


def read_percent(text: str) -> float:
    """Read a share of one: ``50 %`` or ``0.5`` give 0.5; from 1 on the sign must be there (1 % or all of it?)."""
    _check_readable(text)
    found = re.fullmatch(rf"\s*({_NUMBER})\s*(%?)\s*", text)
    if not found:
        raise ValueError(f"“{text}” is not a share such as “50 %”")
    value = read_number(found.group(1))
    if found.group(2):
        return value / 100
    if value >= 1:
        whole = " or “100 %”" if value == 1 else ""
        raise ValueError(f"“{text.strip()}” has no sign; write “{text.strip()} %”{whole}")
    return value


def _split_unit(text: str) -> tuple[str, str]:
    for sign, spelled in _VULGAR.items():
        text = text.replace(sign, f" {spelled}")
    found = re.fullmatch(rf"\s*({_NUMBER})\s*([a-zA-Z\"″”]*)\.?\s*", text)
    if not found:
        raise ValueError(f"“{text}” is not a length such as “12 cm” or “4 1/2 in”")
    return found.group(1), found.group(2)


def split_sizes(text: str) -> list[str]:
    """Split a value as patterns print it for several sizes: ``40 (44, 48)`` gives ``["40", "44", "48"]``.

    A unit or a word printed once, after the last size or after the bracket, belongs to all of them.
    """
    found = re.fullmatch(r"\s*([^()\[\]]*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]\s*([^()\[\]]*?)\s*", text)
    if not found:
        return [text.strip()]
    first, others, after = found.groups()
    parts = [first, *re.split(r"\s*[,;:]\s+|\s*;\s*", others)]
    unit = after or _trailing_word(parts[-1])
    return [part if not unit or _trailing_word(part) else f"{part} {unit}" for part in parts]


def _trailing_word(text: str) -> str:
    found = re.search(r"[\d/½¼¾]\s*([a-zA-Z\"″”][a-zA-Z .]*)$", text)
    return found.group(1) if found else ""


Value = TypeVar("Value")


class PerSize(tuple[Value, ...]):
    """A value for each size, or one for all."""

    __slots__ = ()

    def at(self, size: int) -> Value:
        """Give the value for one size (0-based)."""
        return self[size if len(self) > 1 else 0]


ExtentKind = Literal["count", "length", "until"]


@dataclass(frozen=True, slots=True)
class Extent:
    """How far to work: so many rounds, a length in millimetres, or until so many stitches remain.

    ``values`` holds one number for every size, or one for all.
    """

    kind: ExtentKind
    values: tuple[float, ...]

    def at(self, size: int) -> float:
        """Give the value for one size (0-based)."""
        return PerSize(self.values).at(size)


def read_extent(text: str) -> Extent:
    """Read ``12``, ``12 (14, 16)``, ``5 cm``, ``5 (5.5, 6) cm`` or ``until 16 (18, 20) stitches remain``."""
    until = re.fullmatch(
        r"\s*until\s+(.+?)\s+(?:st|sts|stitch|stitches)\s+(?:remain|rem|are left|on the needles?)\s*", text
    )
    if until:
        return Extent("until", tuple(float(read_count(part)) for part in split_sizes(until.group(1))))
    parts = [re.sub(r"\s*\b(?:rounds?|rnds?|rows?)\b\.?$", "", part) for part in split_sizes(text)]
    if all(re.fullmatch(r"\d+", part) for part in parts):
        return Extent("count", tuple(float(read_count(part)) for part in parts))
    if any(re.search(r"until", part) for part in parts):
        raise ValueError(f"“{text}” should read like “until 16 stitches remain”")
    if len(parts) > 1 and all(re.fullmatch(r"\d+(?:,\d+)*", part) for part in parts):
        raise ValueError(f"“{text}” lacks a blank after a comma between sizes, or a unit")
    if less := next((part.strip() for part in parts if re.fullmatch(r"\s*[-−]\s*\d.*", part)), ""):
        raise ValueError(f"at least 1 is needed here, and {less} is given")
    if not re.search(r"[\d½¼¾⅛]", text):
        raise ValueError(f"“{text}” is neither a whole number such as 12 nor a length such as “12 cm”")
    return Extent("length", tuple(read_length(part) for part in parts))


def read_cast_on(text: str) -> Extent:
    """Read ``40 (44, 48)``, ``40 sts``, or a width: ``20 (22, 24) cm``."""
    parts = [re.sub(r"\s*\b(?:sts?|stitch(?:es)?)\b\.?$", "", part) for part in split_sizes(text)]
    if none := next((part for part in parts if re.fullmatch(r"\s*(?:0+|[-−]\s*\d.*)", part)), ""):
        raise ValueError(f"a cast-on has at least 1 stitch, and {none.strip()} is given")
    if all(re.fullmatch(r"\d+", part) for part in parts):
        return Extent("count", tuple(float(read_count(part)) for part in parts))
    if all(re.fullmatch(r"\d+(?:,\d+)*", part) for part in parts):
        return read_extent(text)  # commas between sizes that lack a blank, or in a thousand
    try:
        return Extent("length", tuple(read_length(part) for part in parts))
    except ValueError:
        what = f"“{text}” is neither a number of stitches such as 40 nor a width such as “20 cm”"
        raise ValueError(what) from None


@dataclass(frozen=True, slots=True)
class Portion:
    """So much of a material in each size, or once for all, in a unit of the teacher's own (none for single things)."""

    values: tuple[float, ...]
    unit: str

    def at(self, size: int) -> float:
        """Give the amount for one size (0-based)."""
        return PerSize(self.values).at(size)


def read_portion(text: str) -> Portion:
    """Read ``450 g``, ``4 (5, 6) sheets``, ``1.5 board feet``, ``3``."""
    found = [re.fullmatch(rf"\s*({_NUMBER})\s*([^\W\d][^\d]*?)?\s*", part) for part in split_sizes(text)]
    if not all(found):
        raise ValueError(f"“{text}” is not an amount such as “450 g” or “4 sheets”")
    units = dict.fromkeys((one[2] or "").strip() for one in found if one)
    if len(units) > 1:
        raise ValueError(f"“{text}” has several units; write the same one for all sizes")
    return Portion(tuple(read_number(one[1]) for one in found if one), next(iter(units)))


def read_whole(text: str) -> int:
    """Read a whole number, 0 or more."""
    plain = text.strip()
    _check_readable(plain)
    if not re.fullmatch(r"\d+", plain):
        raise ValueError(f"“{text}” is not a whole number")
    if int(plain) > MOST:
        raise ValueError(f"{plain} is more than anybody works")
    return int(plain)


def read_count(text: str) -> int:
    """Read a whole number, 1 or more."""
    value = read_whole(text)
    if value < 1:
        raise ValueError("at least 1 is needed here, and 0 is given")
    return value


_NAMED = re.compile(r"\{\{\s*length\s*\}\}")


def length_put_in(data: Any) -> Any:
    """Put the length of the rounds or rows of a work, as it is typed, into those of its lines that name it."""
    lines = data.get("lines") if isinstance(data, dict) else None
    if not _NAMED.search(str(lines)):
        return data
    typed = _typed(data.get("rounds", data.get("rows")))
    if not typed:
        return data
    each = lines if isinstance(lines, list) else [lines]
    filled = [_NAMED.sub(typed, one) if isinstance(one, str) else one for one in each]
    return {**data, "lines": filled if isinstance(lines, list) else filled[0]}


def _typed(value: Any) -> str:
    """A length of all sizes in one text, as it is typed; nothing where it is none."""
    first, *others = value if isinstance(value, list) and value else [value]
    text = f"{first} ({', '.join(map(str, others))})" if others else str(first)
    try:
        return " ".join(text.split()) if read_extent(text).kind == "length" else ""
    except ValueError:
        return ""
