"""Whom each size fits and what the finished thing measures, in the order in which patterns print it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lessonplan.course.model import pattern as pm
from lessonplan.course.values.quantities import PerSize
from lessonplan.course.words import capital
from lessonplan.craft.lengths import Units, differences_text, lengths_text
from lessonplan.pattern.facts import Fact, measure_fact, units_printed
from lessonplan.pattern.shape.measures import is_around, knitted_length
from lessonplan.pattern.worked import WorkedPattern, WorkedStage
from lessonplan.publish.byepisode import all_stages


@dataclass(frozen=True, slots=True)
class Measure:
    """A measurement, worded for each size."""

    name: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Measurements:
    """Whom it is to fit, what it measures as a whole with its ease in a line, and what each part measures."""

    fits: tuple[str, ...]
    body: tuple[Measure, ...]
    finished: tuple[Measure, ...]
    ease: str
    parts: tuple[Measure, ...]


def measurements(pattern: pm.Pattern, worked: WorkedPattern, facts: Mapping[str, Fact]) -> Measurements:
    """Lay out the measurements of every size; a single measure is compared as `measures` compares it."""
    made = finished_measures(pattern, worked, facts)
    finished = [Measure(name, fact.each_size(len(pattern.sizes))) for name, fact in made.items()]
    around = [name for name in pattern.measures if is_around(name) and capital(name) in made]
    sentences = [_ease(pattern, name, made[capital(name)], facts[measure_fact(name)]) for name in around]
    return Measurements(
        fits=tuple(size.fits for size in pattern.sizes),
        body=tuple(
            Measure(capital(name), facts[measure_fact(name)].each_size(len(pattern.sizes))) for name in pattern.measures
        ),
        finished=tuple(finished),
        ease=f"Ease (finished less body): {'; '.join(sentences)}." if sentences else "",
        parts=tuple(_parts(pattern, worked, facts)),
    )


def finished_measures(pattern: pm.Pattern, worked: WorkedPattern, facts: Mapping[str, Fact]) -> Mapping[str, Fact]:
    """Give what the finished thing measures, by its name: each measure that is compared, and the whole of its parts."""
    found, sizes = dict[str, Fact](), range(len(pattern.sizes))
    for name in pattern.measures:
        values = [knitted_length(pattern, name, facts, size) for size in sizes]
        if all(value is not None for value in values):
            lengths = tuple(float(one or 0) for one in values)
            found[capital(name)] = replace(facts[measure_fact(name)], values=lengths, typed=False)
    whole = facts.get("total.length")
    if whole and sum(any(stage.rounds for stage in worked.stages[key]) for key in worked.order) > 1:
        found["Length of the whole"] = whole
    return found


def _ease(pattern: pm.Pattern, name: str, made: Fact, body: Fact) -> str:
    sizes = range(len(pattern.sizes))
    made_up, worn = ([float(PerSize(one.values).at(size)) for size in sizes] for one in (made, body))
    less = differences_text(made_up, worn, units_printed(pattern))
    return f"{name} {less}, for one of {body.all_sizes()}"


def _parts(pattern: pm.Pattern, worked: WorkedPattern, facts: Mapping[str, Fact]) -> Iterator[Measure]:
    """Give the girth of each stage where it is widest for long, and the length of each stage that has any."""
    count = len(worked.sizes)
    for key in (key for key in all_stages(pattern) if key in worked.stages):
        stages, length = worked.stages[key], facts.get(f"{key}.length")
        if any(stage.rounds for stage in stages):
            around = tuple(stage.fabric.width(widest(stage)) for stage in stages)
            girth = replace(facts[f"{key}.around"], values=around)
            flat = next(stage for stage in stages if stage.rounds).rounds[0].flat
            yield Measure(f"{stages[0].title}: {'width' if flat else 'around'}", girth.each_size(count))
        if length and any(length.values):
            yield Measure(f"{stages[0].title}: length", length.each_size(count))


def stage_measures(
    worked: WorkedPattern, facts: Mapping[str, Fact], size: int, units: Units, *, both: bool
) -> dict[str, str]:
    """Word for the drawing of one size what each stage measures: title, ``20 cm round`` and ``7 cm long`` in lines.

    ``both``: the paper prints both units, so that inches are those that stand beside its centimetres.
    """

    def said(length: float, *, typed: bool = False) -> str:
        """A length in mm as text in one unit, the one that the pattern has first."""
        if not both:
            return lengths_text([length], units, typed=typed)
        return lengths_text([length], "both", typed=typed).split(", ")[units == "in"]

    found = {}
    for key in worked.order:
        stage = worked.stages[key][size]
        if stage.rounds:
            length = facts[f"{key}.length"]
            around = said(stage.fabric.width(widest(stage)))
            long = said(float(PerSize(length.values).at(size)), typed=length.typed)
            how = "wide" if stage.rounds[0].flat else "round"
            found[key] = f"{stage.title}\n{around} {how}\n{long} long"
    return found


def widest(stage: WorkedStage) -> int:
    """Give as how many stitches a round of a stage is wide at its end, or at its begin in a stage of one round.

    What is worked together in a stage's first round (picked-up stitches at a corner) is on the needle for one round
    alone and makes no width.
    """
    rounds = stage.rounds
    if len(rounds) == 1:
        return max(rounds[0].before, rounds[0].wide)
    return max(stage.widths, default=0)
