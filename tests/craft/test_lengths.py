"""Lengths as they are printed: typed, computed and spoken of, in centimetres and inches."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, strategies as st

from lessonplan.craft.lengths import centimetres, differences_text, inches, lengths_text, sizes_text, unbroken

PARTS = {"": 0, "⅛": 1, "¼": 2, "⅜": 3, "½": 4, "⅝": 5, "¾": 6, "⅞": 7}


def value_of(text: str) -> Fraction:
    """Read a mixed number as printed: ``6¾``."""
    whole = text.rstrip("".join(PARTS))
    return Fraction(whole or 0) + Fraction(PARTS[text[len(whole) :]], 8)


@pytest.mark.parametrize(
    ("mm", "text"),
    [(63.33, "6.3"), (56.67, "5.7"), (66.7, "6.7"), (62.5, "6.3"), (100, "10"), (238.6, "24"), (205.7, "20.5")],
)
def test_a_computed_length_is_rounded_to_the_millimetre_and_from_10_cm_to_the_half_centimetre(
    mm: float, text: str
) -> None:
    assert centimetres(mm) == text


@pytest.mark.parametrize(("mm", "text"), [(57, "5.7"), (63, "6.3"), (123, "12.3"), (22.5, "2.25"), (65, "6.5")])
def test_a_typed_length_stays_as_typed(mm: float, text: str) -> None:
    assert centimetres(mm, typed=True) == text


@pytest.mark.parametrize(("mm", "text"), [(68.75, "7"), (62.5, "6.5"), (23, "2.5")])
def test_a_length_as_one_speaks_of_it_is_a_half_centimetre(mm: float, text: str) -> None:
    assert centimetres(mm, about=True) == text


@pytest.mark.parametrize(
    ("typed", "cm", "inch"),
    [
        (7.5 * 25.4, "19.1", "7½"),  # 19.05 cm: a half goes up, as everywhere
        (4 * 25.4, "10.2", "4"),
        (4.625 * 25.4, "11.7", "4⅝"),
        (2.3 * 25.4, "5.8", "2.3"),
        (127, "12.7", "5"),
        (57, "5.7", "2¼"),
        (178, "17.8", "7"),
    ],
)
def test_inches_that_were_typed_stay_too(typed: float, cm: str, inch: str) -> None:
    assert (centimetres(typed, typed=True), inches(typed, typed=True)) == (cm, inch)


@pytest.mark.parametrize(
    ("mm", "cm", "inch"),
    # What is narrower than the body, by hand: -68 / 25.4 = -2.677, -39 / 25.4 = -1.535, -50 / 25.4 = -1.969, -8 / 25.4.
    [(-68, "-6.8", "-2⅝"), (-39, "-3.9", "-1½"), (-50, "-5", "-2"), (-8, "-0.8", "-⅜")],
)
def test_less_than_nothing_is_as_long_as_it_would_be_above(mm: float, cm: str, inch: str) -> None:
    assert (centimetres(mm), inches(mm)) == (cm, inch)


@pytest.mark.parametrize(
    ("cm", "inch"),
    # Worked by hand: 3.5 / 2.54 = 1.378, 7.5 / 2.54 = 2.953, 14.5 / 2.54 = 5.709, 18 / 2.54 = 7.087, 22 / 2.54 = 8.661.
    [("3.5", "1⅜"), ("7.5", "3"), ("14.5", "5¾"), ("18", "7"), ("22", "8¾"), ("2", "¾"), ("0.6", "¼")],
)
def test_inches_come_from_the_printed_centimetres(cm: str, inch: str) -> None:
    assert inches(float(cm) * 10) == inch


@given(st.floats(1, 3000), st.floats(1, 3000))
def test_one_printed_length_never_has_two_inches(one: float, other: float) -> None:
    if centimetres(one) == centimetres(other):
        assert inches(one) == inches(other)


@given(st.floats(20, 3000))
def test_the_inches_are_the_nearest_to_the_printed_centimetres(mm: float) -> None:
    printed = Fraction(centimetres(mm))
    step = Fraction(1, 8) if printed < 10 else Fraction(1, 4)
    assert abs(value_of(inches(mm)) - printed / Fraction("2.54")) <= step / 2 + Fraction(1, 10**6)


def test_units_are_one_or_both() -> None:
    lengths = (50.0, 57.0, 63.0)
    assert lengths_text(lengths, "cm", typed=True) == "5\u00a0(5.7,\u00a06.3)\u00a0cm"
    assert lengths_text(lengths, "in", typed=True) == "2\u00a0(2¼,\u00a02½)\u00a0in"
    assert lengths_text([50.0, 50.0], "both", typed=True) == "5\u00a0cm, 2\u00a0in"
    assert lengths_text([101.6], "in", typed=True) == "4\u00a0in"


def test_ease_is_what_one_printed_length_has_over_the_other() -> None:
    # By hand: 38 and 42 in round bodies of 36 and 37½ in; in cm 96.5 and 106.5 over 91.4 and 95.3 (914.4 and 952.5 mm).
    worn, bodies = (38 * 25.4, 42 * 25.4), (36 * 25.4, 37.5 * 25.4)
    assert differences_text(worn, bodies, "in") == "2\u00a0(4½)\u00a0in"
    assert differences_text(worn, bodies, "both") == "5.1\u00a0(11.2)\u00a0cm, 2\u00a0(4½)\u00a0in"


def test_equal_sizes_are_printed_once_and_groups_do_not_break() -> None:
    assert sizes_text(["4", "4", "4"]) == "4"
    assert sizes_text(["4", "5", "5"]) == "4\u00a0(5,\u00a05)"
    many = sizes_text([str(number) for number in range(9)])
    assert many.startswith("0\u00a0(1, 2")


def test_groups_in_printed_lines_do_not_break() -> None:
    assert unbroken("K20 (22, 24), pm, k to end") == "K20\u00a0(22,\u00a024), pm, k to end"
    assert unbroken("Work 5 cm and 3 sts") == "Work 5\u00a0cm and 3\u00a0sts"
    assert unbroken("1 (2, 3, 4, 5, 6, 7) sts") == "1\u00a0(2, 3, 4, 5, 6, 7)\u00a0sts"
