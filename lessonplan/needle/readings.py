"""What is ambiguous in print, decided by the counts: the reading that works out is taken, if exactly one does."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from lessonplan.needle.line import Round, times_of, work_rows
from lessonplan.needle.live import Needle, WorkError
from lessonplan.needle.operations import Reading, clause_end
from lessonplan.needle.patterns import PatternBook
from lessonplan.printed.tree import BindOff, CastOn, Even, Line, Repeat, Rows, Step, Stitch, Times, value

READINGS: dict[str, dict[str, str]] = {
    "times": {
        "more": "the repeat is worked once and then that many times more",
        "total": "the repeat is worked that many times in all",
    },
    "clause": {
        "all": "the steps before “to end” are repeated together",
        "last": "only the last step before “to end” is repeated",
    },
    "inc": {"1/2": "each inc uses a stitch", "0/1": "each inc is made between stitches and uses none"},
    "yf": {"0/0": "yf only brings the yarn forward", "0/1": "yf makes a new stitch"},
    "bo": {
        "counted": "the stitch left after binding off is the first of the next ones",
        "extra": "the stitch left after binding off is not one of the next ones",
    },
    "RLI": {"0/1": "RLI uses no stitch", "1/2": "RLI includes the stitch that it is lifted beside"},
    "LLI": {"0/1": "LLI uses no stitch", "1/2": "LLI includes the stitch that it is lifted beside"},
    "co": {"on": "CO means cast on", "off": "CO means cast off, as in some British books"},
    "chain": {
        "counts": "the turning chain counts as the first stitch",
        "not": "the turning chain does not count as a stitch",
    },
}
"""Subject, its readings (the usual one first) and what each means, in words."""
_OPEN = ("times", "clause", "inc", "yf", "bo")
_LAST_RESORT = ("RLI", "LLI", "co", "chain")


@dataclass(frozen=True, slots=True)
class Outcome:
    """A line worked in one reading: run-length coded rounds, the needle after, and a note if there was a choice."""

    reading: Reading
    rounds: tuple[Round, ...]
    needle: Needle
    note: str
    state: tuple[object, ...]


@lru_cache(maxsize=4096)
def subjects(line: Line) -> tuple[str, ...]:
    """What is ambiguous in a line, of the keys of `READINGS`."""
    found = {subject for part in line.parts if isinstance(part, Rows) for subject in _subjects(part.steps)}
    if line.crochet:
        found -= {"inc"}
        found |= {"chain"} if not line.chain else set()
    return tuple(subject for subject in READINGS if subject in found)


def _subjects(steps: Sequence[Step]) -> Iterator[str]:
    for index, step in enumerate(steps):
        if isinstance(step, Repeat):
            if step.star and isinstance(step.quantity, Times) and unsaid(step.quantity):
                yield "times"
            if index and clause_end(step) and isinstance(steps[index - 1], Stitch):
                yield "clause"
            yield from _subjects(step.body)
        elif isinstance(step, Stitch) and step.name in ("inc", "yf", "RLI", "LLI"):
            yield step.name
        elif isinstance(step, CastOn) and step.short:
            yield "co"
        elif isinstance(step, BindOff) and step.count and index + 1 < len(steps):
            after = steps[index + 1]
            if isinstance(after, Stitch) and not after.more:
                yield "bo"


def unsaid(times: Times) -> bool:
    """Whether print leaves open if so many times are meant in all, or more; "once" always means once more."""
    return times.more is None and max(times.count) > 1


def outcomes(line: Line, needle: Needle, size: int, book: PatternBook, held_as: str) -> list[Outcome]:
    """Every reading of a line that works out on a needle and agrees with the counts printed after it.

    One outcome if the line is clear or all readings come to the same; several if they differ. Raises the `WorkError`
    of the usual reading, with the others named, if none works out.
    """
    here = subjects(line)
    open_ = [subject for subject in here if subject in _OPEN]
    first_error, found = _try(line, needle, size, book, held_as, _product(open_))
    if not found:
        rare = [subject for subject in here if subject in _LAST_RESORT]
        if rare:
            found = _try(line, needle, size, book, held_as, _product([*open_, *rare]))[1]
        if not found:
            assert first_error is not None
            raise WorkError(first_error.sentence + _in_no_reading(open_), first_error.column)
        return [replace(each, note=_noted(each)) for each in _distinct(found)]
    distinct = _distinct(found)
    if len(distinct) == 1 and (first_error is None or not open_):
        return distinct
    return [replace(each, note=_noted(each)) for each in distinct]


def _product(names: Sequence[str]) -> list[Reading]:
    choices = [[(subject, choice) for choice in READINGS[subject]] for subject in names]
    return [tuple(chosen) for chosen in itertools.product(*choices)]


def _try(
    line: Line, needle: Needle, size: int, book: PatternBook, held_as: str, readings: Sequence[Reading]
) -> tuple[WorkError | None, list[Outcome]]:
    found: list[Outcome] = []
    error: WorkError | None = None
    start = book.state()
    for reading in readings:
        book.restore(start)
        try:
            found.append(worked(line, needle, size, reading, book, held_as))
        except WorkError as failed:
            error = error or failed
    book.restore(found[0].state if found else start)
    return error, found


def _distinct(found: Sequence[Outcome]) -> list[Outcome]:
    """One outcome for each needle that can come of it, the usual reading first."""
    kept: dict[tuple[object, ...], Outcome] = {}
    for each in found:
        kept.setdefault((each.needle.stitches, len(each.rounds), each.needle.behind), each)
    return list(kept.values())


def _noted(outcome: Outcome) -> str:
    said = [READINGS[subject][choice] for subject, choice in outcome.reading]
    return "read so that the counts agree: " + ", ".join(said) if said else ""


def _in_no_reading(open_: Sequence[str]) -> str:
    if not open_:
        return ""
    either = "; nor ".join(" or ".join(READINGS[subject].values()) for subject in open_)
    return f" (it works out in no reading: neither {either})"


def worked(
    line: Line,
    needle: Needle,
    size: int,
    reading: Reading,
    book: PatternBook,
    held_as: str,
    cap: int | None = None,
) -> Outcome:
    """All rows of a line in one reading, its printed counts verified; or only its first `cap` rounds."""
    rounds: list[Round] = []
    start = needle
    for index, part in enumerate(line.parts):
        if isinstance(part, Rows) and (cap is None or cap > 0):
            times = times_of(line, part, size)
            more = _repeated(line, index, times, needle, size, reading, book, held_as, cap)
            rounds = join_runs(rounds, more)
            needle = more[-1].needle if more else needle
            cap = None if cap is None else cap - rows_in(more)
    if cap is None:
        check_printed(line, start, needle, size)
    return Outcome(reading, tuple(rounds), needle, "", book.state())


def rows_in(rounds: Sequence[Round]) -> int:
    """How many rounds are rows that were worked."""
    return sum(each.times for each in rounds if each.row)


def _repeated(
    line: Line,
    index: int,
    times: int,
    needle: Needle,
    size: int,
    reading: Reading,
    book: PatternBook,
    held_as: str,
    cap: int | None,
) -> list[Round]:
    """A row of a line worked `times` times, equal rounds in one run; an error says in which round it came."""
    done: list[Round] = []
    named = names_pattern(line)
    count = 0
    while count < times and (cap is None or rows_in(done) < cap):
        try:
            rounds = work_rows(line, index, needle, size, reading, book, held_as)
        except WorkError as error:
            if count == 0:
                raise
            raise WorkError(f"{error.sentence}, in round {count + 1} of {times}", error.column) from None
        run = 1
        if len(rounds) == 1 and rounds[0].needle == needle and not named:
            run = times - count if cap is None else min(times - count, cap - rows_in(done))
        done = join_runs(done, [replace(each, times=run) for each in rounds])
        needle = rounds[-1].needle
        count += run
    return done


@lru_cache(maxsize=4096)
def names_pattern(line: Line) -> bool:
    """Whether what a line means depends on which row of a stitch pattern comes next."""
    return any(isinstance(part, Rows) and _has_even(part.steps) for part in line.parts)


def _has_even(steps: Sequence[Step]) -> bool:
    return any(isinstance(step, Even) or (isinstance(step, Repeat) and _has_even(step.body)) for step in steps)


def join_runs(done: list[Round], more: Sequence[Round]) -> list[Round]:
    """Rounds appended; those equal to the last one but for the needle after them are added to its run."""
    for each in more:
        last = done[-1] if done else None
        if last is not None and _alike(last, each):
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


def check_printed(line: Line, before: Needle, after: Needle, size: int) -> None:
    """Compare the counts printed after a line with those worked; raises `WorkError` where they disagree."""
    column = line.printed_column or 1
    if line.printed:
        printed = value(line.printed, size)
        if printed != after.stitches:
            raise WorkError(f"prints {printed} stitches after this line, but there are {after.stitches}", column)
    if line.change:
        printed, real = value(line.change, size), after.stitches - before.stitches
        if printed != real:
            what = "decreases" if printed < 0 else "increases"
            raise WorkError(f"prints {abs(printed)} {what}, but the count changes by {real:+d}", column)
