"""Dates, counts and lists in words, for every sentence and page: English, whatever the machine's language."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
"""The months' names; their first three letters are the short ones."""

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def day_text(day: date) -> str:
    """Word a date in full: ``Saturday 6 March 2027``."""
    return f"{_DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def short_day(day: date) -> str:
    """Word a date briefly: ``Sat 6 Mar``."""
    return f"{_DAYS[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1][:3]}"


def short_date(day: date) -> str:
    """Word a date briefly, the year too: ``Sat 6 Mar 2027``."""
    return f"{short_day(day)} {day.year}"


def clock_of(seconds: float) -> str:
    """Give a time in a video in words of its player, to the nearest second: ``8:05``, ``1:02:05``."""
    hours, rest = divmod(nearest_second(seconds), 3600)
    return f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else f"{rest // 60}:{rest % 60:02d}"


def nearest_second(seconds: float) -> int:
    """Give the whole second next to a time, the later of two, as every paper has it: rounded once, and so alike."""
    return int(round(seconds, 6) + 0.5)  # what was divided on its way is a trifle off


def count_of(count: int, thing: str) -> str:
    """Word a count with its thing: ``1 piece``, ``4 pieces``."""
    return f"{count} {thing}" if count == 1 else f"{count} {several(thing)}"


def several(thing: str) -> str:
    """Word several of a thing: ``pieces``, ``patches``, ``leaves``, by the common rules of English."""
    if re.search(r"(?:lea|loa|shel|hal|kni|wol)fe?$", thing):
        return re.sub(r"fe?$", "ves", thing)
    if re.search(r"(?:[sxz]|ch|sh)$", thing):
        return f"{thing}es"
    return f"{thing[:-1]}ies" if re.search(r"[^aeiou]y$", thing) else f"{thing}s"


def capital(text: str) -> str:
    """Write a text with a capital, as the beginning of a sentence."""
    return text[:1].upper() + text[1:]


def listing(parts: Sequence[str]) -> str:
    """Join with commas and an “and”: ``a, b and c``."""
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1] if parts else ""
