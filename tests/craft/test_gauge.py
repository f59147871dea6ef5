"""Gauge against published examples."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from lessonplan.craft.gauge import Fabric, landing, multiple_of, rounded, rounds_for, stitches_for

INCH = 25.4


def test_a_hat_of_48_cm_at_22_stitches() -> None:
    # lovelyjubblyknits.blogspot 2015-09: 48 cm at 22 sts to 10 cm is 105.6, rounded 106.
    assert stitches_for(480, Fabric.of(22, 30, 100)) == 106


def test_a_blanket_of_36_inches() -> None:
    # knittingwithkarma.blogspot knitting-math: 36 in at 6 sts and 7 rows to the inch is 216 sts and 252 rows.
    fabric = Fabric.of(6, 7, INCH)
    assert (stitches_for(36 * INCH, fabric), rounds_for(36 * INCH, fabric)) == (216, 252)


def test_a_hat_of_19_inches() -> None:
    # quiltnparty.com hat FAQ: 19 in at 5 sts to the inch is 95.
    assert stitches_for(19 * INCH, Fabric.of(5, 7, INCH)) == 95


def test_stitches_from_a_swatch() -> None:
    # ufss.info how-to-calculate-loops: 30 sts are 13.8 cm and 48 cm are wanted: 104.3.
    assert 480 * Fabric.of(30, 40, 138).stitches_per_mm == pytest.approx(104.3, abs=0.05)


def test_four_inches_are_not_ten_centimetres() -> None:
    # anniescatalog.com gauge; petiterepublic.com: 4 in is 10.16 cm, 1.6 % more, 3 sts in 200.
    inches, centimetres = Fabric.of(20, 28, 4 * INCH), Fabric.of(20, 28, 100)
    assert centimetres.stitches_per_mm / inches.stitches_per_mm == pytest.approx(1.016)
    assert round(200 * 0.016) == 3


@pytest.mark.parametrize(("how", "count"), [("nearest", 11), ("up", 11), ("down", 10), ("even", 10)])
def test_rounding_as_the_pattern_asks(how: str, count: int) -> None:
    assert rounded(10.5, how) == count  # type: ignore[arg-type]


def test_a_multiple_with_an_edge() -> None:
    # From memory: k2, p2 rib worked flat needs a multiple of 4 plus 2 to be symmetrical.
    assert multiple_of(51, 4, 2) == 50


@given(st.floats(1, 400), st.integers(1, 24), st.data())
def test_a_landing_is_the_nearest_allowed_end(wanted: float, period: int, data: st.DataObject) -> None:
    ends = tuple(data.draw(st.sets(st.integers(1, period), min_size=1)))
    found = landing(wanted, ends, period)
    allowed = [count for count in range(1, 500) if (count - 1) % period + 1 in ends]
    assert found in allowed
    assert abs(found - wanted) == min(abs(count - wanted) for count in allowed)


@given(st.floats(5, 2000), st.floats(2, 60), st.floats(2, 80))
def test_rounds_and_length_agree_within_half_a_round(length: float, stitches: float, rounds: float) -> None:
    fabric = Fabric.of(stitches, rounds, 100)
    count = rounds_for(length, fabric)
    assert count == 1 or abs(fabric.length(count) - length) <= fabric.length(0.5) + 1e-6


@pytest.mark.parametrize(
    ("wanted", "ends", "period", "count"),
    [(6, (4,), 4, 8), (10, (4,), 8, 12), (8, (8,), 8, 8), (3, (8,), 8, 8), (6, (1, 3), 4, 7)],
)
def test_of_two_equally_near_landings_the_longer_is_taken(
    wanted: float, ends: tuple[int, ...], period: int, count: int
) -> None:
    # 6 lies between 4 and 8; in eights with an end at the fourth 10 lies between 4 and 12, which are not equally near;
    # with ends at the first and third of four, 6 lies between 5 and 7.
    assert landing(wanted, ends, period) == count


@given(rounds=st.integers(1, 900), halves=st.integers(16, 60), how=st.sampled_from(["up", "down"]))
def test_a_length_of_whole_rounds_is_so_many_however_it_is_rounded(rounds: int, halves: int, how: str) -> None:
    """A length that was computed from whole rounds has them again: no round is lost or won by the arithmetic."""
    fabric = Fabric.of(20, halves / 2, 100)
    assert rounds_for(rounds * 200 / halves, fabric, "up" if how == "up" else "down") == rounds


def test_a_multiple_without_edge_stitches() -> None:
    # By hand: 41 lies between 40 and 44, 43 nearer to 44; with two edge stitches 42 is itself one.
    assert (multiple_of(41, 4), multiple_of(43, 4), multiple_of(42, 4, 2)) == (40, 44, 42)
