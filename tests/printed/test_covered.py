"""A reading that leaves a number, or a stitch with its place, out of a line is told by what stands in the print."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonplan.needle.count import count_lines
from lessonplan.printed.beside.asides import Asides
from lessonplan.printed.covered import Cover
from lessonplan.printed.line import parse_line
from lessonplan.printed.rules.search import Chart
from lessonplan.printed.tree import Line, Rows
from lessonplan.printed.words.tokens import tokens


def passed(line: Line, text: str) -> list[str]:
    """The words of a text that a reading passes over."""
    craft = "crochet" if line.crochet else "knitting"
    chart = Chart(tokens(text, 1, frozenset(), craft), craft)
    return [text[token.at : token.end] for token in Cover(chart, 0, Asides(chart, 0, text)).passed(line)]


@pytest.mark.parametrize(
    ("text", "step", "word"),
    [
        ("Bind off 5 sts, knit 9 sts, k2tog, k to end", 0, "5"),
        ("Sc in next 12 sts, inc, sc in next 7 sts", 0, "12"),
        ("Dc in next 4 sts, (dc, ch 2, tr) in next st, 2 hdc in next st", 2, "hdc"),
    ],
)
def test_what_a_reading_leaves_out_is_told(text: str, step: int, word: str) -> None:
    line = parse_line(text)
    rows = line.parts[0]
    assert isinstance(rows, Rows)
    assert passed(line, text) == []
    less = replace(rows, steps=(*rows.steps[:step], *rows.steps[step + 1 :]))
    assert word in passed(replace(line, parts=(less, *line.parts[1:])), text)


@pytest.mark.parametrize(
    ("text", "on"),
    [("K10, slip the wobbly sts, k to end.", 40), ("K4, slip these sts somewhere, k to end.", 40)],
)
def test_stitches_that_are_only_pointed_at_give_no_count(text: str, on: int) -> None:
    """How many are slipped nobody knows; slipped to be kept they leave the count, put aside they do not."""
    assert count_lines([text], [on], flat=True).lines[0].stitches == (None,)


@pytest.mark.parametrize(
    ("text", "on", "after"),
    [
        ("K10, k2tog, k the remaining sts.", 40, 39),
        ("K32. Turn. Leave rem 4 sts unworked.", 36, 36),
        ("Sc in first st, *dc in st 2 rows below, sc in next 3 sts; rep from * to last st, sc in last st.", 42, 42),
    ],
)
def test_numbers_of_what_is_not_worked_are_no_doubt(text: str, on: int, after: int) -> None:
    assert count_lines([text], [on], flat=True).lines[0].stitches == (after,)
