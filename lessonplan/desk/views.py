"""What stands on the pages of the desk: values worded and linked, nothing for a template to work out."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from pathlib import Path
from urllib.parse import quote

from lessonplan.beginning.constructions import MADE, OTHER
from lessonplan.beginning.folder import is_free
from lessonplan.beginning.questions import QUESTIONS, AnswerError, answers_of, plain_made, questions
from lessonplan.course.problems import Problem, Where, error
from lessonplan.course.words import count_of
from lessonplan.craft.words import words_of
from lessonplan.desk.forms.making import told_place
from lessonplan.desk.forms.outline import next_episode, outline_of
from lessonplan.desk.forms.shapes import model_of_file
from lessonplan.desk.forms.sources import source_of
from lessonplan.desk.forms.values import Branch, Choice, Field, NewEpisode, id_of
from lessonplan.desk.planner import Standing
from lessonplan.desk.store import FIRST, RefusedError, Store, Text
from lessonplan.documents.index import Link, TodayView, index_view

_LABELS: Mapping[str, str] = {"made": "What is made", "shoot": "Days of filming", "hours": "Hours a week"}


def first_fields(posted: Mapping[str, str], today: date) -> tuple[Field, ...]:
    """Give the questions as fields, each with what was answered and what is wrong with that.

    What an answer leaves open comes and goes with it. Each field's ``name`` is that of its question.
    """
    texts = {key: text.strip() for key, text in posted.items() if text.strip()}
    texts["made"] = plain_made(texts.get("made", "hat"))
    known = texts["made"] in (*MADE, OTHER)
    wrong = _wrong(texts, today) if posted else None
    said: dict[str, str] = {}
    found = []
    for one in questions(texts) if known else QUESTIONS[:1]:
        default = one.default(said)
        said[one.name] = texts.get(one.name) or default
        field = Field(
            path=(one.name,),
            label=_LABELS.get(one.name, one.name.capitalize()),
            help="" if one.name == "made" else one.asked,
            kind="choice" if one.name == "made" else "text",
            value=texts.get(one.name, ""),
            default=default,
            example="" if one.name == "made" else ", ".join(one.offered(said)) or one.example,
            choices=tuple(Choice(name, name) for name in (*MADE, OTHER)) if one.name == "made" else (),
            offered=one.offered(said),
            name=one.name,
        )
        if wrong and wrong.name == one.name:
            field = replace(field, problems=(error(Where(), "answer", str(wrong)),))
        found.append(field)
    return tuple(found)


def _wrong(texts: Mapping[str, str], today: date) -> AnswerError | None:
    try:
        answers_of(texts, today)
    except AnswerError as bad:
        return bad
    return None


FIRST_PAPER = "handout.html"
"""What is looked at until another is chosen."""
_MOST_PROBLEMS = 200


@dataclass(frozen=True, slots=True)
class Row:
    """A problem as a line: where it stands in words, and where it is mended: in the text, and at its field.

    ``called`` is the way to that field by the titles of the forms.
    """

    severity: str
    place: str
    href: str
    line: int
    said: str
    field: str = ""
    called: str = ""


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page of the desk shows: the course, how it stands, its papers, and what would be undone.

    ``papers``: title and file of each document that a browser shows.
    """

    title: str
    number: int
    state: str
    papers: tuple[tuple[str, str], ...]
    undo: str
    redo: str


@dataclass(frozen=True, slots=True)
class Home:
    """The first page: what comes next, the problems, the documents for each reader, and the files.

    ``next`` is what one more episode needs; ``begin`` asks for a first course where the folder is empty.
    """

    today: TodayView | None
    problems: tuple[Row, ...]
    more: int
    readers: tuple[tuple[str, tuple[Link, ...]], ...]
    outline: tuple[Branch, ...]
    files: tuple[tuple[str, str], ...]
    next: NewEpisode
    begin: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class Editing:
    """A file as text, with the problems in it; ``form`` is the page of its fields, ``at`` the line to begin at."""

    name: str
    text: str
    digest: str
    problems: tuple[Row, ...]
    form: str
    at: int


def frame(store: Store, standing: Standing, today: date) -> Frame:
    """Lay out what every page shows."""
    undo, redo = store.history.steps()
    plan = standing.plan
    papers = [
        (link.title, link.href)
        for _, links in _readers(standing, today)
        for link in links
        if link.href.endswith((".html", ".pdf"))
    ]
    return Frame(
        title=plan.course.course.title if plan else store.folder.resolve().name,
        number=standing.number,
        state=state_of(standing, store.folder)[0],
        papers=tuple(sorted(papers, key=lambda paper: paper[1] != FIRST_PAPER)),
        undo=undo.what if undo else "",
        redo=redo.what if redo else "",
    )


def state_of(standing: Standing, folder: Path) -> tuple[str, bool]:
    """Say in a few words how the course stands, and whether something must be mended."""
    if folder.is_dir() and is_free(folder):
        return "Nothing here yet", False
    errors = sum(one.severity == "error" for one in standing.result.problems)
    if errors:
        old = "; documents are from before" if standing.old else ""
        return f"{count_of(errors, 'error')} to mend{old}", True
    if not standing.whole:
        return "Planned; looking for remarks", False
    remarks = sum(one.severity == "warning" for one in standing.result.problems)
    return f"Planned; {count_of(remarks, 'remark')}" if remarks else "Planned; all clear", False


def home(store: Store, standing: Standing, today: date, answered: Mapping[str, str]) -> Home:
    """Lay out the first page; ``answered`` is what was answered so far where a course is begun."""
    plan, problems, files = standing.plan, standing.result.problems, texts(store)
    view = _index(plan, today) if plan else None
    return Home(
        today=view.today if view else None,
        problems=rows(problems[:_MOST_PROBLEMS], store.names(), files),
        more=max(0, len(problems) - _MOST_PROBLEMS),
        readers=_readers(standing, today),
        outline=outline_of(files, problems),
        files=tuple((name, _count(problems, name)) for name in store.names()),
        next=next_episode(files),
        begin=first_fields(answered, today) if is_free(store.folder) else (),
    )


def _readers(standing: Standing, today: date) -> tuple[tuple[str, tuple[Link, ...]], ...]:
    if standing.plan is None:
        return ()
    view, words = _index(standing.plan, today), words_of(standing.plan.course.pattern)
    found = (
        ("For the host", view.for_host),
        (f"For the {words.makers}", view.for_knitters),
        ("For the editor", view.for_editor),
        ("For the viewers", view.for_viewers),
    )
    return tuple((title, links) for title, links in found if links)


_index = lru_cache(maxsize=2)(index_view)


def _count(problems: tuple[Problem, ...], name: str) -> str:
    errors = sum(one.severity == "error" for one in problems if one.where.file == name)
    remarks = sum(one.severity == "warning" for one in problems if one.where.file == name)
    return count_of(errors, "error") if errors else count_of(remarks, "remark") if remarks else ""


def texts(store: Store) -> Mapping[str, str]:
    """Give the texts of all files of keys and values that can be read, by their names."""
    found = {}
    for name in store.names():
        try:
            text = store.read(name)
        except RefusedError:
            continue
        if text and name.endswith((".yaml", ".yml")):
            found[name] = text.text
    return found


def rows(
    problems: tuple[Problem, ...], names: tuple[str, ...], files: Mapping[str, str] | None = None
) -> tuple[Row, ...]:
    """Word problems as lines, each linked to the line of its file and, where ``files`` are given, to its field."""
    found = []
    for one in problems:
        file, line = one.where.file, one.where.line
        known = file in names
        shown = file if known or not Path(file).is_absolute() else Path(file).name
        said = f"{one.message} {one.hint}".strip().replace("is not a key that is known here", "is not known here")
        href = f"{address(file)}?line={line}" if known else ""
        has_form = files is not None and file in {*files, *FIRST} and model_of_file(file)
        field, called = _field(one, files) if files is not None and has_form else ("", "")
        if files is not None and file == "episodes":  # there is none yet: one is added on the same page
            shown, field, called, said = "Episodes", "#new.value.title", "Episodes", one.message
        place = f"{shown}, line {line}" if line else shown
        found.append(
            Row(severity=one.severity, place=place, href=href, line=line, said=said, field=field, called=called)
        )
    return tuple(found)


def _field(problem: Problem, files: Mapping[str, str]) -> tuple[str, str]:
    """Give address and name of the field at which a problem is mended; nothing where only the text can mend it."""
    file = problem.where.file
    source = source_of(files.get(file, ""))
    if source is None:
        return "", ""
    path = source.place_of(problem)
    return f"/form/{quote(file)}?path={quote(json.dumps(path))}#{quote(id_of(path))}", told_place(files, file, path)


def address(name: str) -> str:
    """Give the address of a file's page."""
    return f"/file/{quote(name)}"


def editing(text: Text, standing: Standing, names: tuple[str, ...], form: str, at: int) -> Editing:
    """Lay out the page of one file."""
    mine = tuple(one for one in standing.result.problems if one.where.file == text.name)
    return Editing(name=text.name, text=text.text, digest=text.digest, problems=rows(mine, names), form=form, at=at)
