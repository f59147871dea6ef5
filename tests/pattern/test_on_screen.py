"""Texts over the picture say whose number it is, where sizes differ."""

from __future__ import annotations

import pytest

from lessonplan.pattern.facts import Fact
from lessonplan.pattern.texts import on_screen

FACTS = {
    "size": Fact("size", "", ("Small", "Medium")),
    "gusset.held": Fact("gusset.held", "", (11, 13)),
    "band.rounds": Fact("band.rounds", "", (12, 12)),
    "gauge.over": Fact("gauge.over", "", (100.0,), "mm"),
    "cuff.length": Fact("cuff.length", "", (70.0, 72.0), "mm"),
}


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("{{ gusset.held }}", "Medium: 13"),
        ("{{ band.rounds }} rounds", "12 rounds"),
        ("Size {{ size }}: {{ gusset.held }}", "Size Medium: 13"),
        ("{{ gauge.over }}", "10\u00a0cm"),
        ("{{ about cuff.length }}", "Medium: about 7.2\u00a0cm"),  # about 7 cm is said, and read is one number
        ("{{ band.rounds }} rounds, {{ gusset.held }} sts", "Medium: 12 rounds, 13 sts"),
        ("Leans left", "Leans left"),
    ],
)
def test_a_number_that_is_another_in_other_sizes_has_its_size(text: str, shown: str) -> None:
    assert on_screen(text, FACTS, 1) == shown
