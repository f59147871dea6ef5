"""Whole patterns in the manner of leaflets and of northern firms: every count worked by hand."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet.contents import read_whole

JUMPER = """A child's jumper

Size: 2 (4) 6 years
Chest: 60 (66) 70 cm
Yarn: DK wool, 100 g = 220 m; colour 1 grey: 2 (2) 3 balls

Body
Cast on 132 (144) 156 sts with colour 1 on circular needle 3.5 mm.
K 2 P 2 rib in the round for 4 cm.
Change to needle 4 mm. K 1 round and dec 0 (0) 2 sts evenly = 132 (144) 154 sts.
Next round: Bind off 6 sts, K 60 (66) 71, bind off 6, K to end = 120 (132) 142 sts.
Put work aside.

Sleeves
Cast on 36 (36) 40 sts on double-pointed needles 3.5 mm with colour 1.
K 2 P 2 rib for 4 cm.
Change to needle 4 mm and K 1 round, inc 2 (4) 4 sts evenly = 38 (40) 44 sts.
Inc 1 st on each side of marker every 8th round 5 (6) 6 times = 48 (52) 56 sts.
Bind off 6 sts at underarm = 42 (46) 50 sts.
Knit the other sleeve in the same way.

Yoke
Place all pieces on circular needle 4 mm: sleeve, front, sleeve, back = 204 (224) 242 sts.
K 1 round, dec 4 (4) 2 sts evenly = 200 (220) 240 sts.
Decrease round: *K 8, K 2 tog* rep around = 180 (198) 216 sts.
"""
MITTEN = """CHILD'S MITTENS ON TWO NEEDLES

Materials: 1 (2) 50 g balls double knitting. 1 pair each 3¼ mm (No. 10) and 4 mm (No. 8) needles.
Measurements: To fit age 3-4 (6-7) years. Length 15 (18) cm.

RIGHT MITTEN
With 3¼ mm needles cast on 30 (34) sts.
Work 12 (14) rows in K1, P1 rib.
1st row: K16 (18), M1, K1, M1, K to end. 32 (36) sts.
2nd row: P.
3rd row: K16 (18), M1, K3, M1, K to end. 34 (38) sts.
"""
SLIPOVER = """Toddler's slipover

SIZES 1 yr (2 yrs, 3 yrs)
Chest 54 (58, 62) cm
TENSION 18 sts and 24 rows = 10cm in st st using 5mm needles

BACK
Using 4mm needles cast on 37 (41, 45) sts.
Work 4 rows in st st.
Cast off 4 (5, 6) sts at beg of next 2 rows, then 5 sts at beg of foll 2 rows.
Leave rem 19 (21, 23) sts on a holder.

FRONT
Work as given for Back until armholes measure 5cm, ending with a WS row. 37 (41, 45) sts.
Shape neck
Next row: K14 (15, 17), turn and leave rem sts on a spare needle.
Dec 1 st at neck edge of next 5 (5, 6) rows. 9 (10, 11) sts.
Shape shoulder
Cast off 4 (5, 6) sts at beg of next row. 5 sts.
Cast off.
With RS facing, slip centre 9 (11, 11) sts onto a holder, rejoin yarn and K to end. 14 (15, 17) sts.
Complete to match first side, reversing shaping.

NECKBAND
With RS facing and 4mm needles, pick up and K 20 (22, 24) sts down left side of neck, K9 (11, 11) from holder, """
SLIPOVER += """pick up and K 20 (22, 24) sts up right side, K19 (21, 23) sts from back neck. 68 (76, 82) sts.
Cast off in rib.
"""
MITTS = """Lady's fingerless mitts

One size. 50 g of 4-ply. Set of four 3 mm double-pointed needles.
30 sts and 40 rounds to 10 cm.

Cast on 52 sts and divide over three needles (18, 16, 18). Join, being careful not to twist.
Knit 4 rounds.
Cast off.
Work the second mitt the same as the first.
"""


def whole(text: str, *, flat: bool = False) -> Whole:
    return work_whole(read_whole(text), flat=flat)


def test_sizes_with_every_other_one_in_brackets_and_pieces_put_on_one_needle() -> None:
    found = whole(JUMPER)
    assert found.printed.sizes == ("2", "4", "6")
    assert [line.counted.stitches for line in found.lines] == [
        (132, 144, 156), (132, 144, 156), (132, 144, 154), (120, 132, 142),
        (36, 36, 40), (36, 36, 40), (38, 40, 44), (48, 52, 56), (42, 46, 50),
        (204, 224, 242), (200, 220, 240), (180, 198, 216),
    ]  # fmt: skip
    assert {problem.kind for problem in found.problems} <= {"gauge", "asked"}
    # Two sleeves, one yoke. 38 sts do not go into k2, p2: rounds between the increases are knitted, not ribbed.
    assert [each.times for each in found.sections] == [1, 2, 1]
    assert not [each for each in found.problems if "multiple" in each.sentence]


def test_two_sizes_that_nobody_named() -> None:
    found = whole(MITTEN, flat=True)
    assert len(found.printed.sizes) == 2
    assert [line.counted.stitches for line in found.lines] == [(30, 34), (30, 34), (32, 36), (32, 36), (34, 38)]
    assert not [each for each in found.problems if each.severity != "note"]


def test_two_sides_of_a_neck_and_the_band_round_it() -> None:
    found = whole(SLIPOVER, flat=True)
    assert found.printed.sizes == ("1 yr", "2 yrs", "3 yrs")
    # 37 less 14, less 9 in the middle, are 14 for the other side. The back's 19 wait until the neckband takes them.
    assert [line.counted.stitches for line in found.lines] == [
        (37, 41, 45), (37, 41, 45), (19, 21, 23), (0, 0, 0),
        (37, 41, 45), (14, 15, 17), (9, 10, 11), (5, 5, 5), (0, 0, 0), (14, 15, 17), (None, None, None),
        (68, 76, 82), (0, 0, 0),
    ]  # fmt: skip
    assert {problem.severity for problem in found.problems} == {"note"}


def test_a_gauge_without_its_word_is_no_line_and_a_second_mitt_doubles_all() -> None:
    found = whole(MITTS)
    assert [line.counted.stitches for line in found.lines] == [(52,), (52,), (0,)]
    assert found.sections[0].times == 2
    assert not found.problems


def test_a_leg_behind_a_heel_worked_back_and_forth_goes_round_again() -> None:
    # 40 stitches, the heel over 20 of them. Nobody says that the other 20 are on again; k2, p2 goes into 40.
    heel = "The heel is worked back and forth over the first 20 sts.\nRow 1 (RS): k20\nRow 2: p20\n"
    found = whole(f"Foot\nCO 40 sts.\nRnd 1: Knit.\n\nHeel\n{heel}\nLeg\nWork in k2, p2 rib for 10 cm.\n")
    assert found.lines[-1].counted.stitches == (40,)


@pytest.mark.parametrize(
    "line",
    [
        "Resume working in the round.",
        "Resume knitting in the round over all sts.",
        "Begin working in rounds again on all 40 sts.",
        "Return to working in the round.",
        "Cont in rnds on all sts.",
    ],
)
def test_what_waited_is_on_the_needles_again_where_the_work_goes_round(line: str) -> None:
    lines = ["The heel is worked back and forth over the first 20 sts.", "Row 1 (RS): k20", "Row 2: p20"]
    counted = count_lines([*lines, line, "Work in k2, p2 rib"], (40,))
    assert [each.stitches for each in counted.lines] == [(20,), (20,), (20,), (40,), (40,)]
    assert [each.rounds for each in counted.lines][-2:] == [(0,), (1,)]
    wrong = count_lines([*lines, "Resume working in the round over all 42 sts."], (40,))
    assert [each.kind for each in wrong.problems] == ["disagrees"]


@pytest.mark.parametrize(
    ("line", "on", "expected"),
    [
        ("*k1, m1r, k to last st on needle, m1l, k1; rep from * once more.", 20, 24),
        ("[K1, ssk, k to last 3 sts on needle, k2tog, k1] twice", 20, 16),
        ("Bind off 6 sts at underarm", 48, 42),
    ],
)
def test_two_needles_and_an_underarm(line: str, on: int, expected: int) -> None:
    counted = count_lines([line], (on,))
    assert counted.lines[0].stitches == (expected,)
    assert not counted.problems


def test_a_repeat_by_needles_of_which_nobody_knows_how_many_there_are_is_asked_about() -> None:
    # Two needles come to 16, four to 12: 18 in silence would be wrong for both.
    counted = count_lines(["*K1, ssk, k to last 3 sts on needle, k2tog, k1; rep from * to end"], (20,))
    assert counted.lines[0].stitches == (None,)
    assert [each.kind for each in counted.problems] == ["ambiguous"]


def test_a_stitch_pattern_told_by_its_multiple_and_rows_of_it() -> None:
    lace = (
        "Feather lace (multiple of 12 sts)\nRnd 1: *(k2tog) twice, (yo, k1) 4 times, (ssk) twice; rep from *.\n"
        "Rnd 2: Knit.\nRnd 3: Purl.\nRnd 4: Knit.\n\n"
        "Cowl\nCast on 144 sts.\nWork rnds 1-4 of Feather lace three times.\n"
    )
    found = whole(lace)
    assert list(found.printed.patterns) == ["Feather lace"]
    assert [line.counted.stitches for line in found.lines] == [(144,), (144,)]
    assert found.lines[-1].counted.rounds == (12,)
    assert not found.problems


@pytest.mark.parametrize("line", ["K 2 P 2 rib 3 cm.", "Work in k2, p2 rib 3 cm", "St st 5 cm"])
def test_a_length_behind_a_pattern_is_said_to_depend_on_the_gauge(line: str) -> None:
    counted = count_lines([line], (80,))
    assert counted.lines[0].stitches == (80,)
    assert ["depends on the gauge" in each.sentence for each in counted.problems] == [True]


@pytest.mark.parametrize("line", ["BO to last st.", "BO 19 sts, 1 st remains.", "Bind off until 1 st remains."])
def test_the_last_loop_of_a_strip_stays_on_the_needle(line: str) -> None:
    counted = count_lines([line], (20,), flat=True)
    assert counted.lines[0].stitches == (1,)
    assert not counted.problems
    assert count_lines(["Bind off 18 sts"], (20,), flat=True).problems
