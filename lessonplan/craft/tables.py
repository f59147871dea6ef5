"""The trade's tables that ship with the program: every row names its source and how far to trust it."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib import resources


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Read a table (``needles`` for ``needles.csv``) as mappings from column to text."""
    text = resources.files("lessonplan.craft").joinpath("tables", f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@cache
def minutes(name: str) -> float:
    """Give a fixed time of the craft in minutes; the table says per what. Raises ``KeyError`` if it has no such row."""
    return {row["name"]: float(row["minutes"]) for row in rows("work_minutes")}[name]


@cache
def pace(name: str) -> float:
    """Give a known pace in stitches a minute (``record``, ``slow`` ...), or the factor of two colours."""
    return {row["name"]: float(row["value"]) for row in rows("knitting_speeds")}[name]


@cache
def three_points(name: str) -> tuple[float, float, float]:
    """Give the low, likely and high value of a row of the table of paces on a set (paces and times on the floor)."""
    row = {row["name"]: row for row in rows("filming_paces")}[name]
    return float(row["low"]), float(row["likely"]), float(row["high"])
