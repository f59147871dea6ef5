"""What the papers show of an agreement: slates beside numbers, letters kept, and what changed; nothing before it."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from lessonplan.building import documents
from lessonplan.planning.agreed.noting import note_done
from tests.pdf import kept
from tests.planning.agreeable import BODY, EDGE, ERRATA, HELLO, KNITTERS, agreed, course, planned
from tests.small_course import COURSE

SLATED = ("run-sheet-1.html", "shot-list.html", "editor-1.html", "table-1.html")
HEADED = ("index.html", "step-samples.html", "knitters.html")


def papers(folder: Path, ending: str = ".html") -> dict[str, str]:
    made = documents(planned(folder), ending=ending).items()
    return {name: kept(data) if name.endswith(".pdf") else data.decode() for name, data in made}


def numbered(page: str) -> dict[str, str]:
    """Each shot's number with the slate that stands beside it, as both are printed."""
    return dict(
        re.findall(r'<span class="num">(\d+\.\d+\.\d+)</span>(?: <span class="small">(slate \d+)</span>)?', page)
    )


def test_before_an_agreement_no_paper_knows_slates(tmp_path: Path) -> None:
    found = papers(course(tmp_path), "")
    assert not [name for name, page in found.items() if re.search(r"slate \d", page) or "since the agreement" in page]
    assert {"1.1.1": "", "1.2.2": ""}.items() <= numbered(found["shot-list.html"]).items()


@pytest.mark.parametrize("name", SLATED)
def test_slates_stand_beside_the_numbers_of_today(tmp_path: Path, name: str) -> None:
    agreed(course(tmp_path))
    found = papers(course(tmp_path, HELLO + BODY + EDGE), name)[name]
    assert numbered(found) == {
        "1.1.1": "",
        "1.2.1": "slate 3",
        "1.2.2": "slate 4",
        "1.3.1": "slate 1",
        "1.3.2": "slate 2",
    }


@pytest.mark.parametrize("name", HEADED)
def test_what_changed_stands_at_the_head(tmp_path: Path, name: str) -> None:
    agreed(course(tmp_path))
    assert "Changed since the agreement" not in papers(tmp_path, name)[name]
    page = papers(course(tmp_path, HELLO + EDGE + BODY.replace("body round 5", "body round 6")), name)[name]
    head = page[page.index("Changed since the agreement") :]
    assert re.findall("<li>(.*?)</li>", head)[:2] == [
        "Shot 1.1.1 is new since the agreement.",
        "Piece C now stops at: Body, 6 of 10 rounds. Agreed was: Body, 5 of 10 rounds.",
    ]
    first = page.index("<section")
    assert page.index("Changed since the agreement") < page.index("</section>", first)


def test_a_piece_that_is_begun_says_how_far_it_is(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    note_done(tmp_path, ["C body round 3"])
    page = papers(tmp_path, "step-samples.html")["step-samples.html"]
    card = page[page.index('id="piece-3"') :]
    assert re.findall(r"<dt>(So far|Still to knit|Work)</dt><dd>(.*?)</dd>", card)[:2] == [
        ("So far", "Body, 3 of 10 rounds"),
        ("Still to knit", "3 min"),  # two rounds of 1.65 minutes
    ]
    assert "From the drawer" not in page


def test_errata_and_the_editors_sheet_speak_of_todays_shots(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    found = papers(course(tmp_path, HELLO + BODY + EDGE, errata_yaml=ERRATA))
    assert "episode 1, shot 1.3.2 (slate 2)" in found["editor-1.html"]
    assert "shot 1.2.1 (slate 3)" in found["editor-1.html"]
    # Viewers have no slates: they are told the second, and the later shot's is the later one.
    assert len(re.findall(r"<h2>Episode 1, “[^”]+” \(planned at \d+:\d\d\)</h2>", found["errata.html"])) == 2


def entries(folder: Path) -> dict[str, tuple[str, int, date]]:
    """All entries of all calendar files by UID: what it is, its SEQUENCE and its day; read by the icalendar library."""
    found = {}
    for data in documents(planned(folder), ending=".ics").values():
        read: list[Any] = list(Calendar.from_ical(data).walk("VEVENT"))
        for event in read:
            start = event["DTSTART"].dt
            day = start if type(start) is date else start.date()
            found[str(event["UID"])] = str(event["SUMMARY"]), int(event["SEQUENCE"]), day
    return found


def test_a_second_agreement_moves_the_entries_of_the_first(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    first = entries(tmp_path)
    assert {sequence for _, sequence, _ in first.values()} == {2}, "edition 1, agreement 1"
    later = (COURSE + KNITTERS).replace("2027-03-06", "2027-03-20").replace("title: Ring cowl", "title: A ring cowl")
    course(tmp_path, course_yaml=later)
    text = (tmp_path / "agreed.yaml").read_text(encoding="utf-8")
    (tmp_path / "agreed.yaml").write_text(text.replace("ready: 2027-03-04", "ready: 2027-03-18"), encoding="utf-8")
    agreed(tmp_path, date(2027, 1, 9))
    second = entries(tmp_path)
    assert second.keys() == first.keys(), "updated, not doubled"
    assert {sequence for _, sequence, _ in second.values()} == {3}
    assert {uid: (second[uid][2] - day).days for uid, (_, _, day) in first.items()} == dict.fromkeys(first, 14)
    assert {second[uid][0] for uid in second} == {what.replace("Ring", "A ring") for what, _, _ in first.values()}


def test_an_entry_follows_a_piece_whose_segment_was_moved(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    first = {uid: what for uid, (what, _, _) in entries(tmp_path).items()}
    second = {uid: what for uid, (what, _, _) in entries(course(tmp_path, BODY + EDGE)).items()}
    assert second == first
