"""Which cautions are given, by whom the piece is for and what is done with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.documents.cautions import handout_cautions
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot

SIGNS = {
    "cords": "drawstrings",  # ASTM F1816: children's sizes only
    "small parts": "small-parts cylinder",  # 16 CFR 1501: children under three only
    "steam": "Steam burns",
    "acrylic": "flattens acrylic",
    "allergy": "lanolin",
}


def cautions(folder: Path, recipient: str = "adult", fibre: str = "cotton", say: str = "Hello.") -> set[str]:
    """The topics warned of, without those that every course has."""
    course = COURSE + f"recipient: {recipient}\n"
    pattern = PATTERN.replace("grams: 100", f"grams: 100, fibre: {fibre}")
    made = plan(folder, episode((shot("face", say=say),)), course, {"pattern.yaml": pattern})
    texts = handout_cautions(made.course)
    assert "scissors" in " ".join(texts)
    assert texts[-1].endswith("come first.")
    return {topic for topic, sign in SIGNS.items() if sign in " ".join(texts)}


@pytest.mark.parametrize(
    ("recipient", "topics"),
    [("adult", set()), ("child", {"cords"}), ("child under 3", {"cords", "small parts"})],
)
def test_children_are_protected_from_cords_and_small_parts(tmp_path: Path, recipient: str, topics: set[str]) -> None:
    assert cautions(tmp_path, recipient) == topics


@pytest.mark.parametrize("fibre", ["wool", "Merino Wool", "baby alpaca"])
def test_animal_fibres_bring_the_caution_about_allergies(tmp_path: Path, fibre: str) -> None:
    assert cautions(tmp_path, fibre=fibre) == {"allergy"}


def test_steam_is_dangerous_for_hands_and_for_acrylic(tmp_path: Path) -> None:
    assert cautions(tmp_path / "a", say="Now we steam it.") == {"steam"}
    assert cautions(tmp_path / "b", fibre="acrylic") == set()
    assert cautions(tmp_path / "c", fibre="acrylic", say="Now we steam it.") == {"steam", "acrylic"}
