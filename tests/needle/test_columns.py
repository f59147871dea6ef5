"""Columns of terse garments, drawn from parts that print joins; their counts are summed up beside the reader."""

from __future__ import annotations

import random

import pytest

from lessonplan.needle.count import count_lines
from tests.needle.columns import PIECES, column

DRAWN = 10


@pytest.mark.parametrize("piece", range(len(PIECES)), ids=[each.__name__ for each in PIECES])
def test_every_line_of_a_column_has_its_count(piece: int) -> None:
    for seed in range(piece, DRAWN * len(PIECES), len(PIECES)):
        drawn = column(seed)
        done = count_lines([text for text, _ in drawn.lines], drawn.none, flat=True)
        for number, (line, (text, after)) in enumerate(zip(done.lines, drawn.lines, strict=True), 1):
            accused = [each.sentence for each in done.problems if each.line == number and each.severity == "error"]
            assert (line.stitches, accused) == (after, []), (seed, text)


def test_a_count_that_is_off_in_one_size_is_found_there() -> None:
    """A back with one printed count behind its armholes changed by three in a size drawn at random."""
    found = 0
    for seed in range(0, 60, len(PIECES)):
        drawn, draw = column(seed), random.Random(seed)
        place = next((n for n, (text, _) in enumerate(drawn.lines) if text.startswith(("Dec", "Shape raglans"))), 0)
        if not place:
            continue
        text, after = drawn.lines[place]
        size = draw.randrange(drawn.sizes)
        wrong = tuple(n + 3 * (number == size) for number, n in enumerate(after))
        if drawn.print(wrong).isdecimal() != drawn.print(after).isdecimal() or drawn.print(after) in text[-30:]:
            continue
        texts = [each for each, _ in drawn.lines[:place]] + [f"{text} {drawn.print(wrong)} sts."]
        done = count_lines(texts, drawn.none, flat=True)
        told = {each.size for each in done.problems if each.line == place + 1 and each.severity != "note"}
        assert told in ({size + 1}, {None}), (seed, texts[-1], told)
        found += 1
    assert found > 2
