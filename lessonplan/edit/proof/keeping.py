"""What is decided about findings, written: dismissed for good (``proofed.yaml``), or taken over as an erratum."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import yaml

from lessonplan.course.files import UnfitError, decode, inside, locked, read_plain, write_file
from lessonplan.course.problems import Where
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.edit.proof.findings import Finding
from lessonplan.edit.proof.whole import Proof, known_words
from lessonplan.planning.worked import Worked

DECIDED, ERRATA = "proofed.yaml", "errata.yaml"
HEAD = (
    "# What was decided about findings of proofing. lessonplan writes this file when asked:\n"
    "# lessonplan proof COURSE EPISODE CAPTIONS --dismiss NUMBER (or --erratum NUMBER). A finding is known again by\n"
    "# its words, whenever they are said. “why” may say why; take a line out and its finding is open again.\n"
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


def decide(
    folder: Path, worked: Worked, proof: Proof, dismissed: Sequence[int], errata: Sequence[int], on: date
) -> tuple[Proof, tuple[Path, ...]]:
    """Dismiss findings for good and write others into the errata log, found ``on`` that day.

    Gives the proof as it is then, and the files written. Raises `DecideError`, `UnfitError` and
    ``OSError``; what is asked wrongly is told before anything is written.
    """
    away, over = chosen(proof, dismissed), chosen(proof, errata)
    for one in over:
        if not one.right or one.kind == "never said":
            number = proof.findings.index(one) + 1
            raise DecideError(f"Finding {number} ({one.kind}) has nothing that would be right instead; dismiss it.")
    written: list[Path] = []
    with locked(folder):
        new = [one for one, done in zip(proof.findings, proof.decided, strict=True) if one in over and not done]
        if new:
            path = inside(folder, ERRATA)
            before = _text(path, ERRATA)
            items = "".join(erratum(proof, one, on) for one in new)
            _write(path, before, with_items(before, "errata", items), "errata", len(new))
            written.append(path)
        for found, key in ((away, "dismissed"), (over, "taken_over")):
            if found:
                written.append(_decide(folder, worked, proof, found, key))
    done = tuple(
        before or ("dismissed" if one in away else "taken over" if one in over else "")
        for one, before in zip(proof.findings, proof.decided, strict=True)
    )
    return replace(proof, decided=done), tuple(dict.fromkeys(written))


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
        margin = " " * holder.start_mark.column
        at = _last(holder).end_mark.index
        if text[at - 1 : at] != "\n":
            at = text.find("\n", at) + 1 or len(text)
        before = text[:at] if text[:at].endswith("\n") else text[:at] + end
        return before + _indented(items, margin, end) + text[at:]
    if holder is not None:
        empty = (isinstance(holder, yaml.SequenceNode) and not holder.value) or holder.value in ("", "null", "~")
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


__all__ = ["DecideError", "UnfitError", "decide", "erratum", "with_items"]
