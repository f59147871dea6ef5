"""Lines that were once counted wrong without a word, and lines that must be answered at once."""

from __future__ import annotations

import time

import pytest

from lessonplan.needle.count import Counted, count_lines
from tests.pace import allowed


def count(*texts: str, on: int, flat: bool = False, markers: tuple[int, ...] = ()) -> Counted:
    return count_lines(texts, [on], flat=flat, markers=[[place] for place in markers])


def stitches(*texts: str, on: int, flat: bool = False, markers: tuple[int, ...] = ()) -> list[int | None]:
    return [line.stitches[0] for line in count(*texts, on=on, flat=flat, markers=markers).lines]


@pytest.mark.parametrize(
    ("text", "on", "flat", "after"),
    [
        ("K10, k2tog around.", 72, False, 66),
        ("K10, k2tog around. (66 sts)", 72, False, 66),
        ("Yo, k2tog around.", 40, False, 40),
        ("K3, kfb to end. 50 sts", 40, False, 50),
        ("K3, kfb to end. 77 sts", 40, False, 77),
        ("K4, k2tog to last 2 sts, k2. (27 sts)", 32, True, 27),
        ("Inc in next 2 sts, k to end.", 10, True, 12),
        ("P., inc in last st.", 50, True, 51),
        ("K40, turn and work on these sts only, leaving rem sts on a holder.", 81, True, 40),
        ("K40, turn and work on these 40 sts only, leave rem sts on a holder.", 81, True, 40),
        ("Inc in first st, k, inc in last st.", 50, True, 52),
        ("P, k2tog in last 2 sts.", 50, True, 49),
        ("K5, inc 2 sts in next st, k to end.", 20, True, 22),
        ("*K1, sl1yo; rep from * around.", 20, False, 20),
        ("Sl 1, k3, pass slipped st over 3 sts, k to end.", 10, True, 9),
        ("*K10, k2tog*", 72, False, 66),
        ("Rnd 1: K4, k2tog", 30, False, 25),
        ("[K9, k2tog] to end. 90", 99, False, 90),
        ("*K3, m1, k2; rep from * around. (+8 sts)", 40, False, 48),
        ("*K3, k2tog; rep from * around. (-8 sts)", 40, False, 32),
        ("*K3, m1, k2; rep from * around (8 sts inc).", 40, False, 48),
        ("*K3, m1, k2; rep from * around, inc'd to 48 sts.", 40, False, 48),
        ("Dec 1 st every other row at neck edge 5 times.", 40, True, 35),
        ("Dec 1 st every 4th row at each end 5 times. 30 sts", 40, True, 30),
    ],
)
def test_the_right_count(text: str, on: int, flat: bool, after: int) -> None:
    assert stitches(text, on=on, flat=flat) == [after]
    assert [problem.sentence for problem in count(text, on=on, flat=flat).problems if problem.severity != "note"] == []


def test_a_list_for_all_sizes_in_one_bracket_tells_how_often() -> None:
    counted = count_lines(["Rnd 1: [K2, k2tog] (8, 8, 10) times, k to end."], [40, 44, 48])
    assert counted.lines[0].stitches == (32, 36, 38)


def test_past_the_turn() -> None:
    turned = ("Row 1: K20, turn.", "Row 2: Sl 1, p9, turn.")
    wrapped = ("Row 1: K20, w&t.", "Row 2: P10, w&t.", "Row 3: K to wrapped st, k wrapped st, k1, w&t.")
    past = ("k to 2 sts past the gap", "k to 2 sts past the turn", "k 2 sts past last turn")
    for lines in (*((*turned, f"Row 3: {words}, turn.") for words in past), wrapped):
        counted = count(*lines, on=40, flat=True)
        assert counted.problems == ()
        assert dict(counted.lines[2].techniques)["k"] == (12,)


def test_a_count_with_the_chains_between_the_stitches_is_told_and_not_accused() -> None:
    moss = "Row 2: Ch 1, turn, *sc in next st, ch 1, skip next st; rep from * to last 2 sts, sc in last 2 sts."
    worked = (
        "Row 3: Ch 1, turn, sc in first sc, *sc in ch-1 sp, ch 1, skip next sc; rep from * to last st, sc in last st."
    )
    told = count(f"{moss} 20 sts", f"{worked} (20 sts)", on=20, flat=True)
    assert [line.stitches for line in told.lines] == [(20,), (20,)]  # as print counts them
    assert {problem.severity for problem in told.problems} == {"note"}
    assert "11 stitches and the 9 chains" in told.problems[0].sentence
    (problem,) = count(f"{moss} 21 sts", on=20, flat=True).problems
    assert problem.severity == "error"


def test_chains_over_an_opening_are_counted_as_print_says() -> None:
    """28 stitches, 5 of them passed over: 23 hdc and 5 chains; print counts both, or the stitches alone."""
    row = "Rnd 11: Ch 1, hdc in first 2 sts, ch 5, skip next 5 sts, hdc in each st around, join."
    behind = {"": 28, " (28)": 28, " (23 hdc + 5 ch)": 28, " (23 hdc)": 23, " (23 hdc, 1 ch-5 sp)": 28}
    for printed, after in behind.items():
        told = count(f"{row}{printed}", "Rnd 12: Ch 1, hdc in each st and ch around, join. (28 hdc)", on=28)
        assert [line.stitches for line in told.lines] == [(after,), (28,)], printed
        assert {problem.severity for problem in told.problems} <= {"note"}
        both = [problem for problem in told.problems if "without them there are 23" in problem.sentence]
        assert len(both) == (printed not in (" (28)", " (23 hdc)"))
    assert count(f"{row} (25 sts)", on=28).problems[0].severity == "error"
    yoke = "Row 9: Sc in first 10 sts, ch 6, skip next 20 sts for sleeve, sc in last 10 sts."
    assert count(yoke, on=40, flat=True).lines[0].stitches == (26,)


def test_two_readings_are_both_named() -> None:
    (problem,) = count("K10, k2tog around.", on=72).problems
    assert "66 stitches" in problem.sentence
    assert "41 stitches" in problem.sentence


def test_and_all_even_rows_in_brackets_are_worked_each_time() -> None:
    counted = count(
        "Row 1 (RS): K1, m1, k to end.", "Row 2 (and all even-numbered rows): Purl.", "Row 3: K1, m1, k to end.",
        "Row 5: K1, m1, k to end.", on=20, flat=True,
    )  # fmt: skip
    assert counted.rounds == (6,)


def test_no_marker_is_no_marker() -> None:
    counted = count("*K to 2 sts before marker, k2tog; rep from * around.", "Rep last rnd until 8 sts rem.", on=40)
    assert counted.lines[0].stitches == (None,)
    assert "no marker ahead" in counted.problems[0].sentence


def test_a_repeat_after_a_line_that_was_not_read_does_not_break() -> None:
    counted = count("Row 1: k1, zz", "Repeat until there are 4 stitches left.", on=4, flat=True)
    assert counted.problems[0].kind == "unread"


def test_markers_by_size() -> None:
    counted = count_lines(["K to m, rm, k2tog, k to end", "K to m"], [40, 44], markers=[[20, 22]])
    assert counted.lines[0].stitches == (39, 43)


def test_a_count_that_disagrees_in_one_size_names_the_size() -> None:
    counted = count_lines(["*K2, k2tog; rep from * around. 30 (33, 35) sts"], [40, 44, 48])
    assert [(problem.size, problem.kind) for problem in counted.problems] == [(3, "disagrees")]


@pytest.mark.parametrize(
    "text",
    [
        "K5, k2tog, k5. (10 sts)",
        "K5, frog 3, k4. 12 sts",
        "[K3, inc] 3 times. 15 sts. 16 sts.",
        "K14, frob, k to end",
    ],
)
def test_what_is_passed_over_never_hides_a_fault(text: str) -> None:
    assert any(problem.severity != "note" for problem in count(text, on=12, flat=True).problems)


@pytest.mark.parametrize(
    "text",
    [
        "(K1, p99999999, k1) in same st",
        "99999999 sc in each sc",
        "Rows 1-999999999: Knit",
        "Work even for 999999999 rows",
        "K1," + " " * 2000 + "p1",
        "k1, " * 975,
        "inc 1 " * 650,
        "(" * 300,
        "*" * 400,
    ],
)
def test_a_strange_line_is_answered_at_once(text: str) -> None:
    begun = time.process_time()
    count(text, on=20)
    assert time.process_time() - begun < allowed(1)
