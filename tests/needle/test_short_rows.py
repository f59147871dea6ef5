"""Short rows: turning before the end, the gap that it leaves, wraps, and rows that pass the beginning of a round."""

from __future__ import annotations

import pytest

from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle


def counts(texts: list[str], needle: Needle) -> list[int]:
    worked = work_lines(texts, needle)
    assert [problem for problem in worked.problems if problem.severity == "error"] == []
    return [round_.after for round_ in worked.rounds]


def test_common_practice_round_heel_over_thirty() -> None:
    # a heel of n stitches turned by ssk and p2tog across the gap; 30 stitches leave 18
    heel = [
        "Row 1 (RS): Sl 1, k16, ssk, k1, turn.",
        "Row 2: Sl 1, p5, p2tog, p1, turn.",
        "Row 3: Sl 1, k to 1 st before gap, ssk, k1, turn.",
        "Row 4: Sl 1, p to 1 st before gap, p2tog, p1, turn.",
        "Repeat Rows 3 and 4 until 18 sts remain.",
    ]
    assert counts(heel, Needle(30, flat=True))[-1] == 18


def test_a_heel_that_runs_out_says_so() -> None:
    heel = ["Sl 1, k17, ssk, k1, turn", "Sl 1, p5, p2tog, p1, turn", "Sl 1, k to 1 st before gap, ssk, k12, turn"]
    problem = work_lines(heel, Needle(32, flat=True)).problems[0]
    assert (problem.line, problem.column, problem.sentence) == (2, 34, "asks for 12 stitches here, only 10 are left")


def test_wrapped_stitches_are_not_worked_and_are_found_again() -> None:
    rows = [
        "Row 1: Knit to last 5 sts, w&t.",
        "Row 2: Purl to last 5 sts, wrap and turn.",
        "Row 3: Knit to 1 st before wrapped st, w&t.",
        "Row 4: Purl to 1 st before wrapped st, w&t.",
        "Row 5: K to wrapped st, k wrap together with st, k to end.",
    ]
    worked = work_lines(rows, Needle(30, flat=True))
    assert worked.problems == ()
    plain = [dict(each.techniques).get("k", 0) + dict(each.techniques).get("p", 0) for each in worked.rounds]
    assert plain == [25, 20, 19, 18, 23]
    assert worked.needle.stitches == 30


def test_double_stitches_stand_before_the_gap() -> None:
    worked = work_lines(["K10, turn", "DS, p5, turn", "DS, k to DS, k1, k to end"], Needle(30, flat=True))
    assert worked.problems == ()
    assert dict(worked.rounds[-1].techniques) == {"DS": 1, "k": 25}


def test_several_turns_in_one_line_are_rows_of_their_own() -> None:
    worked = work_lines(["K20, w&t, p10, w&t, k to end"], Needle(40))
    assert [(each.before, each.after) for each in worked.rounds] == [(40, 40)] * 3


def test_a_heel_in_the_round_may_lie_on_both_sides_of_the_beginning() -> None:
    worked = work_lines(["K16, turn", "Sl 1, p31, turn", "Sl 1, k15"], Needle(64))
    assert worked.problems == ()
    assert (worked.needle.behind, worked.needle.back) == (0, False)


def test_without_a_turn_stitches_may_not_be_left() -> None:
    assert work_lines(["K16"], Needle(64)).problems[0].sentence == "leaves 48 of 64 stitches unworked"


WRAPPED = (
    "Knit to last st, w&t.",
    "Purl to last st, w&t.",
    "Knit to 1 st before wrapped st, w&t.",
    "Purl to 1 st before wrapped st, w&t.",
)


@pytest.mark.parametrize(
    "goal",
    [
        "10 sts remain unwrapped in the middle",
        "10 sts rem between the wrapped sts",
        "there are 10 unwrapped sts in the centre",
        "10 sts remain unworked",
        "10 sts rem in the centre between wraps",
    ],
)
def test_rows_get_shorter_until_so_many_lie_between_the_turns(goal: str) -> None:
    """By hand: 28, then 26 after two rows and one fewer with each row more: 16 + 2 rows come to 10."""
    done = work_lines([*WRAPPED, f"Rep last 2 rows until {goal}."], Needle(28, flat=True))
    assert done.problems == ()
    rows = [run for run in done.rounds for _ in range(run.times)]
    assert len(rows) == 18
    assert sum(dict(rows[-1].techniques).get(name, 0) for name in "kp") == 10


@pytest.mark.parametrize(
    "lifted",
    [
        "knit it together with its wrap, turn",
        "knit wrap tog with st, turn",
        "work st tog with its wrap, turn",
        "knit the stitch together with its wrap; turn",
    ],
)
def test_a_stitch_is_worked_with_its_wrap_and_no_wrap_is_made(lifted: str) -> None:
    lines = [*WRAPPED, f"Knit to first wrapped st, {lifted}."]
    last = work_lines(lines, Needle(12, flat=True)).rounds[-1]
    assert dict(last.techniques) == {"k": 8, "k wrap": 1, "turn": 1}


def test_the_stitches_that_wait_are_worked_in_the_next_round() -> None:
    done = work_lines(["Rnd 1: Knit.", "Work back and forth on the 12 sts of needle 1.", *WRAPPED[:2]], Needle(24))
    assert (done.needle.stitches, sum(count for _, count in done.needle.held)) == (12, 12)
    heel = ["Knit to first wrapped st, knit it together with its wrap, turn.", "Purl to end, working the wrap."]
    begun = ["Rnd 1: Knit.", "Work back and forth on the 12 sts of needle 1.", *WRAPPED[:2]]
    whole = work_lines([*begun, *heel, "Rnd 2: Knit."], Needle(24))
    assert (whole.needle.stitches, whole.needle.held) == (24, ())
    held = work_lines(["Rnd 1: K12, put the rem sts on a holder.", "Rnd 2: Knit."], Needle(24))
    assert (held.needle.stitches, sum(count for _, count in held.needle.held)) == (12, 12)
