"""How values are written into a file: plain where that is safe, in the quotes or the kind of lines that stood there."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Mapping, Sequence

import yaml

Value = str | bool | Sequence["Value"] | Mapping[str, "Value"]
"""What can be put at a place: a text as it is typed, yes or no, a list, keys with their values."""
STEP = 2
"""Blanks by which a new line stands below what it belongs to."""
_WIDTH = 100
"""Signs to which the lines of a folded text are filled."""
_TAKEN_OTHERWISE = re.compile(r"(?i)null|~|true|false|yes|no|on|off|[-+.\d][-+.\d_:e]*")
"""Plain words that other programs take for more than text; a number or a date stays plain, as people type them."""
_APART = re.compile(r"[\x00-\x08\x0a-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
"""Signs that a file cannot hold as they are, or that end a line in it."""
_NUMBER = re.compile(r"-?\d.*")


def same_value(value: Value) -> Value:
    """Give a value as it is read again: yes and no are texts."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if isinstance(value, Mapping):
        return {str(key): same_value(one) for key, one in value.items()}
    return [same_value(one) for one in value]


def scalar(value: str | bool, margin: int | None, end: str, like: yaml.Node | None = None) -> str:
    """Write a text so that it is read as it is: plain, in the quotes that stood there (``like``), or in lines.

    ``margin``: the blanks before the key or hyphen that it follows; None where it stands in brackets. ``end``: the
    sign that ends a line.
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    style = like.style if isinstance(like, yaml.ScalarNode) else None
    if "\n" in value and margin is not None and not _APART.search(value.replace("\n", "")):
        lines = _lines(value, margin, end, style)
        if lines:
            return lines
    word = isinstance(like, yaml.ScalarNode) and not style and bool(_TAKEN_OTHERWISE.fullmatch(like.value))
    if style not in ("'", '"') and _is_plain(value, flow=margin is None, word=word):
        return value
    if style == "'" and not _APART.search(value) and "\t" not in value:
        return "'" + value.replace("'", "''") + "'"
    quoted = json.dumps(value, ensure_ascii=False)
    return _APART.sub(lambda found: f"\\U{ord(found[0]):08x}", quoted)


def _lines(value: str, margin: int, end: str, style: str | None) -> str:
    """Write a text of several lines below its key; nothing where that cannot be done."""
    if value.endswith("\n\n") or not value.strip():
        return ""
    blanks, chomped = " " * (margin + STEP), "" if value.endswith("\n") else "-"
    lines = value.removesuffix("\n").split("\n")
    if style == ">" and all(line.split() == line.split(" ") for line in lines if line):
        filled = [textwrap.wrap(one, _WIDTH, break_long_words=False, break_on_hyphens=False) or [""] for one in lines]
        body = f"{end}{end}".join(end.join(blanks + line if line else "" for line in one) for one in filled)
        return f">{chomped}{end}{body}"
    first = next(line for line in lines if line)
    told = str(STEP) if first.startswith(" ") else ""
    return f"|{told}{chomped}{end}" + end.join(blanks + line if line else "" for line in lines)


def _is_plain(value: str, *, flow: bool, word: bool) -> bool:
    """Whether a text is read back as it is without quotes, here and by other readers of such files.

    ``word``: whether a word such as ``no`` may stand plain, since one stood there.
    """
    if (
        not value
        or _APART.search(value)
        or (not word and _TAKEN_OTHERWISE.fullmatch(value) and not _NUMBER.fullmatch(value))
    ):
        return False
    if flow and re.search(r"[,\[\]{}]", value):
        return False
    try:
        node = yaml.compose(f"- k: {value}", Loader=yaml.SafeLoader)
    except yaml.YAMLError:
        return False
    pair = node.value[0].value[0] if isinstance(node, yaml.SequenceNode) else (None, None)
    return isinstance(pair[1], yaml.ScalarNode) and pair[1].value == value and not pair[1].style


def name(key: str) -> str:
    """Write a key: plain where that is safe."""
    try:
        node = yaml.compose(f"{key}: x", Loader=yaml.SafeLoader) if key.isprintable() else None
    except yaml.YAMLError:
        node = None
    pairs = node.value if isinstance(node, yaml.MappingNode) else []
    safe = len(pairs) == 1 and pairs[0][0].value == key and not pairs[0][0].style and pairs[0][1].value == "x"
    return key if safe and not re.search(r"[,\[\]{}#&*!|>%@`]", key) else json.dumps(key, ensure_ascii=False)


def flow(value: Value) -> str:
    """Write a value in one line, lists and keys in brackets."""
    if isinstance(value, (str, bool)):
        return scalar(value, None, "")
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{name(key)}: {flow(one)}" for key, one in value.items()) + "}"
    return "[" + ", ".join(flow(one) for one in value) + "]"


def after_key(value: Value, margin: int, end: str, like: yaml.Node | None = None) -> str:
    """Write what follows the colon of a key that stands ``margin`` blanks in, lines below it counted in."""
    if isinstance(value, (str, bool)):
        return f" {scalar(value, margin, end, like)}"
    if not value:
        return " {}" if isinstance(value, Mapping) else " []"
    blanks = " " * (margin + STEP)
    if isinstance(value, Mapping):
        return "".join(f"{end}{blanks}{pair(key, one, margin + STEP, end)}" for key, one in value.items())
    return "".join(f"{end}{blanks}{item(one, margin + STEP, end)}" for one in value)


def pair(key: str, value: Value, margin: int, end: str) -> str:
    """Write a key with its value, to stand ``margin`` blanks in."""
    return f"{name(key)}:{after_key(value, margin, end)}"


def item(value: Value, margin: int, end: str) -> str:
    """Write an item of a list, its hyphen to stand ``margin`` blanks in."""
    if isinstance(value, (str, bool)) or not value:
        return f"-{after_key(value, margin, end)}"
    if isinstance(value, Mapping):
        lines = [pair(key, one, margin + STEP, end) for key, one in value.items()]
    else:
        lines = [item(one, margin + STEP, end) for one in value]
    return "- " + f"{end}{' ' * (margin + STEP)}".join(lines)
