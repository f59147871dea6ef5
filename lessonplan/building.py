"""Build every document of a course: plan it, lay out the views, render them, and write the folder in one go."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import UTC, datetime, time
from functools import partial
from pathlib import Path

from lessonplan.course.files import UnfitError
from lessonplan.course.problems import Problem, Where, error, in_reading_order
from lessonplan.documents.cuecards import cue_cards_view
from lessonplan.documents.editor import editor_table, editor_view
from lessonplan.documents.errata import errata_view
from lessonplan.documents.handout import handout_view
from lessonplan.documents.index import index_view
from lessonplan.documents.knitters import KnittersView, knitters_table, knitters_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.samples import samples_view
from lessonplan.documents.shotlist import shot_list_view
from lessonplan.planning.whatif import Reasons
from lessonplan.planning.whole import plan
from lessonplan.planning.worked import Plan, Result
from lessonplan.render.apart import MAX_SECONDS, StoppedError, apart
from lessonplan.render.ical import DueEntry, ShootEntry, SittingEntry, knitter_calendar, shoot_calendar
from lessonplan.render.output import make_ready, write_whole
from lessonplan.render.pages import OWN, own_templates, page
from lessonplan.render.pictures import Pictures
from lessonplan.render.spreadsheet import csv_bytes
from lessonplan.render.table_page import table_page
from lessonplan.samples.knitters import due_day
from lessonplan.samples.milp import Progress


def documents(planned: Plan, why: Reasons | None = None) -> Mapping[str, bytes]:
    """Render every document by the program's own templates: file name to bytes, the same bytes for the same plan.

    ``why`` puts on the step-sample plan what each piece is worth and what could be saved.
    """
    return _rendered(planned, why, None)[0]


def own_documents(planned: Plan, why: Reasons | None, course: Path) -> tuple[Mapping[str, bytes], tuple[Problem, ...]]:
    """Render every document of a course that has templates of its own, and say what is wrong with these.

    It is done in a process of its own, so that no template holds the program up for ever.
    """
    try:
        return apart(_rendered, planned, why, course)
    except StoppedError:
        what = f"These templates were stopped: they take over {MAX_SECONDS:.0f} s, or more memory than pages need."
        return {}, (error(Where(OWN), "template", what),)


def _rendered(
    planned: Plan, why: Reasons | None, course: Path | None
) -> tuple[Mapping[str, bytes], tuple[Problem, ...]]:
    files, wrong = dict[str, bytes](), list[Problem]()
    for name, make in _documents(planned, why, course):
        try:
            files[name] = make()
        except UnfitError as bad:
            wrong.append(bad.problem)
    return files, tuple(wrong)


def _documents(planned: Plan, why: Reasons | None, course: Path | None) -> Iterator[tuple[str, Callable[[], bytes]]]:
    language = planned.course.course.language

    def show(template: str, view: object) -> Callable[[], bytes]:
        return partial(page, template, view, course, language=language, pictures=Pictures(planned))

    yield "index.html", show("index.html", index_view(planned))
    yield "step-samples.html", show("step-samples.html", samples_view(planned, why))
    knitters = knitters_view(planned)
    yield "knitters.html", show("knitters.html", knitters)
    yield "knitters.csv", partial(csv_bytes, knitters_table(knitters))
    for name, data in calendar_files(planned, knitters):
        yield name, partial(bytes, data)
    for day in planned.days:
        yield f"run-sheet-{day.number + 1}.html", show("run-sheet.html", run_sheet_view(planned, day))
        yield f"table-{day.number + 1}.html", partial(table_page, planned, day, language, course)
        yield f"cue-cards-{day.number + 1}.html", show("cue-cards.html", cue_cards_view(planned, day))
    for episode in planned.course.episodes:
        view = editor_view(planned, episode)
        yield f"editor-{episode.episode}.html", show("editor.html", view)
        yield f"editor-{episode.episode}.csv", partial(csv_bytes, editor_table(view))
    yield "shot-list.html", show("shot-list.html", shot_list_view(planned))
    yield "handout.html", show("handout.html", handout_view(planned))
    yield "errata.html", show("errata.html", errata_view(planned))


def calendar_files(planned: Plan, knitters: KnittersView) -> Iterator[tuple[str, bytes]]:
    """Write a calendar file for each knitter and one for the shoot; the stamp is the course's, so bytes repeat."""
    title, edition = planned.course.course.title, planned.course.course.edition
    stamp = datetime.combine(planned.days[0].day, time(), tzinfo=UTC)
    filmed, made = planned.worked.filmed, [p for p in planned.choice.pieces if p.name in planned.calendar.assigned]
    due = [DueEntry(piece.name, due_day(planned.course, filmed, piece)) for piece in made]
    for person in knitters.people:
        sittings = [SittingEntry(one.piece, one.day, one.minutes, one.what) for one in person.sittings]
        own = [entry for entry in due if entry.piece in person.pieces]
        data = knitter_calendar(title, person.name, sittings, own, edition=edition, stamp=stamp)
        if data:
            yield person.file, data
    shoots = [
        ShootEntry(day.number + 1, day.day, day.call, round(max(day.planned_wrap, day.wrap)), place.place)
        for day, place in zip(planned.days, planned.course.course.shoot, strict=True)
    ]
    yield "shoot.ics", shoot_calendar(title, shoots, due, edition=edition, stamp=stamp)


def build(
    folder: Path | str,
    out: Path | str | None = None,
    time_limit: float = 30.0,
    *,
    why: Callable[[Plan], Reasons] | None = None,
    progress: Progress | None = None,
) -> Result:
    """Build a course into a folder (``out`` inside the course unless given).

    Nothing is written when the course, or a template of its own, has errors; notes name the own templates. ``why``
    works out what each piece is worth (see `lessonplan.planning.whatif.reasons`), which takes much longer;
    ``progress`` is told how the choice of samples goes. Raises `lessonplan.render.output.OutputError` when the output
    folder holds anything else, ``OSError`` when a file cannot be read or written.
    """
    course, target = Path(folder), Path(out) if out else Path(folder) / "out"
    if course.is_dir():
        make_ready(target)
    result = plan(course, time_limit, progress=progress)
    if result.plan is None:
        return result
    reasons, own = why(result.plan) if why else None, own_templates(course)
    files, wrong = own_documents(result.plan, reasons, course) if own else (documents(result.plan, reasons), ())
    problems = in_reading_order((*result.problems, *own, *wrong), result.files)
    if wrong:
        return replace(result, plan=None, problems=problems)
    write_whole(target, files)
    return replace(result, problems=problems)
