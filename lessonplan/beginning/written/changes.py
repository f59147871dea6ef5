"""What the rows of a printed pattern do to its stitches, one after the other: so states in words find their row."""

from __future__ import annotations

from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.pattern import Whole
from lessonplan.needle.pieces import groups_of, texts_of
from lessonplan.needle.stitch.live import Needle
from lessonplan.remembered import remembered


@remembered(1)
def changes_in(whole: Whole, size: int) -> dict[int, tuple[int, ...]]:
    """Give for each entry that is worked what each of its rows adds to the stitches, in one 0-based size."""
    printed, found = whole.printed, dict[int, list[int]]()
    for group in groups_of(printed, flat=False):
        owners = [index for index, _ in group.entries for _ in texts_of(printed, index)]
        worked = work_lines(
            [text for index, _ in group.entries for text in texts_of(printed, index)],
            Needle(0, flat=group.flat), size=size, sizes=len(printed.sizes), patterns=printed.patterns,
            colours=printed.colours, terms=whole.terms,
        )  # fmt: skip
        for index, line in zip(owners, worked.lines, strict=True):
            for run in line.rounds:
                found.setdefault(index, []).extend([run.after - run.before] * (run.times if run.row else 0))
    return {index: tuple(each) for index, each in found.items()}


def row_after(changes: tuple[int, ...], many: int, *, more: bool) -> int:
    """The row with which so many increase (``more``) or decrease rows are done and the next one comes; 0: not so many.

    Plain rows before the next one are counted in, since a piece that waits waits before the row that is shown.
    """
    shaped = [row for row, change in enumerate(changes, 1) if (change > 0 if more else change < 0)]
    if not 0 < many <= len(shaped):
        return 0
    if many < len(shaped):
        return shaped[many] - 1
    every = shaped[-1] - shaped[-2] if len(shaped) > 1 else 1
    plain = changes[shaped[-1] : shaped[-1] + every - 1]
    return shaped[-1] + (len(plain) if not any(plain) else 0)
