"""Where figures come from: every row of a table says it in one of a few ways, and none claims more than it can."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).parents[1]
TABLES = sorted((*ROOT.glob("lessonplan/**/tables/*.csv"), *ROOT.glob("tests/facts/*.csv")))
LINES = ROOT / "tests" / "needle" / "printed_lines.csv"
RULES = sorted(ROOT.glob("tests/facts/*.yaml"))
WITHOUT = {"crafts.csv", "drying_and_firing.csv"}
"""Words of each craft, in which there is nothing to be right or wrong about."""
GUESS = "planning guess, from memory"
OWNED = re.compile(r"from memory|common practice|planning guess")
NOT_FOUND = re.compile(r"recalled|squarespace|shopify|scribd copy|\bguess from\b|any (printed|published) table")


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def sourced() -> list[tuple[str, str, str]]:
    """File and line, source and confidence of every row that has both, in tables and in rules."""
    found = [
        (f"{path.name}:{line}", row["source"], row["confidence"])
        for path in (*TABLES, LINES)
        if path.name not in WITHOUT
        for line, row in enumerate(rows(path), start=2)
    ]
    for path in RULES:
        for line, text in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            if text.startswith("- {") and "confidence:" in text:
                rule = yaml.safe_load(text)[0]
                found.append((f"{path.name}:{line}", rule["source"], rule["confidence"]))
    return found


def wrong(source: str, confidence: str) -> str:
    """Say what is wrong with how a row names its source; nothing if it is right."""
    if not source or NOT_FOUND.search(source):
        return "no source that a reader can find"
    owned = bool(OWNED.search(source))
    match confidence:
        case "published-seen":
            alone = OWNED.search(re.split(r"[;(]", source)[0])
            return "called seen in print, but owned to be from memory" if alone else ""
        case "from-memory" | "common practice":
            return "" if owned else "not seen in print, and does not say so"
        case "guess":
            return "" if source == GUESS else f"a guess is called “{GUESS}”"
        case "computed":
            return ""
    return f"no such confidence: {confidence}"


def test_every_row_names_its_source_or_says_that_it_has_none() -> None:
    assert len(sourced()) > 800
    assert [(at, source, what) for at, source, sure in sourced() if (what := wrong(source, sure))] == []


@pytest.mark.parametrize(
    ("source", "confidence"),
    [
        ("", "published-seen"),
        ("recalled", "from-memory"),
        ("from memory", "published-seen"),
        ("Some Handbook, 3rd ed.", "from-memory"),
        ("common practice", "guess"),
        ("a book", "sure"),
    ],
)
def test_a_row_that_claims_too_much_is_found(source: str, confidence: str) -> None:
    assert wrong(source, confidence)


def test_factors_are_planning_guesses_and_say_so() -> None:
    factors = [row for row in rows(ROOT / "lessonplan/craft/tables/techniques.csv") if row["kind"] != "term"]
    invented = [row for row in factors if row["factor_source"] not in ("unit", "not worked")]
    assert len(invented) > 100
    assert [row["name"] for row in invented if GUESS not in row["factor_source"]] == []
    assert all(row["time_factor"] in ("0", "1") for row in factors if row not in invented)


def test_words_of_the_trade_name_print_or_common_practice() -> None:
    for name in ("vocabulary", "german"):
        for row in rows(ROOT / f"lessonplan/printed/words/{name}.csv"):
            assert row["source"].startswith(("common practice", "seen in print: ")), row
