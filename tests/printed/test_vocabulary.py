"""The words of print as data: every example of the table counts as it says, and no phrase means two things."""

from __future__ import annotations

import csv

import pytest

from lessonplan.craft.techniques import technique
from lessonplan.needle.decided.line import Needle
from lessonplan.needle.order.lines import work_lines
from lessonplan.printed.rules.search import KINDS
from lessonplan.printed.words.phrases import HOOKED, TABLE


def rows() -> list[dict[str, str]]:
    found: list[dict[str, str]] = []
    for table in (TABLE, HOOKED):
        with table.open(encoding="utf-8", newline="") as file:
            found += csv.DictReader(file)
    return found


@pytest.mark.parametrize("row", [row for row in rows() if row["after"]], ids=lambda row: row["example"])
def test_the_example_of_a_word_counts_as_the_table_says(row: dict[str, str]) -> None:
    worked = work_lines([row["example"]], Needle(int(row["on"]), flat="turn" in row["example"]))
    assert [problem.sentence for problem in worked.problems if problem.severity == "error"] == []
    assert worked.needle.stitches == int(row["after"])


def test_every_kind_is_known_to_the_rules() -> None:
    for row in rows():
        assert row["source"], row
        assert row["kind"] in {*KINDS, "noise", "stitch"}, row


def no_technique(table: list[dict[str, str]]) -> list[str]:
    """The stitches of a vocabulary that the table of techniques does not know, so that no count can be made of them."""
    found = []
    for row in table:
        try:
            known = row["kind"] != "stitch" or bool(technique(row["value"]).name)
        except KeyError:
            known = False
        found += [] if known else [row["value"]]
    return found


def test_every_stitch_names_a_technique() -> None:
    assert no_technique(rows()) == []
    assert no_technique([*rows(), {"kind": "stitch", "value": "wobble 7"}]) == ["wobble 7"]


def test_there_are_enough_examples() -> None:
    assert sum(bool(row["after"]) for row in rows()) >= 90
