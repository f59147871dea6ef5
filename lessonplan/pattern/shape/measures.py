"""What is knitted compared with the measures of the body or thing that it is for."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.groups import Measure
from lessonplan.course.problems import Problem, did_you_mean, error, note, warning
from lessonplan.course.values.quantities import PerSize
from lessonplan.craft.lengths import INCH, Units, lengths_text
from lessonplan.pattern.facts import Fact
from lessonplan.pattern.worked import WorkedPattern

FARTHEST = 0.25
"""Share of a measure by which what is knitted may differ from it before that is questioned, where no ease is typed.

A guess: wider than the ease of close and of roomy garments in body_sizes tables, narrower than a slip of the pen.
"""
NEARLY = 1.0
"""Millimetres by which a length may be off before anything is said (planning choice)."""
_AROUND = ("circumference", "around", "girth")
_NAMED = {"length": "length", "height": "length", "width": "width", **dict.fromkeys(_AROUND, "around")}


def is_around(name: str) -> bool:
    """Tell whether a measure goes round something, by its name: ``hand circumference``."""
    return any(word in name.lower() for word in _AROUND)


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
        for fact in knitted_facts(pattern, name):
            if fact not in facts or facts[fact].unit != "mm":
                lengths = [one.name for one in facts.values() if one.unit == "mm"]
                what = f"There is no length “{fact}” to compare “{name}” with."
                yield error(measure.mark("knitted"), "unknown-fact", what, did_you_mean(fact, lengths))
        for size, one in enumerate(pattern.sizes):
            body = float(PerSize(measure.length).at(size))
            knitted = knitted_length(pattern, name, facts, size)
            if knitted is None or _fits(measure, knitted - body, body):
                continue
            here = f"Size {one.name}: " if len(pattern.sizes) > 1 else ""
            given, made = lengths_text([body], units, typed=True), _exactly(knitted, units)
            asked = f", and the ease is {_ease(measure.ease)}" if measure.ease else ""
            what = f"{here}“{name}” is {given}, but what is knitted for it measures {made}{asked}."
            hint = ""
            if measure.ease:
                ends = [_exactly(body + end, units) for end in measure.ease]
                hint = f"It should measure {' to '.join(dict.fromkeys(ends))}."
            yield warning(where, "measure", what, hint)
            break


def ease_remarks(pattern: pm.Pattern, worked: WorkedPattern, facts: Mapping[str, Fact]) -> Iterator[Problem]:
    """Say where a size is narrower than the widest body that it is said to fit, unless less than none is asked for.

    Looked at are the stage that a measure is compared with and those just before it that have as many stitches.
    """
    units: Units = "in" if pattern.units == "in" else "cm"
    for name, measure in pattern.measures.items():
        stage = next(
            (one.removesuffix(".around") for one in knitted_facts(pattern, name) if one.endswith(".around")), ""
        )
        if f"{stage}.around" not in facts or not is_around(name) or (measure.ease and measure.ease[0] < 0):
            continue
        for size, one in enumerate(pattern.sizes):
            typed = float(PerSize(measure.length).at(size))
            body = _widest_body(one.fits, typed)
            if not _fits(measure, float(PerSize(facts[f"{stage}.around"].values).at(size)) - typed, typed):
                continue  # said already, as a measure that is not met
            begun = worked.stage(stage, size).start
            along = [key for key in worked.before[stage] if worked.stage(key, size).stitches == begun]
            for here in (worked.stage(key, size) for key in (*along, stage)):
                made = float(PerSize(facts[f"{here.key}.around"].values).at(size))
                if here.rounds and made < body - NEARLY:
                    round_it, fit = lengths_text([made], units), lengths_text([body], units, typed=True)
                    what = f"Size {one.name}: “{here.title}” is {round_it} round, and it is to fit {fit}."
                    hint = "If it is meant to stretch, give the measure an “ease” from below 0."
                    yield note(one.mark("fits") if one.fits else measure.mark("length"), "ease", what, hint)


def comes_out_in_order(pattern: pm.Pattern, worked: WorkedPattern, questioned: Problem) -> bool:
    """Whether lengths that go up and down from size to size only take up what was worked before them.

    “Until it measures 40 (42, 43) cm” is typed as what is left of that, 25.7 (21.3, 22.3) cm behind other rounds: from
    the beginning of the stage, or of the piece, the sizes are in their order. A round more or less is none out of it.
    """
    places = ((key, place, work) for key, stage in pattern.stages.items() for place, work in enumerate(stage.works))
    for key, place, work in places:
        if questioned.code != "sizes-order" or questioned.where not in (work.mark("rounds"), work.mark("rows")):
            continue
        stages, earlier = worked.stages[key], worked.ancestors(key)
        own = [stage.fabric.length(sum(step.work <= place for step in stage.rounds)) for stage in stages]
        before = [sum(worked.stage(one, size).length for one in earlier) for size in range(len(stages))]
        slack = max(stage.fabric.length(1) for stage in stages)
        whole = [one + other for one, other in zip(own, before, strict=True)]
        return any(_in_order(lengths, slack) for lengths in (own, whole))
    return False


def _in_order(lengths: Sequence[float], slack: float) -> bool:
    steps = [b - a for a, b in pairwise(lengths)]
    return not (any(step > slack for step in steps) and any(step < -slack for step in steps))


def _widest_body(fits: str, body: float) -> float:
    """Give the widest body in mm of a size: the upper end of the range in its words that the typed one lies in."""
    for low, high, unit in re.findall(r"(\d+(?:\.\d+)?)\s*(?:to|-|–)\s*(\d+(?:\.\d+)?)\s*(cm|mm|in)\b", fits):
        ends = [float(one) * {"cm": 10, "mm": 1, "in": 25.4}[unit] for one in (low, high)]
        if ends[0] - NEARLY <= body <= ends[1] + NEARLY:
            return ends[1]
    return body


def _fits(measure: Measure, ease: float, body: float) -> bool:
    if measure.ease is None:
        return abs(ease) <= FARTHEST * body
    low, high = measure.ease
    nearly = 1.0 if low == high else 0.05
    return low - nearly <= ease <= high + nearly


def _exactly(length: float, units: Units) -> str:
    """Word a length in mm so exactly that what lies beyond a bound never reads as if it lay within."""
    return f"{length / INCH:.2f}\u00a0in" if units == "in" else f"{round(length / 10, 2):g}\u00a0cm"


def _ease(ends: tuple[float, float]) -> str:
    low, high = (f"{one / 10:g}" for one in ends)
    return f"{low}\u00a0cm" if low == high else f"{low} to {high}\u00a0cm"
