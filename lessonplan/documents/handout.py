"""The viewers' handout: materials, sizes, gauge, abbreviations and every stage, with every number computed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lessonplan.course import pattern_model as pm
from lessonplan.craft.lengths import length_in_a_sentence, unbroken
from lessonplan.craft.standards import with_numbers
from lessonplan.craft.techniques import abbreviations_used
from lessonplan.documents.cautions import handout_cautions
from lessonplan.documents.choices import ChoicesView, choices_view, yarn_range
from lessonplan.documents.errata import ErratumRow, errata_view
from lessonplan.documents.instructions import StageView, all_stages, stage_view
from lessonplan.pattern.facts import Fact, measure_fact, units_printed
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.pattern.worked import WorkedPattern, WorkedStage
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class Measure:
    """A measurement, worded for each size."""

    name: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class YarnView:
    """One yarn of the materials."""

    key: str
    name: str
    colour: str
    hex: str
    details: str
    amount: str


@dataclass(frozen=True, slots=True)
class HandoutView:
    """What stands on the handout."""

    title: str
    course: str
    host: str
    edition: int
    summary: str
    make: str
    sizes: tuple[str, ...]
    fits: tuple[str, ...]
    measures: tuple[Measure, ...]
    gauge: str
    needles: tuple[str, ...]
    notions: tuple[str, ...]
    yarns: tuple[YarnView, ...]
    abbreviations: tuple[tuple[str, str], ...]
    stages: tuple[StageView, ...]
    watch_for: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    errata: tuple[ErratumRow, ...]
    choices: ChoicesView | None = None


def handout_view(plan: Plan) -> HandoutView:
    """Lay out the handout for all sizes."""
    pattern, file, worked = plan.course.pattern, plan.course.course, plan.worked.pattern
    word = for_all_sizes(plan.worked.facts)
    return HandoutView(
        title=pattern.title,
        course=file.title,
        host=file.host,
        edition=file.edition,
        summary=fill(file.summary, word),
        make="" if pattern.make == 1 else f"Make {pattern.make}.",
        sizes=worked.sizes,
        fits=tuple(size.fits for size in pattern.sizes),
        measures=(*_body(pattern, plan.worked.facts), *_finished(worked, plan.worked.facts)),
        gauge=gauge_text(pattern),
        needles=tuple(with_numbers(text) for text in pattern.needles),
        notions=pattern.notions,
        yarns=(*(_yarn(plan, key, yarn) for key, yarn in pattern.yarns.items()), *_waste(plan)),
        abbreviations=abbreviations(plan),
        stages=tuple(stage_view(plan, key) for key in all_stages(pattern)),
        watch_for=tuple(
            (fill(segment.title, word), fill(segment.watch_for, word))
            for _, _, segment in plan.course.segments()
            if segment.watch_for
        ),
        cautions=handout_cautions(plan.course),
        errata=errata_view(plan).rows,
        choices=choices_view(plan.worked),
    )


def gauge_text(pattern: pm.Pattern) -> str:
    """Word the gauge of a pattern; nothing for a craft that has none."""
    if "gauge" not in pattern.model_fields_set:
        return ""
    gauge = pattern.gauge
    over = length_in_a_sentence(gauge.over, units_printed(pattern))
    what = f"{gauge.stitches:g} sts and {gauge.rounds:g} rounds to {over} in {gauge.fabric}"
    return what + (f" on {gauge.needle}" if gauge.needle else "")


def abbreviations(plan: Plan) -> tuple[tuple[str, str], ...]:
    """List the abbreviations that the handout uses, found by working the pattern."""
    texts, worked = [], set()
    for stage in plan.course.pattern.stages.values():
        texts += [line for work in stage.works if isinstance(work, pm.Knit) for line in work.lines]
    for stages in (one for way in plan.worked.ways for one in way.worked.stages.values()):
        worked |= {name for stage in stages for step in stage.steps if step.is_round for name, _ in step.techniques}
    return abbreviations_used(texts, worked)


def _body(pattern: pm.Pattern, facts: Mapping[str, Fact]) -> tuple[Measure, ...]:
    return tuple(
        _measure(f"To fit: {name}", facts[measure_fact(name)], len(pattern.sizes)) for name in pattern.measures
    )


def _finished(worked: WorkedPattern, facts: Mapping[str, Fact]) -> tuple[Measure, ...]:
    """Give the girth of each stage where it changes, the length of each stage that has any, and of the whole."""
    found, count = [], len(worked.sizes)
    whole = facts.get("total.length")
    for key in worked.order:
        stages, length = worked.stages[key], facts[f"{key}.length"]
        if any(stage.rounds for stage in stages):
            around = tuple(stage.fabric.width(widest(stage)) for stage in stages)
            girth = replace(facts[f"{key}.around"], values=around)
            flat = next(stage for stage in stages if stage.rounds).rounds[0].flat
            found.append(_measure(f"{stages[0].title}: {'width' if flat else 'round the widest place'}", girth, count))
        if any(length.values):
            found.append(_measure(f"{stages[0].title}: length", length, count))
    if whole and sum(any(stage.rounds for stage in worked.stages[key]) for key in worked.order) > 1:
        found.append(_measure("Length of the whole", whole, count))
    return tuple(found)


def _measure(name: str, fact: Fact, sizes: int) -> Measure:
    values = fact.values * sizes if len(fact.values) == 1 else fact.values
    return Measure(name, tuple(replace(fact, values=(value,)).all_sizes() for value in values))


def widest(stage: WorkedStage) -> int:
    """Give the most stitches that any round of a stage has."""
    return max((max(step.before, step.after) for step in stage.rounds), default=0)


def _yarn(plan: Plan, key: str, yarn: pm.Yarn) -> YarnView:
    weight = f"weight {yarn.weight}, " if yarn.weight else ""
    fibre = f"{yarn.fibre}; " if yarn.fibre else ""
    details = f"{fibre}{weight}" + ("any smooth scrap" if yarn.waste else f"{yarn.metres:g} m to {yarn.grams:g} g")
    return YarnView(
        key=key,
        name=yarn.name,
        colour=yarn.colour,
        hex=yarn.hex,
        details=unbroken(details),
        amount=_amount(plan, key, yarn.waste),
    )


def _amount(plan: Plan, key: str, waste: bool) -> str:
    """Word how much of a yarn is needed; where viewers choose, from the least to the most."""
    facts = plan.worked.facts
    if len(plan.worked.ways) > 1:
        return dict(yarn_range(plan.worked, plan.worked.ways)).get(key, "")
    metres, yards = facts[f"yarn.{key}.metres"], facts[f"yarn.{key}.yards"]
    length = f"{metres.all_sizes()}\u00a0m, {yards.all_sizes()}\u00a0yd"
    if waste:
        return length
    grams, balls = facts[f"yarn.{key}.grams"], facts[f"yarn.{key}.balls"]
    amount = f"{length}, {grams.all_sizes()}\u00a0g: {balls.all_sizes()} "
    return amount + ("ball" if set(balls.values) == {1} else "balls")


def _waste(plan: Plan) -> Iterator[YarnView]:
    """Give the waste yarn that the works name without listing it."""
    if pm.WASTE not in plan.course.pattern.yarns and f"yarn.{pm.WASTE}.metres" in plan.worked.facts:
        amount = _amount(plan, pm.WASTE, waste=True)
        details = "any smooth scrap in another colour"
        yield YarnView(key=pm.WASTE, name="waste yarn", colour="", hex="#d55e00", details=details, amount=amount)
