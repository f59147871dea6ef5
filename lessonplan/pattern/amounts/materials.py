"""What is used up besides yarn: amounts of each material in any unit, with its margin and in packs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model import pattern as pm
from lessonplan.craft.gauge import round_half_up
from lessonplan.craft.lengths import sizes_text
from lessonplan.pattern.worked import Step, WorkedPattern

MEASURES = frozenset(["g", "kg", "mg", "oz", "lb", "ml", "cl", "l", "mm", "cm", "m", "in", "ft", "yd", "bf"]) | {
    "board feet",
    "board foot",
}
"""Units that are parted as one likes; of any other, as sheets, whole ones are needed, in the reserve too."""


GRAMS = {"g": 1.0, "kg": 1000.0, "mg": 0.001, "oz": 28.349523125, "lb": 453.59237}
"""Grams in a unit of weight: the avoirdupois ounce and pound are defined so (international yard and pound, 1959)."""
LARGER = {"g": ("kg", 1000), "ml": ("l", 1000), "cm": ("m", 100)}
"""The next larger unit, in which what is bought is told, and how many make one of it."""


@dataclass(frozen=True, slots=True)
class Used:
    """So much of one material, with its margin, and how many packs of it that is (0 where it has no packs)."""

    key: str
    name: str
    amount: float
    unit: str
    packs: int
    pack: int

    def __str__(self) -> str:
        """Word the amount: ``450 g``, ``4 sheets``, ``1.7 board feet``."""
        unit = self.unit
        if unit and unit not in MEASURES:
            unit = unit.removesuffix("s") + ("" if self.amount == 1 else "s")
        return f"{self.amount:.10g}" + (f"\u00a0{unit}" if unit else "")

    @property
    def bought(self) -> str:
        """Word the amount as one buys it: 5000 g are ``5 kg``."""
        larger, many = LARGER.get(self.unit, ("", 0))
        if many and self.amount >= many:
            return f"{self.amount / many:.3f}".rstrip("0").rstrip(".") + f"\u00a0{larger}"
        return str(self)

    @property
    def in_a_pack(self) -> str:
        """Word what a pack of it holds: ``5 kg``."""
        return replace(self, amount=float(self.pack)).bought


def used(pattern: pm.Pattern, steps: Iterable[Step], pieces: int = 1) -> tuple[Used, ...]:
    """Give what some steps use, for so many pieces, in the pattern's order, rounded up with the margin in it."""
    total: dict[str, float] = {}
    for step in steps:
        for key, amount in step.uses:
            total[key] = total.get(key, 0.0) + amount
    units = dict(unit_of(pattern))
    return tuple(
        _used(pattern, key, total[key] * pieces, units.get(key, "")) for key in pattern.materials if total.get(key)
    )


def _used(pattern: pm.Pattern, key: str, net: float, unit: str) -> Used:
    material = pattern.materials[key]
    margin = pattern.margin if material.margin is None else material.margin
    if unit in MEASURES:
        gross = net * (1 + margin)
        fine = 10 if gross < 10 else 1
        amount = math.ceil(round(gross * fine, 6)) / fine
    else:
        amount = float(math.ceil(net) + round_half_up(net * margin))
    packs = math.ceil(amount / material.pack) if material.pack else 0
    return Used(key=key, name=material.name, amount=amount, unit=unit, packs=packs, pack=material.pack or 0)


def in_sizes(each: Sequence[Used]) -> str:
    """Word the amounts of one material in all sizes, the unit once where it is the same: ``720 (1680) g``."""
    units = {str(one).partition("\u00a0")[2] for one in each}
    if len(units) > 1:
        return sizes_text([str(one) for one in each])
    unit = units.pop()
    return sizes_text([str(one).partition("\u00a0")[0] for one in each]) + (f"\u00a0{unit}" if unit else "")


def unit_of(pattern: pm.Pattern) -> Iterator[tuple[str, str]]:
    """Give the unit of each material that is used: the longest spelling, so that ``1 sheet`` and ``4 sheets`` agree."""
    spelled: dict[str, str] = {}
    for stage in pattern.stages.values():
        for work in stage.works:
            for key, portion in work.uses.items():
                spelled[key] = max(spelled.get(key, ""), portion.unit, key=len)
    yield from spelled.items()


def whole_use(pattern: pm.Pattern, worked: WorkedPattern, size: int) -> tuple[Used, ...]:
    """Give what everything uses in one size: all stages, as many pieces as the pattern makes."""
    return used(pattern, worked.steps(size), pattern.make)
