"""Pages from views and templates. A template only places values; everything on it is in the view."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import ChoiceLoader, Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from lessonplan.render import markdown


def templates_folder() -> Path:
    """Find the templates: inside the installed package, or beside it in a checkout."""
    inside = Path(__file__).resolve().parent.parent / "templates"
    return inside if inside.is_dir() else inside.parent.parent / "templates"


@cache
def _environment(own: Path | None) -> Environment:
    folders = [own, templates_folder()] if own else [templates_folder()]
    environment = Environment(
        loader=ChoiceLoader([FileSystemLoader(folder) for folder in folders]),
        undefined=StrictUndefined,
        autoescape=select_autoescape(["html", "svg"], default=True),
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["markdown"] = markdown.block
    environment.filters["inline"] = markdown.inline
    style = _style(environment)
    environment.globals["style"] = Markup(style)
    environment.globals["policy"] = policy(style)
    return environment


def page(template: str, view: Any, own: Path | None = None, **more: Any) -> bytes:
    """Render one template with its view (as ``view``) to UTF-8 bytes. ``own``: a course's own templates.

    Every page carries the stylesheet (as ``style``) and its content security policy (as ``policy``), so that
    it can be mailed or opened from a file on its own.
    """
    text = _environment(own).get_template(template).render(view=view, **more)
    return text.encode("utf-8")


def policy(style: str) -> str:
    """Word a content security policy that allows this one stylesheet and pictures written into the page.

    The digest is of the text between the tags (hash sources of Content Security Policy Level 3).
    """
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode("ascii")
    pictures, forms = "img-src data:", "base-uri 'none'; form-action 'none'"
    return f"default-src 'none'; style-src 'sha256-{digest}'; {pictures}; {forms}"


def _style(environment: Environment) -> str:
    """Read the stylesheet, a course’s own first, with nothing in it that would end the element early."""
    assert environment.loader
    source, _, _ = environment.loader.get_source(environment, "style.css")
    return source.replace("</", "<\\/")
