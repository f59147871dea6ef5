"""Facts: every number that may be named in a text, computed once from the pattern.

A fact has one value for each size. In a script it prints the value for the size being filmed; in the handout it prints
all sizes as patterns do, ``48 (52, 56)``.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.together import Course
from lessonplan.course.names.options import filmed_choices
from lessonplan.course.values.quantities import PerSize
from lessonplan.course.words import several
from lessonplan.craft.lengths import Units, lengths_text, sizes_text
from lessonplan.craft.techniques import technique
from lessonplan.pattern.amounts.materials import whole_use
from lessonplan.pattern.amounts.yarn import Amount, is_waste, whole_pattern
from lessonplan.pattern.colour import ends_left, longest_float
from lessonplan.pattern.shape.chains import chains_of
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage

Value = str | int | float
NONE = "–"
"""What a size has of a round that it does not work."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: its name, what it is, its value in each size (or one for all), and its unit (``mm`` for lengths).

    A length is worded in the units that are ``said`` in a script or ``printed`` for viewers; ``typed`` keeps it as the
    teacher typed it, ``about`` rounds it where one speaks of it: what is read has one number everywhere.
    """

    name: str
    meaning: str
    values: tuple[Value, ...]
    unit: str = ""
    typed: bool = False
    about: bool = False
    said: Units = "cm"
    printed: Units = "both"

    def at(self, size: int) -> str:
        """Word the value for one size (0-based), as it is said."""
        return self._worded((PerSize(self.values).at(size),), self.said, about=self.about)

    def shown(self, size: int) -> str:
        """Word the value for one size (0-based), as it is read over the picture: in the units of the script."""
        return self._worded((PerSize(self.values).at(size),), self.said)

    def each_size(self, sizes: int) -> tuple[str, ...]:
        """Word the value in each of so many sizes for itself, as it is printed."""
        return tuple(self._worded((PerSize(self.values).at(size),), self.printed) for size in range(sizes))

    def all_sizes(self, *, said: bool = False) -> str:
        """Word the values of all sizes as patterns print them: ``48 (52, 56)``; once if they are equal.

        ``said``: lengths in the units that are said, not in those that are printed.
        """
        return self._worded(self.values, self.said if said else self.printed)

    def _worded(self, values: Sequence[Value], units: Units, *, about: bool = False) -> str:
        if self.unit != "mm":
            text = sizes_text([worded(value) for value in values])
        else:
            text = lengths_text([float(one) for one in values], units, typed=self.typed, about=about)
        return f"about {text}" if self.about else text


def worded(value: Value) -> str:
    """Word one value that is no length: whole numbers plainly, decimals to one place."""
    return f"{round(value, 1):g}" if isinstance(value, float) else str(value)


def facts_of(course: Course, worked: WorkedPattern, others: Sequence[WorkedPattern] = ()) -> dict[str, Fact]:
    """Give every fact of a course by name (``cuff.rounds``, ``gauge.stitches``).

    ``worked`` is the pattern as it is filmed; stages that only ``others`` have, with other choices, have facts too.
    """
    said, printed = units_said(course.pattern), units_printed(course.pattern)
    facts = [*_course_facts(course, worked), *_whole_facts(worked)]
    done: set[str] = set()
    for one in (worked, *others):
        for key in one.order:
            facts += [] if key in done else [*_stage_facts(key, one), *_counted_facts(key, one)]
        done.update(one.order)
    if not any(step.before or step.after for one in (worked, *others) for step in one.steps(0)):
        facts = [fact for fact in facts if not of_stitches(fact.name) and set(fact.values) != {0}]
    return {fact.name: replace(fact, said=said, printed=printed) for fact in facts}


def of_stitches(name: str) -> bool:
    """Tell whether a fact is one of live stitches, which a thing that is not made of them has not."""
    first, _, last = name.partition(".")
    return first in ("gauge", "needles", "ends") or (first not in ("course", "pattern") and last in _OF_STITCHES)


_OF_STITCHES = frozenset(
    ("start", "stitches", "cast_on", "picked_up", "held", "taken_up", "placed", "opened", "length", "around", "width")
)


def measure_fact(name: str) -> str:
    """Give the name of the fact of a measure: ``hand circumference`` gives ``measure.hand_circumference``."""
    return f"measure.{name.replace(' ', '_')}"


def units_said(pattern: pm.Pattern) -> Units:
    """Give the units in which lengths are said: the course's, or centimetres."""
    return pattern.units or "cm"


def units_printed(pattern: pm.Pattern) -> Units:
    """Give the units in which lengths are printed for viewers: the course's, or both."""
    return pattern.units or "both"


def _amount(key: str, amounts: tuple[Amount, ...]) -> Amount:
    return next((amount for amount in amounts if amount.yarn == key), Amount(key, 0.0, 0.0, 0))


def _course_facts(course: Course, worked: WorkedPattern) -> Iterator[Fact]:
    pattern, file = course.pattern, course.course
    yield Fact("course.title", "title of the course", (file.title,))
    yield Fact("course.host", "who teaches it", (file.host,))
    yield Fact("course.edition", "edition", (file.edition,))
    yield Fact("pattern.title", "title of the pattern", (pattern.title,))
    yield Fact("gauge.stitches", "stitches of the gauge", (pattern.gauge.stitches,))
    yield Fact("gauge.rounds", "rounds of the gauge", (pattern.gauge.rounds,))
    yield Fact("gauge.over", "length the gauge is measured over", (pattern.gauge.over,), "mm", typed=True)
    yield Fact("needles", "needles", (", ".join(pattern.needles),))
    for name, choice in filmed_choices(pattern).items():
        yield Fact(f"option.{name.replace(' ', '_')}", f"choice of {name} that is filmed", (choice,))
    yield Fact("size", "name of the size", tuple(size.name for size in pattern.sizes))
    yield Fact("sizes", "names of all sizes", (", ".join(size.name for size in pattern.sizes),))
    for key, yarn in pattern.yarns.items():
        yield Fact(f"yarn.{key}.name", f"name of yarn {key}", (yarn.name,))
        yield Fact(f"yarn.{key}.colour", f"colour of yarn {key}", (yarn.colour,))
    yield from _yarn_facts(pattern, worked)
    yield from _material_facts(pattern, worked)
    yield Fact("ends", "ends to weave in", tuple(ends_left(worked, size) for size in range(len(worked.sizes))))
    for name, chart in pattern.charts.items():
        yield Fact(f"chart.{name}.longest_float", f"longest float of chart {name}", (longest_float(chart),))
        yield Fact(f"chart.{name}.stitches", f"stitches of one repeat of chart {name}", (len(chart.rows[0]),))
    for name, measure in pattern.measures.items():
        yield Fact(measure_fact(name), name, measure.length, "mm", typed=True)


def _material_facts(pattern: pm.Pattern, worked: WorkedPattern) -> Iterator[Fact]:
    sizes = [{one.key: str(one) for one in whole_use(pattern, worked, size)} for size in range(len(worked.sizes))]
    for key, material in pattern.materials.items():
        yield Fact(f"material.{key}.name", f"name of material {key}", (material.name,))
        if amounts := tuple(size[key] for size in sizes if key in size):
            yield Fact(f"material.{key}.amount", f"how much of {material.name}, with margin", amounts)


def _yarn_facts(pattern: pm.Pattern, worked: WorkedPattern) -> Iterator[Fact]:
    sizes = [whole_pattern(pattern, worked, size) for size in range(len(worked.sizes))]
    used = {amount.yarn for amounts in sizes for amount in amounts}
    for key in (*pattern.yarns, *(used - set(pattern.yarns))):
        found = [_amount(key, amounts) for amounts in sizes]
        yield Fact(f"yarn.{key}.metres", f"metres of yarn {key}, with margin", tuple(one.whole_metres for one in found))
        yield Fact(f"yarn.{key}.yards", f"yards of yarn {key}, with margin", tuple(one.yards for one in found))
        if not is_waste(pattern, key):
            yield Fact(f"yarn.{key}.grams", f"grams of yarn {key}, with margin", tuple(one.grams for one in found))
            yield Fact(f"yarn.{key}.balls", f"balls of yarn {key}", tuple(one.balls for one in found))


def _is_flat(key: str, worked: WorkedPattern) -> bool:
    """Tell whether a stage is worked in rows, so that it lies as wide as its stitches; without any, the whole piece."""
    rounds = worked.stage(key, 0).rounds or [one for other in worked.order for one in worked.stage(other, 0).rounds]
    return all(step.flat for step in rounds)


def _stage_facts(key: str, worked: WorkedPattern) -> Iterator[Fact]:
    stages = worked.stages[key]
    simple: Mapping[str, tuple[str, list[Value]]] = {
        "title": ("title of the stage", [stage.title for stage in stages]),
        "start": ("stitches before its first work", [stage.start for stage in stages]),
        "stitches": ("stitches after its last work", [last_stitches(stage) for stage in stages]),
        "rounds": ("rounds", [sum("round" in (step.kind, step.unit) for step in stage.steps) for stage in stages]),
        "rows": ("rows", [sum("row" in (step.kind, step.unit) for step in stage.steps) for stage in stages]),
        "cast_on": ("stitches cast on", [_techniques(stage)["CO"] for stage in stages]),
        "picked_up": ("stitches picked up", [_back(stage, "pick-up") for stage in stages]),
        "held": ("stitches put on waste yarn", [_held(stage, placed=False) for stage in stages]),
        "taken_up": ("stitches put back on the needles", [_back(stage, "take-up") for stage in stages]),
        "placed": ("stitches knitted with waste yarn, to be opened", [_held(stage, placed=True) for stage in stages]),
        "opened": ("stitches taken up where waste yarn was pulled out", [_back(stage, "open") for stage in stages]),
    }
    for name, (meaning, values) in simple.items():
        yield Fact(f"{key}.{name}", f"{stages[0].title}: {meaning}", tuple(values))
    yield length_fact(key, stages)
    if any(stage.cord for stage in stages):
        cords = tuple(stage.cord for stage in stages)
        yield Fact(f"{key}.cord", f"{stages[0].title}: length of cord", cords, "mm", typed=True)
    around = tuple(stage.fabric.width(_last_wide(stage)) for stage in stages)
    yield Fact(f"{key}.around", f"{stages[0].title}: round the piece", around, "mm")
    wide = around if _is_flat(key, worked) else tuple(value / 2 for value in around)
    yield Fact(f"{key}.width", f"{stages[0].title}: width lying flat", wide, "mm")
    for yarn in sorted({yarn for stage in stages for step in stage.steps for yarn, _ in step.yarns}):
        made: tuple[Value, ...] = tuple(round(_made_with(stage, yarn)) for stage in stages)
        chains = " and chains" if any(_techniques(stage)["ch"] for stage in stages) else ""
        yield Fact(f"{key}.with.{yarn}", f"{stages[0].title}: stitches{chains} worked with {yarn}", made)
    for name in sorted({name for stage in stages for name in _techniques(stage)}):
        if name.isidentifier():
            counts: tuple[Value, ...] = tuple(_techniques(stage)[name] for stage in stages)
            yield Fact(f"{key}.count.{name}", f"{stages[0].title}: how often {name} is worked", counts)
    yield from _round_facts(key, stages)


def _counted_facts(key: str, worked: WorkedPattern) -> Iterator[Fact]:
    """Give how many of each counted thing a stage has: ``upset.stakes``."""
    stages = worked.stages[key]
    for unit in dict.fromkeys(step.unit for stage in stages for step in stage.steps):
        if unit and unit not in ("round", "row"):
            counts: tuple[Value, ...] = tuple(sum(step.unit == unit for step in stage.steps) for stage in stages)
            named, units = "_".join(re.findall(r"[a-z0-9]+", several(unit).lower())), several(unit)
            yield Fact(f"{key}.{named}", f"{stages[0].title}: {units}", counts, units)


def _round_facts(key: str, stages: Sequence[WorkedStage]) -> Iterator[Fact]:
    rounds = [stage.rounds for stage in stages]
    unit = "row" if all(step.flat for one in rounds for step in one) else "round"
    for number in range(max(len(one) for one in rounds)):
        after: tuple[Value, ...] = tuple(one[number].after if number < len(one) else NONE for one in rounds)
        yield Fact(
            f"{key}.round_{number + 1}.stitches", f"{stages[0].title}: stitches after {unit} {number + 1}", after
        )


def length_fact(key: str, stages: Sequence[WorkedStage]) -> Fact:
    """Give the length of a stage: as it was asked for if all of it was, else what its rounds (or its cord) measure."""
    asked = [stage.asked for stage in stages]
    title = f"{stages[0].title}: length"
    if all(asked):
        return Fact(f"{key}.length", title, tuple(asked), "mm", typed=True)
    if not any(stage.rounds for stage in stages) and any(stage.cord for stage in stages):
        return Fact(f"{key}.length", title, tuple(stage.cord for stage in stages), "mm", typed=True)
    return Fact(f"{key}.length", title, tuple(stage.length for stage in stages), "mm")


def _whole_facts(worked: WorkedPattern) -> Iterator[Fact]:
    """Give the length of the longest part that is worked in one go, from its first round to its last.

    Short rows lengthen it at one place only, as a heel does.
    """
    lengths: list[float] = []
    for size in range(len(worked.sizes)):
        done = dict.fromkeys(worked.order, 0)
        parts = chains_of(worked, size, done)
        lengths.append(
            max((sum(row.fabric.length(1) for row in part.rows if not row.short) for part in parts), default=0.0)
        )
    if any(lengths):
        yield Fact("total.length", "length of the whole, from its first round to its last", tuple(lengths), "mm")


def last_stitches(stage: WorkedStage) -> int:
    """Stitches after the last round of a stage, with those that came on its needles then; without any, after it all."""
    last = _last(stage)
    return last.after if last else stage.stitches


def _last_wide(stage: WorkedStage) -> int:
    last = _last(stage)
    return (stage.widths[-1] if last.is_round else last.wide) if last else stage.stitches


def _last(stage: WorkedStage) -> Step | None:
    more = ("pick-up", "take-up", "open", "other")
    told = [step for step in stage.steps if step.is_round or (step.kind in more and step.after != step.before)]
    return told[-1] if told else None


def _made_with(stage: WorkedStage, yarn: str) -> float:
    """Stitches worked with a yarn: loops of knitting; of crochet, where one stitch takes several, those it makes."""
    found = 0.0
    for step in stage.steps:
        loops = sum(each for _, each in step.yarns)
        share = dict(step.yarns).get(yarn, 0.0) / loops if loops else 0.0
        hooked = [(technique(name), count) for name, count in step.techniques]
        if any(one.craft == "crochet" for one, _ in hooked):
            loops = sum(one.produces * count for one, count in hooked)
        found += loops * share
    return found


def _held(stage: WorkedStage, placed: bool) -> int:
    return sum(step.held for step in stage.steps if (step.kind == "placeholder") == placed)


def _back(stage: WorkedStage, kind: str) -> int:
    return sum(step.after - step.before for step in stage.steps if step.kind == kind)


def _techniques(stage: WorkedStage) -> Counter[str]:
    counts: Counter[str] = Counter()
    for step in stage.steps:
        counts.update(dict(step.techniques))
    return counts
