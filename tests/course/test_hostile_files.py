"""Pipes, huge files, many files, links out and in circles, and endless nesting: an answer at once, and no waiting."""

from __future__ import annotations

import os
import resource
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lessonplan.cli import app
from tests.pace import allowed
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

Make = Callable[[Path], object]
BUILD = ["build", "C", "--out", "C/out"]
CHECK = ["check", "C"]
READING = {
    "course.yaml": CHECK,
    "pattern.yaml": CHECK,
    "episodes/02.yaml": CHECK,
    "errata.yaml": CHECK,
    "agreed.yaml": CHECK,
    "proofed.yaml": CHECK,
    "published/1.yaml": CHECK,
    "captions/1.vtt": CHECK,
    "templates/handout.html": BUILD,
    "log.csv": ["takes", "C", "C/log.csv"],
    "said.vtt": ["proof", "C", "1", "C/said.vtt"],
    "print.txt": ["count", "--file", "C/print.txt"],
    "script.txt": ["begin", "C/new", "--yes", "--script", "C/script.txt"],
}


def answer(folder: Path, make: Make, words: list[str]) -> str:
    """Make the trouble in a course, and give what the command says within 2 s of processor time and 300 MB more."""
    course = write_course(folder / "c")
    make(course)
    start, held = time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    done = CliRunner().invoke(app, [word.replace("C", str(course), 1) if word[0] == "C" else word for word in words])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    assert time.process_time() - start < allowed(2)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - held < 300_000
    return done.stdout + done.stderr


def fresh(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.unlink(missing_ok=True)
    return path


def sparse(name: str, size: int) -> Make:
    def make(course: Path) -> None:
        with fresh(course / name).open("wb") as file:
            file.truncate(size)

    return make


@pytest.mark.parametrize("name", READING)
def test_a_pipe_is_not_waited_for(tmp_path: Path, name: str) -> None:
    assert "is not a plain file" in answer(tmp_path, lambda course: os.mkfifo(fresh(course / name)), READING[name])


@pytest.mark.parametrize("name", sorted({*READING} - {"templates/handout.html"}))
def test_a_file_of_100_mb_is_refused_by_its_size(tmp_path: Path, name: str) -> None:
    assert "has 104.9 MB; it may have" in answer(tmp_path, sparse(name, 100 << 20), READING[name])


def test_what_lies_where_the_papers_go_is_not_read(tmp_path: Path) -> None:
    told = answer(tmp_path / "a", sparse("out/film.mp4", 3 << 30), BUILD)
    assert "holds film.mp4, which was not written by lessonplan" in told
    assert "is not a folder" in answer(tmp_path / "b", lambda course: os.mkfifo(course / "out"), BUILD)


@pytest.mark.parametrize(
    ("where", "ending", "told"),
    [
        ("", ".jpg", "all clear"),
        ("episodes", ".yaml", "There are 10001 episode files."),
        ("captions", ".vtt", "all clear"),
        ("published", ".yaml", "This file is empty."),
    ],
)
def test_ten_thousand_files(tmp_path: Path, where: str, ending: str, told: str) -> None:
    def make(course: Path) -> None:
        (course / where).mkdir(exist_ok=True)
        for number in range(10_000):
            (course / where / f"x{number}{ending}").touch()

    assert told in answer(tmp_path, make, CHECK)


@pytest.mark.parametrize("name", ["course.yaml", "episodes/02.yaml", "errata.yaml", "published/1.yaml"])
def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path, name: str) -> None:
    told = answer(tmp_path, lambda course: fresh(course / name).symlink_to("/etc/passwd"), CHECK)
    assert f"{name} leads out of the course's folder, so it is not read. Put a copy of it" in told
    assert "root" not in told


def test_a_folder_of_templates_elsewhere_is_not_listed(tmp_path: Path) -> None:
    told = answer(tmp_path, lambda course: (course / "templates").symlink_to("/etc"), BUILD)
    assert "This folder leads out of the course's folder" in told
    assert "passwd" not in told


@pytest.mark.parametrize("name", ["course.yaml", "episodes/02.yaml"])
def test_a_link_in_a_circle_is_a_file_that_is_missing(tmp_path: Path, name: str) -> None:
    told = answer(tmp_path, lambda course: fresh(course / name).symlink_to(Path(name).name), CHECK)
    assert f"The file {name} is missing." in told
    assert "call it" not in told


BOMB = "a: &a [x,x,x]\n" + "".join(f"k{n}: &k{n} [{','.join(['*a'] * 9)}]\n" for n in range(9))


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("course.yaml", BOMB, "must stand in quotes"),
        ("course.yaml", "title: " + "[" * 100_000, "60,000 at most"),
        ("course.yaml", "title: " + "- " * 100_000, "cannot be read as YAML"),
        ("course.yaml", "".join(" " * n + "a:\n" for n in range(1300)), "nest"),
        ("pattern.yaml", PATTERN.replace("cast_on: 40", "cast_on: " + "9" * 200_000), "200,000 signs"),
        ("pattern.yaml", PATTERN.replace("cast_on: 40", "cast_on: " + "9" * 9_999), "is too long for a number"),
        ("pattern.yaml", PATTERN.replace('"Knit"', '"K' + "9" * 9_000 + '"'), "is not read"),
        ("course.yaml", COURSE.replace("title: Ring cowl", f'title: "{"[" * 100_000}"'), "60,000 at most"),
        ("episodes/01.yaml", EPISODE.replace("All of it", '"' + "](" * 4_900 + '"'), "all clear"),
    ],
)
def test_nothing_is_nested_or_counted_without_end(tmp_path: Path, name: str, text: str, told: str) -> None:
    assert told in answer(tmp_path, lambda course: (course / name).write_text(text), CHECK)


@pytest.mark.parametrize("line", ["K" + "9" * 100_000, "(" * 100_000, "*" * 100_000])
def test_a_line_without_end_is_not_read(tmp_path: Path, line: str) -> None:
    told = answer(tmp_path, lambda _: None, ["count", line, "--on", "40"])
    assert "longer than 4000 characters is not read" in told
