"""The feed of the errata against RFC 4287, section 4.1: what a feed and an entry must have, and once."""

from __future__ import annotations

import re
from datetime import date, datetime
from uuid import UUID
from xml.etree import ElementTree

from lessonplan.render.feed import FeedEntry, feed

ATOM = "{http://www.w3.org/2005/Atom}"
ENTRIES = (
    FeedEntry(1, date(2027, 3, 21), "Episode 2 at 8:25: open", "Said: <15> & more\x00. Right: 13\u00a0sts."),
    FeedEntry(2, date(2027, 4, 2), "Episode 1 at 0:10: mended", "x"),
)


def made(entries: tuple[FeedEntry, ...] = ENTRIES, address: str = "https://example.org/m") -> ElementTree.Element:
    return ElementTree.fromstring(
        feed(
            "Mittens",
            "Ada",
            entries,
            about="up to edition 1, code RVGM",
            begun=date(2027, 1, 1),
            known_as="mittens",
            address=address,
        )
    )


def only(parent: ElementTree.Element, name: str) -> str:
    found = parent.findall(ATOM + name)
    assert len(found) == 1, f"exactly one {name} (RFC 4287, 4.1)"
    return found[0].text or ""


def test_what_a_feed_must_have() -> None:
    root = made()
    assert root.tag == ATOM + "feed"
    for parent in (root, *root.findall(ATOM + "entry")):
        assert only(parent, "title")
        assert UUID(only(parent, "id").removeprefix("urn:uuid:"))
        stamp = only(parent, "updated")
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", stamp), "a date of RFC 3339 with capital T and Z (3.3)"
        assert datetime.fromisoformat(stamp)
    # 4.1.1: a feed has an author, unless every entry has one; 4.1.2: an entry without a link has content.
    assert [one.findtext(ATOM + "name") for one in root.findall(ATOM + "author")] == ["Ada"]
    assert all(one.find(ATOM + "content") is not None for one in root.findall(ATOM + "entry"))
    assert only(root, "subtitle") == "up to edition 1, code RVGM"
    assert [one.get("href") for one in root.findall(ATOM + "link")] == ["https://example.org/m"]


def test_the_newest_comes_first_and_dates_the_feed() -> None:
    root = made()
    assert [only(one, "updated")[:10] for one in root.findall(ATOM + "entry")] == ["2027-04-02", "2027-03-21"]
    assert only(root, "updated") == "2027-04-02T00:00:00Z"


def test_text_is_text() -> None:
    older = made().findall(ATOM + "entry")[1]
    assert only(older, "content") == "Said: <15> & more. Right: 13\u00a0sts."
    assert older.find(ATOM + "content").get("type") == "text"  # type: ignore[union-attr]


def test_ids_stay_when_a_state_changes() -> None:
    ids = [only(one, "id") for one in made().findall(ATOM + "entry")]
    again = made((ENTRIES[0], FeedEntry(2, date(2027, 5, 2), "other words", "y"), *ENTRIES[:0]))
    assert [only(one, "id") for one in again.findall(ATOM + "entry")] == ids
    assert len(set(ids)) == 2


def test_a_feed_without_entries() -> None:
    root = made((), "")
    assert only(root, "updated") == "2027-01-01T00:00:00Z"
    assert root.findall(ATOM + "entry") == root.findall(ATOM + "link") == []
