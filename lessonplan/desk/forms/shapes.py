"""What may stand at a place of a course file, from the types of the model."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, reduce
from types import NoneType
from typing import Any, Literal, get_args, get_origin

from lessonplan.course.model.agreed import Agreed
from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.pattern import Pattern
from lessonplan.course.model.publishing import Errata
from lessonplan.course.model.settings import CourseFile
from lessonplan.course.model.works import WORK_KEYS, LeftOut, Work
from lessonplan.course.values.fields import NAMES_FACTS, Item, Kind, Shorthand
from lessonplan.desk.forms.values import FieldKind, Path
from lessonplan.reference.schema import OTHER_NAMES

_FILES: Mapping[str, type[Item]] = {
    "course.yaml": CourseFile,
    "pattern.yaml": Pattern,
    "errata.yaml": Errata,
    "agreed.yaml": Agreed,
}
_KINDS: tuple[tuple[str, FieldKind], ...] = (
    (r"a whole number, for each|a number, |a length with its unit, for|an amount|a number, a length", "sizes"),
    (r"texts, one a line", "lines"),
    (r"names, |numbers, parted", "names"),
    (r"a whole number|a number$", "number"),
    (r"a length|a range", "length"),
    (r"a time with", "time"),
    (r"a time of day", "time of day"),
    (r"a share", "share"),
    (r"a date", "date"),
    (r"dates or", "lines"),
)
"""How a value of a kind is typed, by the words in which help tells of that kind."""


@dataclass(frozen=True)
class Shape:
    """What may stand somewhere: one value, a group of keys, a list, or entries under names of the teacher's own.

    ``inside``: what each entry is. ``model``: the keys of a group; None for the works of a stage, whose keys depend on
    what stands there. ``short``: it may be written as one text too; of each entry ``short_each`` with that key's value.
    """

    what: Literal["value", "group", "list", "named"]
    kind: FieldKind = "text"
    choices: tuple[str, ...] = ()
    facts: bool = False
    listed: bool = False
    model: type[Item] | None = None
    inside: Shape | None = None
    short: bool = False
    short_each: str = ""


def model_of_file(file: str) -> type[Item] | None:
    """Give the model of a course file; None for a file that is kept by the program alone, or is none of a course."""
    if re.fullmatch(r"episodes/[^/]+\.ya?ml", file):
        return Episode
    return _FILES.get(file)


def shape_at(file: str, path: Path, data: Any) -> Shape | None:
    """Tell what may stand at a place of a file with this ``data``; None where the model knows none."""
    model = model_of_file(file)
    shape = Shape("group", model=model) if model else None
    for step in path:
        shape = below(shape, step, data) if shape else None
        data = inner(data, step)
    return shape


def inner(data: Any, step: str | int) -> Any:
    """Give what stands under a key or as an item of data; None where there is nothing."""
    if isinstance(data, dict):
        return data.get(str(step))
    if isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data):
        return data[step]
    return None


def held_at(data: Any, path: Path) -> Any:
    """Give what stands at a place of data; None where there is nothing."""
    return reduce(inner, path, data)


def below(shape: Shape, step: str | int, data: Any) -> Shape | None:
    """Tell what may stand one step further down, in data of this shape."""
    if shape.what in ("list", "named"):
        return shape.inside
    if shape.what == "value":
        return None
    model = shape.model or work_of(data)
    return shapes_of(model).get(OTHER_NAMES.get(model, {}).get(str(step), str(step))) if model else None


def work_of(data: Any) -> type[Item] | None:
    """Give the model of a work by the key that calls it; None where none does."""
    return next((kind for key, kind in WORK_KEYS.items() if isinstance(data, dict) and key in data), None)


@cache
def shapes_of(model: type[Item]) -> Mapping[str, Shape]:
    """Give the shapes of all keys of a group, in the order in which they are usually written: a work's own first."""
    shared = Work.model_fields if issubclass(model, Work) else {}
    names = [*(name for name in model.model_fields if name not in shared), *shared]
    fields = model.model_fields
    return {name: _shape(fields[name].annotation, tuple(fields[name].metadata)) for name in names}


def _shape(annotation: Any, metadata: tuple[Any, ...]) -> Shape:
    if get_origin(annotation) is not None and hasattr(annotation, "__metadata__"):
        return _shape(annotation.__origin__, (*metadata, *annotation.__metadata__))
    told = [one for one in metadata if isinstance(one, Kind)]
    origin, parts = get_origin(annotation), [one for one in get_args(annotation) if one is not NoneType]
    short = next((one for one in metadata if isinstance(one, Shorthand)), None)
    if origin is dict and (not told or "materials" in told[-1].words or "letters" in told[-1].words):
        return Shape("named", inside=_shape(parts[1], ()), short=bool(told), short_each=short.key if short else "")
    if told:
        return _value(told[-1], metadata, listed=origin is tuple)
    if annotation is bool:
        return Shape("value", "yes or no")
    if origin is Literal:
        return Shape("value", "choice", choices=tuple(str(one) for one in parts if one))
    if origin is tuple:
        inside = _shape(parts[0], ())
        whole = bool(short and short.each)
        if inside.what == "value":
            return Shape("value", "lines", listed=True)
        return Shape("list", inside=inside, short=whole, short_each=short.key if short else "")
    if isinstance(annotation, type) and issubclass(annotation, Item):
        return Shape("group", model=annotation, short=short is not None)
    kinds = [part for part in parts if _model(part) is not LeftOut]
    if len(kinds) > 1 and all(issubclass(model, Work) for part in kinds if (model := _model(part))):
        return Shape("group")
    return _shape(kinds[0], metadata)


def _model(annotation: Any) -> type[Item] | None:
    plain = getattr(annotation, "__origin__", annotation)
    return plain if isinstance(plain, type) and issubclass(plain, Item) else None


def _value(kind: Kind, metadata: tuple[Any, ...], *, listed: bool) -> Shape:
    if kind.words.startswith("one of: "):
        return Shape("value", "choice", choices=tuple(kind.words.removeprefix("one of: ").split(", ")))
    typed: FieldKind = next((how for words, how in _KINDS if re.match(words, kind.words)), "text")
    return Shape("value", typed, facts=NAMES_FACTS in metadata, listed=listed and typed in ("lines", "names"))
