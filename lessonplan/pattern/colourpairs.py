"""Which yarns are worked side by side, where, and whether they can be told apart in the picture."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from lessonplan.course.model import pattern as pm
from lessonplan.course.problems import Problem, note
from lessonplan.craft.colours import KINDS, alike_for, contrast, luminance, seen_without, told_apart
from lessonplan.pattern.worked import WorkedPattern

SEES = {"red": "protanopia", "green": "deuteranopia", "blue": "tritanopia"}
"""The names of not seeing a colour."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two yarns worked side by side, in the order of the pattern, and the stages in which they meet."""

    one: str
    other: str
    stages: tuple[str, ...]


def pairs(pattern: pm.Pattern, worked: WorkedPattern) -> tuple[Pair, ...]:
    """Find the yarns that lie side by side in any size: in one round, in rounds that follow, or over two stages."""
    found: dict[tuple[str, str], dict[str, None]] = {}
    order = list(pattern.yarns)
    for key in worked.order:
        for size in range(len(worked.sizes)):
            rounds = [{yarn for yarn, _ in step.yarns} for step in worked.stage(key, size).steps if step.yarns]
            for before in worked.before[key]:
                last = [{yarn for yarn, _ in step.yarns} for step in worked.stage(before, size).steps if step.yarns]
                rounds = [*last[-1:], *rounds] if len(worked.before[key]) == 1 else rounds
            for group in (*rounds, *(a | b for a, b in pairwise(rounds))):
                for one, other in combinations(sorted((n for n in group if n in order), key=order.index), 2):
                    found.setdefault((one, other), {})[key] = None
    return tuple(Pair(one, other, tuple(stages)) for (one, other), stages in found.items())


def shown_pairs(pattern: pm.Pattern, worked: WorkedPattern) -> tuple[Pair, ...]:
    """Give those pairs whose colours the course gives."""
    known = {key for key, yarn in pattern.yarns.items() if "hex" in yarn.model_fields_set}
    return tuple(pair for pair in pairs(pattern, worked) if {pair.one, pair.other} <= known)


def verdict(pattern: pm.Pattern, pair: Pair) -> str:
    """Say who cannot tell the yarns of a pair apart; nothing when everybody can."""
    alike = alike_for(pattern.yarns[pair.one].hex, pattern.yarns[pair.other].hex)
    if alike == ("all",):
        return "can hardly be told apart in the picture"
    without = [f"{kind} ({SEES[kind]})" for kind in alike]
    return f"look alike to those who do not see {' or '.join(without)}" if without else ""


def ratios(pattern: pm.Pattern, pair: Pair) -> tuple[float, ...]:
    """Give the contrast ratio of a pair in the picture, and as seen without red, green and blue."""
    one, other = pattern.yarns[pair.one].hex, pattern.yarns[pair.other].hex
    return (contrast(one, other), *(contrast(seen_without(one, k), seen_without(other, k)) for k in KINDS))


def colour_remarks(pattern: pm.Pattern, worked: WorkedPattern) -> Iterator[Problem]:
    """Note the yarns worked side by side that somebody cannot tell apart, with a shade that would do."""
    for pair in shown_pairs(pattern, worked):
        said = verdict(pattern, pair)
        if said:
            yarns = {key: pattern.yarns[key] for key in (pair.one, pair.other)}
            names = [f"{key} ({yarn.colour})" if yarn.colour else key for key, yarn in yarns.items()]
            stages = ", ".join(f"“{worked.stages[key][0].title}”" for key in pair.stages)
            ratio = f"their contrast is {ratios(pattern, pair)[0]:.1f} to 1"
            what = f"{' and '.join(names)}, side by side in {stages}, {said}; {ratio}."
            old, new = told_apart(*(yarn.hex for yarn in yarns.values()))
            key, yarn = next((key, yarn) for key, yarn in yarns.items() if yarn.hex.lower() == old.lower())
            shade = "darker" if luminance(new) < luminance(old) else "lighter"
            hint = f"A {shade} {yarn.colour or key} would do, such as {new}; or say and write which is which."
            yield note(yarn.mark("hex"), "colours", what, hint)
