"""Invented lines of crochet of every kind, in rows and in rounds, with counts worked out by hand.

`crochet_lines.csv` holds whole pieces, one line a row: how they are worked, the stitches they are begun on, the line,
what might be printed behind it, and the stitches after it, one number for each size. Chains that make a space are no
stitches; a turning chain that counts is one. The lines are ours, written the way such print is (common practice).
"""

from __future__ import annotations

import csv
import itertools
import re
from pathlib import Path

import pytest

from lessonplan.needle.count import Counted, count_lines

Piece = list[dict[str, str]]


def pieces() -> dict[str, Piece]:
    with (Path(__file__).parent / "crochet_lines.csv").open(encoding="utf-8", newline="") as file:
        return {name: list(rows) for name, rows in itertools.groupby(csv.DictReader(file), lambda row: row["piece"])}


def worked(piece: Piece, texts: list[str]) -> Counted:
    on = [int(number) for number in piece[0]["on"].split()]
    return count_lines(texts, on, flat=piece[0]["worked"] == "flat")


def expected(piece: Piece) -> list[tuple[int | None, ...]]:
    """Their counts; - where print may count the chains over openings or not, so that none may be given."""
    return [tuple(None if number == "-" else int(number) for number in row["after"].split()) for row in piece]


def errors(counted: Counted) -> list[tuple[int, str]]:
    return [(problem.line, problem.sentence) for problem in counted.problems if problem.severity != "note"]


@pytest.mark.parametrize("name", pieces())
def test_a_piece_is_counted_from_its_words_alone(name: str) -> None:
    piece = pieces()[name]
    counted = worked(piece, [row["line"] for row in piece])
    assert errors(counted) == []
    assert [line.stitches for line in counted.lines] == expected(piece)


@pytest.mark.parametrize("name", pieces())
def test_what_is_printed_behind_the_lines_agrees(name: str) -> None:
    piece = pieces()[name]
    counted = worked(piece, [f"{row['line']} {row['printed']}".strip() for row in piece])
    assert errors(counted) == []
    assert [line.stitches for line in counted.lines] == expected(piece)


def test_there_are_enough_lines() -> None:
    assert sum(map(len, pieces().values())) >= 200


ONE_NUMBER = re.compile(r"[\[(<{]?(\d+)(?: (?:sts?|stitches|sc|hdc|dc|tr))?[\])>}]?\.?")
WRONG = [
    (name, place)
    for name, piece in pieces().items()
    for place, row in enumerate(piece)
    if (match := ONE_NUMBER.fullmatch(row["printed"])) and match[1] == row["after"]
]


@pytest.mark.parametrize(("name", "place"), WRONG[::4])
def test_a_count_that_is_wrong_is_found(name: str, place: int) -> None:
    """Five too many: one more or less can be a matter of how the turning chain is taken."""
    piece = pieces()[name]
    texts = [f"{row['line']} {row['printed']}".strip() for row in piece[: place + 1]]
    real = piece[place]["after"]
    texts[-1] = f"{piece[place]['line']} {piece[place]['printed'].replace(real, str(int(real) + 5))}"
    assert [line for line, _ in errors(worked(piece, texts))] == [place + 1]


SKIPS_FIRST = {
    "a chain of this row": "Row 2: Ch 2, turn, skip first hdc, hdc in next 11 hdc.",
    "a chain of the row before": "Row 2: Skip first hdc, hdc in next 11 hdc, ch 2, turn.",
}


@pytest.mark.parametrize("line", SKIPS_FIRST.values(), ids=SKIPS_FIRST)
def test_a_low_chain_for_the_first_stitch_is_not_sure_without_a_count(line: str) -> None:
    """Twelve if the two chains stand for the skipped stitch, eleven if not: only a printed count tells."""
    alone = count_lines([line], [12], flat=True).lines[0]
    assert (alone.stitches, alone.sure) == ((None,), (False,))
    for printed in (12, 11):
        counted = count_lines([f"{line} {printed} hdc."], [12], flat=True)
        assert (counted.lines[0].stitches, errors(counted)) == ((printed,), [])


@pytest.mark.parametrize("chains", ["ch 3", "ch 4 (does not count)"])
def test_a_chain_said_not_to_count_is_none(chains: str) -> None:
    after = 12 if chains == "ch 3" else 11
    line = f"Row 2: {chains}, turn, skip first dc, dc in next 11 dc."
    assert count_lines([line], [12], flat=True).lines[0].stitches == (after,)
