"""Printed papers as a reader meets them: the text of each page, where it stands, and what a screen reader is told."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject


def reader(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data), strict=True)


def pages(data: bytes) -> list[str]:
    """The text of each page."""
    return [page.extract_text() for page in reader(data).pages]


def squeezed(text: str) -> str:
    """Text without spaces and marks of line ends: what is left is the same however lines were broken."""
    return re.sub(r"[\s\u00ad\u200b-]+", "", text.replace("\u2010", "-")).lower()


def kept(data: bytes) -> str:
    """All pages as text that reads line by line, for the golden pages."""
    parts = []
    for number, text in enumerate(pages(data), 1):
        parts += [f"--- page {number}", *(line.rstrip() for line in text.splitlines() if line.strip())]
    return "\n".join(parts) + "\n"


def outside(data: bytes, slack: float = 1.0) -> Iterator[tuple[int, str]]:
    """Each text that begins outside its page, with the page's number."""
    for number, page in enumerate(reader(data).pages, 1):
        box = page.mediabox
        found: list[tuple[float, float, str]] = []

        def see(text: str, cm: list[float], tm: list[float], _font: object, _size: object) -> None:
            if text.strip():
                x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
                y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
                found.append((x, y, text))  # noqa: B023

        page.extract_text(visitor_text=see)
        for x, y, text in found:
            if not (-slack <= x <= float(box.width) + slack and -slack <= y <= float(box.height) + slack):
                yield number, text


def roles(data: bytes) -> list[str]:
    """The roles of the tags in the order in which they are read: ``H1``, ``P``, ``Table``."""
    found: list[str] = []

    def walk(node: object) -> None:
        node = node.get_object() if isinstance(node, IndirectObject) else node
        if isinstance(node, list):
            for one in node:
                walk(one)
        elif isinstance(node, DictionaryObject):
            if "/S" in node:
                found.append(str(node["/S"])[1:])
            if "/K" in node:
                walk(node["/K"])

    root = reader(data).trailer["/Root"]
    assert isinstance(root, DictionaryObject)
    walk(root["/StructTreeRoot"])
    return found
