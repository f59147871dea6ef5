"""Whole patterns of crochet, as leaflets print them: counts worked by hand, what is told beside the lines heeded."""

from __future__ import annotations

import pytest

from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet.contents import read_whole
from lessonplan.printed.words.turning import notes_said


def whole(text: str) -> Whole:
    return work_whole(read_whole(text))


def counts(found: Whole) -> list[tuple[int | None, ...]]:
    return [line.counted.stitches for line in found.lines]


def faults(found: Whole) -> list[tuple[int, str]]:
    return [(each.line, each.kind) for each in found.problems if each.kind not in ("asked", "abbreviation")]


BAG = """Net Bag

ABBREVIATIONS (UK terms are given in brackets)
ch - chain
dc - double crochet [tr]
sc - single crochet [dc]

TOP
Ch 24, join.
Rnd 1: Ch 1, sc in same st, *ch 5, skip next 2 sts, sc in next st; rep from * to last 2 sts,
ch 5, skip last 2 sts, join.
Rnd 2: Sl st in next 3 ch, ch 1, sc in same sp, *ch 5, sc in next ch-5 sp; rep from * around, ch 5,
join with sl st in first sc.
Rnds 3-9: Rep Rnd 2.
Rnd 10: Ch 1, 3 sc in each ch-5 sp around, join. (24 sc)

HANDLE
Row 1: Ch 1, sc in next 8 sts, turn. (8 sc)
Row 2: Ch 1, sc in each st across, turn. (8 sc)
"""


def test_a_net_keeps_its_spaces_and_a_handle_turns_early() -> None:
    found = whole(BAG)
    turns = BAG.splitlines().index("Row 1: Ch 1, sc in next 8 sts, turn. (8 sc)") + 1
    assert found.terms == "us"  # those in brackets are the others
    assert counts(found) == [(24,), (8,), (8,), (8,), (24,), (8,), (8,)]
    assert faults(found) == [(turns, "remark")]
    assert "16 stitches left unworked" in next(each.sentence for each in found.problems if each.line == turns)


BEANIE = """Sideways Beanie

Sizes: Child (Teen, Adult S/M, Adult L)

Notes
The ch 1 at the beginning of the row does not count as a stitch.

Ch 31 (34, 37, 40).
Row 1: Hdc in 2nd ch from hook, hdc in next 24 (26, 28, 30) chs, sc in last 5 (6, 7, 8) chs, turn. [30 (33, 36, 39) sts]
Row 2: Ch 1, sc in first 5 (6, 7, 8) sts, hdc in next 25 (27, 29, 31) sts, turn.
Row 3: Ch 1, hdc in first 25 (27, 29, 31) sts, sc in last 5 (6, 7, 8) sts, turn.
Repeat Rows 2 and 3 until you have 46 (50, 54, 58) rows.

Brim
Rnd 1: Ch 1, work 1 sc in each row end around, join. [46 (50, 54, 58) sc]
"""


def test_a_size_of_two_letters_is_one_and_a_note_is_no_row() -> None:
    found = whole(BEANIE)
    assert found.printed.sizes == ("Child", "Teen", "Adult S/M", "Adult L")
    assert faults(found) == []
    assert found.sections[0].rounds == (46, 50, 54, 58)
    assert counts(found)[-1] == (46, 50, 54, 58)


CUSHION = """Cushion of Squares
Size: 40 x 40 cm / 16" x 16"
ch: chain, dc: double crochet, tr: treble crochet, sp: space, ss: slip stitch
UK terms used throughout

SQUARE (make 9)
Ch 6, join with ss to form a ring.
Round 1: 3ch (counts as 1tr), 2tr into ring, [3ch, 3tr into ring] 3 times, 3ch, ss to top of 3ch. (12 tr)
Round 2: 3ch, (2tr, 3ch, 3tr) into first 3ch-sp, *1ch, (3tr, 3ch, 3tr) into next 3ch-sp; rep from * twice
more, 1ch, ss to top of 3ch. (24 tr)

MAKING UP
Join squares in three rows of three with dc through both loops.

BORDER
Ch 20, join.
Round 1: 1ch, 1dc in each ch around. (20 dc)
"""


def test_squares_that_are_made_up_are_one_piece() -> None:
    found = whole(CUSHION)
    assert found.printed.sizes == ("one size",)  # a piece of two measures has one size
    assert [(found.printed.sections[each.section].name, each.times) for each in found.sections] == [
        ("SQUARE", 9),
        ("BORDER", 1),
    ]
    assert faults(found) == []
    assert {key for each, _, _ in found.printed.explained for key in each.keys} == {"ch", "dc", "tr", "sp", "ss"}


@pytest.mark.parametrize(
    ("note", "first", "last"),
    [
        # The chain stands for the first of twelve; then there are two on it and two on each of the eleven others.
        ("", 11, 2 + 22),
        # It stands for none; then one on the first of twelve, as printed, and two on each of the eleven others.
        ("Beginning ch 3 does not count as a dc throughout.", 12, 1 + 22),
    ],
)
def test_what_is_said_of_turning_chains_beside_the_lines_is_heeded(note: str, first: int, last: int) -> None:
    found = whole(
        f"Circle\n\nNotes\n{note}\n\nMotif\nCh 4, join to form a ring.\nRnd 1: Ch 3, {first} dc in ring, join.\n"
        "Rnd 2: Ch 3, dc in same st, 2 dc in each st around, join.\n"
    )
    assert counts(found)[-2:] == [(12,), (last,)]


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("The ch 1 at the beginning of the row does not count as a stitch.", ((1, "not"),)),
        ("The tch (ch 3) counts as a dc throughout.", ((3, "counts"),)),
        ("NOTE: Turning chain does not count as a stitch unless stated otherwise.", ((0, "not"),)),
        ("Ch 1 does not count as a stitch, ch 3 counts as a dc.", ((1, "not"), (3, "counts"))),
        ("3 ch at beg of row counts as first tr.", ((3, "counts"),)),
        ("Ch 3 (counts as dc), 11 dc in ring", ()),
        ("Ch 3 (counts as dc).", ()),
        ("Ch 1, turn.", ()),
        ("Pattern is worked over a multiple of 14 sts + 3 for the turning ch.", ()),
    ],
)
def test_a_sentence_about_chains_alone(sentence: str, said: tuple[tuple[int, str], ...]) -> None:
    assert notes_said(sentence.lower()) == said


BEAR = """Bear

ABBREVIATIONS
rnd(s): round(s)
RS: right side
sc: single crochet

Legs (make 2, do not fasten off the second)
R1: 6 sc in a magic ring (6)
R2: inc x 6 (12)

Body
R3: 11 sc around the first leg, 1 sc where they meet, 12 sc around the second leg (24)
R4: [3 sc, inc] x 6 (30)
"""


def test_a_body_on_two_legs_is_made_once() -> None:
    found = whole(BEAR)
    sections = [(found.printed.sections[each.section].name, each.times) for each in found.sections]
    assert sections == [("Legs", 2), ("Body", 1)]
    assert {key for each, _, _ in found.printed.explained for key in each.keys} >= {"rnd", "rnds", "RS", "sc"}
    assert counts(found)[-1] == (30,)


SCARF = """Scarf

Special stitches
Shell: 5 dc in same st or space
V-st: (dc, ch 2, dc) in indicated st

Ch 38.
Row 1: Sc in 2nd ch from hook, *skip 2 ch, shell in next ch, skip 2 ch, sc in next ch; rep from * across, turn.
Row 2: Ch 3 (counts as dc), 2 dc in first sc, *skip 2 dc, sc in next dc, skip 2 dc, shell in next sc; rep from *
across ending with 3 dc in last sc, turn.
Row 3: Ch 1, sc in each dc and sc across, turn. (37 sc)
"""


def test_special_stitches_are_what_their_list_says() -> None:
    # Six shells of five and seven sc between; then half a shell at each end, five whole ones and six sc.
    found = whole(SCARF)
    assert counts(found) == [(38,), (6 * 5 + 7,), (3 + 5 * 5 + 3 + 6,), (37,)]
    assert faults(found) == []
