"""What is posted from a form, and what it does to the text of its file: the one value at its place, nothing else.

Posted are, each as one text: ``file`` (as ``episodes/01.yaml``), ``digest`` (of the text that the form was made from;
the server compares it), ``kind`` (``set``, ``add``, ``remove``, ``move`` or ``rename``), ``path`` (JSON: a list of keys
and numbers from 0) and ``value``:

- ``set``: what was typed; empty takes the key away. ``path`` is that of the field.
- ``add``: ``path`` is that of the list. The entry is ``value``, or of several keys ``value.KEY`` each
  (``value.shots.0.view`` for one further in); ``work`` is the key that calls a work, whose value ``value`` is; ``name``
  is the entry's own name where entries have names; ``at`` its number, if not the last.
- ``remove``: ``path`` is that of the entry. No value.
- ``move``: ``value`` is ``up`` or ``down``.
- ``rename``: ``value`` is the new name; with ``also`` what names it elsewhere is renamed too (by who writes the files).
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, get_args

from lessonplan.course import byplace
from lessonplan.course.byplace import EditError, Value
from lessonplan.desk.forms.shapes import Shape, held_at, model_of_file, shape_at, shapes_of, work_of
from lessonplan.desk.forms.sources import source_of
from lessonplan.desk.forms.values import Path
from lessonplan.reference.schema import OTHER_NAMES

ChangeKind = Literal["set", "add", "remove", "move", "rename"]
_SPACED = frozenset({"segments", "shots", "stages"})
"""Lists whose entries are parted by blank lines from the beginning."""

_HEADS: Mapping[str, str] = {
    "course.yaml": "# The course as a whole: who teaches it, who makes the step samples, and when it is filmed.\n\n",
    "pattern.yaml": (
        "# The pattern. Every number that is said, shown or printed comes from here, so it stands here only once.\n"
        "# A value for all sizes is written as patterns print it: 40 (44, 48).\n\n"
    ),
    "episodes": "# An episode: its segments, each with its shots in the order of the story.\n\n",
    "errata.yaml": "# What was found wrong, and what is right.\n\n",
    "agreed.yaml": "",
}
"""The remarks with which a new file begins."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change of one file, as it was posted (see above)."""

    file: str
    kind: ChangeKind
    path: Path
    value: Value = ""
    name: str = ""
    work: str = ""
    at: int | None = None
    digest: str = ""
    also: bool = False


def change_from(posted: Mapping[str, str]) -> Change:
    """Read the fields of a posted form. Raises `EditError` for what no form posts."""
    kind, at = posted.get("kind", ""), posted.get("at", "")
    if kind not in get_args(ChangeKind) or not posted.get("file") or not re.fullmatch(r"\d{0,4}", at):
        raise EditError("This is no change of a form.")
    several = {key.removeprefix("value."): text for key, text in posted.items() if key.startswith("value.")}
    value = _together(several) if several else _tidy(posted.get("value", ""))
    return Change(
        file=posted["file"],
        kind=kind,  # type: ignore[arg-type]  # looked up above
        path=_path(posted.get("path", "")),
        value=value,
        name=_tidy(posted.get("name", "")),
        work=posted.get("work", ""),
        at=int(at) if at else None,
        digest=posted.get("digest", ""),
        also=bool(posted.get("also")),
    )


def _path(text: str) -> Path:
    try:
        path = json.loads(text or "[]")
    except ValueError:
        path = None
    fits = isinstance(path, list) and all(type(step) in (str, int) for step in path)
    if not fits or len(path) > 20:
        raise EditError("This is no place in a file.")
    return tuple(path)


def _tidy(text: str) -> str:
    """Take the ends of lines that browsers send, and what was typed behind the last sign, away."""
    return text.replace("\r\n", "\n").replace("\r", "\n").rstrip()


def _together(several: Mapping[str, str]) -> Value:
    """Put values with paths for names (``shots.0.view``) together; what is empty is left out."""
    made: dict[str, Any] = {}
    for key, text in several.items():
        *steps, last = key.split(".")
        if not text.strip():
            continue
        held = made
        for step in steps:
            held = held.setdefault(step, {})
        held[last] = _tidy(text)
    return _lists(made)


def _lists(made: Any) -> Value:
    if isinstance(made, str):
        return made
    if made and all(key.isdigit() for key in made):
        return [_lists(made[key]) for key in sorted(made, key=int)]
    return {key: _lists(one) for key, one in made.items()}


def apply(text: str, change: Change) -> str:
    """Make a change in the text of its file. Raises `EditError` with one sentence where that cannot be done."""
    source = source_of(text)
    if source is None:
        raise EditError("The file cannot be read as it is: mend its text first.")
    if model_of_file(change.file) is None:
        raise EditError("This file has no form.")
    begun = text if text.strip() else _HEADS["episodes" if "/" in change.file else change.file]
    make = {"set": _set, "add": _add, "remove": _remove, "move": _move, "rename": _rename}[change.kind]
    made = make(begun, change, source.data)
    return text if made == begun else made


def _rename(text: str, change: Change, data: Any) -> str:
    return byplace.renamed(text, change.path, _named(str(change.value)))


def _move(text: str, change: Change, data: Any) -> str:
    group = held_at(data, change.path[:-1])
    steps: list[str | int] = [*group] if isinstance(group, dict) else [*range(len(group or []))]
    if not change.path or change.path[-1] not in steps or change.value not in ("up", "down"):
        raise EditError("There is nothing to move at this place.")
    now = steps.index(change.path[-1])
    return byplace.moved(text, change.path, now + (1 if change.value == "down" else -1))


def landing(before: str, change: Change) -> Path:
    """Give the place to go on at once a change is made in a text: the entry where it is now, or what held it."""
    source = source_of(before)
    held = held_at(source.data if source else {}, change.path)
    *above, last = change.path or ("",)
    match change.kind:
        case "add" if change.name.strip():
            return (*change.path, change.name.strip())
        case "add" if change.path:
            count = len(held) if isinstance(held, list) else 0
            return (*change.path, min(count, count if change.at is None else change.at))
        case "move" if isinstance(last, int):
            return (*above, last + (1 if change.value == "down" else -1))
        case "rename":
            return (*above, str(change.value).strip())
        case "remove":
            return tuple(above)
    return change.path


def _set(text: str, change: Change, data: Any) -> str:
    path = change.path
    shape = shape_at(change.file, path, data)
    if not path or shape is None:
        raise EditError("A form knows no such place.")
    old, value = held_at(data, path), change.value
    if value == "":
        return _emptied(text, change, data) if _stands(data, path) else text
    if isinstance(value, str):
        value = _as_there(value, shape, old)
    if old == ("yes" if value is True else "no" if value is False else value):
        return text
    return _put(text, change.file, path, value, data)


def _emptied(text: str, change: Change, data: Any) -> str:
    """Take a key away, but not the remarks around it."""
    without, source = _remove(text, change, data), source_of(text)
    node = source.node(change.path) if source else None
    if node is None or node.start_mark.line != node.end_mark.line:
        return without
    lines = text.split("\n")
    line, number = lines[node.start_mark.line], node.start_mark.line
    remark = line[node.end_mark.column :].strip()
    stays = [line[: len(line) - len(line.lstrip())] + remark] if remark.startswith("#") else []
    kept = "\n".join([*lines[:number], *stays, *lines[number + 1 :]])
    now, wanted = source_of(kept), source_of(without)
    return kept if now and wanted and now.data == wanted.data else without


def _stands(data: Any, path: Path) -> bool:
    group = held_at(data, path[:-1])
    if isinstance(group, dict):
        return path[-1] in group
    return isinstance(group, list) and isinstance(path[-1], int) and path[-1] < len(group)


def _as_there(value: str, shape: Shape, old: Any) -> Value:
    """Give what was typed in the way that stands there: as a list, as text in lines, as yes or no."""
    if shape.what == "list" and not isinstance(old, str):
        raise EditError("A list stands here: change its entries.")
    if shape.kind == "yes or no" and value in ("yes", "no"):
        return value == "yes"
    if isinstance(old, list) and shape.kind == "sizes":
        return [part.strip() for part in re.split(r"[(),]", value) if part.strip()]
    lines = [line.strip() for line in value.split("\n") if line.strip()]
    if shape.kind == "lines" and not isinstance(old, str):
        return lines
    if isinstance(old, list) and shape.listed:
        return lines if len(lines) > 1 else [part.strip() for part in value.split(",") if part.strip()]
    if shape.kind == "names":
        return ", ".join(part for line in lines if (part := line.strip(" ,")))
    ended = isinstance(old, str) and "\n" in old and not old.endswith("\n")
    lined = "\n" in value or (isinstance(old, str) and old.endswith("\n"))
    return f"{value}\n" if lined and not ended else value


def _put(text: str, file: str, path: Path, value: Value, data: Any) -> str:
    """Put a value at a place; groups around it that are missing are begun, what is one text becomes a group."""
    end = len(path) - 1
    while end and not isinstance(held_at(data, path[:end]), (dict, list)):
        end -= 1
    held, shape = held_at(data, path[: end + 1]), shape_at(file, path[: end + 1], data)
    if isinstance(path[end], int) and held is None:
        raise EditError("There is no such entry.")
    if end == len(path) - 1:
        parted = not end and not isinstance(value, (str, bool))
        return byplace.with_value(text, path, value, _order(file, path[:-1], data), spaced=parted)
    for step in reversed(path[end + 1 :]):
        if not isinstance(step, str):
            raise EditError("There is no such entry.")
        value = {step: value}
    if isinstance(held, str) and held:  # it stood there in short
        short = _short_key(file, path[: end + 1], data)
        if not short or not isinstance(value, dict) or shape is None:
            raise EditError("This is written in short: change the text.")
        value = {short: held, **value}
    return byplace.with_value(text, path[: end + 1], value, _order(file, path[:end], data), spaced=not end)


def _short_key(file: str, path: Path, data: Any) -> str:
    holder = shape_at(file, path[:-1], data)
    return holder.short_each if holder else ""


def _order(file: str, path: Path, data: Any) -> Sequence[str]:
    """The keys of a group in the order in which they are usually written."""
    shape = shape_at(file, path, data)
    model = (shape.model or work_of(held_at(data, path))) if shape and shape.what == "group" else None
    others = {new: old for old, new in OTHER_NAMES.get(model, {}).items()} if model else {}
    names = [(key, others[key]) if key in others else (key,) for key in (shapes_of(model) if model else ())]
    return tuple(name for both in names for name in both)


def _add(text: str, change: Change, data: Any) -> str:
    path = change.path
    if not path:
        if data or not isinstance(change.value, Mapping):
            raise EditError("This file is there already.")
        return byplace.with_value(text, (), change.value)
    shape = shape_at(change.file, path, data)
    if shape is None or shape.what not in ("list", "named") or shape.inside is None:
        raise EditError("This place is no list.")
    value = _entry(change, shape.inside)
    held = held_at(data, path)
    if isinstance(held, str) and held:
        raise EditError("This list is written in short: change the text.")
    spaced = path[-1] in _SPACED or (len(held or []) > 1 and byplace.parted(text, path))
    if shape.what == "named":
        name = _named(change.name)
        if isinstance(held, dict) and held:
            return byplace.with_entry(text, (*path, name), change.at, value=value, spaced=spaced)
        return _put(text, change.file, path, {name: value}, data)
    if not isinstance(held, list) or not held:
        return _put(text, change.file, path, [value], data)
    return byplace.with_item(text, path, value, change.at, spaced=spaced)


def _named(name: str) -> str:
    if not name.strip() or "\n" in name:
        raise EditError("A name is missing.")
    return name.strip()


def _entry(change: Change, inside: Shape) -> Value:
    """Make a new entry from what was posted."""
    value = change.value
    if change.work:
        value = {change.work: value}
    model = inside.model or work_of(value)
    if isinstance(value, Mapping) and model is not None:
        shapes = shapes_of(model)
        known = {key: one for key, one in value.items() if key in shapes}
        return {
            key: _as_there(known[key], shape, None) if isinstance(known[key], str) else known[key]  # type: ignore[arg-type]
            for key, shape in shapes.items()
            if key in known
        }
    return _as_there(value, inside, None) if isinstance(value, str) and inside.what == "value" else value


def _remove(text: str, change: Change, data: Any) -> str:
    """Take an entry or key out, and with the last one its list or group, where that need not be there."""
    path = change.path
    if not path:
        raise EditError("A whole file is not taken away by a form.")
    while len(path) > 1 and len(held_at(data, path[:-1]) or ()) == 1 and _may_go(change.file, path[:-1], data):
        path = path[:-1]
    return byplace.without(text, path)


def _may_go(file: str, path: Path, data: Any) -> bool:
    """Whether a list or group may be missing: it is a key of a group that needs it not."""
    holder = shape_at(file, path[:-1], data)
    model = (holder.model or work_of(held_at(data, path[:-1]))) if holder and holder.what == "group" else None
    field = model.model_fields.get(str(path[-1])) if model else None
    return field is not None and not field.is_required()
