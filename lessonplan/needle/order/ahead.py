"""Whether the lines that follow bear a count out: they work from it, and from no other number of stitches near it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonplan.needle.decided.readings import Outcome
from lessonplan.needle.decided.trust import with_count
from lessonplan.needle.order.parted import divided
from lessonplan.needle.order.rows import Run, plain_line, work_parts
from lessonplan.needle.order.run import EnoughError
from lessonplan.needle.order.schedule import Turn
from lessonplan.needle.order.shaping import row_units
from lessonplan.needle.stitch.live import WorkError
from lessonplan.printed.rules.search import COUNT_PASSED
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


LOOK_AHEAD = 6
NEAR = 7
"""Numbers of stitches more and fewer from which the lines that follow must not work."""
_SHAPES = re.compile(
    r"inc|dec|cast|bind|\bb\.?o\b|\bc\.?o\b|pick|tog|\bm\d?[lr1]|make|\by\.?o|yfwd|yrn|\bs[1-3s]?k|psso|kfb|hold|thread|waste|"
    r"spare|slip|[(\[*]|\d ?(?:sc|dc|hdc|htr|d?tr)\b|\bin(?:to)? (?:each|next|same|the|every)\b|"
    r"\bmore\b|\bextra|addition|another|fewer|\bless\b|"
    r"shap|narrow|draw|graft|miss|skip|\d ?(?:sts?|stitch)|until|remain|\brem\b|into|divid|join|leav|thumb"
)
_TURNS = re.compile(r"\b(?:but|except\w*|instead|or|not|don't|without|omit\w*|than|alternat\w*|half|reverse)\b")
"""Words by which a line that was not read may change the number of stitches."""


def works_from(run: Run, turns: Sequence[Turn], *, to_a_count: bool = False) -> bool:
    """Whether the lines that follow work out, in the usual reading.

    ``to_a_count``: as far as the next count that is printed, which there must be.
    """
    trial = run.copy()
    trial.book.assumed = set()
    for place, turn in enumerate(turns[:LOOK_AHEAD], 1):
        line = trial.lines[turn.index]
        if line is None or trial.finished:
            break
        trial.fetch(line)
        try:
            _go_on(trial, turn, divided(line, trial, turns[place:]) or line)
        except (WorkError, EnoughError):
            return False
        if to_a_count and (line.printed or line.change):
            return True
    return not to_a_count


def contradicted(run: Run, turns: Sequence[Turn]) -> bool:
    """Whether the lines that follow work from another number of stitches near this one, and not from it."""
    return not works_from(run, turns) and any(works_from(trial, turns) for trial in _near(run))


def _near(run: Run) -> Iterator[Run]:
    """The run with a few stitches more or fewer on the needle."""
    for more in range(1, NEAR + 1):
        for n in (run.needle.stitches - more, run.needle.stitches + more):
            trial = run.copy()
            trial.needle = replace(with_count(run.needle, max(0, n)), blurred=run.needle.blurred)
            yield trial


def only_fits(run: Run, turns: Sequence[Turn]) -> bool:
    """Whether the lines that follow work from the stitches on the needle and from no number near it."""
    if run.needle.stitches <= NEAR or not works_from(run, turns):
        return False
    return not any(works_from(trial, turns) for trial in _near(run))


def _may_be_borne_out(tree: Line) -> bool:
    """Whether lines that follow can bear a reading out: it passes over no stitch, count or word that turns it round."""
    doubts = sorted(tree.doubts, key=lambda each: each.at)
    work = any(
        first.level and first.word.isalpha() and second.word.isdecimal() and second.at == first.at + len(first.word) + 1
        for first, second in itertools.pairwise(doubts)
    )  # `wibble 3` could be stitches
    bearable = all(doubt.level < COUNT_PASSED and not _TURNS.search(doubt.word.lower()) for doubt in doubts)
    return bearable and not work


def borne_later(weighed: Sequence[tuple[Line, Run]], turns: Sequence[Turn]) -> int | None:
    """The number of the reading (with the run after it) that the lines after it bear out, if only one does."""
    likely = [number for number, (tree, _) in enumerate(weighed) if _may_be_borne_out(tree)]
    fits = [number for number in likely[:3] if only_fits(weighed[number][1], turns)]
    return fits[0] if len({weighed[number][1].needle.stitches for number in fits}) == 1 else None


def changes_nothing(text: str) -> bool:
    """Whether no word of a line that was not read speaks of stitches made, taken away or put aside."""
    return not _SHAPES.search(text.lower())


def _go_on(run: Run, turn: Turn, line: Line) -> None:
    """One more line in its usual reading."""
    line = run.rows_told(line)
    if plain_line(line) and turn.rows is None:
        take(run, turn.index, run.rows_of(line)[0], line)
    else:
        work(run, turn.index, line, turn.rows)
