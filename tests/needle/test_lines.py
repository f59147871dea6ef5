"""Many lines in order: how often, until when, and every problem in one go."""

from __future__ import annotations

import pytest

from lessonplan.needle.decided.results import Worked
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle

CROWN = ["Rnd 1: K1, ssk, k to last 3 sts, k2tog, k1", "Rnd 2: Knit"]


def rounds_in(worked: Worked) -> int:
    return sum(each.times for each in worked.rounds if each.row)


def sentences(worked: Worked) -> list[tuple[int, str]]:
    return [(problem.line, problem.sentence) for problem in worked.problems if problem.severity == "error"]


def test_each_line_once() -> None:
    worked = work_lines(CROWN, Needle(64))
    assert [len(line.rounds) for line in worked.lines] == [1, 1]
    assert worked.needle.stitches == 62


@pytest.mark.parametrize(("rounds", "after"), [(0, 64), (1, 62), (2, 62), (3, 60), (9, 54)])
def test_so_many_rounds_may_stop_in_the_middle(rounds: int, after: int) -> None:
    worked = work_lines(CROWN, Needle(64), rounds=rounds)
    assert (rounds_in(worked), worked.needle.stitches) == (rounds, after)


def test_a_line_for_many_rounds_is_cut_short() -> None:
    worked = work_lines(["Knit 6 rounds", "Purl 2 rounds"], Needle(64), rounds=11)
    assert [(each.times, each.techniques[0][0]) for each in worked.rounds] == [(6, "k"), (2, "p"), (3, "k")]


def test_so_many_times() -> None:
    worked = work_lines(CROWN, Needle(64), times=5)
    assert (rounds_in(worked), worked.needle.stitches) == (10, 54)


def test_until_so_many_stitches_remain() -> None:
    worked = work_lines(CROWN, Needle(64), until=16)
    assert (rounds_in(worked), worked.needle.stitches, worked.problems) == (47, 16, ())


def test_until_is_over_before_it_begins() -> None:
    assert work_lines(CROWN, Needle(16), until=16).rounds == ()


@pytest.mark.parametrize(
    ("texts", "until", "sentence"),
    [
        (CROWN, 15, "never comes to exactly 15 stitches: it goes from 16 to 14"),
        (["Knit"], 15, "never comes to 15 stitches: the count stays at 64"),
        (["K1, m1, k to end"], 15, "never comes to 15 stitches: the count goes from 64 to 65"),
    ],
)
def test_a_count_that_is_never_met(texts: list[str], until: int, sentence: str) -> None:
    assert [each for _, each in sentences(work_lines(texts, Needle(64), until=until))] == [sentence]


def test_lines_that_work_no_rounds_cannot_be_repeated() -> None:
    assert sentences(work_lines(["Place marker"], Needle(64), rounds=4)) == [
        (0, "these lines work no rounds, so they cannot be repeated")
    ]


def test_problems_do_not_hide_each_other() -> None:
    worked = work_lines(["K2, frog", "*K5, k2tog; rep from * to end", "Knit. 64 sts", "Knit. 60 sts"], Needle(64))
    assert [(problem.line, problem.kind, problem.severity) for problem in worked.problems] == [
        (0, "unread", "error"),
        (1, "follows", "note"),
        (3, "disagrees", "error"),
    ]
    assert [line.after for line in worked.lines] == [None, None, 64, 64]


def test_work_goes_on_from_the_printed_count() -> None:
    texts = ["K5, k2tog, k40. (45 sts)", "K1, k2tog, k42. (44 sts)", "K44. (44 sts)"]
    worked = work_lines(texts, Needle(46, flat=True))
    assert [(problem.line, problem.kind) for problem in worked.problems] == [(0, "misfit")]
    assert [line.after for line in worked.lines] == [None, 44, 44]


def test_a_line_that_needs_an_exact_number_tells_how_many_there_were() -> None:
    worked = work_lines(["K1, zz", "K3, k2tog, k5", "Knit"], Needle(4, flat=True))
    assert [line.after for line in worked.lines] == [None, 9, 9]
    assert [(problem.line, problem.kind) for problem in worked.problems] == [(0, "unread"), (1, "follows")]


def test_problems_say_which_size() -> None:
    text = "*K4 (5), k2tog; rep from * to end"
    assert work_lines([text], Needle(42), size=0, sizes=2).problems == ()
    bad = work_lines([text], Needle(45), size=1, sizes=2).problems
    assert [(problem.size, problem.sentence) for problem in bad] == [
        (1, "needs a multiple of 7 stitches for the repeat, but 45 are left for it")
    ]


def test_a_line_in_many_rounds_says_in_which_it_fails() -> None:
    problem = work_lines(["Rounds 1-9: K2tog, k5, k to end"], Needle(10)).problems[0]
    assert problem.sentence == "asks for 5 stitches here, only 4 are left, in round 5 of 9"


def test_flat_work_turns_and_labels_are_compared_with_the_side() -> None:
    worked = work_lines(["Row 1 (RS): Knit", "Row 2 (RS): Purl"], Needle(20, flat=True))
    assert [(problem.line, problem.severity) for problem in worked.problems] == [(1, "note")]
    assert work_lines(["Row 1 (WS): Purl", "Row 2 (RS): Knit"], Needle(20, flat=True)).problems == ()


def test_equal_rounds_are_one_run() -> None:
    worked = work_lines(["Knit"], Needle(300), rounds=200)
    assert [(each.times, each.after) for each in worked.rounds] == [(200, 300)]


def test_a_length_needs_a_gauge_and_is_noted() -> None:
    worked = work_lines(["Knit until piece measures 10 cm"], Needle(20))
    assert [(problem.severity, problem.sentence) for problem in worked.problems] == [
        ("note", "how many rounds this length takes depends on the gauge; it is worked once here")
    ]
    assert work_lines(["Knit until piece measures 10 cm"], Needle(20), rounds=30).problems == ()


def test_a_whole_small_hat() -> None:
    texts = [
        "Cast on 80 sts. Join in the round.",
        "Work in k2, p2 rib for 10 rounds.",
        "Knit 20 rounds.",
        "Rnd 1: *K8, k2tog; rep from * around. 72 sts.",
        "Rnd 2: Knit.",
        "Rnd 3: *K7, k2tog; rep from * around. 64 sts.",
        "Next rnd: *K2tog; rep from * around. 32 sts.",
        "Repeat last rnd 2 more times. 8 sts.",
        "Break yarn, draw through remaining 8 sts and pull tight.",
    ]
    worked = work_lines(texts, Needle(0))
    assert worked.problems == ()
    assert (rounds_in(worked), worked.needle.stitches) == (10 + 20 + 3 + 3 + 1, 0)
