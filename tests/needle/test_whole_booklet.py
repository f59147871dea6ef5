"""Print of old booklets and leaflets, whole: words that run in, M.1, a part made once behind a part made twice.

All patterns are made up; their counts were worked by hand.
"""

from __future__ import annotations

from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet.contents import read_whole

BOOTEES = """PENNY SET

MATERIALS. 3 one-oz. balls of 3-ply baby wool. 1 pair No. 10 knitting needles.
2 yds. of 1/2 inch ribbon for the bonnet. 1 1/4 yds. of narrow ribbon for the bootees.

TENSION. 7 sts. and 9 rows to one square inch, measured over stocking stitch.

ABBREVIATIONS. K., knit; P., purl; M.1, make one st.; sts., stitches.

THE BOOTEES (both alike)
Cast on 33 sts.
1st row. K.
2nd row. K.1, M.1, K.15, M.1, K.1, M.1, K.15, M.1, K.1. (37 sts.)
3rd row. K.
4th row. K.1, M.1, K.17, M.1, K.1, M.1, K.17, M.1, K.1. (41 sts.)
"""
"""33 and 4 more, twice."""

SLEEVES = """SLEEVES (make 2)
Cast on 38 sts.
Knit 10 rows.
Shape top
Cast off 4 sts at beg of next 2 rows. 30 sts.
Cast off rem sts.

NECKBAND
With RS facing, pick up and k16 sts down left side of neck, pick up and k16 sts up right side of neck. 32 sts.
Knit 7 rows.
Cast off.
"""

SHAWL = """SHAWL
Cast on 9 sts.
Row 1 (RS): k3, yo, k to spine st, yo, k1, yo, k to last 3 sts, yo, k3.
Row 2 (WS): k3, p to last 3 sts, k3.
Each turn lies 6 sts further in than the last on its side.
Short Row 1 (RS): k to last 2 sts, turn.
"""
"""9 and 4; the spine is the stitch in the middle."""


MITTS = """RIGHT MITT
Cast on 40 (48) sts, join in the round.
Work *k2, p2* around for 18 rnds.
Set-up rnd: work 20 (24) sts, pm, m1, pm, k to end. 41 (49) sts.
Bind off.

LEFT MITT
Same as the right one up to the gusset, but then the thumb sits at the end of the round:
Set-up rnd: work 40 (48) sts, pm, m1, pm. 41 (49) sts.
Knit 1 rnd.
"""
"""How the left one begins is told by the right one; its own count goes on from there."""


def worked(text: str) -> Whole:
    return work_whole(read_whole(text))


def counts(whole: Whole) -> list[tuple[int | None, ...]]:
    return [line.counted.stitches for line in whole.lines]


def test_what_a_word_in_capitals_runs_into_is_no_work_and_m_1_makes_one() -> None:
    whole = worked(BOOTEES)
    assert counts(whole) == [(33,), (33,), (37,), (37,), (41,)]
    assert not [each for each in whole.problems if each.severity == "error"]


def test_a_neckband_behind_two_sleeves_is_made_once() -> None:
    whole = worked(SLEEVES)
    assert [(each.times, each.rounds) for each in whole.sections][-1] == (1, (8,))
    assert dict(whole.techniques)["pu&k"] == (32,)
    assert dict(whole.techniques)["CO"] == (76,)


def test_the_spine_is_the_stitch_in_the_middle_and_a_sentence_about_it_is_no_work() -> None:
    whole = worked(SHAWL)
    assert counts(whole) == [(9,), (13,), (13,), (13,)]
    assert not [each for each in whole.problems if each.severity == "error"]


def test_a_piece_begun_like_another_is_no_error_and_goes_on_from_its_count() -> None:
    whole = worked(MITTS)
    assert counts(whole)[-2:] == [(41, 49), (41, 49)]
    assert not [each for each in whole.problems if each.severity == "error"]
