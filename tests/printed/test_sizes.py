"""Names of sizes as they are printed, and lists with a number too few or too many."""

from __future__ import annotations

import pytest

from lessonplan.printed.leaflet.layout import lines_printed
from lessonplan.printed.leaflet.sizes import most_lists, named, names, odd_lists


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Sizes: S (M, L, XL)", ("S", "M", "L", "XL")),
        ("XS (S) (M, L)", ("XS", "S", "M", "L")),
        ("Size: 0–3 (3–6, 6–12) months", ("0–3", "3–6", "6–12")),
        ("Sizes: XS/S/M", ("XS", "S", "M")),
        ("Sizes: small, medium and large", ("small", "medium", "large")),
        ("To fit bust: 81 (86, 91, 97) cm", ("81", "86", "91", "97")),
        ("Größe: S (M/L)", ("S", "M", "L")),
        ("Sizes: S - M - L - XL", ("S", "M", "L", "XL")),
        ("One size", ("one size",)),
        ("Größe: Einheitsgröße, ca. 20 x 160 cm", ("one size",)),
        ("To fit head: 56 cm (22 in)", ()),
        ("Sizes", ()),
        ("S (M, L): foot circumference 20 (22, 24) cm", ("S", "M", "L")),
        ("Sizes Small [Medium]: 80 [90]", ("Small", "Medium")),
        ("To fit chest (cm): 80 (90)", ("80", "90")),
        ("Size: 2 (4) 6 years", ("2", "4", "6")),
        ("Finished size: to fit adult S/M/L, 51/56/61 cm head", ("S", "M", "L")),
        ("to fit 6-12 months/1-2 years", ("6-12 months", "1-2 years")),
        ("To fit chest 81/86/91 cm", ("81", "86", "91")),
        ("Sizes: S (M) L (XL)", ("S", "M", "L", "XL")),
    ],
)
def test_names(text: str, expected: tuple[str, ...]) -> None:
    assert names(text) == expected


def test_a_needle_of_a_size_names_no_sizes() -> None:
    assert named(lines_printed("US size 8 (5mm) needles\n\nSizes: S (M)"), "en") == (("S", "M"), 3)


def test_sizes_behind_the_word_alone() -> None:
    printed = lines_printed("SIZES 1 yr (2 yrs, 3 yrs)\nChest 54 (58, 62) cm")
    assert named(printed, "en") == (("1 yr", "2 yrs", "3 yrs"), 1)


@pytest.mark.parametrize(
    ("text", "sizes", "expected"),
    [
        ("CO 88 (96, 104) sts.", 3, []),
        ("CO 88 (96, 104) sts.", 4, [(3, 3)]),
        ("CO 88 (96, 104, 112) sts.", 3, [(3, 4)]),
        ("CO 88 [96, 104] sts, then 10 (12) times", 3, [(26, 2)]),
        ("K4 (5, 6), p4 (5, 6, 7)", 3, [(12, 4)]),
        ("K- (2, 4) sts", 3, []),
        ("Yarn: 5 (5, 6) (7, 7) balls", 5, []),
        ("Yarn: 5 (5, 6) (7) balls", 5, [(6, 4)]),
        ("20 (21.5, 23) cm", 3, []),
        ("34½ (38, 41, 44, 47, 50½) in", 6, []),
        ("45,5 (48/51,5) cm", 3, []),
        ("40 (44/48/52) M", 3, [(0, 4)]),
        ("10 cm (4 in)", 3, []),
        ("CO 88-96-104 sts", 3, []),
        ("CO 88-96-104 sts", 4, [(3, 3)]),
        ("Rows 1-12, written on 2026-11-25", 3, []),
        ("K48. (48)", 3, []),
        ("Row 3 (5, 7)", 1, [(4, 3)]),
        ("Cast on 132 (144) 156 sts", 3, []),
        ("Cast on 132 (144) sts", 3, [(8, 2)]),
        ("Cast on 80 (88) 96 (104) sts, k4 (5) 6 (7)", 4, []),
        ("Cast on 80 (88) 96 (104) sts, k4 (5) 6 (7)", 3, [(8, 4), (31, 4)]),
    ],
)
def test_lists_with_a_number_too_few_or_too_many(text: str, sizes: int, expected: list[tuple[int, int]]) -> None:
    assert list(odd_lists(text, sizes)) == expected


def test_most_lists_tell_how_many_sizes_there_are() -> None:
    assert most_lists(["CO 40 (44, 48) sts", "K2 (3, 4)", "P2 (3, 4)", "K2, p2"]) == (3, True)
    assert most_lists(["CO 40 (44, 48) sts", "K2 (3, 4, 5)"])[1] is False
    assert most_lists(["K 48. (48)"]) == (1, False)


def test_two_sizes_that_are_not_named_are_told_by_their_numbers() -> None:
    mitten = ["Length 15 (18) cm", "Cast on 30 (34) sts.", "K16 (18), M1, K to end. 31 (35) sts.", "Work 12 (14) rows"]
    assert most_lists(mitten) == (2, False)
    # Counts said behind the lines of a toy, however they grow, and needles in two systems, are no sizes.
    assert most_lists(["6 sc in ring (6)", "*inc* 6 (12)", "*sc, inc* 6 (18)", "*2 sc, inc* 6 (24)"]) == (1, False)
    assert most_lists([*mitten, "Use 4 (3) mm needles"]) == (1, False)
    assert most_lists(["One size", *mitten]) == (1, False)
