"""The commands as a person runs them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from lessonplan.cli import main
from lessonplan.usage import HOMES
from tests.command import run
from tests.small_course import COURSE, EPISODE, PATTERN, write_course


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys, lessonplan.cli\n"
        "from typer.testing import CliRunner\n"
        "assert CliRunner().invoke(lessonplan.cli.app, ['--help']).exit_code == 0\n"
        "heavy = {'pydantic', 'jinja2', 'numpy', 'highspy', 'markdown_it', 'yaml'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("command", ["times", "errata", "facts"])
def test_tables_that_choose_nothing_do_not_load_the_solver(tmp_path: Path, command: str) -> None:
    course = write_course(tmp_path)
    code = (
        "import sys, lessonplan.cli\n"
        "from typer.testing import CliRunner\n"
        f"assert CliRunner().invoke(lessonplan.cli.app, [{command!r}, {str(course)!r}]).exit_code == 0\n"
        "heavy = {'numpy', 'highspy', 'jinja2'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_sound_course_is_all_clear(tmp_path: Path) -> None:
    done = run("check", write_course(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
    assert len(done.stdout.splitlines()) == 1


def test_what_is_said_of_the_edit_is_said_on_check_and_build(tmp_path: Path) -> None:
    more = "".join(f"  - title: {name}\n    chapter: no\n    shots: [{{view: face, hold: 20 s}}]\n" for name in "BCD")
    course = write_course(tmp_path / "c", {"episodes/01.yaml": EPISODE + more})
    said = "episodes/01.yaml:4:3: note chapters: Episode 1 has 1 of the 3 chapters that a list must have."
    for done in (run("check", course), run("build", course, "--out", tmp_path / "out")):
        assert (done.returncode, done.stderr.startswith(said)) == (0, True), done.stderr


def test_problems_go_to_stderr_with_file_line_and_column(tmp_path: Path) -> None:
    done = run("check", write_course(tmp_path, {"course.yaml": COURSE.replace("host:", "hots:")}))
    assert done.returncode == 1
    # The key that lacks is the one that is misspelt: it is told once.
    assert done.stderr.startswith("course.yaml:2:1: error unknown-key: “hots” is not a key that is known here.")
    assert len(done.stderr.splitlines()) == 1


def test_problems_as_data(tmp_path: Path) -> None:
    done = run(
        "check",
        write_course(tmp_path, {"episodes/01.yaml": EPISODE.replace("edge.cast_on", "edge.cast_off")}),
        "--json",
    )
    (problem,) = json.loads(done.stdout)["problems"]
    assert (done.returncode, problem["code"], problem["line"], problem["column"]) == (1, "unknown-fact", 12, 28)
    assert "edge.cast_on" in problem["hint"]


def test_facts_are_listed_and_looked_for(tmp_path: Path) -> None:
    course = write_course(tmp_path)
    every = json.loads(run("facts", course, "--json").stdout)["facts"]
    some = json.loads(run("facts", course, "--json", "--like", "cast on").stdout)["facts"]
    assert [one["name"] for one in some] == ["edge.cast_on", "body.cast_on"]
    assert some[0]["values"] == [40]
    assert some[0]["used_in"] == ["episodes/01.yaml:12"]
    assert {one["name"] for one in some} < {one["name"] for one in every}
    done = run("facts", course, "--like", "edge.cast")
    assert (done.returncode, done.stdout.split()[-3:]) == (0, ["40", "sts", "episodes/01.yaml:12"])


def test_a_line_that_does_not_fit_names_its_place(tmp_path: Path) -> None:
    done = run("check", write_course(tmp_path, {"pattern.yaml": PATTERN.replace("*K1, p1;", "*K1, p2;")}))
    assert done.returncode == 1
    assert done.stderr.startswith("pattern.yaml:12:")


def test_a_folder_of_episodes_that_cannot_be_read_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    course = write_course(tmp_path)

    def refusing(real: Callable[..., Any]) -> Callable[..., Any]:
        # Root may read any folder, so the refusal is made here.
        def listed(path: Any = ".") -> Any:
            if str(path).endswith("episodes"):
                raise PermissionError(13, "Permission denied", str(path))
            return real(path)

        return listed

    monkeypatch.setattr(os, "listdir", refusing(os.listdir))
    monkeypatch.setattr(os, "scandir", refusing(os.scandir))
    monkeypatch.setattr(sys, "argv", ["lessonplan", "check", str(course)])
    with pytest.raises(SystemExit) as stop:
        main()
    assert stop.value.code == 3
    said = capsys.readouterr().err
    assert said.splitlines() == [f"{course / 'episodes'}: Permission denied."]


def test_build_writes_and_says_where(tmp_path: Path) -> None:
    done = run("build", write_course(tmp_path / "c"), "--out", tmp_path / "pages")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "pages" / "handout.html").exists()


def test_build_writes_nothing_when_there_are_errors(tmp_path: Path) -> None:
    done = run("build", write_course(tmp_path, {"course.yaml": COURSE.replace("host: Ada Example\n", "")}))
    assert done.returncode == 1
    assert "Nothing was written" in done.stderr
    assert not (tmp_path / "out").exists()


def test_an_output_folder_of_somebody_else_is_refused(tmp_path: Path) -> None:
    course = write_course(tmp_path)
    (course / "out").mkdir()
    (course / "out" / "diary.txt").write_text("mine")
    done = run("build", course)
    assert (done.returncode, (course / "out" / "diary.txt").read_text()) == (3, "mine")
    assert "diary.txt" in done.stderr


def test_an_output_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "there").write_text("mine")
    done = run("build", write_course(tmp_path / "c"), "--out", tmp_path / "there")
    assert (done.returncode, (tmp_path / "there").read_text()) == (3, "mine")


@pytest.mark.parametrize(
    "words", [["frobnicate"], ["check"], ["build", "x", "--out"], ["samples", "x", "--time-limit", "0"]]
)
def test_wrong_use_is_exit_status_2(words: list[str]) -> None:
    assert run(*words).returncode == 2


def test_a_folder_that_is_no_course(tmp_path: Path) -> None:
    done = run("check", tmp_path)
    assert done.returncode == 1
    assert "not a course" in done.stderr


def test_samples_and_times_of_a_small_course(tmp_path: Path) -> None:
    course = write_course(tmp_path)
    data = json.loads(run("samples", course, "--json").stdout)
    assert data["optimal"] is True
    # Two takes begin with a ball of yarn: what the first casts on and knits (2 x 40 stitches at 0.02 min to take back)
    # is undone in 1.6 min between them, for which the camera may wait.
    assert [piece["piece"] for piece in data["pieces"]] == ["A"]
    times = json.loads(run("times", course, "--json").stdout)
    assert times["segments"][0]["words"] == 5
    assert "Piece" in run("samples", course).stdout
    assert "Episode 1:" in run("times", course).stdout


def test_no_errata_yet(tmp_path: Path) -> None:
    assert run("errata", write_course(tmp_path)).stdout == "No errata.\n"


def test_help_says_of_each_command_what_its_own_help_begins_with() -> None:
    for name, (home, summary) in HOMES.items():
        doc = getattr(import_module(f"lessonplan.{home}"), name).__doc__
        assert doc.splitlines()[0] == summary, name
        assert f"Example: lessonplan {name} " in doc, name


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("2027-02-30", "There is no “2027-02-30”: February 2027 has 28 days."),
        ("30.1.2027", "“30.1.2027” should be written year first: 2027-01-30."),
        ("soon", "“soon” is not a date (2027-03-14)."),
    ],
)
@pytest.mark.parametrize("command", ["check", "build", "errata", "agree"])
def test_a_day_that_is_none_is_told_in_a_sentence(tmp_path: Path, command: str, typed: str, told: str) -> None:
    done = run(command, str(write_course(tmp_path)), "--today", typed)
    assert done.returncode == 2
    assert told in " ".join(done.stderr.split())
    assert "%Y" not in done.stderr
