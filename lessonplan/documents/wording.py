"""How numbers and times are worded on every document, decided once."""

from __future__ import annotations

from datetime import date

from lessonplan.shoot.day import clock

__all__ = ["clock", "count_of", "day_text", "duration", "listing", "screen_time", "short_day"]


def duration(minutes: float) -> str:
    """Word a duration: ``25 min``, ``3 h 05 min``; under a minute in seconds."""
    if 0 < minutes < 1:
        return f"{max(1, round(minutes * 60))} s"
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60:02d} min" if whole % 60 else f"{whole // 60} h"


def screen_time(minutes: float) -> str:
    """Word a screen time or a position in a video: ``0:42``, ``12:05``, ``1:02:05``."""
    seconds = round(minutes * 60)
    hours, rest = divmod(seconds, 3600)
    return f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else f"{rest // 60}:{rest % 60:02d}"


def day_text(day: date) -> str:
    """Word a date in full: ``Saturday 6 March 2027``; English names whatever the machine's language."""
    names = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    return f"{names[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_day(day: date) -> str:
    """Word a date briefly: ``Sat 6 Mar``."""
    names = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    return f"{names[day.weekday()]} {day.day} {_MONTHS[day.month - 1][:3]}"


_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def count_of(count: int, thing: str) -> str:
    """Word a count with its thing: ``1 piece``, ``4 pieces``."""
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def listing(parts: list[str] | tuple[str, ...]) -> str:
    """Join with commas and an “and”: ``a, b and c``."""
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1] if parts else ""
