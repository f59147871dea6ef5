"""The editor's sheet: times that add up, where to cut, what to lay over."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.editor import EditorView, editor_table, editor_view
from lessonplan.render.spreadsheet import csv_bytes
from tests.documents import timed
from tests.small_course import COURSE, EPISODE, write_course

ERRATA = """\
errata:
  - {found: 2027-04-01, by: A, where: "Episode 1, shot 1.1.1", said: 41, right: "{{ edge.cast_on }} sts",
     remedy: text over the picture}
  - {found: 2027-04-02, by: A, where: 1.1.1, said: left, right: right, kind: word, remedy: pick-up shot}
  - {found: 2027-04-03, by: A, where: handout, said: x, right: y, remedy: new handout}
"""


def view(root: Path) -> list[EditorView]:
    plan = lessonplan.plan(root / "sample_course").plan
    assert plan is not None
    return [editor_view(plan, episode) for episode in plan.course.episodes]


def seconds(text: str) -> int:
    minutes, rest = text.split(":")
    return int(minutes) * 60 + int(rest)


def test_starts_and_lengths_add_up(root: Path) -> None:
    for sheet in view(root):
        position = 0
        for segment in sheet.segments:
            assert seconds(segment.start) == position
            for row in segment.shots:
                assert (seconds(row.start), row.seconds[0]) == (position, position)
                assert row.seconds[2] <= row.seconds[1] <= row.seconds[3]
                position += row.seconds[1]
            assert seconds(segment.start) + seconds(segment.length) == position
        assert seconds(sheet.length) == position


def test_the_table_has_the_same_seconds(root: Path) -> None:
    sheet = view(root)[0]
    rows = list(csv.DictReader(io.StringIO(csv_bytes(editor_table(sheet)).decode("utf-8-sig"))))
    assert [int(row["length_s"]) for row in rows] == [row.seconds[1] for s in sheet.segments for row in s.shots]
    assert {row["filmed"] for row in rows} <= {"Sat 13 Feb", "Sun 14 Feb"}


def test_long_handwork_says_after_how_many_stitches_to_cut_and_to_what(tmp_path: Path) -> None:
    episode = EPISODE.replace('"k1, p1"', '"[k1, p1] 20 times"') + (
        "      - {view: overhead, say: Here it is., pieces: [{needs: edge round 2}]}\n"
    )
    course = write_course(
        tmp_path, {"course.yaml": COURSE + "pace: {on_camera: 10, speech: 120}\n", "episodes/01.yaml": episode}
    )
    plan = lessonplan.plan(course).plan
    assert plan is not None
    (segment,) = editor_view(plan, plan.course.episodes[0]).segments
    advice = segment.shots[0].advice
    # Five words at 120 a minute are 2.5 s, a little longer on average: in that time nearly half a stitch is shown.
    assert "after 1 st cut to piece" in advice
    assert "as it stands in shot 1.1.2" in advice


def test_only_open_errata_of_the_episode_come_and_only_texts_are_laid_over(tmp_path: Path) -> None:
    plan = lessonplan.plan(write_course(tmp_path, {"errata.yaml": ERRATA})).plan
    assert plan is not None
    sheet = editor_view(plan, plan.course.episodes[0])
    assert [row.right for row in sheet.corrections] == ["40 sts"]
    assert [row.remedy for row in sheet.other_errata] == ["pick-up shot"]


@pytest.mark.parametrize("episode", [0, 1, 2])
def test_the_sample_episodes_run_about_a_quarter_of_an_hour(root: Path, episode: int) -> None:
    assert 10 * 60 <= seconds(view(root)[episode].length) <= 16 * 60


def timed_sheet(folder: Path, *segments: tuple[str, ...]) -> EditorView:
    planned = timed.plan(folder, timed.episode(*segments))
    return editor_view(planned, planned.course.episodes[0])


@pytest.mark.parametrize(
    ("time", "advice"),
    [
        # Handwork is 0.85, 1 or 1.35 times what is stated, 6.2 / 6 of it on average. Sped up so many times, about half
        # a minute is left of it; nobody can follow stitches at more than eight times.
        ("57 s", ""),
        ("1 min", "The handwork runs on for 1:02 after the words: cut away, or speed it up 2 times."),
        ("2 min", "The handwork runs on for 2:04 after the words: cut away, or speed it up 4 times."),
        ("3 min", "The handwork runs on for 3:06 after the words: cut away, or speed it up 6 times."),
        ("10 min", "The handwork runs on for 10:20 after the words: cut away, or speed it up 8 times."),
    ],
)
def test_long_handwork_is_sped_up_to_half_a_minute(tmp_path: Path, time: str, advice: str) -> None:
    shots = timed.shot("face", "0 s", hands=f"[{{do: wind the wool, time: {time}}}]")
    assert timed_sheet(tmp_path, (shots,)).segments[0].shots[0].advice == advice


def test_knitting_that_is_not_shown_is_cut(tmp_path: Path) -> None:
    # Two rounds of 5.55 min are knitted, and two minutes of handwork are stated: 9.1 min nobody wants to see.
    shots = timed.shot(
        "face", hands="[{do: knit, time: 2 min}]", pieces="[{needs: edge, leaves: body round 2}]", say="word " * 300
    )
    (row,) = timed_sheet(tmp_path, (shots,)).segments[0].shots
    assert row.advice == "9:06 of knitting happens off camera inside this shot: cut there."


def test_the_sheet_in_seconds(tmp_path: Path) -> None:
    sheet = timed_sheet(
        tmp_path, (timed.shot("face", "10 s"), timed.shot("sink", "1 min")), (timed.shot("face", "5 s"),)
    )
    assert [(s.number, s.title, s.chapter, s.start, s.length) for s in sheet.segments] == [
        ("1.1", "A", True, "0:00", "1:10"),
        ("1.2", "B", True, "1:10", "0:05"),
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
    assert dict(zip(head, row, strict=True)) == {
        "segment": "1.1",
        "segment_title": "A",
        "shot": "1.1.1",
        "shot_title": "",
        "view": "face",
        "start_s": "0",
        "length_s": "10",
        "low_s": "10",
        "high_s": "10",
        "filmed": "Sat 6 Mar",
        "on_screen": "",
        "advice": "",
    }
