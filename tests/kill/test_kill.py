"""A few runs ended at moments of chance, and some for which the disk is full; many more by ``python -m tests.kill``."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.kill.trial import judged

OLD = {"course.yaml": b"a", "out": b"folder", "out/x.html": b"1", "out/y.html": b"1"}
NEW = {**OLD, "agreed.yaml": b"all of it", "out/x.html": b"2", "out/y.html": b"2"}


def test_runs_that_are_killed_or_refused_leave_all_old_or_all_new(root: Path) -> None:
    words = [sys.executable, "-m", "tests.kill", "--count", "7", "--seed", "7", "--disk", "1"]
    done = subprocess.run(words, cwd=root, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    counts = re.search(r"7 runs, (\d+) killed, 0 wrong", done.stdout)
    assert counts, done.stdout
    assert int(counts[1]) >= 4
    assert re.search(r"^1\d refusals of the disk, 0 wrong$", done.stdout, re.MULTILINE)


@pytest.mark.parametrize(
    ("changed", "wrong"),
    [
        ({}, ""),
        ({"course.yaml": b"b"}, "course.yaml"),
        ({"agreed.yaml": b"all of"}, "agreed.yaml"),
        ({"out/x.html": b"2"}, "the output"),
        ({".out.lessonplan-old/x.html": b"1"}, ""),
        ({"notes.md": b"stray"}, "notes.md"),
    ],
)
def test_what_is_neither_old_nor_new_is_found(changed: dict[str, bytes], wrong: str) -> None:
    found, _ = judged({**OLD, **changed}, OLD, NEW)
    assert found.startswith(wrong)
    assert bool(found) == bool(wrong)


def test_an_output_that_is_gone_must_wait_beside() -> None:
    gone = {"course.yaml": b"a"}
    waits = {f".out.lessonplan-old{name[3:]}": data for name, data in OLD.items() if name.startswith("out")}
    assert judged({**gone, **waits}, OLD, NEW)[0] == ""
    assert judged(gone, OLD, NEW)[0] != ""
    waits[".out.lessonplan-old/x.html"] = b""
    assert judged({**gone, **waits}, OLD, NEW)[0] != ""
