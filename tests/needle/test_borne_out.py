"""A count is given as sure only where a plain reading, a printed count or the next lines bear it out."""

from __future__ import annotations

from lessonplan.needle.count import Counted, count_lines


def counted(*texts: str, on: int = 20, flat: bool = True) -> Counted:
    return count_lines(texts, [on], flat=flat)


def stitches(found: Counted) -> list[int | None]:
    return [line.stitches[0] for line in found.lines]


def test_a_word_that_is_not_understood_makes_the_count_unsure() -> None:
    found = counted("K5, wobbling neatly, k to end")
    assert stitches(found) == [None]
    assert [(each.severity, "wobbling" in each.sentence) for each in found.problems] == [("note", True)]


def test_a_printed_count_bears_out_what_was_passed_over() -> None:
    assert stitches(counted("K5, wobbling neatly, k to end (20 sts)")) == [20]


def test_the_count_printed_after_the_next_lines_bears_it_out_too() -> None:
    texts = ("K5, m1, wobbling neatly, k to end", "P.", "K2tog, k to end (20 sts)")
    assert stitches(counted(*texts)) == [21, 21, 20]
    assert stitches(counted(*texts[:2], "K2tog, k to end")) == [None, None, None]


def test_a_word_not_understood_accuses_nobody() -> None:
    found = counted("K5, wobbling neatly, k to end (19 sts)")
    assert [each.kind for each in found.problems] == ["unread"]


def test_a_row_into_a_chain_that_does_not_say_where_needs_a_count() -> None:
    # 25 chains carry 24 single crochets, the first chain being the height of the row (common practice)
    assert stitches(counted("Ch 25", "Sc across", on=0)) == [25, None]
    assert stitches(counted("Ch 25", "Sc across (24 sc)", on=0)) == [25, 24]
    assert stitches(counted("Ch 25", "Sc in 2nd ch from hook and in each ch across", on=0)) == [25, 24]


def test_a_cable_counted_by_one_side_needs_a_count() -> None:
    # 2 x (k3, 4 for the cable) = 14 stitches; with c2f as two stitches 14 is no multiple of 5
    found = counted("*K3, c2f; rep from * to end", on=14)
    assert stitches(found) == [None]
    (problem,) = found.problems
    assert (problem.severity, problem.kind) == ("warning", "ambiguous")
    assert "multiple of 5" in problem.sentence
    assert "stitches of one side" in problem.sentence
    assert stitches(counted("*K3, c2f; rep from * to end (14 sts)", on=14)) == [14]


def test_two_readings_that_nothing_decides_give_no_count() -> None:
    found = counted("*K3, kfb; rep from * 4 times, k to end", on=50)
    assert stitches(found) == [None]
    assert [each.kind for each in found.problems] == ["ambiguous"]


def test_spaces_of_chains_are_worked_into_as_often_as_there_are_any() -> None:
    # a granny square: 4 x 3, then 8 x 3 double crochets (the beginning chain counted), by hand
    texts = (
        "Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, (3 dc in ring, ch 2) 3 times, join",
        "Rnd 2: Ch 3, (2 dc, ch 2, 3 dc) in first sp, *ch 1, (3 dc, ch 2, 3 dc) in next ch-2 sp; "
        "rep from * around, ch 1, join",
    )
    assert stitches(counted(*texts, on=0, flat=False)) == [12, 24]
