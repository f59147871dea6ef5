"""Kinds of print in about ten wordings each: `ten_wordings.txt`, which says how its lines are written."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from lessonplan.needle.count import count_lines


def cases() -> Iterator[tuple[str, ...]]:
    """The counts after and before, how it is worked, and the lines."""
    for row in Path(__file__).with_name("ten_wordings.txt").read_text(encoding="utf-8").splitlines():
        head, *lines = row.split("|")
        if lines and not row.startswith("#"):
            yield (*head.split("/"), *lines)


@pytest.mark.parametrize("case", [*cases()], ids=lambda case: case[-1][:60])
def test_a_kind_of_print_is_read_in_all_its_wordings(case: tuple[str, ...]) -> None:
    after, before, how, *lines = case
    done = count_lines(lines, [int(before)], flat="f" in how, terms="uk" if "u" in how else "us")
    last = [each for each in done.problems if each.line == len(lines) and each.severity != "note"]
    assert done.lines[-1].stitches == (None if after == "-" else int(after),)
    assert bool(last) == (after == "-"), last
