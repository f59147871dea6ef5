"""Pages from views and templates. A template only places values; everything on it is in the view.

A course may bring templates of its own, and courses are mailed: its templates run in Jinja's sandbox, see the fields of
a view and no more, are read from the course's folder only, and have no say in the content security policy.
"""

from __future__ import annotations

import base64
import hashlib
import re
import traceback
from dataclasses import is_dataclass
from functools import cache
from pathlib import Path, PurePosixPath
from typing import Any, cast

from jinja2 import (
    FunctionLoader,
    StrictUndefined,
    TemplateError,
    TemplateNotFound,
    TemplateSyntaxError,
    select_autoescape as escape_in,
)
from jinja2.exceptions import SecurityError, UndefinedError
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup, escape

from lessonplan.course.files import UnfitError, decode, inside, locked, read_plain, write_file
from lessonplan.course.problems import Problem, Where, did_you_mean, error, note
from lessonplan.course.signs import parted_within
from lessonplan.craft.words import common_words
from lessonplan.render import markdown
from lessonplan.render.pictures import Pictures, template_words

OWN = "templates/"
FONTS = (".ttf", ".otf", ".ttc")
"""The endings of font files (OpenType)."""
MAX_TEMPLATE_BYTES = 1_000_000
MAX_PAGE_SIGNS = 20_000_000
_PLAIN = (str, int, float, list, tuple, dict, Pictures)


class _Sandbox(ImmutableSandboxedEnvironment):
    """Shows a template the fields of views, and what Jinja's sandbox lets through of plain values and Jinja's own."""

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """Tell whether a template may see an attribute; models, classes and functions show it nothing at all."""
        if is_dataclass(obj):
            return attr in obj.__dataclass_fields__
        plain = isinstance(obj, _PLAIN) or type(obj).__module__.partition(".")[0] == "jinja2"
        return plain and super().is_safe_attribute(obj, attr, value)


def templates_folder() -> Path:
    """Find the templates: inside the installed package, or beside it in a checkout."""
    inside_package = Path(__file__).resolve().parent.parent / "templates"
    return inside_package if inside_package.is_dir() else inside_package.parent.parent / "templates"


@cache
def template_names() -> frozenset[str]:
    """Name the program's own templates, style sheets and scripts."""
    return frozenset(path.name for path in templates_folder().iterdir())


def own_templates(course: Path) -> tuple[Problem, ...]:
    """Say of each file in a course's folder ``templates`` whether it is used; without one nothing is said."""
    folder = course / OWN
    if not folder.resolve().is_relative_to(course.resolve()):
        what = "This folder leads out of the course's folder, so it is not read."
        return (error(Where(OWN.rstrip("/"), 0, 0), "outside", what, "Put a copy of it into the folder."),)
    return tuple(_use(path.name) for path in sorted(folder.iterdir()) if path.name[0] != ".") if folder.is_dir() else ()


def _use(name: str) -> Problem:
    where = Where(OWN + name)
    if name.lower().endswith(FONTS):
        return note(where, "own-template", "This font is used on paper for signs that no other font has.")
    if name not in template_names():
        what = "No page asks for this file; it is used where another template of the course names it."
        return note(where, "own-template", what, did_you_mean(name, template_names()))
    if name.endswith(".js"):
        return note(where, "own-template", "This file is not used: the scripts of a page are always lessonplan's own.")
    return note(where, "own-template", "This template of the course is used in place of lessonplan's own.")


def source(course: Path | None, name: str) -> tuple[str, str] | None:
    """Give the text of a template and the file it comes from: the course's own, else the program's, else None.

    Raises `UnfitError` for an own one that leads out of the course, is too large or is no text.
    """
    if ".." in PurePosixPath(name).parts:
        return None
    told = OWN + name
    path = inside(course, told) if course else None
    if path and path.exists():
        text = decode(read_plain(path, Where(told), MAX_TEMPLATE_BYTES), told)
    elif name in template_names():
        told = str(templates_folder() / name)
        text = (templates_folder() / name).read_text(encoding="utf-8")
    else:
        return None
    # The parser of HTML turns every line end into a line feed before it takes the digest of a style or script.
    return text.replace("\r\n", "\n").replace("\r", "\n"), told


@cache
def _environment(course: Path | None) -> _Sandbox:
    def load(name: str) -> tuple[str, str, None] | None:
        """A template's text and place, as Jinja asks for it."""
        found = source(course, name)
        return (*found, None) if found else None

    environment = _Sandbox(
        loader=FunctionLoader(load),
        undefined=StrictUndefined,
        finalize=lambda value: parted_within(value) if type(value) is str else value,
        autoescape=escape_in(["html", "svg"], default=True),
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["markdown"] = markdown.block
    environment.filters["inline"] = markdown.inline
    environment.filters["sized"] = sized
    del environment.filters["random"], environment.globals["lipsum"]  # the same course gives the same bytes
    return environment


def page(template: str, view: Any, course: Path | None = None, *, language: str, **more: Any) -> bytes:
    """Render one template with its view (as ``view``) to UTF-8 bytes; ``course``: a course with templates of its own.

    Every page carries the stylesheet (as ``style``; unless given ``style.css`` and, if there is one, that of its own
    name, ``editor.css``) and begins with a content security policy that allows it and the ``script`` given and nothing
    else, so that it can be mailed or opened from a file on its own; one that ``sends`` may ask the server that it comes
    from. Every template has the ``words`` of the craft of its ``pictures``, or of knitting.

    Raises `UnfitError` for what is wrong with an own template.
    """
    try:
        own = template.replace(".html", ".css")
        sheets = ("style.css", own) if own in template_names() else ("style.css",)
        style = str(more.pop("style", None) or "".join(stylesheet(course, name) for name in sheets))
        allowed = policy(style, str(more.get("script", "")), sends=bool(more.get("sends")))
        environment = _environment(course)
        pictures = more.get("pictures")
        common = template_words(common_words("knitting"), "knitting")
        # One object for all pages: a file that templates import is loaded once, with the words that it finds then.
        words = cast("dict[str, object]", environment.globals.setdefault("words", {}))
        words.clear()
        words.update(pictures.words if isinstance(pictures, Pictures) else common)
        named = environment.get_template(template)
        pieces, left = [], MAX_PAGE_SIGNS
        for piece in named.generate(view=view, style=Markup(style), language=language, **more):
            pieces.append(piece)
            left -= len(piece)
            if course and left < 0:
                raise UnfitError(error(Where(OWN + template), "template", "The page that this gives has no end."))
    except UnfitError:
        raise
    except Exception as bad:
        problem = _explain(bad) if course else None
        if problem is None:
            raise
        raise UnfitError(problem) from bad
    return (_head(language, allowed) + "".join(pieces)).encode("utf-8")


def stylesheet(course: Path | None, name: str) -> str:
    """Read a stylesheet, a course's own first, with nothing in it that would end the element early."""
    found = source(course, name)
    if found is None:
        raise TemplateNotFound(name)
    return element(found[0])


def element(text: str) -> str:
    """Let nothing end a style or script element early; in strings of both languages the backslash changes nothing."""
    return text.replace("</", "<\\/").replace("<!--", "<\\!--")


def _head(language: str, allowed: str) -> str:
    """Begin a page. It is not left to the template, so that no policy of a course can come before this one."""
    begun = f'<!doctype html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
    return f'{begun}<meta http-equiv="Content-Security-Policy" content="{escape(allowed)}">\n'


def policy(style: str, script: str, *, sends: bool) -> str:
    """Word a content security policy that allows this style, this script and pictures written into the page.

    ``sends``: also that the page asks the server that it comes from.

    The digests are of the texts between the tags (hash sources of Content Security Policy Level 3).
    """
    scripts = f"script-src '{_digest(script)}'; " if script else ""
    scripts += "connect-src 'self'; " if sends else ""
    allowed = f"{scripts}style-src '{_digest(style)}'; img-src data:"
    return f"default-src 'none'; {allowed}; base-uri 'none'; form-action 'none'"


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _explain(bad: Exception) -> Problem | None:
    """Turn what stopped a page into a problem at the innermost own template; None when none was in it."""
    places = [(frame.f_code.co_filename, line) for frame, line in traceback.walk_tb(bad.__traceback__)]
    if isinstance(bad, TemplateSyntaxError):
        places.append((bad.filename or "", bad.lineno))
    own = [Where(file, line, 1) for file, line in places if file.startswith(OWN)]
    if own:
        return error(own[-1], "template", _sentence(bad))
    ours = [(Path(file), line) for file, line in places if Path(file).parent == templates_folder()]
    if ours and isinstance(bad, (TemplateError, TypeError)):  # TypeError: a macro called otherwise than it asks
        told = f"It is needed in lessonplan's {ours[-1][0].name}, line {ours[-1][1]}."
        return error(Where(OWN), "template", f"{_sentence(bad)} {told}")
    return None


def _sentence(bad: Exception) -> str:
    text = str(bad) or type(bad).__name__
    lacking = re.search(r"has no attribute '(\w+)'$|^'(\w+)' is undefined$", text)
    match bad:
        case SecurityError():
            return f"A template may not do this ({text.rstrip('.')})."
        case TemplateNotFound():
            return f"There is no template “{bad.name}”."
        case UndefinedError() if lacking:
            return f"There is no “{lacking[1] or lacking[2]}” here."
        case MemoryError():
            return "This template asks for more memory than a page may need."
        case RecursionError():
            return "This template uses itself without end."
    return f"This template cannot be filled in ({text.rstrip('.')})."


_ONE = r"\d[\d.,]*[¼½¾⅛⅜⅝⅞]?|[¼½¾⅛⅜⅝⅞]"
_NUMBER = rf"(?:{_ONE})(?:–(?:{_ONE}))?|–"
_LENGTH = rf"-?(?:{_NUMBER})(?:\u00a0\([^()<>]*\))?"
_BOTH = re.compile(
    rf"(?P<cm>{_LENGTH}\u00a0cm)(?:(?P<comma>, )(?P<in>{_LENGTH}\u00a0in)| \((?P<bracketed>{_LENGTH}\u00a0in)\))"
)
_NAMED = re.compile(r"[^\W\d_]+|\d?X*[SML]")
"""A size by its name, such as Medium or 2XL, and no stitch, such as k1."""
_GROUP = re.compile(r"(?P<first>[^\s()<>]+)\u00a0\((?P<others>[^()<>]+)\)")


def sized(text: str, sizes: int) -> Markup:
    """Mark up a text (escaped unless it is Markup already) of a pattern in so many sizes."""
    return Markup(_sized(str(escape(text)), sizes))


@cache
def _sized(text: str, sizes: int) -> str:
    text = _BOTH.sub(_units, text)
    return _GROUP.sub(lambda found: _group(found, sizes), text) if sizes > 1 else text


def _units(found: re.Match[str]) -> str:
    opening, inches, closing = (
        (", ", found["in"], "") if found["comma"] else (" (", found["bracketed"], '<span class="ci">)</span>')
    )
    between = f'<span class="ci">{opening}</span>'
    return f'<span class="cm">{found["cm"]}</span>{between}<span class="in">{inches}</span>{closing}'


def _group(found: re.Match[str], sizes: int) -> str:
    others = re.split(r",[ \u00a0]", found["others"])
    numbers = all(re.fullmatch(_NUMBER, one) for one in others)
    if len(others) != sizes - 1 or not (numbers or all(map(_NAMED.fullmatch, others))):
        return found[0]
    # What stands before the digits ("K" of K20) belongs to every size.
    number = re.search(rf"-?(?:{_NUMBER})$", found["first"]) if numbers else None
    before = found["first"][: number.start()] if number else ""
    values = [found["first"][len(before) :], *others]
    parts = []
    for size, value in enumerate(values):
        sign = "" if size == 0 else "\u00a0(" if size == 1 else ",\u00a0" if ",\u00a0" in found["others"] else ", "
        parts.append((f'<span class="sp">{sign}</span>' if sign else "") + f'<span class="s{size}">{value}</span>')
    return f'{before}<span class="sz">{"".join(parts)}<span class="sp">)</span></span>'


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
