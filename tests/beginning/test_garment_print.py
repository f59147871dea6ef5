"""Garments and a bag as they are printed: pieces made apart and put together, pairs, colours, lists of materials.

Worked by hand: a hat of 80 stitches in repeats of 4 + 6 gains 8 stitches, 88 are 8 repeats of 11; 6 rounds worked 3
more times are 18. Sleeves of 32 held stitches and twice 2 picked up begin with 36. Thirteen squares are 13 times
the round of one.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.beginning.sources import Sources, begin_from
from lessonplan.course.model.works import Knit
from lessonplan.needle.count import count_lines
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.pattern.colour import ends_left
from lessonplan.printed.leaflet.contents import read_whole
from lessonplan.printed.leaflet.sizes import names

HAT = """Lanternside Hat

By A. Teacher

Sizes
Child (Youth, Adult)

You will need
Aran yarn, 166 m per 100 g: 1 ball
5 mm needles
Cable needle

Hat
Cast on 80 (90, 100) sts. Join to work in the round.
Increase round: *K4, m1, (k1, p1) 3 times; repeat from * to end. 88 (99, 110) sts.
Now work in cable pattern:
Rounds 1-5: *P2, k6, p3; rep from * to end.
Round 6: *P2, C6F, p3; rep from * to end.
These 6 rounds form the pattern. Work them 3 (4, 4) more times.
Change to smaller needles and work in garter stitch for 3 cm.
Bind off.
"""

CARDIGAN = """# Orchard Cardigan

Sizes: 3 months (6 months, 12 months)
Length: 24 (27, 30) cm
Gauge: 22 sts and 28 rows to 10 cm over st st on 4 mm needles
Yarn: Thistle DK, 230 m per 100 g. MC: 1 (2, 2) balls; CC: 1 ball
5 buttons, 4 stitch markers

YOKE
With MC, cast on 100 (108, 116) sts.
Work 4 rows in garter st.

DIVIDE FOR SLEEVES
Next row (RS): K20 (22, 24), place next 32 (34, 36) sts on waste yarn, k12, place next 32 (34, 36) sts on waste yarn, \
k4 (6, 8). 36 (40, 44) sts.
Knit 4 rows. Bind off.

SLEEVES
Pick up and knit 2 sts from the underarm, knit the 32 (34, 36) held sts, pick up and knit 2 sts. 36 (38, 40) sts.
Knit 6 rounds.
Bind off.
"""

PULLOVER = """# Ridge Pullover

BODY
Cast on 100 sts. Join in the round.
Knit 10 rounds. Set aside.

SLEEVES
Cast on 40 sts. Join in the round.
Knit 9 rounds.
Next round: Bind off 4 sts, knit to end. 36 sts. Set aside and make a second sleeve.

YOKE
Joining round: Knit across the first sleeve, the front, the second sleeve and the back. 164 sts.
Knit 3 rounds.
Bind off.
"""


def section(whole: Whole, name: str) -> tuple[int, int]:
    """How often a section is made, and its rounds in the first size, all of them together."""
    one = next(one for one in whole.sections if whole.printed.sections[one.section].name == name)
    return one.times, one.rounds[0]


def test_a_bracket_of_stitches_behind_a_number_is_no_list_of_three_sizes() -> None:
    counted = count_lines(["*K4, m1, (k1, p1) 3 times; repeat from * to end. 88 (99, 110) sts."], (80, 90, 100))
    assert not counted.problems
    assert counted.lines[0].stitches == (88, 99, 110)
    assert dict(counted.lines[0].techniques)["p"] == (24, 27, 30)
    listed = count_lines(["K4 (k5, k6), p to end"], (80, 90, 100))
    assert dict(listed.lines[0].techniques)["k"] == (4, 5, 6)


def test_rounds_below_a_heading_that_says_to_work_them_are_worked() -> None:
    whole = work_whole(read_whole(HAT))
    assert {one.kind for one in whole.problems} == {"asked"}  # the 3 cm of the brim
    assert [line.counted.rounds for line in whole.lines if "form the pattern" in line.counted.text] == [(18, 24, 24)]
    assert any("stitch for 3 cm" in line.counted.text for line in whole.lines)
    headings = [each.spread.text for each in whole.printed.entries if each.kind == "heading"]
    assert headings == ["Lanternside Hat", "Sizes", "You will need", "Hat", "Now work in cable pattern:"]


def test_squares_are_made_as_often_as_their_heading_says() -> None:
    text = (
        "# Bag\n\nUK terms used throughout\n\nGranny Square (make 13)\n"
        "Round 1: Ch 4, join with sl st to form a ring, ch 3 (counts as 1 tr), 11 tr in ring, join. (12 tr)\n"
    )
    assert section(work_whole(read_whole(text)), "Granny Square") == (13, 13)


def test_sleeves_of_one_heading_are_two_and_a_yoke_over_them_is_one() -> None:
    pullover = work_whole(read_whole(PULLOVER))
    assert section(pullover, "SLEEVES") == (2, 20)
    assert section(pullover, "YOKE") == (1, 5)  # joining, 3 knit, binding off
    assert section(work_whole(read_whole(CARDIGAN)), "SLEEVES")[0] == 2
    two = CARDIGAN.replace("SLEEVES\nPick", "LEFT SLEEVE\nPick")
    assert section(work_whole(read_whole(two)), "LEFT SLEEVE")[0] == 1


def test_what_a_pattern_is_about_is_no_line() -> None:
    about = "Toe-up socks with a short-row heel and a slip-stitch instep panel."
    assert not work_whole(read_whole(f"# Socks\n\n{about}\n\nCast on 20 sts.\nKnit 2 rounds.\n")).problems


@pytest.mark.parametrize("join", ["Join B", "Join a new ball", "Join new yarn", "Join in blue", "Attach B"])
def test_a_yarn_that_is_joined_joins_no_round(join: str) -> None:
    lines = count_lines(
        ["Row 1: Knit", f"{join} and knit 2 rows", "Work in stockinette for 4 rows"], (20,), flat=True
    ).lines
    assert dict(lines[2].techniques) == {"k": (40,), "p": (40,)}


def test_stitches_picked_up_at_a_place_are_as_many_as_print_says() -> None:
    counted = count_lines(["Place 32 held sts on needles and pick up and knit 4 sts at underarm. 36 sts"], (0,))
    assert not counted.problems
    assert counted.lines[0].stitches == (36,)


def test_sizes_of_months() -> None:
    assert names("Sizes: 3 months (6 months, 12 months)") == ("3 months", "6 months", "12 months")
    assert names("Length: 40 cm (42 cm, 44 cm)") == ()


def test_a_cardigan_becomes_a_course_with_both_sleeves(tmp_path: Path) -> None:
    (tmp_path / "print.md").write_text(CARDIGAN, encoding="utf-8")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "print.md"), lambda texts: texts)
    loaded = lessonplan.load(tmp_path / "c")
    assert [one.code for one in loaded.problems if one.severity != "note"] == []
    assert loaded.worked
    stages = loaded.worked.kinds["full"].stages
    for key in ("sleeves", "sleeves_2"):
        assert [stage.rounds[0].after for stage in stages[key]] == [36, 38, 40]
        assert [len(stage.rounds) for stage in stages[key]] == [6, 6, 6]
    text = (tmp_path / "c" / "pattern.yaml").read_text(encoding="utf-8")
    assert "  MC:\n" in text
    assert "  CC:\n" in text
    assert '"5 buttons"' in text


@pytest.mark.parametrize(("side", "rows"), [("WS", 8), ("RS", 7)])
def test_rows_that_end_on_a_side_have_the_row_that_leads_there(side: str, rows: int) -> None:
    """From 28 two stitches go in every other row: 20 after rows 1, 3, 5 and 7 of those repeated, and row 8 is plain."""
    dec = "Row 1 (RS): K1, ssk, k to last 3 sts, k2tog, k1."
    until = f"Rep Rows 1 and 2 until 20 sts remain, ending with a {side} row."
    counted = count_lines([dec, "Row 2: Purl.", until], (30,), flat=True)
    assert counted.lines[2].stitches == (20,)
    assert counted.lines[2].rounds == (rows,)


def test_squares_alike_from_row_1_are_worked_on_stitches_of_their_own() -> None:
    """From 7 stitches two go in rows 2 and 4, and the last three are one: 5 rows and one that ends it, 6 times."""
    text = (
        "# Squares\n\nFIRST SQUARE\nCast on 7 sts.\nRow 1: Knit.\nRow 2: K2, sk2p, k2.\nRow 3: Knit.\n"
        "Row 4: K1, sk2p, k1.\nRow 5: Knit.\nLast row: Sk2p. Fasten off.\n\nSECOND SQUARES (make 5)\n"
        "Pick up and knit 4 sts along the top edge of the square below, cast on 3 sts. (7 sts)\n"
        "Work as for First Square from Row 1.\n"
    )
    whole = work_whole(read_whole(text))
    assert {one.severity for one in whole.problems} <= {"note"}
    assert section(whole, "FIRST SQUARE") == (1, 6)
    assert section(whole, "SECOND SQUARES") == (5, 30)
    assert whole.lines[-1].counted.stitches == (0,)


@pytest.mark.parametrize(
    ("text", "stitches", "rows"),
    [
        ("Knit 8 rows, increasing 1 st at each end of every RS row.", 108, 8),
        ("Work 8 rows in st st, dec 1 st at each end of every alternate row.", 92, 8),
        ("Work 14 rows in rib, inc 1 st at each end of every 4th row.", 106, 14),  # rows 4, 8 and 12
        ("Work 12 rows, inc 1 st at each end of 3rd and every foll 4th row.", 106, 12),  # rows 3, 7 and 11
        ("Work 5 rows, inc 1 st at each end of 3rd and every foll 4th row.", 102, 5),
        ("Knit 8 rows, decreasing 1 stitch at the beginning of every row.", 92, 8),
    ],
)
def test_rows_of_which_some_are_shaped(text: str, stitches: int, rows: int) -> None:
    counted = count_lines([text], (100,), flat=True)
    assert not counted.problems
    assert (counted.lines[0].stitches, counted.lines[0].rounds) == ((stitches,), (rows,))


def test_a_pattern_with_its_multiple_behind_it_and_borders_kept() -> None:
    """49 stitches less two borders of 3 are 43, 7 repeats of 6 and one."""
    text = (
        "# Scarf\n\nYou will need: 100 g 4-ply wool; 4 mm needles; darning needle\n\n"
        "Lace pattern (multiple of 6 sts + 1)\nRow 1 (RS): K1, *yo, ssk, k1, k2tog, yo, k1; rep from * to end.\n"
        "Row 2: Purl.\n\nSCARF\nCast on 49 sts.\n"
        "Next row (RS): K3, work Row 1 of Lace pattern to last 3 sts, k3.\n"
        "Cont as set, working 3 sts at each edge in garter st and remaining sts in Lace pattern, "
        "until it measures 90 cm.\n"
    )
    whole = work_whole(read_whole(text))
    assert [one.kind for one in whole.problems] == ["asked"]
    assert [line.counted.stitches for line in whole.lines] == [(49,)] * 3
    assert "Lace pattern" in whole.printed.patterns


def test_heads_and_feet_of_pages_stand_in_no_sentence() -> None:
    text = (
        "HARBOUR\n\nCast on 84 sts. Join.\n*K10, k2tog; rep from *\n© 2021 A. Maker                1\n"
        "Harbour            Page 2 of 3\nto end. 77 sts\nKnit 2 rnds.\n\n© 2021 A. Maker                2\n"
        "Harbour            Page 3 of 3\nBind off.\n"
    )
    whole = work_whole(read_whole(text))
    assert [line.counted.stitches for line in whole.lines] == [(84,), (77,), (77,), (0,)]
    assert [each.spread.line for each in whole.printed.entries if "©" in each.spread.text] == [5]


def test_words_of_lists_as_old_print_parts_them() -> None:
    text = (
        "BONNET\n\nMATERIALS.—2 oz. of 3-ply.\n\nABBREVIATIONS.-K. = knit; tog. = together.\n\n"
        "Commence by casting on 84 sts.\n1st row.-* K. 10, k. 2 tog. Repeat from * to end (77 sts).\n"
    )
    whole = work_whole(read_whole(text))
    assert [line.counted.stitches for line in whole.lines] == [(84,), (77,)]
    assert {one.keys for one, _, _ in whole.printed.explained} == {("K.",), ("tog.",)}


@pytest.mark.parametrize(
    ("text", "rows", "yos"),
    [
        ("Work 6 rows in garter st, making a buttonhole on row 3 as follows: k2, yo, k2tog, k to end.", 6, 1),
        ("Work 6 rows in garter st, working buttonholes in 3rd row as follows: k2, yo, k2tog, k to end.", 6, 1),
        ("Work 8 rows as follows: k2, yo, k2tog, k to end.", 8, 8),
    ],
)
def test_rows_told_before_a_colon_are_all_worked(text: str, rows: int, yos: int) -> None:
    line = count_lines([text], (20,), flat=True).lines[0]
    assert (line.stitches, line.rounds, dict(line.techniques)["yo"]) == ((20,), (rows,), (yos,))


VEST = """MARSH VEST
A child's vest by A. Teacher

SIZES
2 years (4 years, 6 years)
Shown in size 2 years, worn with about 4 cm of ease.

MATERIALS
Yarn: Fenwick DK (100% wool, 225 m per 100 g)
MC: Moss, 2 (2, 3) balls
CC: Rust, 1 ball
Needles: 4 mm

GAUGE
20 sts and 30 rows = 10 cm in stockinette stitch.

NOTES
The first row is a wrong-side row. Slip markers as you come to them.

BODY
With MC, CO 40 (44, 48) sts using the twisted method.
Work in St st until the body measures 15 (17, 19) cm / 6 (6¾, 7½) in, ending with a WS row.
BO all sts in patt.

FIRST BAND
With CC and RS facing, pick up and k 30 (34, 38) sts evenly along the left edge, about 2 sts for every 3 rows.
Row 1 (WS): *K1, p1; rep from * to end.
Row 2 (RS): *K1, p1; rep from * to end.
BO all sts.

SECOND BAND
Work on the other edge like the first band, leaving out the buttonholes.

FINISHING
Weave in all ends. Wash by hand in cool water, lay flat and let dry.
"""


def test_each_thing_of_a_vest_is_told_once_and_nothing_is_lost(tmp_path: Path) -> None:
    """A length stands once: 15 cm are 45 rows, 46 is even. One ball has both colours."""
    (tmp_path / "print.md").write_text(VEST, encoding="utf-8")
    course = tmp_path / "c"
    begun = begin_from(course, {}, date(2027, 1, 4), Sources(pattern=tmp_path / "print.md"), lambda texts: texts)
    loaded = lessonplan.load(course)
    assert loaded.worked, [str(one) for one in loaded.problems]
    pattern, file = loaded.worked.course.pattern, loaded.worked.course.course
    yarns = {key: (one.name, one.colour, one.metres, one.grams) for key, one in pattern.yarns.items()}
    assert yarns == {"MC": ("Fenwick DK", "moss", 225, 100), "CC": ("Fenwick DK", "rust", 225, 100)}
    assert file.film_size == "2 years"
    assert file.summary.strip() == "A child's vest by A. Teacher."
    assert file.recipient == "child under 3"

    text = (course / "pattern.yaml").read_text(encoding="utf-8")
    kept = [line for line in text.split("\n") if not line.strip().startswith("#")]
    assert sum("15 (17, 19)" in line for line in kept) == 1
    assert any("measures {{ length }}, ending with a WS row" in line for line in kept)
    stages = loaded.worked.pattern.stages
    assert [len(one.rounds) for one in stages["body"]] == [46, 52, 58]
    cast_on, plain, off = pattern.stages["body"].works
    assert (getattr(cast_on, "method", ""), cast_on.note, plain.before) == ("twisted", "", "")
    assert (getattr(off, "method", ""), off.note) == ("in patt", "")
    assert cast_on.before == "The first row is a wrong-side row. Slip markers as you come to them."

    assert [one.rounds[-1].after for one in stages["first_band"]] == [30, 34, 38]
    assert pattern.stages["first_band"].after == ("body",)
    second = next(one for one in begun.taken["print.md"] if one.text.startswith("Work on the other edge"))
    assert (second.stands, second.left) == ("pattern.yaml: stages, second_band", "write out what is worked")
    assert pattern.stages["finishing"].after == ("second_band",)
    assert loaded.worked.pattern.stage("finishing", 0).steps[-1].drying == 12 * 60
    note = next(one for one in begun.taken["print.md"] if one.text.startswith("Yarn:"))
    assert note.stands == "pattern.yaml: yarns, MC, CC"


YOKE = """COVE PULLOVER

SIZES
2 (4, 6) years
To fit chest 53 (58, 63) cm / 21 (22¾, 24¾) in. Shown in size 6 with 6 cm of ease.

MATERIALS
Brackwater Worsted (100% wool; 200 m / 219 yds per 100 g) in
MC Slate, 2 (3, 3) skeins
C1 Chalk, 1 skein
C2 Rust, 1 skein
4.5 mm circular needle

GAUGE
20 sts and 28 rnds = 10 cm / 4 in in stockinette stitch.

ABBREVIATIONS
k: knit
rnd(s): round(s)
st(s): stitch(es)

YOKE
With MC, CO 72 (76, 80) sts. Join to work in the rnd, being careful not to twist.
Rnd 1: *K1 in C1, k1 in MC; rep from * to end.
Rnd 2: With C1, knit.
Rnd 3: *K1 in C2, k1 in C1; rep from * to end.
Rnd 4: With C1, knit.
Break C1 and C2. With MC, knit 3 rnds.
Knit every rnd until yoke measures 10 (11, 12) cm from cast-on edge.
Rib rnd: *K2, p2; rep from * to end.
Work rib rnd until rib measures 4 cm / 1½ in.
BO loosely in rib.

© A. Teacher 2026. For personal use only.
"""


def test_a_yoke_in_three_colours_as_print_has_it(tmp_path: Path) -> None:
    """7 rounds are 2.5 cm at 28 to 10 cm, so 7.5 (8.5, 9.5) cm are left: 21 (23.8, 26.6) rounds; 4 cm of rib are 11.2.

    MC lies in rounds 1 to 4 and is never cut; C1 in 1 to 4; C2 in 3: two ends of each yarn.
    """
    (tmp_path / "print.md").write_text(YOKE, encoding="utf-8")
    begin_from(tmp_path / "c", {}, date(2027, 1, 4), Sources(pattern=tmp_path / "print.md"), lambda texts: texts)
    loaded = lessonplan.load(tmp_path / "c")
    assert loaded.worked
    assert [str(one) for one in loaded.problems if one.severity != "note"] == []
    pattern, file = loaded.worked.course.pattern, loaded.worked.course.course
    yarns = {key: (one.name, one.colour, one.metres, one.grams) for key, one in pattern.yarns.items()}
    brackwater = "Brackwater Worsted"
    assert yarns == {
        "MC": (brackwater, "slate", 200, 100),
        "C1": (brackwater, "chalk", 200, 100),
        "C2": (brackwater, "rust", 200, 100),
    }
    assert [size.fits for size in pattern.sizes] == ["chest 53 cm", "chest 58 cm", "chest 63 cm"]
    assert (file.film_size, file.recipient) == ("6", "child under 3")
    assert file.copyright == "© A. Teacher 2026. For personal use only."
    assert pattern.gauge.fabric == "stockinette stitch"
    assert [len(one.rounds) for one in loaded.worked.pattern.stages["yoke"]] == [4 + 3 + n + 11 for n in (21, 24, 27)]
    works = [work for work in pattern.stages["yoke"].works if isinstance(work, Knit)]
    assert [(work.yarn, work.carry) for work in works][:4] == [
        (("C1",), ("MC",)),
        (("C2",), ("MC", "C1")),
        (("C1",), ("MC",)),
        (("MC",), ()),
    ]
    assert ends_left(loaded.worked.pattern, 2) == 6
    assert pattern.stages["yoke"].works[0].note == "Being careful not to twist."
