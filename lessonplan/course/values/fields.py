"""The kinds of values that stand in a course file, as types for the model; all are read from text."""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetPydanticSchema,
    PrivateAttr,
    model_validator,
)
from pydantic.functional_validators import ModelWrapValidatorHandler
from pydantic_core import core_schema

from lessonplan.course.problems import Where
from lessonplan.course.values import quantities as q
from lessonplan.course.yamltext import MarkedMap, Marks

FIRST_YEAR, LAST_YEAR = 1990, 2199
"""Days of a course lie in these years, so that no calendar counted from them comes to the ends of time."""
MOST_SIGNS = 10_000
"""No single text is longer: that is a quarter of an hour of talk."""
SCALAR = {"type": ["string", "number", "boolean"]}
LISTED = {"type": ["string", "number", "boolean", "array"], "items": SCALAR}
"""In terms of JSON Schema a plain value, and one or a list of them. An editor's YAML takes 20 for a number."""
_WHOLE = {"type": ["integer", "string"], "pattern": r"^\s*\d+\s*$"}
_NUMBER = {"type": ["number", "string"]}
_UNIT = {"type": "string", "pattern": r"\d.*[A-Za-z\"″”]"}
_DAY = {"type": "string", "pattern": r"^\s*\d{4}-\d{2}-\d{2}"}
NAMES_FACTS = "names facts"
"""Marks the texts in which facts are filled in; in all others braces are a mistake."""


def _as_typed(value: Any) -> str:
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


@dataclass(frozen=True, eq=False)  # each is only itself, so that types which hold it can be told apart quickly
class Kind:
    """A kind of value as help tells of it: in words, and in terms of JSON Schema (what surely is wrong is refused)."""

    words: str
    schema: Mapping[str, Any]
    typed: Callable[[Any], str] = _as_typed
    """A value as one would type it."""


@dataclass(frozen=True)
class Shorthand:
    """Marks a group that may also be written as one text: instead of its key ``key``, each of a mapping or list."""

    key: str = ""
    each: bool = False


def text_of(value: Any) -> str:
    """Take a value for a text, or say that a list or a mapping stands where a text is expected."""
    if isinstance(value, str):
        if len(value) > MOST_SIGNS:
            raise ValueError(f"this text has {len(value):,} signs; {MOST_SIGNS:,} are the most that are read in one")
        return value
    if value is None:
        raise ValueError("a value is missing after this key (a # begins a remark; put text with a # in quotes)")
    if isinstance(value, (list, dict)):
        raise ValueError("a single text is expected here, not a list")
    return str(value)


def _reader(read: Callable[[str], Any]) -> BeforeValidator:
    return BeforeValidator(lambda value: value if isinstance(value, (float, q.Extent)) else read(text_of(value)))


def _pair_reader(read: Callable[[str], tuple[float, float]]) -> Callable[[Any], tuple[float, float]]:
    return lambda value: value if isinstance(value, tuple) else read(text_of(value))


def _each_size(value: Any) -> list[str]:
    if isinstance(value, list):
        return [text_of(item) for item in value]
    return q.split_sizes(text_of(value))


def _texts(value: Any) -> list[str]:
    if isinstance(value, list):
        return [text_of(item) for item in value]
    return [line for line in text_of(value).splitlines() if line.strip()]


def _names(value: Any) -> list[str]:
    if isinstance(value, list):
        return [text_of(item).strip() for item in value]
    return [part.strip() for part in text_of(value).split(",") if part.strip()]


_RANGE = re.compile(r"(\d{1,4}(?:\.\d{1,4}){0,2})\s*(?:to|until|-|–|\.\.+|…)\s*(\d{1,4}(?:\.\d{1,4}){0,2})")


def _numbers(value: Any) -> list[str]:
    """Take numbers of shots, segments or episodes; ``1.2 to 1.5`` names all from one to the other."""
    found: list[str] = []
    for name in _names(value):
        ends = _RANGE.fullmatch(name)
        if ends is None:
            found.append(name)
            continue
        (*before, first), (*same, last) = (end.split(".") for end in ends.groups())
        if before != same or int(first) > int(last):
            raise ValueError(f"“{name}” should go up within one episode or segment, such as “1.2 to 1.5”")
        found += [".".join((*before, str(number))) for number in range(int(first), int(last) + 1)]
    return found


def _people(value: Any) -> list[str]:
    given = value if isinstance(value, list) else [value]
    parts = (part for one in given for part in re.split(r",(?:\s*and\s)?|\sand\s|&", text_of(one)))
    names = [name for part in parts if (name := " ".join(part.split()))]
    counted = next((name for name in names if name.isdigit()), None)
    if counted is not None:
        raise ValueError(f"“{counted}” is a number; people are named here, such as “Ida and Bo”")
    return names


def _extent(value: Any, read: Callable[[str], q.Extent] = q.read_extent) -> Any:
    if isinstance(value, list):
        parts = [read(text_of(item)) for item in value]
        if not parts:
            raise ValueError("a value is missing in this list")
        if len({part.kind for part in parts}) > 1:
            raise ValueError("all sizes should be given in the same way here")
        return q.Extent(parts[0].kind, tuple(number for part in parts for number in part.values))
    return value if isinstance(value, q.Extent) else read(text_of(value))


def _period(value: Any) -> tuple[date, date]:
    text = text_of(value)
    first, _, last = text.replace(" until ", " to ").partition(" to ")
    start = day_in(first, text, " or a period (2027-03-14 to 2027-03-20)")
    end = day_in(last, text, " or a period (2027-03-14 to 2027-03-20)") if last else start
    if end < start:
        raise ValueError(f"“{text}” ends before it starts")
    return start, end


def day_in(text: str, whole: str = "", more: str = "") -> date:
    """Read one date, ``2027-03-14``, perhaps a part of a ``whole`` text; ``more``: what else may stand there.

    Raises ``ValueError`` with one plain sentence; a day that its month does not have, and one written in another order,
    are told of as such.
    """
    whole, text = whole or text, text.strip()
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError(_no_day(text, whole, more)) from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise ValueError(f"the year of {day} should lie between {FIRST_YEAR} and {LAST_YEAR}")
    return day


def _no_day(text: str, whole: str, more: str) -> str:
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        year, month, day = (int(part) for part in text.split("-"))
        if 1 <= month <= 12 and year:
            last = calendar.monthrange(year, month)[1]
            return f"there is no “{text}”: {calendar.month_name[month]} {year} has {last} days"
        return f"there is no “{text}”: the month is a number from 01 to 12"
    if found := re.fullmatch(r"(\d{1,2})\.\s*(\d{1,2})\.\s*(\d{4})", text):
        day, month, year = (int(part) for part in found.groups())
        return f"“{text}” should be written year first: {year}-{month:02}-{day:02}"
    return f"“{whole}” is not a date (2027-03-14){more}"


def _day(value: Any) -> date:
    return value if isinstance(value, date) else day_in(text_of(value))


def _periods(value: Any) -> Any:
    """Take one period, or several with commas between, for a list of them."""
    return [part.strip() for part in value.split(",")] if isinstance(value, str) else value


def _within_a_day(minutes: float) -> float:
    if minutes > 1440:
        raise ValueError(f"{minutes / 60:,.0f} hours are too long here; a day at most")
    return minutes


def _all(value: Any) -> int:
    text = text_of(value).strip().lower()
    return 0 if text in {"all", "rest"} else q.read_count(text)


def _per_size(values: Any) -> GetPydanticSchema:
    """Read as a tuple of such values, and keep it as a value for each size."""
    return GetPydanticSchema(lambda _, read: core_schema.no_info_after_validator_function(q.PerSize, read(values)))


Text = Annotated[str, BeforeValidator(text_of), Kind("text", SCALAR)]
Texts = Annotated[tuple[str, ...], BeforeValidator(_texts), Kind("texts, one a line", LISTED)]
FactText = Annotated[Text, NAMES_FACTS]
FactTexts = Annotated[Texts, NAMES_FACTS]
Names = Annotated[tuple[str, ...], BeforeValidator(_names), Kind("names, parted by commas", LISTED)]
Filmed = Annotated[tuple[str, ...], BeforeValidator(_numbers), Kind("numbers, parted by commas, or … to …", LISTED)]
People = Annotated[tuple[str, ...], BeforeValidator(_people), Kind("names, parted by commas or “and”", LISTED)]
Count = Annotated[int, _reader(q.read_count), Kind("a whole number, 1 or more", _WHOLE)]
Whole = Annotated[int, _reader(q.read_whole), Kind("a whole number", _WHOLE)]
Amount = Annotated[float, _reader(q.read_number), Field(ge=0), Kind("a number", _NUMBER)]
Number = Annotated[float, _reader(q.read_number), Field(gt=0), Kind("a number", _NUMBER)]
Length = Annotated[
    float,
    _reader(q.read_length),
    Kind("a length with its unit (mm, cm, m, in, ft, yd)", _UNIT, lambda mm: f"{mm / 10:g} cm"),
]
_TIME = Kind(
    "a time with its unit (s, min, h, days)",
    _UNIT,
    lambda minutes: f"{minutes:g} min" if minutes >= 1 else f"{minutes * 60:.0f} s",
)
Minutes = Annotated[float, _reader(q.read_duration), Field(ge=0), _TIME]
MinutesOfADay = Annotated[Minutes, AfterValidator(_within_a_day)]
Clock = Annotated[
    int,
    BeforeValidator(lambda value: value if isinstance(value, int) else q.read_clock(text_of(value))),
    Kind("a time of day", _NUMBER, lambda minutes: f"{minutes // 60}:{minutes % 60:02}"),
]
Share = Annotated[
    float,
    _reader(q.read_percent),
    Field(gt=0, le=1),
    Kind("a share, such as 15 %", _NUMBER, lambda share: f"{share:.0%}"),
]
Day = Annotated[date, BeforeValidator(_day), Kind("a date: year-month-day", _DAY)]
Period = Annotated[tuple[date, date], BeforeValidator(_period), Kind("dates or periods (… to …)", _DAY)]
Periods = Annotated[tuple[Period, ...], BeforeValidator(_periods), Shorthand()]
_ONE = Field(min_length=1)
_EACH = "for each size 40 (44, 48), or one for all"
_sized_kind = Kind(f"a whole number, {_EACH}", LISTED)
Sized = Annotated[
    q.PerSize[int], _per_size(Annotated[tuple[Count, ...], _ONE]), BeforeValidator(_each_size), _sized_kind
]
SizedOrAll = Annotated[
    q.PerSize[int],
    _per_size(Annotated[tuple[int, ...], _ONE]),
    BeforeValidator(lambda value: [*map(_all, _each_size(value))]),
    Kind(f"a whole number, {_EACH}; or all", LISTED),
]
SizedNumber = Annotated[
    q.PerSize[float],
    _per_size(Annotated[tuple[Number, ...], _ONE]),
    BeforeValidator(_each_size),
    Kind(f"a number, {_EACH}", LISTED),
]
SizedLength = Annotated[
    q.PerSize[float],
    _per_size(Annotated[tuple[Length, ...], _ONE]),
    BeforeValidator(_each_size),
    Kind("a length with its unit, for each size 40 (44, 48) cm, or one for all", LISTED),
]
SizedAmount = Annotated[
    q.Portion,
    BeforeValidator(lambda value: value if isinstance(value, q.Portion) else q.read_portion(text_of(value))),
    Kind("an amount with its unit, for each size 450 (600) g, or one for all", LISTED),
]
Range = Annotated[tuple[float, float], BeforeValidator(_pair_reader(q.read_range)), Kind("a range of lengths", _UNIT)]
Ease = Annotated[tuple[float, float], BeforeValidator(_pair_reader(q.read_ease)), Kind("a length or a range", _UNIT)]
Rounds = Annotated[
    q.Extent,
    BeforeValidator(lambda value: _extent(value)),
    Kind("a number, a length, or “until 16 stitches remain”; for each size", LISTED),
]
CastOnCount = Annotated[
    q.Extent,
    BeforeValidator(lambda value: _extent(value, q.read_cast_on)),
    Kind("a number of stitches, or a width with its unit; for each size", LISTED),
]


class Item(BaseModel):
    """Anything with keys in a course file: frozen, no unknown keys, and it knows where it and its values stand."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True, defer_build=True)
    _marks: Marks = PrivateAttr(default_factory=Marks)

    @model_validator(mode="wrap")
    @classmethod
    def _keep_marks(cls, data: Any, handler: ModelWrapValidatorHandler[Any]) -> Any:
        item = handler(data)
        if isinstance(data, MarkedMap):
            item._marks = data.marks
        return item

    def mark(self, *path: str | int) -> Where:
        """Tell where a value stands (``item.mark("lines", 2)``), or else the nearest thing around it."""
        marks = self._marks
        for end in range(len(path), 0, -1):
            if path[:end] in marks.values:
                return marks.values[path[:end]]
        return marks.here

    def stands(self, key: str) -> bool:
        """Tell whether a key stands in the file, be its value right or wrong."""
        return key in self._marks.keys

    def line_mark(self, key: str, number: int) -> Where:
        """Tell where line ``number`` (0-based) of a value stands, a list of texts or one text of several lines."""
        if (key, number) in self._marks.values:
            return self._marks.values[key, number]
        first = self.mark(key)
        return Where(first.file, first.line + number, first.column)
