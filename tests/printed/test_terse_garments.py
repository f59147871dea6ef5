"""Terse print of whole garments: work divided, goals, needles, pockets; every count is worked out by hand.

What a line takes or adds stands in it; the remark tells what is not plain.
"""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from tests.printed.by_hand import FLAT, ROUND, Lines, has_counts

PIECES: dict[str, tuple[bool, int, Lines]] = {
    # one side of 30 is worked, as what comes next tells
    "a turn that divides": (FLAT, 80, (
        ("Next row: K30, turn.", 30),
        ("Dec 1 st at neck edge on next 4 rows.", 26),
    )),
    "a turn that divides, then a row back": (FLAT, 80, (
        ("Next row: K30, turn.", 30),
        ("P 1 row.", 30),
        ("Next row: Cast off 4 sts, k to end.", 26),
    )),
    "a turn of a short row": (FLAT, 80, (
        ("Next row: K30, turn.", 80),
        ("Next row: P20, turn.", 80),
        ("Next row: K across all sts.", 80),
        ("Dec 1 st at each end of next row.", 78),
    )),
    "a turn before the last few": (FLAT, 80, (
        ("K to last 6 sts, turn.", 80),
        ("Dec 1 st at neck edge on next 4 rows.", 76),
    )),
    "left behind a turn": (FLAT, 114, (
        ("Next row: K30, turn.", 114),
        ("Leave rem sts on a stitch-holder.", 30),
        ("Cast off 2 sts at beg of next row.", 28),
    )),
    # 29 and 13 of 45: those between the two turns
    "the middle of a bootee": (FLAT, 45, (
        ("Next row: K29, turn.", 45),
        ("Next row: P13, turn.", 45),
        ("Work 20 rows in g st on these 13 sts.", 13),
    )),
    "a last set": (FLAT, 80, (
        ("Next row: Patt 30, cast off 20, patt to end.", 60),
        ("Cont on last set of sts only.", 30),
        ("Dec 1 st at neck edge on foll 3 alt rows.", 27),
        ("Cast off.", 0),
        ("Rejoin yarn to rem 30 sts and complete to match first side.", 0),
    )),
    "yarn rejoined": (FLAT, 80, (
        ("Next row: K32, cast off 16, k to end. Cont on last set of sts.", 32),
        ("Cast off.", 0),
        ("With WS facing rejoin yarn to rem sts and dec 1 st at neck edge on next 4 rows.", 28),
    )),
    "a set with its number": (FLAT, 118, (
        ("Next row: K27, cast off 6 sts, k52 including st on needle, cast off 6 sts, k to end.", 106),
        ("Work on last set of 27 sts for left front: P 1 row.", 27),
    )),
    "sides apart": (FLAT, 80, (
        ("Next row: K30, sl next 20 sts on to a holder, turn.", 60),
        ("Work each side separately as follows:", 30),
    )),
    # 18, 25: as many sts lie in the lining as are held
    "pocket linings": (FLAT, 50, (
        ("Next row: K12, sl next 26 sts onto a holder and in place of these k across sts of pocket lining, k12.",
         50),
        ("Patt 13, slip next 24 sts on a thread, and in place of these patt across lining sts, patt to end.", 50),
    )),
    "all but the last": (ROUND, 54, (
        ("K 7, sl all but last 7 sts on to a thread, cast on 2 sts, k 7.", 16),
        ("K 22 rnds.", 16),
    )),
    # 1 + 2 + 1 stitches in a round; then (60 - 28) : 4 = 8 times
    "needles at their ends": (ROUND, 64, (
        ("Rnd 1: Dec 1 st at end of needle 1, at beg and end of needle 2 and at beg of needle 3.", 60),
        ("Rnd 2: K.", 60),
        ("Rep rnds 1-2 until 28 sts rem.", 28),
    )),
    "needles in pairs": (ROUND, 64, (
        ("Dec 1 st at end of 1st and 3rd needles and at beg of 2nd and 4th needles.", 60),
        ("Rep this dec rnd on every alt rnd until 32 sts rem, then on every rnd until 8 sts rem.", 8),
    )),
    "on each needle": (ROUND, 56, (
        ("On 1st needle k to last 3 sts, k2 tog, k1; on 2nd needle k1, skpo, k to last 3 sts, k2 tog, k1; on 3rd "
         "needle k1, skpo, k to end.", 52),
    )),
    "put on needles": (ROUND, 48, (
        ("Divide sts on 3 needles: 12-24-12.", 48),
        ("Place first 12 sts on needle 1, next 24 sts on needle 2 and last 12 sts on needle 3.", 48),
        ("K 1 rnd.", 48),
    )),
    # 12 wait on each side of the heel; a row takes two of them and loses one
    "a heel in one line": (FLAT, 32, (
        ("Turn heel: K17, sl 1, k1, psso, k1, turn; sl 1, p3, p2tog, p1, turn.", 30),
        ("Cont in this way, working 1 st more before dec on every row until all sts are worked.", 18),
    )),
    # 9 wait on each side, so that the last row finds one alone: 5 more decreases on each
    "a heel with one left over": (FLAT, 28, (
        ("K16, skpo, k1, turn.", 27),
        ("Sl 1, p5, p2tog, p1, turn.", 26),
        ("Cont in this manner until all sts are worked.", 16),
    )),
    # 13 rows: 9 decreases at one edge, in rows 1, 5, 9 and 13 one at the other
    "as long as the other": (FLAT, 52, (
        ("Dec 1 st at armhole edge on next 5 rows, then on foll 4 alt rows, at the same time dec 1 st at neck edge on "
         "next and every foll 4th row.", 39),
    )),
    "a goal, whatever is done": (FLAT, 60, (
        ("Shape raglan as given for back until 12 sts rem, ending with a p row.", 12),
        ("Cast off.", 0),
    )),
    "no goal but a part": (FLAT, 60, (("Work as set until 4 sts rem on each needle.", None),)),
    # what comes to a count, or takes all, ends what is not known
    "known again": (FLAT, 60, (
        ("Work as given for back until armhole shaping is complete.", None),
        ("Dec 1 st at neck edge on every row until 20 sts rem.", 20),
        ("Work as for back.", None),
        ("Cast off.", 0),
    )),
    "straight": (FLAT, 60, (
        ("Cont straight until there are 12 rows less than on back to shoulder.", 60),
        ("Cont in patt until same number of rows as back have been worked to shoulder.", 60),
        ("Work straight to match back to shoulder.", 60),
        ("Cont in st st with 4 sts in g st at each end until hood measures 18 cm.", 60),
        ("Work 5 more buttonholes in this way 20 rows apart, then rib until band fits up front edge.", 60),
    )),
    "bound off somehow": (ROUND, 132, (("Cast off in rib, dec at centre as before.", 0),)),
    "bound off at intervals": (FLAT, 60, (("Cast off ribwise, working k2tog at intervals.", 0),)),
    "bound off for": (ROUND, 200, (("Cast off for armholes: K 45, cast off 10, k 90, cast off 10, k 45.", 180),)),
    "rows, then one of its own": (FLAT, 60, (
        ("Work 28 rows in st st. Next row: K10, cast off 4, k to end.", 56),
        ("K 4 rows. Next row: K6, m1, k to last 6 sts, m1, k6.", 58),
    )),
    "the last stitches": (FLAT, 20, (("Dec 1 st at beg of every row until 2 sts rem. K2tog and fasten off.", 0),)),
    "left on a needle": (FLAT, 30, (("Break yarn and leave sts on a spare needle.", 0),)),
    "from other needles": (FLAT, 84, (
        ("K across 84 sts of back, 46 sts of left sleeve, 84 sts of front and 46 sts of right sleeve.", 260),
    )),
    # 18 + 16 + 32 + 16
    "an instep that waited": (FLAT, 18, (
        ("K 18 heel sts, pick up and k 16 sts down side, k 32 instep sts, pick up and k 16 sts up other side.", 82),
    )),
}  # fmt: skip
SIZES: tuple[tuple[str, tuple[int, ...], tuple[int, ...]], ...] = (
    ("Cast off 6, 6, 7 sts at beg of next 2 rows.", (100, 106, 114), (88, 94, 100)),
    ("Next row: K39:43:45, cast off 10 sts, k to end.", (90, 98, 104), (80, 88, 94)),
    ("Dec 1 st each side every other row 5:5:7 times.", (60, 60, 64), (50, 50, 50)),
    ("Next row: Rib, inc 4:6:4 sts evenly across row.", (90, 98, 106), (94, 104, 110)),
    ("Next row: K28, 33, 34, cast off 16, k to end.", (72, 82, 84), (56, 66, 68)),
    ("K 1 rnd. 72/-/- sts.", (72, 80, 88), (72, 80, 88)),
)


@pytest.mark.parametrize("name", PIECES)
def test_each_line_has_the_count_worked_by_hand(name: str) -> None:
    has_counts(*PIECES[name])


@pytest.mark.parametrize(("text", "on", "after"), SIZES)
def test_numbers_of_all_sizes_need_no_brackets(text: str, on: tuple[int, ...], after: tuple[int, ...]) -> None:
    assert count_lines([text], on, flat=True).lines[0].stitches == after


@pytest.mark.parametrize(
    ("on", "line", "after"),
    [
        (50, "Cast on 12 sts for sleeve, knit these sts and knit to end.", 62),
        (56, "K 21, sl the 14 sts between markers to a safety pin, cast on 2 sts, K 21.", 44),
        (40, "K13, pop the 14 thumb sts onto scrap yarn, cast on 2 sts, k13.", 28),
        (98, "P 2, * sl next 3 sts to dp needle and hold in back of work, k next 3 sts, k 3 sts from dp needle, p 2; "
         "rep from * across.", 98),
        (30, "Knit, working into the back of every yfwd.", 30),
        # 18 + 16 + the 30 that waited + 16; the last 9 are those that the round begins with
        (18, "K18 heel sts, pick up and k16 sts, pm, k30 instep sts, pm, pick up and k16 sts, k9.", 80),
    ],
)  # fmt: skip
def test_rows_of_garments_in_passing_words(on: int, line: str, after: int) -> None:
    done = count_lines([line], [on], flat=True)
    assert done.lines[0].stitches == (after,), done.problems
    assert not [each for each in done.problems if each.severity == "error"]


def test_plain_rows_of_a_shaping_that_goes_on_grow_shorter_with_it() -> None:
    """39, 37, and so on by 2 to 3: the row between is told of another number of stitches each time."""
    lines = ["Row 1 (RS): k19, s2kp, k19", "Row 2: k19, p1, k19", "Row 3: k18, s2kp, k18", "Row 4: k18, p1, k18"]
    done = count_lines([*lines, "Continue in this manner until 3 sts remain."], [41], flat=True)
    assert [line.stitches[0] for line in done.lines] == [39, 39, 37, 37, 3]
    assert not done.problems
