"""Print that names the sizes, or the needles, one by one: what is meant for another is blanked out, nothing moves."""

from __future__ import annotations

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.printed.words.by_size import for_size, in_size, like_needles


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("Cast on S: 86 sts - M: 94 sts - L: 102 sts, with 4 mm.", ["86 sts", "94 sts", "102 sts"]),
        ("Cast on 71 sts (2nd size 77 sts, 3rd size 83 sts).", ["71 sts", "77 sts", "83 sts"]),
        (
            "Cast off S: 1 x 4 sts, 2 x 1 st - M: 2 x 2 sts - L: 3 x 1 st.",
            ["1 x 4 sts, 2 x 1 st", "2 x 2 sts", "3 x 1 st"],
        ),
        ("K until S: 5, M: 6, L: 7 sts remain.", ["5", "6", "7"]),
    ],
)
def test_each_size_has_its_own_words(text: str, sizes: list[str]) -> None:
    for size, own in enumerate(sizes):
        shown = for_size(text, size, 3)
        assert len(shown) == len(text)
        assert shown.index(own) == text.index(own)
        assert all(other not in shown for other in sizes if other not in own)


@pytest.mark.parametrize("text", ["K1, M1, k to end", "M: k2tog", "S: 5, M: 6, then S: 7", "Rows 1 and 2: K"])
def test_other_letters_are_left_alone(text: str) -> None:
    assert for_size(text, 0, 3) == text


def test_a_needle_is_worked_like_another() -> None:
    first, second = "N1: K to last 3 sts, k2tog, k1.", "Needle 2: k1, ssk, k to end."
    assert like_needles((first, second, "N3: same as N1.", "N4: as N2. 60 sts", "N5: as N3.")) == (
        first, second, "N3: K to last 3 sts, k2tog, k1. ", "N4: k1, ssk, k to end. 60 sts", "N5: as N3.",
    )  # fmt: skip


def test_sizes_of_any_name_have_their_own_words() -> None:
    text = "Rnd 6: Size newborn: hdc around. Sizes child and adult: *hdc in next 4 sts, 2 hdc in next st; rep from *."
    small, middle, large = (in_size(text, size, 3) for size in range(3))
    assert ["next 4" in shown for shown in (small, middle)] == [False, True]
    assert ["around" in shown for shown in (small, middle)] == [True, False]
    assert middle == large
    assert in_size(text, 0, 2) == text  # three names are no two sizes


LESS = "K1, k2tog, k to end."


@pytest.mark.parametrize(
    ("lines", "on", "after"),
    [
        ([f"Sizes S and L only: {LESS}", "Size M only: K2tog, k to last 2 sts, k2tog."], (80, 90, 100), (79, 88, 99)),
        ([f"Next row (size Medium only): {LESS}"], (80, 90, 100), (80, 89, 100)),
        ([f"Sizes XS and XL only: {LESS}"], (80, 90, 100, 110, 120), (79, 90, 100, 110, 119)),
        ([f"For largest size only: {LESS}"], (80, 90, 100), (80, 90, 99)),
        ([f"Two smallest sizes only: {LESS}"], (80, 90, 100), (79, 89, 100)),
        (["Rnd 7 – Sizes M and L only: *Hdc in next 5 sts, 2 hdc in next st; rep from *."], (48, 48, 48), (48, 56, 56)),
    ],
)
def test_sizes_by_their_letters(lines: list[str], on: tuple[int, ...], after: tuple[int, ...]) -> None:
    counted = count_lines(lines, on)
    assert (counted.lines[-1].stitches, counted.problems) == (after, ())


@pytest.mark.parametrize(
    ("line", "sizes"),
    [(f"Size L only: {LESS}", 5), (f"Size child only: {LESS}", 3), ("Rnd 7 – Size toddler only: 2 hdc in each st.", 3)],
)
def test_sizes_that_are_not_known_are_asked(line: str, sizes: int) -> None:
    assert count_lines([line], [48] * sizes).lines[0].stitches == (None,) * sizes
