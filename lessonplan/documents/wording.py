"""How numbers and times are worded on every document, decided once."""

from __future__ import annotations

from lessonplan.course.words import clock_of, count_of, day_text, listing, short_day
from lessonplan.shoot.day import clock

__all__ = [
    "clock",
    "count_of",
    "day_text",
    "duration",
    "hands_time",
    "hours",
    "listing",
    "rest_time",
    "screen_time",
    "short_day",
]


def duration(minutes: float) -> str:
    """Word a duration: ``25 min``, ``3 h 05 min``; under a minute in seconds."""
    if 0 < minutes < 1:
        return f"{max(1, round(minutes * 60))} s"
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60:02d} min" if whole % 60 else f"{whole // 60} h"


def hours(quarters: int) -> str:
    """Word quarters of an hour as hours: ``1¾``."""
    whole, rest = divmod(quarters, 4)
    return f"{whole or ''}{('', '¼', '½', '¾')[rest]}" or "0"


def hands_time(minutes: float) -> str:
    """Word how long hands are filmed, to the second as it was written: ``30 s``, ``2 min 30 s``."""
    whole, seconds = divmod(round(minutes * 60), 60)
    return f"{whole} min {seconds} s" if 0 < whole < 60 and seconds else duration(minutes)


def rest_time(minutes: float) -> str:
    """Word a time to rest: ``12 h``, ``36 h``, ``5 days``, ``8 days 15 h``."""
    days, rest = divmod(minutes, 24 * 60)
    if days > 1:
        return f"{days:g} days" + (f" {duration(rest)}" if rest else "")
    return duration(minutes)


def screen_time(minutes: float) -> str:
    """Word a screen time or a position in a video: ``0:42``, ``12:05``, ``1:02:05``."""
    return clock_of(minutes * 60)
