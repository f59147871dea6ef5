"""Timecode as cameras and editing programs count it (SMPTE ST 12-1), in whole frames and exact times.

A label ``hh:mm:ss:ff`` counts frames by a whole number for each second. At 30000/1001 frames a second (called 29.97)
such labels fall behind the clock by 3.6 s an hour. So drop-frame timecode, written with a semicolon, leaves out the
first two numbers (at 59.94: four) of every minute that is not a tenth one; no picture is left out. Rates and rules:
tests/facts/timecode_rules.yaml.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from lessonplan.course.problems import did_you_mean

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


def timecode(frame: int, rate: Rate) -> str:
    """Give the label of a frame, the first being 0; after 24 hours labels begin anew, and before 0 they go back."""
    tens, rest = divmod(frame % rate.day, rate.ten_minutes)
    number = tens * 600 * rate.counted + rest
    if rate.dropped and rest >= 60 * rate.counted:
        # The first minute of ten has all its numbers; after it each minute is shorter by those that are dropped.
        number += rate.dropped * (1 + (rest - 60 * rate.counted) // (60 * rate.counted - rate.dropped))
    seconds, frames = divmod(number, rate.counted)
    mark = ";" if rate.dropped else ":"
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{frames:02}"


def frame_of(label: str, rate: Rate) -> int:
    """Give the frame that a label names. Raises ``ValueError``, one sentence, for what is no label at this rate."""
    found = re.fullmatch(r"([0-9]{2}):([0-9]{2}):([0-9]{2})([:;])([0-9]{2})", label.strip())
    if not found:
        raise ValueError(f"“{label}” is no timecode; write for example 01:02:03{';' if rate.dropped else ':'}04.")
    hours, minutes, seconds, frames = (int(found[place]) for place in (1, 2, 3, 5))
    if (found[4] == ";") != bool(rate.dropped):
        says = "a semicolon before the frames means drop-frame" if found[4] == ";" else "drop-frame has a semicolon"
        raise ValueError(f"“{label}” does not fit {rate.name} frames a second: {says}.")
    if hours > 23 or minutes > 59 or seconds > 59 or frames >= rate.counted:
        last = timecode(-1, rate)
        raise ValueError(f"“{label}” is beyond what is counted at {rate.name} frames a second: {last} at most.")
    if seconds == 0 and frames < rate.dropped and minutes % 10:
        first = f"{hours:02}:{minutes:02}:00;{rate.dropped:02}"
        raise ValueError(f"There is no “{label}”: this minute begins with {first}.")
    minute = 60 * hours + minutes
    return (60 * minute + seconds) * rate.counted + frames - rate.dropped * (minute - minute // 10)


def seconds_at(frame: int, rate: Rate) -> Fraction:
    """Give the seconds from the first frame to the beginning of a frame, exactly."""
    return frame / rate.fps


def frame_at(seconds: Fraction, rate: Rate) -> int:
    """Give the frame that is seen so many seconds after the beginning of the first."""
    return int(seconds * rate.fps // 1)
