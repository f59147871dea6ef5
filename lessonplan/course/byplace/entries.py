"""Where the entries of a list or of a group of keys stand in a text, each with the remarks that belong to it.

To an entry belong the remarks in its lines, those below it that stand further in than it does, and those in the lines
right above it that stand as far in as it does. Those that reach up to the first line of a file are the file's.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import yaml

Path = tuple[str | int, ...]
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class EditError(ValueError):
    """A file in which a place cannot be changed; the message says why, in a sentence."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a list or group of keys, by places in the text.

    ``lead``: where the lines of its remarks above begin, else where its own line or, ``tight`` after a hyphen, it
    itself begins. ``start``: its key or hyphen; in brackets its key or value. ``mark``: after its colon or hyphen.
    ``end``: after the end of its last line; in brackets after its value.
    """

    node: yaml.Node
    lead: int
    start: int
    mark: int
    end: int
    key: yaml.Node | None = None
    tight: bool = False


@lru_cache(maxsize=4)
def root_of(text: str) -> yaml.Node | None:
    """Read a text into nodes, which nobody changes; None where it holds nothing.

    Raises `EditError` for what cannot be read.
    """
    try:
        return yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError:
        raise EditError("The file cannot be read as it is.") from None


def node_at(text: str, path: Path) -> yaml.Node:
    """Find what stands at a place. Raises `EditError` where there is nothing."""
    node = root_of(text)
    for step in path:
        node = below(node, step)
        if node is None:
            raise EditError(f"There is no “{step}” at this place.")
    if node is None:
        raise EditError("The file is empty.")
    return node


def below(node: yaml.Node | None, step: str | int) -> yaml.Node | None:
    """Give the node under a key, or of an item by its number; None where there is none."""
    if isinstance(node, yaml.MappingNode):
        return next((value for key, value in node.value if key.value == step), None)
    inside: list[yaml.Node] = node.value if isinstance(node, yaml.SequenceNode) else []
    return inside[step] if isinstance(step, int) and 0 <= step < len(inside) else None


def plain(node: yaml.Node) -> Any:
    """Give what stands at a node as it was typed: texts, lists, groups of keys."""
    if isinstance(node, yaml.MappingNode):
        held: dict[str, Any] = {}
        for key, one in node.value:
            held.setdefault(str(key.value), plain(one))  # of a key that is given twice the first holds
        return held
    if isinstance(node, yaml.SequenceNode):
        return [plain(one) for one in node.value]
    return str(node.value)


def index_of(holder: yaml.Node, step: str | int) -> int | None:
    """Give the number of the entry of a key or item, from 0; None where there is none."""
    if isinstance(holder, yaml.MappingNode):
        return next((number for number, (key, _) in enumerate(holder.value) if key.value == step), None)
    if isinstance(holder, yaml.SequenceNode) and isinstance(step, int) and 0 <= step < len(holder.value):
        return step
    return None


def in_brackets(node: yaml.Node) -> bool:
    """Tell whether a list or group of keys stands in brackets."""
    return isinstance(node, (yaml.MappingNode, yaml.SequenceNode)) and bool(node.flow_style)


def line_end(text: str) -> str:
    """Give the sign that ends the lines of a text."""
    return "\r\n" if "\r\n" in text else "\n"


def line_start(text: str, at: int) -> int:
    """Give the place where the line begins in which a place lies."""
    return text.rfind("\n", 0, at) + 1


def next_line(text: str, at: int) -> int:
    """Give the place where the next line begins, or the end of the text."""
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


def last_sign(text: str, node: yaml.Node) -> int:
    """Give the place after the last sign of a value: its own end may lie lines below, before what comes next."""
    while isinstance(node, (yaml.MappingNode, yaml.SequenceNode)) and not node.flow_style and node.value:
        node = node.value[-1][1] if isinstance(node, yaml.MappingNode) else node.value[-1]
    start, stop = int(node.start_mark.index), int(node.end_mark.index)
    if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">"):
        kept = "+" in re.split(r"[\s#]", text[start:stop], maxsplit=1)[0]
        told = text[start:stop]
        return start + len(told.rstrip("\r\n") if not kept else told.removesuffix("\n").removesuffix("\r"))
    return start + len(text[start:stop].rstrip())


def entries_of(text: str, group: yaml.Node) -> list[Entry]:
    """List the entries of a list or a group of keys, in their order."""
    if not isinstance(group, (yaml.MappingNode, yaml.SequenceNode)):
        raise EditError("This place is neither a list nor a group of keys.")
    if group.flow_style:
        return [_in_brackets(text, one) for one in group.value]
    column, at = group.start_mark.column, int(group.start_mark.index)
    found: list[Entry] = []
    for one in group.value:
        key, node = one if isinstance(group, yaml.MappingNode) else (None, one)
        start, mark = _begun(text, key, node, column, at, first=not found)
        over = _end(text, last_sign(text, node) if last_sign(text, node) > mark else mark, column)
        found.append(Entry(node=node, lead=line_start(text, start), start=start, mark=mark, end=over, key=key))
        at = over
    return _with_leads(text, found, column)


def _begun(text: str, key: yaml.Node | None, node: yaml.Node, column: int, at: int, *, first: bool) -> tuple[int, int]:
    """Where a key or hyphen begins, and the place after its colon or hyphen."""
    if key is not None:
        return int(key.start_mark.index), _colon(text, key, node)
    if first:
        return at, at + 1
    found = re.compile(rf"^ {{{column}}}-(?=\s|\Z)", re.MULTILINE).search(text, at)
    if found is None:
        raise EditError("This list is written in a way that cannot be changed by its place.")
    return found.end() - 1, found.end()


def _colon(text: str, key: yaml.Node, node: yaml.Node) -> int:
    found = re.compile(r"\s*:").match(text, int(key.end_mark.index))
    if text[key.start_mark.index : key.start_mark.index + 2] in ("? ", "?\n") or found is None:
        if int(node.start_mark.index) == int(key.end_mark.index) or not last_sign(text, node):
            return int(key.end_mark.index)  # in brackets a key may stand without a colon
        raise EditError("This key is written in a way that cannot be changed by its place.")
    return found.end()


def _in_brackets(text: str, one: yaml.Node | tuple[yaml.Node, yaml.Node]) -> Entry:
    if not isinstance(one, tuple):
        start = int(one.start_mark.index)
        return Entry(node=one, lead=start, start=start, mark=start, end=max(start, last_sign(text, one)))
    key, node = one
    start, mark = int(key.start_mark.index), _colon(text, key, node)
    return Entry(node=node, lead=start, start=start, mark=mark, end=max(mark, last_sign(text, node)), key=key)


def _end(text: str, at: int, column: int) -> int:
    """The place after the line of a last sign, and after the remarks below it that stand further in."""
    over = at = next_line(text, at)
    while at < len(text):
        line = text[at : next_line(text, at)]
        inner = line.lstrip(" ")
        if inner.strip() and not (inner.startswith("#") and len(line) - len(inner) > column):
            break
        at += len(line)
        over = at if inner.strip() else over
    return over


def _with_leads(text: str, found: list[Entry], column: int) -> list[Entry]:
    full, floor = list[Entry](), 0
    for one in found:
        own, lead, floor = line_start(text, one.start), _lead(text, one, column, floor), one.end
        tight = bool(text[own : one.start].strip())
        full.append(replace(one, lead=one.start if tight else lead or own, tight=tight))
    return full


def _lead(text: str, one: Entry, column: int, floor: int) -> int:
    """Where the lines of remarks right above an entry begin that stand as far in as it does."""
    at = line_start(text, one.start)
    remark = re.compile(rf" {{{column}}}#")
    while at > floor and remark.match(text, line_start(text, at - 1)):
        at = line_start(text, at - 1)
    return at
