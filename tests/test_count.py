"""Counting lines from the command line, as a tech editor would."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from lessonplan.cli import app
from tests import command


def run(*words: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    return command.run("count", *words, stdin=stdin)


def data(*words: str, stdin: str = "") -> Any:
    return json.loads(run(*words, "--json", stdin=stdin).stdout)


def test_one_line() -> None:
    found = data("K1, ssk, k to last 3 sts, k2tog, k1", "--on", "64")
    assert found["lines"] == [
        {
            "text": "K1, ssk, k to last 3 sts, k2tog, k1",
            "stitches": [62],
            "sure": True,
            "spaces": 0,
            "rounds": 1,
            "techniques": {"k": 60, "k2tog": 1, "ssk": 1},
        }
    ]
    assert found["problems"] == []


def test_a_comma_at_the_end_of_the_sizes_is_no_size() -> None:
    assert data("Knit", "--on", "48 (56, 64,)")["lines"][0]["stitches"] == [48, 56, 64]


def test_a_table_for_people_says_what_is_left() -> None:
    # Two decreases of one stitch each leave 62 of 64.
    told = run("K1, ssk, k to last 3 sts, k2tog, k1", "--on", "64").stdout
    assert "k2tog" in told
    assert "62" in told


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


def counted(line: str, *words: str) -> tuple[int, Any]:
    """Count in this process: quicker where there are many lines."""
    done = CliRunner().invoke(app, ["count", line, *words, "--json"])
    assert done.exception is None or isinstance(done.exception, SystemExit), line
    return done.exit_code, json.loads(done.stdout)


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("rep", 1),
        ("Rep", 1),
        ("repeat", 1),
        ("rep twice", 1),
        ("rep *", 1),
        ("[] to end", 1),
        ("[[]] 3 times", 1),
        ("k1tog", 1),
        ("K2, k0tog", 5),
        ("k100tog", 1),
        ("K01tog", 1),
        ("C1B", 1),
        ("C120B", 1),
        ("1/0 rc", 1),
        ("Round 2:", 8),
        ("Row 2 (WS):", 11),
        ("Round 3: (48 sts)", 17),
        ("Rnds 2, 4 and 6:", 16),
        (";", 1),
        ("* *", 3),
        (".", 1),
        ("Rounds 12-4: Knit", 1),
        ("Rows 1-99999: Knit", 1),
        ("Rnds 1-3: Rep rounds 5-2", 11),
        ("K2, p123456", 6),
        ("(K1, p99999999, k1) in same st", 7),
        ("(k1, p99999) in same st", 6),
        ("(k1, pm, p1) in next st, k to end", 6),
        ("[[yo 99999] 99999 times] 99999 times, k to end", 1),
    ],
)
def test_a_line_that_means_nothing_is_one_problem_with_its_place(line: str, column: int) -> None:
    status, found = counted(line, "--on", "40")
    (problem,) = found["problems"]
    assert (problem["line"], problem["column"]) == (1, column)
    assert (status, problem["severity"], problem["kind"]) in ((1, "error", "misfit"), (4, "warning", "unread"))
    assert found["lines"][0]["stitches"] == [None]


@pytest.mark.parametrize(
    ("line", "column"), [("*K5, turn, p5, turn; rep from * to end", 6), ("K1, turn; rep", 5), ("K2, w&t; rep", 5)]
)
def test_turns_in_a_repeat_without_a_number_are_a_problem(line: str, column: int) -> None:
    status, found = counted(line, "--on", "40", "--flat")
    (problem,) = found["problems"]
    assert (status, problem["column"]) == (1, column)
    assert "how many times" in problem["sentence"]


def test_turns_in_a_repeat_with_its_number_are_worked() -> None:
    status, found = counted("[K5, turn, p5, turn] 3 times, k to end", "--on", "40", "--flat")
    assert (status, found["problems"], found["lines"][0]["stitches"]) == (0, [], [40])
    # Three times five knitted and five purled, six turns, and forty knitted at last.
    assert found["lines"][0]["techniques"] == {"k": 55, "p": 15, "turn": 6}


def test_a_range_of_more_than_a_thousand_rows_is_all_of_them() -> None:
    status, found = counted("Rows 1-1001: Knit", "--on", "4")
    assert (status, found["rounds"], found["lines"][0]["techniques"]) == (0, 1001, {"k": 4004})


@pytest.mark.parametrize(
    ("on", "line", "sentence"),
    [
        ("40", "Sizes 2 and 3 only: K1", "is for sizes 2 and 3 only, and there is one size: nothing of it is worked"),
        ("40", "For size 2 only: Knit", "is for size 2 only, and there is one size: nothing of it is worked"),
        ("40 (44)", "Size 3-4 only: Knit", "is for sizes 3 and 4 only, and there are 2 sizes: nothing of it is worked"),
    ],
)
def test_a_line_for_sizes_that_there_are_not_says_so(on: str, line: str, sentence: str) -> None:
    status, found = counted(line, "--on", on)
    (problem,) = found["problems"]
    assert (status, problem["severity"], problem["size"], problem["sentence"]) == (1, "warning", None, sentence)
    assert found["lines"][0]["rounds"] == 0


def test_a_line_for_the_second_size_may_end_with_its_number() -> None:
    status, found = counted("Size 2 only: K44", "--on", "40 (44, 48)")
    assert (status, found["problems"]) == (0, [])
    assert found["lines"][0]["techniques"] == {"k": [0, 44, 0]}


def test_repeats_worked_into_one_stitch_are_not_dropped() -> None:
    status, found = counted("(k1, [yo, k1] twice) in next st, k to end", "--on", "10")
    assert (status, found["lines"][0]["stitches"]) == (0, [14])


def test_a_label_without_an_instruction_hides_no_other_line() -> None:
    done = CliRunner().invoke(
        app, ["count", "Round 1: Knit", "Round 2:", "Round 3: P1, yo, p to end", "--on", "9", "--json"]
    )
    found = json.loads(done.stdout)
    assert (done.exit_code, [line["stitches"] for line in found["lines"]]) == (1, [[9], [None], [None]])
    # Nobody knows the stitches behind a line that says nothing, but the next line is worked and accused of nothing.
    assert [(problem["line"], problem["kind"]) for problem in found["problems"]] == [(2, "misfit")]
    assert found["lines"][2]["techniques"] == {"p": 9, "yo": 1}


@pytest.mark.parametrize("on", ["9" * 5000, "1000001", "48 (52, 10000000)"])
def test_more_stitches_than_anybody_has_is_wrong_use(on: str) -> None:
    done = run("Knit", "--on", on)
    assert (done.returncode, "Traceback" in done.stderr) == (2, False)


@pytest.mark.parametrize("words", [[], ["Knit", "--on", "many"], ["Knit", "--until", "0"]])
def test_wrong_use(words: list[str]) -> None:
    assert run(*words).returncode == 2


def test_the_table_for_people() -> None:
    done = run("K1, q7", "--on", "10")
    assert done.returncode == 4
    assert "line 1:5: warning, unread:" in done.stderr


def test_what_can_be_read_in_two_ways_is_a_warning_and_still_a_problem() -> None:
    status, found = counted("*K3, kfb; rep from * 4 times, k to end", "--on", "50")
    assert [(each["severity"], each["kind"]) for each in found["problems"]] == [("warning", "ambiguous")]
    assert (status, found["lines"][0]["stitches"]) == (1, [None])


def test_a_problem_is_told_at_its_place_in_a_line_of_several_rows() -> None:
    line = "Rnd 1: Knit. Rnd 2: K9, k2tog."
    _, found = counted(line, "--on", "10")
    assert [(one["line"], line[one["column"] - 1 :]) for one in found["problems"]] == [(1, "k2tog.")]
    assert found["problems"][0]["sentence"].startswith("k2tog ")


def test_a_misfit_among_lines_not_read_is_an_error() -> None:
    status, found = counted("K1, q7 (10 sts)", "K9", "--on", "10")
    assert [(each["severity"], each["kind"]) for each in found["problems"]] == [
        ("warning", "unread"),
        ("error", "misfit"),
    ]
    assert status == 1
