"""Build every document of a course: plan it, lay out the views, render them, and write the folder in one go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from lessonplan.documents.editor import editor_table, editor_view
from lessonplan.documents.errata import errata_view
from lessonplan.documents.handout import handout_view
from lessonplan.documents.index import index_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.samples import samples_view
from lessonplan.documents.shotlist import shot_list_view
from lessonplan.planning import Plan, Result, plan
from lessonplan.render.output import check_replaceable, write_whole
from lessonplan.render.pages import page
from lessonplan.render.spreadsheet import csv_bytes


def documents(planned: Plan, own: Path | None = None) -> Mapping[str, bytes]:
    """Render every document: file name to bytes, the same bytes for the same plan."""
    return dict(_documents(planned, own))


def _documents(planned: Plan, own: Path | None) -> Iterator[tuple[str, bytes]]:
    language = planned.course.course.language
    yield "index.html", page("index.html", index_view(planned), own, language=language)
    yield "step-samples.html", page("step-samples.html", samples_view(planned), own, language=language)
    for day in planned.days:
        yield (
            f"run-sheet-{day.number + 1}.html",
            page("run-sheet.html", run_sheet_view(planned, day), own, language=language),
        )
    for episode in planned.course.episodes:
        view = editor_view(planned, episode)
        yield f"editor-{episode.episode}.html", page("editor.html", view, own, language=language)
        yield f"editor-{episode.episode}.csv", csv_bytes(editor_table(view))
    yield "shot-list.html", page("shot-list.html", shot_list_view(planned), own, language=language)
    yield "handout.html", page("handout.html", handout_view(planned), own, language=language)
    yield "errata.html", page("errata.html", errata_view(planned), own, language=language)


def build(folder: Path | str, out: Path | str | None = None, time_limit: float = 30.0) -> Result:
    """Build a course into a folder (``out`` inside the course unless given).

    Nothing is written when the course has errors. Raises `lessonplan.render.output.OutputError` when the output folder
    holds anything else, and ``OSError`` when a file cannot be read or written.
    """
    course, target = Path(folder), Path(out) if out else Path(folder) / "out"
    if course.is_dir():
        check_replaceable(target)
    result = plan(course, time_limit)
    if result.plan:
        own = course / "templates"
        write_whole(target, documents(result.plan, own if own.is_dir() else None))
    return result
