"""Crochet in US terms: rows and rounds of plain stitches, increases and decreases."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle

HOOK = Needle(0)


def counts(texts: list[str], needle: Needle = HOOK) -> list[int]:
    worked = work_lines(texts, needle)
    assert [problem for problem in worked.problems if problem.severity == "error"] == []
    return [line.rounds[-1].after for line in worked.lines]


def test_common_practice_flat_circle_grows_by_six() -> None:
    texts = [
        "Rnd 1: 6 sc in magic ring (6)",
        "Rnd 2: inc around (12)",
        "Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (18 sc)",
        "Rnd 4: (2 sc, inc) x 6 (24)",
        "Rnds 5-7: Sc in each st around.",
        "Rnd 8: (sc in next 2 sts, sc2tog) 6 times. 18 sts",
    ]
    assert counts(texts) == [6, 12, 18, 24, 24, 18]


def test_a_foundation_chain_has_one_more_than_the_row() -> None:
    assert counts(["Row 1: Ch 21, sc in second ch from hook, sc in each ch across, turn. (20 sc)"]) == [20]
    assert counts(["Ch 21", "Row 1: Sc in 2nd ch from hook and in each ch across. (20 sc)"]) == [21, 20]


@pytest.mark.parametrize(
    ("text", "techniques"),
    [
        ("Ch 3 (counts as dc), dc in each st across, turn. 20 dc", (("ch", 3), ("dc", 19))),
        ("Ch 3 (does not count as a stitch), dc in each st across. 20 dc", (("ch", 3), ("dc", 20))),
        ("Ch 1, turn, sc in each sc across. 20 sts", (("ch", 1), ("sc", 20))),
        ("Hdc in each st across, ch 2, turn. 20 hdc", (("ch", 2), ("hdc", 20))),
    ],
)
def test_turning_chains_count_as_printed(text: str, techniques: tuple[tuple[str, int], ...]) -> None:
    worked = work_lines([text], Needle(20, flat=True))
    assert worked.problems == ()
    assert worked.rounds[0].techniques == techniques


def test_a_turning_chain_that_is_not_explained_is_read_by_the_count() -> None:
    apart = work_lines(["Ch 3, dc in same st, dc in each st across. 20 dc"], Needle(20, flat=True))
    assert [(problem.severity, problem.sentence) for problem in apart.problems] == [
        ("note", "read so that the counts agree: the turning chain does not count as a stitch")
    ]
    wrong = work_lines(["Ch 3, dc in same st, dc in each st across. 19 dc"], Needle(20, flat=True))
    assert [problem.severity for problem in wrong.problems] == ["error"]
    counted = work_lines(["Ch 3, dc in same st, dc in each st across. 21 dc"], Needle(20, flat=True))
    assert counted.problems == ()


@pytest.mark.parametrize(
    ("text", "before", "after"),
    [
        ("2 sc in first st, sc in each st to last st, 2 sc in last st", 20, 22),
        ("sc2tog, sc in each st to last 2 sts, sc2tog", 20, 18),
        ("Single crochet in next 5 stitches, half double crochet in next 3", 8, 8),
        ("skip next st, 3 dc in next st, skip next st, sc in next st", 4, 4),
        ("(sc, ch 1, sc) in next st, sc in next 3 sts", 4, 5),
        ("[dc in next 3 sts, 2 dc in next st] 5 times", 20, 25),
        ("dc2tog around", 20, 10),
        ("sc 5, dec, sc 5", 12, 11),
        ("2 dc in each st around, join with sl st to top of ch-3", 10, 20),
        ("tr in each st around", 10, 10),
    ],
)
def test_rows_and_rounds(text: str, before: int, after: int) -> None:
    assert counts([text], Needle(before)) == [after]


def test_a_ring_of_chains_is_worked_into() -> None:
    texts = [
        "Ch 4, join with sl st to form a ring",
        "Ch 3 (counts as dc), 11 dc in ring, join with sl st to top of ch-3. (12 dc)",
        "Ch 3 (counts as dc), dc in same st, 2 dc in each st around. (24 dc)",
    ]
    assert counts(texts) == [4, 12, 24]


def test_a_chain_beside_slip_stitches_stands_on_the_stitch_missed() -> None:
    """Of 25 six are slipped over, one is missed below the chain, 18 are left; without a stitch missed 19 are."""
    begun = "Ch 2 (counts as hdc), skip first hdc, hdc in each hdc to end."
    armhole = [
        "Sl st over first 6 hdc, ch 2, skip next hdc, hdc in each hdc to end.",
        "Ch 2, skip first hdc, hdc in each st to end.",
    ]
    assert counts([begun, *armhole], Needle(25, flat=True)) == [25, 19, 19]


def test_increases_go_on_over_the_rounds_of_a_label() -> None:
    """Six rounds of 8 more: 32 + 48."""
    texts = ["Round 4. (2 sc, inc) 8 times.", "From Round 5 to Round 10. Continue to increase 8 sc in each round."]
    assert counts(texts, Needle(24)) == [32, 80]


def test_too_few_stitches_are_told_as_in_knitting() -> None:
    worked = work_lines(["sc in next 5 sts, sc2tog"], Needle(6))
    assert worked.problems[0].sentence == "sc2tog needs 2 stitches here, only 1 is left"


def test_chains_at_the_end_of_a_row_are_worked_along_in_the_next() -> None:
    # 24 sc and a chain of 5, of which the first is left: 4 + 24 = 28
    first = "Ch 1, sc in next 24 sts, ch 5, turn."
    for second in (
        "Sc in 2nd ch from hook, sc in next 3 ch, sc in next 24 sts.",
        "Sc in 2nd ch from hook and next 3 ch, sc in each st across.",
    ):
        counted = count_lines([first, second], [24], flat=True)
        assert [line.stitches for line in counted.lines] == [(24,), (28,)], second
        assert counted.problems == ()


def test_all_stitches_of_a_row_may_be_told_to_be_in_the_ring() -> None:
    row = "Ch 4 (counts as tr), 3 dc, ch 2, 3 dc, tr all in ring."  # 1 + 3 + 3 + 1 = 8
    assert count_lines([row], [0], flat=True).lines[0].stitches == (8,)


@pytest.mark.parametrize(
    "texts",
    [["Ch 2, hdc in 3rd ch from hook and in each ch to end."], ["Ch 2.", "Hdc in 3rd ch from hook, hdc in each ch."]],
)
def test_a_chain_too_short_to_be_worked_into_is_told(texts: list[str]) -> None:
    problems = [each.sentence for each in count_lines(texts, [0], flat=True).problems if each.severity == "error"]
    assert problems == ["leaves out 2 of the 2 chains, and none is left to work into"]


def test_each_chain_is_gone_into_whether_in_is_said_once_or_twice() -> None:
    for row in ("Sc in 2nd ch from hook and next 4 ch.", "Sc in 2nd ch from hook and each ch to end."):
        assert count_lines([f"Ch 6. {row}"], [0], flat=True).lines[0].stitches == (5,), row


def test_a_round_over_corners_that_are_only_passed_leaves_no_stitch() -> None:
    corners = (
        "Rnd 1: Ch 3, 11 dc in ring, sl st to 3rd of ch 3.",
        "Rnd 2: Ch 3, 2 dc in next dc, ch 2, *dc in next dc, 2 dc in next dc, ch 2; rep from * 4 more times, join.",
    )
    third = "Rnd 3: Ch 3, dc in next 2 dc, ch 2, *skip 2 ch, dc in next 3 dc, ch 2; rep from * {} more times, join."
    right, short = (count_lines((*corners, third.format(times)), [0]) for times in (4, 3))
    assert right.lines[-1].stitches == (18,)  # six sides of three
    assert not [one for one in right.problems if one.severity == "error"]
    assert [one.sentence for one in short.problems if one.severity == "error"] == ["leaves 3 of 18 stitches unworked"]
