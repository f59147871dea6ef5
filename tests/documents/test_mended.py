"""What becomes of errata that are mended: read on the pages of a course whose second edition mends four of them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape

import pytest

from lessonplan.building import documents
from tests.documents import timed

NOTED, LAID, FILMED, PRINTED = "ten is said", "twenty is said", "thirty is shown", "forty is printed"
ERRATA = f"""\
errata:
  - {{found: 2027-04-01, by: Una, where: shot 1.1.1, said: {NOTED}, right: eleven, remedy: pinned note, state: mended}}
  - found: 2027-04-02
    by: Una
    where: shot 1.1.2
    said: {LAID}
    right: twenty one
    remedy: text over the picture
    state: mended
    mended_in: 2
    changed: 2027-05-02
  - found: 2027-04-03
    by: Una
    where: shot 1.2.1
    said: {FILMED}
    right: thirty one
    remedy: pick-up shot
    state: mended
    mended_in: 2
  - found: 2027-04-04
    by: Una
    where: handout, page 2
    said: {PRINTED}
    right: forty one
    remedy: new handout
    state: mended
    mended_in: 2
"""
RECORD = "edition: 1\non: 2027-04-10\ncode: ABCD\nfacts: {}\n"


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, str]:
    text = timed.episode((timed.shot("face", say="Hello there."), timed.shot("face")), (timed.shot("hands"),))
    plan = timed.plan(
        tmp_path_factory.mktemp("mended"),
        text,
        f"edition: 2\n{timed.COURSE}",
        {"errata.yaml": ERRATA, "published/edition-1.yaml": RECORD},
    )
    made = (documents(plan, ending=end).items() for end in (".html", ".csv", ".edl", ".atom"))
    return {name: data.decode("utf-8-sig") for files in made for name, data in files}


def words(page: str) -> str:
    page = re.sub(r"<style.*?</style>|<script.*?</script>", " ", page, flags=re.S)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def said_in(text: str) -> list[str]:
    return [one for one in (NOTED, LAID, FILMED, PRINTED) if one in text]


def test_a_note_beside_a_video_stays_for_the_video_still_says_it(papers: Mapping[str, str]) -> None:
    texts = words(papers["texts.html"])
    pinned = texts[texts.index("Pinned note") : texts.index("Newsletter")]
    description = texts[texts.index("Description ") : texts.index("Pinned note")]
    assert (said_in(pinned), said_in(description)) == ([NOTED], [NOTED])


def test_a_handout_tells_of_mistakes_that_are_still_met_and_of_what_is_new(papers: Mapping[str, str]) -> None:
    page = words(papers["handout.html"])
    mistakes, _, changed = page.partition("Changed since edition 1")
    mistakes, changed = mistakes[mistakes.index("Errata of the videos") :], changed.partition("Take care")[0]
    assert said_in(mistakes) == [NOTED]
    assert said_in(changed) == [LAID, FILMED, PRINTED]
    assert f"Episode 1, “A” (planned at 0:01): {LAID}, now twenty one" in changed
    assert "shot 1." not in changed.lower(), "viewers know no shots"


def test_an_editor_keeps_what_is_laid_over_with_the_edition_that_has_it(papers: Mapping[str, str]) -> None:
    sheet = words(papers["editor-1.html"])
    laid = sheet[sheet.index("Corrections to lay over") : sheet.index("Other errata of this episode")]
    assert said_in(laid) == [LAID]
    others = sheet[sheet.index("Other errata of this episode") : sheet.index("Shot by shot")]
    assert said_in(others) == [NOTED], "what viewers are told of, its editor knows"
    assert "● in the pinned note; the video still has it" in others
    assert "mended" not in others, "what a video still has is not mended"
    assert "in the video since edition 2" in laid
    (row,) = [line for line in papers["cues-1.csv"].splitlines() if "correction" in line]
    assert "correction (in the video since edition 2),twenty one" in row
    assert "CORRECTION: TWENTY ONE (IN THE VIDEO SINCE EDITION 2)" in papers["timeline-1.edl"]


def test_times_that_are_planned_are_told_so(papers: Mapping[str, str]) -> None:
    assert re.search(r"\[times as planned: put in those of the video\]\n0:00 A\n", unescape(papers["texts.html"]))
    assert "Times in the videos are as planned" in words(papers["errata.html"])


def test_the_errata_page_says_which_videos_still_have_what_is_mended(papers: Mapping[str, str]) -> None:
    page = unescape(papers["errata.html"])
    articles = page.split("<article")[1:]
    still = [one for one in articles if "in the pinned note; the video still has it" in words(one)]
    assert [said_in(one) for one in still] == [[NOTED]]
    assert not any("● mended" in words(one) for one in still)
    assert sum("● mended" in words(one) for one in articles) == 3
    assert "<bdi>Una</bdi>, <bdi>viewer</bdi>." in page, "a name from right to left leaves the words beside it alone"
    assert [said_in(one) for one in papers["errata.atom"].split("<entry>") if "still has it" in one] == [[NOTED]]


def test_the_feed_tells_anew_of_what_is_mended(papers: Mapping[str, str]) -> None:
    # Of the first nothing is known but the day it was found; the second was changed on a day, the others are right in
    # an edition that is not published yet.
    entries = papers["errata.atom"].split("<entry>")
    updated = [re.findall(r"<updated>([\d-]+)T", one) for one in entries]
    assert updated == [[day] for day in ("2027-05-02", "2027-05-02", "2027-04-04", "2027-04-03", "2027-04-01")]
