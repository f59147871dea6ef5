"""The desk's own pages, from the templates in ``templates/desk`` and nowhere else; a course has no say in them."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from lessonplan.course.words import short_date
from lessonplan.render import markdown
from lessonplan.render.pages import templates_folder

ASSETS = {
    "style.css": ("style.css", "text/css"),
    "desk.css": ("desk/desk.css", "text/css"),
    "parts.js": ("desk/parts.js", "text/javascript"),
    "desk.js": ("desk/desk.js", "text/javascript"),
    "text.js": ("desk/text.js", "text/javascript"),
    "form.css": ("desk/form.css", "text/css"),
    "form.js": ("desk/form.js", "text/javascript"),
    "pick.js": ("desk/pick.js", "text/javascript"),
}
"""What pages of the desk ask for besides documents: each with its file and kind."""


@cache
def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(templates_folder() / "desk"),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {"inline": markdown.inline, "day": short_date}
    return made


def desk_page(template: str, **given: Any) -> str:
    """Render a page or a part of one."""
    text = _environment().get_template(template).render(**given)
    return text.encode("utf-8", "replace").decode("utf-8")  # the name of a file may be no text at all


def asset(name: str) -> tuple[bytes, str] | None:
    """Give a style or script with its media type; None for any other name."""
    if name not in ASSETS:
        return None
    file, kind = ASSETS[name]
    return (templates_folder() / file).read_bytes(), kind
