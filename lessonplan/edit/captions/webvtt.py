"""WebVTT files, read by the parsing algorithm of the standard, step by step (W3C WebVTT, “File parsing”).

The algorithm forgives much: it never stops at a bad line, it only leaves out what it cannot use. What it left out is
not told here; see `reading`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from lessonplan.edit.captions.settings import Placing, Region, placing_of, region_of

_ARROW = "-->"
_BLANK = " \t\n\f\r"
_BLANKS = "[ \\t\\n\\f\\r]*"
_STAMP = r"(?:([0-9]+):)?([0-9]{2}):([0-9]{2})\.([0-9]{3})(?![0-9])"
_TIMES = re.compile(f"{_BLANKS}({_STAMP}){_BLANKS}-->{_BLANKS}({_STAMP})(.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class VttCue:
    """A cue as the file has it: times in whole milliseconds, text with its tags, the line (from 1) of its times."""

    identifier: str
    start: int
    end: int
    text: str
    placing: Placing = Placing()
    row: int = 0


@dataclass(frozen=True, slots=True)
class VttFile:
    """All that a file gave: cues in the order of the file, regions, style sheets, and the rows of dropped times."""

    cues: tuple[VttCue, ...] = ()
    regions: tuple[Region, ...] = ()
    styles: tuple[str, ...] = ()
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
        self.regions: list[Region] = []
        self.styles: list[str] = []
        self.dropped: list[int] = []

    def file(self) -> VttFile:
        if self.at < len(self.lines) and self.lines[self.at]:
            self.block(in_header=True)
        while self.at < len(self.lines):
            if self.lines[self.at]:
                self.block(in_header=False)
            else:
                self.at += 1
        return VttFile(tuple(self.cues), tuple(self.regions), tuple(self.styles), tuple(self.dropped))

    def block(self, in_header: bool) -> None:
        """Collect a block, and keep what it is."""
        count, seen_arrow, kind = 0, False, ""
        buffer: list[str] = []
        cue: tuple[str, int, int, Placing, int] | None = None
        while self.at < len(self.lines):
            line = self.lines[self.at]
            count += 1
            if _ARROW in line:
                if in_header or not (count == 1 or (count == 2 and not seen_arrow)):
                    break  # the line begins the next block
                self.at += 1
                seen_arrow = True
                times = cue_times(line, self.regions)
                if times:
                    cue, buffer = ("\n".join(buffer), *times, self.at), []
                else:
                    self.dropped.append(self.at)
                continue
            self.at += 1
            if not line:
                break
            if not in_header and count == 2 and not self.cues and cue is None:
                for name in ("STYLE", "REGION"):
                    if buffer and buffer[0].startswith(name) and not buffer[0].removeprefix(name).strip(_BLANK):
                        kind, buffer = name, []
            buffer.append(line)
        self.keep(cue, kind, "\n".join(buffer))

    def keep(self, cue: tuple[str, int, int, Placing, int] | None, kind: str, text: str) -> None:
        if cue:
            identifier, start, end, placing, row = cue
            self.cues.append(VttCue(identifier=identifier, start=start, end=end, text=text, placing=placing, row=row))
        elif kind == "STYLE":
            self.styles.append(text)
        elif kind == "REGION":
            self.regions.append(region_of(text))


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


def cue_times(line: str, regions: Sequence[Region] = ()) -> tuple[int, int, Placing] | None:
    """Read a line with an arrow: start and end in milliseconds, and the settings; None where it cannot be used."""
    found = _TIMES.fullmatch(line)
    if not found:
        return None
    start, end = timestamp(found[1]), timestamp(found[6])
    return None if start is None or end is None else (start, end, placing_of(found[11], regions))
