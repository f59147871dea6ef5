"""What people expect of any command: help, colour, widths, progress and completion, at a terminal and in a pipe."""

from __future__ import annotations

import os
import pty
import re
import resource
import select
import signal
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from lessonplan.documents.tables import table
from lessonplan.terminal import Ticker
from lessonplan.usage import COMMANDS, HOMES
from tests.command import run
from tests.small_course import COURSE, write_course
from tests.waiting import until

ME = [sys.executable, "-m", "lessonplan"]


def at_terminal(*words: str, wide: int = 80, **settings: str) -> str:
    """What a person at a terminal so wide sees of both streams."""
    ours, theirs = pty.openpty()
    env = {name: value for name, value in os.environ.items() if name != "NO_COLOR"}
    env |= {"TERM": "xterm-256color", "COLUMNS": str(wide), **settings}
    with subprocess.Popen([*ME, *words], stdin=theirs, stdout=theirs, stderr=theirs, env=env) as process:
        os.close(theirs)
        said = b""
        while process.poll() is None or select.select([ours], [], [], 0)[0]:
            try:
                if select.select([ours], [], [], 0.1)[0]:
                    said += os.read(ours, 65536)
            except OSError:  # the other end is closed
                break
    os.close(ours)
    return said.decode().replace("\r\n", "\n")


def piped(*words: str, **settings: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*ME, *words], capture_output=True, text=True, check=False, env={**os.environ, **settings})


def test_colour_is_for_terminals_and_never_with_no_color(tmp_path: Path) -> None:
    course = str(write_course(tmp_path, {"course.yaml": COURSE.replace("films: [1]", "films: [2]")}))
    coloured = at_terminal("check", course)
    assert "\x1b[31;1merror unknown-shot:\x1b[0m There is no episode" in coloured
    plain = re.sub(r"\x1b\[[0-9;]*[mK]|\r", "", coloured)
    assert "\x1b[3" not in at_terminal("check", course, NO_COLOR="1")
    assert "\x1b[3" not in at_terminal("check", course, TERM="dumb")
    in_pipe = run("check", course).stderr
    assert "\x1b" not in in_pipe
    assert in_pipe.splitlines()[0] in plain


def test_tables_fit_the_terminal_and_are_whole_in_a_pipe(tmp_path: Path) -> None:
    course = str(write_course(tmp_path))
    for wide in (60, 100):
        lines = at_terminal("facts", course, wide=wide).splitlines()
        table_of = [line for line in lines if not line.startswith("\r")]
        assert max(map(len, table_of)) <= wide, wide
    whole = run("facts", course).stdout
    assert max(map(len, whole.splitlines())) > 80
    assert {"stitches", "cast", "on", "edge"} <= {*re.findall(r"\w+", at_terminal("facts", course, wide=60))}


def test_a_table_is_broken_where_it_must_be(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [("1.1", "a title of several words in a row", "12"), ("1.2", "short", "3")]
    asked = ("No", "Title", "Takes"), rows, frozenset({2})
    monkeypatch.setattr("lessonplan.documents.tables.columns", lambda: 24)
    assert table(*asked) == (
        "No   Title         Takes\n"
        "---  ------------  -----\n"
        "1.1  a title of       12\n"
        "     several\n"
        "     words in a\n"
        "     row\n"
        "\n"
        "1.2  short             3"
    )
    monkeypatch.setattr("lessonplan.documents.tables.columns", lambda: 240)
    assert len(table(*asked).splitlines()) == 4


def test_progress_is_shown_after_a_second_and_only_at_a_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    now = [100.0]
    monkeypatch.setattr("lessonplan.terminal.time", SimpleNamespace(monotonic=lambda: now[-1]))
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    with Ticker("Counting sheep") as ticker:
        now.append(100.9)
        ticker.step("too early to be said")
        now.append(102.0)
        until(lambda: ticker.shown)
    said = capsys.readouterr().err
    assert "too early to be said: 2 s" in said
    assert said.endswith("\r\x1b[K")
    assert "too early to be said\r" not in said
    monkeypatch.setattr("sys.stderr.isatty", lambda: False, raising=False)
    with Ticker("Counting sheep") as ticker:
        now.append(200.0)
        ticker.step("late, and to nobody")
    assert capsys.readouterr().err == ""


def test_the_shell_completes_commands_options_and_names() -> None:
    code = "import sys; sys.argv = ['lessonplan']; from lessonplan.__main__ import main; main()"

    def offered(words: str) -> set[str]:
        count = str(len(words.split(" ")) - 1)
        env = {**os.environ, "_LESSONPLAN_COMPLETE": "complete_bash", "COMP_WORDS": words, "COMP_CWORD": count}
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, env=env)
        return set(done.stdout.split())

    assert offered("lessonplan ") >= set(HOMES)
    assert offered("lessonplan ch") == {"check"}
    assert offered("lessonplan build --s") == {"--savings"}
    assert offered("lessonplan keys film") == {"film_size", "filmed", "films"}
    assert offered("lessonplan schema pa") == {"pattern"}


def test_help_costs_less_than_six_bare_starts() -> None:
    def cost(*words: str) -> float:
        best = 1e9
        for _ in range(7):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run([sys.executable, *words], check=True, capture_output=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            best = min(best, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
        return best

    assert cost("-m", "lessonplan", "--help") < 6 * cost("-c", "pass")


def test_help_names_each_command_and_each_near_miss_is_answered() -> None:
    told = run("--help").stdout
    assert told == run("-h").stdout
    for group in COMMANDS.values():
        for name, (_, summary) in group.items():
            assert f"  {name} " in told
            assert summary in told
    assert "Example: lessonplan" in told
    options = {*re.findall(r"--[a-z-]+", told.partition("Options:")[2])}
    from typer.main import get_command

    from lessonplan.cli import app

    taken = {one for option in get_command(app).params for one in option.opts} | {"--help"}
    assert options - {"--made"} == taken
    miss = run("chekc", "x")
    assert (miss.returncode, miss.stderr.splitlines()[-1]) == (
        2,
        "Error: No such command 'chekc'. Did you mean 'check'?",
    )
    miss = run("build", "x", "--savngs")
    assert (miss.returncode, "--savings" in miss.stderr) == (2, True)


def written(path: Path, text: str) -> None:
    """Write a file in one step, as editors do: nobody finds half of it there."""
    path.with_name(".new").write_text(text, encoding="utf-8")
    path.with_name(".new").replace(path)


def test_watching_checks_at_each_change_and_ends_with_the_last_status(tmp_path: Path) -> None:
    course = write_course(tmp_path)
    with subprocess.Popen(
        [*ME, "check", str(course), "--watch"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, bufsize=1,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
        # Where the tests run behind a shell's back Ctrl-C is ignored, which the children would inherit.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    ) as process:  # fmt: skip
        assert process.stdout is not None

        def until_watching() -> list[str]:
            lines = []
            for line in process.stdout or ():
                if line.startswith("Watching"):
                    break
                lines.append(line)
            return lines

        try:
            assert "all clear" in until_watching()[0]
            written(course / "course.yaml", COURSE.replace("host:", "hots:"))
            assert "unknown-key" in "".join(until_watching())
            written(course / "errata.yaml", "errata: [{}]\n")
            assert "errata.yaml" in "".join(until_watching())
            process.send_signal(signal.SIGINT)
            assert process.wait(timeout=60) == 1
        finally:
            process.kill()


def test_the_windows_lines_of_the_readme_do_what_the_others_do(root: Path) -> None:
    text = (root / "README.md").read_text(encoding="utf-8")
    set_up = re.findall(r"```sh\n(.*?)\n```", text, re.DOTALL)[0]
    for step in set_up.split(" && "):
        there = step.replace("python3", "py").replace(" -q", "").replace(".venv/bin/", ".venv\\Scripts\\")
        assert f"`{there}`" in text, step


def test_files_and_terminals_of_windows_are_served(tmp_path: Path) -> None:
    """Lines that end as Windows ends them, a mark before the text, and a console of its old western code page."""
    course = write_course(tmp_path)
    for path in course.rglob("*.yaml"):
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    done = piped("check", str(course), PYTHONIOENCODING="cp1252", PYTHONUTF8="0")
    assert (done.returncode, done.stderr) == (0, "")
    (course / "course.yaml").write_bytes((course / "course.yaml").read_bytes().replace(b"host:", b"hots:"))
    raw = subprocess.run(
        [*ME, "check", str(course)], capture_output=True, check=False, env={**os.environ, "PYTHONIOENCODING": "cp1252"}
    )
    assert "“hots” is not a key that is known here" in raw.stderr.decode("cp1252")
