"""The page “On the table” as one file: style, script and data inside, allowed by their digests and nothing else."""

from __future__ import annotations

import base64
import hashlib
import json
from pathlib import Path
from typing import Any

from markupsafe import Markup

from lessonplan.documents.table import TableView, table_view
from lessonplan.planning.worked import Plan
from lessonplan.render import markdown
from lessonplan.render.pages import page, templates_folder
from lessonplan.render.pictures import Pictures
from lessonplan.shoot.day import Day
from lessonplan.shoot.takes.log import COLUMNS

SCRIPTS = ("table-takes.js", "table.js")


def table_page(plan: Plan, day: Day, language: str, own: Path | None = None) -> bytes:
    """Render the page of one shoot day to UTF-8 bytes. ``own``: a course's own templates (also ``table.css``, ``.js``).

    The page works from a file without network: it asks for nothing but itself. Raises ``OSError`` when a template
    cannot be read.
    """
    view = table_view(plan, day)
    style = _inside(_source("table.css", own))
    script = _inside("\n".join(_source(name, own) for name in SCRIPTS))
    return page(
        "table.html",
        view,
        own,
        language=language,
        pictures=Pictures(plan),
        style=Markup(style),
        script=Markup(script),
        data=Markup(embedded(page_data(view))),
        policy=policy(style, script),
    )


def page_data(view: TableView) -> dict[str, Any]:
    """Give what the page's script computes with: the day, the log's columns, and each shot's number and times."""
    shots = [
        {"number": shot.text.number, "ready": shot.ready, "start": shot.start, "end": shot.end, "before": shot.before}
        | {"title": _plain(shot.text.title or shot.text.segment_title), "view": shot.text.view, "time": shot.time}
        for shot in view.shots
    ]
    return {"course": view.title, "day": view.day, "columns": COLUMNS, "shots": shots}


def embedded(data: dict[str, Any]) -> str:
    """Write data as JSON that cannot end a script element or begin a comment or character reference in it."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def policy(style: str, script: str) -> str:
    """Word a content security policy that allows this style, this script and pictures written into the page.

    The digests are of the texts between the tags (hash sources of Content Security Policy Level 3).
    """
    allowed = f"script-src '{_digest(script)}'; style-src '{_digest(style)}'; img-src data:"
    return f"default-src 'none'; {allowed}; base-uri 'none'; form-action 'none'"


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _source(name: str, own: Path | None) -> str:
    mine = own / name if own else None
    path = mine if mine and mine.is_file() else templates_folder() / name
    # The parser of HTML turns every line end into a line feed before it takes the digest.
    return path.read_text(encoding="utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")


def _inside(source: str) -> str:
    """Let nothing end the element early; in strings of both languages the backslash changes nothing."""
    return source.replace("</", "<\\/").replace("<!--", "<\\!--")


def _plain(text: str) -> str:
    """Give a title as it reads, without the signs of its Markdown."""
    return markdown.inline(text).striptags()
