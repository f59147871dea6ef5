"""Counts of a part of a row, told behind it: between markers, or of a thumb's gusset; each worked by hand."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines

GUSSET = [
    "Set-up rnd: K20, pm, M1L, pm, k to end.",
    "Rnd 1: Knit.",
    "Rnd 2: K to m, sl m, M1R, k to m, M1L, sl m, k to end.",
]
"""40 + 1 stitches, then 43, of which 3 lie between the markers; with five rounds more of each 53 and 13."""


@pytest.mark.parametrize(
    "line",
    [
        "Rep last 2 rnds 5 more times (13 sts between markers).",
        "Repeat these 2 rounds 5 more times. 13 sts between markers.",
        "Rep Rnds 1 and 2 five more times; 13 sts between the markers.",
        "Work last 2 rnds 5 more times, there are 13 sts between the two markers.",
        "Rep last 2 rnds 5 more times; 13 sts between m, 53 sts in all.",
        "Rep last 2 rnds 5 more times. 13 gusset sts, 53 sts total.",
        "Rep last 2 rnds 5 more times. 13 thumb sts.",
        "Rep last 2 rnds 5 more times: 13 sts in the gusset.",
        "Rep last 2 rnds 5 more times. 13 sts for thumb.",
    ],
)
def test_a_count_of_a_part_is_not_that_of_the_row(line: str) -> None:
    counted = count_lines([*GUSSET, line], (40,))
    assert (counted.lines[-1].stitches, counted.lines[-1].rounds) == ((53,), (10,))
    assert not [each for each in counted.problems if each.severity == "error"]


def test_a_wrong_count_between_markers_disagrees_in_its_size() -> None:
    counted = count_lines([*GUSSET, "Rep last 2 rnds 5 (6) more times. 13 (14) sts between markers."], (40, 40))
    (problem,) = [each for each in counted.problems if each.severity == "error"]
    assert "prints 14 stitches between markers after this line, but there are 20, 15, 20" in problem.sentence


def test_a_thumb_put_aside_is_still_put_aside() -> None:
    told = "Next rnd: K to m, remove m, place next 13 sts on waste yarn for thumb, CO 1 st, remove m, k to end."
    counted = count_lines([*GUSSET, "Rep last 2 rnds 5 more times; 13 thumb sts.", told], (40,))
    assert counted.lines[-1].stitches == (41,)
