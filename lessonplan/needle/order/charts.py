"""The rows of a chart or stitch pattern that a line names, each a line of its own over the whole row."""

from __future__ import annotations

from lessonplan.needle.order.shaping import bare
from lessonplan.needle.ready.patterns import MOST_ROWS, PatternBook
from lessonplan.needle.stitch.live import FitError, WorkError
from lessonplan.printed.tree import Charted, Even, Line, Rows, To, value


def chart_rows(part: Charted, line: Line, book: PatternBook, size: int) -> list[Line]:
    """The rows in the order worked; raises `WorkError` where nobody wrote the chart, or not so many rows of it."""
    column = line.column(part.at)
    try:
        height = book.height(part.name, part.at)
    except FitError as misfit:
        raise WorkError(misfit.sentence, column, misfit.kind) from None
    first, last = part.first or 1, part.last or (1 if height == MOST_ROWS else height)
    if last > height:
        raise WorkError(f"asks for row {last} of {part.name}, which has {height} rows", column)
    numbers = range(first, last + 1) if first <= last else range(first, last - 1, -1)
    times = value(part.times.count, size) if part.times else 1
    count = len(line.label.numbers) or (value(part.rows, size) if part.rows else len(numbers) * times)
    if count > MOST_ROWS:
        raise WorkError(f"asks for {count} rounds, more than any piece has", column)
    names = [f"{part.name}, row {numbers[number % len(numbers)]}" for number in range(count)]
    to_end = To("end", (0,), "", part.at)
    return [bare(line, Rows((Even(name, to_end, part.at),), (1,), part.at)) for name in names]
