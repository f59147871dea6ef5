"""What print says is left is held against what is there; a repeat for which nothing is left is told."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines


def errors(text: str, on: int, *, flat: bool = True) -> tuple[int | None, list[str]]:
    counted = count_lines([text], [on], flat=flat)
    return counted.lines[0].stitches[0], [each.sentence for each in counted.problems if each.severity == "error"]


@pytest.mark.parametrize(
    ("text", "there", "left"),
    [
        ("Bind off rem 44 sts.", 44, 0),
        ("BO all 44 sts for the back neck.", 44, 0),
        ("Cast off the remaining 44 stitches in pattern.", 44, 0),
        ("K10, place rem 34 sts on holder.", 44, 10),
        ("K10, turn and leave remaining 34 sts on a stitch holder.", 44, 10),
        ("K27, k2tog, turn, leave rem 15 sts on a spare needle.", 44, 28),  # 44 - 29 taken = 15
    ],
)
def test_the_rest_in_numbers_is_all_that_is_left(text: str, there: int, left: int) -> None:
    assert errors(text, there) == (left, [])
    told, found = errors(text, there + 1)
    assert any("remain, but there are" in each for each in found), (told, found)


@pytest.mark.parametrize(
    ("text", "on"),
    [
        ("K40, *k2tog; rep from * to end.", 40),
        ("Sc 6, then 2 sc in each st around.", 6),
        ("K8, inc in each st to end.", 8),
    ],
)
def test_a_repeat_for_which_nothing_is_left_is_told(text: str, on: int) -> None:
    assert errors(text, on, flat=False)[1] == ["no stitch is left for what is repeated to the end"]


def test_a_repeat_may_have_nothing_to_do_where_it_changes_nothing_or_is_not_first_yet() -> None:
    assert errors("K40, knit to end.", 40) == (40, [])
    assert errors("K3, yo, *k2tog, yo, k1; rep from * to last 3 sts, yo, k3.", 6) == (8, [])  # the first row of a shawl


@pytest.mark.parametrize("text", ["P2, p 1 tog., p to end.", "*Knit 1 together, purl 2 together; rep from *."])
def test_one_stitch_together_is_a_slip_of_the_pen(text: str) -> None:
    assert "nothing to work it together with" in errors(text, 60)[1][0]


def test_stitches_put_aside_are_bridged_by_a_cast_on() -> None:
    line = "K20, slip next 13 sts to a holder for thumb, CO 1 st, k to end. (40 sts)"
    # 54 - 15 + 1 = 40, as printed; 54 - 13 + 1 = 42, and 54 - 13 - 1 = 40 is no reason to cast off
    assert errors(line.replace("13", "15"), 54, flat=False) == (40, [])
    assert errors(line, 54, flat=False)[1] == ["prints 40 stitches after this line, but there are 42"]


def test_a_count_of_what_is_left_on_a_spare_needle_agrees() -> None:
    line = "Cast off 8 sts at beg of next 6 rows. Leave remaining sts on a spare needle. 29 sts."  # 77 - 6 x 8 = 29
    assert errors(line, 77)[1] == []
    assert errors(line, 78)[1] == ["prints 29 stitches after this line, but there are 0"]


@pytest.mark.parametrize(
    "text",
    [
        "Sl 1, p9, p2tog, p1, turn, leaving 31 sts unworked.",  # 1 + 9 + 2 + 1 = 13 of 44
        "Sl 1, p9, p2tog, p1, turn, leaving 31.",
        "Sl 1, p9, p2tog, p1, turn and leave rem 31 sts.",
    ],
)
def test_a_turn_leaves_as_many_as_print_says(text: str) -> None:
    assert errors(text, 44) == (43, [])
    assert len(errors(text.replace("31", "30"), 44)[1]) == 1


def test_stitches_behind_the_last_needle_that_is_named_are_told() -> None:
    line = "N1: k1, m1r, k4, m1l, k1. N2: k1, m1r, k3, m1l, k1."  # 6 + 5 = 11
    assert errors(line, 11, flat=False) == (15, [])
    assert errors(line, 12, flat=False)[1] == ["leaves 1 of 12 stitches unworked"]
    counted = count_lines([line], [17])  # 6 more are a needle of their own
    assert [(each.severity, each.sentence) for each in counted.problems] == [
        ("note", "no needle is named for the last 6 stitches, which are left unworked here")
    ]
