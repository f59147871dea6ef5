"""One paper of a plan, rendered when somebody looks at it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

from lessonplan.building import calendar_files, edit_files, errata_feed, stamp_of
from lessonplan.course.files import UnfitError
from lessonplan.craft.words import words_of
from lessonplan.documents.cuts import cuts_table
from lessonplan.documents.editor import EditorView
from lessonplan.documents.handout import HandoutView
from lessonplan.documents.index import index_view
from lessonplan.documents.knitters import knitters_view
from lessonplan.documents.papers import every_paper
from lessonplan.documents.table import TableView
from lessonplan.planning.worked import Plan
from lessonplan.render.apart import MAX_SECONDS, StoppedError, apart
from lessonplan.render.handout_page import handout_page
from lessonplan.render.pages import own_templates, page
from lessonplan.render.paper import Press
from lessonplan.render.pictures import Pictures
from lessonplan.render.spreadsheet import csv_bytes
from lessonplan.render.table_page import table_page


class NoPaperError(Exception):
    """A paper that there is not, or that a course's own template keeps from being made; one plain sentence."""


def paper(plan: Plan, name: str, folder: Path, today: date, sends: str = "") -> bytes:
    """Render one document by its file's name, by the course's own templates where it has some.

    ``sends``: where the page on the table sends its take log. Raises `NoPaperError`.
    """
    if not own_templates(folder):
        return _paper(plan, name, None, today, sends)
    try:
        found = apart(_told, plan, name, folder, today, sends)
    except StoppedError:
        raise NoPaperError(f"The course's own templates were stopped: they take over {MAX_SECONDS:.0f} s.") from None
    if isinstance(found, str):
        raise NoPaperError(found)
    return found


def _told(plan: Plan, name: str, course: Path, today: date, sends: str) -> bytes | str:
    try:
        return _paper(plan, name, course, today, sends)
    except NoPaperError as bad:
        return str(bad)


def _paper(plan: Plan, name: str, course: Path | None, today: date, sends: str) -> bytes:
    try:
        if make := _maker(plan, name, course, today, sends):
            return make()
        for episode in plan.course.episodes:
            if f"-{episode.episode}." in name:
                return dict(edit_files(plan, episode))[name]
        return dict(calendar_files(plan, knitters_view(plan)))[name]
    except KeyError:
        raise NoPaperError(f"There is no paper “{name}” in this plan.") from None
    except UnfitError as bad:
        raise NoPaperError(str(bad.problem)) from None


def _maker(plan: Plan, name: str, course: Path | None, today: date, sends: str) -> Callable[[], bytes] | None:
    """Find what renders a document: its view is worked out only where it is the one that is asked for."""
    language, words, pictures = plan.course.course.language, words_of(plan.course.pattern), Pictures(plan)
    if name == "index.html":
        view = index_view(plan, today)
        return lambda: page("index.html", view, course, language=language, pictures=pictures)
    if name == "errata.atom":
        return lambda: errata_feed(plan)
    stem, _, ending = name.rpartition(".")
    for one, number, part in every_paper(plan):
        mine = one.name(number, words)
        table = ending == "csv" and ((mine == stem and one.table) or f"cuts-{number}" == stem)
        if not table and f"{mine}{one.ending}" != name:
            continue
        view = one.view(plan, part, None)
        if table and stem.startswith("cuts-"):
            if isinstance(view, EditorView) and view.cuts:
                return partial(csv_bytes, cuts_table(view.cuts))
            continue
        if table and one.table:
            return partial(csv_bytes, one.table(view))
        return partial(_rendered, plan, one.template, view, course, sends)
    return None


def _rendered(plan: Plan, template: str, view: object, course: Path | None, sends: str) -> bytes:
    language, pictures = plan.course.course.language, Pictures(plan)
    if template.endswith(".typ"):
        with Press(language, plan.course.course.paper, stamp_of(plan), course) as press:
            return press.paper(template, view, pictures)
    if isinstance(view, TableView):
        return table_page(view, pictures, language, course, sends=sends)
    if isinstance(view, HandoutView):
        return handout_page(view, pictures, language, course)
    return page(template, view, course, language=language, pictures=pictures)
