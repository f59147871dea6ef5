"""SubRip files. They have no standard; read are all blocks that have a line of times, as common programs write them.

A block is a number on a line of its own (it may be missing), the line of times, and the text up to the next block:
blank lines inside a text are no end of it. Tags such as ``<i>``, ``<font ...>`` and ``{\\an8}`` are taken off.
"""

from __future__ import annotations

import html
import re
from dataclasses import dataclass

_TIME = r"(?:(\d{1,4}):)?(\d{1,2}):(\d{1,2})(?:[,.](\d{1,3}))?"
_TIMES = re.compile(rf"\s*{_TIME}\s*--?>\s*{_TIME}(?:\s.*)?", re.ASCII)
_TAGS = re.compile(r"</?[A-Za-z][^<>]*>|\{\\[^{}]*\}")
_NUMBER = re.compile(r"\s*\d+\s*", re.ASCII)


@dataclass(frozen=True, slots=True)
class Block:
    """A caption as its file has it: start and end in milliseconds, its text without tags, the line of its times.

    ``stamps`` are times inside the text: (place in it, milliseconds). ``end`` is None where the file says none.
    """

    start: int
    end: int | None
    text: str
    row: int
    voice: str = ""
    stamps: tuple[tuple[int, int], ...] = ()


def parse(text: str) -> tuple[Block, ...]:
    """Read the blocks of a SubRip file, in the order of the file."""
    lines = re.split(r"\r\n|\r|\n", text)
    times = [(row, found) for row, line in enumerate(lines) if "->" in line and (found := _TIMES.fullmatch(line))]
    blocks = []
    for place, (row, found) in enumerate(times):
        last = times[place + 1][0] if place + 1 < len(times) else len(lines)
        body = lines[row + 1 : last]
        if place + 1 < len(times) and body and _NUMBER.fullmatch(body[-1]):
            body = body[:-1]  # the next block's number
        said = "\n".join(line.strip() for line in body if line.strip())
        start, end = _milliseconds(found.groups()[:4]), _milliseconds(found.groups()[4:])
        blocks.append(Block(start, end, html.unescape(_TAGS.sub("", said)).strip(), row + 1))
    return tuple(blocks)


def _milliseconds(parts: tuple[str | None, ...]) -> int:
    hours, minutes, seconds, decimals = parts
    whole = (int(hours or 0) * 60 + int(minutes or 0)) * 60 + int(seconds or 0)
    return whole * 1000 + int((decimals or "0").ljust(3, "0"))
