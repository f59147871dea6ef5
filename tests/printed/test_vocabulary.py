"""The words of print as data: every example of the table counts as it says, and no phrase means two things."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle
from lessonplan.printed.rules.search import KINDS
from lessonplan.printed.words.phrases import HOOKED, TABLE, _entries


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


def test_a_stitch_that_is_no_technique_is_told_with_its_row(tmp_path: Path) -> None:
    (table := tmp_path / "words.csv").write_text("kind,value,phrases\nstitch,k2tog,dec|decs\nstitch,k9wob,wobble\n")
    with pytest.raises(ValueError, match=r"^words\.csv, line 3: techniques\.csv has no technique 'k9wob'\.$"):
        _entries(table)


def test_there_are_enough_examples() -> None:
    assert sum(bool(row["after"]) for row in rows()) >= 90
