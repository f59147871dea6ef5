"""Turns of phrase that print seldom has, each in a line of its own: its stitches and rows are worked out by hand.

Where the hand can only say that nobody knows, no count may be given. The lines are ours, in the manner of such print.
"""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.printed.line import crochet_stitch, parse_line
from lessonplan.printed.piece import begins_piece, casts_on_short
from lessonplan.printed.tree import Rows
from tests.printed.by_hand import FLAT, ROUND

SHAPED = (
    # (rows or rounds, stitches before, line, stitches after, rows)
    # rows and a shaping in them: those that are shaped, those between, and those left over behind the last one
    (FLAT, 30, "Work 5 rows, dec 1 st at neck edge of each row.", 25, 5),
    (FLAT, 20, "Knit 8 rows, increasing 1 st at end of each row.", 28, 8),
    (FLAT, 40, "Work 8 rows, dec 1 st at each end of 3rd and every foll 4th row.", 36, 8),  # the 3rd and the 7th
    (FLAT, 40, "Work 9 rows, inc 1 st at each end of 3rd and every foll 6th row.", 44, 9),  # the 3rd and the 9th
    (FLAT, 40, "Work 12 rows, dec 1 st at each end of every 4th row.", 34, 12),
    (FLAT, 40, "Work 10 rows, dec 1 st at each end of every 4th row.", 36, 10),
    (FLAT, 40, "Work in st st for 10 rows, dec 1 st at each end of every 4th row.", 36, 10),
    (FLAT, 40, "On next row, then on foll 6 alt rows dec 1 st at each end.", 26, None),
    (FLAT, 40, "Knit 4 rows, dec 4 sts evenly in next row.", 36, 5),
    (FLAT, 40, "Work 8 rows as follows: *k2, p2; rep from * to end.", 40, 8),
    (FLAT, 42, "Dec 1 st at armhole edge on next and foll 3 alt rows, AT THE SAME TIME dec 1 st at front slope edge "
     "on these same rows.", 34, None),  # four rows, two each
    (FLAT, 78, "K to end (still 78 sts).", 78, 1),
    (ROUND, 40, "Ssk at beginning of needle 1, k2tog at end of needle 2.", 38, 1),
    (FLAT, 30, "P to last st inc 6 sts evenly, k1.", 36, 1),
    # asterisks in pairs: once, and again where it says so
    (FLAT, 12, "K1, *k2tog, yo*, k3, rep from * to * twice more, k2.", 12, 1),
    (ROUND, 40, "K3, *ssk, k4, k2tog*, k10, rep from * to * once, k11.", 36, 1),
    # what is said of a second needle
    (ROUND, 24, "K1, m1, k to last st on needle, m1, k1. Turn work and repeat on second needle.", 28, 1),
    (ROUND, 24, "*K1, m1, k to last st on needle, m1, k1; rep from * on second needle.", 28, 1),
    # a piece that ends
    (ROUND, 8, "Thread the yarn through the sts, draw up and fasten off.", 0, None),
    (ROUND, 16, "*K2tog* around. Break yarn, draw through rem sts and fasten off.", 0, None),
    (ROUND, 30, "*K13, k2tog* around, bind off.", 0, None),
    # all of a row, and one as before
    (FLAT, 20, "K all.", 20, 1),
    (FLAT, 20, "Work as established.", 20, 1),
    (FLAT, 20, "2 rows knit.", 20, 2),
    # what is put aside, and what stays
    (FLAT, 30, "Put next 10 sts on a holder or waste yarn, k to end.", 20, 1),
    (FLAT, 30, "Bind off all but 10 sts.", 10, 1),
    # stitches told one behind the other, with no dashes and no commas between
    (FLAT, 6, "K1 yo k1, k4.", 7, 1),
)  # fmt: skip


@pytest.mark.parametrize(("flat", "on", "text", "after", "rows"), SHAPED)
def test_a_rare_turn_of_phrase_is_worked_as_it_says(
    flat: bool, on: int, text: str, after: int, rows: int | None
) -> None:
    (line,) = count_lines([text], [on], flat=flat).lines
    assert (line.stitches, line.rounds[0] if rows else None) == ((after,), rows)


def test_rows_named_one_after_the_other_are_a_row_each() -> None:
    (line,) = count_lines(["Next 3 rows: k, p, k."], [12], flat=True).lines
    assert (line.stitches, line.rounds, dict(line.techniques)) == ((12,), (3,), {"k": (24,), "p": (12,)})


def test_what_one_row_at_markers_comes_to_is_told_and_repeated() -> None:
    # Four markers, two stitches at each: 8 at a time, four times in all.
    text = (
        "Dec 1 st on each side of all 4 markers (= 8 sts decreased). Repeat this decrease every 4th rnd 3 more times."
    )
    counted = count_lines([text], [80], markers=[[20], [40], [60], [80]])
    assert counted.lines[0].stitches == (48,)


LABELLED = (
    # the second line of two: (first line, second line, stitches on, after, rows of the second)
    ("Dec row (RS) K2, ssk, k to last 4 sts, k2tog, k2.", "Next row P to end.", 20, 18, 1),
    ("Inc row K1, kfb, k to end.", "Next 3 rows Knit.", 20, 21, 3),
    ("Row 1 (RS): Ssk, k to end.", "Next row (WS) P to end.", 20, 19, 1),
    ("Row 1: Knit.", "Decrease, 1st time: K2tog, k to end.", 20, 19, 1),
    ("Row 1: Knit.", "Work 5 rows without shaping. - 20 sts.", 20, 20, 5),
    ("Row 1: Knit.", "Work on last set of 20 sts for left front: P 1 row.", 20, 20, 1),
    ("RS: K1, m1, k to end.", "WS: Purl.", 20, 21, 1),
    ("Row 1: Knit.", "Next 2 rows: K15, p5.", 20, 20, 2),  # no row for each of the two
)


@pytest.mark.parametrize(("first", "second", "on", "after", "rows"), LABELLED)
def test_a_rare_name_of_a_row_is_no_step_of_it(first: str, second: str, on: int, after: int, rows: int) -> None:
    counted = count_lines([first, second], [on], flat=True)
    assert not [each for each in counted.problems if each.severity != "note"], counted.problems
    assert (counted.lines[1].stitches, counted.lines[1].rounds) == ((after,), (rows,))


ALSO = (
    ("Row 2 and all even rows: Purl.", (2,), "even"),
    ("Row 2 and every alternate row: Purl.", (2,), "even"),
    ("Row 3 and every other row: Purl.", (3,), "odd"),
    ("Row 1 and all odd rows: Knit.", (1,), "odd"),
    ("Row 2 and all WS rows: Purl.", (2,), "ws"),
    ("All even rows: Purl.", (), "even"),
    ("Each odd row: Knit.", (), "odd"),
    ("All WS rows: Purl.", (), "ws"),
    ("All RS rows: Knit.", (), "rs"),
    ("Increase row (WS): Purl, increasing 2 sts.", (), ""),
)


@pytest.mark.parametrize(("text", "numbers", "also"), ALSO)
def test_rows_told_for_others_say_which(text: str, numbers: tuple[int, ...], also: str) -> None:
    label = parse_line(text).label
    assert (label.kind, label.numbers, label.also, label.name) == ("row", numbers, also, "increase" * (not also))


@pytest.mark.parametrize("text", ["(WS) P to end", "WS: P to end", "[WS] row: P to end", "Wrong side: P to end"])
def test_a_side_alone_names_the_row(text: str) -> None:
    assert parse_line(text).label.side == "WS"


@pytest.mark.parametrize(
    ("text", "kind"),
    [("R1: K5", "round"), ("R1 (WS): K5", "row"), ("Rnd 1 (RS): K5", "round")],
)
def test_what_the_letter_r_stands_for_the_side_tells(text: str, kind: str) -> None:
    assert parse_line(text).label.kind == kind


def test_rows_numbered_by_size_are_those_of_each_size_and_none_where_they_end_before_they_begin() -> None:
    label = parse_line("Rows 3-8 (9, 2): Knit.", 3).label
    assert [label.in_size(size).numbers for size in (0, 1)] == [(3, 4, 5, 6, 7, 8), (3, 4, 5, 6, 7, 8, 9)]
    assert [label.in_size(size).last for size in (0, 1)] == [8, 9]
    assert label.in_size(2).only == (1, 2)
    assert parse_line("Rows 3-8: Knit.", 3).label.in_size(2).numbers == (3, 4, 5, 6, 7, 8)


HOOKED = (
    ("Rnd 1: Sc in each of 12 sts.", "Rounds 5-10 - 1 sc in each st", 12, 6),
    ("Rnd 1: Sc in each of 12 sts.", "III. 2 sc in each st around.", 24, 1),
    ("Rnd 1: Sc in each of 12 sts.", "Rnd 2: (sc inc) x 6", 18, 1),
    ("Rnd 1: Sc in each of 12 sts.", "Rnd 2: (1sc inc) x 6", 18, 1),
    ("Rnd 1: Sc in each of 12 sts.", "Sc evenly around armhole. (40 sts)", 40, 1),
)


@pytest.mark.parametrize(("first", "second", "after", "rows"), HOOKED)
def test_a_rare_turn_of_crochet_is_worked_as_it_says(first: str, second: str, after: int, rows: int) -> None:
    counted = count_lines([first, second], [12])
    assert (counted.lines[1].stitches, counted.lines[1].rounds) == ((after,), (rows,))


NOT_TOLD = (
    # words of work, or of how far and how often, that nothing in the line holds
    (FLAT, 40, "K10, wibble 4 sts evenly, k to end."),
    (FLAT, 40, "K2 wibble, k to end."),
    (FLAT, 40, "Work 2 rows, dec 1 st at each end of every 4th row."),
    (FLAT, 40, "K3, wibble, k3, k to end."),
    (FLAT, 40, "K to wibble."),
    (FLAT, 40, "K1. Wibble. K to end."),
    (FLAT, 40, "K20, wibble to end."),
    (FLAT, 40, "K20, 1 yarn wibble, k20."),
    (FLAT, 40, "K these, k to end."),
    (FLAT, 40, "K20, p half of these."),
    (FLAT, 40, "K2, increase as set, k to end."),
    (FLAT, 40, "K2, p2 on RS rows, k to end."),
    (FLAT, 40, "Dec 1 st at each end of every 4th row."),
    (FLAT, 40, "Slip the sleeves on the same needle."),
    (FLAT, 40, "K20, turn, leave those on a spare needle."),
    (FLAT, 40, "K2, 2ktog, k to end."),
    (FLAT, 40, "Increase evenly over next 5 rows."),
    (FLAT, 40, "Rep this on next row."),
    (FLAT, 40, "K2, do the same, k to end."),
    (FLAT, 40, "K across the front only."),
    (FLAT, 40, "K2, k2tog every other st, k to end."),
    (FLAT, 40, "K to end, dropping the yarn overs."),
)  # fmt: skip


@pytest.mark.parametrize(("flat", "on", "text"), NOT_TOLD)
def test_no_count_is_given_of_what_print_does_not_tell(flat: bool, on: int, text: str) -> None:
    assert count_lines([text], [on], flat=flat).lines[0].stitches == (None,)


REMARKS = (
    # words that change nothing where they stand
    (FLAT, 40, "K20 (wibble), k20.", 40),
    (FLAT, 40, "K20, place wibble marker, k20.", 40),
    (FLAT, 40, "K20 sts frabjously holding them, k20.", 40),
    (FLAT, 40, "Work until piece measures 19 cm, or 2 cm less than desired.", 40),
    (FLAT, 40, "Work until there are 12 rows less than on back.", 40),
    (FLAT, 40, "Next 4 rows: Dec 1 st at each end of every row.", 32),
    (FLAT, 40, "Dec 1 st at each end of every 4th row 3 times.", 34),
    (FLAT, 40, "Dec 1 st at each end of every 4th row until 34 sts remain.", 34),
)


@pytest.mark.parametrize(("flat", "on", "text", "after"), REMARKS)
def test_what_says_nothing_leaves_the_count(flat: bool, on: int, text: str, after: int) -> None:
    assert count_lines([text], [on], flat=flat).lines[0].stitches == (after,)


@pytest.mark.parametrize(
    ("text", "word", "level"),
    [
        ("K10 sts frabjously holding them, k10", "frabjously", 0),  # within a clause
        ("K10, frabjously pulling tight, k10", "frabjously", 1),  # it begins one
        ("K10 and frabjously pulling tight, k10", "frabjously", 1),
        ("K10 sts zz holding them, k10", "zz", 2),  # no English
        ("K10 sts grrr holding them, k10", "grrr", 2),
        ("K10 sts abc holding them, k10", "abc", 2),
        ("K10, frabjously, k10", "frabjously", 3),  # where a stitch could stand
        ("K10 2ktog, k10", "2ktog", 4),  # a number is part of it
        ("K10, p all or k10", "or", 2),
    ],
)
def test_how_much_of_a_doubt_a_word_is(text: str, word: str, level: int) -> None:
    doubts = [(each.word, each.at, each.level) for each in parse_line(text).doubts]
    assert (word, text.index(word), level) in doubts, doubts


@pytest.mark.parametrize(
    "named", ["in garter st, making a buttonhole on row {}", "making a buttonhole in the {}th row"]
)
@pytest.mark.parametrize("row", [1, 4, 6])
def test_a_buttonhole_is_in_one_of_the_rows_told_before_it(row: int, named: str) -> None:
    text = f"Work 6 rows {named.format(row)} as follows: k2, yo, k2tog, k to end."
    line = count_lines([text], [20], flat=True).lines[0]
    assert (line.stitches, line.rounds, dict(line.techniques)["yo"]) == ((20,), (6,), (1,))
    parts = [part for part in parse_line(text).parts if isinstance(part, Rows)]
    assert [part.times for part in parts] == [(each,) for each in (row - 1, 1, 6 - row) if each]


def test_rounds_as_the_one_before_but_with_more_between_the_increases() -> None:
    texts = ["Rnd 1: 6 sc in magic ring.", "Rnd 2: 2 sc in each st.", "Rnd 3: (1 sc, inc) x 6."]
    counted = count_lines([*texts, "Rnd 4: As rnd 3, but with 2 sc between increases."], [0])
    assert [line.stitches[0] for line in counted.lines] == [6, 12, 18, 24]


def test_a_count_between_markers_is_one_of_a_part() -> None:
    line = parse_line("K to marker. (12 sts between markers)")
    assert (line.inside, line.part, line.printed) == ((12,), "markers", ())


BEGINNING = (
    ("CO 40 sts.", True), ("With A, cast on 40.", True), ("Join A, CO 40 sts.", True), ("Ch 25.", True),
    ("Ch 7, sc in next st.", True), ("Ch 6, sc in next st.", False), ("Ch 3, dc in each st around.", False),
    ("Ch 2, 6 sc in 2nd ch from hook.", True), ("Ch 4, join with sl st to form a ring.", True),
    ("Rnd 1: Ch 25.", True), ("Rnd 2: Ch 25.", False), ("6 sc in magic ring.", True), ("Fsc 20.", True),
    ("Knit to end.", False), ("Place marker.", False), ("Rep last row.", False), ("Weave in ends.", False),
)  # fmt: skip


@pytest.mark.parametrize(("text", "begins"), BEGINNING)
def test_what_begins_a_piece(text: str, begins: bool) -> None:
    assert begins_piece(parse_line(text, crochet="sc" if "sc" in text or "Ch" in text else "")) is begins


@pytest.mark.parametrize(
    ("text", "short"), [("CO 40 sts", True), ("With A, CO 40", True), ("Cast on 40", False), ("K5, CO 3", False)]
)
def test_a_line_that_begins_with_co(text: str, short: bool) -> None:
    assert casts_on_short(parse_line(text)) is short


@pytest.mark.parametrize(
    ("text", "measured"),
    [("Work 6 cm in rib.", True), ("Using A, cont 4 inches in garter st.", True), ("Work in rib for 6 rows.", False)],
)
def test_a_length_told_first_is_a_length(text: str, measured: bool) -> None:
    part = parse_line(text).parts[0]
    assert isinstance(part, Rows)
    assert part.measured is measured


@pytest.mark.parametrize(
    ("text", "stitch"),
    [
        ("Single crochet in each st", "sc"), ("2 double crochet in next st", "dc"), ("Half-double crochet", "hdc"),
        ("1 treble crochet", "tr"), ("ch 3, 2 dc in next", "dc"), ("Chain 5", "sc"), ("FPDC around", "dc"),
        ("3 htr", "htr"), ("K2, p2", ""), ("Rnd 2 (DC): knit", ""), ("(2 DC) in next st", "dc"),
    ],
)  # fmt: skip
def test_the_stitch_by_which_a_line_is_crochet(text: str, stitch: str) -> None:
    assert crochet_stitch(text) == stitch


def test_a_yarn_called_dc_is_no_stitch() -> None:
    assert crochet_stitch("With DC, knit 5", frozenset({"DC"})) == ""
    assert crochet_stitch("With DC, sc in next st", frozenset({"DC"})) == "sc"


@pytest.mark.parametrize("text", [text for _, _, text in NOT_TOLD])
def test_every_doubt_is_told_at_its_word(text: str) -> None:
    line = parse_line(text)
    for doubt in [doubt for each in (line, *line.others) for doubt in each.doubts]:
        assert text[doubt.at :].lower().startswith(doubt.word.lower()), doubt
