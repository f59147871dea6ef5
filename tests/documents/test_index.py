"""The index page: the course at a glance, and where each document is."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.index import IndexView, index_view
from lessonplan.edit.cues.heard import heard_once_cut
from lessonplan.edit.video import cuts_of
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot
from tests.small_course import write_course

SHOTS = episode((shot("face", pieces="[{needs: edge}]"), shot("sink")), (shot("face", "30 s"),))
TWO_DAYS = COURSE.replace("films: [1]", "films: [1.1]\n  - {day: 2027-03-08, films: [1.2]}")
COURSE_FILE = TWO_DAYS + "summary: We cast on {{ edge.cast_on }} stitches.\nedition: 4\nknitters: [{name: Eva}]\n"


def view(folder: Path) -> IndexView:
    return index_view(plan(folder, SHOTS, COURSE_FILE))


def test_the_course_at_a_glance(tmp_path: Path) -> None:
    found = view(tmp_path)
    assert (found.title, found.host, found.place, found.edition[:8]) == (
        "Ring cowl",
        "Ada Example",
        "The barn",
        "4, code ",
    )
    assert (found.summary, found.size) == ("We cast on 110 stitches.", "")


def test_mistakes_that_are_not_mended_are_listed(tmp_path: Path) -> None:
    row = "  - {found: 2027-04-01, by: Eve, where: shot 1.1.2, said: %s, right: nine, kind: number, state: %s}\n"
    errata = "errata:\n" + row % ("eight rounds", "open") + row % ("ten rounds", "mended")
    found = index_view(plan(tmp_path, SHOTS, COURSE_FILE, {"errata.yaml": errata}))
    assert found.errata == ("shot 1.1.2: eight rounds (open; remedy: none yet)",)
    assert view(tmp_path / "none").errata == ()


def test_what_each_document_is(tmp_path: Path) -> None:
    found = view(tmp_path)
    assert [(link.href, link.title, link.text) for link in found.for_host] == [
        ("step-samples.html", "Step samples", "1 piece to bring, 7 min of work"),
        ("run-sheet-1.html", "Run sheet, day 1", "Saturday 6 March 2027"),
        ("run-sheet-1.pdf", "Run sheet on paper, day 1", "the day on one page, trays to cut out, the shots"),
        ("table-1.html", "On the table, day 1", "for the tablet on the set, with the take log"),
        ("cue-cards-1.html", "Cue cards, day 1", "numbers, words that are easily swapped, fixed sequences"),
        ("cue-cards-1.pdf", "Cue cards on paper, day 1", "empty: nothing slips in 2 shots"),
        ("run-sheet-2.html", "Run sheet, day 2", "Monday 8 March 2027"),
        ("run-sheet-2.pdf", "Run sheet on paper, day 2", "the day on one page, trays to cut out, the shots"),
        ("table-2.html", "On the table, day 2", "for the tablet on the set, with the take log"),
        ("cue-cards-2.html", "Cue cards, day 2", "numbers, words that are easily swapped, fixed sequences"),
        ("cue-cards-2.pdf", "Cue cards on paper, day 2", "empty: nothing slips in 1 shot"),
        ("shot-list.html", "Shot list", "3 shots by view"),
        ("texts.html", "Texts to paste", "descriptions, a pinned note, a newsletter, alt texts"),
        ("shoot.ics", "Shoot days as a calendar", "2 days"),
    ]
    assert [(link.href, link.title, link.text) for link in found.for_knitters] == [
        ("knitters.html", "Knitters", "Who knits what by when: 1 knitter"),
        ("knitter-eva.pdf", "Pieces for Eva", "the paper to give with the yarn: a card for each piece"),
        ("labels.pdf", "Labels", "a tag for each piece: 1"),
        ("knitter-1.ics", "Calendar of Eva", "1 piece, 6 min, to start at the latest on Wednesday 3 March 2027"),
    ]
    assert [(link.href, link.title, link.text) for link in found.for_editor] == [
        ("editor-1.html", "Editor’s sheet, episode 1", "All of it: 12:30 in 2 segments"),
        ("cues-1.vtt", "Texts over the picture, episode 1, times as planned", ""),
        ("captions-1.vtt", "Draft captions, episode 1, times as planned", ""),
        ("chapters-1.vtt", "Chapters, episode 1, times as planned", ""),
        ("timeline-1.otio", "Timeline, episode 1, times as planned", ""),
    ]
    forms = {name for link in found.for_editor for name, _ in link.forms}
    assert forms == {
        *("cues-1.vtt", "cues-1.srt", "cues-1.csv", "captions-1.vtt", "captions-1.srt"),
        *("chapters-1.vtt", "chapters-1.txt", "timeline-1.otio", "timeline-1.edl"),
    }
    assert [(link.href, link.title, link.text) for link in found.for_viewers] == [
        ("handout.html", "Handout", "Ring cowl"),
        ("handout.pdf", "Handout on paper", "to print, with a box to tick for each line"),
        ("handout-large.pdf", "Handout in large print", "18 point"),
        ("errata.html", "Errata", "0 entries"),
        ("errata.atom", "Errata as a feed", "for readers of feeds: each new entry is told"),
    ]


def test_every_document_that_is_named_is_built(tmp_path: Path) -> None:
    files = {"course.yaml": COURSE_FILE, "pattern.yaml": PATTERN, "episodes/01.yaml": SHOTS}
    result = lessonplan.build(write_course(tmp_path / "c", files), tmp_path / "out")
    assert result.plan is not None
    found = index_view(result.plan)
    links = (*found.for_host, *found.for_knitters, *found.for_editor, *found.for_viewers)
    named = {link.href for link in links} | {name for link in links for name, _ in link.forms}
    beside = {"knitters.csv", "editor-1.csv"}  # tables, linked from the page that they belong to
    made = {path.name for path in (tmp_path / "out").iterdir() if path.name[0] != "."} - beside
    assert named | {"index.html"} == made
    assert {one.href for one in found.today.tasks} <= made


def test_what_the_sample_shows_of_its_clocks_errata_and_edition(sample: Plan, sample_output: Path) -> None:
    """Episode 2 has captions: its chapters and texts have their times, drafts and timeline the planned ones."""
    found = index_view(sample)
    second = [link.title for link in found.for_editor if ", episode 2" in link.title and link.forms]
    assert [title for title in second if title.endswith(", times as planned")] == [
        "Draft captions, episode 2, times as planned",
        "Timeline, episode 2, times as planned",
    ]
    assert "not the times of the video" in (sample_output / "captions-2.vtt").read_text(encoding="utf-8")
    first = (sample_output / "chapters-1.txt").read_text(encoding="utf-8")
    assert first.startswith("[times as planned: put in those of the video]\n0:00 ")
    assert (sample_output / "chapters-2.txt").read_text(encoding="utf-8").startswith("0:00 ")
    # Two errata are not mended; of the third viewers are told beside the video, which has it still.
    assert len(found.errata) == 3
    assert any(text.endswith("(in the pinned note; the video still has it)") for text in found.errata)
    texts = (sample_output / "texts.html").read_text(encoding="utf-8")
    assert texts.count("10 findings in what was said are not decided") == 1
    for name in ("editor-1.html", "proof-2.html", "release.csv", "release.ics", "errata.atom"):
        told = (sample_output / name).read_text(encoding="utf-8-sig").replace("\r\n ", "").replace("\\,", ",")
        assert found.edition in told, name
    kit = (sample_output / "kit.html").read_text(encoding="utf-8")
    assert "arrive by Friday 26 February 2027, when episode 1 is out" in kit
    assert "Its slip is page 2 of the slips, 63 times." in kit


def test_texts_lie_after_the_cuts_where_the_cuts_put_them(sample: Plan) -> None:
    """An editor cuts by the tenths of the table: papers have whole seconds, a file of texts has what is left."""
    cuts, told, until = cuts_of(sample, 2), 0, 0
    for one in heard_once_cut(sample, 2):
        inside = any(cut.start < one.at < cut.end for cut in cuts)
        saved = sum(cut.saved for cut in cuts if cut.end <= one.at)
        if saved and not inside and one.start > until:  # none that waits for the one before it
            assert one.start == pytest.approx(1000 * (one.at - saved), abs=1), one
            told += 1
        until = one.end
    assert told > 5
