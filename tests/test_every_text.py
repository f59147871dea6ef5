"""Every text that a teacher can write reaches a paper, and is text there: never markup, a script, or a request.

A course that has something of everything gets a mark of its own in every field of the model that takes prose, with
what would run in a page, in print or in a player behind it; then all that is built of it is searched.
"""

from __future__ import annotations

import csv
import html
import io
import json
import re
from collections.abc import Mapping
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import pytest
from icalendar import Calendar

from lessonplan.building import documents
from lessonplan.course.model.together import Course
from tests import pdf
from tests.marked import NAMES, PROSE, Marking, letters, planned, text_fields
from tests.rich_course import write_rich

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog

TRAP = (
    '<script>alert(1)</script><img src="//e.example/x" onerror="alert(2)">#panic("no") $x$ @y a --> b & '
    "[j](javascript:alert(3)) </title></style></svg> ]]> \\u{41}"
)
PROPERTIES = """VERSION PRODID METHOD X-WR-CALNAME NAME CALSCALE UID DTSTAMP DTSTART DTEND DURATION SUMMARY DESCRIPTION
    LOCATION SEQUENCE TRANSP STATUS ACTION TRIGGER LAST-MODIFIED CLASS CATEGORIES RELATED-TO"""
"""What a calendar may say (RFC 5545, RFC 7986)."""
NOWHERE = {
    "Decided.why": "a remark of the teacher's own, for herself",
    "Episode.cuts_made": "times that name cuts, or the word all: what comes of it is other times",
    "Words.hand_over_each": "only where several pieces with different tools are handed over in one day",
}
"""Fields that reach no paper of this course, and why that is right."""


@pytest.fixture(scope="module")
def marking() -> Marking:
    return Marking(lambda number: letters(number) + TRAP)


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory, marking: Marking) -> Mapping[str, bytes]:
    folder = write_rich(tmp_path_factory.mktemp("rich"))
    return documents(planned(folder, marking.marked))


def shown(name: str, data: bytes) -> str:
    """The letters and digits of a file as a person sees them, in small letters."""
    text = "".join(pdf.pages(data)) if name.endswith(".pdf") else data.decode("utf-8")
    if name.endswith((".html", ".atom")):
        text = re.sub(r"(?s)<(script|style)\b.*?</\1>|<[^>]*>", "", text)
    if name.endswith((".html", ".atom", ".vtt")):
        text = html.unescape(text)
    return "".join(re.findall(r"[^\W_]+", text.casefold()))


def test_every_field_that_takes_texts_is_known() -> None:
    """A new field is marked here as soon as it is there, or is put among the names on purpose."""
    assert frozenset(text_fields(Course)) >= NAMES, "the list has no field that is gone"
    assert {"Shot.say", "Work.note", "Episode.kept", "Option.kit", "Notes.helper"} <= PROSE


def test_every_text_stands_on_some_paper(files: Mapping[str, bytes], marking: Marking) -> None:
    assert frozenset(marking.marks.values()) == PROSE - {"Decided.why"}, "the course has something of everything"
    everything = "".join(shown(name, data) for name, data in files.items())
    missing = {place for mark, place in marking.marks.items() if mark[: -len(TRAP)] not in everything}
    assert missing <= NOWHERE.keys()


def test_a_text_is_shown_as_it_is_typed(files: Mapping[str, bytes]) -> None:
    """Behind each mark the trap goes on as text; drawings and names of files shorten what is too long for them."""
    whole = re.compile(r"zq[a-j]{4}x(scriptalert1script)?")
    found = {name: [bool(one[1]) for one in whole.finditer(shown(name, data))] for name, data in files.items()}
    for ending in (".html", ".pdf", ".csv", ".ics", ".vtt", ".srt", ".txt", ".otio", ".edl", ".atom"):
        told = [one for name, each in found.items() if name.endswith(ending) for one in each]
        assert len(told) > 1, ending
        assert sum(told) >= 0.95 * len(told), (ending, sum(told), len(told))


class Tags(HTMLParser):
    """What a page is made of that could run or ask for something."""

    def __init__(self) -> None:
        super().__init__()
        self.scripts, self.bad = 0, list[str]()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.scripts += tag == "script"
        for key, value in attrs:
            address = key in ("src", "href", "xlink:href", "action") and not (value or "").startswith(
                ("#", "https://", "data:,")
            )
            relative = bool(
                re.fullmatch(r"[a-z0-9-]+\.(html|pdf|csv|ics|vtt|srt|txt|otio|edl|atom)(#\S*)?", value or "")
            )
            if tag in ("img", "iframe", "object", "base") or key.startswith("on") or (address and not relative):
                self.bad.append(f"<{tag} {key}={value}>"[:80])


def test_no_page_has_a_tag_that_was_typed(files: Mapping[str, bytes]) -> None:
    for name, data in files.items():
        if name.endswith(".html"):
            tags = Tags()
            tags.feed(data.decode("utf-8"))
            assert tags.bad == [], name
            assert tags.scripts == (2 if name.startswith(("table-", "handout")) else 0), name
    captions = b"\n\n".join(data for name, data in files.items() if name.endswith(".vtt")).decode("utf-8")
    times = [line for line in captions.splitlines() if "-->" in line]
    assert [line for line in times if not re.fullmatch(r"[\d:.]+ --> [\d:.]+", line)] == []
    cues = "".join(block.partition("\n")[2] for block in captions.split("\n\n") if "-->" in block.partition("\n")[0])
    assert "&lt;script&gt;" in cues
    assert "<" not in cues, "in the text of a cue it begins a tag"


def test_calendars_tables_and_feeds_hold_nothing_that_was_not_meant(files: Mapping[str, bytes]) -> None:
    """By readers of others: an entry has its own properties alone, a cell is no formula, a feed's texts are texts."""
    parts, names = set[str | None](), set[str]()
    for data in (data for name, data in files.items() if name.endswith(".ics")):
        for one in Calendar.from_ical(data).walk():
            assert not one.errors
            parts.add(one.name)
            names |= set(one.keys())
    assert parts == {"VCALENDAR", "VEVENT", "VALARM"}
    assert names <= {*PROPERTIES.split()}
    for name, data in files.items():
        if name.endswith(".csv"):
            rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
            assert len({len(row) for row in rows}) == 1, name
            assert not [cell for row in rows for cell in row if re.match(r"[=+@\t\r]|-\D", cell)], name
        elif name.endswith(".atom"):
            kinds = {one.tag.partition("}")[2] for one in ElementTree.fromstring(data).iter()}
            assert kinds <= {"feed", "title", "id", "updated", "author", "name", "link", "entry", "content", "summary",
                             "published", "rights", "generator", "subtitle"}  # fmt: skip
        elif name.endswith(".otio"):
            assert json.loads(data)["OTIO_SCHEMA"].startswith("Timeline")
        elif name.endswith(".edl"):
            assert all(re.match(r"(TITLE|FCM):|\d{3,} |\*|$", line) for line in data.decode().splitlines()), name


def test_nothing_runs_in_a_browser(browser: Browser, files: Mapping[str, bytes], tmp_path: Path) -> None:
    alarms, asked = list[str](), list[str]()
    page = browser.new_page(viewport={"width": 390, "height": 844})

    def dismissed(dialog: Dialog) -> None:
        alarms.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", dismissed)
    page.on("console", lambda message: alarms.append(message.text))
    page.on("pageerror", lambda error: alarms.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    for name, data in files.items():
        if name.endswith(".html"):
            (tmp_path / name).write_bytes(data)
            page.goto((tmp_path / name).as_uri())
            assert page.locator("script[src], img, iframe, [onerror]").count() == 0
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), name
    page.close()
    assert alarms == []
    assert [url for url in asked if not url.startswith(("file:", "data:,"))] == []
