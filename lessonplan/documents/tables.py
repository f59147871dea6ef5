"""Tables for people at a terminal: columns as wide as their longest cell."""

from __future__ import annotations

from collections.abc import Sequence

from lessonplan.course.problems import one_line


def table(head: Sequence[str], rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset()) -> str:
    """Set rows in columns wide enough for their longest cell; columns named in ``right`` are set flush right."""
    rows = [[one_line(cell) for cell in row] for row in rows]
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    lines = [_set(head, widths, right), "  ".join("-" * width for width in widths)]
    return "\n".join([*lines, *(_set(row, widths, right) for row in rows)])


def _set(row: Sequence[str], widths: Sequence[int], right: frozenset[int]) -> str:
    cells = [
        cell.rjust(w) if i in right else cell.ljust(w) for i, (cell, w) in enumerate(zip(row, widths, strict=True))
    ]
    return "  ".join(cells).rstrip()
