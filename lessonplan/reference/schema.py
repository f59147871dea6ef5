"""The course files in terms of JSON Schema (2020-12), so that an editor completes keys and underlines what is wrong.

A schema refuses what is surely wrong (unknown keys, a missing key, a list where one text is expected, a length
without a unit) and nothing that the program reads; what needs the rest of the course is said by ``lessonplan check``.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from pathlib import Path
from types import NoneType
from typing import Any, Literal, get_args, get_origin

from annotated_types import MaxLen, MinLen
from pydantic.fields import FieldInfo

from lessonplan.course.files import locked, write_file
from lessonplan.course.model.agreed import Agreed, AgreedPiece
from lessonplan.course.model.episodes import Episode, Notes
from lessonplan.course.model.pattern import Pattern
from lessonplan.course.model.publishing import Errata
from lessonplan.course.model.settings import CourseFile, ShootDay
from lessonplan.course.model.works import WORK_KEYS, LeftOut, Work
from lessonplan.course.read import SAME_KEYS
from lessonplan.course.values.fields import SCALAR, Item, Kind, Shorthand
from lessonplan.reference.keys import default_of, docs_of

DIALECT = "https://json-schema.org/draft/2020-12/schema"
MODELS: Mapping[str, type[Item]] = {
    "course": CourseFile,
    "pattern": Pattern,
    "episode": Episode,
    "errata": Errata,
    "agreed": Agreed,
}
"""The kinds of course files by the names that the command takes."""
OTHER_NAMES: Mapping[type[Item], Mapping[str, str]] = {
    CourseFile: SAME_KEYS[""],
    ShootDay: SAME_KEYS["shoot"],
    Notes: SAME_KEYS["notes"],
    AgreedPiece: SAME_KEYS["pieces"],
}
"""Keys that have another name for crafts other than knitting, with the name in the model."""
FOLDER = "schema"
"""Where new courses keep the schemas, so that the first line of each file can point to them."""
_YES_NO = [*("yes", "no", "Yes", "No", "true", "false", "on", "off"), True, False]


def schema_of(name: str) -> dict[str, Any]:
    """Give the schema of a kind of course file, one of `MODELS`. Raises ``KeyError`` for any other name."""
    model = MODELS[name]
    groups: dict[str, dict[str, Any]] = {}
    whole = _group(model, groups)
    return {"$schema": DIALECT, "title": f"lessonplan: {name}", **whole, "$defs": groups}


def modeline(path: str) -> str:
    """Give the line by which common editors find the schema of a file, named by its path in the course's folder."""
    name = "episode" if path.startswith("episodes/") else path.removesuffix(".yaml")
    return f"# yaml-language-server: $schema={'../' * path.count('/')}{FOLDER}/{name}.json\n"


def _group(model: type[Item], groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """Give the schema of a group of keys; the groups within it are put into ``groups`` by their names."""
    docs, fields = docs_of(model), model.model_fields
    keys = {}
    for name, field in fields.items():
        doc, default = docs[name], default_of(field)
        said = doc.meaning + (f" In {doc.unit}." if doc.unit else "")
        shown = {"examples": [doc.example]} if doc.example else {}
        keys[name] = {
            "description": said,
            **_field(field, groups),
            **shown,
            **({"default": default} if default else {}),
        }
    for other, name in OTHER_NAMES.get(model, {}).items():
        keys[other] = {**keys[name], "description": f"Another name of “{name}”. {keys[name]['description']}"}
    found: dict[str, Any] = {"description": (model.__doc__ or "").split("\n")[0], "type": "object", "properties": keys}
    required = [name for name, field in fields.items() if field.is_required()]
    if required:
        found["required"] = required
    callers = [key for key, kind in WORK_KEYS.items() if kind is model]
    if len(callers) > 1:
        found["anyOf"] = [{"required": [key]} for key in callers]
    return {**found, "additionalProperties": False}


def _field(field: FieldInfo, groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    short = next((one for one in field.metadata if isinstance(one, Shorthand)), None)
    found = _value(field.annotation, field.metadata, groups)
    if short and short.each and "items" in found:  # sizes: also one text, or a list of texts
        found["items"] = {"anyOf": [SCALAR, found["items"]]}
        return {"anyOf": [SCALAR, found]}
    if short and short.each:  # of a mapping each value may be that of one key alone
        group = found["additionalProperties"]
        alone = groups[group["$ref"].rpartition("/")[2]]["properties"][short.key]
        kind = {key: alone[key] for key in ("type", "pattern", "items") if key in alone}
        found["additionalProperties"] = {"anyOf": [kind, group]}
    return {"anyOf": [SCALAR, found]} if short and not short.each else found


def _value(annotation: Any, metadata: Any, groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """Give the schema of what a key takes."""
    told = [one for one in metadata if isinstance(one, Kind)]
    if told:
        return copy.deepcopy(dict(told[-1].schema))
    origin, inside = get_origin(annotation), [one for one in get_args(annotation) if one is not NoneType]
    if annotation is bool:
        return {"enum": _YES_NO}
    if origin is Literal:
        return {"enum": inside}
    if origin is dict:
        return {"type": "object", "additionalProperties": _part(inside[1], groups)}
    if origin is tuple:
        least = next((one.min_length for one in metadata if isinstance(one, MinLen)), 0)
        most = next(({"maxItems": one.max_length} for one in metadata if isinstance(one, MaxLen)), {})
        return {"type": "array", "items": _part(inside[0], groups), "minItems": least, **most}
    if isinstance(annotation, type) and issubclass(annotation, Item):
        return _named(annotation, groups)
    return _part(inside[0], groups)


def _part(annotation: Any, groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """Give the schema of a part of a type, with what is said about it there."""
    metadata = getattr(annotation, "__metadata__", ())
    bare = annotation.__origin__ if metadata else annotation
    works = [one for one in _models_in(bare) if issubclass(one, Work) and one is not LeftOut]
    if len(works) > 1:
        return {"anyOf": [_named(one, groups) for one in works]}
    found = _value(bare, metadata, groups)
    return {"anyOf": [SCALAR, found]} if any(isinstance(one, Shorthand) for one in metadata) else found


def _models_in(annotation: Any) -> list[type[Item]]:
    if isinstance(annotation, type):
        return [annotation] if issubclass(annotation, Item) else []
    return [one for part in get_args(annotation) for one in _models_in(part)]


def _named(model: type[Item], groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    if model.__name__ not in groups:
        groups[model.__name__] = {}
        groups[model.__name__] = _group(model, groups)
    return {"$ref": f"#/$defs/{model.__name__}"}


def schema_files() -> Mapping[str, str]:
    """Give the text of every schema by its path in a course's folder."""
    names = {name: f"{FOLDER}/{name}.json" for name in MODELS}
    return {path: json.dumps(schema_of(name), indent=1, ensure_ascii=False) + "\n" for name, path in names.items()}


def write_schemas(course: Path) -> tuple[Path, ...]:
    """Write every schema into a course's folder, over older ones. Raises ``OSError``."""
    with locked(course):
        for name, text in schema_files().items():
            write_file(course / name, text.encode())
    return tuple(course / name for name in schema_files())
