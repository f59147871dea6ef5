"""What a heading is over, and which lines of a pattern are prose."""

from __future__ import annotations

import pytest

from lessonplan.printed.leaflet.contents import read_whole
from lessonplan.printed.leaflet.headwords import heading_kind


@pytest.mark.parametrize(
    ("heading", "kind"),
    [
        ("MATERIALS", "info"),
        ("You will need", "info"),
        ("Gauge", "info"),
        ("Pattern Notes:", "info"),
        ("Abbreviations (US terms)", "abbreviations"),
        ("Special stitches", "abbreviations"),
        ("Sizes", "sizes"),
        ("Chart B", "pattern"),
        ("Lace pattern", "pattern"),
        ("Moss stitch (multiple of 2 sts)", "pattern"),
        ("Pattern", "worked"),
        ("Instructions", "worked"),
        ("Tip of thumb", ""),
        ("Body", ""),
        ("Head (grey yarn)", ""),
    ],
)
def test_kinds_of_headings(heading: str, kind: str) -> None:
    assert heading_kind(heading, "en") == kind


def test_german_headings_are_known_in_german_only() -> None:
    assert heading_kind("Maschenprobe", "de") == "info"
    assert heading_kind("Maschenprobe", "en") == ""


def kinds(body: str) -> list[str]:
    text = f"Scarf\n\nCO 20 sts.\n\n{body}"
    return [each.kind for each in read_whole(text).entries][2:]


@pytest.mark.parametrize(
    "text",
    [
        "Weave in all ends.",
        "Change to larger needles.",
        "This scarf is worked in rows from the bottom up.",
        "You will find that the edges curl; a firm block helps.",
        "Cut the yarn, leaving a tail of 20 cm.",
        "Fasten off.",
        "Stuff firmly.",
        "If you wish a longer scarf, work a few more rows here.",
        "Sew the side seams with 1 m of yarn.",
        "Do not join.",
        "https://example.org/scarf",
    ],
)
def test_prose_is_passed_over(text: str) -> None:
    assert kinds(text) == ["prose"]


@pytest.mark.parametrize(
    "text",
    [
        "Knit 4 rows.",
        "K2, p2 to end.",
        "At the beginning of the next 2 rows, bind off 5 sts.",
        "Work even until scarf measures 20 cm.",
        "Bind off loosely.",
        "Rows 5-8: Rep rows 1-4.",
        "*K1, p1*",
        "Next row: wobble to end.",
        "Repeat from the star to the end with wobbles.",
    ],
)
def test_instructions_are_lines_read_or_not(text: str) -> None:
    assert kinds(text) == ["line"]


def test_a_paragraph_of_both_is_parted() -> None:
    assert kinds("Change to larger needles. Knit 4 rows. The piece should now be square. Bind off.") == [
        "prose",
        "line",
        "prose",
        "line",
    ]
