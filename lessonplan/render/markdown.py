"""Markdown of the teacher's texts: to HTML (links only to http, https and mailto) and to plain stretches for paper."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from markupsafe import Markup

from lessonplan.course.signs import leftward, parted_within

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token


@cache
def _reader() -> MarkdownIt:
    from markdown_it import MarkdownIt

    reader = MarkdownIt("commonmark", {"html": False, "typographer": False}).disable(
        ["image", "html_block", "html_inline"]
    )
    reader.validateLink = _allowed  # type: ignore[method-assign, assignment]
    return reader


def _allowed(address: str) -> bool:
    return urlsplit(address.strip().lower()).scheme in ("http", "https", "mailto")


def block(text: str) -> Markup:
    """Render a text of several paragraphs; one that runs from right to left does so as a whole."""
    rendered = _reader().render(parted_within(text))
    return Markup(re.sub(r"<(p|li|h\d)>", r'<\1 dir="auto">', rendered) if leftward(text) else rendered)


def inline(text: str) -> Markup:
    """Render a text of one line, without a paragraph around it."""
    return Markup(_reader().renderInline(parted_within(text)))


Span = dict[str, str | bool]
"""A stretch of text (``text``), ``bold`` or ``italic`` or neither."""
Block = dict[str, str | list[Span]]
"""A paragraph, a heading or an item of a list: its ``kind`` and its ``spans``."""


def blocks(text: str) -> list[Block]:
    """Read a text into paragraphs of plain, bold and italic stretches, for paper; a link is its words."""
    found: list[Block] = []
    kind = "paragraph"
    for token in _reader().parse(parted_within(text)):
        if token.type in ("list_item_open", "heading_open"):
            kind = "item" if token.type == "list_item_open" else "heading"
        elif token.type in ("list_item_close", "heading_close"):
            kind = "paragraph"
        elif token.type == "inline":
            found.append({"kind": kind, "spans": _spans(token.children or [])})
        elif token.type in ("fence", "code_block"):
            found.append({"kind": kind, "spans": [_span(token.content.rstrip("\n"), 0, 0)]})
    return found


def _spans(children: Sequence[Token]) -> list[Span]:
    bold = italic = 0
    found: list[Span] = []
    for child in children:
        step = {1: 1, -1: -1}.get(child.nesting, 0)
        if child.type.startswith("strong"):
            bold += step
        elif child.type.startswith("em_"):
            italic += step
        elif child.type in ("text", "code_inline"):
            found.append(_span(child.content, bold, italic))
        elif child.type in ("softbreak", "hardbreak"):
            found.append(_span(" " if child.type == "softbreak" else "\n", bold, italic))
    return [one for one in found if one["text"]]


def _span(text: str, bold: int, italic: int) -> Span:
    return {"text": text, "bold": bold > 0, "italic": italic > 0}
