"""The viewers' handout: materials, sizes, gauge, abbreviations and every stage, with every number computed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from lessonplan.course import pattern_model as pm
from lessonplan.course.model import Episode, Segment
from lessonplan.course.quantities import Extent
from lessonplan.craft.gauge import rounds_for
from lessonplan.craft.lengths import Units, lengths_text, sizes_text, unbroken
from lessonplan.craft.standards import with_numbers
from lessonplan.craft.techniques import abbreviations_used
from lessonplan.documents.cautions import handout_cautions
from lessonplan.documents.errata import ErratumRow, errata_view
from lessonplan.documents.wording import count_of, listing
from lessonplan.pattern.facts import Fact, measure_fact, units_printed
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class LineView:
    """One printed instruction and the stitches after it, if it changes their number."""

    text: str
    count: str


@dataclass(frozen=True, slots=True)
class WorkView:
    """One work of a stage: the yarn where it changes, a sentence that leads in, its lines, a remark."""

    yarn: str
    lead: str
    lines: tuple[LineView, ...]
    end: str
    note: str
    one_way: bool


@dataclass(frozen=True, slots=True)
class StageView:
    """One stage of the handout, and the segments that show it."""

    key: str
    title: str
    after: str
    works: tuple[WorkView, ...]
    shown: tuple[str, ...]
    told: tuple[tuple[str, str], ...]
    watch_for: str


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
        yarns=tuple(_yarn(plan, key, yarn) for key, yarn in pattern.yarns.items()),
        abbreviations=abbreviations(plan),
        stages=tuple(_stage(plan, key) for key in worked.order),
        watch_for=tuple(
            (fill(segment.title, word), fill(segment.watch_for, word))
            for episode in plan.course.episodes
            for segment in episode.segments
            if segment.watch_for
        ),
        cautions=handout_cautions(plan.course),
        errata=errata_view(plan).rows,
    )


def gauge_text(pattern: pm.Pattern) -> str:
    """Word the gauge of a pattern; nothing for a craft that has none."""
    if "gauge" not in pattern.model_fields_set:
        return ""
    gauge = pattern.gauge
    over = lengths_text([gauge.over], units_printed(pattern), typed=True)
    what = f"{gauge.stitches:g} sts and {gauge.rounds:g} rounds to {over} in {gauge.fabric}"
    return what + (f" on {gauge.needle}" if gauge.needle else "")


def abbreviations(plan: Plan) -> tuple[tuple[str, str], ...]:
    """List the abbreviations that the handout uses, found by working the pattern."""
    texts, worked = [], set()
    for stage in plan.course.pattern.stages.values():
        texts += [line for work in stage.works if isinstance(work, pm.Knit) for line in work.lines]
    for stages in plan.worked.pattern.stages.values():
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
    facts = plan.worked.facts
    metres, yards, grams, balls = (facts[f"yarn.{key}.{unit}"] for unit in ("metres", "yards", "grams", "balls"))
    amount = f"{metres.all_sizes()} m, {yards.all_sizes()} yd, {grams.all_sizes()} g: {balls.all_sizes()} "
    amount += "ball" if set(balls.values) == {1} else "balls"
    weight = f"weight {yarn.weight}, " if yarn.weight else ""
    fibre = f"{yarn.fibre}; " if yarn.fibre else ""
    return YarnView(
        key, yarn.name, yarn.colour, yarn.hex, f"{fibre}{weight}{yarn.metres:g} m to {yarn.grams:g} g", amount
    )


def _stage(plan: Plan, key: str) -> StageView:
    worked, word = plan.worked.pattern, for_all_sizes(plan.worked.facts)
    stage = plan.course.pattern.stages[key]
    titles = [plan.course.pattern.stages[name].title for name in stage.after]
    units = units_printed(plan.course.pattern)
    yarns = _yarn_changes(plan.course.pattern, stage)
    works = tuple(
        _work(work, index, worked.stages[key], worked.sizes, yarns[index], units)
        for index, work in enumerate(stage.works)
    )
    shown = shown_in(plan, key)
    return StageView(
        key,
        stage.title,
        f"After {listing(titles)}." if titles else "",
        works,
        tuple(f"Episode {episode.episode}, {fill(segment.title, word)}" for episode, segment in shown),
        tuple((fill(segment.title, word), fill(segment.handout, word)) for _, segment in shown if segment.handout),
        fill(stage.watch_for, word),
    )


def shown_in(plan: Plan, key: str) -> tuple[tuple[Episode, Segment], ...]:
    """Find the segments in which a piece moves through a stage or lies there half worked, in the order of the story."""
    place = plan.worked.pattern.order.index(key)
    whole = len(plan.worked.pattern.stage(key, plan.worked.size).steps)
    moved = {
        piece.shot.rsplit(".", 1)[0]
        for piece in plan.worked.table
        if piece.end[place] > piece.start[place] or 0 < piece.start[place] < whole
    }
    return tuple(
        (episode, segment)
        for episode in plan.course.episodes
        for number, segment in enumerate(episode.segments, 1)
        if f"{episode.episode}.{number}" in moved
    )


def _yarn_changes(pattern: pm.Pattern, stage: pm.Stage) -> list[str]:
    """Say before which works of a stage another yarn is taken up; nothing in a pattern of one yarn."""
    found, before = [], ""
    for work in stage.works:
        with_yarn = isinstance(work, (pm.CastOn, pm.Knit, pm.PickUp, pm.Cord))
        names = work.yarn or tuple(pattern.yarns)[:1]
        if isinstance(work, pm.Knit) and work.chart:
            names = tuple(dict.fromkeys(pattern.charts[work.chart].colours.values()))
        here = listing([f"{name} ({pattern.yarns[name].colour})" for name in names])
        if isinstance(work, pm.Knit) and work.stripes:
            here = f"{here} in stripes: {work.stripes}"
        changed = with_yarn and len(pattern.yarns) > 1 and here != before
        found.append(f"With {here}." if changed else "")
        before = here if with_yarn else before
    return found


def _work(
    work: pm.AnyWork, index: int, stages: tuple[WorkedStage, ...], sizes: tuple[str, ...], yarn: str, units: Units
) -> WorkView:
    """Word one work in all sizes from its worked steps."""
    steps = [tuple(step for step in stage.steps if step.work == index) for stage in stages]
    if isinstance(work, pm.Spread):
        return _spread_work(work, steps, sizes, yarn)
    if not isinstance(work, pm.Knit):
        texts = [one[0].text if one else "" for one in steps]
        left = sizes_text([str(one[-1].after) if one else "" for one in steps])
        end = f"{left}\u00a0sts." if isinstance(work, (pm.PickUp, pm.TakeUp)) else ""
        return WorkView(yarn, one_sentence(texts), (), end, work.note, work.one_way)
    counts = [sum(step.is_round for step in one) for one in steps]
    after = [one[-1].after if one else 0 for one in steps]
    # A chart has no lines of its own: its rounds are printed as they are worked.
    printed = work.lines or tuple(step.text for step in steps[0])
    once = all(len(one) <= len(printed) for one in steps)
    lines = tuple(LineView(unbroken(line), _count_after(line, steps) if once else "") for line in printed)
    what = "row" if work.rows is not None else "round"
    lead = "" if once and len(lines) == max(counts) else _lead(work, counts, what, stages, units)
    changed = any(one and one[0].before != one[-1].after for one in steps)
    end = f"{sizes_text([str(count) for count in after])}\u00a0sts." if changed and not once else ""
    return WorkView(yarn, lead, lines, end, work.note, work.one_way)


def _spread_work(work: pm.Spread, steps: list[tuple[Step, ...]], sizes: tuple[str, ...], yarn: str) -> WorkView:
    """Print the line that spreads shapings evenly; sizes with different lines have one each."""
    texts = [one[0].text if one else "" for one in steps]
    after = sizes_text([str(one[-1].after) if one else "" for one in steps]) + "\u00a0sts"
    if len(set(texts)) == 1:
        return WorkView(yarn, "", (LineView(texts[0], after),), "", work.note, work.one_way)
    lines = tuple(LineView(f"{size}: {text}", "") for size, text in zip(sizes, texts, strict=True))
    return WorkView(yarn, "The line of your size:", lines, f"{after}.", work.note, work.one_way)


def _lead(work: pm.Knit, counts: list[int], what: str, stages: tuple[WorkedStage, ...], units: Units) -> str:
    total = sizes_text([str(count) for count in counts])
    if work.times:
        times = sizes_text([str(count) for count in work.times])
        these = f"these {len(work.lines)} {what}s" if len(work.lines) > 1 else f"this {what}"
        return f"Work {these} {times} times ({total} {what}s in all):"
    extent = work.rows or work.rounds
    if extent and extent.kind == "length":
        return f"Work {_length_worked(work, extent, counts, stages, units)} ({total} {what}s at the given gauge):"
    if len(set(counts)) == 1:
        return f"Work {count_of(counts[0], what)}:"
    return f"Work {total} {what}s:"


def _length_worked(
    work: pm.Knit, extent: Extent, counts: list[int], stages: tuple[WorkedStage, ...], units: Units
) -> str:
    """Word the length of some rounds: as it was typed where they meet it, else what they really measure."""
    wanted = [extent.at(size) for size in range(len(stages))]
    if all(count == rounds_for(one, stage.fabric) for one, count, stage in zip(wanted, counts, stages, strict=True)):
        return lengths_text(wanted, units, typed=True)
    return lengths_text([stage.fabric.length(count) for count, stage in zip(counts, stages, strict=True)], units)


def _count_after(line: str, steps: list[tuple[Step, ...]]) -> str:
    """Give the stitches after the first round that a line makes, if they differ from those before it."""
    found = [next((step for step in one if step.text == line), None) for one in steps]
    if any(step is None or step.before == step.after for step in found):
        return ""
    return sizes_text([str(step.after) for step in found if step]) + "\u00a0sts"


def one_sentence(texts: list[str]) -> str:
    """Put the wordings of all sizes together: words that differ are printed for each size in brackets."""
    split = [text.split(" ") for text in texts]
    if len({len(words) for words in split}) != 1:
        return texts[0]
    return unbroken(" ".join(sizes_text(list(words)) for words in zip(*split, strict=True)) + ".")
