"""Tables for people at a terminal, columns as wide as their longest cell; and what JSON says alike in several."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lessonplan.course.problems import one_line
from lessonplan.needle.count import CountProblem


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


def one_or_each(values: Sequence[int]) -> int | list[int]:
    """Give one number where all sizes have it, else that of each size."""
    return values[0] if len(set(values)) == 1 else list(values)


def problem_data(problem: CountProblem) -> dict[str, Any]:
    """Give what is wrong with a printed line as JSON data."""
    return {
        "line": problem.line,
        "column": problem.column,
        "size": problem.size,
        "severity": problem.severity,
        "kind": problem.kind,
        "sentence": problem.sentence,
    }
