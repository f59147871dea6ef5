"""How works that are counted in units, or that use up material, are worded for viewers."""

from __future__ import annotations

from collections.abc import Sequence

from lessonplan.course.model import pattern as pm, works as wm
from lessonplan.craft.lengths import sizes_text
from lessonplan.documents.worklines import rest_of
from lessonplan.pattern.worked import Step


def counted(work: wm.Units, pattern: pm.Pattern, runs: Sequence[Sequence[Step]]) -> str:
    """Word counted units: what is done to each, how many they are, and what each uses."""
    counts = [len(run) for run in runs]
    several = set(counts) != {1}
    number = f"{sizes_text([str(count) for count in counts])} {work.unit}{'s' if several else ''}"
    used = [f"{one} each" if several else one for one in uses(work, pattern)]
    said = f"{work.what.rstrip('.')} ({', '.join([number, *used])})" if work.what else ", ".join([number, *used])
    return f"{said}.{rested(runs)}"


def uses(work: wm.Work, pattern: pm.Pattern) -> list[str]:
    """Word what a work uses up in all sizes: ``450 g of stoneware clay``, ``4 sheets of paper``."""
    found = []
    for key, portion in work.uses.items():
        amount = sizes_text([f"{value:g}" for value in portion.values])
        found.append(f"{amount} {portion.unit} of {pattern.materials[key].name}" if portion.unit else f"{amount} {key}")
    return found


def rested(runs: Sequence[Sequence[Step]]) -> str:
    """Say how long what was made must lie, where it must."""
    return next((rest_of(run[-1]) for run in runs if run and run[-1].drying), "")
