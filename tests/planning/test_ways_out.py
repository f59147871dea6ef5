"""What is late is said in one sentence, with the way out: a later day, another order of the shots."""

from __future__ import annotations

import re
from pathlib import Path

import lessonplan
from tests.small_course import COURSE, EPISODE, write_course

TURNS = "episode: 1\ntitle: To and fro\nsegments:\n" + "".join(
    f"  - title: Part {n}\n    shots:\n      - {{view: {view}, takes: 1, say: Here it is.}}\n"
    for n, view in enumerate(("face", "overhead", "face", "overhead"), 1)
)
SLOW = "pace: {set_up: 10 min, view_change: 20 min, tray_change: 0 min, reset: 0 min, swap: 0 min}\n"


def late(tmp_path: Path, files: dict[str, str], code: str) -> list[tuple[str, str]]:
    problems = lessonplan.plan(write_course(tmp_path, files)).problems
    return [(one.message, one.hint) for one in problems if one.code == code]


def test_a_day_that_runs_over_names_the_order_that_fits(tmp_path: Path) -> None:
    """Listed, three changes of 20 min follow ten of set-up; by view there is one: 9:30 and some, before 9:50."""
    files = {"course.yaml": COURSE.replace("17:00", "9:50") + SLOW, "episodes/01.yaml": TURNS}
    ((said, hint),) = late(tmp_path, files, "late-day")
    assert re.fullmatch(r"Day 1 is expected to wrap at 10:1\d, 2\d minutes after its wrap\.", said)
    assert hint == "With “order: by view” in course.yaml every day ends in time."
    files["course.yaml"] += "order: by view\n"
    assert late(tmp_path, files, "late-day") == []


def test_where_no_order_fits_the_nearest_is_named(tmp_path: Path) -> None:
    files = {"course.yaml": COURSE.replace("17:00", "9:05") + SLOW, "episodes/01.yaml": TURNS}
    ((_, hint),) = late(tmp_path, files, "late-day")
    assert re.fullmatch(
        r"“order: by view” is nearer, 2\d minutes late in all instead of 7\d; "
        r"“lessonplan orders COURSE” looks for a cheaper one\.",
        hint,
    )
    files["episodes/01.yaml"] = TURNS.replace("overhead", "face")
    ((_, hint),) = late(tmp_path, files, "late-day")
    assert hint.startswith("Film some shots on another day, or call earlier. ")


def test_several_late_pieces_are_one_sentence_with_the_way_out(tmp_path: Path) -> None:
    pieces = "      - {view: face, pieces: [{needs: finished, apart: yes}, {needs: body round 9, apart: yes}]}\n"
    knitter = "knitters: [{name: Bo, hours_per_week: 1, starts: 2027-03-04}]\n"
    files = {"course.yaml": COURSE + knitter, "episodes/01.yaml": EPISODE + pieces}
    ((said, hint),) = late(tmp_path, files, "late-piece")
    assert re.fullmatch(r"\d pieces are late: (\w by \d+ days?(, | and )?)+\.", said)
    assert "would be enough." in hint


def test_a_day_of_filming_before_anybody_begins_is_told_of_where_it_stands(tmp_path: Path) -> None:
    """A year too early, with somebody who begins in the right one."""
    knitter = "knitters: [{name: Bo, starts: 2027-01-04}, {name: Ida, starts: 2027-01-02}]\n"
    shots = EPISODE + "      - {view: face, pieces: [needs: finished]}\n"
    files = {"course.yaml": COURSE.replace("2027-03-06", "2026-03-06") + knitter, "episodes/01.yaml": shots}
    problems = lessonplan.plan(write_course(tmp_path, files)).problems
    (early,) = [one for one in problems if one.code == "early-day"]
    assert (early.where.file, early.where.line) == ("course.yaml", 4)
    assert early.message.startswith(
        "2026-03-06 comes before anybody begins to knit: the first, Ida, starts on 2027-01-02"
    )
    for right in (
        COURSE + knitter,
        COURSE.replace("2027", "2026"),
        files["course.yaml"].replace(", starts: 2027-01-04", ""),
    ):
        assert late(tmp_path, files | {"course.yaml": right}, "early-day") == []
