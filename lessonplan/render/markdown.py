"""Markdown of the teacher's texts to HTML: no raw HTML, links only to http, https and mailto."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from markupsafe import Markup

if TYPE_CHECKING:
    from markdown_it import MarkdownIt


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
    """Render a text of several paragraphs."""
    return Markup(_reader().render(text))


def inline(text: str) -> Markup:
    """Render a text of one line, without a paragraph around it."""
    return Markup(_reader().renderInline(text))
