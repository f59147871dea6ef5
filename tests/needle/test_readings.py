"""Ambiguous print: the reading that works out is taken and named; none or several are a problem that names them."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.needle.decided.results import Worked
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle


def work(text: str, on: int, *more: str, flat: bool = False) -> Worked:
    return work_lines([text, *more], Needle(on, flat=flat))


@pytest.mark.parametrize(
    ("text", "on", "after", "reading"),
    [
        ("*K2, p2; rep from * 5 times, k2", 26, 26, "worked once and then that many times more"),
        ("*K2, p2; rep from * 5 times, k2", 22, 22, "worked that many times in all"),
        ("K to last 3 sts, inc, k2", 20, 21, "each inc uses a stitch"),
        ("K to last 2 sts, inc, k2", 20, 21, "each inc is made between stitches"),
        ("*K2, inc; rep from * 4 times more", 15, 20, "each inc uses a stitch"),
        ("[K3, yf] 5 times. 20 sts.", 15, 20, "yf makes a new stitch"),
        ("K5, yf, sl 1, k4 (10 sts)", 10, 10, "yf makes a new stitch only before a knit one"),
        ("BO 4, k10, BO 4, k10", 28, 20, "is the first of the next ones"),
        ("BO 4, k9, BO 4, k9", 28, 20, "is not one of the next ones"),
        ("K2, CO 5, k to end. 41 sts.", 46, 41, "CO means cast off"),
        ("K8, RLI, k1, RLI, k9 (22 sts)", 20, 22, "includes the stitch"),
        ("k2, p2 to end", 22, 22, "only the last step"),
    ],
)
def test_the_reading_that_agrees_is_taken_and_named(text: str, on: int, after: int, reading: str) -> None:
    worked = work(text, on)
    assert (worked.needle.stitches, [problem.severity for problem in worked.problems]) == (after, ["note"])
    assert reading in worked.problems[0].sentence
    assert reading in worked.rounds[0].note


def test_no_reading_works_out() -> None:
    problem = work("*K2, p2; rep from * 5 times, k2", 23).problems[0]
    assert problem.severity == "error"
    assert "in no reading" in problem.sentence
    assert "that many times more" in problem.sentence
    assert "that many times in all" in problem.sentence


def test_several_readings_work_out() -> None:
    problem = work("*K3, kfb; rep from * 9 times, k to end", 50).problems[0]
    assert (problem.severity, problem.kind) == ("error", "ambiguous")
    assert "more times (60 stitches)" in problem.sentence.replace("times more", "more times")
    assert "in all (59 stitches)" in problem.sentence


def test_the_usual_reading_is_taken_and_the_other_named() -> None:
    problem = work("K10, k2tog around", 72).problems[0]
    assert problem.severity == "note"
    assert "(66 stitches)" in problem.sentence
    assert "(41 stitches)" in problem.sentence
    assert work("K10, k2tog around", 72).needle.stitches == 66


def test_what_comes_after_can_decide() -> None:
    assert work("*K3, kfb; rep from * 9 times, k to end", 50, "[K20, p20] 1 times, k20").needle.stitches == 60
    assert work("*K3, kfb; rep from * 9 times, k to end", 50, "[K20, p19] 1 times, k20").needle.stitches == 59


@pytest.mark.parametrize(("printed", "after"), [("58 sts", 58), ("56 sts", 56)])
def test_rounds_repeated_so_many_times_or_so_many_more(printed: str, after: int) -> None:
    decrease = "Rnd 1: K1, ssk, k to last 3 sts, k2tog, k1"
    worked = work(decrease, 64, "Rnd 2: Knit", f"Repeat these 2 rounds 3 times. {printed}")
    assert [problem.severity for problem in worked.problems] == ["note"]
    assert worked.needle.stitches == after


def test_rounds_repeated_so_many_times_are_said_to_be_more() -> None:
    worked = work("Rnd 1: Ssk, k to end", 64, "Rnd 2: Knit", "Repeat these 2 rounds 3 times.")
    assert [problem.severity for problem in worked.problems] == ["note"]
    assert "that many times more (60 stitches) or the rounds are worked that many times in all (61" in (
        worked.problems[0].sentence
    )


@pytest.mark.parametrize(
    "text", ["Repeat these 2 rounds 3 more times.", "Repeat these 2 rounds once.", "Rep last 2 rnds a total of 4 times"]
)
def test_more_and_in_all_are_clear(text: str) -> None:
    assert work("Rnd 1: Ssk, k to end", 64, "Rnd 2: Knit", text).problems == ()


def test_readings_that_come_to_the_same_need_no_word() -> None:
    assert work("Inc, k to end", 20).problems == ()
    assert work("K1, p1 to end", 20).rounds[0].techniques == (("k", 10), ("p", 10))


@pytest.mark.parametrize(
    ("text", "on", "stitches"),
    [
        ("K3, (yf, k2tog, k12) 4 times, k to end.", 60, 60),  # yarn brought forward and knitted over is a stitch
        ("*K2tog, yf; rep from * to end.", 20, 20),
        ("K1, yf, sl 1, yb, k8.", 10, 10),  # before a slipped one it only lies in front
    ],
)
def test_yarn_brought_forward_makes_a_stitch_before_a_knit_one(text: str, on: int, stitches: int) -> None:
    assert work_lines([text], Needle(on)).needle.stitches == stitches


def told(line: str, *on: int, flat: bool = False) -> list[tuple[int | None, str]]:
    """The sizes and sentences of what is wrong with a line."""
    return [(one.size, one.sentence) for one in count_lines([line], on, flat=flat).problems if one.severity == "error"]


def test_a_line_means_the_same_in_every_size() -> None:
    """The first stitch missed is that below the chain, or it is not: 20 (24, 28) less one is 19 (23, 27).

    A third number of 28 is right only where the chain stands on the one missed; so it is wrong, not read otherwise.
    """
    row = "Row 1: Ch 3, sk 1 st, dc in each st across, turn."
    assert not told(f"{row} 19 (23, 27) dc", 20, 24, 28, flat=True)
    assert not told(f"{row} 20 (24, 28) dc", 20, 24, 28, flat=True)
    ((size, sentence),) = told(f"{row} 19 (23, 28) dc", 20, 24, 28, flat=True)
    assert size == 3
    assert sentence.startswith("the count fits only if the stitch missed is the one below the turning chain")
    assert sentence.endswith("in the other sizes the stitch missed is the one after that below the turning chain")


def test_a_reading_that_fits_all_sizes_is_wrong_in_none() -> None:
    """The last repeat of four is cut off in 26 and 30, and comes out even in 28: the line is the same in all three."""
    assert not told("*K2, p2; rep from * to end. 26 (30, 28) sts", 26, 30, 28)
    assert not told("*K2, p2; rep from * to end. 28 (32, 26) sts", 28, 32, 26)
