"""The edits: each gives the whole new text, or is refused.

The text is read again before it is given back, and given up (`EditError`) if anything but the one change would be
read otherwise.
"""

from __future__ import annotations

from codecs import BOM_UTF8
from collections.abc import Callable, Mapping, Sequence
from difflib import SequenceMatcher
from functools import lru_cache
from typing import Any

import yaml

from lessonplan.course.byplace import changes
from lessonplan.course.byplace.entries import EditError, Path, index_of, line_end, node_at, plain, root_of
from lessonplan.course.byplace.written import Value, same_value
from lessonplan.course.yamltext import read_yaml

AnyPath = Sequence[str | int]


def with_value(text: str, path: AnyPath, value: Value, order: Sequence[str] = (), *, spaced: bool = False) -> str:
    """Put a value at a place: instead of the one there, or, where its key is missing, as a new line.

    A new key comes after those that stand before it in ``order``, else below the others, ``spaced`` by a blank line.
    A list or group of keys takes the place of another by its differences only.

    Raises `EditError` when the place is not there, or lies in what cannot be changed by its place.
    """
    path, value = tuple(path), same_value(value) if not isinstance(value, bool) else value
    after = _set(text, path, value, order, spaced=spaced)
    return _checked(text, after, lambda old: _data_set(old, path, value, order))


def with_item(text: str, path: AnyPath, item: Value, at: int | None = None, *, spaced: bool = False) -> str:
    """Put an item into a list, as its number ``at`` (at the end unless given); a list that is missing is begun.

    ``spaced``: with a blank line between it and the others. Raises `EditError` as `with_value`.
    """
    path = tuple(path)

    def wanted(old: Any) -> Any:
        """What the data are to be with the item."""
        return _put(old, path, lambda held: _inserted(held, at, same_value(item)))

    try:
        node = node_at(text, path) if text.strip() else None
    except EditError:
        node_at(text, path[:-1]) if len(path) > 1 else None
        node = None
    if node is None:
        after = _begun(text, path, item)
    else:
        number = len(node.value) if at is None or not isinstance(node, yaml.SequenceNode) else at
        if isinstance(node, yaml.MappingNode) or (isinstance(node, yaml.ScalarNode) and node.value):
            raise EditError("This place is no list.")
        after = changes.put_in(text, path, number, item, spaced=spaced)
    return _checked(text, after, wanted)


def _begun(text: str, path: Path, item: Value) -> str:
    """Begin a list: at the end of a file apart from what stands above it, else as one more key."""
    if len(path) > 1 or not isinstance(path[0], str):
        return _set(text, path, [item], ())
    begun = text.rstrip()
    end = line_end(text)
    return changes.replaced(f"{begun}{end}{end}" if begun else text, (), {path[0]: [item]})


def with_entry(text: str, path: AnyPath, at: int | None = None, *, value: Value, spaced: bool = False) -> str:
    """Put a key with its value among others, as number ``at`` of them. Raises `EditError`, where it is there too."""
    path = tuple(path)
    group = node_at(text, path[:-1])
    if index_of(group, path[-1]) is not None:
        raise EditError(f"There is a “{path[-1]}” already.")
    number = len(group.value) if at is None or not isinstance(group, yaml.MappingNode) else at
    after = changes.put_in(text, path[:-1], number, value, str(path[-1]), spaced=spaced)
    return _checked(
        text,
        after,
        lambda old: _put(old, path[:-1], lambda held: _keyed(held, str(path[-1]), same_value(value), number)),
    )


def without(text: str, path: AnyPath) -> str:
    """Take a key or an item out, with the remarks that belong to it. Raises `EditError` where it is not there."""
    path = tuple(path)
    return _checked(
        text, changes.taken_out(text, path), lambda old: _put(old, path[:-1], lambda held: _out(held, path[-1]))
    )


def moved(text: str, path: AnyPath, to: int) -> str:
    """Move an item or a key with its value to another number (from 0) of its list or group. Raises `EditError`."""
    path = tuple(path)

    def wanted(held: Any) -> Any:
        """What a list or the keys of a mapping are to be when one of them has moved."""
        if isinstance(held, list):
            return _moved([*held], int(path[-1]), to)
        return dict(_moved([*held.items()], list(held).index(str(path[-1])), to))

    return _checked(text, changes.moved(text, path, to), lambda old: _put(old, path[:-1], wanted))


def renamed(text: str, path: AnyPath, to: str) -> str:
    """Give a key another name. Raises `EditError`, also where there is one of that name."""
    path = tuple(path)
    if index_of(node_at(text, path[:-1]), to) is not None:
        raise EditError(f"There is a “{to}” already.")
    after = changes.renamed(text, path, to)
    return _checked(
        text,
        after,
        lambda old: _put(
            old, path[:-1], lambda held: {to if key == path[-1] else key: one for key, one in held.items()}
        ),
    )


def changed(data: bytes, change: Callable[[str], str]) -> bytes:
    """Change a file's text in the encoding that it has, with or without a mark at its beginning."""
    codec = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig" if data[:3] == BOM_UTF8 else "utf-8"
    return change(data.decode(codec)).encode(codec)


@lru_cache(maxsize=4)
def read_data(text: str) -> Any:
    """Read a text into plain texts, lists and groups of keys, as the program does; None where it cannot.

    What is given is kept for the next time, and not to be changed.
    """
    value, _ = read_yaml(text.encode("utf-8"), "")
    return value


def _set(text: str, path: Path, value: Value, order: Sequence[str], *, spaced: bool = False) -> str:
    """Put a value at a place without looking whether that went well."""
    if not path or (len(path) == 1 and root_of(text) is None):
        return changes.replaced(text, (), value if not path else {str(path[0]): value})
    holder = node_at(text, path[:-1])
    number = index_of(holder, path[-1])
    if number is not None:
        return _differing(text, path, node_at(text, path), value)
    if isinstance(holder, yaml.ScalarNode) and not holder.value:
        return changes.replaced(text, path[:-1], {str(path[-1]): value})
    if not isinstance(holder, yaml.MappingNode):
        raise EditError("This place has no keys.")
    at = _place([str(one.value) for one, _ in holder.value], str(path[-1]), order)
    return changes.put_in(text, path[:-1], at, value, str(path[-1]), spaced=spaced)


def _place(held: Sequence[str], key: str, order: Sequence[str]) -> int:
    """The number that a new key gets among those of a group: after the nearest one that comes before it."""
    if key not in order:
        return len(held)
    before = [one for one in order[: order.index(key)] if one in held]
    return held.index(before[-1]) + 1 if before else 0 if any(one in order for one in held) else len(held)


def _differing(text: str, path: Path, node: yaml.Node, value: Value) -> str:
    """Change a list or a group of keys into another by what differs; anything else is replaced whole."""
    if isinstance(node, yaml.MappingNode) and isinstance(value, Mapping) and value and node.value:
        held = [str(key.value) for key, _ in node.value]
        for key in value:
            text = _set(text, (*path, key), value[key], tuple(value))
        for key in held:
            text = text if key in value else changes.taken_out(text, (*path, key))
        return text
    if (
        isinstance(node, yaml.SequenceNode)
        and node.value
        and isinstance(value, Sequence)
        and not isinstance(value, str)
    ):
        return _items_differing(text, path, value) if value else changes.replaced(text, path, [])
    same = isinstance(node, yaml.ScalarNode) and isinstance(value, str) and node.value == value
    return text if same and node.value else changes.replaced(text, path, value)


def _items_differing(text: str, path: Path, value: Sequence[Value]) -> str:
    held = plain(node_at(text, path))
    steps = SequenceMatcher(None, [repr(one) for one in held], [repr(same_value(one)) for one in value], autojunk=False)
    for kind, first, last, start, stop in reversed(steps.get_opcodes()):
        if kind == "equal":
            continue
        both = min(last - first, stop - start)
        for number in range(both):
            here, new = (*path, first + number), value[start + number]
            if isinstance(held[first + number], str) or not isinstance(new, str):
                text = _differing(text, here, node_at(text, here), new)
            else:  # a text where a list or group stood is another item
                text = changes.taken_out(changes.put_in(text, path, first + number, new), (*path, first + number + 1))
        for number in range(start + both, stop):
            text = changes.put_in(text, path, first + number - start, value[number])
        for number in reversed(range(first + both, last)):
            text = changes.taken_out(text, (*path, number))
    return text


def _checked(before: str, after: str, wanted: Callable[[Any], Any]) -> str:
    """Give the changed text if it is read as the old one with this one change, or refuse."""
    old, now = read_data(before), read_data(after)
    unread = old is None and bool(before.strip()) and root_of(before) is not None
    ended = before.endswith("\n")  # else a text in lines at the very end has none behind it, and may get one
    if now is None or unread or not _same(now, wanted(old), ended=ended):
        raise EditError("This cannot be changed by its place without changing more: change it in the file itself.")
    return after


def _same(one: Any, other: Any, *, ended: bool) -> bool:
    """Whether two values are equal, the order of their keys too; unless ``ended``, ends of lines behind texts aside."""
    if isinstance(one, dict) and isinstance(other, dict):
        return [*one] == [*other] and all(_same(one[key], other[key], ended=ended) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(_same(*both, ended=ended) for both in zip(one, other, strict=True))
    if isinstance(one, str) and isinstance(other, str) and not ended:
        return one.rstrip("\n") == other.rstrip("\n")
    return bool(one == other)


def _put(old: Any, path: Path, change: Callable[[Any], Any]) -> Any:
    """Change what stands at a place of data; all else stays."""
    if not path:
        return change(old)
    step = path[0]
    if isinstance(old, list):
        return [_put(one, path[1:], change) if number == step else one for number, one in enumerate(old)]
    held = dict(old or {})
    held[str(step)] = _put(held.get(str(step)), path[1:], change)
    return held


def _data_set(old: Any, path: Path, value: Value, order: Sequence[str]) -> Any:
    def put(held: Any) -> Any:
        """The list or mapping with the value at its place."""
        if isinstance(held, list):
            return [same_value(value) if number == path[-1] else one for number, one in enumerate(held)]
        names = [*(held or {})]
        return _keyed(held or {}, str(path[-1]), same_value(value), _place(names, str(path[-1]), order))

    return _put(old, path[:-1], put) if path else same_value(value)


def _keyed(held: Any, key: str, value: Any, at: int) -> Any:
    entries = [*(held or {}).items()]
    if key in (held or {}):
        return {name: value if name == key else one for name, one in entries}
    return dict([*entries[:at], (key, value), *entries[at:]])


def _inserted(held: Any, at: int | None, item: Any) -> Any:
    items = [*(held or [])]
    items.insert(len(items) if at is None else at, item)
    return items


def _out(held: Any, step: str | int) -> Any:
    if isinstance(held, list):
        return [one for number, one in enumerate(held) if number != step]
    return {key: one for key, one in held.items() if key != step}


def _moved(items: list[Any], at: int, to: int) -> list[Any]:
    items.insert(to, items.pop(at))
    return items
