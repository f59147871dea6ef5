"""WebVTT files, read by the parsing algorithm of the standard, step by step (W3C WebVTT, “File parsing”).

The algorithm forgives much: it never stops at a bad line, it only leaves out what it cannot use. What it left out is
not told here; see `reading`. Of a cue its times and text are kept: where and in which style it is shown nobody asks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_ARROW = "-->"
_BLANKS = "[ \\t\\n\\f\\r]*"
_STAMP = r"(?:([0-9]+):)?([0-9]{2}):([0-9]{2})\.([0-9]{3})(?![0-9])"
_TIMES = re.compile(f"{_BLANKS}({_STAMP}){_BLANKS}-->{_BLANKS}({_STAMP}).*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class VttCue:
    """A cue as the file has it: times in whole milliseconds, text with its tags, the line (from 1) of its times."""

    start: int
    end: int
    text: str
    row: int


@dataclass(frozen=True, slots=True)
class VttFile:
    """All that a file gave: cues in the order of the file, and the rows of dropped times."""

    cues: tuple[VttCue, ...] = ()
    dropped: tuple[int, ...] = ()


def parse(text: str) -> VttFile | None:
    """Read the text of a WebVTT file (a byte order mark may stand before it); None where it is not one at all."""
    text = text.removeprefix("\ufeff").replace("\0", "\ufffd").replace("\r\n", "\n").replace("\r", "\n")
    if not re.match(r"WEBVTT(?:[ \t\n]|\Z)", text):
        return None
    return _Parser(text.split("\n")).file()


class _Parser:
    """The algorithm's own variables. ``at`` is the index of the next line; a last line without an end is one too."""

    def __init__(self, lines: list[str]) -> None:
        # A text that ends with a line end has no line after it.
        self.lines = lines[:-1] if lines[-1] == "" else lines
        self.at = 1
        self.cues: list[VttCue] = []
        self.dropped: list[int] = []

    def file(self) -> VttFile:
        """Read the whole file."""
        if self.at < len(self.lines) and self.lines[self.at]:
            self.block(in_header=True)
        while self.at < len(self.lines):
            if self.lines[self.at]:
                self.block(in_header=False)
            else:
                self.at += 1
        return VttFile(tuple(self.cues), tuple(self.dropped))

    def block(self, in_header: bool) -> None:
        """Read a block, and keep it if it is a cue."""
        count = 0
        text: list[str] = []
        cue: tuple[int, int, int] | None = None
        seen_arrow = False
        while self.at < len(self.lines):
            line = self.lines[self.at]
            count += 1
            if _ARROW in line:
                if in_header or not (count == 1 or (count == 2 and not seen_arrow)):
                    break  # the line begins the next block
                self.at += 1
                seen_arrow = True
                times = cue_times(line)
                if times:
                    cue, text = (*times, self.at), []
                else:
                    self.dropped.append(self.at)
                continue
            self.at += 1
            if not line:
                break
            text.append(line)
        if cue:
            start, end, row = cue
            self.cues.append(VttCue(start, end, "\n".join(text), row))


def timestamp(text: str) -> int | None:
    """Give a time such as ``00:01.500`` or ``100:00:01.500`` in milliseconds; None where it is none.

    Hours have any number of digits in the standard; here, below 10 thousand million.
    """
    found = re.fullmatch(_STAMP, text)
    if not found or len((found[1] or "").lstrip("0")) > 10:
        return None
    hours, minutes, seconds, thousandths = (int(part) for part in ((found[1] or "0")[-10:], *found.groups()[1:]))
    if minutes > 59 or seconds > 59:
        return None
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths


def cue_times(line: str) -> tuple[int, int] | None:
    """Read a line with an arrow: start and end in milliseconds; None where it cannot be used."""
    found = _TIMES.fullmatch(line)
    if not found:
        return None
    start, end = timestamp(found[1]), timestamp(found[6])
    return None if start is None or end is None else (start, end)
