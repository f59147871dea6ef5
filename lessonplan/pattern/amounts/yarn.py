"""Yarn: how much of each is used, from the stitches worked and the gauge.

The length of yarn in one plain stitch follows from the stitch density of relaxed plain knit, which depends on the loop
length alone (Doyle 1953, Munden 1959, from memory; said so in AUTEX Res. J. 6(4) 2006): ks = loops per cm2 x l2, so
l = sqrt(ks / (wales per cm x courses per cm)). To the loops come tails: cast-on, bind-off, grafts, ends.
Lengths are in millimetres inside, metres in results.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from lessonplan.course.model import pattern as pm
from lessonplan.craft import tables
from lessonplan.craft.gauge import Fabric
from lessonplan.craft.lengths import sizes_text
from lessonplan.pattern.worked import Step, WorkedPattern

METRES_PER_YARD = 0.9144


@dataclass(frozen=True, slots=True)
class Amount:
    """So much of one yarn: metres with the margin, and in whole balls; ``per_metre`` is what a metre weighs, in grams.

    Grams and yards are those of the whole metres, rounded up: as much of one yarn is always told as much.
    """

    yarn: str
    metres: float
    per_metre: float
    balls: int

    @property
    def whole_metres(self) -> int:
        """The metres as they are told, rounded up."""
        return math.ceil(round(self.metres, 6))

    @property
    def grams(self) -> int:
        """What the whole metres weigh, in whole grams; nothing of waste yarn."""
        return math.ceil(round(self.whole_metres * self.per_metre, 6))

    @property
    def yards(self) -> int:
        """The whole metres in whole yards."""
        return math.ceil(round(self.whole_metres / METRES_PER_YARD, 6))


def yarn_length(pattern: pm.Pattern, metres: Sequence[float], gap: str = " ") -> str:
    """Word lengths of yarn in each size: whole metres, and in a course of inches the yards of these (``42 yd``)."""
    inches, whole = pattern.units == "in", [math.ceil(round(one, 6)) for one in metres]
    yards = [math.ceil(round(one / METRES_PER_YARD, 6)) for one in whole]
    return f"{sizes_text([str(one) for one in (yards if inches else whole)])}{gap}{'yd' if inches else 'm'}"


@cache
def ks() -> float:
    """Give the stitch-density constant of plain knit, fully relaxed."""
    return _relaxed("ks")


@cache
def kw() -> float:
    """Give the constant of wales of plain knit, fully relaxed: wales per cm x loop length in cm."""
    return _relaxed("kw")


def _relaxed(name: str) -> float:
    rows = (row for row in tables.rows("fabric_constants") if row["state"] == "fully relaxed")
    return next(float(row[name]) for row in rows if row[name])


def loop_length(fabric: Fabric) -> float:
    """Yarn in one plain stitch, in mm: l = sqrt(ks / (wales per cm x courses per cm)) (Doyle, Munden)."""
    density = fabric.stitches_per_mm * 10 * fabric.rounds_per_mm * 10
    return 10 * math.sqrt(ks() / density)


def metres_by_yarn(steps: Iterable[Step], loop: float) -> dict[str, float]:
    """Sum the metres of each yarn over some steps: loops x loop length (mm) and tails."""
    total: defaultdict[str, float] = defaultdict(float)
    for step in steps:
        for yarn, loops in step.yarns:
            total[yarn] += loops * loop / 1000
        for yarn, tail in step.tails:
            total[yarn] += tail / 1000
    return {yarn: metres for yarn, metres in total.items() if metres > 0}


def amounts(pattern: pm.Pattern, metres: Mapping[str, float], pieces: int = 1) -> tuple[Amount, ...]:
    """Turn metres of each yarn into amounts with the pattern's margin, for so many pieces, in the pattern's order.

    Waste yarn comes last, by the metre alone: any scrap will do, so it never counts as a ball.
    """
    found = []
    for key in sorted(metres, key=lambda key: (is_waste(pattern, key), [*pattern.yarns, pm.WASTE].index(key))):
        gross = metres[key] * pieces * pattern.with_margin
        if gross > 0 and is_waste(pattern, key):
            found.append(Amount(key, gross, 0.0, 0))
        elif gross > 0:
            yarn = pattern.yarns[key]
            found.append(Amount(key, gross, yarn.grams / yarn.metres, math.ceil(gross / yarn.metres)))
    return tuple(found)


def is_waste(pattern: pm.Pattern, key: str) -> bool:
    """Tell whether a yarn is waste yarn: the one that any pattern has, or one that says so."""
    return pattern.yarns[key].waste if key in pattern.yarns else key == pm.WASTE


def pattern_loop(pattern: pm.Pattern) -> float:
    """Give the loop length of a pattern from its own gauge, in mm.

    It serves every stage: a rib or a slipped-stitch fabric draws in, so its gauge says nothing of its loops. A crochet
    stitch is as wide as a plain loop at its stitch gauge would be (wales per cm = kw / l, Munden), whatever its height:
    how much more yarn a tall one takes is in its yarn factor alone.
    """
    gauge = pattern.gauge
    fabric = Fabric.of(gauge.stitches, gauge.rounds, gauge.over)
    return kw() / fabric.stitches_per_mm if pattern.craft.lower() == "crochet" else loop_length(fabric)


def whole_pattern(pattern: pm.Pattern, worked: WorkedPattern, size: int) -> tuple[Amount, ...]:
    """Give the yarn for everything in one size: all stages, as many pieces as the pattern makes."""
    return amounts(pattern, metres_by_yarn(worked.steps(size), pattern_loop(pattern)), pattern.make)
