"""Gauge: from lengths to rounds and stitches, and back.

Lengths are in millimetres; a gauge counts stitches and rounds over a length (10 cm unless the pattern says otherwise).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Rounding = Literal["nearest", "up", "down", "even"]


@dataclass(frozen=True, slots=True)
class Fabric:
    """A measured fabric: stitches and rounds for each millimetre."""

    stitches_per_mm: float
    rounds_per_mm: float

    @classmethod
    def of(cls, stitches: float, rounds: float, over: float) -> Fabric:
        """Make it from a swatch: so many stitches and rounds over a length in millimetres."""
        return cls(stitches / over, rounds / over)

    def width(self, stitches: float) -> float:
        """Give the width of so many stitches in millimetres."""
        return stitches / self.stitches_per_mm

    def length(self, rounds: float) -> float:
        """Give the length of so many rounds in millimetres."""
        return rounds / self.rounds_per_mm


def round_half_up(value: float) -> int:
    """Round to the nearest whole number, halves up, as people do (105.5 gives 106)."""
    return math.floor(value + 0.5 + 1e-9)


def rounded(value: float, how: Rounding = "nearest") -> int:
    """Round a count as the pattern asks; ``even`` gives the nearest even number."""
    match how:
        case "up":
            return math.ceil(value - 1e-9)
        case "down":
            return math.floor(value + 1e-9)
        case "even":
            return 2 * round_half_up(value / 2)
    return round_half_up(value)


def stitches_for(width: float, fabric: Fabric) -> int:
    """Stitches for a width in millimetres: width x stitch gauge (lovelyjubblyknits.blogspot 2015-09)."""
    return round_half_up(width * fabric.stitches_per_mm)


def rounds_for(length: float, fabric: Fabric, how: Rounding = "nearest") -> int:
    """Rounds for a length in millimetres, at least one: length x round gauge (knittingwithkarma.blogspot)."""
    return max(1, rounded(length * fabric.rounds_per_mm, how))


def multiple_of(stitches: float, repeat: int, edge: int = 0) -> int:
    """Give the count nearest to ``stitches`` that is a multiple of ``repeat`` plus ``edge``; common practice."""
    return repeat * max(1, round_half_up((stitches - edge) / repeat)) + edge


def landing(wanted: float, ends: tuple[int, ...], period: int) -> int:
    """Give the round count nearest to ``wanted`` that ends at one of the places in a repeat of ``period`` rounds.

    ``ends`` are the places (1 to ``period``) where it may end; of two equally near counts the longer is taken.
    """
    if not ends or period < 1:
        raise ValueError("a landing needs a repeat of one round at least, and a place in it to end at")
    base = int(wanted // period) * period
    counts = [base + turn * period + end for turn in (-1, 0, 1) for end in ends if base + turn * period + end >= 1]
    return min(counts, key=lambda count: (abs(count - wanted), -count))
