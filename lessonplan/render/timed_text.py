"""Texts with times as files: WebVTT (W3C) and SubRip; a value in, bytes out.

WebVTT: rules for writing in tests/facts/webvtt_rules.yaml. SubRip has no standard: number, line of times with a comma,
text, a blank line, as common programs read it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Timed:
    """A text of some lines, seen from ``start`` to ``end``, in whole milliseconds."""

    start: int
    end: int
    lines: tuple[str, ...]


def webvtt(title: str, cues: Iterable[Timed], about: Sequence[str]) -> bytes:
    """Write a WebVTT file; ``about`` are remarks for people at its head. What lasts no time is left out."""
    blocks = [f"WEBVTT {_safe(title)}".strip()]
    blocks += [f"NOTE {_safe(text)}" for text in about if text]
    for one in cues:
        if one.end > one.start and any(line.strip() for line in one.lines):
            text = "\n".join(_escaped(line) for line in one.lines if line.strip())
            blocks.append(f"{_stamp(one.start, '.')} --> {_stamp(one.end, '.')}\n{text}")
    return ("\n\n".join(blocks) + "\n").encode("utf-8")


def subrip(cues: Iterable[Timed]) -> bytes:
    """Write a SubRip file, with the line ends that old players want."""
    blocks, number = list[str](), 0
    for one in cues:
        lines = [_safe(line) for line in one.lines if line.strip()]
        if one.end > one.start and lines:
            number += 1
            blocks.append("\n".join([str(number), f"{_stamp(one.start, ',')} --> {_stamp(one.end, ',')}", *lines]))
    return "".join(f"{block}\n\n" for block in blocks).replace("\n", "\r\n").encode("utf-8")


def _stamp(milliseconds: int, mark: str) -> str:
    seconds, rest = divmod(milliseconds, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{rest:03}"


def _safe(text: str) -> str:
    """Give a text on one line, without the sign that parts times: there is no other way to write it."""
    return " ".join(text.split()).replace("-->", "→")


def _escaped(text: str) -> str:
    return " ".join(text.split()).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
