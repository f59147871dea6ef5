"""One row in other print: what is said twice, how far and how often in other words, where the number stands.

The counts are worked out by hand from the plain row, which stands first in each group and must give the same.
"""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines

KNITTED = (
    (40, 32, ("*K3, k2tog; rep from * to end.", "*K3, k2tog dec* to end.", "*K3, dec 1 by k2tog; rep from * to end.",
              "*K3, k2tog (rep from * to end).",
              "*K3, k2tog; rep from first * all the way to end.", "8 x (k3, k2tog)", "[K3, k2tog] for 8 times.",
              "Repeat (k3, k2tog) 8 times.")),
    (30, 32, ("K1, m1, k to last st, m1, k1.", "K1, M1 (make 1), k up to last st, m1, k1.",
              "K1, m1, knit until 1 st remains, m1, k1.")),
    (20, 21, ("K5, kfb, k to end.", "K5, inc in next st (kfb), k to end.", "K5, kfb, knit the rest of the row.",
              "K5, inc by knitting in front and back of next st, k rem sts.", "K5, kfb, k the rest.",
              "K5, kfb, knit across remaining sts.", "K5, kfb, knit to row end.")),
    (24, 48, ("Cast on 12 sts at beg of next 2 rows.", "Cable cast on 12 sts at beg of next 2 rows.")),
    (24, 48, ("Knitted cast-on 12 sts at end of next 2 rows.",)),
    (24, 48, ("Cable cast on 24 more.",)),
    (12, 112, ("Put sleeves on same needle as body over the cast off sts, 50 sts each.",
               "Put sleeves on the same needle as body where armholes were cast off, 50 sts for each sleeve.")),
    (60, 60, ("*K3, yo, sl1, k2tog, psso, yo; rep from * to end.", "*K3, yo sl1, k2tog, psso, yo; rep from * to end.",
              "*K3, yo sl 1 k2tog psso yo; rep from * to end.")),
    (20, 19, ("K3, ssk, k to end.", "K3, s s k (to the left), k to end.")),
    (20, 10, ("Dec 1 st at each end of next 5 rows.", "Decrease a stitch at each end of next 5 rows.",
              "Work 1 dec at each end of next 5 rows.", "Dec 1 st at either end of next 5 rows.")),
    (48, 40, ("K1 round, decreasing 8 sts evenly.", "Knit 1 round, decreasing at the same time 8 sts evenly.")),
    (28, 26, ("K3, k2tog, k to last 5 sts, k2tog, k3.", "K 3 stch, K2tog, K to last 5 stch, K2tog, K 3 stch.",
              "Next row: (dec.) K.3, k.2 tog., k. to last 5 sts., k.2 tog., k.3.",
              "Knit 1 round over all sts, decreasing 2 sts evenly.",
              "Before beginning the crown, knit 1 rnd, decreasing 2 sts evenly.",
              "After the last rib row, knit 1 row, decreasing 2 sts evenly across.")),
    (12, 6, ("Knit 1 round where all sts are K tog 2 by 2.",)),
    (40, 40, ("Work 4 rounds in k1, p1 rib.", "Knit 4 rounds rib = K 1/P 1.")),
    (40, 40, ("Knit, placing a marker after 12 sts.",)),
    (40, 32, ("*K3, decrease 1 (k2tog); rep from * to end.",)),  # by its name, a decrease of any kind
    (30, 23, ("BO 7 sts at beg of next row.", "Bind off next 7 sts at beg of next row.")),
)  # fmt: skip
HOOKED = (
    (18, 24, ("[Sc in next 2 sts, 2 sc in next st] 6 times.", "[Sc in next 2 sts, inc (2 sc in same st)] 6 times.",
              "[Sc in next 2 sts, sc twice in next st] 6 times.", "6 x (sc in next 2 sts, scinc)",
              "(2 x sc, inc) a total of 6 times", "Sc in next 2 sts. Inc. Repeat to end.")),
    (12, 24, ("2 sc in each st around.", "2 sc around.", "2 sc in each and every st around.",
              "2 sc each st around.")),
    (12, 12, ("Sc in each st around.", "Rnd 2) Sc in each st around.")),
    (20, 18, ("Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog, turn.",
              "Ch 1, sc2tog, sc in each st until there are 2 sts left, sc2tog, turn.")),
)  # fmt: skip


def worked(text: str, on: int, *, crochet: bool) -> tuple[int | None, int, dict[str, tuple[int, ...]]]:
    """The stitches after a row, how many rows it is, and the techniques in it."""
    flat = "turn" in text or "end of next" in text or "beg of" in text
    done = count_lines([f"Rnd 1: sc in each of {on} sts", text] if crochet else [text], [on], flat=flat)
    assert not [each for each in done.problems if each.severity == "error"], (text, done.problems)
    line = done.lines[-1]
    return line.stitches[0], line.rounds[0], dict(line.techniques)


@pytest.mark.parametrize(
    ("text", "on", "after", "crochet", "plain"),
    [
        (text, on, after, crochet, texts[0])
        for table, crochet in ((KNITTED, False), (HOOKED, True))
        for on, after, texts in table
        for text in texts
    ],
)
def test_the_same_row_in_other_print_is_the_same_work(
    text: str, on: int, after: int, crochet: bool, plain: str
) -> None:
    found = worked(text, on, crochet=crochet)
    assert found[0] == after
    assert found == worked(plain, on, crochet=crochet)


def test_as_many_into_as_many_is_told_to_be_read_in_one_of_two_ways() -> None:
    done = count_lines(["Rnd 2: 4 sc in next 4 sts, dec, 6 sc in next 6 sts"], [12])
    assert done.lines[0].stitches == (11,)
    assert "of two" in done.problems[0].sentence
    assert count_lines(["Rnd 2: 2 sc in next 2 sts, sc in next 4 sts. (8 sc)"], [6]).lines[0].stitches == (8,)


def test_what_rests_is_no_rest_of_the_row() -> None:
    done = count_lines(["K22 and turn; let the remaining 52 sts rest on spare yarn."], [74], flat=True)
    assert done.lines[0].stitches == (22,)


def test_a_count_behind_its_row_in_so_many_words_is_held_against_it() -> None:
    for said in (
        "(13 sts at end of row)",
        "You should have 13 stitches at the end of this round.",
        "You end with 13 sts.",
    ):
        done = count_lines([f"Rnd 2: sc in each st around. {said}"], [12])
        assert [each.severity for each in done.problems] == ["error"], said


def test_a_line_that_only_closes_the_piece_works_nothing() -> None:
    done = count_lines(["Rnd 5: sc in each st around", "Sl st in next st, fasten off."], [12])
    assert not done.problems
    assert [line.stitches[0] for line in done.lines] == [12, 12]
