"""Every key that a course file may hold: where it stands, what it takes, and what stands beside it in the model.

The meaning, the unit of a plain number and an example are written once, as the text below the field of the model:
``How fast she speaks. In words a minute. Example: 132``. They are read from its source when somebody asks.
"""

from __future__ import annotations

import ast
import inspect
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import NoneType
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from lessonplan.course.model.agreed import Agreed
from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.pattern import Pattern
from lessonplan.course.model.publishing import Errata
from lessonplan.course.model.settings import CourseFile
from lessonplan.course.model.works import WORK_KEYS, LeftOut, Work
from lessonplan.course.read import SAME_KEYS
from lessonplan.course.values.fields import Item, Kind, Shorthand
from lessonplan.shoot.takes.learnt import BOUNDS, SPOKEN
from lessonplan.shoot.takes.learntfile import CAPTIONS, FIGURES

FILES: Mapping[str, type[Item]] = {
    "course.yaml": CourseFile,
    "pattern.yaml": Pattern,
    "episodes/….yaml": Episode,
    "errata.yaml": Errata,
    "agreed.yaml": Agreed,
}
"""The files of a course, as a person reads them; ``learnt.yaml`` is told of apart, for it has no model of this kind."""
NAMED = "…"
"""Stands in a path for a name of the teacher's own."""
_DOC = re.compile(r"(?P<meaning>.+?)(?: In (?P<unit>[^.]+)\.)?(?: Example: (?P<example>.+))?", re.DOTALL)


@dataclass(frozen=True)
class Doc:
    """What stands below a field of the model: its meaning, the unit of a plain number, an example as it is typed."""

    meaning: str
    unit: str = ""
    example: str = ""


@dataclass(frozen=True)
class Key:
    """One key: its file, its place in it (`NAMED` for names of one's own), and what a person needs to type it.

    ``works``: the works that have it, by the keys that call them; empty outside the works of a stage. ``default`` is
    as one would type it, empty where the key is ``needed`` or nothing is meant without it.
    """

    file: str
    path: tuple[str, ...]
    kind: str
    needed: bool
    default: str
    doc: Doc
    works: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The key itself."""
        return self.path[-1]

    @property
    def also(self) -> str:
        """What it may be called in any craft, where its own name is knitting's."""
        holder = self.path[-2] if len(self.path) > 1 else "" if self.file == "course.yaml" else self.file
        return next((other for other, name in SAME_KEYS.get(holder, {}).items() if name == self.name), "")

    @property
    def place(self) -> str:
        """Where it stands: ``course.yaml: shoot > films``."""
        return f"{self.file}: {' > '.join(self.path)}{self._with}"

    @property
    def _with(self) -> str:
        """The works that have it, in brackets."""
        if not self.works or self.name in self.works:
            return ""
        return " (in every work)" if set(self.works) == set(WORK_KEYS) else f" (with {' or '.join(self.works)})"


@cache
def docs_of(model: type[Item]) -> Mapping[str, Doc]:
    """Read what stands below each field of a model, those that it inherits too."""
    found: dict[str, Doc] = {}
    for kind in reversed(model.__mro__):
        if issubclass(kind, Item) and kind is not Item:
            found |= _docs_in(kind.__module__).get(kind.__name__, {})
    return found


@cache
def _docs_in(module: str) -> Mapping[str, Mapping[str, Doc]]:
    classes = (
        node for node in ast.parse(inspect.getsource(sys.modules[module])).body if isinstance(node, ast.ClassDef)
    )
    return {node.name: dict(_fields_of(node)) for node in classes}


def _fields_of(node: ast.ClassDef) -> Iterator[tuple[str, Doc]]:
    for field, after in zip(node.body, node.body[1:], strict=False):
        if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name) and isinstance(after, ast.Expr):
            text = after.value.value if isinstance(after.value, ast.Constant) else None
            if isinstance(text, str):
                found = _DOC.fullmatch(" ".join(text.split()))
                parts = found.groupdict() if found else {}
                yield (
                    field.target.id,
                    Doc(parts.get("meaning") or "", parts.get("unit") or "", parts.get("example") or ""),
                )


@cache
def every_key() -> tuple[Key, ...]:
    """List all keys, file by file, in the order in which a person reads them; what several works have once for all."""
    found = [key for file, model in FILES.items() for key in _keys_of(model, file, ())]
    once: dict[tuple[object, ...], Key] = {}
    for key in found:
        known = once.setdefault((key.file, key.path, key.doc), key)
        if known is not key:
            works = tuple(dict.fromkeys((*known.works, *key.works)))
            once[key.file, key.path, key.doc] = Key(**{**vars(known), "works": works})
    return (*once.values(), *_learnt_keys())


def _keys_of(model: type[Item], file: str, path: tuple[str, ...], works: tuple[str, ...] = ()) -> Iterator[Key]:
    for name, field in model.model_fields.items():
        here = (*path, name)
        yield Key(
            file=file,
            path=here,
            kind=kind_of(field.annotation, field.metadata) + _in_short(field),
            needed=field.is_required(),
            default=default_of(field),
            doc=docs_of(model).get(name, Doc("")),
            works=works,
        )
        for inner, below in groups_in(field.annotation):
            if issubclass(inner, Work):
                callers = tuple(key for key, kind in WORK_KEYS.items() if kind is inner)
                yield from _keys_of(inner, file, (*here, *below), callers)
            else:
                yield from _keys_of(inner, file, (*here, *below))


def _in_short(field: FieldInfo) -> str:
    """Say that a group may also be written as one text."""
    short = next((one for one in field.metadata if isinstance(one, Shorthand)), None)
    if short is None:
        return ""
    return f", or each in short with its {short.key}" if short.key else ", or in short one text"


def groups_in(annotation: Any) -> Iterator[tuple[type[Item], tuple[str, ...]]]:
    """Give the groups of keys in a type, each with what stands before it in a path: names of one's own, or nothing."""
    if isinstance(annotation, type) and issubclass(annotation, Item):
        if annotation is not LeftOut:
            yield annotation, ()
    elif get_origin(annotation) is dict:
        yield from ((inner, (NAMED, *below)) for inner, below in groups_in(get_args(annotation)[1]))
    else:
        for part in get_args(annotation):
            yield from groups_in(part)


def kind_of(annotation: Any, metadata: list[Any]) -> str:
    """Say in words what a key takes."""
    told = [one for one in metadata if isinstance(one, Kind)]
    if told:
        return told[-1].words
    origin, inside = get_origin(annotation), [one for one in get_args(annotation) if one is not NoneType]
    if annotation is bool:
        return "yes or no"
    if origin is Literal:
        return f"one of: {', '.join(one for one in inside if one)}"
    if origin is dict:
        one = _plain(inside[1])
        return f"names of your own, each with {one}" if one else "names of your own, each with a group of keys"
    if origin is tuple:
        one = _plain(inside[0])
        return f"a list: {one}" if one else "a list of groups of keys"
    if isinstance(annotation, type):
        return "a group of keys"
    return next((kind_of(one, []) if not hasattr(one, "__metadata__") else _plain(one)) for one in inside)


def _plain(annotation: Any) -> str:
    """Say what a part of a type takes; nothing where it is a group of keys."""
    told = [one for one in getattr(annotation, "__metadata__", ()) if isinstance(one, Kind)]
    return told[-1].words if told else ""


def default_of(field: FieldInfo) -> str:
    """Give the default as one would type it; nothing where the key is needed, or nothing is meant without it."""
    kinds = [one for one in field.metadata if isinstance(one, Kind)]
    value = field.default
    if field.is_required() or value is None or isinstance(value, Item):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if kinds:
        typed = "" if kinds[-1].words == "a number" and not value else kinds[-1].typed(value)
        return f'"{typed}"' if typed.startswith("#") else typed  # else it would be a remark
    return str(value) if isinstance(value, str) else ""


def _learnt_keys() -> Iterator[Key]:
    """The keys of ``learnt.yaml``: paces with their figures, and those that captions tell in a block of their own."""
    for before, paces in (((), BOUNDS), ((CAPTIONS,), SPOKEN)):
        if before:
            said = Doc("What was learnt from the captions of earlier videos.")
            yield Key("learnt.yaml", before, "a group of keys", needed=False, default="", doc=said)
        for name, bounds in paces.items():
            said = Doc(f"A learnt pace; believable are {bounds.low:g} to {bounds.high:g} {bounds.why}.")
            yield Key("learnt.yaml", (*before, name), "a group of keys", needed=False, default="", doc=said)
    for name, meaning in FIGURES.items():
        needed = name in ("value", "n")
        said = Doc(meaning, example="132" if name != "n" else "12")
        yield Key("learnt.yaml", (NAMED, name), "a number", needed=needed, default="", doc=said)


def keys_like(name: str) -> tuple[Key, ...]:
    """Find keys by their name, or by the end of their place: ``films``, ``shoot.films``, ``shoot > films``."""
    wanted = tuple(part for part in re.split(r"[\s.>:/]+", name.strip().lower().removesuffix(":")) if part)
    names = [(key, _bare(key)) for key in every_key()] if wanted else []
    return tuple(key for key, bare in names if wanted in (bare[-len(wanted) :], (*bare[:-1], key.also)[-len(wanted) :]))


def _bare(key: Key) -> tuple[str, ...]:
    return tuple(part for part in key.path if part != NAMED)
