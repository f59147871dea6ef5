"""What print does not tell is asked, not guessed; a count told in several ways must hold in every size."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import Counted, count_lines


def counted(*lines: str, on: int | tuple[int, ...] = 0, markers: tuple[int, ...] = (), flat: bool = False) -> Counted:
    begun = (on,) if isinstance(on, int) else on
    return count_lines(list(lines), begun, markers=[(place,) for place in markers], flat=flat)


TOE = "Each needle: K1, ssk, k to last 3 sts, k2tog, k1."
SLEEVES = "K65, slip sleeve sts onto holder, cast on 8, k70, slip sleeve sts onto holder, cast on 8."
CORNERS = "Rnd 1: Ch 1, sc in each sc around, working 3 sc in each corner."


@pytest.mark.parametrize(
    ("line", "on"),
    [
        (TOE, 64),
        (SLEEVES, 200),
        ("K to last 3 sts of needle 1, k2tog, k1; k across instep; on needle 3 k1, ssk, k to end.", 84),
        ("K to end, casting on 3 sts over each gap.", 40),
    ],
)
def test_what_is_not_told_is_asked_and_accuses_nobody(line: str, on: int) -> None:
    found = counted(line, on=on)
    assert found.lines[0].stitches == (None,)
    assert {problem.severity for problem in found.problems} == {"warning"}


def test_each_needle_is_every_part_between_markers() -> None:
    found = counted(TOE, on=64, markers=(16, 32, 48))  # two decreases on each of four needles of 16
    assert (found.lines[0].stitches, found.problems) == ((56,), ())


def test_four_corners_are_taken_only_where_the_count_bears_them_out() -> None:
    assert counted(CORNERS, on=60).lines[0].stitches == (None,)
    assert counted(f"{CORNERS} (68 sc)", on=60).lines[0].stitches == (68,)  # 56 and three in each of four
    other = counted(f"{CORNERS} (66 sc)", on=60)
    assert other.lines[0].stitches == (66,)  # as printed, since the line is not read
    assert [problem.severity for problem in other.problems] == ["warning"]


def test_a_repeat_means_the_same_in_every_size() -> None:
    rows = ("1st row: K3, k2tog, k to last 5 sts, k2tog, k3.", "2nd row: P.")
    again = "Rep 1st and 2nd rows 27 [29:31] times."  # begun on 96, 102, 108: 42, 44, 46 if that often more
    right = counted(*rows, f"{again} 42 [44:46] sts", on=(98, 104, 110), flat=True)
    assert [problem for problem in right.problems if problem.severity == "error"] == []
    wrong = counted(*rows, f"{again} 42 [44:48] sts", on=(98, 104, 110), flat=True)
    told = [(problem.line, problem.size, problem.kind) for problem in wrong.problems if problem.severity == "error"]
    assert told == [(3, 3, "disagrees")]


def test_cast_off_gaps_are_cast_on_over_one_by_one() -> None:
    off = "K10, (cast off 3, k13) twice, cast off 3, k to end."  # 60: three gaps of three, 51 stitches left
    for line in ("K to end, casting on 3 sts over those cast off.", "K to end, casting on 3 sts over each gap."):
        assert [each.stitches for each in counted(off, line, on=60, flat=True).lines] == [(51,), (60,)]


def test_held_stitches_come_back() -> None:
    lines = ("Place next 16 sts on waste yarn, k to end.", "Place 16 sts from holder onto needle, k to end.")
    assert [each.stitches for each in counted(*lines, on=40).lines] == [(24,), (40,)]


def test_stitches_are_held_and_knitted_from_where_they_are_held() -> None:
    found = counted("K12, hold 11 sts, k to end", "K29, knit 11 held sts", on=40)  # hold is the word of a course
    assert [each.stitches for each in found.lines] == [(29,), (40,)]
