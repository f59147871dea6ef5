"""Numbers and quantities in speech; the expected values are written by hand."""

from __future__ import annotations

import cProfile
import random

import pytest

from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.proof.series.sums import sums_in
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.units import normal, words_of
from lessonplan.edit.speech.whose import Scopes
from tests.edit.spoken import holds

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
        ("you need to balls", [(2, "balls")]),
        ("knit to pearl for and follow the columns", [(2, "knit"), (4, "purl")]),
        ("knit to the marker for now", []),
        ("to and three quarter inches", [(2.75, "inches")]),
        ("two inches and a half", [(2.5, "inches")]),
        ("four and a bit centimeters", [(4, "cm")]),
        ("it's a one by one rib", [(1, "knit"), (1, "purl")]),
        ("k10 k2tog", [(10, "knit")]),
        ("pick up and knit five", [(5, "stitches")]),
        ("round nine ends here", [(9, "rounds")]),
        ("round six of twenty two", [(6, "rounds"), (22, "rounds")]),
        ("count the rounds you should have 22", [(22, "rounds")]),
        ("we're back to forty four", [(44, "stitches")]),
        ("eight color changes", []),
        ("a meter of yarn", [(1, "metres")]),
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


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("twenty two rounds in all", [""]),
        ("not twenty rounds but twenty two rounds", ["apart", ""]),
        ("it isn't twenty rounds it's twenty two rounds", ["apart", ""]),
        ("don't worry it's twenty two rounds", [""]),
        ("twenty five rounds is too many", ["apart"]),
        ("if you have forty five stitches you made one too many", ["supposed"]),
        ("you might want thirty rounds but here it's twenty two rounds", ["supposed", ""]),
        ("if you knit the large you need twenty four rounds for the large", [""]),
        ("is it eighteen rounds no it's nineteen rounds", ["apart", ""]),
        ("my grandmother knitted thirty rounds and we knit twenty two rounds", ["apart", ""]),
        ("the old leaflet says sixteen rounds", ["apart"]),
        ("the pattern says sixteen rounds", [""]),
        ("thirty rounds for my brother", ["apart"]),
        ("a sock has sixty four stitches", ["apart"]),
        ("i was only nine rounds in and it had forty stitches", ["", ""]),
        ("i was nine rounds in and it had twenty two rounds", ["", ""]),
    ],
)
def test_whose_number_it_is(text: str, expected: list[str]) -> None:
    tokens = normal(words_of(text))
    scopes = Scopes([token.text for token in tokens], frozenset({"mitten"}))
    found = [one for one in quantities_in(tokens, SIZES) if one.unit in ("stitches", "rounds")]
    assert [scopes.of(one.first, one.end, one.size is not None) for one in found] == expected


@pytest.mark.parametrize("said", ["seventeen and i cast on", "thirty one when i cast on my first pair", "12 years old"])
def test_an_age_is_told_of_another_day(said: str) -> None:
    assert Scopes(f"i was only {said}".split(), frozenset({"mitten"})).of_others(3)
    assert not Scopes(f"i cast on {said}".split(), frozenset({"mitten"})).of_others(3)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("forty four plus one is forty six", [45]),
        ("fifty seven minus thirteen leaves forty four", [44]),
        ("thirteen and five makes eighteen", [18]),
        ("thirteen plus five minus two makes sixteen", [16]),
        ("eight stripes of four rounds that makes thirty two", [32]),
        ("forty four and then we go on with forty five", []),
        ("twenty two stitches and thirty rounds is the gauge", []),
    ],
)
def test_sums(text: str, expected: list[float]) -> None:
    tokens = normal(words_of(text))
    assert [one.comes_to for one in sums_in([t.text for t in tokens], quantities_in(tokens, SIZES))] == expected


def test_the_pattern_s_own_number_beside_that_of_the_piece_here_clears_it() -> None:
    # The edge of the sample's mittens has 44 stitches; a number of something else says nothing about it.
    here = "on this one here i have six stitches"
    for beside, found in (
        (" and yours has forty four stitches", []),
        (" and yours has forty four grams", ["six stitches"]),
    ):
        told = proofed(words_of(here + beside), holds("mittens")["1.3"])
        assert [one.said for one in told if one.kind == "disagrees" and "stitches" in one.said] == found


def test_work_grows_with_the_talk_and_no_faster() -> None:
    talk = (
        "after round eight I have forty four stitches and the small has forty on three needles sixteen sixteen and "
        "twelve then increase twice so four more and thirteen are held for the thumb of the large one "
    )
    mittens = holds("mittens")["1.5"]

    def calls(times: int) -> int:
        with cProfile.Profile() as counted:
            list(proofed(words_of(talk * times), mittens))
        return sum(one.callcount for one in counted.getstats())

    calls(2)  # what is made ready once
    assert calls(160) < 4.4 * calls(40)


def test_any_words_are_read() -> None:
    draw = random.Random(5)
    text = (
        "one twenty hundred a and half quarter dozen couple to for ate stitches rounds row knit purl slip the small "
        "medium 3.5 22 2½ 1/2 0 99999999999999999999 point five second third -- ’ é no sorry i mean left right"
    )
    words = text.split()
    for _ in range(400):
        quantities_in(normal(words_of(" ".join(draw.choices(words, k=14)))), SIZES)
