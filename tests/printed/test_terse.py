"""Terse knitting print, as wool firms and old books have it, line after line; every count is worked out by hand.

What a line takes or adds stands in it; the remark tells what is not plain.
"""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from tests.printed.by_hand import FLAT, ROUND, Lines, has_counts

PIECES: dict[str, tuple[bool, int, Lines]] = {
    # needles told by their order; 2 needles of a kind lose 1 stitch each, so 4 in all
    "needles": (ROUND, 72, (
        ("1st needle: K to last 3 sts, k2tog, k1. 2nd needle: k1, skp, k to end. 3rd needle as 1st, 4th needle as 2nd.",
         68),
        ("Rep this dec every 2nd rnd 4 times more", 52),
        ("then every rnd until 12 sts remain.", 12),
    )),
    "needles in pairs": (ROUND, 40, (
        ("On 1st and 3rd needles: k to last 2 sts, k2tog; on 2nd and 4th needles: skp, k to end.", 36),
        ("Needle 1: K to last 2 sts, k2tog. Needle 2: skp, k to end. Needles 3 and 4: as needles 1 and 2.", 32),
        ("1st needle: k to last 2 sts, k2tog. 2nd needle: skp, k to end. Rep on 3rd and 4th needles.", 28),
    )),
    # an asterisk before the first needle says no more than `repeat`: 4 stitches less each time
    "needles behind an asterisk": (ROUND, 56, (
        ("*Needle 1: k1, ssk, k to end; needle 2: k to last 3 sts, k2tog, k1; rep from * for needles 3 and 4.", 52),
        ("Rnd 2: *N1: k1, ssk, k to end; N2: k to last 3 sts, k2tog, k1; rep from * on N3 and N4.", 48),
        ("Rnd 3: * Needle 1: k1, ssk, k to end; needle 2: k to last 3 sts, k2tog, k1; rep from * once more.", 44),
        ("Work Rnd 3 twice more.", 36),
    )),
    # numbers in words, of several words too; 4 stitches more in each row
    "all in words": (FLAT, 0, (
        ("Cast on twenty-seven stitches.", 27),
        ("First row.—Knit one, increase in the next stitch, knit ten, increase in the next, knit one, increase in the "
         "next, knit ten, increase in the next, knit one.", 31),
        ("Second row.—Knit plain.", 31),
        ("Third row.—Knit one, increase in the next stitch, knit twelve, increase in the next, knit one, increase in "
         "the next, knit twelve, increase in the next, knit one. (Thirty-five stitches.)", 35),
        ("Knit twenty two rows plain.", 35),
        ("Next row.—Knit ten, knit two together, knit eleven, knit two together, knit ten.", 33),
    )),
    "hundreds in words": (FLAT, 0, (("Cast on one hundred and four stitches.", 104),)),
    # 2 needles of 8; each gets 2 more
    "both needles": (ROUND, 16, (
        ("Set-up: K8, pm, k to end.", 16),
        ("R1: just knit every stitch, both needles.", 16),
        ("R2: (K1, M1R, K till there's 1 stitch left on the needle, M1L, K1) on both needles.", 20),
        ("R3: K.", 20),
        ("R4: same as R2.", 24),
        ("Now do R3 and R2 over & over till you've 64 stitches, that's 32 a needle.", 64),
    )),
    "third and fourth as first and second": (ROUND, 52, (
        ("Next round—1st needle: k 1, s.k.p.o., k to end; 2nd needle: k to last 3 sts, k 2 tog, k 1; 3rd and 4th "
         "needles: as 1st and 2nd.", 48),
    )),
    # a row by its name and number: half of 64, half of that
    "named and numbered": (ROUND, 72, (
        ("DEC RND 2: *k7, ssk; rep from * around.", 64),
        ("DEC RND 3: *k2tog; rep from * to end.", 32),
        ("Rep Dec Rnd 3.", 16),
    )),
    "at the same edge": (FLAT, 28, (
        ("Dec 1 st at neck edge every row 4 times.", 24),
        ("Then dec 1 st same edge every 2nd row 3 times.", 21),
    )),
    "so many following rows": (FLAT, 24, (
        ("Dec 1 st at neck edge on next 4 rows, then on 3 foll alt rows.", 17),
        ("Dec 1 st at neck edge on next row and on 2 foll 4th rows.", 14),
    )),
    "a needle by its number": (FLAT, 0, (("Cast on 40 sts with grey on needle no. 3.5.", 40),)),
    "rib between stars": (ROUND, 20, (
        ("Rnd 1: *k1 tbl, p1*, rep between *s.", 20),
        ("Work 5 more rnds the same.", 20),
        ("Next rnd: rib, decreasing 2 sts evenly", 18),
    )),
    "short rows in short": (FLAT, 60, (
        ("SR 1 (RS): Knit to last 8 sts, w&t.", 60),
        ("SR 2 (WS): Purl to last 8 sts, w&t.", 60),
        ("SR 3: Knit to 6 sts before the wrapped st, w&t.", 60),
        ("SR 4: Purl to 6 sts before the wrapped st, w&t.", 60),
        ("SR 5 + 6: same as SR 3 + 4.", 60),
        ("Next row: Knit to the end, lifting the wraps as you meet them.", 60),
        ("Next row: Purl, lifting the other wraps and dec 4 sts evenly.", 56),
    )),
    # 192 less twice 42, and twice 6 more
    "laid on a thread": (ROUND, 192, (
        ("K 54, lay the next 42 sts on a thread, cast on 6 sts, K 54, lay the next 42 sts on a thread, cast on 6 sts.",
         120),
    )),
    # 8 more in every other round: 80 + 14 x 8
    "rounds that are repeated": (ROUND, 72, (
        ("Rd 1: K 24, set M, K 12, set M, K 24, set M, K 12, set M.", 72),
        ("Rd 2 (increase-Rd): * kfb, K until 2 sts before M, kfb, K 1, slip M *, work from * to * in all 4 times.", 80),
        ("Rd 3: K all sts.", 80),
        ("Rd 2 and 3 are repeated another 14 times.", 192),
        ("Rounds 2 and 3 are then repeated until there are 208 sts.", 208),
    )),
    # one stitch more in each row, then one fewer
    "told as one talks": (FLAT, 4, (
        ("Row 2: Knit 2, YO, knit across.", 5),
        ("Now just do Row 2 over and over until there are 24 stitches on your needle.", 24),
        ("Decrease row: Knit 1, K2tog, knit across.", 23),
        ("Do this row over and over again until you are back down to 4.", 4),
    )),
    # 4 stitches more in every other round: 36 more in 18, the last of them plain
    "two rounds by turns": (ROUND, 20, (
        ("Rnd 1: K1, m1r, k8, m1l, k2, m1r, k8, m1l, k1.", 24),
        ("Rnd 2: Knit.", 24),
        ("Rnd 3: *K1, m1, k to last 2 sts, m1, k2*.", 26),
        ("Rnd 4: Knit.", 26),
        ("Alternate Rnds 3 and 4 until there are 40 sts.", 40),
        ("Alternate Rnds 3 & 4 two more times.", 44),
    )),
    # a row that took 8 goes on; 5 times 8 are 40
    "so many as before": (ROUND, 96, (
        ("Rnd 1: *K10, k2tog; rep from * around.", 88),
        ("Rnd 2: Knit.", 88),
        ("Continue to decrease 8 sts on every 2nd rnd, a further 5 times", 48),
    )),
    "double stitches as one": (FLAT, 60, (
        ("Short row 1: K 30, turn.", 60),
        ("Short row 2: DS, p 10, turn.", 60),
        ("Next row: DS, k to end, working both legs of each DS as one st.", 60),
        ("Next row: Purl, resolving the rem DS as you come to them.", 60),
    )),
    # halves: 2 stitches less in each
    "halves": (ROUND, 56, (
        ("*K1, skp, k to last 3 sts of half, k2tog, k1*, work *-* over the other half too.", 52),
        ("(K1, skp, k to 3 sts before end of half, k2tog, k1) twice.", 48),
        ("Dec in the same way every rnd until 8 sts remain.", 8),
    )),
    "a half that is none": (ROUND, 51, (("*K1, m1, k to end of half; rep from * once more.", None),)),
    "needles by a repeat": (ROUND, 44, (
        ("*K1, skp, k to last 3 sts on needle, k2tog, k1; rep from * once more.", 40),
        ("Rep this rnd twice more.", 32),
    )),
    # 5 x 18 = 90; one stitch goes after each marker, one of which is where the round begins
    "markers": (ROUND, 90, (
        ("K 1 rnd and place 5 markers with 18 sts between each.", 90),
        ("K2tog after all markers.", 85),
        ("Dec like this every 3rd rnd 4 times more", 65),
        ("and then every rnd until 15 sts remain.", 15),
    )),
    "markers evenly": (ROUND, 60, (
        ("K 1 rnd, placing 4 markers evenly.", 60),
        ("K2tog before all markers.", 56),
    )),
    "markers after stitches": (ROUND, 48, (
        ("Knit, placing markers after 12th, 24th and 36th sts.", 48),
        ("*K to 2 sts before marker, k2tog, sm; rep from * around.", 44),
    )),
    # 2 markers, a stitch on each side of both
    "both markers": (ROUND, 120, (
        ("Set a marker at each side.", 120),
        ("Dec 1 st on each side of both markers.", 116),
        ("Dec like this on each side every 4th cm 3 times more.", 104),
        ("Inc 1 st each side of both markers every 5th cm 2 times.", 112),
    )),
    "one marker": (FLAT, 50, (
        ("Place marker in centre of work, i.e. 25 sts each side.", 50),
        ("Inc 1 st on both sides of marker every 4th row 3 times.", 56),
        ("Gusset: inc 1 st each side of the centre st every 2nd row twice.", 60),
    )),
    "sleeve": (ROUND, 44, (
        ("Cont in st st, at the same time inc 2 sts at centre under sleeve every 3 cm 10 times.", 64),
        ("When work measures 45 cm, cast off 6 sts at centre under sleeve.", 58),
        ("Inc 2 sts at underarm every 6th rnd 3 times.", 64),
    )),
    "evenly to a count": (ROUND, 100, (
        ("K 1 rnd, dec evenly to 88 sts.", 88),
        ("Next rnd: Knit, and inc evenly to 96 sts.", 96),
        ("K 1 rnd, at the same time k 2 tog all around.", 48),
        ("Inc 6 sts evenly.", 54),
        ("Rep last rnd twice more.", 66),
    )),
    "one in so many": (FLAT, 24, (
        ("Inc in every 3rd st.", 32),
        ("Next row: inc in every other st.", 48),
    )),
    # the rest of 31 waits, then the rest of 21
    "a bootee": (FLAT, 31, (
        ("K 21, turn, leave rem 10 sts on a pin.", 21),
        ("P 11, turn, leave rem 10 sts on a pin.", 11),
    )),
    "left at a turn": (FLAT, 64, (
        ("K to last 10 sts, turn, leaving these sts unworked.", 64),
        ("P all sts except the last 10, turn.", 64),
    )),
    # (72 - 30) : 2 = 21 on each side
    "a neck": (FLAT, 72, (
        ("Cast off the middle 30 sts for neck and finish each side separately. Leave 1 side on a holder.", 21),
        ("At neck edge bind off 1 x 3 sts, 1 x 2 sts.", 16),
        ("Work 3 rows. Cast off in rib.", 0),
    )),
    "two shoulders": (FLAT, 51, (
        ("K 17, cast off 17, k 17 (incl. st already on needle).", 34),
        ("Finish each shoulder separately.", 17),
    )),
    "divided": (FLAT, 84, (
        ("Divide for neck: Next row: Work 40, turn; leave rem sts on spare needle.", 40),
        ("Keeping patt. correct, cast off 5 sts. at beg. of next row.", 35),
        ("Patt. 9 and leave these sts. on a holder, patt. to end.", 26),
    )),
    "a pocket": (FLAT, 60, (
        ("K. 12, sl. next 24 sts. on to a st.-holder, k. across 24 sts. of pocket lining, k. to end.", 60),
    )),
    "a shoulder held": (FLAT, 78, (
        ("Cast off 24, p until 30 sts are on right needle, slip these sts on a holder, cast off rem 24 sts.", 0),
    )),
    "a heel": (ROUND, 56, (
        ("Work 24 rows in st st over the 28 sts of needles 4 and 1, starting with a RS row.", 28),
    )),
    "a yoke": (ROUND, 160, (
        ("Place sleeves on same needle as body over the cast off sts, 40 sts each, with a marker at each side.", 240),
    )),
    # k10 m1 k20 m1 k10; the stretch between grows by two
    "told in full": (ROUND, 40, (("K 10, m1, k 20, m1, k 10.", 42), ("Inc like this every 6th rnd 9 times more.", 60))),
    "named by its rib": (ROUND, 60, (("Ribbing rnd: *K1, p1* to end.", 60), ("Rep ribbing rnd 11 times.", 60))),
    "winding": (FLAT, 30, (
        ("K, winding yarn twice round needle for each st.", 30),
        ("K, dropping extra loops.", 30),
        ("K, letting the yo's drop.", None),  # nothing tells how many
    )),
    "off by twos": (FLAT, 12, (("*K2tog tbl, sl st back to LH needle; rep from * to end.", 0),)),
    "off but one": (FLAT, 12, (("*P2tog, sl st back to left needle; rep from * until 1 st remains.", 1),)),
    "including the first": (FLAT, 64, (("Dec 1 st at each end of every 4th row 5 times, including the first.", 54),)),
    "a bonnet": (FLAT, 25, (
        ("Pick up and k. 24 sts. along side edge, k. the 25 sts., pick up and k. 24 sts. along other side.", 73),
    )),
    # where the heel ends is not told, but two stitches go wherever that is
    "a gusset": (ROUND, 84, (
        ("K to last 3 sts of heel part, k2tog, k1, k32 instep, k1, skp, k to end.", 82),
    )),
    "short rows": (FLAT, 50, (
        ("K to last 5 sts, turn.", 50),
        ("P to last 5 sts, turn.", 50),
        ("Work so until 10 sts are left in the centre.", None),
    )),
    # nothing tells where the markers are, how many there are, or where the row ends
    "a mitten's tip": (ROUND, 48, (
        ("Work until 3 sts remain before marker, k2tog, k2 (marker is between these), sl 1, k1, psso.", None),
    )),
    "at each marker": (ROUND, 60, (("Knit across, working k2tog at each marker.", None),)),
    "each of six": (ROUND, 72, (
        ("K 1 round while dec 1 st after each of 6 markers.", 66),
        ("Dec like this every 3rd round a total of 5 times.", 42),
    )),
    "making": (ROUND, 72, (("Inc 1 st by making 1 yo on each side of the middle st.", 74),)),
    "finished": (ROUND, 6, (("Draw yarn twice through the 6 sts, fasten.", 0),)),
}  # fmt: skip


@pytest.mark.parametrize("name", PIECES)
def test_each_line_has_the_count_worked_by_hand(name: str) -> None:
    has_counts(*PIECES[name])


def test_a_number_that_does_not_fit_is_told() -> None:
    """Print at fault: so many are not there to draw through, and no decreases come to more stitches."""
    for text, on in (("Draw yarn through the 8 sts.", 6), ("K 1 rnd, dec evenly to 88 sts.", 80)):
        done = count_lines([text], [on])
        assert done.lines[0].stitches[0] is None, text
        assert [each for each in done.problems if each.line in (0, 1)], text


@pytest.mark.parametrize(
    ("text", "on", "after"),
    [
        # what is told of wraps, or of a space between stitches, ends where the row goes on
        ("K18, knitting wraps together with the wrapped sts, ssk, turn.", 40, 39),
        ("K18, working each wrap together with its st, ssk, turn.", 40, 39),
        ("K18, picking up wraps and knitting them together with their sts, ssk, turn.", 40, 39),
        ("K to end, picking up all wraps and working them together with the sts they wrap.", 40, 40),
        ("Hdc in sp between next 2 hdc, 2 hdc in next hdc, hdc in each st to end.", 20, 21),
        ("Hdc in sp between first and second hdc, 2 hdc in next hdc, hdc in each st to end.", 20, 21),
    ],
)
def test_what_is_told_beside_a_stitch_takes_no_other_along(text: str, on: int, after: int) -> None:
    assert count_lines([text], [on], flat=True).lines[0].stitches == (after,)
