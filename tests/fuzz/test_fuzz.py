"""A fixed lot of courses, right and damaged, through every command, in a process with limits of time and memory."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz.bases import bases
from tests.fuzz.trial import Fault, tried


def test_a_fixed_lot_of_cases_finds_nothing(root: Path) -> None:
    words = [sys.executable, "-m", "tests.fuzz", "--count", "400", "--seed", "20261126"]
    done = subprocess.run(words, cwd=root, capture_output=True, text=True, check=False, timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr[-3000:]
    assert done.stdout.splitlines()[-1].endswith("faults: none")


def planted(monkeypatch: pytest.MonkeyPatch, what: object) -> list[Fault]:
    monkeypatch.setattr("lessonplan.planning.worked.read_folder", what)
    return tried(bases()[0], ["check"])


def test_a_crash_a_hang_and_a_changed_file_would_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    assert tried(bases()[0], ["check"]) == []

    def crashes(folder: Path) -> None:
        raise KeyError(folder)

    assert [one.sort for one in planted(monkeypatch, crashes)] == ["crash KeyError worked.py:load"]

    def hangs(folder: Path) -> None:
        while True:
            pass

    (found,) = planted(monkeypatch, hangs)
    assert found.sort.startswith("too long")

    def writes(folder: Path) -> None:
        (folder / "course.yaml").write_text("mine no more")
        raise SystemExit(0)

    assert [one.sort for one in planted(monkeypatch, writes)] == ["changed"]
