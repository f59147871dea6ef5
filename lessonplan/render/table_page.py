"""The page “On the table” as one file: style, script and data inside, allowed by their digests and nothing else."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from markupsafe import Markup

from lessonplan.documents.table import TableView
from lessonplan.render import markdown
from lessonplan.render.pages import element, page, source, stylesheet
from lessonplan.render.pictures import Pictures
from lessonplan.shoot.takes.log import CLIP, columns_of

SCRIPTS = ("table-takes.js", "table.js")
SENDER = "table-send.js"


def table_page(
    view: TableView, pictures: Pictures, language: str, course: Path | None = None, *, sends: str = ""
) -> bytes:
    """Render the page of one shoot day to UTF-8 bytes; ``course``: one with templates of its own (also ``table.css``).

    The page works from a file without network: it asks for nothing but itself, unless ``sends`` is the address of the
    desk to which it sends its log. Its script is always the program's. Raises `UnfitError` for what is wrong with an
    own template.
    """
    names = (SENDER, *SCRIPTS) if sends else SCRIPTS
    script = "\n".join(found[0] for name in names if (found := source(None, name)))
    return page(
        "table.html",
        view,
        course,
        language=language,
        pictures=pictures,
        style=stylesheet(course, "table.css"),
        script=Markup(element(script)),
        data=Markup(embedded(page_data(view) | ({"sends": sends} if sends else {}))),
        sends=sends,
    )


def page_data(view: TableView) -> dict[str, Any]:
    """Give what the page's script computes with: the day, the log's columns, and each shot's names and times."""
    shots = [
        {"number": shot.text.number, "slate": shot.text.slate or "", "view": shot.text.view, "time": shot.time}
        | {"title": _plain(shot.text.heading), "before": shot.before}
        | {"ready": shot.ready, "start": shot.start, "end": shot.end}
        | {"fresh": [one.letter for one in shot.text.pieces if one.one_way]}
        for shot in view.shots
    ]
    slates = {"slate"} if any(shot.text.slate for shot in view.shots) else set[str]()
    columns = columns_of({"title", *CLIP, *slates})
    return {"course": view.title, "day": view.day, "columns": columns, "cameras": view.cameras, "shots": shots}


def embedded(data: dict[str, Any]) -> str:
    """Write data as JSON that cannot end a script element or begin a comment or character reference in it."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _plain(text: str) -> str:
    """Give a title as it reads, without the signs of its Markdown."""
    return markdown.inline(text).striptags()
