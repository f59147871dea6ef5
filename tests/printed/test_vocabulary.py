"""The words of print as data: every example of the table counts as it says, and no phrase means two things."""

from __future__ import annotations

import csv

import pytest

from lessonplan.craft.techniques import technique
from lessonplan.needle.line import Needle
from lessonplan.needle.lines import work_lines
from lessonplan.printed.search import KINDS
from lessonplan.printed.words import TABLE


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", [row for row in rows() if row["after"]], ids=lambda row: row["example"])
def test_the_example_of_a_word_counts_as_the_table_says(row: dict[str, str]) -> None:
    worked = work_lines([row["example"]], Needle(int(row["on"]), flat="turn" in row["example"]))
    assert [problem.sentence for problem in worked.problems if problem.severity == "error"] == []
    assert worked.needle.stitches == int(row["after"])


def test_every_kind_is_known_to_the_rules_and_every_stitch_to_the_table_of_techniques() -> None:
    for row in rows():
        assert row["source"], row
        if row["kind"] == "stitch":
            assert technique(row["value"]).name
        else:
            assert row["kind"] in {*KINDS, "noise"}, row


def test_there_are_enough_examples() -> None:
    assert sum(bool(row["after"]) for row in rows()) >= 90
