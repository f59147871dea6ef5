"""Yarn against a textile exam, a printed rule and published yardage tables (tests/facts, sources in the rows)."""

from __future__ import annotations

import pytest

from lessonplan.course.model import pattern as pm
from lessonplan.craft.gauge import Fabric
from lessonplan.craft.techniques import technique
from lessonplan.pattern.amounts.yarn import METRES_PER_YARD, Amount, amounts, ks, loop_length, pattern_loop
from tests.published import row, rows

INCH = 25.4
COURSES_PER_WALE = 5.5 / 4.2


def fabric_of(stitches_per_inch: float) -> Fabric:
    """Relaxed plain knit: kc / kw of the fully relaxed state (GATE 2015) gives the rounds."""
    return Fabric.of(stitches_per_inch, stitches_per_inch * COURSES_PER_WALE, INCH)


def yards(stitches_per_inch: float, wide: float, long: float) -> float:
    fabric = fabric_of(stitches_per_inch)
    stitches = wide * INCH * fabric.stitches_per_mm * long * INCH * fabric.rounds_per_mm
    return stitches * loop_length(fabric) / 1000 / METRES_PER_YARD


def test_the_textile_exam() -> None:
    # GATE 2015 Textile Engineering Q54: kc 5.5, kw 4.2, l 0.5 cm give 92.4 loops to the square centimetre.
    example = row("worked_examples_yarn_gauge", "id", "gate2015-54")
    fabric = Fabric(4.2 / 5.0, 5.5 / 5.0)
    per_cm2 = fabric.stitches_per_mm * fabric.rounds_per_mm * 100
    assert per_cm2 == pytest.approx(float(example["recomputed"]))
    assert loop_length(fabric) == pytest.approx(5.0)


def test_constants_come_from_the_table() -> None:
    # Knitted Fabric Geometry slides citing Munden 1959; fully relaxed from memory (Knapton et al. 1968).
    assert ks() == 23.1


def test_the_scarf_rule_of_a_sixth_is_nine_percent_above_theory() -> None:
    # petiterepublic.com yarn FAQ: 48 in x 8 in at 5 sts to the inch, 320 yards by length x width x gauge / 6.
    example = row("worked_examples_yarn_gauge", "id", "yards-scarf")
    assert float(example["recomputed"]) / yards(5, 8, 48) == pytest.approx(1.09, abs=0.01)


def gauge_rows(item: str) -> list[dict[str, str]]:
    return [one for one in rows("yardage_tables") if one["item"] == item and one["sts_per_in_min"]]


@pytest.mark.parametrize("one", gauge_rows("scarf"), ids=lambda one: f"weight {one['cyc_weight']}")
def test_scarves_of_the_published_table(one: dict[str, str]) -> None:
    # dummies.com estimating how much yarn to buy; 5 x 60 in is our guess at its scarf, fitted once for all weights.
    gauge = (float(one["sts_per_in_min"]) + float(one["sts_per_in_max"])) / 2
    allowed = 0.21 if one["cyc_weight"] == "6" else 0.07
    assert yards(gauge, 5, 60) == pytest.approx(float(one["yards_min"]), rel=allowed)


@pytest.mark.parametrize("one", gauge_rows("hat, adult"), ids=lambda one: f"weight {one['cyc_weight']}")
def test_hats_of_the_published_table_lie_above_a_plain_tube(one: dict[str, str]) -> None:
    # Same table; a plain tube of 20 x 8.5 in needs less than the table's advice, which covers brims and swatches.
    gauge = (float(one["sts_per_in_min"]) + float(one["sts_per_in_max"])) / 2
    tube = yards(gauge, 20, 8.5)
    assert 1.2 < float(one["yards_min"]) / tube < float(one["yards_max"]) / tube < 2.4


def test_double_crochet_takes_less_yarn_for_an_area_than_single_crochet() -> None:
    # Trade knowledge (from memory). Usual gauges of one DK yarn: 17 sts, and 20 rounds of sc or 9.5 of dc to 10 cm.
    def metres(stitch: str, rounds: float) -> float:
        pattern = pm.Pattern.model_validate(
            {
                "title": "Square",
                "craft": "crochet",
                "gauge": {"stitches": "17", "rounds": str(rounds)},
                "yarns": {"MC": {"name": "Wool", "metres": "225", "grams": "100"}},
                "stages": {"a": {"title": "A", "works": [{"minutes": "1"}]}},
            }
        )
        stitches = 17 * 10 * rounds * 10  # one square metre
        return stitches * technique(stitch).yarn_factor * pattern_loop(pattern) / 1000

    single, double = metres("sc", 20), metres("dc", 9.5)
    assert 0.6 * single < double < single
    # A loop as wide as the stitch: kw 4.2 (GATE 2015) over 1.7 wales to the cm; a sc is two of them (guess).
    assert single == pytest.approx(17 * 10 * 20 * 10 * 2 * 4.2 / 1.7 / 100)


def kit(margin: str = "10 %") -> pm.Pattern:
    """A pattern with two yarns, of which only what a ball holds matters here."""
    return pm.Pattern.model_validate(
        {
            "title": "Test",
            "margin": margin,
            "yarns": {
                "CC": {"name": "Wool", "metres": "200", "grams": "50"},
                "MC": {"name": "Wool", "metres": "100", "grams": "50"},
            },
            "stages": {"a": {"title": "A", "works": [{"minutes": "1"}]}},
        }
    )


@pytest.mark.parametrize(
    ("metres", "margin", "balls"),
    [(90, "10 %", 1), (91, "10 %", 2), (80, "25 %", 1), (80.1, "25 %", 2), (1, "10 %", 1), (200, "10 %", 3)],
)
def test_a_ball_that_is_begun_is_bought_whole(metres: float, margin: str, balls: int) -> None:
    # 90 m and a tenth are 99 m of balls of 100 m, 91 m and a tenth 100.1 m; 80 m and a quarter are 100 m.
    (amount,) = amounts(kit(margin), {"MC": metres})
    assert amount.balls == balls


def test_an_amount_in_every_unit_for_as_many_pieces_as_are_made() -> None:
    # A pair of 60 m each is 120 m, and 132 m with a tenth more; a ball of 100 m weighs 50 g. A yard is 0.9144 m.
    (amount,) = amounts(kit(), {"MC": 60.0, "CC": 0.0}, pieces=2)
    assert (amount.yarn, amount.balls) == ("MC", 2)
    assert (amount.metres, amount.grams) == pytest.approx((132, 66))
    assert amount.yards == 145  # 144.36, rounded up


def test_as_many_metres_are_always_as_many_grams_and_yards() -> None:
    """Of 76.1 and 76.9 m, both told as 77 m, a pattern of 100 g to 225 m says 34.2 g and 84.2 yd, rounded up."""
    told = [Amount("MC", metres, 100 / 225, 1) for metres in (76.1, 76.9, 77.0)]
    assert {(one.whole_metres, one.grams, one.yards) for one in told} == {(77, 35, 85)}


def test_amounts_come_in_the_patterns_order() -> None:
    assert [amount.yarn for amount in amounts(kit(), {"MC": 1.0, "CC": 1.0})] == ["CC", "MC"]
