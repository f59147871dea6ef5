"""Tables for people at a terminal, as wide as their cells or as the terminal; and what JSON says alike in several."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from textwrap import wrap
from typing import Any

from lessonplan.course.signs import one_line
from lessonplan.craft.lengths import sizes_text
from lessonplan.needle.count import CountedLine, CountProblem
from lessonplan.terminal import columns

LEAST = 8
"""How narrow a column may become on a narrow terminal, where its words are not shorter."""


def table(head: Sequence[str], rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset()) -> str:
    """Set rows in columns wide enough for their longest cell; columns named in ``right`` are set flush right.

    On a terminal that is narrower the widest columns are broken into lines; in a file or a pipe they never are.
    """
    rows = [[one_line(cell) for cell in row] for row in rows]
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    broken = _fit(widths, columns())
    lines = [_set(head, widths, right), "  ".join("-" * width for width in widths)]
    below = [""] if broken else []  # parts rows of several lines from each other
    return "\n".join([*lines, *(line for row in rows for line in (_set(row, widths, right), *below))]).rstrip("\n")


def _fit(widths: list[int], room: int | None) -> bool:
    """Make the widest columns narrower, one sign at a time, until all fit; tells whether any had to be."""
    broken = False
    while room and sum(widths) + 2 * (len(widths) - 1) > room and max(widths) > LEAST:
        widths[widths.index(max(widths))] -= 1
        broken = True
    return broken


def _set(row: Sequence[str], widths: Sequence[int], right: frozenset[int]) -> str:
    cells = [wrap(cell, width) if len(cell) > width else [cell] for cell, width in zip(row, widths, strict=True)]
    lines = [
        "  ".join(
            one.rjust(width) if i in right else one.ljust(width)
            for i, (one, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in zip_longest(*cells, fillvalue="")
    ]
    return "\n".join(lines)


def one_or_each(values: Sequence[int]) -> int | list[int]:
    """Give one number where all sizes have it, else that of each size."""
    return values[0] if len(set(values)) == 1 else list(values)


def problem_data(problem: CountProblem) -> dict[str, Any]:
    """Give what is wrong with a printed line as JSON data."""
    return {key: getattr(problem, key) for key in ("line", "column", "size", "severity", "kind", "sentence")}


def after_text(line: CountedLine) -> str:
    """Put the stitches after a line together, with the spaces of chains beside them: `21, 20 spaces`."""
    stitches = sizes_text(["?" if count is None else str(count) for count in line.stitches])
    spaces = sizes_text([*map(str, line.spaces)]) if line.spaces else ""
    return stitches + (f", {spaces} space{'' if spaces == '1' else 's'}" if spaces else "")
