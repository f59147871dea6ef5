"""Printed papers as a reader meets them: the text of each page, where it stands, and what a screen reader is told."""

from __future__ import annotations

import io
import re

from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject
from pypdfium2 import PdfDocument


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


def outside(data: bytes, margin: float = 36.0) -> list[tuple[int, str]]:
    """Each letter that does not stand wholly within the margins (in points), with its page's number."""
    found = []
    document = PdfDocument(data)
    for number, page in enumerate(document, 1):
        wide, high = page.get_size()
        text = page.get_textpage()
        for place in range(text.count_chars()):
            letter = text.get_text_range(place, 1)
            if letter.strip():
                left, bottom, right, top = text.get_charbox(place)
                if left < margin or right > wide - margin or bottom < margin / 2 or top > high - margin / 2:
                    found.append((number, letter))
    return found


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
