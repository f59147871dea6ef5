"""Every paper that names a time of an episode has the same one: the video's, else that of the takes, else planned."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import opentimelineio as otio
import pytest

from lessonplan.building import edit_files
from lessonplan.documents.editor import editor_view
from lessonplan.documents.places import corrections, shot_places, times_words
from lessonplan.documents.posts import posts_view
from lessonplan.planning.worked import Plan
from lessonplan.render.pages import page
from tests.documents import timed
from tests.documents.test_filmed import HEAD, with_log
from tests.edit.told import BATH, TAIL, WOOL, captions, plan_of

LATE = captions((5, WOOL), (80, TAIL), (200, BATH))
ERRATA = """\
errata:
  - {found: 2027-04-01, by: A, where: 1.3.1, said: step on it, right: press it, remedy: pinned note}
  - {found: 2027-04-02, by: A, where: 1.2.2, said: a short tail, right: a long tail, remedy: pinned note}
"""
SLIP = TAIL.replace("Make a slip knot,", "Make a slip knot, no sorry, make a slip knot,")
"""What may go begins with the fifth word, after 2 s: “make a slip knot, no sorry”; that is six words, 3 s."""


def files_of(plan: Plan) -> dict[str, str]:
    return {name: data.decode("utf-8-sig") for name, data in edit_files(plan, plan.course.episodes[0])}


def sheet_of(plan: Plan) -> str:
    """The editor's sheet as its reader has it: words alone."""
    made = page("editor.html", editor_view(plan, plan.course.episodes[0]), language="en").decode("utf-8")
    text = re.sub(r"<style.*?</style>|<script.*?</script>", " ", made, flags=re.S)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def test_places_of_viewers_are_those_of_the_chapters(tmp_path: Path) -> None:
    plan = plan_of(tmp_path / "video", LATE, errata=ERRATA, shots=(1, 2, 1))
    assert [place.words for place in shot_places(plan).values()] == [
        "Episode 1 at 0:00",
        "Episode 1 at 1:20",
        "Episode 1 between 1:30 and 3:20",  # 21 words of half a second behind the beginning of its segment
        "Episode 1 at 3:20",
    ]
    assert [one.place for one in corrections(plan)] == ["Episode 1 between 1:30 and 3:20", "Episode 1 at 3:20"]
    assert times_words(plan) == ""
    description = next(one.text for one in posts_view(plan).episodes[0].posts if one.what == "Description")
    assert "\n0:00 A\n1:20 B\n3:20 C\n" in description
    assert "- 1:30 to 3:20 A short tail. Right: a long tail.\n- 3:20 Step on it." in description
    plan = plan_of(tmp_path / "plan", None, errata=ERRATA, shots=(1, 2, 1))
    # 42 words in 21 s; the second segment in halves, each of which runs a whole number of seconds.
    second = shot_places(plan)["1.2.2"].seconds
    assert second in (31, 32)
    third = 2 * second - 21
    assert [one.place for one in corrections(plan)] == [
        f"Episode 1, “{title}” (planned at 0:{at})" for title, at in (("B", second), ("C", third))
    ]
    assert times_words(plan) == "Times in the videos are as planned"


def test_once_takes_are_logged_viewers_are_sent_to_their_times(tmp_path: Path) -> None:
    shots = timed.episode(*((timed.shot("face", "10 s"),) for _ in range(3)))
    log = HEAD + "2027-03-06,1.1.1,1,09:20:00,09:20:14,best,,,,,,\n"
    plan = with_log(tmp_path, log, "", shots=shots)
    assert [place.words for place in shot_places(plan).values()] == [
        "Episode 1, planned at 0:00",
        "Episode 1, planned at 0:14",
        "Episode 1, planned at 0:24",
    ]
    assert times_words(plan) == "Times in the videos are as planned"
    every = HEAD + "".join(f"2027-03-06,1.{n}.1,1,09:{n}0:00,09:{n}0:14,best,,,,,,\n" for n in (1, 2, 3))
    assert times_words(with_log(tmp_path / "all", every, "", shots=shots)) == ""


def test_sheet_files_and_description_have_one_list_of_chapters(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, LATE)
    files, sheet = files_of(plan), sheet_of(plan)
    assert files["chapters-1.txt"] == "0:00 A\n1:20 B\n3:20 C\n"
    assert re.findall(r"[\d:.]{12}", files["chapters-1.vtt"])[::2] == ["00:00:00.000", "00:01:20.000", "00:03:20.000"]
    assert "NOTE Chapters as found in captions/01.vtt, before any cut." in files["chapters-1.vtt"]
    assert sheet.count("Chapters to copy into the description") == 1
    assert "as found in captions/01.vtt, before any cut: 0:00 A 1:20 B 3:20 C" in sheet
    assert "do not run alike: 1:03 there, 3:41 here." in sheet


@pytest.mark.parametrize(("start", "marked"), [((0, 21, 45), True), ((5, 80, 200), False)])
def test_what_may_go_is_marked_where_the_timeline_runs_with_the_video(
    tmp_path: Path, start: tuple[int, int, int], marked: bool
) -> None:
    plan = plan_of(tmp_path, captions(*zip(start, (WOOL, SLIP, BATH), strict=True)))
    files, sheet = files_of(plan), sheet_of(plan)
    timeline = otio.adapters.read_from_string(files["timeline-1.otio"], "otio_json")
    cuts = [mark for mark in timeline.tracks.markers if mark.comment == "may go"]
    told = "Corrected at once (“no sorry”): this may go"
    assert told in sheet  # the cut is found in either video
    assert ("What may go is marked in the timeline, too." in sheet) is marked
    assert ("MAY GO: CORRECTED AT ONCE" in files["timeline-1.edl"]) is marked
    assert len(cuts) == marked
    for mark in cuts:
        # A caption has six words, in which those of one are not timed each: half a second to and fro.
        first = mark.marked_range.start_time.to_seconds()
        assert abs(first - (21 + 2)) <= 0.6
        assert abs(first + mark.marked_range.duration.to_seconds() - (21 + 5)) <= 0.6
        assert mark.name.startswith(told)


def test_advice_has_the_times_of_the_cut(tmp_path: Path) -> None:
    # No words, the first shot planned 10 s and taken 14 s; the second works 60 s after 20 words of half a second each.
    shots = timed.episode(
        (
            timed.shot("face", "10 s"),
            timed.shot("close", "0 s", say="word " * 20, hands="[{do: knit, time: 70 s}]"),
        )
    )
    course = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, speech: 120,")
    log = HEAD + "2027-03-06,1.1.1,1,09:20:00,09:20:14,best,,,,,,\n"
    plan = with_log(tmp_path, log, "", shots=shots, files={"course.yaml": course})
    sheet = sheet_of(plan)
    assert "From 0:24 on there are no words for 1:00" in sheet
    assert "* LOC: 00:00:24:00 MAGENTA CUT-AWAY: THERE ARE NO WORDS" in files_of(plan)["timeline-1.edl"]


def test_what_is_said_freely_has_no_captions_and_that_is_said(tmp_path: Path) -> None:
    shots = timed.episode(
        (timed.shot("face", say="word " * 20), timed.shot("face", points='["where the wool is from, 20 s"]'))
    )
    plan = timed.plan(tmp_path, shots)
    said = "What is said freely, by points, has no draft captions: in 1.1.2."
    assert f"NOTE {said}" in files_of(plan)["captions-1.vtt"]
    assert said in sheet_of(plan)
    assert "wool" not in files_of(plan)["captions-1.vtt"].replace(said, "")


def test_a_correction_says_on_which_clock_it_is(tmp_path: Path) -> None:
    """Of a video it is the second that was named, or the word that is corrected; else the timeline's.

    The second half of its segment begins with “long tail”, half a second a word: 80 + 10.5 s; what is later is in it.
    """
    overlaid = ERRATA.replace("pinned note", "text over the picture") + "".join(
        f"  - {{found: 2027-04-0{day}, by: A, where: '{where}', said: x, right: y, remedy: text over the picture}}\n"
        for day, where in ((3, "episode 1 at 2:05"), (4, "episode 1, segment 1.2, at 0:01:35"))
    )
    sheet = sheet_of(plan_of(tmp_path / "video", LATE, errata=overlaid, shots=(1, 2, 1)))
    told = sheet[sheet.index("Corrections to lay over") : sheet.index("From the captions")]
    at = re.findall(r"Lay it over from (\S+) to \S+ in the video, \S+ after the cuts, in ([\d.]+\d)", told)
    assert at == [("1:30", "1.2.2"), ("1:35", "1.2.2"), ("2:05", "1.2.2"), ("3:20", "1.3.1")]
    assert "in the timeline" not in told
    planned = sheet_of(plan_of(tmp_path / "plan", None, errata=overlaid, shots=(1, 2, 1)))
    assert planned.count("in the timeline, in 1.") == 2
    assert planned.count("Lay it over by hand at ") == 2, "what a viewer named a time for, behind the end of the plan"
