"""The keys of the course files: what ``lessonplan keys`` prints, and the page of all of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import fill
from typing import Any

from lessonplan.course.problems import nearest
from lessonplan.course.words import capital
from lessonplan.documents.tables import table
from lessonplan.reference.keys import NAMED, Key, every_key, keys_like
from lessonplan.terminal import columns

WIDTH = 100
"""How many columns a key's entry takes where no terminal says."""


@dataclass(frozen=True)
class KeyRow:
    """A key as it is printed: its place, its name, what it takes, and an example as it is typed."""

    place: str
    name: str
    value: str
    meaning: str
    example: str


@dataclass(frozen=True)
class KeysView:
    """The page of all keys, file by file."""

    title: str
    files: tuple[tuple[str, tuple[KeyRow, ...]], ...]


def keys_view() -> KeysView:
    """Give the page of all keys."""
    keys = every_key()
    files = dict.fromkeys(key.file for key in keys)
    return KeysView("The keys of a course", tuple((file, tuple(_rows(keys, file))) for file in files))


def _rows(keys: Sequence[Key], file: str) -> Iterator[KeyRow]:
    for key in keys:
        if key.file == file:
            place = key.place.partition(": ")[2]
            yield KeyRow(
                place=place,
                name=key.name,
                value=value_of(key),
                meaning=key.doc.meaning,
                example=example_of(key),
            )


def value_of(key: Key) -> str:
    """Say what a key takes, in which unit, and what stands for it where it is left out."""
    unit = f", in {key.doc.unit}" if key.doc.unit else ""
    usual = "; needed" if key.needed else f"; {key.default} if left out" if key.default else ""
    return f"{capital(key.kind)}{unit}{usual}."


def example_of(key: Key) -> str:
    """Give an example as it is typed."""
    return f"{key.name}: {key.doc.example}" if key.doc.example and key.name != NAMED else ""


def keys_table(keys: Sequence[Key]) -> str:
    """Set keys as text: a few each with all that is to be said of it, all of them as a table."""
    if len(keys) == len(every_key()):
        return table(("Key", "What it means"), [(key.place, key.doc.meaning) for key in keys])
    width = min(columns() or WIDTH, WIDTH)
    return "\n\n".join(_entry(key, width) for key in keys)


def _entry(key: Key, width: int) -> str:
    lines = [key.place, *(fill(text, width, initial_indent="  ", subsequent_indent="  ") for text in _told(key))]
    return "\n".join(lines)


def _told(key: Key) -> Iterator[str]:
    yield key.doc.meaning + (f" In any craft it may be called “{key.also}”." if key.also else "")
    yield value_of(key)
    inside = dict.fromkeys(one.name for one in every_key() if one.file == key.file and _within(one, key))
    if inside:
        yield f"Keys in it: {', '.join(inside)}."
    if example_of(key):
        yield f"Example: {example_of(key)}"


def _within(one: Key, group: Key) -> bool:
    rest = one.path[len(group.path) :]
    return one.path[: len(group.path)] == group.path and len([part for part in rest if part != NAMED]) == 1


def no_such_key(name: str) -> str:
    """Say that there is no key of a name, and which ones are like it."""
    names = {key.name for key in every_key()}
    near = nearest(name.strip().lower(), names)
    said = [key for key in every_key() if name.lower() in key.doc.meaning.lower()][:5]
    places = ", ".join(dict.fromkeys(f"“{key.name}”" for key in said))
    hint = f"Did you mean “{near}”?" if near else f"It is spoken of at {places}." if places else ""
    return f"There is no key “{name}”. {hint}".strip() + ("" if hint else " “lessonplan keys” lists all.")


def keys_data(keys: Sequence[Key]) -> dict[str, Any]:
    """Give keys as plain values."""
    return {
        "keys": [
            {
                "key": key.name,
                "file": key.file,
                "path": list(key.path),
                "works": list(key.works),
                "takes": key.kind,
                "unit": key.doc.unit,
                "needed": key.needed,
                "default": key.default,
                "meaning": key.doc.meaning,
                "example": key.doc.example,
            }
            for key in keys
        ]
    }


def found(name: str) -> tuple[Key, ...]:
    """Give the keys of a name or place, all of them for no name."""
    return keys_like(name) if name else every_key()
