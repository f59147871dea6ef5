"""Labels, repeats of whole rounds, shaping over several rows, and named stitch patterns."""

from __future__ import annotations

import pytest

from lessonplan.needle.decided.results import Worked
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle


def after_each(worked: Worked) -> list[int]:
    return [each.after for each in worked.rounds for _ in range(each.times)]


def good(texts: list[str], needle: Needle, **patterns: list[str]) -> Worked:
    worked = work_lines(texts, needle, patterns=patterns)
    assert worked.problems == ()
    return worked


def test_row_two_and_all_wrong_side_rows() -> None:
    texts = [
        "Row 1 (RS): Knit.",
        "Row 2 and all WS rows: Purl.",
        "Row 3: K1, m1l, k to end.",
        "Row 5: K1, m1l, k to end.",
    ]
    worked = good(texts, Needle(20, flat=True))
    assert after_each(worked) == [20, 20, 21, 21, 22, 22]
    assert [sum(each.times for each in line.rounds) for line in worked.lines] == [1, 3, 1, 1]


def test_lists_of_rounds_are_worked_in_the_order_of_their_numbers() -> None:
    worked = good(["Rnds 1, 3 and 5: Ssk, k to end", "Rnds 2, 4 and 6: Knit"], Needle(20))
    assert after_each(worked) == [19, 19, 18, 18, 17, 17]


def test_a_round_that_no_line_gives_is_noted() -> None:
    worked = work_lines(["Rnd 1: Knit", "Rnd 4: Purl"], Needle(20))
    assert [problem.severity for problem in worked.problems] == ["note"]
    assert "round 2" in worked.problems[0].sentence


@pytest.mark.parametrize(
    "text", ["Rounds 1-6: Knit 6 rounds", "Rounds 1-6: Knit", "Next 6 rounds: Knit", "Knit 6 rnds"]
)
def test_six_rounds_however_printed(text: str) -> None:
    assert after_each(good([text], Needle(20))) == [20] * 6


def test_rounds_repeated_by_number_find_the_nearest_lines() -> None:
    texts = ["Rnd 1: Knit", "Rnd 2: Purl", "Rnd 1: Ssk, k to end", "Rnd 2: Knit", "Repeat rounds 1-2 3 more times"]
    assert after_each(good(texts, Needle(20)))[-1] == 16


def test_repeat_until_a_count() -> None:
    worked = good(["Rnd 1: Ssk, k to end", "Rnd 2: Knit", "Repeat rounds 1 and 2 until 8 sts remain"], Needle(20))
    assert worked.needle.stitches == 8
    missed = work_lines(["Rnd 1: Ssk, k to last 2 sts, k2tog", "Rep last rnd until 7 sts remain"], Needle(20))
    assert missed.problems[0].sentence == "never comes to exactly 7 stitches: it goes from 8 to 6"


def test_every_other_round_then_every_round() -> None:
    texts = ["Dec rnd: Ssk, k to end", "Repeat dec rnd every other rnd 2 times, then every rnd 3 times"]
    assert after_each(good(texts, Needle(20))) == [19, 19, 18, 18, 17, 16, 15, 14]


def test_rounds_that_do_not_exist_cannot_be_repeated() -> None:
    for text, sentence in [
        ("Repeat rounds 3-4 twice more", "there is no line for round 3 to repeat"),
        ("Repeat last 5 rounds twice more", "asks to repeat more rounds than were worked before"),
        ("Repeat dec rnd every other rnd 3 times", "no line is called “dec round”"),
    ]:
        assert work_lines(["Rnd 1: Knit", text], Needle(20)).problems[0].sentence == sentence


def test_a_labelled_repeat_fills_its_rounds() -> None:
    worked = good(["Rnd 1: Ssk, k to end", "Rnd 2: Knit", "Rnds 3-6: Rep Rnds 1 and 2."], Needle(20))
    assert after_each(worked) == [19, 19, 18, 18, 17, 17]


def test_bound_off_at_the_beginning_of_the_next_rows() -> None:
    worked = good(["BO 3 sts at the beginning of the next 2 rows."], Needle(40, flat=True))
    assert [(each.after, dict(each.techniques)["BO"]) for each in worked.rounds] == [(37, 3), (34, 3)]


def test_cast_on_at_the_end_of_the_next_rows() -> None:
    assert after_each(good(["Cast on 4 sts at end of next 2 rows."], Needle(40, flat=True))) == [44, 48]


def test_shaping_at_each_end_of_every_other_row() -> None:
    worked = good(["Dec 1 st at each end of every other row 3 times."], Needle(40, flat=True))
    assert after_each(worked) == [38, 38, 36, 36, 34, 34]


def test_several_sentences_are_several_rows() -> None:
    worked = good(["Knit 1 row, purl 1 row. Repeat last 2 rows once."], Needle(20, flat=True))
    assert [each.techniques[0][0] for each in worked.rounds] == ["k", "p", "k", "p"]


@pytest.mark.parametrize("name", ["k2, p2 rib", "K2, P2 ribbing", "2x2 rib"])
def test_ribbing_by_name(name: str) -> None:
    worked = good([f"Work in {name} for 10 rounds"], Needle(48))
    assert [(each.times, each.techniques) for each in worked.rounds] == [(10, (("k", 24), ("p", 24)))]


def test_common_practice_flat_ribbing_mirrors_on_the_wrong_side() -> None:
    worked = good(["Work in k2, p2 rib for 2 rows"], Needle(22, flat=True))
    assert [each.techniques for each in worked.rounds for _ in range(each.times)] == [
        (("k", 12), ("p", 10)),
        (("k", 10), ("p", 12)),
    ]


def test_ribbing_in_the_round_needs_its_multiple() -> None:
    problem = work_lines(["Work in k2, p2 rib"], Needle(46)).problems[0]
    assert problem.sentence == "needs a multiple of 4 stitches in the round, but there are 46"


def test_a_pattern_defined_once_goes_on_row_after_row() -> None:
    lace = ["Rnd 1: *yo, k2tog; rep from * to end", "Rnd 2: Knit"]
    worked = good(["Work in lace for 3 rounds", "K2, work in lace to last 2 sts, k2"], Needle(20), lace=lace)
    assert [each.techniques for each in worked.rounds] == [
        (("k2tog", 10), ("yo", 10)),
        (("k", 20),),
        (("k2tog", 10), ("yo", 10)),
        (("k", 20),),
    ]


def test_a_pattern_that_does_not_fit_or_is_not_defined() -> None:
    lace = {"lace": ["*yo, k2tog; rep from * to end"]}
    odd = work_lines(["Work in lace"], Needle(21), patterns=lace).problems[0].sentence
    assert odd == "lace: needs a multiple of 2 stitches for the repeat, but 21 are left for it"
    unknown = work_lines(["Work in lacy for 3 rounds"], Needle(20), patterns=lace).problems[0].sentence
    assert unknown == "no stitch pattern called “lacy” is defined; did you mean “lace”?"


def test_even_goes_on_as_established() -> None:
    worked = good(["*K3, p1; rep from * to end", "Work even for 4 rounds"], Needle(20))
    assert [each.techniques for each in worked.rounds] == [(("k", 15), ("p", 5))] * 2


@pytest.mark.parametrize(
    ("first", "rest", "counts"),
    [
        # Rows 1, 3 and 5 have their lines; the other three are purled, whichever side faces.
        ("Row 1 (RS): K1, m1l, k to end.", "All WS rows: Purl.", [21, 21, 22, 22, 23]),
        ("Row 1 (WS): K1, m1l, k to end.", "All RS rows: Purl.", [21, 21, 22, 22, 23]),
        ("Row 1: K1, m1l, k to end.", "All WS rows: Purl.", [21, 21, 22, 22, 23]),
        ("Row 1: K1, m1l, k to end.", "All even rows: Purl.", [21, 21, 22, 22, 23]),
    ],
)
def test_all_rows_of_the_other_side(first: str, rest: str, counts: list[int]) -> None:
    texts = [first, rest, first.replace("1", "3", 1), first.replace("1", "5", 1)]
    assert after_each(good(texts, Needle(20, flat=True)))[:5] == counts
