"""What working printed lines gives: the lines worked, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonplan.needle.decided.line import Round
from lessonplan.needle.stitch.live import Needle
from lessonplan.needle.stitch.operations import Reading

ERROR, WARNING, NOTE = "error", "warning", "note"


@dataclass(frozen=True, slots=True)
class LineProblem:
    """Something wrong with a line: 0-based `line` of the texts, 1-based `column` in it, 0-based `size` (-1: all).

    `severity` is "error", or "note" for what works out but deserves a look. `kind`: "unread" (the reader's limit, not
    the pattern's fault), "misfit" (it does not fit the stitches), "disagrees" (with the count printed after it),
    "ambiguous", "follows" (from an earlier line), "sizes" (for sizes that there are not), or "remark".
    """

    line: int
    column: int
    size: int
    sentence: str
    severity: str = ERROR
    kind: str = "misfit"


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """One text and the rounds worked for it, over all cycles; `after`: stitches after it, None if nobody knows.

    `sure` is False where an earlier line could not be read; the rounds are then worked as if it had changed nothing.
    `again` is "more" or "total" where only one way to understand how often something is repeated fits the counts;
    `reading`: what else was read otherwise than usual, since only so the count printed behind the line is right.
    """

    text: str
    rounds: tuple[Round, ...]
    after: int | None = None
    sure: bool = True
    again: str = ""
    reading: Reading = ()


@dataclass(frozen=True, slots=True)
class Worked:
    """Lines worked: by text; all rounds in the order worked, run-length coded; the needle after; the problems."""

    lines: tuple[WorkedLine, ...]
    rounds: tuple[Round, ...]
    needle: Needle
    problems: tuple[LineProblem, ...]


def rows_in(rounds: Sequence[Round]) -> int:
    """How many rounds are rows that were worked."""
    return sum(each.times for each in rounds if each.row)


def join_runs(done: list[Round], more: Sequence[Round]) -> list[Round]:
    """Rounds appended; those equal to the last one but for the needle after them are added to its run."""
    for each in more:
        if done and _alike(last := done[-1], each):
            done[-1] = replace(each, times=last.times + each.times)
        else:
            done.append(each)
    return done


def _alike(first: Round, second: Round) -> bool:
    return (
        first.after == second.before == first.before == second.after
        and first.text == second.text
        and first.techniques == second.techniques
        and first.by_colour == second.by_colour
        and first.note == second.note
        and first.row
        and second.row
    )
