"""German print: every example of the table counts as it says, and every message finds the printed word."""

from __future__ import annotations

import csv

import pytest

from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle
from lessonplan.printed.words.languages import TABLES, read_in


def rows() -> list[dict[str, str]]:
    with TABLES["de"].open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", [row for row in rows() if row["after"]], ids=lambda row: row["example"])
def test_the_example_of_a_phrase_counts_as_the_table_says(row: dict[str, str]) -> None:
    flat = "wenden" in row["example"] or " R" in row["example"]
    worked = work_lines([read_in(row["example"], "de").text], Needle(int(row["on"]), flat=flat))
    assert [problem.sentence for problem in worked.problems if problem.severity == "error"] == []
    assert worked.needle.stitches == int(row["after"])


def test_every_row_has_a_source_and_enough_have_an_example() -> None:
    assert all(row["source"] and row["print"] for row in rows())
    assert sum(bool(row["after"]) for row in rows()) >= 75


def test_the_phrase_of_an_example_is_really_in_it() -> None:
    for row in rows():
        words = [one.replace("#", "").replace("...", "").split() for one in row["print"].split("|")]
        example = row["example"].lower().replace(".", " ").replace(",", " ")
        if row["after"] and "MM setzen" not in row["example"]:
            assert any(all(word.strip(".,").lower() in example for word in phrase) for phrase in words), row["example"]


def english(text: str) -> str:
    return " ".join(read_in(text, "de").text.split())


def test_the_longest_phrase_wins_and_numbers_for_sizes_are_kept() -> None:
    assert english("2 M re zus, 3 M re") == "k2tog, k3"
    assert english("48 (52/56) M anschlagen") == "CO 48 (52/56) sts"
    assert english("Am Anfang der nächsten 4 R je 3 M abketten") == "BO 3 sts at beg of next 4 rows"
    assert english("40 M mit Nd 4 anschlagen") == "CO 40 sts with needles"


def test_one_letter_keeps_its_case_and_no_phrase_begins_inside_a_word() -> None:
    assert english("Maschenmarkierer") == "Maschenmarkierer"
    assert english("1 U, 3 M") == "yo, 3 sts"
    assert "yo" not in english("um die Nadel")


def test_what_no_phrase_knows_stays_with_its_place() -> None:
    text = "3 M re, 2 M zsamm, 4 M li"
    read = read_in(text, "de")
    assert text[read.at(read.text.index("zsamm")) :].startswith("zsamm")
    assert text[read.at(read.text.index("p4") + 1) :].startswith("4 M li")
    assert read_in(text, "en").text == text
