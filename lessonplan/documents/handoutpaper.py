"""The handout on paper: what the page for screens says, laid out for A4 or letter, and once more in large print."""

from __future__ import annotations

from dataclasses import dataclass, replace

from lessonplan.craft.lengths import lengths_text
from lessonplan.craft.words import words_of
from lessonplan.documents.handout import OnEveryHandout, handout_view
from lessonplan.documents.instructions import THEN, StageView, WorkView
from lessonplan.documents.marks import Charted, Code, Marked, Schematic, shared
from lessonplan.documents.materials import UsedView, YarnView
from lessonplan.documents.measurements import Measure, widest
from lessonplan.documents.ready import Ready
from lessonplan.documents.rounds import LineView
from lessonplan.pattern.facts import units_printed
from lessonplan.planning.worked import Plan

USUAL = 10.0
"""Type size in pt (planning guess, from memory of printed patterns)."""
LARGE = 18.0
"""Type size in pt of large print (APH and ACB: 18 pt or larger; print_accessibility)."""


@dataclass(frozen=True, slots=True)
class PaperWork:
    """One work: what must be done first, a sentence or lines with their counts, a chart, remarks.

    ``ticked``: its end is work of its own, and has a box.
    """

    choice: str
    one_way: bool
    before: Marked | None
    yarn: str
    lead: LineView | None
    lines: tuple[LineView, ...]
    end: LineView | None
    ticked: bool
    chart: Charted | None
    reading: str
    note: Marked | None


@dataclass(frozen=True, slots=True)
class PaperStage:
    """One stage with its works and what else is told about it."""

    title: Marked
    choice: str
    after: str
    works: tuple[PaperWork, ...]
    told: tuple[Marked, ...]
    watch_for: Marked | None
    shown: str


@dataclass(frozen=True, slots=True)
class PaperPart:
    """What a stage measures in all sizes."""

    title: str
    around: str
    long: str


@dataclass(frozen=True, slots=True)
class HandoutPaper(OnEveryHandout):
    """What stands on the printed handout; ``size`` is the type size in pt."""

    edition: str
    errata_address: str
    filmed: str
    code: Code | None
    size: float
    large: bool
    summary: Marked
    sizes: tuple[str, ...]
    fits: tuple[str, ...]
    worn: tuple[Measure, ...]
    finished: tuple[Measure, ...]
    ease: str
    schematic: Schematic | None
    figure: str
    parts: tuple[PaperPart, ...]
    yarns: tuple[YarnView, ...]
    used: tuple[UsedView, ...]
    for_all: str
    materials: str
    things: tuple[tuple[str, tuple[str, ...]], ...]
    knowing: tuple[tuple[str, tuple[str, ...]], ...]
    notes: tuple[Marked, ...]
    ready: tuple[Ready, ...]
    stages: tuple[PaperStage, ...]
    watch_for: tuple[tuple[str, Marked], ...]


def handout_paper(plan: Plan, *, large: bool = False) -> HandoutPaper:
    """Lay out the handout for paper, in usual or in large print."""
    view, parts = handout_view(plan), _parts(plan)
    # The measures stand in the table beside or below the drawing: with them its letters were too small to read in usual
    # print, and too much in both units. In large print those of one unit stand at the drawing too.
    written = view.drawings[view.filmed]
    names, *room = (written[0][1], 360, 270) if large and len(written) == 1 else ({}, 300, 175)
    things = view.materials
    words = words_of(plan.course.pattern)
    fits = view.measurements.fits if any(view.measurements.fits) else ()
    body = [replace(one, name=f"To fit: {one.name}") if words.pace else one for one in view.measurements.body]
    worn, finished = () if fits else tuple(body), view.measurements.finished
    figure = f"{view.sizes[view.filmed]}, to scale" if len(view.sizes) > 1 else "To scale"
    return HandoutPaper(
        **shared(view, OnEveryHandout),
        edition=view.numbered,
        errata_address=plan.course.course.errata_address,
        filmed=view.sizes[view.filmed] if len(view.sizes) > 1 else "",
        code=Code(view.address) if view.address else None,
        size=LARGE if large else USUAL,
        large=large,
        summary=Marked(view.summary),
        sizes=view.sizes if len(view.sizes) > 1 or fits or worn or finished else (),
        fits=fits,
        worn=worn,
        finished=finished,
        ease=view.measurements.ease,
        schematic=Schematic(view.title, view.filmed, names, *room) if parts else None,
        figure=figure if parts else "",
        parts=parts,
        yarns=tuple(replace(one, hex="") for one in things.yarns),  # on paper no colour is shown, its name says it
        used=things.used,
        for_all=things.for_all,
        materials="Materials and gauge" if things.gauges else "Materials",
        things=_named((words.tools, things.needles), (words.notions, things.notions)),
        knowing=_named(("Gauge", things.gauges), ("Another yarn", things.instead), ("Care", things.care)),
        notes=tuple(Marked(text) for text in view.notes),
        # What the numbers and keys are stands at the head of the handout.
        ready=tuple(replace(one, sizes="", yarns="") for one in view.ready),
        stages=tuple(_stage(stage) for stage in view.stages),
        watch_for=tuple((place, Marked(text)) for place, text in view.watch_for),
    )


def _named(*lists: tuple[str, tuple[str, ...]]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the lists that have anything in them."""
    return tuple((name, texts) for name, texts in lists if texts)


def _parts(plan: Plan) -> tuple[PaperPart, ...]:
    worked, facts, units = plan.worked.pattern, plan.worked.facts, units_printed(plan.course.pattern)
    found = []
    for key in worked.order:
        stages = worked.stages[key]
        if any(stage.rounds for stage in stages):
            around = lengths_text([stage.fabric.width(widest(stage)) for stage in stages], units)
            found.append(PaperPart(stages[0].title, around, facts[f"{key}.length"].all_sizes()))
    return tuple(found)


def _stage(stage: StageView) -> PaperStage:
    return PaperStage(
        title=Marked(stage.title),
        choice=stage.choice,
        after=stage.after,
        works=tuple(_work(work) for work in stage.works),
        told=tuple(Marked(text) for text in stage.told),
        watch_for=Marked(stage.watch_for) if stage.watch_for else None,
        shown="; ".join(stage.shown),
    )


def _work(work: WorkView) -> PaperWork:
    return PaperWork(
        choice=work.choice,
        one_way=work.one_way,
        before=Marked(work.before) if work.before else None,
        yarn=work.yarn,
        lead=LineView(work.lead, work.count) if work.lead else None,
        lines=work.lines,
        end=LineView(work.end, work.end_count) if work.end else None,
        ticked=work.end not in ("", THEN) and bool(work.end_count or len(work.lines) > 1),
        chart=Charted("Chart", work.chart) if work.chart else None,
        reading=work.chart.reading if work.chart else "",
        note=Marked(work.note) if work.note else None,
    )
