"""The editor's sheet: times that add up, where to cut, what to lay over."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.cells import csv_bytes
from lessonplan.documents.advice import FILM
from lessonplan.documents.editor import EditorView, editor_view
from lessonplan.documents.editorcsv import editor_table
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.spoken import place_of
from lessonplan.planning.worked import Plan
from tests import pdf
from tests.documents import timed
from tests.small_course import write_course

ERRATA = """\
errata:
  - {found: 2027-04-01, by: A, where: "Episode 1, shot 1.1.1", said: 41, right: "{{ edge.cast_on }} sts",
     remedy: text over the picture}
  - {found: 2027-04-02, by: A, where: 1.1.1, said: left, right: right, kind: word, remedy: pick-up shot}
  - {found: 2027-04-02, by: A, where: 1.1.1, said: one, right: two, remedy: pinned note}
  - {found: 2027-04-03, by: A, where: handout, said: x, right: y, remedy: new handout}
"""


def view(sample: Plan) -> list[EditorView]:
    return [editor_view(sample, episode) for episode in sample.course.episodes]


def seconds(text: str) -> int:
    minutes, rest = text.split(":")
    return int(minutes) * 60 + int(rest)


def test_starts_and_lengths_add_up(sample: Plan) -> None:
    for sheet in view(sample):
        position = 0
        for segment in sheet.segments:
            assert seconds(segment.start) == position
            for row in segment.shots:
                assert (seconds(row.start), row.seconds[0]) == (position, position)
                assert row.seconds[2] <= row.seconds[1] <= row.seconds[3]
                position += row.seconds[1]
            assert seconds(segment.start) + seconds(segment.length) == position
        assert seconds(sheet.length) == position


def test_the_table_has_the_same_seconds(sample: Plan) -> None:
    sheet = view(sample)[0]
    rows = list(csv.DictReader(io.StringIO(csv_bytes(editor_table(sheet)).decode("utf-8-sig"))))
    assert [int(row["length_s"]) for row in rows] == [row.seconds[1] for s in sheet.segments for row in s.shots]
    assert {row["planned"][:10] for row in rows} <= {"Sat 13 Feb", "Sun 14 Feb"}


def test_a_cut_goes_to_a_shot_that_shows_the_piece_as_it_is_there(tmp_path: Path) -> None:
    # The work takes the piece from the edge to round 2: the second shot shows it so, but it comes right after.
    work = timed.shot("face", "0 s", hands="[{do: knit, time: 1 min}]", pieces="[{needs: edge, leaves: body round 2}]")
    shots = (work, timed.shot("face", pieces="[{needs: body round 1}]"))

    def advice(name: str, *later: str) -> str:
        return timed_sheet(tmp_path / name, shots, later).segments[0].shots[0].advice

    within = timed.shot("face", pieces="[{needs: body round 2}]")
    told = advice("within", within)
    assert "or cut to 1.2.1 for 4 s." in told
    assert "For that take the first 4 s of 1.2.1: its piece is as far as this work is by then, so that nobody" in told
    # Two rounds more, and a piece that may be anything up to that, would jump; so would a later one that is undone.
    for name, pieces in (("further", "needs: body round 4"), ("any", "shows: body round 2 to body round 4")):
        told = advice(name, timed.shot("face"), timed.shot("face", pieces=f"[{{{pieces}}}]"))
        assert "or cut away." in told
        assert "cut to" not in told
        assert told.endswith(
            "For that the run sheet asks for 4 s that do not show the work, such as a face looking down at it, under "
            "the same slate after the last take."
        )


def test_what_there_is_to_cut_to_is_filmed_on_the_day(sample: Plan, sample_output: Path) -> None:
    # The sheet of the first episode cuts away from 1.4.1 alone, where no other shot shows the same piece as far.
    (row,) = (shot for part in view(sample)[0].segments for shot in part.shots if FILM in shot.advice)
    assert row.shot.number == "1.4.1"
    asked = "also film 4 s that do not show this work"
    short = "also 4 s to cut to, without this work"
    for name, wanted in (("run-sheet-1.html", asked), ("table-1.html", asked), ("shot-list.html", short)):
        told = (sample_output / name).read_text("utf-8")
        assert told.count(wanted) == (2 if name == "shot-list.html" else 1), name  # 3.3.2 is filmed on the second day
        before = told[: told.index(wanted)]
        assert "Mending a wrong stitch" not in before[before.rindex("Knit two, purl two") :], name
    text = "".join(pdf.pages((sample_output / "run-sheet-1.pdf").read_bytes()))
    assert pdf.squeezed(text).count(pdf.squeezed(asked)) == 1


def test_only_open_errata_of_the_episode_come_and_only_texts_are_laid_over(tmp_path: Path) -> None:
    plan = lessonplan.plan(write_course(tmp_path, {"errata.yaml": ERRATA})).plan
    assert plan is not None
    sheet = editor_view(plan, plan.course.episodes[0])
    told = [(one.row.right, one.do.split(" in 1.1.1")[0]) for one in sheet.corrections]
    assert told == [("40 sts", "Lay it over from 0:00 to 0:02 in the timeline,")]
    other, pinned = sheet.other_errata
    assert re.fullmatch(r"1\.1\.1 runs from 0:00 to (\d:\d\d) in the timeline \(\1\)\.", pinned.do)
    assert other.row.remedy == "pick-up shot"
    assert other.do.startswith(
        "The pick-up takes the place of the wrong stretch, picture and sound. Look for it in the "
    )


@pytest.mark.parametrize("episode", [0, 1, 2])
def test_the_sample_episodes_run_about_a_quarter_of_an_hour(sample: Plan, episode: int) -> None:
    assert 10 * 60 <= seconds(view(sample)[episode].length) <= 16 * 60


def timed_sheet(folder: Path, *segments: tuple[str, ...]) -> EditorView:
    planned = timed.plan(folder, timed.episode(*segments))
    return editor_view(planned, planned.course.episodes[0])


@pytest.mark.parametrize(
    ("time", "advice"),
    [
        # Nobody speaks. About a quarter of a minute is left of it, and nobody can follow stitches at over eight times.
        ("19 s", ""),
        ("20 s", "There are no words: 2 times as fast (0:10 then), or cut away. " + FILM),
        ("1 min", "There are no words: 4 times as fast (0:15 then), or cut away. " + FILM),
        ("10 min", "There are no words: 8 times as fast (1:15 then), or cut away. " + FILM),
    ],
)
def test_long_handwork_is_sped_up_to_a_quarter_of_a_minute(tmp_path: Path, time: str, advice: str) -> None:
    shots = timed.shot("face", "0 s", hands=f"[{{do: wind the wool, time: {time}}}]")
    assert timed_sheet(tmp_path, (shots,)).segments[0].shots[0].advice == advice


def test_silence_begins_where_the_words_end(tmp_path: Path) -> None:
    # 90 words at 135 a minute are 40 s, of 85 s of handwork: 45 s without a word.
    shots = timed.shot("face", hands="[{do: knit, time: 1 min 25 s}]", say="word " * 90)
    (row,) = timed_sheet(tmp_path, (shots,)).segments[0].shots
    assert (row.spoken, row.worked, row.hands) == (40, 85, ("for 1:25: knit",))
    assert row.advice == "From 0:40 on there are no words for 0:45: 3 times as fast (0:15 then), or cut away. " + FILM
    # After a shot of 10 s it is 0:50 of the episode, as all times on the sheet are.
    _, row = timed_sheet(tmp_path / "later", (timed.shot("face", "10 s"), shots)).segments[0].shots
    assert row.advice == "From 0:50 on there are no words for 0:45: 3 times as fast (0:15 then), or cut away. " + FILM


def test_each_thing_that_the_hands_do_has_its_time(tmp_path: Path) -> None:
    # 24 stitches at 12 a minute are two minutes; the others are as given.
    hands = "[{do: lay the yarn over, time: 15 s}, {work: K24}, {do: look at it, time: 5 s}]"
    course = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, on_camera: 12,")
    planned = timed.plan(tmp_path, timed.episode((timed.shot("face", hands=hands),)), course)
    (row,) = editor_view(planned, planned.course.episodes[0]).segments[0].shots
    assert row.hands == ("for 0:15: lay the yarn over", "for 2:00: K24", "for 0:05: look at it")
    assert row.worked == 140


def test_knitting_that_is_not_shown_is_cut(tmp_path: Path) -> None:
    # Two rounds of 5.55 min are knitted, and two minutes of handwork are stated: 9.1 min nobody wants to see.
    shots = timed.shot(
        "face", hands="[{do: knit, time: 2 min}]", pieces="[{needs: edge, leaves: body round 2}]", say="word " * 300
    )
    (row,) = timed_sheet(tmp_path, (shots,)).segments[0].shots
    assert row.advice == "9:06 of knitting is not shown: cut where the work jumps, or cut away. " + FILM


def test_the_sheet_in_seconds(tmp_path: Path) -> None:
    sheet = timed_sheet(
        tmp_path, (timed.shot("face", "10 s"), timed.shot("sink", "1 min")), (timed.shot("face", "5 s"),)
    )
    assert [(s.number, s.title, s.start, s.length) for s in sheet.segments] == [
        ("1.1", "A", "0:00", "1:10"),
        ("1.2", "B", "1:10", "0:05"),
    ]
    assert [row.seconds for s in sheet.segments for row in s.shots] == [
        (0, 10, 10, 10),
        (10, 60, 60, 60),
        (70, 5, 5, 5),
    ]
    assert [(row.start, row.length, row.range) for row in sheet.segments[0].shots] == [
        ("0:00", "0:10", "0:10 to 0:10"),
        ("0:10", "1:00", "1:00 to 1:00"),
    ]
    assert (sheet.title, sheet.number, sheet.episode) == ("Ring cowl", 1, "All of it")
    assert (sheet.length, sheet.range) == ("1:15", "up to 1:15")
    head, row, *_ = editor_table(sheet)
    filled = {name: cell for name, cell in zip(head, row, strict=True) if cell}
    assert filled == {
        "segment": "1.1",
        "segment_title": "A",
        "shot": "1.1.1",
        "view": "face",
        "start_s": "0",
        "length_s": "10",
        "low_s": "10",
        "high_s": "10",
        "words_s": "0",
        "hands_s": "0",
        "planned": "Sat 6 Mar, shot 1 of 3, about 9:15, 1 take",
    }


@pytest.mark.parametrize(
    ("text", "said", "word"),
    [
        ("13 stitches go on the waste yarn", "one two three four Now 15 stitches go on the waste yarn.", 6),
        ("13 stitches on waste yarn", "So 13 stitches it is", 1),
        ("slip, slip, knit leans to the left", "It leans to the right", 1),
        ("slip, slip, knit leans left", "It leans right", None),
        # The number that is corrected, though more words without one come later.
        ("13 stitches go on the waste yarn", "I have 13 stitches. Tie the ends of the waste yarn", 2),
        ("count between the markers: an odd number", "an odd number between the markers", 1),
        # Said in other words and another order, not at the first little words in a row.
        ("k2tog: leans right", "Knit two together, and it leans to the right", 5),
        ("Ring your size in the handout", "Compare it with the list in the handout. A size is in it: ring it", 7),
        ("knit 3, slip 1", "the yarn hangs; slip one knit three", 3),
        ("", "word", None),
    ],
)
def test_a_text_belongs_to_the_words_it_has_in_common(text: str, said: str, word: int | None) -> None:
    assert place_of(text, said) == word


def test_a_text_on_screen_stands_at_its_words_or_where_there_is_room(tmp_path: Path) -> None:
    # After 10 s: 18 words at 135 a minute are 8 s. Three words to read take 1 + 3 x 0.4 = 2.2 s, two no less than 2 s.
    # What shares no words with what is said comes after what stands before it.
    say = "word " * 18 + "knit 12 rounds" + " word" * 9
    shots = (timed.shot("face", "10 s"), timed.shot("face", say=say, on_screen="[12 rounds plain, Good luck]"))
    rows = timed_sheet(tmp_path, shots).segments[0].shots
    assert [(one.kind, one.text, one.when, one.in_take) for one in rows[1].cues] == [
        ("on screen", "12 rounds plain", "0:18 to 0:21", ""),
        ("on screen", "Good luck", "0:21 to 0:23", ""),
    ]


def test_the_table_has_the_times_of_what_is_laid_over(tmp_path: Path) -> None:
    say = "word " * 18 + "knit 12 rounds" + " word" * 9
    errata = "errata:\n  - {found: 2027-04-03, by: A, where: 1.1.2, said: 11, right: knit 12 rounds}\n"
    shots = (timed.shot("face", "10 s"), timed.shot("face", say=say, on_screen="[12 rounds plain, Good luck]"))
    planned = timed.plan(tmp_path, timed.episode(shots), files={"errata.yaml": errata})
    head, _, row = editor_table(editor_view(planned, planned.course.episodes[0]))
    cells = dict(zip(head, row, strict=True))
    assert cells["on_screen"] == "0:20 to 0:22: Good luck"
    assert cells["corrections"] == "0:18 to 0:20: knit 12 rounds"
    (left,) = episode_cues(planned, 1).laid.left_out  # the same number and most of the same words: one is enough
    assert (left.wanted.texts, left.why, cells["cues_left_out"]) == (
        ("12 rounds plain",),
        "“knit 12 rounds” says it",
        "",
    )


def test_a_correction_stands_at_its_second(tmp_path: Path) -> None:
    # The shot starts after 10 s; 27 words at 135 a minute are 12 s. Seven words to read take 1 + 7 x 0.4 s.
    say = "word " * 27 + "fifteen stitches go on the waste yarn and sleep"
    shots = (timed.shot("face", "10 s"), timed.shot("face", say=say))
    errata = (
        "errata:\n  - {found: 2027-04-03, by: A, where: 1.1.2, said: 15, right: nine stitches go on the waste yarn}\n"
        "  - {found: 2027-04-02, by: A, where: 1.1.2, said: 15, right: forty}\n"
        "  - {found: 2027-04-01, by: A, where: episode 1, said: 15, right: forty}\n"
    )
    planned = timed.plan(tmp_path, timed.episode(shots), files={"errata.yaml": errata})
    sheet = editor_view(planned, planned.course.episodes[0])
    assert [one.do for one in sheet.corrections] == [
        "Lay it over from 0:22 to 0:26 in the timeline, in 1.1.2.",
        "Lay it over from 0:10 to 0:12 in the timeline, in 1.1.2 (the words were not found in it).",
        "It names no shot: find it in the video and lay it over by hand, for it is in no cue file.",
    ]
    assert [one.when for one in sheet.segments[0].shots[1].cues] == ["0:10 to 0:12", "0:22 to 0:26"]


def test_the_handles_of_shots_that_have_others_are_told(tmp_path: Path) -> None:
    shots = (
        timed.shot("face", "4 s", say="word " * 9),
        timed.shot("face", "8 s", say="word " * 9),
        timed.shot("face", "4 s", say="word " * 9, runs_on="yes"),
        timed.shot("face", "9 s"),  # nobody speaks: it is the picture that stands, and no handle
    )
    course = timed.COURSE.replace("opening: 0 s", "opening: 5 s")
    planned = timed.plan(tmp_path, timed.episode(shots), course)
    assert editor_view(planned, planned.course.episodes[0]).handles == (
        "5 s before and 4 s after (8 s after in 1.1.2; none before in 1.1.3; none after in 1.1.4)"
    )


@pytest.mark.parametrize(
    ("key", "name", "words"),
    [
        ("", "25", "25 frames a second (course.yaml has no “frame_rate”)"),
        ("frame_rate: 24\n", "24", "24 frames a second"),
        ("frame_rate: 23.98\n", "23.976", "23.976 frames a second"),
        ("frame_rate: 29.97\n", "29.97", "29.97 frames a second, non-drop timecode"),
        ("frame_rate: 59.94 drop\n", "59.94 drop", "59.94 frames a second, drop-frame timecode"),
    ],
)
def test_the_frame_rate_is_said(tmp_path: Path, key: str, name: str, words: str) -> None:
    planned = timed.plan(tmp_path, timed.episode((timed.shot("face"),)), timed.COURSE + key)
    sheet = editor_view(planned, planned.course.episodes[0])
    assert (sheet.rate, sheet.rate_words) == (name, words)
