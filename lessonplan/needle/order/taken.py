"""What was decided for a line, taken over into a run."""

from __future__ import annotations

from lessonplan.needle.decided.readings import Outcome
from lessonplan.needle.order.rows import Run, row_units, work_parts
from lessonplan.needle.order.run import EnoughError
from lessonplan.printed.tree import Line


def take(run: Run, index: int, outcome: Outcome, line: Line) -> None:
    """Take over an outcome for a line; at the limits the run is finished."""
    run.book.restore(outcome.state)
    try:
        run.take(index, outcome, row_units(line, run.size))
    except EnoughError:
        run.finished = True


def work(run: Run, index: int, line: Line, rows: int | None) -> None:
    """Work the parts of a line; at the limits the run is finished."""
    try:
        work_parts(run, index, line, rows)
    except EnoughError:
        run.finished = True
