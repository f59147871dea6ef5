"""The state of working many lines of one size: rows worked in their readings, one after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Self

from lessonplan.needle.decided.line import Round, Working, at_row_ends
from lessonplan.needle.decided.readings import Outcome, names_pattern, outcomes, worked
from lessonplan.needle.decided.results import join_runs, rows_in
from lessonplan.needle.order.shaping import anew
from lessonplan.needle.ready.ends import flattened
from lessonplan.needle.ready.fetched import fetched, of_part
from lessonplan.needle.ready.patterns import PatternBook
from lessonplan.needle.stitch.live import Needle, WorkError
from lessonplan.needle.stitch.operations import Reading
from lessonplan.printed.tree import Into, Line, Rows, Step

MOST_ROUNDS = 5_000
"""More rounds, some 18 m of knitting, are in no work of any real piece."""


class EnoughError(Exception):
    """The number of rounds or stitches asked for is reached."""


@dataclass(slots=True)
class Limits:
    """When to stop: after `rounds` more rounds, or when `until` stitches are live (None: no limit)."""

    rounds: int | None = None
    until: int | None = None


@dataclass(slots=True)
class RowRun:
    """The state of working many lines of one size."""

    needle: Needle
    working: Working
    limits: Limits
    lines: list[Line | None]
    choice: str = ""
    """"more" or "total": how `Repeat rows 1-2 3 times` is read in this run; "" the usual way."""
    done: dict[int, list[Round]] = field(default_factory=dict)
    rounds: list[Round] = field(default_factory=list)
    history: list[tuple[Line | None, int]] = field(default_factory=list)
    """Rows worked so far as (one-row line, or None for one not read; how often in a run), oldest first."""
    memo: dict[tuple[object, ...], list[Outcome]] = field(default_factory=dict)
    readings: dict[str, Reading] = field(default_factory=dict)
    """How the ambiguous texts worked so far were read."""
    count: int = 0
    finished: bool = False
    stars: dict[str, int] = field(default_factory=dict)
    """How many rows were worked when a line with an asterisk at its beginning came."""
    side_end: int | None = None
    """Stitches that the first of two sides ended on, when the stitches held for the second were put back."""
    begun: int = 0
    """How many runs of rows were worked before the line in work."""
    faulty: frozenset[str] = frozenset()
    """Texts of rows that gave another count than is printed behind them, from which the work goes on."""
    lost: int | None = None
    """Number of the line since which nobody knows how many stitches there are; None: they are known."""

    @property
    def size(self) -> int:
        """The 0-based size."""
        return self.working.size

    @property
    def book(self) -> PatternBook:
        """The stitch patterns."""
        return self.working.book

    def copy(self) -> Self:
        """A run that can go on without changing this one (it shares only what is not changed)."""
        own = self.book
        book = PatternBook({}, own.size, own.sizes, own.colours, own.terms, charts=own.charts)
        book.names, book.texts, book.lines, book.assumed = own.names, own.texts, own.lines, own.assumed
        book.restore(self.book.state())
        done = {index: list(rounds) for index, rounds in self.done.items()}
        return replace(
            self, working=replace(self.working, book=book), done=done, rounds=list(self.rounds),
            history=list(self.history), limits=replace(self.limits), readings=dict(self.readings),
            lines=list(self.lines),
        )  # fmt: skip

    # one line of rows, or one row
    def rows_of(self, line: Line) -> list[Outcome]:
        """The readings of a line of nothing but rows, within the limits; raises `WorkError` if none works out."""
        self._check_limits()
        if at_row_ends(line):
            line = self._counted_rows(line)
        cap = self.limits.rounds
        key = (line, self.needle, self.book.established, self.book.last, cap if cap is not None and cap < 999 else None)
        if key in self.memo:
            self.book.established, self.book.last = self.memo[key][0].state[1:]  # type: ignore[assignment]
            return self.memo[key]
        start = self.book.state()
        found = self._known_reading(line) or outcomes(line, self.needle, self.working)
        if cap is not None and rows_in(found[0].rounds) > cap:
            self.book.restore(start)
            found = [worked(line, self.needle, self.working.reads(found[0].reading), cap)]
        if not names_pattern(line):
            self.memo[key] = found
        return found

    def _counted_rows(self, line: Line) -> Line:
        """A line along the ends of the rows, with as many stitches as there are rows."""
        if not self.count or any(each is None for each, _ in self.history):
            raise WorkError("goes along the ends of rows, of which nobody knows how many there are", kind="unread")
        parts = tuple(
            replace(part, steps=tuple(map(self._at_ends, flattened(part.steps)))) if isinstance(part, Rows) else part
            for part in line.parts
        )
        return replace(line, others=(), parts=parts)

    def _at_ends(self, step: Step) -> Step:
        rows = isinstance(step, Into) and step.place == "rows"
        return (
            replace(step, count=tuple(self.count * n for n in step.count)) if isinstance(step, Into) and rows else step
        )

    def _known_reading(self, line: Line) -> list[Outcome]:
        """A line worked again is read as it was read the first time, as long as that works out."""
        reading = self.readings.get(line.text)
        if not reading:
            return []
        start = self.book.state()
        try:
            return [worked(line, self.needle, self.working.reads(reading))]
        except WorkError:
            self.book.restore(start)
            return []

    def row(self, index: int, line: Line, times: int = 1) -> None:
        """A line of a single row, `times` times, taken over as worked; raises `EnoughError` at the limits."""
        if times > MOST_ROUNDS:
            raise WorkError(f"asks for {times} rounds, more than any piece has")
        while times > 0:
            line = anew(line, self.needle, self.size)
            outcome = self.rows_of(line)[0]
            run = 1
            still = outcome.needle == self.needle and len(outcome.rounds) == 1
            if still and (not names_pattern(line) or self.count > 2_000):
                run = times if self.limits.rounds is None else min(times, self.limits.rounds)
            rounds = [replace(each, times=each.times * run) for each in outcome.rounds]
            self.take(index, replace(outcome, rounds=tuple(rounds)), [(line, run)])
            times -= run

    def take(self, index: int, outcome: Outcome, rows: Sequence[tuple[Line, int]]) -> None:
        """Take over an outcome for text number `index`; `rows` are its single rows, for repeats to come."""
        rounds: Sequence[Round] = outcome.rounds
        if outcome.note:
            rounds = [replace(each, note="; ".join(filter(None, (each.note, outcome.note)))) for each in rounds]
        self.done[index] = join_runs(self.done.get(index, []), rounds)
        self.rounds = join_runs(self.rounds, rounds)
        if _held(outcome.needle) < _held(self.needle):
            self.side_end = self.needle.stitches
        self.needle = outcome.needle
        worked_rows = rows_in(rounds)
        self.count += worked_rows
        if ("loose", "borrowed") in outcome.reading:
            self.working = replace(self.working, loose=True)
        if rows and outcome.reading:
            self.readings[rows[0][0].text] = outcome.reading
        if worked_rows:
            self._remember(rows)
        if self.limits.rounds is not None:
            self.limits.rounds -= worked_rows
            self._check_limits()
        if self.limits.until is not None and worked_rows and self.needle.stitches == self.limits.until:
            raise EnoughError

    def fetch(self, line: Line) -> None:
        """Take up what was put aside, where a line goes on with it; the side before it ends with what is there."""
        if (back := fetched(line, self.needle, second=self.side_end is None)) is not self.needle:
            self.side_end, self.needle = self.needle.stitches, back
        self.needle = of_part(line, self.needle, self.size)

    def alike(self, column: int) -> None:
        """The second of two sides worked like the first: it ends on as many stitches."""
        if self.side_end is None:
            raise WorkError("says to work a side like the first one, which is not known", column, "unread")
        self.needle = replace(self.needle, stitches=self.side_end, markers=(), turns=(), behind=0)
        self.side_end = None

    def forget(self, index: int) -> None:
        """A line that was not read is a row all the same, but none that is worked again."""
        self.history.append((None, 1))
        self.lines[index] = None

    def _remember(self, rows: Sequence[tuple[Line, int]]) -> None:
        for line, times in rows:
            if self.history and self.history[-1][0] is line:
                self.history[-1] = (line, self.history[-1][1] + times)
            else:
                self.history.append((line, times))

    def _check_limits(self) -> None:
        if self.limits.rounds is not None and self.limits.rounds <= 0:
            raise EnoughError
        if self.count > MOST_ROUNDS:
            raise WorkError(f"is still not done after {MOST_ROUNDS:,} rounds")


def _held(needle: Needle) -> int:
    return sum(count for _, count in needle.held)
