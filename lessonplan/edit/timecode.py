"""Timecode as cameras and editing programs count it (SMPTE ST 12-1), in whole frames and exact times.

A label ``hh:mm:ss:ff`` counts frames by a whole number for each second. At 30000/1001 frames a second (called 29.97)
such labels fall behind the clock by 3.6 s an hour. So drop-frame timecode, written with a semicolon, leaves out the
first two numbers (at 59.94: four) of every minute that is not a tenth one; no picture is left out. Rates and rules:
tests/facts/timecode_rules.yaml.
"""

from __future__ import annotations

import re
from fractions import Fraction

from lessonplan.course.values.rates import Rate


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
    if frames >= rate.counted:
        raise ValueError(f"“{label}” has frame {frames}; {rate.name} frames a second go from 00 to {rate.counted - 1}.")
    if hours > 23 or minutes > 59 or seconds > 59:
        last = timecode(-1, rate)
        raise ValueError(f"“{label}” is beyond what is counted at {rate.name} frames a second: {last} at most.")
    if seconds == 0 and frames < rate.dropped and minutes % 10:
        first = f"{hours:02}:{minutes:02}:00;{rate.dropped:02}"
        raise ValueError(f"There is no “{label}”: this minute begins with {first}.")
    minute = 60 * hours + minutes
    return (60 * minute + seconds) * rate.counted + frames - rate.dropped * (minute - minute // 10)


def frame_at(seconds: Fraction, rate: Rate) -> int:
    """Give the frame that is seen so many seconds after the beginning of the first."""
    return int(seconds * rate.fps // 1)
