"""Take logs taken in by the command: kept once, compared, learnt from, and used by the next plan."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.filmed.kepttakes import KEPT
from lessonplan.planning.filmed.taking import take_in
from tests.command import run
from tests.small_course import COURSE, write_course

LOG = """\
id,device,day,shot,take,start,stop,verdict,slip,note
a-1,a,2027-03-06,1.1.1,1,09:50:00,09:51:10,again,,
a-2,a,2027-03-06,1.1.1,2,09:53:00,09:54:00,good,yes,lovely
"""


def test_a_log_is_kept_and_taking_it_in_twice_changes_nothing(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    log = tmp_path / "log.csv"
    log.write_text(LOG, encoding="utf-8")
    _, first = take_in(course, [log])
    kept = (course / KEPT).read_bytes()
    _, again = take_in(course, [log])
    assert first is not None
    assert again is not None
    assert (course / KEPT).read_bytes() == kept
    assert first.takes == again.takes
    assert [row.takes_real for row in again.compared.shots] == [2]


def test_the_command_prints_the_good_take_and_the_slip(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    (tmp_path / "log.csv").write_text(LOG + "a-3,a,2027-03-06,9.9.9,1,10:00:00,10:01:00,,,\n", encoding="utf-8")
    words = ("takes", course, tmp_path / "log.csv")
    done = run(*words)
    assert "take 2 at 09:53:00" in done.stdout
    assert "1.1.1, take 2, 2027-03-06 09:53:00" in done.stdout
    assert "log.csv:4:" in done.stderr
    data = json.loads(run(*words, "--json").stdout)
    assert data["shots"][0]["takes"] == 2
    assert data["learnt"]["speech"]["sure"] in ("none", "few")


def test_the_command_says_which_timecode_is_none_at_the_frame_rate(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    cells = ("timecode", "09:50:00:25", "09:53:00:24")
    lines = [f"{line},{cell}" for line, cell in zip(LOG.splitlines(), cells, strict=True)]
    (tmp_path / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    told = run("takes", course, tmp_path / "log.csv").stderr
    assert "log.csv:2:1: note timecode: “09:50:00:25” has frame 25; 25 frames a second go from 00 to 24." in told
    assert told.count("timecode:") == 1


def test_learnt_paces_are_written_only_when_asked_and_then_used(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    (tmp_path / "log.csv").write_text(LOG, encoding="utf-8")
    take_in(course, [tmp_path / "log.csv"])
    assert not (course / "learnt.yaml").exists()
    _, taken = take_in(course, [], write_learnt=True)
    assert taken is not None
    (course / "course.yaml").write_text(COURSE + "learnt: learnt.yaml\n", encoding="utf-8")
    result = lessonplan.load(course)
    assert result.worked is not None, result.problems
    learnt = taken.learnt.find("set_up")
    assert learnt is not None
    assert learnt.n == 1
    assert result.worked.course.course.pace.set_up == learnt.value != 45.0


def test_a_pace_that_was_learnt_alone_leaves_the_takes_of_shots(tmp_path: Path) -> None:
    files = {"course.yaml": COURSE + "learnt: learnt.yaml\n", "learnt.yaml": "speech: {value: 120, n: 9}\n"}
    course, plain = (
        lessonplan.load(write_course(tmp_path / name, more)).worked for name, more in (("a", files), ("b", {}))
    )
    assert course is not None
    assert plain is not None
    assert course.course.course.pace.speech == 120 != plain.course.course.pace.speech
    assert [one.shot.takes for one in course.course.shots()] == [one.shot.takes for one in plain.course.shots()] != [0]


def test_what_the_course_says_itself_goes_before_what_was_learnt(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c", {"course.yaml": COURSE + "learnt: learnt.yaml\npace: {reset: 3 min}\n"})
    (tmp_path / "log.csv").write_text(LOG, encoding="utf-8")
    take_in(course, [tmp_path / "log.csv"], write_learnt=True)
    result = lessonplan.load(course)
    assert result.worked is not None
    assert result.worked.course.course.pace.reset == 3.0


def test_a_learnt_file_that_is_not_there_is_a_problem_with_its_place(tmp_path: Path) -> None:
    course = write_course(tmp_path, {"course.yaml": COURSE + "learnt: elsewhere.yaml\n"})
    (problem,) = lessonplan.load(course).problems
    assert (problem.where.file, problem.where.line, problem.code) == ("course.yaml", 8, "no-learnt")


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("/etc/passwd", "outside"),
        ("../secret.yaml", "outside"),
        ("link.yaml", "outside"),
        ("pipe.yaml", "not-a-file"),
        ("episodes", "not-a-file"),
        ("film.yaml", "too-big"),
        ("n" * 5000, "not-a-file"),
        ('"a\\0b"', "not-a-file"),
        ("course.yaml/x", "no-learnt"),
    ],
)
def test_learnt_paces_are_a_plain_file_in_the_course(tmp_path: Path, name: str, code: str) -> None:
    (tmp_path / "secret.yaml").write_text("secret: yes", encoding="utf-8")
    course = write_course(tmp_path / "c", {"course.yaml": COURSE + f"learnt: {name}\n"})
    (course / "link.yaml").symlink_to(tmp_path / "secret.yaml")
    os.mkfifo(course / "pipe.yaml")
    with (course / "film.yaml").open("wb") as film:
        film.truncate(3 * 2**30)  # sparse: takes no place on the disk
    (problem,) = lessonplan.load(course).problems
    assert (problem.where.file, problem.where.line, problem.code) == ("course.yaml", 8, code)
    assert "secret: yes" not in str(problem)
    assert "root" not in str(problem)
