"""What is decided about findings, written: dismissed for good (``proofed.yaml``), or taken over as an erratum."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import yaml

from lessonplan.course.files import UnfitError, decode, inside, locked, read_plain, write_file
from lessonplan.course.problems import Where
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.edit.proof.finding import Finding
from lessonplan.edit.proof.whole import Proof, known_words
from lessonplan.planning.worked import Worked

DECIDED, ERRATA = "proofed.yaml", "errata.yaml"
HEAD = (
    "# What was decided about findings of proofing. lessonplan writes this file when asked:\n"
    "# lessonplan proof COURSE EPISODE CAPTIONS --dismiss NUMBER (or --erratum NUMBER). A finding is known again by its\n"
    "# words, whenever they are said. “why” may say why it was dismissed; take a line out and the finding is open again.\n"
)
_UNITS = {"stitches": "stitches", "rounds": "rounds", "rows": "rows"}


class DecideError(ValueError):
    """What was asked cannot be decided; the text is one sentence."""


def chosen(proof: Proof, numbers: Sequence[int]) -> tuple[Finding, ...]:
    """Give the findings of some numbers (from 1). Raises `DecideError` for numbers that no finding has."""
    for number in numbers:
        if not 1 <= number <= len(proof.findings):
            count = len(proof.findings)
            what = f"there {'is' if count == 1 else 'are'} {count or 'none'}"
            raise DecideError(f"There is no finding {number}; {what}.")
    return tuple(proof.findings[number - 1] for number in dict.fromkeys(numbers))


def dismiss(folder: Path, worked: Worked, proof: Proof, numbers: Sequence[int]) -> tuple[Path, ...]:
    """Dismiss findings for good. Raises `DecideError`, `UnfitError` and ``OSError``."""
    found = chosen(proof, numbers)
    with locked(folder):
        return (_decide(folder, worked, proof, found, "dismissed"),)


def take_over(folder: Path, worked: Worked, proof: Proof, numbers: Sequence[int], on: date) -> tuple[Path, ...]:
    """Write findings into the errata log, found ``on`` that day. Raises `DecideError`, `UnfitError` and ``OSError``."""
    found = chosen(proof, numbers)
    for number, one in zip(numbers, found, strict=False):
        if not one.right or one.kind == "never said":
            raise DecideError(f"Finding {number} ({one.kind}) has nothing that would be right instead; dismiss it.")
    with locked(folder):
        items = "".join(erratum(proof, one, on) for one in found)
        path = inside(folder, ERRATA)
        before = _text(path, ERRATA)
        _write(path, before, with_items(before, "errata", items), "errata", len(found))
        return path, _decide(folder, worked, proof, found, "taken_over")


def _decide(folder: Path, worked: Worked, proof: Proof, found: Sequence[Finding], key: str) -> Path:
    path = inside(folder, DECIDED)
    before = _text(path, DECIDED)
    new = [one for one, done in zip(proof.findings, proof.decided, strict=True) if one in found and not done]
    keys = dict.fromkeys((one.kind, known_words(worked, one)) for one in new)
    items = "".join(
        f"- {{episode: {proof.episode.episode}, kind: {kind}, words: {_quoted(words)}}}\n" for kind, words in keys
    )
    if items:
        _write(path, before, with_items(before or HEAD, key, items), key, len(keys))
    return path


def erratum(proof: Proof, one: Finding, on: date) -> str:
    """Word a finding as an item of the errata log, beginning with a hyphen."""
    seconds = int(one.start)
    at = f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    unit = one.fact.rpartition(".")[2]
    unit = next((name for name in _UNITS if f" {name} (" in one.right), unit)
    right = f"{{{{ {one.fact} }}}} {unit}" if one.fact and unit in _UNITS else one.right.partition(" (")[0]
    kind = "word" if one.kind == "swapped words" else "number"
    rows = (
        f"- found: {on.isoformat()}",
        "  by: proofing",
        "  role: captions",
        f"  where: {_quoted(f'episode {proof.episode.episode}, segment {one.segment}, at {at}')}",
        f"  said: {_quoted(one.context)}",
        f"  right: {_quoted(right)}",
        f"  kind: {kind}",
        "  state: open",
    )
    return "\n".join(rows) + "\n"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _text(path: Path, name: str) -> str:
    return decode(read_plain(path, Where(name), MAX_BYTES), name) if path.exists() else ""


def with_items(text: str, key: str, items: str) -> str:
    """Put items at the end of a list in a YAML text, and leave all that stands there; a list that lacks is begun."""
    end = "\r\n" if "\r\n" in text else "\n"
    root = yaml.compose(text) if text.strip() else None
    pairs = root.value if isinstance(root, yaml.MappingNode) else []
    holder = next((value for name, value in pairs if name.value == key), None)
    if isinstance(holder, yaml.SequenceNode) and holder.value and not holder.flow_style:
        margin = " " * holder.value[0].start_mark.column
        margin = margin[: max(0, len(margin) - 2)]
        at = _last(holder).end_mark.index
        if text[at - 1 : at] != "\n":
            at = text.find("\n", at) + 1 or len(text)
        before = text[:at] if text[:at].endswith("\n") else text[:at] + end
        return before + _indented(items, margin, end) + text[at:]
    if holder is not None:
        empty = isinstance(holder, yaml.SequenceNode) and not holder.value or holder.value in ("", "null", "~")
        if not empty:
            raise DecideError(f"“{key}” is written on one line; put each item on a line of its own first.")
        start, stop = holder.start_mark.index, holder.end_mark.index
        return text[:start].rstrip(" ") + end + _indented(items, "  ", end).rstrip() + text[stop:]
    start = text if not text.strip() or text.endswith("\n") else text + end
    return f"{start}{end if text.strip() else ''}{key}:{end}{_indented(items, '  ', end)}"


def _indented(items: str, margin: str, end: str) -> str:
    return "".join(f"{margin}{line}{end}" for line in items.splitlines())


def _last(node: yaml.Node) -> yaml.Node:
    """The last value within a value: where it ends, the text of the whole ends."""
    while isinstance(node, (yaml.SequenceNode, yaml.MappingNode)) and node.value and not node.flow_style:
        node = node.value[-1] if isinstance(node, yaml.SequenceNode) else node.value[-1][1]
    return node


def _write(path: Path, before: str, after: str, key: str, more: int) -> None:
    """Write a file in which only some items are more than before. Raises `DecideError` where that is not so."""

    def read(text: str) -> dict[str, list[object]]:
        return (yaml.load(text, Loader=yaml.BaseLoader) if text.strip() else {}) or {}

    old, new = read(before), read(after)
    kept = old.get(key) or []
    same = {name: value for name, value in new.items() if name != key}
    if same != {name: value for name, value in old.items() if name != key} or new[key][: len(kept)] != list(kept):
        raise DecideError(f"{path.name} is written in a way that cannot be added to; put the items in by hand.")
    if len(new[key]) != len(kept) + more:
        raise DecideError(f"{path.name} is written in a way that cannot be added to; put the items in by hand.")
    write_file(path, after.encode())


__all__ = ["DecideError", "UnfitError", "dismiss", "erratum", "take_over", "with_items"]
