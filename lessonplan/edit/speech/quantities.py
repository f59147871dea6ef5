"""A quantity in speech: a number with its craft unit, or with the words that tell what it counts."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.edit.speech.numbers import Number
from lessonplan.edit.speech.units import INCH, LENGTHS


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with what it counts, said in tokens ``first`` to ``end`` (a unit before the number included).

    ``unit`` is a key such as stitches, rounds, rows, cm, inches, mm, us, knit, purl, slip, together; ``number`` what
    was said; ``ordinal``: a place in the rounds (“round nine”), no count; ``size`` the index of the size it is said of;
    ``bare``: no unit was said with it.
    """

    unit: str
    number: Number
    first: int
    end: int
    ordinal: bool = False
    size: int | None = None
    bare: bool = False

    @property
    def value(self) -> float:
        """The number, or the higher end of a range."""
        return self.number.high  # the number’s own value, asked for so often that one call is worth saving


def comparable(unit: str, other: str) -> bool:
    """Whether two units measure the same."""
    return unit == other or (unit in LENGTHS and other in LENGTHS)


def near(one: Quantity, unit: str, value: float) -> bool:
    """Whether a quantity is a value: exactly, a length as it is rounded in speech, a range around it."""
    low, high = one.number.low, one.number.high
    if one.unit not in LENGTHS:
        return low <= value <= high if low < high and one.unit in ("minutes", "stitches") else abs(high - value) < 0.05
    scale = INCH if one.unit == "inches" else 1.0
    wanted = value * (INCH if unit == "inches" else 1.0)
    slack = min(one.number.part * scale / 2, max(0.11 * wanted, 0.2))
    return low * scale - slack <= wanted <= high * scale + slack


def as_unit(one: Quantity, unit: str) -> Quantity:
    """Give a quantity as one of a unit."""
    return Quantity(unit, one.number, one.first, one.end)
