"""A file of the course changed at one place and nowhere else: remarks, order, quotes and blank lines stay as they were.

A place is a path of keys and numbers of list items, ``("errata", 2, "state")``. What is given back is the whole text;
it is read again before that, and given up (`EditError`) if anything but the one value would be read otherwise.
"""

from __future__ import annotations

import json
import re
from codecs import BOM_UTF8
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import yaml

from lessonplan.course.yamltext import read_yaml

Path = Sequence[str | int]
Value = str | Mapping[str, str]
_STEP = 2
"""Blanks by which a new line stands below what it belongs to."""
_TAKEN_OTHERWISE = re.compile(r"(?i)null|~|true|false|yes|no|on|off|[-+.\d][-+.\d_:e]*")
"""Plain words that other programs take for more than text; a number or a date stays plain, as people type them."""


class EditError(ValueError):
    """A file in which a place cannot be changed; the message says why, in a sentence."""


def with_value(text: str, path: Path, value: str) -> str:
    """Put a value at a place: instead of the one there, or, where its key is missing, as a new line below the others.

    Raises `EditError` when the place is not there, or lies in what cannot be changed by its place.
    """
    holder, key = _node(text, path[:-1]), path[-1]
    if not isinstance(holder, yaml.MappingNode):
        raise EditError("This place has no keys.")
    found = next((node for name, node in holder.value if name.value == key), None)
    if found is not None:
        return _checked(text, path, value, _replaced(text, holder, found, value))
    return _checked(text, path, value, _with_key(text, holder, str(key), value))


def with_item(text: str, path: Path, item: Mapping[str, str]) -> str:
    """Put an item of keys and values at the end of a list; one that is not there yet is begun at the end of the text.

    Raises `EditError` as `with_value`.
    """
    try:
        holder = _node(text, path) if text.strip() else None
    except EditError:
        if len(path) > 1:
            raise
        holder = None
    end = _line_end(text)
    if holder is None:
        start = text.rstrip() + end + end if text.strip() else text
        changed = f"{start}{path[0]}:{end}{_item_lines(item, _STEP, end)}{end}"
    elif isinstance(holder, yaml.SequenceNode) and holder.value and not holder.flow_style:
        at = _line_of(text, _last_sign(text, holder.value[-1]))
        changed = f"{text[:at]}{end}{_item_lines(item, holder.start_mark.column, end)}{text[at:]}"
    elif isinstance(holder, yaml.SequenceNode) and holder.value:
        at = holder.value[-1].end_mark.index
        changed = f"{text[:at]}, {_flow(item)}{text[at:]}"
    elif isinstance(holder, yaml.SequenceNode) or (isinstance(holder, yaml.ScalarNode) and not holder.value):
        line, _, after = text[holder.end_mark.index :].partition("\n")
        remark = f"  {line.strip()}" if line.strip() else ""
        begun = text[: holder.start_mark.index].rstrip(" \t")
        changed = f"{begun}{remark}{end}{_item_lines(item, _STEP * len(path), end)}{end}{after}"
    else:
        raise EditError("This place is no list.")
    return _checked(text, path, item, changed, new=True)


def changed(data: bytes, change: Callable[[str], str]) -> bytes:
    """Change a file's text in the encoding that it has, with or without a mark at its beginning."""
    codec = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig" if data[:3] == BOM_UTF8 else "utf-8"
    return change(data.decode(codec)).encode(codec)


def _node(text: str, path: Path) -> yaml.Node:
    try:
        node = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        raise EditError("The file cannot be read as it is.") from None
    for step in path:
        if isinstance(node, yaml.MappingNode):
            node = next((value for key, value in node.value if key.value == step), None)
        elif isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
            node = node.value[step]
        else:
            node = None
        if node is None:
            raise EditError(f"There is no “{step}” at this place.")
    if node is None:
        raise EditError("The file is empty.")
    return node


def _replaced(text: str, holder: yaml.MappingNode, node: yaml.Node, value: str) -> str:
    if not isinstance(node, yaml.ScalarNode):
        raise EditError("A list or a group of keys stands there, not a single text.")
    start, stop = node.start_mark.index, node.end_mark.index
    stop = start + len(text[start:stop].rstrip())
    blank = "" if text[start - 1 : start].isspace() else " "
    quotes = node.style if node.style in ("'", '"') else ""
    new = _scalar(value, _margin(holder), _line_end(text), quotes=quotes)
    return text[:start] + blank + new + text[stop:]


def _with_key(text: str, holder: yaml.MappingNode, key: str, value: str) -> str:
    new = f"{key}: {_scalar(value, _margin(holder), _line_end(text))}"
    if holder.flow_style:
        at = holder.value[-1][1].end_mark.index if holder.value else holder.start_mark.index + 1
        return f"{text[:at]}{', ' if holder.value else ''}{new}{text[at:]}"
    at = _line_of(text, _last_sign(text, holder.value[-1][1]))
    return f"{text[:at]}{_line_end(text)}{' ' * holder.start_mark.column}{new}{text[at:]}"


def _margin(holder: yaml.MappingNode) -> int | None:
    return None if holder.flow_style else int(holder.start_mark.column)


def _scalar(value: str, margin: int | None, end: str, quotes: str = "") -> str:
    """Write a text so that it is read as it is: plain where that is safe, in the quotes that stood there, or in lines.

    ``margin`` are the blanks before its key; None where it stands in brackets.
    """
    flow = margin is None
    if "\n" in value and margin is not None and all(sign.isprintable() or sign == "\n" for sign in value):
        blanks = " " * (margin + _STEP)
        lines = value.removesuffix("\n").split("\n")
        if not lines[0].startswith(" ") and not value.endswith("\n\n") and all(line.strip() for line in lines[:1]):
            body = end.join(blanks + line if line.strip() else "" for line in lines)
            return f"|{'' if value.endswith(chr(10)) else '-'}{end}{body}"
    if not quotes and _is_plain(value, flow):
        return value
    if quotes == "'" and value.isprintable() and value.strip() == value:
        return "'" + value.replace("'", "''") + "'"
    quoted = json.dumps(value, ensure_ascii=False)
    return "".join(sign if sign.isprintable() else f"\\U{ord(sign):08x}" for sign in quoted)


def _is_plain(value: str, flow: bool) -> bool:
    """Whether a text is read back as it is without quotes, here and by other readers of such files."""
    if not value.isprintable() or (_TAKEN_OTHERWISE.fullmatch(value) and not value[:1].isdigit()):
        return False
    if flow and re.search(r"[,\[\]{}]", value):
        return False
    try:
        node = yaml.compose(f"- k: {value}", Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        return False
    pair = node.value[0].value[0] if isinstance(node, yaml.SequenceNode) else (None, None)
    return isinstance(pair[1], yaml.ScalarNode) and pair[1].value == value and not pair[1].style


def _item_lines(item: Mapping[str, str], margin: int, end: str) -> str:
    lines = [f"{key}: {_scalar(value, margin + _STEP, end)}" for key, value in item.items()]
    return " " * margin + "- " + f"{end}{' ' * (margin + _STEP)}".join(lines)


def _flow(item: Mapping[str, str]) -> str:
    return "{" + ", ".join(f"{key}: {_scalar(value, None, '')}" for key, value in item.items()) + "}"


def _last_sign(text: str, node: yaml.Node) -> int:
    """The place after the last sign of a node: its own end may lie lines below, before what comes next."""
    while isinstance(node, (yaml.MappingNode, yaml.SequenceNode)) and not node.flow_style and node.value:
        node = node.value[-1][1] if isinstance(node, yaml.MappingNode) else node.value[-1]
    start = node.start_mark.index
    return start + len(text[start : node.end_mark.index].rstrip())


def _line_of(text: str, at: int) -> int:
    """The end of the line in which a place lies, a remark behind it counted in."""
    found = text.find("\n", at)
    found = len(text) if found < 0 else found
    return found - 1 if text[found - 1 : found] == "\r" and found > at else found


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _checked(before: str, path: Path, value: Value, after: str, *, new: bool = False) -> str:
    """Give the changed text if it is read as the old one with this one change, or refuse."""
    old, now = _read(before), _read(after)
    wanted = _changed(old, path, value, new=new)
    if now is None or now != wanted:
        raise EditError("This cannot be changed by its place without changing more: change it in the file itself.")
    return after


def _read(text: str) -> Any:
    value, _ = read_yaml(text.encode("utf-8"), "")
    return value


def _changed(old: Any, path: Path, value: Value, *, new: bool) -> Any:
    if not path:
        return [*(old or []), dict(value)] if new and not isinstance(value, str) else value
    step, rest = path[0], path[1:]
    if isinstance(old, list) and isinstance(step, int):
        return [_changed(one, rest, value, new=new) if place == step else one for place, one in enumerate(old)]
    held = dict(old or {})
    held[str(step)] = _changed(held.get(str(step)), rest, value, new=new)
    return held
