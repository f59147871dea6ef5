"""What is knitted compared with the measures of the body or thing that it is for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lessonplan.course import pattern_model as pm
from lessonplan.course.groups import Measure
from lessonplan.course.problems import Problem, did_you_mean, error, warning
from lessonplan.course.quantities import PerSize
from lessonplan.craft.lengths import Units, lengths_text
from lessonplan.pattern.facts import Fact, measure_fact

FARTHEST = 0.25
"""Share of a measure by which what is knitted may differ from it before that is questioned, where no ease is typed.

A guess: wider than the ease of close and of roomy garments in body_sizes tables, narrower than a slip of the pen.
"""
_AROUND = ("circumference", "around", "girth")
_NAMED = {"length": "length", "height": "length", "width": "width", **dict.fromkeys(_AROUND, "around")}


def knitted_facts(pattern: pm.Pattern, name: str) -> tuple[str, ...]:
    """Give the names of the facts that a measure is compared with, to be added up.

    They are those it names itself; else a measure that is called after a stage (``thumb length``, ``hand
    circumference``) is compared with that stage, and ``total length`` with the whole.
    """
    typed = pattern.measures[name].knitted
    if typed:
        return tuple(part.strip() for part in typed.split("+"))
    first, _, last = name.lower().replace(" ", "_").rpartition("_")
    if last in _NAMED and (first in pattern.stages or (first == "total" and _NAMED[last] == "length")):
        return (f"{first}.{_NAMED[last]}",)
    return ()


def knitted_length(pattern: pm.Pattern, name: str, facts: Mapping[str, Fact], size: int) -> float | None:
    """Give what is knitted for a measure in mm in one size; None when it is compared with nothing."""
    names = knitted_facts(pattern, name)
    if not names or not all(one in facts and facts[one].unit == "mm" for one in names):
        return None
    return sum(float(PerSize(facts[one].values).at(size)) for one in names)


def measure_remarks(pattern: pm.Pattern, facts: Mapping[str, Fact]) -> Iterator[Problem]:
    """Report measures compared with what is no length, and what is knitted that is farther from them than its ease."""
    units: Units = "in" if pattern.units == "in" else "cm"
    for name, measure in pattern.measures.items():
        where = measure.mark("length")
        for one in knitted_facts(pattern, name):
            if one not in facts or facts[one].unit != "mm":
                lengths = [fact.name for fact in facts.values() if fact.unit == "mm"]
                what = f"There is no length “{one}” to compare “{name}” with."
                yield error(measure.mark("knitted"), "unknown-fact", what, did_you_mean(one, lengths))
        for size, body in enumerate(facts[measure_fact(name)].values * (len(pattern.sizes))):
            if size == len(pattern.sizes):
                break
            knitted = knitted_length(pattern, name, facts, size)
            if knitted is None or _fits(measure, knitted - float(body), float(body)):
                continue
            here = f"Size {pattern.sizes[size].name}: " if len(pattern.sizes) > 1 else ""
            given, made = (
                lengths_text([one], units, typed=typed) for one, typed in ((float(body), True), (knitted, False))
            )
            asked = f", and the ease is {_ease(measure.ease)}" if measure.ease else ""
            what = f"{here}“{name}” is {given}, but what is knitted for it measures {made}{asked}."
            yield warning(where, "measure", what)
            break


def _fits(measure: Measure, ease: float, body: float) -> bool:
    if measure.ease is None:
        return abs(ease) <= FARTHEST * body
    low, high = measure.ease
    nearly = 1.0 if low == high else 0.05
    return low - nearly <= ease <= high + nearly


def _ease(ends: tuple[float, float]) -> str:
    low, high = (f"{one / 10:g}" for one in ends)
    return f"{low}\u00a0cm" if low == high else f"{low} to {high}\u00a0cm"
