"""The colours of all pages, pair by pair: contrast as WCAG 2.2 computes it (1.4.3: text 4.5, 1.4.11: signs 3)."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest

Palette = dict[str, str]
SHEETS = {
    # On every surface every colour of letters may come to stand; --line and --stitch only adorn.
    "style.css": (("paper", "sheet", "chip", "warn-paper"), ("ink", "soft", "link", "warn"), ("edge", "bar")),
    "table.css": (
        ("dark", "sheet"),
        ("ink", "soft", "focus", "start", "stop", "good", "usable", "again", "slip"),
        ("edge",),
    ),
}
"""Of each stylesheet the surfaces, what is written on them, and what is drawn on the first two of them."""


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, glossary)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def palettes(css: str) -> list[Palette]:
    """The colours of each `:root` of a stylesheet: by day, by night (what is left out is as by day), and on paper.

    On paper stand only the colours that are given for it: buttons are not printed.
    """
    found: list[Palette] = []
    bodies = re.findall(r":root \{([^}]*)\}", css)
    for body in bodies:
        own = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{3,6});", body))
        own = {
            key: value if len(value) == 7 else "#" + "".join(2 * one for one in value[1:]) for key, value in own.items()
        }
        found.append(own if not found or len(found) == len(bodies) - 1 else {**found[0], **own})
    return found


@pytest.mark.parametrize("name", SHEETS)
def test_every_pair_is_told_apart(root: Path, name: str) -> None:
    found = palettes((root / "templates" / name).read_text(encoding="utf-8"))
    assert len(found) == (3 if name == "style.css" else 2), "by day, by night, on paper"
    surfaces, letters, signs = SHEETS[name]
    for colours in found:
        pairs = [(one, on, 4.5) for one, on in product(letters, surfaces)]
        pairs += [(one, on, 3.0) for one, on in product(signs, surfaces[:2])]
        pairs = [(one, on, least) for one, on, least in pairs if one in colours and on in colours]
        low = {f"{one} on {on}": contrast(colours[one], colours[on]) for one, on, _ in pairs}
        assert {
            pair: ratio for (pair, ratio), (_, _, least) in zip(low.items(), pairs, strict=True) if ratio < least
        } == {}


def test_no_colour_is_left_out(root: Path) -> None:
    """Every colour of the palettes is a surface, letters, a sign, or adorns only."""
    adorning = {"line", "stitch", "bar-naive", "on"}
    for name, (surfaces, letters, signs) in SHEETS.items():
        every = set(palettes((root / "templates" / name).read_text(encoding="utf-8"))[0])
        assert every == {*surfaces, *letters, *signs} | (every & adorning), name


def test_colours_outside_the_palettes_are_few(root: Path) -> None:
    """Colours written into a rule: the warning of the table's page, and black and white on paper."""
    for path in sorted((root / "templates").glob("*.css")):
        rules = re.sub(r":root \{[^}]*\}|/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        screen = re.split(r"@media print", rules)[0]
        single = set(re.findall(r"#[0-9a-f]{3,6}\b(?=[;\s,)])", screen))
        assert single <= {"#3a1d12", "#000", "#fff"}, path.name
    assert contrast("#ff9d7a", "#3a1d12") >= 4.5


def test_the_formula_has_its_known_values() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)
