"""Lines that were not read for sure, judged by the lines after them; counts worked out by hand."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines

CROWN = ("Next rnd: *K8, k2tog; rep from * around.", "Next rnd: Knit.", "Next rnd: *K7, k2tog; rep from * around.")


def _stitches(*texts: str, on: int, flat: bool = False) -> list[int | None]:
    return [line.stitches[0] for line in count_lines(texts, (on,), flat=flat).lines]


def test_a_line_that_nobody_reads_is_judged_by_the_repeats_after_it() -> None:
    assert _stitches("Work zq pattern qx rows 3 wv.", *CROWN, on=90) == [90, 81, 81, 72]


def test_a_line_that_may_shape_is_not_taken_to_leave_the_stitches_as_they_are() -> None:
    assert _stitches("Work zq 12 sts qx 3 wv inc.", *CROWN, on=90)[0] is None


def test_without_lines_that_tell_nothing_is_sure() -> None:
    assert _stitches("Work zq pattern qx rows 3 wv.", "Rnd 2: Knit.", on=90) == [None, None]


def test_what_the_lines_after_tell_of_one_size_only_they_do_not_tell() -> None:
    texts = ("Work zq pattern qx rows 3 wv.", "Next rnd: *K8 (9), k2tog; rep from * around.")
    assert count_lines(texts, (90, 95)).lines[0].stitches == (None, None)


@pytest.mark.parametrize(
    ("again", "after"),
    [
        ("Then dec every rnd in same way until 8 sts rem.", 8),
        (
            "Cont to dec 8 sts every other rnd as established, having 1 less st between decs each time, 3 times more.",
            40,
        ),
        ("Decrease like this on every 2nd round a total of 4 times.", 40),
        ("Repeat the decrease on every other round twice more and then on every round 3 times.", 24),
        ("Keep decreasing in this manner every 3rd rnd until 48 sts remain.", 48),
    ],
)
def test_shaping_is_gone_on_with_in_any_order_of_words(again: str, after: int) -> None:
    assert _stitches("Rnd 1: *K7, k2tog; rep from * around.", again, on=72) == [64, after]


@pytest.mark.parametrize(
    ("text", "on", "after"),
    [
        ("Next row: purl, working 5 incs evenly across row.", 50, 55),
        ("Change to larger needles and knit, decreasing 2 sts on first row.", 102, 100),
        ("Purl, decreasing 1 st in centre.", 55, 54),
        ("Decrease 1 stitch on each side of both marker threads (= 4 stitches decreased).", 54, 50),
        ("Knit around, placing a marker every 20 sts.", 100, 100),
        ("Knit two together at both ends of every row until 51 sts remain.", 75, 51),
        ("Work 5 rows without shaping. - 68 sts.", 68, 68),
        ("Rnd 6 - k, making sure to catch the yarn-overs.", 50, 50),
        ("1tr in each tr along, 2tr in the very last one.", 12, 13),
        ("Next round: decrease evenly 6 times around in sc.", 24, 18),
        ("Sc loosely in each st around; finish off.", 36, 36),
    ],
)
def test_a_line_is_counted(text: str, on: int, after: int) -> None:
    counted = count_lines((text,), (on,), flat="row" in text)
    assert [line.stitches for line in counted.lines] == [(after,)]
    assert not [problem for problem in counted.problems if problem.severity == "error"]


def test_a_shaping_that_goes_away_from_its_goal_is_told_at_once() -> None:
    counted = count_lines(
        (
            "Knit 31, m1, k4, m1, knit 31.",
            "Continue increasing 2 sts every third round in this way until there are 14 sts.",
        ),
        (66,),
    )
    assert "never comes to 14" in counted.problems[0].sentence
