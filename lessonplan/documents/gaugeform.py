"""“Your own gauge” on the handout: what the page's script works out rounds, measures and yarn from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonplan.course.words import capital
from lessonplan.craft.lengths import length_in_a_sentence
from lessonplan.documents.choices import more_yarn, ways_named
from lessonplan.documents.measurements import widest
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.variants.owngauge import OwnGauge, own_gauge
from lessonplan.pattern.variants.ways import as_filmed
from lessonplan.pattern.worked import Step
from lessonplan.planning.worked import Plan


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
