"""A course as texts in memory, changed as a browser posts it, and read as the program reads it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from lessonplan.course.problems import Problem
from lessonplan.desk.forms.changes import apply, change_from
from lessonplan.desk.forms.making import form_of
from lessonplan.desk.forms.values import Field, Form
from lessonplan.planning.worked import load


class Course:
    """The texts of a course; a file that is not there yet is empty."""

    def __init__(self, files: dict[str, str] | None = None) -> None:
        self.files = dict(files or {})

    @classmethod
    def of(cls, folder: Path) -> Course:
        return cls({path.relative_to(folder).as_posix(): path.read_text("utf-8") for path in folder.rglob("*.yaml")})

    def post(self, file: str, kind: str, path: list[str | int], **more: str) -> str:
        """Post one change, and keep the text that it gives."""
        self.files[file] = self.after(file, kind, path, **more)
        return self.files[file]

    def after(self, file: str, kind: str, path: list[str | int], **more: str) -> str:
        """Give the text after one change; what is sent for ``value__title`` is ``value.title``."""
        sent = {key.replace("__", "."): text for key, text in more.items()}
        change = change_from({"file": file, "kind": kind, "path": json.dumps(path), "digest": "", **sent})
        return apply(self.files.get(file, ""), change)

    def form(self, file: str, path: tuple[str | int, ...] = (), problems: tuple[Problem, ...] = ()) -> Form:
        made = form_of(self.files, file, path, problems)
        assert made is not None
        return made

    def problems(self, folder: Path) -> tuple[Problem, ...]:
        """Write the course to a folder, and give what the program has to say of it."""
        for name, text in self.files.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, "utf-8")
        return load(folder).problems


def every_form(course: Course, file: str, path: tuple[str | int, ...] = ()) -> Iterator[Form]:
    """The form of a file and all that it leads to."""
    form = course.form(file, path)
    yield form
    for one in parts(form):
        for entries in one.lists:
            for entry in entries.entries:
                if entry.form is None:
                    yield from every_form(course, file, entry.path)


def parts(form: Form) -> Iterator[Form]:
    """A form, and those that stand in it."""
    yield form
    for group in form.groups:
        yield from parts(group)
    for entries in form.lists:
        for entry in entries.entries:
            if entry.form is not None:
                yield from parts(entry.form)


def every_field(form: Form) -> Iterator[Field]:
    for part in parts(form):
        yield from part.fields


def field_at(form: Form, *path: str | int) -> Field:
    return next(one for one in every_field(form) if one.path == path)
