"""Rows of published figures that tests check against; every row names its source."""

from __future__ import annotations

import csv
from pathlib import Path


def rows(name: str) -> list[dict[str, str]]:
    """Read a table of tests/facts."""
    with (Path(__file__).parent / "facts" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def row(name: str, key: str, value: str) -> dict[str, str]:
    """Give the one row of a table whose column has this value."""
    (found,) = [one for one in rows(name) if one[key] == value]
    return found
