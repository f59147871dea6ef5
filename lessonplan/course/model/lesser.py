"""The lesser kinds of a piece, as a pattern asks for them: which rounds a short one has, how wide a small one is."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator

from lessonplan.course.values.fields import SCALAR, Kind, text_of
from lessonplan.course.values.quantities import read_percent

PieceKind = Literal["full", "short", "small"]
"""The kinds of a piece; small is on fewer stitches, short has fewer rounds."""
KINDS: tuple[str, ...] = get_args(PieceKind)


@dataclass(frozen=True, slots=True)
class Short:
    """Which rounds of a stage a short piece has: the first ``keep``, or all but some (first and last of each run)."""

    keep: int | None = None
    leave: tuple[tuple[int, int], ...] = ()

    def rounds(self, whole: int) -> tuple[int, ...]:
        """Give the numbers (from 1) of the rounds that are kept, of so many."""
        every = range(1, whole + 1)
        if self.keep is not None:
            return tuple(every[: self.keep])
        return tuple(number for number in every if not any(first <= number <= last for first, last in self.leave))


def read_short(value: Any) -> Short:
    """Read ``6`` or ``leave out rounds 5 to 16``. Raises ``ValueError``."""
    if isinstance(value, Short):
        return value
    text = text_of(value).strip().lower()
    if re.fullmatch(r"\d{1,6}(\s+(rounds?|rows?))?", text):
        return Short(keep=int(text.split()[0]))
    runs = re.fullmatch(r"leave out\s+(?:rounds?|rows?)?\s*(.+)", text)
    found = re.split(r"\s*,\s*|\s+and\s+", runs[1]) if runs else []
    numbers = [re.fullmatch(r"(\d{1,6})(?:\s*(?:to|-|–)\s*(\d{1,6}))?", one.strip()) for one in found]
    if not numbers or None in numbers:
        raise ValueError(f"“{text}” is not a number of rounds such as 6, nor “leave out rounds 5 to 16”")
    leave = tuple((int(one[1]), int(one[2] or one[1])) for one in numbers if one)
    if any(first < 1 or last < first for first, last in leave):
        raise ValueError(f"“{text}” should name rounds from a lower to a higher number, from 1")
    return Short(leave=leave)


@dataclass(frozen=True, slots=True)
class Small:
    """What a small piece casts on: so many ``stitches``, or a ``share`` of the full piece's."""

    share: float = 0.5
    stitches: int | None = None


def read_small(value: Any) -> Small:
    """Read ``24 sts`` or a share such as ``50 %``. Raises ``ValueError``."""
    if isinstance(value, Small):
        return value
    text = text_of(value).strip()
    count = re.fullmatch(r"(\d{1,5})(?:\s+(?:sts|stitches))", text)
    if count:
        return Small(stitches=int(count[1]))
    if re.fullmatch(r"\d{1,5}", text):
        raise ValueError(f"“{text}” has no unit; write “{text} sts” for a cast-on, or “{text} %” for a share")
    share = read_percent(text)
    if not 0 < share <= 1:
        raise ValueError(f"“{text}” is neither a number of stitches such as 24 sts nor a share such as 50 %")
    return Small(share=share)


RoundsKept = Annotated[
    Short | None, BeforeValidator(read_short), Kind("a number of rounds, or “leave out rounds 5 to 16”", SCALAR)
]
"""Which rounds a short piece has of a stage."""
SmallWidth = Annotated[
    Small,
    BeforeValidator(read_small),
    Kind("a number of stitches, or a share", SCALAR, lambda small: f"{small.share:.0%}"),
]
"""How wide a small piece is."""
