"""The editor's sheet: times that add up, where to cut, what to lay over."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.editor import EditorView, editor_table, editor_view
from lessonplan.render.spreadsheet import csv_bytes
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
