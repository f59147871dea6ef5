"""What the commands say of odd courses and on odd terminals: sentences, no commands to the terminal, right status."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import lessonplan.course.read
from lessonplan.cli import main
from tests import command
from tests.small_course import COURSE, EPISODE, write_course

COMMAND = [sys.executable, "-m", "lessonplan"]
OBEYED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
ERRATA = """\
errata:
  - found: 2027-04-01
    by: "A \\e[31mviewer"
    where: 1.1.1
    said: "4\\x9b2J0\\nfake.yaml:1:1: error made-up: x"
    right: "41 \\u202e"
    kind: number
    remedy: pinned note
    state: open
"""


def run(*words: str | Path | bytes, shell: str = "", **env: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command; with ``shell`` through a shell that appends it."""
    asked: list[str | bytes | Path] = [*COMMAND, *words]
    if shell:
        asked = ["/bin/sh", "-c", f'"$@" {shell}', "sh", *asked]
    return subprocess.run(asked, capture_output=True, check=False, env={**os.environ, **env})


@pytest.mark.parametrize(
    "words", [["check"], ["check", "--json"], ["times"], ["errata"], ["errata", "--json"], ["samples"], ["orders"]]
)
def test_a_course_gives_a_terminal_no_commands(tmp_path: Path, words: list[str]) -> None:
    title = 'title: "\\e[2JThe \\x9b31medge\\nfake.yaml:1:1: error made-up: \\u202ex"'
    course = write_course(
        tmp_path / "c", {"episodes/01.yaml": EPISODE.replace("title: The edge", title), "errata.yaml": ERRATA}
    )
    if words[0] == "check":
        bad = '\nrecipient: "\\e[2Jhidden\\nfake.yaml:1:1: error made-up: x\\x9b"\n'
        (course / "course.yaml").write_text(COURSE + bad, encoding="utf-8")
    done = command.run(words[0], course, *words[1:])
    for text in (done.stdout, done.stderr):
        assert not OBEYED.search(text), text
        assert not any(line.startswith("fake.yaml") for line in text.splitlines())
    if "--json" in words:
        assert "\x9b" in json.dumps(json.loads(done.stdout), ensure_ascii=False), "the data are as they were written"


def test_a_file_name_gives_a_terminal_no_commands(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    (course / "out").mkdir()
    (course / "out" / "\x1b[2J\nfake.yaml:1:1: error").write_text("mine")
    done = command.run("build", course)
    assert done.returncode == 3
    assert not OBEYED.search(done.stderr)
    assert len(done.stderr.splitlines()) == 1


def test_a_console_without_the_letters_gets_what_it_can_show(tmp_path: Path) -> None:
    course = write_course(tmp_path, {"episodes/01.yaml": EPISODE.replace("The edge", "Łódź 🧶")})
    for encoding, shown in (("cp1252", b"\\u0141\xf3d\\u017a"), ("ascii", b"\\u0141\\xf3d\\u017a")):
        done = run("times", course, PYTHONIOENCODING=encoding)
        assert done.returncode == 0, done.stderr
        assert shown in done.stdout
        data = json.loads(run("times", course, "--json", PYTHONIOENCODING=encoding).stdout.decode(encoding))
        assert data["segments"][0]["title"] == "Łódź 🧶"


@pytest.mark.parametrize("words", [["check"], ["check", "--json"]])
def test_names_that_are_no_text_can_be_told_of(tmp_path: Path, words: list[str]) -> None:
    course = write_course(tmp_path / "c")
    odd = os.fsencode(course / "episodes") + b"/02-\xff.yaml"
    Path(os.fsdecode(odd)).write_text("no episode", encoding="utf-8")
    done = run(words[0], course, *words[1:], PYTHONIOENCODING="utf-8:strict")
    assert done.returncode == 1
    assert b"\\udcff.yaml" in done.stderr + done.stdout
    if "--json" in words:
        (problem,) = json.loads(done.stdout)["problems"]
        assert problem["file"] == "episodes/02-\udcff.yaml"


@pytest.mark.parametrize("closed", ["2>&-", ">&-", ">&- 2>&-", "<&- >&- 2>&-"])
def test_closed_streams_change_no_status(tmp_path: Path, closed: str) -> None:
    assert run("check", write_course(tmp_path / "c"), shell=closed).returncode == 0
    assert run("build", tmp_path / "c", "--out", tmp_path / "out", shell=closed).returncode == 0
    assert (tmp_path / "out" / "index.html").read_text(encoding="utf-8").endswith("</html>\n")
    assert run("check", tmp_path, shell=closed).returncode == 1


def test_a_reader_that_goes_away_changes_no_status(tmp_path: Path) -> None:
    write_course(tmp_path / "c")
    for name, course, status in (("check", "c", 0), ("samples", "c", 0), ("check", "", 1)):
        words = [*COMMAND, name, str(tmp_path / course)]
        with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as done:
            assert done.stdout is not None
            assert done.stderr is not None
            done.stdout.close()
            done.stderr.close()
        assert done.returncode == status, words


def test_an_output_that_is_full_is_one_sentence_and_status_3(tmp_path: Path) -> None:
    done = run("check", write_course(tmp_path), shell=">/dev/full")
    assert (done.returncode, done.stderr) == (3, b"No space left on device.\n")


def test_a_fault_of_the_program_is_one_sentence_status_3_and_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("\x1b[2J of the course")

    monkeypatch.setattr(lessonplan.course.read, "_not_a_course", broken)
    monkeypatch.setattr(sys, "argv", ["lessonplan", "check", str(tmp_path)])
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(SystemExit) as end:
        main()
    said = capsys.readouterr()
    assert (end.value.code, said.out) == (3, "")
    (kept,) = tmp_path.iterdir()
    assert said.err.count("\n") == 1
    assert "ZeroDivisionError" in said.err
    assert str(kept) in said.err
    assert "in broken" in kept.read_text(encoding="utf-8")
