"""The errata as an Atom feed (RFC 4287), so that viewers hear of a new one.

Ids are UUIDs of the course's lasting name and the entry's number in the log, so that a reader of feeds knows an entry
again when its state changes: then it is updated (RFC 4287, 4.2.15). Times are days at midnight UTC, for bytes repeat.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from xml.etree import ElementTree

from lessonplan.render.ical import entry_uid

SPACE = "http://www.w3.org/2005/Atom"
_UNFIT = re.compile("[^\t\n\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Signs that XML 1.0 does not allow, or advises against."""


@dataclass(frozen=True, slots=True)
class FeedEntry:
    """An entry: its number, the day of what it tells now, a title and its text."""

    number: int
    day: date
    title: str
    text: str


def feed(
    course: str, author: str, entries: Sequence[FeedEntry], *, about: str, begun: date, known_as: str, address: str
) -> bytes:
    """Write the feed of a course's errata, the newest first.

    ``about`` says what it tells, ``begun`` is the day of a feed without entries, ``known_as`` the course's lasting
    name, ``address`` where the handout is found, or "".
    """
    ElementTree.register_namespace("", SPACE)
    root = ElementTree.Element(f"{{{SPACE}}}feed")
    _put(root, "title", f"{course}: errata")
    _put(root, "subtitle", about)
    _put(root, "id", f"urn:uuid:{entry_uid(known_as, 'errata')}")
    _put(root, "updated", _time(max((one.day for one in entries), default=begun)))
    _put(ElementTree.SubElement(root, f"{{{SPACE}}}author"), "name", author)
    if address:
        ElementTree.SubElement(root, f"{{{SPACE}}}link", {"rel": "alternate", "href": address})
    for one in sorted(entries, key=lambda one: (one.day, one.number), reverse=True):
        entry = ElementTree.SubElement(root, f"{{{SPACE}}}entry")
        _put(entry, "title", one.title)
        _put(entry, "id", f"urn:uuid:{entry_uid(known_as, 'erratum', number=one.number)}")
        _put(entry, "updated", _time(one.day))
        _put(entry, "content", one.text).set("type", "text")
    ElementTree.indent(root)
    text = ElementTree.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="utf-8"?>\n{text}\n'.encode()


def _put(parent: ElementTree.Element, name: str, text: str) -> ElementTree.Element:
    child = ElementTree.SubElement(parent, f"{{{SPACE}}}{name}")
    child.text = _UNFIT.sub("", text)
    return child


def _time(day: date) -> str:
    return f"{day.isoformat()}T00:00:00Z"
