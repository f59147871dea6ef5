"""What is held of lines whose counts were worked out by hand."""

from __future__ import annotations

from lessonplan.needle.count import count_lines

ROUND, FLAT = False, True
Lines = tuple[tuple[str, int | None], ...]
"""Lines one after another, each with the stitches after it, or None where print does not tell how many there are."""


def has_counts(flat: bool, on: int, lines: Lines) -> None:
    """Hold that each line comes to its count, and that no line that has one is called an error."""
    done = count_lines([text for text, _ in lines], [on], flat=flat)
    assert [line.stitches[0] for line in done.lines] == [after for _, after in lines], done.problems
    assert not [each for each in done.problems if each.severity == "error" and lines[each.line - 1][1] is not None]
