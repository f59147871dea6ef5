"""Chapters: from which second to which, and the published rules that a list of them must keep to."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from lessonplan.edit.chapters import FEWEST, SHORTEST, chapter_problems, chapters_of, cut_chapters, on_one_clock
from tests.documents import timed
from tests.documents.test_filmed import HEAD, with_log
from tests.edit.told import BATH, TAIL, WOOL, captions, plan_of


def test_the_rules_are_the_published_ones(root: Path) -> None:
    rows = yaml.safe_load((root / "tests/facts/webvtt_rules.yaml").read_text(encoding="utf-8"))["rows"]
    rules = {row["id"]: row["rule"] for row in rows}
    assert f"at least {FEWEST}" in rules["platform-chapters"]
    assert f"at least {SHORTEST // 1000} s" in rules["platform-chapters"]
    assert "selected title at 70" in rules["platform-title"]


def episode(*seconds: str, without: int = -1) -> str:
    text = timed.episode(*((timed.shot("face", length),) for length in seconds))
    titles = [f"  - title: {chr(65 + place)}\n" for place in range(len(seconds))]
    return text.replace(titles[without], titles[without] + "    chapter: no\n") if without >= 0 else text


def test_each_chapter_ends_where_the_next_begins(tmp_path: Path) -> None:
    plan = timed.plan(tmp_path, episode("10 s", "12 s", "30 s", "15 s", without=2))
    found = [(one.title, one.start, one.end) for one in chapters_of(plan, 1)]
    assert found == [("A", 0, 10_000), ("B", 10_000, 52_000), ("D", 52_000, 67_000)]
    assert list(chapter_problems(plan)) == []


def test_after_the_shoot_they_stand_where_the_takes_put_them(tmp_path: Path) -> None:
    # Two takes of 14 and 20 s; a shot that is only held has no handles, so they run as long as they are.
    log = HEAD + "2027-03-06,1.1.1,1,09:20:00,09:20:14,best,,,,,,\n2027-03-06,1.2.1,1,09:30:00,09:30:20,usable,,,,,,\n"
    plan = with_log(tmp_path, log, "", shots=episode("10 s", "12 s", "30 s"))
    assert [(one.start, one.end) for one in chapters_of(plan, 1)] == [(0, 14_000), (14_000, 34_000), (34_000, 64_000)]


@pytest.mark.parametrize(
    ("lengths", "without", "said", "do", "place"),
    [
        (
            ("20 s", "12 s", "30 s", "11 s"),
            0,
            "The first chapter of episode 1 starts at 20 s, and must start at zero.",
            "Let the first segment be a chapter.",
            "chapter: no",
        ),
        (
            ("20 s", "12 s", "11 s"),
            2,
            "Episode 1 has 2 of the 3 chapters that a list must have.",
            "Take “chapter: no” away; with “chapter: no” at all of them there is no list.",
            "- title: A",  # where they begin
        ),
        (
            ("20 s", "9 s", "10 s"),
            -1,
            "The chapter “B” lasts 9 s; 10 s are needed.",
            "A list has three at least: make it longer, or have no list, with “chapter: no” at every segment.",
            "- title: B",
        ),
        (
            ("20 s", "9 s", "10 s", "10 s"),
            -1,
            "The chapter “B” lasts 9 s; 10 s are needed.",
            "Put it together with the segment before it: “chapter: no” takes it out of the list.",
            "- title: B",
        ),
        (
            ("9 s", "20 s", "10 s", "10 s"),
            -1,
            "The chapter “A” lasts 9 s; 10 s are needed.",
            "Let it go on: “chapter: no” at “B” takes that one out of the list. Give this one a title for both.",
            "- title: A",
        ),
    ],
)
def test_what_keeps_a_list_from_being_taken_up(
    tmp_path: Path, lengths: tuple[str, ...], without: int, said: str, do: str, place: str
) -> None:
    text = episode(*lengths, without=without)
    (problem,) = chapter_problems(timed.plan(tmp_path, text))
    assert (problem.message, problem.hint) == (said, do)
    assert problem.where.file == "episodes/01.yaml"
    assert text.splitlines()[problem.where.line - 1].strip() == place


@pytest.mark.parametrize(
    ("lengths", "out"), [(("9 s", "20 s", "10 s", "10 s"), 1), (("20 s", "10 s", "10 s", "9 s"), 3)]
)
def test_who_does_as_she_is_told_is_told_nothing_more(tmp_path: Path, lengths: tuple[str, ...], out: int) -> None:
    """9 + 20 s, and 10 + 9 s, are long enough, and three chapters are left of four; without a first one none starts."""
    assert list(chapter_problems(timed.plan(tmp_path, episode(*lengths, without=out)))) == []


def test_nothing_is_asked_of_an_episode_too_short_for_a_list(tmp_path: Path) -> None:
    assert list(chapter_problems(timed.plan(tmp_path, episode("20 s", "5 s", "12 s", without=1)))) == []


def test_long_titles_and_titles_that_come_twice(tmp_path: Path) -> None:
    for length, first in (
        (70, []),
        (71, [(4, "The title of this chapter has 71 characters; after 70 it is cut off.")]),
    ):
        text = episode("20 s", "20 s", "20 s").replace("title: A", f"title: {'x' * length}")
        text = text.replace("title: C", "title: B")
        told = [(one.where.line, one.message) for one in chapter_problems(timed.plan(tmp_path / str(length), text))]
        again = max(place for place, line in enumerate(text.splitlines(), 1) if line == "  - title: B")
        assert told == [*first, (again, "Two chapters in a row are called “B”.")]


LATE = captions((5, WOOL), (80, TAIL), (200, BATH))
"""A video with long silences: nothing starts where it was planned, and it ends at 221 s."""


def test_once_there_are_captions_chapters_start_where_they_do(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, LATE)
    found = [(one.title, one.start / 1000, one.end / 1000) for one in chapters_of(plan, 1)]
    assert found == [("A", 0, 80), ("B", 80, 200), ("C", 200, 221)]
    # The timeline keeps its own clock: 42 words of half a second each.
    assert [one.start / 1000 for one in cut_chapters(plan, 1)] == [0, 21, 42]
    assert not on_one_clock(plan, 1)


def test_captions_of_another_video_move_no_chapter(tmp_path: Path) -> None:
    weather = "the weather is fine today and my dog sleeps under that table while it rains outside " * 8
    plan = plan_of(tmp_path, captions((0, weather)))
    assert [one.start / 1000 for one in chapters_of(plan, 1)] == [0, 21, 42]
    assert not on_one_clock(plan, 1)


def test_chapters_that_are_not_found_in_the_video_are_named(tmp_path: Path) -> None:
    plan = plan_of(tmp_path, captions((5, WOOL), (80, BATH)))
    assert [one.title for one in chapters_of(plan, 1)] == ["A", "C"]
    (problem,) = chapter_problems(plan)
    assert (problem.message, problem.hint) == (
        "Episode 1 has 2 of the 3 chapters that a list must have.",
        "Not found in its captions: 1.2.",
    )


@pytest.mark.parametrize(
    ("starts", "alike"),
    [
        ((0, 21, 42), True),
        ((3, 26, 50), True),
        ((0, 33, 54), False),
        ((0, 21, 60), False),
        ((10, 31, 52), True),
        ((10, 31, 53), False),
        ((0, 21, 53), False),
    ],
)
def test_the_clocks_are_one_where_all_starts_are_near(
    tmp_path: Path, starts: tuple[int, int, int], alike: bool
) -> None:
    video = captions(*zip(starts, (WOOL, TAIL, BATH), strict=True))
    assert on_one_clock(plan_of(tmp_path, video), 1) is alike
