"""Numbers and quantities in speech; the expected values are written by hand."""

from __future__ import annotations

import random

import pytest

from lessonplan.edit.speech.quantities import Quantity, normal, quantities_in, words_of

SIZES = ("Small", "Medium", "Large")


def said(text: str) -> list[Quantity]:
    return [one for one in quantities_in(normal(words_of(text)), SIZES) if one.unit]


def plain(text: str) -> list[tuple[float, str]]:
    return [(round(one.number.high, 3), one.unit) for one in said(text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("ninety rounds", [(90, "rounds")]),
        ("a hundred and four rows", [(104, "rows")]),
        ("two hundred and twelve stitches", [(212, "stitches")]),
        ("one hundred stitches", [(100, "stitches")]),
        ("twenty-two stiches", [(22, "stitches")]),
        ("twenty two sts", [(22, "stitches")]),
        ("two and a half inches", [(2.5, "inches")]),
        ("two and three quarter inches", [(2.75, "inches")]),
        ("half an inch", [(0.5, "inches")]),
        ("three quarters of an inch", [(0.75, "inches")]),
        ("a quarter of an hour", [(0.25, "hours")]),
        ("2½ cm", [(2.5, "cm")]),
        ("3.5 mm", [(3.5, "mm")]),
        ("three point five millimetres", [(3.5, "mm")]),
        ("three point seven five millimeter", [(3.75, "mm")]),
        ("a dozen rounds", [(12, "rounds")]),
        ("half a dozen rounds", [(6, "rounds")]),
        ("two dozen stitches", [(24, "stitches")]),
        ("knit two pearl two", [(2, "knit"), (2, "purl")]),
        ("nit to together", [(2, "together")]),
        ("knit for rounds", [(4, "rounds")]),
        ("until ate stitches are left", [(8, "stitches")]),
        ("twenty to rounds", [(22, "rounds")]),
        ("ready for stitches to be counted", []),
        ("knit to the last stitch", []),
        ("cast on forty four and join", [(44, "stitches")]),
        ("i pick up five along the gap", [(5, "stitches")]),
        ("needles size us eight", [(8, "us")]),
        ("five plain rounds", [(5, "rounds")]),
        ("we do that six times", [(6, "times")]),
        ("one two three four and so on", []),
        ("four eight twelve sixteen stitches", []),
        ("the first one and then the second one", []),
        ("three rounds of blue", [(3, "rounds")]),
        ("knit three rounds", [(3, "rounds")]),
        ("a four millimeter needle", [(4, "mm")]),
    ],
)
def test_what_was_said(text: str, expected: list[tuple[float, str]]) -> None:
    assert plain(text) == expected


def test_a_range_has_two_ends() -> None:
    (one,) = said("between four to five centimeters")
    assert (one.number.low, one.number.high) == (4, 5)
    assert [one.value for one in said("from forty four to forty")] == [44, 40]


def test_an_ordinal_is_a_place_in_the_rounds() -> None:
    assert [(one.value, one.unit, one.ordinal) for one in said("round nine and the twenty second row")] == [
        (9, "rounds", True),
        (22, "rows", True),
    ]


def test_a_list_by_size_shares_its_unit() -> None:
    found = said("forty for the small forty four for the medium and forty eight stitches for the large")
    assert [(one.value, one.unit, one.size) for one in found] == [
        (40, "stitches", 0),
        (44, "stitches", 1),
        (48, "stitches", 2),
    ]


def test_any_words_are_read() -> None:
    draw = random.Random(5)
    text = (
        "one twenty hundred a and half quarter dozen couple to for ate stitches rounds row knit purl slip the small "
        "medium 3.5 22 2½ 1/2 0 99999999999999999999 point five second third -- ’ é no sorry i mean left right"
    )
    words = text.split()
    for _ in range(400):
        quantities_in(normal(words_of(" ".join(draw.choices(words, k=14)))), SIZES)
