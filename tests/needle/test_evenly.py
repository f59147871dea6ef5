"""Shapings “evenly” are not guessed: the line must say where, or the pattern asks for them to be spread."""

from __future__ import annotations

import pytest

from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("Dec 4 sts evenly around", 36),
        ("Decrease 4 stitches evenly across row", 36),
        ("Inc 4 sts evenly across", 44),
        ("Inc 7 sts evenly spaced across next row. 47 sts", 47),
        ("Purl 1 row, dec 5 sts evenly across. 35 sts", 35),
    ],
)
def test_evenly_leaves_the_places_open_but_not_the_count(text: str, after: int) -> None:
    worked = work_lines([text], Needle(40, flat=True))
    assert [problem.sentence for problem in worked.problems] == []
    assert (worked.needle.stitches, sum(each.times for each in worked.rounds)) == (after, 1)


def test_stretches_between_even_shapings_differ_by_one_stitch_at_most() -> None:
    # 40 plain stitches in 7 stretches: 5 of 6 and 2 of 5
    worked = work_lines(["Inc 7 sts evenly across"], Needle(40))
    assert dict(worked.rounds[0].techniques) == {"k": 40, "m1": 7}


def test_other_evenly_is_only_a_manner() -> None:
    assert work_lines(["Pick up and knit 20 sts evenly along the edge"], Needle(0)).problems == ()
