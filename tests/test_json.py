"""What the commands print with ``--json`` is what DEVELOPERS.md says, key by key."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from lessonplan.cli import app
from tests.small_course import COURSE, EPISODE, write_course

ROW = re.compile(r"^\| `([a-z][^`]*)` \| (also )?(.+) \|$", re.MULTILINE)
_BRACKETS = re.compile(r"\(.*?\)")
ENTRY = re.compile(r"`(\w+)`(?:: ([\w, ]+))?")
ERRATA = "errata:\n  - {found: 2027-04-01, by: Jo, where: shot 1.1.1, said: nine, right: ten, remedy: pick-up shot}\n"
MORE = (
    EPISODE
    + "      - {view: overhead, pieces: [{needs: body}]}\n      - {view: overhead, pieces: [{shows: edge or later}]}\n"
)


def documented(root: Path) -> dict[str, tuple[bool, dict[str, set[str]]]]:
    """Each command of the table: whether it only adds to the one before, and its keys with those below."""
    section = (root / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## JSON")[2].partition("\n## ")[0]
    return {
        command: (
            bool(also),
            {
                key: {*filter(None, re.split(r",\s*", below))}
                for key, below in ENTRY.findall(_BRACKETS.sub("", entries))
            },
        )
        for command, also, entries in ROW.findall(section)
    }


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    files = {"errata.yaml": ERRATA, "episodes/01.yaml": MORE, "course.yaml": COURSE.replace("17:00", "23:00")}
    return write_course(tmp_path_factory.mktemp("json"), files)


def printed(course: Path, command: str, tmp_path: Path) -> Any:
    """What a command of the table really prints; it is run on a copy of the course."""
    copy = tmp_path / "course"
    shutil.copytree(course, copy)
    captions = tmp_path / "one.vtt"
    words = "so we go on and talk about it all the time here"
    captions.write_text(
        "WEBVTT\n\n" + "".join(f"00:{n:02}:00.000 --> 00:{n:02}:50.000\n{words} {n}\n\n" for n in range(20))
    )
    pattern = tmp_path / "pattern.txt"
    pattern.write_text("Hat\n\nCast on 40 sts.\nRound 1: *K1, p1; rep from * to end. (40 sts)\n")
    name, _, more = command.partition(" ")
    words_of = {
        "count": ["count", "*k2, p2; rep from * to end", "--on", "42"],
        "count --file": ["count", "--file", str(pattern)],
        "keys": ["keys", "films"],
        "pace": ["pace", str(copy), str(captions)],
    }
    asked = words_of.get(command) or [name, str(copy), *more.split()]
    done = CliRunner().invoke(app, [*asked, "--json"])
    assert done.stdout, (command, done.stderr)
    return json.loads(done.stdout)


def below(value: Any) -> set[str]:
    """The keys of a mapping, or of all entries of a list."""
    if isinstance(value, dict):
        return set(value)
    return {key for one in value for key in one} if isinstance(value, list) and value else set()


def test_the_json_of_every_command_is_as_documented(root: Path, course: Path, tmp_path: Path) -> None:
    table, before = documented(root), dict[str, set[str]]()
    assert len(table) >= 16
    for number, (command, (also, keys)) in enumerate(table.items()):
        (tmp_path / str(number)).mkdir()
        data = printed(course, command, tmp_path / str(number))
        assert set(data) == {*keys, *(before if also else ())}, command
        for key, inside in keys.items():
            if inside and data[key]:
                assert below(data[key]) == inside, (command, key)
        before = keys if not also else before


def test_a_key_that_is_not_documented_is_found(root: Path) -> None:
    _, keys = documented(root)["check"]
    assert keys == {"problems": {"file", "line", "column", "severity", "code", "message", "hint"}}
    assert below([{"a": 1}, {"b": 2}]) == {"a", "b"}


@pytest.mark.parametrize(
    "command", ["check", "samples", "times", "facts", "orders", "errata", "pickups", "agree", "takes", "build"]
)
def test_where_errors_stand_in_the_way_programs_have_them_too(tmp_path: Path, command: str) -> None:
    broken = write_course(tmp_path / "broken", {"course.yaml": COURSE.replace("host:", "hots:")})
    for folder, code in ((broken, "unknown-key"), (tmp_path / "nowhere", "no-folder")):
        done = CliRunner().invoke(app, [command, str(folder), "--json"])
        assert done.exit_code == 1
        assert code in {one["code"] for one in json.loads(done.stdout)["problems"]}


def test_the_days_of_errata_are_told_as_they_are_typed(course: Path) -> None:
    (told,) = json.loads(CliRunner().invoke(app, ["errata", str(course), "--json"]).stdout)["errata"]
    assert (told["found"], told["mended_in"]) == ("2027-04-01", None)
