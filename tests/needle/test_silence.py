"""No wrong count in silence: print that is easily taken for other work is read right, told, or asked about."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines


def counted(text: str, on: int, *, flat: bool = False) -> tuple[int | None, list[str]]:
    """The count of a line, and all that is said of it."""
    found = count_lines([text], [on], flat=flat)
    return found.lines[0].stitches[0], [each.sentence for each in found.problems]


@pytest.mark.parametrize(
    ("text", "on", "after"),
    [  # two closed as one, as long-hand print tells it; worked out by hand
        ("(Insert hook in next st, pull up a loop) twice, yo and draw through all 3 loops, sc in each st.", 12, 11),
        ("*Pull up a loop in each of next 2 sts, yo, draw through all loops on hook, sc in next st; rep from *", 12, 8),
        ("Ch 1, draw up a lp in each of first 2 sc and complete as one sc, sc in each st to end.", 12, 11),
        ("Ch 1, sc in each of next 10 sc, work last 2 sc as one sc.", 12, 11),
        # what is left is passed, and must be there: 8 + 12
        ("Ch 1, sc in each of first 8 sts, turn, leaving 12 sts unworked.", 20, 8),
        ("Ch 1, sc in each st across, leave last 3 sts unworked, turn.", 20, 17),
        ("(2sc inc) x 6", 18, 24),  # two, and an increase
        ("(2sc inc) x 6", 12, 24),  # two increases
        ("4sc inc, 12sc, 1 inc", 18, 20),
        ("(sc inc) x 9", 18, 27),
        # a slip stitch behind the last chain closes the round: 4 x 6
        ("Sl st to corner sp, ch 3, 2 dc, ch 2, 3 dc in same sp, *ch 1, 3 dc, ch 2, 3 dc in next corner sp; "
         "repeat from * twice more, ch 1, ss.", 12, 24),
        ("Ch 4, 11 dc in 4th ch from hook, join.", 0, 12),
        ("P., inc in first st.", 50, 51),
        ("K, kfb in last st.", 50, 51),
        ("*K1-yo-k1, p2; rep from *.", 24, 40),  # one stitch made of them: 8 of 5
        ("K1 yo k1 p21.", 23, 24),
    ],
)  # fmt: skip
def test_it_is_counted_with_no_word(text: str, on: int, after: int) -> None:
    assert counted(text, on) == (after, [])


@pytest.mark.parametrize(
    ("text", "on", "after", "said"),
    [
        ("(2sc dec) x 6", 24, 18, "of two: 18 stitches or 12"),
        ("(Sc in next st, 1 sc over next 2 sts) x 6", 18, 12, "of two: 12 stitches or 18"),
        (
            "Ch 3, 7 hdc in 3rd ch from hook, join.",
            0,
            7,
            "whether the chains at its beginning are a stitch is not said",
        ),
        ("*K1 yo k1 p2* to end.", 24, 30, "of two: 30 stitches or 40"),
        ("Shape shoulder: C.O. 10 sts at beg of next 2 rows.", 50, 70, "CO means cast on, if nothing else is said"),
        (
            "Ch 3, 12 dc in 3rd ch from hook, join.",
            0,
            13,
            "whether the chains at its beginning are a stitch is not said",
        ),
    ],
)
def test_of_two_meanings_it_is_told_which_is_taken(text: str, on: int, after: int, said: str) -> None:
    stitches, told = counted(text, on)
    assert stitches == after
    assert len(told) == 1
    assert said in told[0]


@pytest.mark.parametrize(
    ("text", "on"),
    [
        ("Rnd 2: inc evenly around.", 12),
        ("Knit, increasing evenly across.", 40),
        ("Row 2: Purl on first needle only.", 40),
        ("Row 5: Ch 1, sc in each st of front only.", 40),
        ("Yo, insert hook in next st, draw up a loop, yo, pull through, sc in each st.", 20),
        ("Shape shoulder: finish off 10 sts at beg of next row.", 50),
        ("1 sc in each sc and (2 sc, ch 2, 2 sc) in each corner sp around, join.", 28),  # how many corners there are
        ("*Sc in each sc across, 3 sc in corner sp; rep from * around.", 28),
        ("(Sc 1, sc2tog) x 6, leaving last 3 sts unworked.", 18),  # none is left to be left
    ],
)
def test_no_count_is_given(text: str, on: int) -> None:
    stitches, said = counted(text, on)
    assert stitches is None
    assert len(said) == 1


def test_a_printed_count_decides_between_two_meanings() -> None:
    for after in (18, 12):
        assert counted(f"(2sc dec) x 6 ({after})", 24) == (after, [])
    assert counted("Ch 3, 7 hdc in 3rd ch from hook, join. (7)", 0) == (7, [])


def test_a_repeat_of_groups_that_come_out_uneven_is_told() -> None:
    text = "*Skip 2 sts, (dc, ch 1, dc) in next st; rep from * across, dc in last st."
    assert counted(text, 11, flat=True)[0] is None
    assert counted(text, 10, flat=True)[0] == 7  # three times two, and one


def test_sizes_with_colons_and_blanks_are_those_of_all_sizes() -> None:
    row = "Inc row: P4: 7: 5, (inc in next st, P9: 9: 10) 9 times, P5: 8: 7."
    found = count_lines([row, "Cast off 5: 6: 6 sts at beg of next 2 rows."], [99, 105, 111], flat=True)
    # 4 + 9 x 10 + 5 = 99, 7 + 90 + 8 = 105, 5 + 99 + 7 = 111, and nine more
    assert [line.stitches for line in found.lines] == [(108, 114, 120), (98, 102, 108)]


def test_a_row_is_told_so_often_behind_a_semicolon() -> None:
    assert counted("K2tog, k3; 12 times.", 60)[0] == 48


def test_a_repeat_to_a_length_ends_with_the_row_that_is_named() -> None:
    rows = ["Row 1: Knit.", "Row 2: K2, yo, k to end.", "Row 3: K2tog, k to end."]
    again = "Rep Rows 2 and 3 for desired length, ending with Row"
    for row, after in ((2, 9), (3, 8)):
        assert count_lines([*rows, f"{again} {row}."], [8], flat=True).lines[3].stitches == (after,)


@pytest.mark.parametrize(
    ("texts", "on", "after"),
    [
        (("Row 1: K.", "Row 2: P.", "Row 3: As 1st.", "Row 4: As 2nd."), 12, (12, 12, 12, 12)),
        (("V. (K.5, k.2 tog.) to end.", "VI. Knit 1 round."), 84, (72, 72)),  # 84 - 84 / 7
        (("Row 1.—1 d.c. in 2nd ch. from hook, 1 d.c. in each ch. to end, turn.",), 87, (86,)),
        (("Row 1: K.", "Row 2: P.", "Rep. Rows 1 and 2 20 times."), 12, (12, 12, 12)),
        (("Row 3—3 sts in garter st, k to end.",), 20, (20,)),
        (("2nd rnd. 2 d.c. into each d.c. 24 d.c.",), 12, (24,)),
        (("Rnd 1: *K2tog, k3; rep from *.", "Rnd 2: Knit.", "Work these 2 toe rounds once more."), 25, (20, 20, 16)),
        (
            ("Rnd 4: Ch 1, sc in same st, *ch 3, skip 2 dc, sc in next dc; rep from * around, end ch 3, join.",),
            36,
            (12,),
        ),
        (("Knit 6 rows. Leave on a spare needle.",), 21, (21,)),
    ],
)
def test_rows_are_told_from_one_another(texts: tuple[str, ...], on: int, after: tuple[int, ...]) -> None:
    found = count_lines(texts, [on], flat=True)
    assert [line.stitches[0] for line in found.lines] == [*after]
    assert [each.sentence for each in found.problems if each.severity != "note"] == []


def test_loops_of_so_many_chains_are_no_so_many_loops() -> None:
    lace = "Ch 1, sc in first 2 sc, *ch 3, skip 2 sc, sc in next 2 sc; rep from * across, turn."
    back = "Ch 1, sc in first 2 sc, *2 sc in 3 ch. loop, sc in next 2 sc; rep from * across."
    assert [line.stitches for line in count_lines([lace, back], [14], flat=True).lines] == [(8,), (14,)]


def test_a_chain_behind_slip_stitches_stands_on_the_stitch_that_is_missed() -> None:
    # 73 stitches: 5 slipped over, one under the chain, 5 left: 62 worked and the chain, as many at each side
    line = "Ss over first 5 tr, 3 ch, miss tr at base of ch, 1 tr in each tr to last 5 tr, turn."
    assert count_lines([line], [73], flat=True, terms="uk").lines[0].stitches == (63,)
    # nothing slipped over: the chain stands for the first stitch
    line = "3 ch, miss tr at base of ch, 1 tr in each tr to end, turn."
    assert count_lines([line], [73], flat=True, terms="uk").lines[0].stitches == (73,)


@pytest.mark.parametrize(
    "line",
    [
        "Ch 1, hdc in next 31 hdc. Ch 1, turn, leaving 9 hdc free for back of neck.",
        "Ch 1, hdc in next 31 hdc, turn, leaving 9 hdc unworked for neck.",
        "Ch 1, hdc in next 31 hdc, leaving 9 hdc unworked. Ch 1, turn.",
    ],
)
def test_a_turning_chain_beside_stitches_left_is_no_opening(line: str) -> None:
    assert counted(line, 40, flat=True) == (31, [])


@pytest.mark.parametrize(("times", "after"), [(4, 31), (3, None), (5, None)])
def test_a_row_that_fits_only_with_the_spaces_of_one_chain_is_worked_over_them(times: int, after: int | None) -> None:
    # chain and 13 clusters and the last dc, a space behind each cluster but one: 15 and 12, and 2 + 4 x 6 + 1 = 27
    rows = (
        "Row 1: Ch 3 (counts as first dc), *cl in next st, ch 1, sk next st; rep from * to last 2 sts, cl in next st, "
        "dc in last st.",
        f"Row 2: Ch 1, sc in first 2 sts, [2 sc in next st, sc in next 5 sts] {times} times, sc in last st.",
    )
    found = count_lines(rows, [27], flat=True)
    assert [line.stitches[0] for line in found.lines] == [15, after]
    assert any("is taken as a stitch" in each.sentence for each in found.problems) == (after is not None)


def test_what_only_a_part_of_the_stitches_comes_to_is_no_count_of_them() -> None:
    """From 60 it goes on by 4 to 28 and 24; that the 32 of a needle come to 26 is not what is said."""
    toe = [
        "Rnd 1: 1st needle: K to last 3 sts, k2tog, k1. 2nd needle: K1, ssk, k to last 3 sts, k2tog, k1. "
        "3rd needle: K1, ssk, k to end.",
        "Rnd 2: Knit.",
        "Rep last 2 rnds until 26 sts remain.",
    ]
    done = count_lines(toe, [64], markers=[(16,), (48,)])
    assert [line.stitches for line in done.lines[:2]] == [(60,), (60,)]
    assert [each.severity for each in done.problems if each.line == 3] == ["error"]


def test_a_row_that_is_bound_off_in_passing_has_no_count_in_silence() -> None:
    done = count_lines(["Work 2 rounds of k2, p3 and bind off loosely in rib on the next one."], [105])
    assert done.lines[0].stitches == (None,)
    assert done.problems


def test_a_long_chain_before_loops_is_said_to_be_none_of_the_stitches() -> None:
    arches = "Row 2: Ch 1, sc in first st, *ch 5, skip 4 sts, sc in next st; rep from * across, turn."
    done = count_lines(
        [arches, "Row 3: Ch 6, sc in first loop, *ch 5, sc in next loop; rep from * to end."], [31], flat=True
    )
    assert [each.sentence for each in done.problems] == [
        "whether the chains at its beginning are a stitch is not said; they are taken not to be a stitch"
    ]
