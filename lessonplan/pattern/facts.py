"""Facts: every number that may be named in a text, computed once from the pattern.

A fact has one value for each size. In a script it prints the value for the size being filmed; in the handout it prints
all sizes as patterns do, ``48 (52, 56)``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil

from lessonplan.course.model import Course
from lessonplan.craft.gauge import round_half_up
from lessonplan.pattern.colour import ends_left, longest_float
from lessonplan.pattern.worked import WorkedPattern, WorkedStage
from lessonplan.pattern.yarn import Amount, whole_pattern

Value = str | int | float


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: its name, what it is, its value in each size (or one for all), and its unit (``mm`` for lengths)."""

    name: str
    meaning: str
    values: tuple[Value, ...]
    unit: str = ""

    def at(self, size: int) -> str:
        """Word the value for one size (0-based); lengths in centimetres."""
        return worded(self.values[size if len(self.values) > 1 else 0], self.unit)

    def all_sizes(self) -> str:
        """Word the values of all sizes as patterns print them: ``48 (52, 56)``; once if they are equal."""
        return sizes_text([worded(value, self.unit, with_unit=False) for value in self.values]) + unit_text(self.unit)


def worded(value: Value, unit: str = "", with_unit: bool = True) -> str:
    """Word one value: whole numbers plainly, lengths in cm to the half centimetre, other decimals to one place."""
    if unit == "mm":
        half = round_half_up(float(value) / 5) / 2
        return f"{half:g}" + (unit_text(unit) if with_unit else "")
    return f"{round(value, 1):g}" if isinstance(value, float) else str(value)


def inches(millimetres: float) -> str:
    """Word a length in inches to the quarter inch: ``6¾``."""
    quarters = round_half_up(millimetres / 25.4 * 4)
    whole, part = divmod(quarters, 4)
    return (str(whole) if whole or not part else "") + ("", "¼", "½", "¾")[part]


def unit_text(unit: str) -> str:
    """The unit as printed after a value."""
    return "\u00a0cm" if unit == "mm" else ""


def sizes_text(values: list[str]) -> str:
    """Put the values of all sizes together as patterns print them, once if they are all equal."""
    if len(set(values)) == 1:
        return values[0]
    return f"{values[0]}\u00a0({', '.join(values[1:])})"


def facts_of(course: Course, worked: WorkedPattern) -> dict[str, Fact]:
    """Give every fact of a course by name (``cuff.rounds``, ``gauge.stitches``)."""
    facts = [*_course_facts(course, worked), *(fact for key in worked.order for fact in _stage_facts(key, worked))]
    return {fact.name: fact for fact in facts}


def _amount(key: str, amounts: tuple[Amount, ...]) -> Amount:
    return next((amount for amount in amounts if amount.yarn == key), Amount(key, 0.0, 0.0, 0.0, 0))


def _course_facts(course: Course, worked: WorkedPattern) -> Iterator[Fact]:
    pattern, file = course.pattern, course.course
    yield Fact("course.title", "title of the course", (file.title,))
    yield Fact("course.host", "who teaches it", (file.host,))
    yield Fact("course.edition", "edition", (file.edition,))
    yield Fact("pattern.title", "title of the pattern", (pattern.title,))
    yield Fact("gauge.stitches", "stitches of the gauge", (pattern.gauge.stitches,))
    yield Fact("gauge.rounds", "rounds of the gauge", (pattern.gauge.rounds,))
    yield Fact("gauge.over", "length the gauge is measured over", (pattern.gauge.over,), "mm")
    yield Fact("needles", "needles", (", ".join(pattern.needles),))
    yield Fact("size", "name of the size", tuple(size.name for size in pattern.sizes))
    yield Fact("sizes", "names of all sizes", (", ".join(size.name for size in pattern.sizes),))
    for key, yarn in pattern.yarns.items():
        yield Fact(f"yarn.{key}.name", f"name of yarn {key}", (yarn.name,))
        yield Fact(f"yarn.{key}.colour", f"colour of yarn {key}", (yarn.colour,))
    for key in pattern.yarns:
        found = [_amount(key, whole_pattern(pattern, worked, size)) for size in range(len(worked.sizes))]
        yield Fact(f"yarn.{key}.metres", f"metres of yarn {key}, with margin", tuple(ceil(one.metres) for one in found))
        yield Fact(f"yarn.{key}.yards", f"yards of yarn {key}, with margin", tuple(ceil(one.yards) for one in found))
        yield Fact(f"yarn.{key}.grams", f"grams of yarn {key}, with margin", tuple(ceil(one.grams) for one in found))
        yield Fact(f"yarn.{key}.balls", f"balls of yarn {key}", tuple(one.balls for one in found))
    yield Fact("ends", "ends to weave in", tuple(ends_left(worked, size) for size in range(len(worked.sizes))))
    for name, chart in pattern.charts.items():
        yield Fact(f"chart.{name}.longest_float", f"longest float of chart {name}", (longest_float(chart),))
        yield Fact(f"chart.{name}.stitches", f"stitches of one repeat of chart {name}", (len(chart.rows[0]),))
    for name, lengths in pattern.measures.items():
        yield Fact(f"measure.{name.replace(' ', '_')}", name, tuple(lengths), "mm")


def _stage_facts(key: str, worked: WorkedPattern) -> Iterator[Fact]:
    stages = worked.stages[key]
    simple: Mapping[str, tuple[str, list[Value]]] = {
        "title": ("title of the stage", [stage.title for stage in stages]),
        "start": ("stitches before its first work", [stage.start for stage in stages]),
        "stitches": ("stitches after its last work", [last_stitches(stage) for stage in stages]),
        "rounds": ("rounds", [sum(step.kind == "round" for step in stage.steps) for stage in stages]),
        "rows": ("rows", [sum(step.kind == "row" for step in stage.steps) for stage in stages]),
        "cast_on": ("stitches cast on", [_techniques(stage)["CO"] for stage in stages]),
        "picked_up": ("stitches picked up", [_techniques(stage)["pu&k"] for stage in stages]),
        "held": ("stitches put on waste yarn", [sum(step.held for step in stage.steps) for stage in stages]),
    }
    for name, (meaning, values) in simple.items():
        yield Fact(f"{key}.{name}", f"{stages[0].title}: {meaning}", tuple(values))
    yield Fact(f"{key}.length", f"{stages[0].title}: length", tuple(stage.length for stage in stages), "mm")
    around = tuple(stage.fabric.width(last_stitches(stage)) for stage in stages)
    yield Fact(f"{key}.around", f"{stages[0].title}: round the piece", around, "mm")
    yield Fact(f"{key}.width", f"{stages[0].title}: width lying flat", tuple(value / 2 for value in around), "mm")
    for yarn in sorted({yarn for stage in stages for step in stage.steps for yarn, _ in step.yarns}):
        loops: tuple[Value, ...] = tuple(round(_loops(stage, yarn)) for stage in stages)
        yield Fact(f"{key}.with.{yarn}", f"{stages[0].title}: stitches worked with {yarn}", loops)
    for name in sorted({name for stage in stages for name in _techniques(stage)}):
        if name.isidentifier():
            counts: tuple[Value, ...] = tuple(_techniques(stage)[name] for stage in stages)
            yield Fact(f"{key}.count.{name}", f"{stages[0].title}: how often {name} is worked", counts)
    for number in range(1, max(len(stage.rounds) for stage in stages) + 1):
        after: tuple[Value, ...] = tuple(
            stage.rounds[number - 1].after if number <= len(stage.rounds) else "–" for stage in stages
        )
        yield Fact(f"{key}.round_{number}.stitches", f"{stages[0].title}: stitches after round {number}", after)


def last_stitches(stage: WorkedStage) -> int:
    """Stitches after the last round of a stage, or after its last work if it has no rounds."""
    return stage.rounds[-1].after if stage.rounds else stage.stitches


def _loops(stage: WorkedStage, yarn: str) -> float:
    return sum(loops for step in stage.steps for name, loops in step.yarns if name == yarn)


def _techniques(stage: WorkedStage) -> Counter[str]:
    counts: Counter[str] = Counter()
    for step in stage.steps:
        counts.update(dict(step.techniques))
    return counts
