"""Even spacing against the printed answers of tests/facts/arithmetic_examples.csv (each row names its source)."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given, strategies as st

from lessonplan.pattern.working.spacing import positions, spread_line
from tests.published import row


def start(example: str) -> tuple[int, int]:
    found = row("arithmetic_examples", "id", example)
    return int(found["start_sts"]), int(found["count"])


def test_four_into_51_in_the_round() -> None:
    found = row("arithmetic_examples", "id", "w51")  # woolpackyarn.com
    printed = [int(part) for part in re.findall(r"\d+", found["recomputed"])]
    assert positions(*start("w51")) == tuple(printed)


def test_four_into_51_flat() -> None:
    printed = [int(part) for part in row("arithmetic_examples", "id", "w51f")["printed_answer"].split(",")]
    assert positions(*start("w51f"), flat=True) == tuple(printed)


@pytest.mark.parametrize(
    ("example", "gaps"),
    [("w112", {7}), ("mdk48", {8}), ("n60", {10}), ("s115", {14, 15})],  # sources: the rows
)
def test_printed_groups(example: str, gaps: set[int]) -> None:
    places = positions(*start(example))
    assert {b - a for a, b in zip((0, *places), places, strict=False)} == gaps


def test_a_third_is_taken_off_by_k1_k2tog() -> None:
    # unidentified copy of a knitting book (its p. 76): 30 sts, 10 decreases, "k1, k2tog", 20 after; the page calls it
    # halving.
    assert spread_line(*start("b30"), "k2tog") == "[K1, k2tog] 10 times"


def test_decreases_use_two_stitches_of_their_group() -> None:
    # katieskitchenblog.com: 16 decreases over 100, "k4, k2tog" and 4 left at the end; here none is left in a lump.
    line = spread_line(*start("d100d"), "k2tog")
    assert "k4, k2tog" in line.lower()
    assert re.search(r", k\d+$", line) is None


def test_increases_by_make_one_use_none() -> None:
    assert spread_line(48, 6, "m1") == "[K8, m1] 6 times"
    assert spread_line(48, 6, "kfb") == "[K7, kfb] 6 times"


def test_what_cannot_be_spread() -> None:
    with pytest.raises(ValueError, match="needs 24"):
        spread_line(20, 12, "k2tog")
    with pytest.raises(ValueError, match="cannot be spread"):
        spread_line(20, 2, "sl")
    with pytest.raises(ValueError):
        positions(5, 6)


@given(st.integers(1, 400), st.data(), st.booleans())
def test_gaps_differ_by_one_at_most(stitches: int, data: st.DataObject, flat: bool) -> None:
    count = data.draw(st.integers(1, stitches))
    places = positions(stitches, count, flat)
    gaps = [b - a for a, b in pairwise(places)] + ([] if flat else [places[0]])
    assert len(set(places)) == count
    assert places[-1] <= stitches
    assert not gaps or max(gaps) - min(gaps) <= 1
