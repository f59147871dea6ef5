"""One entry of a list or of a group of keys put in, taken out, moved or changed; whether it went well is not asked."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import yaml

from lessonplan.course.byplace.entries import (
    EditError,
    Entry,
    Path,
    entries_of,
    in_brackets,
    index_of,
    last_sign,
    line_end,
    line_start,
    next_line,
    node_at,
)
from lessonplan.course.byplace.written import Value, after_key, flow, item, name, pair, scalar


def put_in(text: str, path: Path, at: int, value: Value, key: str | None = None, *, spaced: bool = False) -> str:
    """Put an entry into the list or group at a place, as its entry number ``at``: under a key, or as an item.

    ``spaced``: with a blank line between it and its neighbours.
    """
    group = node_at(text, path)
    if not isinstance(group, (yaml.MappingNode, yaml.SequenceNode)) or not group.value:
        return replaced(text, path, [value] if key is None else {key: value})
    found = entries_of(text, group)
    if group.flow_style:
        new = flow(value) if key is None else f"{name(key)}: {flow(value)}"
        if at >= len(found):
            return f"{text[: found[-1].end]}, {new}{text[found[-1].end :]}"
        return f"{text[: found[at].start]}{new}, {text[found[at].start :]}"
    end, column = line_end(text), group.start_mark.column
    new = item(value, column, end) if key is None else pair(key, value, column, end)
    blank = end if spaced else ""
    if at:
        last = found[at - 1].end
        begun = text[:last] if text[:last].endswith("\n") else text[:last] + end
        return f"{begun}{blank}{' ' * column}{new}{end}{text[last:]}"
    first = found[0]
    if first.tight:
        return f"{text[: first.start]}{new}{end}{blank}{' ' * column}{text[first.start :]}"
    return f"{text[: first.lead]}{' ' * column}{new}{end}{blank}{text[first.lead :]}"


def parted(text: str, path: Path) -> bool:
    """Tell whether the entries of a list or group are parted by blank lines, all of them; there are two at least."""
    group = node_at(text, path)
    if not isinstance(group, (yaml.MappingNode, yaml.SequenceNode)) or group.flow_style:
        return False
    gaps = [text[one.end : then.lead] for one, then in pairwise(entries_of(text, group))]
    return bool(gaps) and all(any(not line.strip() for line in gap.splitlines()) for gap in gaps)


def taken_out(text: str, path: Path) -> str:
    """Take an entry out, with the remarks that belong to it; blank lines around it are left on one side of it.

    A remark above the first entry may be about all: it stays unless others have some above them too.
    """
    group = node_at(text, path[:-1])
    at, found = _placed(text, path)
    one = found[at]
    if not at and not one.tight and all(other.lead == line_start(text, other.start) for other in found[1:]):
        one = replace(one, lead=line_start(text, one.start))
    if len(found) == 1:
        return _emptied(text, path[:-1], group, one)
    if in_brackets(group):
        return _out_of_brackets(text, found, at)
    if at:
        start = found[at - 1].end
        close = at + 1 < len(found) and text[one.end : next_line(text, one.end)].strip()  # no blank line below it
        stop = one.lead if close else start + len(text[start : one.lead].rstrip())
        stop = stop if close or stop == start else next_line(text, stop)
        return text[:stop] + text[one.end :]
    if one.tight:
        between = text[one.end : found[1].start]
        if not between.strip():
            return text[: one.start] + text[found[1].start :]
        return text[: one.start].rstrip(" ") + line_end(text) + text[one.end :]
    after = text[one.end : found[1].lead]
    blank = len(after) - len(after.lstrip())
    return text[: one.lead] + text[line_start(text, one.end + blank) :]


def _out_of_brackets(text: str, found: list[Entry], at: int) -> str:
    one = found[at]
    if at + 1 < len(found):
        comma = _comma(text, one.end, found[at + 1].start)
        stop = comma + len(text[comma : found[at + 1].start]) - len(text[comma : found[at + 1].start].lstrip(" "))
        return text[: one.start] + text[one.end : comma - 1] + text[stop:]
    comma = _comma(text, found[at - 1].end, one.start)
    between = text[comma : one.start]
    return text[: comma - 1] + (between if "#" in between else "") + text[one.end :]


def _comma(text: str, at: int, stop: int) -> int:
    """The place after the comma between two entries in brackets, remarks passed over."""
    while at < stop:
        if text[at] == "#":
            at = next_line(text, at)
        elif text[at] == ",":
            return at + 1
        else:
            at += 1
    raise EditError("These brackets are written in a way that cannot be changed by their places.")


def _emptied(text: str, path: Path, group: yaml.Node, one: Entry) -> str:
    """Take the only entry out: empty brackets stand for the list or group then."""
    empty = "{}" if isinstance(group, yaml.MappingNode) else "[]"
    if in_brackets(group):
        return text[: group.start_mark.index] + empty + text[last_sign(text, group) :]
    if one.tight or not path:
        at = one.start if one.tight else one.lead
        return text[:at] + empty + line_end(text) + text[one.end :]
    holder = _entry(text, path)
    return f"{text[: holder.mark]} {empty}{text[holder.mark : one.lead]}{text[one.end :]}"


def _entry(text: str, path: Path) -> Entry:
    at, found = _placed(text, path)
    return found[at]


def _placed(text: str, path: Path) -> tuple[int, list[Entry]]:
    """The place of an entry, and all entries of its list or group."""
    group = node_at(text, path[:-1])
    at = index_of(group, path[-1])
    if at is None:
        raise EditError(f"There is no “{path[-1]}” at this place.")
    return at, entries_of(text, group)


def moved(text: str, path: Path, to: int) -> str:
    """Move an entry to another number in its list or group; what stands between the entries stays where it is."""
    group = node_at(text, path[:-1])
    at = index_of(group, path[-1])
    found = entries_of(text, group)
    if at is None or not 0 <= to < len(found):
        raise EditError("This cannot be moved any further.")
    order = [*range(len(found))]
    order.insert(to, order.pop(at))
    if in_brackets(group):
        parts = [text[one.start : one.end] for one in found]
        gaps = [text[one.end : then.start] for one, then in pairwise(found)]
        body = "".join(parts[number] + gap for number, gap in zip(order, [*gaps, ""], strict=True))
        return text[: found[0].start] + body + text[found[-1].end :]
    end = line_end(text)
    whole = text if text.endswith("\n") else text + end
    blanks = " " * group.start_mark.column
    stops = [next_line(whole, one.end - 1) for one in found]
    parts = [(blanks if one.tight else "") + whole[one.lead : stop] for one, stop in zip(found, stops, strict=True)]
    gaps = [whole[stop : then.lead] for stop, then in zip(stops, found[1:], strict=False)]
    body = "".join(parts[number] + gap for number, gap in zip(order, [*gaps, ""], strict=True))
    before = whole[: found[0].lead]
    if found[0].tight:
        first = found[order[0]]
        alone = first.lead < line_start(text, first.start)
        before, body = (before.rstrip(" ") + end, body) if alone else (before, body.removeprefix(blanks))
    new = before + body + whole[stops[-1] :]
    return new if text.endswith("\n") else new.removesuffix(end)


def renamed(text: str, path: Path, to: str) -> str:
    """Give a key another name."""
    key = _entry(text, path).key
    if key is None:
        raise EditError("Items of a list have no name.")
    return text[: key.start_mark.index] + name(to) + text[key.end_mark.index :]


def replaced(text: str, path: Path, value: Value) -> str:
    """Put a value instead of the one at a place. Raises `EditError` for a text where lists of groups stand."""
    if not path:
        return _whole(text, value)
    holder, one = node_at(text, path[:-1]), _entry(text, path)
    if isinstance(value, (str, bool)) and any(not isinstance(inner, yaml.ScalarNode) for inner in _inner(one.node)):
        raise EditError("A list or a group of keys stands there, not a single text.")
    if in_brackets(holder):
        new = scalar(value, None, "", one.node) if isinstance(value, (str, bool)) else flow(value)
        return text[: one.mark] + _gap(text, one) + new + text[one.end :]
    end = line_end(text)
    new = after_key(value, holder.start_mark.column, end, one.node)
    stop = max(last_sign(text, one.node), one.mark)
    inline = in_brackets(one.node) or (isinstance(one.node, yaml.ScalarNode) and one.node.style not in ("|", ">"))
    if inline and end not in new:
        return text[: one.mark] + _gap(text, one) + new.lstrip() + text[stop:]
    rest = next_line(text, stop) if isinstance(one.node, yaml.ScalarNode) or inline else one.end
    remark = _remark(text, one, stop if inline else None)
    head, _, body = new.partition(end)
    line = (
        text[: one.mark] + head + (f"  {remark}" if remark else "") + end + (body + end if body else "") + text[rest:]
    )
    return line if text.endswith("\n") else line.removesuffix(end)


def _inner(node: yaml.Node) -> list[yaml.Node]:
    """What stands directly in a list or group of keys."""
    if isinstance(node, yaml.MappingNode):
        return [value for _, value in node.value]
    return node.value if isinstance(node, yaml.SequenceNode) else []


def _remark(text: str, one: Entry, stop: int | None) -> str:
    """The remark in the line of a key or hyphen, and the one behind its value where that ends at ``stop``."""
    start = int(one.node.start_mark.index)
    if isinstance(one.node, yaml.ScalarNode) and one.node.style in ("|", ">"):
        _, sign, told = text[start : next_line(text, start)].partition("#")
        return (sign + told).strip()
    before = text[one.mark : start] if "\n" in text[one.mark : start] else ""
    after = text[stop : next_line(text, stop)] if stop is not None else ""
    return " ".join(line for part in (before + after).split("\n") if (line := part.strip()))


def _gap(text: str, one: Entry) -> str:
    """The blanks between a colon or hyphen and its value, one at least."""
    if one.mark == one.start:
        return ""
    return text[one.mark : max(int(one.node.start_mark.index), one.mark)] or " "


def _whole(text: str, value: Value) -> str:
    """Put the keys of a new file below the remarks that it begins with, blank lines before lists and groups."""
    if not hasattr(value, "items"):
        raise EditError("A file holds keys with their values.")
    end = line_end(text)
    lines = [
        (end if number and not isinstance(one, (str, bool)) else "") + pair(key, one, 0, end) + end
        for number, (key, one) in enumerate(value.items())
    ]
    begun = text if not text or text.endswith("\n") else text + end
    return begun + "".join(lines)
