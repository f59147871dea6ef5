"""Counting lines from the command line, as a tech editor would."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest


def run(*words: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "lessonplan", "count", *words]
    return subprocess.run(command, capture_output=True, text=True, input=stdin, check=False, encoding="utf-8")


def data(*words: str, stdin: str = "") -> Any:
    return json.loads(run(*words, "--json", stdin=stdin).stdout)


def test_one_line() -> None:
    found = data("K1, ssk, k to last 3 sts, k2tog, k1", "--on", "64")
    assert found["lines"] == [
        {
            "text": "K1, ssk, k to last 3 sts, k2tog, k1",
            "stitches": [62],
            "sure": True,
            "rounds": 1,
            "techniques": {"k": 60, "k2tog": 1, "ssk": 1},
        }
    ]
    assert found["problems"] == []


def test_several_sizes_through_on() -> None:
    found = data("[K6, k2tog] to end", "Knit", "--on", "48 (56, 64)")
    assert [line["stitches"] for line in found["lines"]] == [[42, 49, 56], [42, 49, 56]]
    assert found["lines"][0]["techniques"]["k2tog"] == [6, 7, 8]


def test_a_line_left_over_is_a_problem_and_exit_status_1() -> None:
    done = run("*K2, p2; rep from * to end", "--on", "46", "--json")
    (problem,) = json.loads(done.stdout)["problems"]
    assert done.returncode == 1
    assert (problem["line"], problem["size"]) == (1, None)
    assert problem["column"] >= 1
    assert json.loads(done.stdout)["lines"][0]["stitches"] == [None]


def test_a_problem_names_its_size() -> None:
    (problem,) = data("*K2, p2; rep from * to end", "--on", "48 (50, 52)")["problems"]
    assert problem["size"] == 2


def test_until_repeats_and_tells_the_rounds() -> None:
    found = data("K1, ssk, k to last 3 sts, k2tog, k1", "Knit", "--on", "40", "--until", "16")
    assert found["rounds"] == 23
    assert found["lines"][0]["stitches"] == [16]


def test_markers() -> None:
    found = data(
        "*K to 2 sts before marker, k2tog, sm; rep from * 2 more times, k to end", "--on", "64", "--markers", "16,32,48"
    )
    assert found["lines"][0]["stitches"] == [61]


def test_lines_from_standard_input_and_from_a_file(tmp_path: Path) -> None:
    text = "Rnd 1: *K2tog, k2; rep from * around.\n\nRnd 2: Knit.\n"
    assert [line["stitches"] for line in data("-", "--on", "40", stdin=text)["lines"]] == [[30], [30]]
    (tmp_path / "lines.txt").write_text(text, encoding="utf-8")
    assert [line["stitches"] for line in data("--file", str(tmp_path / "lines.txt"), "--on", "40")["lines"]] == [
        [30],
        [30],
    ]


def test_rows_are_worked_flat() -> None:
    assert data("Row 1 (RS): K1, m1, k to end", "Row 2: P to end", "--on", "10", "--flat")["lines"][1]["stitches"] == [
        11
    ]


@pytest.mark.parametrize("words", [[], ["Knit", "--on", "many"], ["Knit", "--until", "0"]])
def test_wrong_use(words: list[str]) -> None:
    assert run(*words).returncode == 2


def test_the_table_for_people() -> None:
    done = run("K1, q7", "--on", "10")
    assert done.returncode == 4
    assert "line 1:5: error, unread:" in done.stderr
