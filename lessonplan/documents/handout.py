"""The viewers' handout: materials, sizes, gauge, abbreviations and every stage, with every number computed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from lessonplan.course.words import capital, listing
from lessonplan.craft.lengths import Units, length_in_a_sentence
from lessonplan.documents.changed import Changes, changes_view
from lessonplan.documents.choices import ChoicesView, choices_view, more_yarn, ways_named
from lessonplan.documents.glossary import Abbreviation, glossary, printed_texts, terms_line
from lessonplan.documents.instructions import StageView, stage_views
from lessonplan.documents.materials import Materials, materials
from lessonplan.documents.measurements import Measurements, measurements, stage_measures, widest
from lessonplan.documents.places import Correction, corrections, segment_place, shot_places, times_words
from lessonplan.documents.ready import Ready, ready
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.pattern.variants.owngauge import OwnGauge, own_gauge
from lessonplan.pattern.variants.ways import as_filmed
from lessonplan.pattern.worked import Step
from lessonplan.planning.worked import Plan
from lessonplan.publish.byepisode import text_stages
from lessonplan.publish.cautions import cautions
from lessonplan.publish.editions import code_of, numbered


@dataclass(frozen=True, slots=True)
class PartAtGauge:
    """A stage: its widest stitches and its rounds from no length, in each size, and its gauge to the main one.

    ``asked`` is its length in mm in each size, where all of it is asked for by lengths that any gauge meets; else 0.
    ``counted`` says whether it has rounds or rows, ``across`` whether it is measured round or flat.
    """

    title: str
    counted: str
    across: str
    stitches: tuple[int, ...]
    rounds: tuple[int, ...]
    stitch_ratio: float
    round_ratio: float
    free: tuple[int, ...]
    asked: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class GaugeForm:
    """The gauge as printed (``over`` in mm), and the data; ``inches``: lengths are told in inches.

    ``way``: which of several ways to work the pattern the data is of; ``more``: the yarn of others, as printed.

    ``counted``: whether rounds or rows of a swatch are asked for.
    """

    stitches: str
    rounds: str
    counted: str
    over: float
    over_words: str
    inches: bool
    way: str
    more: tuple[str, ...]
    parts: tuple[PartAtGauge, ...]
    data: OwnGauge


def gauge_form(plan: Plan) -> GaugeForm | None:
    """Lay out the form, or None where another gauge changes more than the form can say."""
    pattern, worked = plan.course.pattern, plan.worked.ways[0].worked
    data = own_gauge(as_filmed(pattern), worked)
    if data is None:
        return None
    main, parts = pattern.gauge, []
    for key in worked.order:
        stages = worked.stages[key]
        free = [place for place, one in enumerate(data.free) if one.stage == key]
        if any(stage.rounds for stage in stages):
            own = {data.free[place].work for place in free}
            lands = any(data.free[place].ends for place in free)
            parts.append(
                PartAtGauge(
                    title=stages[0].title,
                    counted=(unit := _counted([step for stage in stages for step in stage.rounds], "and")),
                    across="wide" if unit == "rows" else "round",
                    stitches=tuple(widest(stage) for stage in stages),
                    rounds=tuple(sum(step.work not in own for step in stage.rounds) for stage in stages),
                    stitch_ratio=stages[0].fabric.stitches_per_mm / (main.stitches / main.over),
                    round_ratio=stages[0].fabric.rounds_per_mm / (main.rounds / main.over),
                    free=tuple(free),
                    asked=tuple(0.0 if lands else stage.asked for stage in stages),
                )
            )
    return GaugeForm(
        stitches=f"{main.stitches:g}",
        rounds=f"{main.rounds:g}",
        counted=_counted([step for key in worked.order for one in worked.stages[key] for step in one.rounds], "or"),
        over=main.over,
        over_words=length_in_a_sentence(main.over, units_printed(pattern)),
        inches=pattern.units == "in",
        way="as filmed" if len(plan.worked.ways) > 1 else "",
        more=tuple(
            f"{capital(way.name)} it takes {more}"
            for way in ways_named(plan.worked)[1:]
            if (more := more_yarn(plan.worked, way))
        ),
        parts=tuple(parts),
        data=data,
    )


def _counted(steps: Sequence[Step], both: str) -> str:
    """Name rounds and rows by what there is of them: a flat piece has no rounds."""
    return f" {both} ".join(dict.fromkeys("rows" if step.flat else "rounds" for step in steps))


COMPARE = "if the errata page has another, take the newest handout"
"""What viewers do with the code of a handout."""


@dataclass(frozen=True, slots=True)
class OnEveryHandout:
    """What the page for screens and the paper have alike; ``of``: which edition it is, of which episodes."""

    title: str
    course: str
    host: str
    of: str
    address: str
    changed: Changes | None
    skill: str
    contact: str
    copyright: str
    terms: str
    abbreviations: tuple[Abbreviation, ...]
    again: str
    errata: tuple[Correction, ...]
    times: str
    cautions: tuple[str, ...]
    choices: ChoicesView | None


@dataclass(frozen=True, slots=True)
class HandoutView(OnEveryHandout):
    """What stands on the handout.

    ``numbered`` is the edition with the code of its numbers. ``drawings`` has for each size what is written on its
    drawing: in the units as printed, where these are both on a drawing for each.
    """

    edition: int
    numbered: str
    summary: str
    sizes: tuple[str, ...]
    filmed: int
    both_units: bool
    drawings: tuple[tuple[tuple[Units, Mapping[str, str]], ...], ...]
    measurements: Measurements
    materials: Materials
    notes: tuple[str, ...]
    stages: tuple[StageView, ...]
    watch_for: tuple[tuple[str, str], ...]
    ready: tuple[Ready, ...]
    own_gauge: GaugeForm | None


@lru_cache(maxsize=4)
def handout_view(plan: Plan) -> HandoutView:
    """Lay out the handout for all sizes; remembered, since paper and screen say the same."""
    pattern, file, worked = plan.course.pattern, plan.course.course, plan.worked.pattern
    word, places = for_all_sizes(plan.worked.facts), shot_places(plan)
    stages, things, notes = stage_views(plan), materials(plan), _notes(plan)
    both = pattern.units in (None, "both") and bool({"gauge", "measures"} & pattern.model_fields_set)
    return HandoutView(
        title=pattern.title,
        course=file.title,
        host=file.host,
        edition=file.edition,
        numbered=numbered(plan),
        of=f"Edition {file.edition} of {_episodes(plan)}, code {code_of(plan)} ({COMPARE})",
        address=file.address,
        changed=changes_view(plan),
        summary=fill(file.summary, word),
        skill=pattern.skill,
        contact=file.contact,
        copyright=file.copyright,
        sizes=worked.sizes,
        filmed=plan.worked.size,
        both_units=both,
        drawings=tuple(tuple(_written(plan, size, both)) for size in range(len(worked.sizes))),
        measurements=measurements(pattern, worked, plan.worked.facts),
        materials=things,
        terms=terms_line(pattern, (*printed_texts(stages), *things.gauges, *notes, "gauge")),
        abbreviations=glossary(plan, stages),
        notes=notes,
        stages=stages,
        again=_again(pattern.make),
        watch_for=tuple(
            (segment_place(places, number, fill(segment.title, word)), fill(segment.watch_for, word))
            for number, _, segment in plan.course.segments()
            if segment.watch_for
        ),
        cautions=cautions(plan, "viewers"),
        errata=corrections(plan),
        times=times_words(plan),
        ready=ready(plan),
        own_gauge=gauge_form(plan),
        choices=choices_view(plan),
    )


def _written(plan: Plan, size: int, both: bool) -> Iterator[tuple[Units, Mapping[str, str]]]:
    """Give what stands on the drawings of a size: in both units it would be too much to stand beside its parts."""
    pattern, worked = plan.course.pattern, plan.worked
    printed: tuple[Units, ...] = ("cm", "in") if both else (units_printed(pattern),)
    for units in printed:
        yield units, stage_measures(worked.pattern, worked.facts, size, units, both=both)


def _episodes(plan: Plan) -> str:
    """Name the episodes that a handout belongs to."""
    numbers = [str(episode.episode) for episode in plan.course.episodes]
    whole = len(numbers) > 2 and numbers == [str(n) for n in range(int(numbers[0]), int(numbers[0]) + len(numbers))]
    listed = f"{numbers[0]} to {numbers[-1]}" if whole else listing(numbers)
    return f"{'episode' if len(numbers) == 1 else 'episodes'} {listed}"


def _again(make: int) -> str:
    """Say after the last stage how many are still to be made; whoever works along has one."""
    others = {2: "the second one"}.get(make, f"the other {make - 1}")
    return f"Then make {others} in the same way." if make > 1 else ""


def _notes(plan: Plan) -> tuple[str, ...]:
    """Give what is to be known before the first stitch: how many are made, and the texts that belong to no stage."""
    make, word, stages = plan.course.pattern.make, for_all_sizes(plan.worked.facts), text_stages(plan)
    alike = {1: (), 2: ("Both are worked alike: make two.",)}.get(make, (f"All {make} are worked alike.",))
    texts = (
        fill(segment.handout, word)
        for number, _, segment in plan.course.segments()
        if segment.handout and not stages[number]
    )
    return (*alike, *texts)
