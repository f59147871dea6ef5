"""Errata of episodes that have other numbers now: told, and never put at the wrong episode."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.building import build, errata_feed
from lessonplan.publish.editions import publish
from lessonplan.publish.remarks import checked
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

TWO = EPISODE.replace("episode: 1", "episode: 2").replace("All of it", "The end")
FIRST = EPISODE.replace("All of it", "The beginning")
ONE = {"course.yaml": COURSE.replace("films: [1]", "films: [1, 2]"), "episodes/01.yaml": FIRST, "episodes/02.yaml": TWO}
NEW = EPISODE.replace("All of it", "Hello and welcome")
HEADS = {"course.yaml": COURSE.replace("films: [1]", "films: [1, 2, 3]") + "edition: 2\n", "episodes/01.yaml": NEW}
MOVED = {
    **HEADS,
    "episodes/02.yaml": FIRST.replace("episode: 1", "episode: 2"),
    "episodes/03.yaml": TWO.replace("episode: 2", "episode: 3"),
}
"""An episode is put in front, so that The beginning is 2 now and The end is 3."""


def keep(folder: Path, on: date) -> None:
    plan = lessonplan.plan(folder).plan
    assert plan is not None
    assert publish(folder, plan, on, {}) is not None


@pytest.fixture
def published(tmp_path: Path) -> Path:
    folder = write_course(tmp_path, ONE)
    keep(folder, date(2027, 5, 1))
    assert 'titles:\n  1: "The beginning"\n  2: "The end"' in (folder / "published/edition-1.yaml").read_text("utf-8")
    return folder


def told(folder: Path, where: str, files: dict[str, str], found: str = "2027-05-03") -> tuple[list[str], str]:
    """What is said of an erratum, and where the feed of the errata says that it is."""
    entry = f"errata:\n  - {{found: {found}, by: Tove, where: {where}, said: nine, right: ten, remedy: pinned note}}\n"
    result = lessonplan.plan(write_course(folder, {**files, "errata.yaml": entry}))
    assert result.plan is not None
    stands = r"(?:the video still has it|not mended yet); [^<]*"
    (heading,) = re.findall(rf"<title>(.*?): {stands}</title>", errata_feed(result.plan).decode("utf-8"))
    return [str(one) for one in result.problems if one.where.file == "errata.yaml"], heading


def test_an_episode_that_moved_takes_its_errata_along(published: Path) -> None:
    assert told(published, "episode 2 at 0:02", ONE) == ([], "Episode 2 at 0:02")
    problems, heading = told(published, "episode 2 at 0:02", MOVED)
    assert heading == "Episode 3 at 0:02"
    assert problems == [
        "errata.yaml:2:42: warning renumbered: Episode 2 of edition 1, “The end”, is episode 3 now: this is taken to "
        "stand there. Write “episode 3 of edition 2”, or “episode 2 of edition 2” if that one is meant."
    ]


@pytest.mark.parametrize(
    ("where", "heading"),
    [
        ("episode 3 of edition 2 at 0:02", "Episode 3 at 0:02"),
        ("episode 2 of edition 2 at 0:02", "Episode 2 at 0:02"),
        ("shot 2.1.1", "Episode 3, “The edge” (planned at 0:00)"),
        ("shot 1.1.1", "Episode 2, “The edge” (planned at 0:00)"),
    ],
)
def test_the_edition_may_be_named(published: Path, where: str, heading: str) -> None:
    problems, found = told(published, where, MOVED)
    assert found == heading
    assert bool(problems) == ("shot" in where), "who names the edition is asked nothing"


def test_what_was_found_in_a_later_edition_goes_by_its_numbers(published: Path) -> None:
    write_course(published, MOVED)
    keep(published, date(2027, 6, 1))
    assert told(published, "episode 2 at 0:02", MOVED, "2027-06-02") == ([], "Episode 2 at 0:02")
    assert told(published, "episode 2 at 0:02", MOVED, "2027-05-31")[1] == "Episode 3 at 0:02"


def test_an_episode_that_is_gone_keeps_its_errata(published: Path) -> None:
    gone = {**MOVED, "episodes/03.yaml": TWO.replace("episode: 2", "episode: 3").replace("The end", "Extra")}
    (published / "episodes/02.yaml").unlink()
    gone["episodes/02.yaml"] = FIRST.replace("episode: 1", "episode: 2")
    problems, heading = told(published, "episode 2 at 0:02", gone)
    assert heading == "The former “The end” at 0:02"
    assert ["“The end”, is not among the episodes any more." in one for one in problems] == [True]


def test_an_episode_zero_is_told_of(published: Path) -> None:
    problems, heading = told(published, "shot 0.1.1", ONE)
    assert heading == "Shot 0.1.1"
    assert "There is no episode 0." in problems[0]


def test_a_new_title_is_no_new_number(published: Path) -> None:
    other = {**ONE, "episodes/02.yaml": TWO.replace("The end", "The very end")}
    assert told(published, "episode 2 at 0:02", other) == ([], "Episode 2 at 0:02")


def test_a_time_behind_the_end_is_told(tmp_path: Path) -> None:
    entry = "errata:\n  - {found: 2027-05-03, by: Tove, where: episode 1 at 3:20, said: nine, right: ten}\n"
    folder = write_course(tmp_path, {"errata.yaml": entry, "pattern.yaml": PATTERN})
    problems = [str(one) for one in build(folder).problems if one.where.file == "errata.yaml"]
    assert len(problems) == 1
    assert problems[0].startswith("errata.yaml:2:42: warning past-the-end: Episode 1 is planned to end at 0:")
    assert problems[0].endswith(", and this stands at 3:20.")


def test_a_time_in_a_later_shot_is_in_the_episode(tmp_path: Path) -> None:
    shots = "".join(f"      - {{view: face, hold: {minutes} min, takes: 1}}\n" for minutes in (1, 2))
    episode = f"episode: 1\ntitle: A\nsegments:\n  - title: B\n    shots:\n{shots}"
    for at, told in (("2:50", False), ("3:00", False), ("3:01", True)):
        entry = f"errata:\n  - {{found: 2027-05-03, by: Tove, where: episode 1 at {at}, said: nine, right: ten}}\n"
        result = checked(write_course(tmp_path, {"episodes/01.yaml": episode, "errata.yaml": entry}))
        assert [one.message for one in result.problems if one.code == "past-the-end"] == (
            ["Episode 1 is planned to end at 3:00, and this stands at 3:01."] if told else []
        )
