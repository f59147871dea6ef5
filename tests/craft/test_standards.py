"""Needle chart and yarn weights against published tables and errors found in print (tests/facts/printed_errors.csv)."""

from __future__ import annotations

import pytest

from lessonplan.course.model import pattern as pm
from lessonplan.craft.standards import needle_of_mm, needles, remarks, weight_named, weights, with_numbers


def pattern(needle: str = "4 mm (US 6)", stitches: float = 22, weight: str = "DK") -> pm.Pattern:
    return pm.Pattern.model_validate(
        {
            "title": "Test",
            "gauge": {"stitches": str(stitches), "rounds": "30"},
            "needles": [needle],
            "yarns": {"MC": {"name": "Wool", "metres": "225", "grams": "100", "weight": weight}},
            "stages": {"a": {"title": "A", "works": [{"minutes": "1"}]}},
        }
    )


def said(*args: object) -> list[str]:
    return [problem.message for problem in remarks(pattern(*args))]  # type: ignore[arg-type]


def test_a_usual_pattern_is_left_alone() -> None:
    assert said() == []


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("5 mm (US 6)", "US 8"),  # kpcyarn.com needle conversions prints US 6 as 5 mm
        ("4.5 mm (US 7, UK 9)", "UK 7"),  # knitproblog.blogspot 2024-06 prints US 7 as UK 9
        ("4 mm (US 8)", "US 6"),  # kindergarten.printablepad.com prints US 8 as 4 mm
    ],
)
def test_needle_numbers_misprinted_elsewhere_are_caught(text: str, right: str) -> None:
    assert any(right in sentence for sentence in said(text))


def test_us_and_uk_add_up_to_14_from_3_75_to_6_mm() -> None:
    # The check named in printed_errors.csv; it holds for every needle of the chart that has both numbers in that range.
    both = [n for n in needles() if 3.75 <= n.mm <= 6 and n.us and n.uk]
    assert len(both) == 6
    assert all(float(n.us) + float(n.uk) == 14 for n in both)


def test_the_only_needle_with_equal_numbers() -> None:
    needle = needle_of_mm(4.5)
    assert needle is not None
    assert needle.us == needle.uk == "7"


def test_fingering_is_sock_yarn() -> None:
    """27 to 32 stitches to 4 in, not lace (common practice; the table has the word under both)."""
    found = weight_named("fingering")
    assert found is not None
    assert (found.number, found.stitches) == ("1", (27, 32))
    assert weight_named("10-count crochet thread") == weights()[0]


def test_medium_yarn_as_the_table_has_it() -> None:
    # Yarn-Guide2.pdf prints Medium as 4.5-5.2 mm; the Craft Yarn Council's table says 4.5-5.5 mm, 16-20 sts.
    medium = weight_named("worsted")
    assert medium is not None
    assert (medium.number, medium.needle, medium.stitches) == ("4", (4.5, 5.5), (16, 20))


def test_eight_weights_in_order_of_thickness() -> None:
    assert [weight.number for weight in weights()] == list("01234567")
    assert all(a.stitches[0] > b.stitches[0] for a, b in zip(weights(), weights()[1:], strict=False))


@pytest.mark.parametrize(
    ("name", "number"), [("3", "3"), ("Light", "3"), ("DK", "3"), ("(4) Medium", "4"), ("aran", "4"), ("sock", "1")]
)
def test_weights_go_by_number_name_or_type(name: str, number: str) -> None:
    weight = weight_named(name.split(" ")[-1] if "(" in name else name)
    assert weight is not None
    assert weight.number == number


def test_a_gauge_outside_the_table_is_a_note_that_says_what_the_table_says() -> None:
    problems = list(remarks(pattern(stitches=30)))
    assert [problem.severity for problem in problems] == ["note"]
    assert "21 to 24" in problems[0].message


@pytest.mark.parametrize(
    ("over", "units", "said"),
    [
        (100.0, None, "30.0 sts to 10 cm with MC: the table gives 21 to 24 sts to 4 in (10.2 cm)"),
        (101.6, None, "30.0 sts to 4 in with MC: the table gives 21 to 24 sts to 4 in for"),
        (101.6, "cm", "29.5 sts to 10 cm with MC"),
        (100.0, "in", "30.5 sts to 4 in with MC"),
    ],
)
def test_a_gauge_is_told_in_the_units_of_the_course(over: float, units: str | None, said: str) -> None:
    """30 stitches to 4 in (101.6 mm) are 29.5 to 10 cm, and 30 to 10 cm are 30.5 to 4 in."""
    given = pattern(stitches=30)
    gauge = given.gauge.model_copy(update={"over": over})
    [found] = remarks(given.model_copy(update={"gauge": gauge, "units": units}))
    assert said in found.message


def test_unknown_weights_and_needles_are_notes_too() -> None:
    found = list(remarks(pattern("4.1 mm", weight="fluffy")))
    assert {problem.severity for problem in found} == {"note"}
    assert any(problem.message.startswith("4.1 mm") for problem in found)


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("4 mm", "4 mm (US 6, UK 8)"),
        ("3.5 mm (US 4) for the cuff", "3.5 mm (US 4) for the cuff"),  # the chart has no old UK number for 3.5 mm
        ("4 mm (US 6) for the rest", "4 mm (US 6, UK 8) for the rest"),
        ("7 mm circular", "7 mm (UK 2) circular"),
        ("5 mm hook", "5 mm hook"),
        ("cable needle", "cable needle"),
        ("US 7 (4.5 mm) circular needle", "US 7 (4.5 mm, UK 7) circular needle"),
    ],
)
def test_needles_are_printed_in_all_three_systems(text: str, printed: str) -> None:
    # Tangled Yarn needle chart PDF and KnitPro blog 2024-06 table, as in the needle table.
    assert with_numbers(text) == printed


@pytest.mark.parametrize(("stitches", "notes"), [(20.0, 1), (20.7, 0), (24.0, 0), (24.2, 1)])
def test_half_a_stitch_over_the_table_is_let_pass(stitches: float, notes: int) -> None:
    # The table is for 4 in and gives DK 21 to 24; 20, 20.7, 24 and 24.2 sts to 10 cm are 20.3, 21.0, 24.4 and 24.6.
    assert len(said("4 mm (US 6)", stitches)) == notes
