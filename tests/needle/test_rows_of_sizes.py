"""Rows that only some sizes have, or that have other numbers in each: a ball of six rounds more in the larger size."""

from __future__ import annotations

import pytest

from lessonplan.needle.pattern import work_whole
from lessonplan.printed.leaflet.contents import read_whole

LINES = """# Ball
Sizes: Small (Large)
Rnd 1: 6 sc in magic ring. (6 sc)
Rnd 2: Inc in each st around. (12 sc)
Rnd 3: *Sc in next st, inc in next st; rep from * around. (18 sc)
{four}*Sc in next 2 sts, inc in next st; rep from * around. (24 sc)
Rnds 4-6 (5-9): Sc in each st around. (18 (24) sc)
{ten}*Sc in next 2 sts, sc2tog; rep from * around. (18 sc)
Rnd 7 (11): *Sc in next st, sc2tog; rep from * around. (12 sc)
Rnd 8 (12): Sc2tog around. (6 sc)
"""


@pytest.mark.parametrize("form", ["Rnd {} (Large only): ", "Rnd {}: Large only: ", "Large only: Rnd {}: "])
def test_a_row_of_one_size_is_worked_in_it_alone(form: str) -> None:
    # Small: rounds of 6, 12, 18, three of 18, 12 and 6. Large: 6, 12, 18, 24, five of 24, 18, 12 and 6.
    found = work_whole(read_whole(LINES.format(four=form.format(4), ten=form.format(10))))
    assert found.rounds == (8, 12)
    assert found.stitches == (6 + 12 + 18 + 3 * 18 + 12 + 6, 6 + 12 + 18 + 24 + 5 * 24 + 18 + 12 + 6)
    after = [line.counted.stitches for line in found.lines]
    assert after == [(6, 6), (12, 12), (18, 18), (18, 24), (18, 24), (18, 18), (12, 12), (6, 6)]
    assert not [problem for problem in found.problems if problem.severity != "note"]
