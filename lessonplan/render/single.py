"""A page that stands alone, written where a person says: over nothing but an older page of the same command."""

from __future__ import annotations

from pathlib import Path

from lessonplan.course.files import locked, write_file
from lessonplan.render.pages import page, stylesheet


class PageError(Exception):
    """A page that is not written; one sentence."""


def mark(generator: str) -> bytes:
    """Give what tells that a page was written by a command, so that it may be written over."""
    return f'<meta name="generator" content="{generator}">'.encode()


def write_page(path: Path, template: str, view: object, *, generator: str) -> None:
    """Write the page of a view.

    Raises `PageError` where something else stands at its place, ``OSError`` when it cannot be written.
    """
    if path.exists() and (not path.is_file() or mark(generator) not in path.read_bytes()[:100_000]):
        raise PageError(f"{path} is there already and is no page of this command, so it is left as it is.")
    style = stylesheet(None, "style.css") + stylesheet(None, template.replace(".html", ".css"))
    data = page(template, view, language="en", style=style)
    path.parent.mkdir(parents=True, exist_ok=True)
    with locked(path.parent):
        write_file(path, data)
