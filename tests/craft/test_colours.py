"""Colours against an independent implementation (colorspacious 1.1), which has the published matrices, and by hand."""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from colorspacious import cspace_convert

from lessonplan.craft import colours
from tests.published import rows

NAMES = {"red": "protanomaly", "green": "deuteranomaly", "blue": "tritanomaly"}
"""What is not seen, by the library's names; a severity of 100 is not to see it at all."""


def some_colours(count: int) -> list[str]:
    chosen = random.Random(11)
    return [f"#{chosen.randrange(1 << 24):06x}" for _ in range(count)]


def channels(colour: str) -> Any:
    return np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])


@pytest.mark.parametrize("kind", NAMES)
def test_colours_are_seen_as_the_published_matrices_say(kind: str) -> None:
    space = {"name": "sRGB1+CVD", "cvd_type": NAMES[kind], "severity": 100}
    for colour in some_colours(300):
        wanted = np.clip(cspace_convert(channels(colour), space, "sRGB1"), 0, 1)
        assert np.abs(channels(colours.seen_without(colour, kind)) - wanted).max() < 1.01 / 255


def test_differences_are_those_of_cie_lab() -> None:
    # The library's CIELab is under D65, the white of sRGB.
    every = some_colours(300)
    for one, other in pairwise(every):
        wanted = np.linalg.norm(
            cspace_convert(channels(one), "sRGB1", "CIELab") - cspace_convert(channels(other), "sRGB1", "CIELab")
        )
        assert colours.difference(one, other) == pytest.approx(wanted, abs=0.15)
    assert colours.difference("#000000", "#ffffff") == pytest.approx(100, abs=0.1)


def test_contrast_is_that_of_the_published_palette() -> None:
    # palette_okabe_ito.csv: ratios on white and on black.
    for row in rows("palette_okabe_ito"):
        assert colours.contrast(row["hex"], "#FFFFFF") == pytest.approx(float(row["contrast_on_white"]), abs=0.006)
        assert colours.contrast(row["hex"], "#000000") == pytest.approx(float(row["contrast_on_black"]), abs=0.006)


def test_red_and_green_of_one_lightness_are_alike_to_some() -> None:
    red, green = "#C2722F", "#7F8A2F"
    assert "all" not in colours.alike_for(red, green)
    assert {"red", "green"} & set(colours.alike_for(red, green))
    assert colours.alike_for("#D8C7A3", "#1F6573") == ()
    assert colours.alike_for("#D8C7A3", "#D8C7A4") == ("all",)


@pytest.mark.parametrize(
    "pair", [("#C2722F", "#7F8A2F"), ("#D8C7A3", "#C8BE98"), ("#000000", "#050505"), ("#fff", "#fafafa")]
)
def test_what_would_do_does(pair: tuple[str, str]) -> None:
    one, other = (colour if len(colour) == 7 else "#ffffff" for colour in pair)
    old, new = colours.told_apart(one, other)
    beside = other if old == one else one
    assert old in (one, other)
    assert colours.alike_for(new, beside) == ()


def test_hex_and_linear_are_each_others_inverse() -> None:
    for colour in ("#000000", "#ffffff", "#0a0b0c", *some_colours(50)):
        assert colours.hex_of(colours.linear(colour)) == colour
