"""Frame rates of cameras and editing programs, by the names that people write.

The rates of SMPTE ST 12-1, and those double. Drop-frame counting (see `lessonplan.edit.timecode`) is defined for 29.97
and 59.94 alone.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator

from lessonplan.course.problems import did_you_mean
from lessonplan.course.values.fields import Kind, text_of

_RATE = re.compile(
    r"(?P<number>[0-9]+(?:\.[0-9]*[1-9])?)(?:\.0+)?\s*(?:fps|p)?"
    r"(?:\s+(?:(?P<drop>drop|df)|non[ -]?drop|ndf)(?:[ -]frame)?)?"
)


@dataclass(frozen=True, slots=True)
class Rate:
    """A frame rate: its usual name, frames a second, numbers counted to a second, and numbers dropped a minute."""

    name: str
    fps: Fraction
    counted: int
    dropped: int = 0

    @property
    def ten_minutes(self) -> int:
        """Frames from one label to that ten minutes later."""
        return 600 * self.counted - 9 * self.dropped

    @property
    def day(self) -> int:
        """Frames from 00:00:00:00 to where the labels begin anew."""
        return 144 * self.ten_minutes


def _ntsc(counted: int) -> Fraction:
    return Fraction(counted * 1000, 1001)


RATES: Mapping[str, Rate] = {
    rate.name: rate
    for rate in (
        Rate("23.976", _ntsc(24), 24),
        Rate("24", Fraction(24), 24),
        Rate("25", Fraction(25), 25),
        Rate("29.97", _ntsc(30), 30),
        Rate("29.97 drop", _ntsc(30), 30, 2),
        Rate("30", Fraction(30), 30),
        Rate("50", Fraction(50), 50),
        Rate("59.94", _ntsc(60), 60),
        Rate("59.94 drop", _ntsc(60), 60, 4),
        Rate("60", Fraction(60), 60),
    )
}
"""The rates by name; without “drop” none of the numbers is left out."""


def read_rate(text: str) -> Rate:
    """Read a rate: ``25``, ``29.97 drop``, ``29.97 non-drop``, ``23.98``. Raises ``ValueError`` with one sentence."""
    found = _RATE.fullmatch(text.strip().lower())
    number = (found["number"] if found else text.strip()).replace("23.98", "23.976")
    name = f"{number} drop" if found and found["drop"] else number
    if name not in RATES:
        raise ValueError(f"“{text}” is no frame rate. {did_you_mean(name, RATES)}".strip())
    return RATES[name]


def _rate(value: Any) -> Rate:
    try:
        return value if isinstance(value, Rate) else read_rate(text_of(value))
    except ValueError:
        known = ", ".join(name for name in RATES if " " not in name)
        raise ValueError(f"“{value}” is no frame rate; there are {known}, and “29.97 drop”, “59.94 drop”") from None


FrameRate = Annotated[
    Rate, BeforeValidator(_rate), Kind("pictures a second", {"type": ["string", "number"]}, lambda rate: rate.name)
]
"""A rate as a course file has it."""
