"""Many lines worked one after another: rows, repeats of rows, shaping over several rows, and when to stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from lessonplan.needle.line import Round, times_of
from lessonplan.needle.live import Needle, WorkError, stitches
from lessonplan.needle.operations import Reading
from lessonplan.needle.patterns import PatternBook
from lessonplan.needle.readings import (
    Outcome,
    check_printed,
    join_runs,
    names_pattern,
    outcomes,
    rows_in,
    worked,
)
from lessonplan.printed.tree import (
    Again,
    BindOff,
    CastOn,
    Even,
    Label,
    Line,
    Num,
    Repeat,
    Rows,
    Shape,
    Spell,
    Step,
    Stitch,
    Times,
    To,
    value,
)

MOST_ROUNDS = 20_000
"""A repeat longer than this never ends in any real piece."""


class EnoughError(Exception):
    """The number of rounds or stitches asked for is reached."""


@dataclass(slots=True)
class Limits:
    """When to stop: after `rounds` more rounds, or when `until` stitches are live (None: no limit)."""

    rounds: int | None = None
    until: int | None = None


@dataclass(slots=True)
class Run:
    """The state of working many lines of one size."""

    needle: Needle
    size: int
    book: PatternBook
    held_as: str
    limits: Limits
    lines: Sequence[Line | None]
    choice: str = ""
    """"more" or "total": how `Repeat rows 1-2 3 times` is read in this run; "" the usual way."""
    done: dict[int, list[Round]] = field(default_factory=dict)
    rounds: list[Round] = field(default_factory=list)
    history: list[tuple[Line, int]] = field(default_factory=list)
    """Rows worked so far as (one-row line, how often in a run), oldest first."""
    memo: dict[tuple[object, ...], list[Outcome]] = field(default_factory=dict)
    readings: dict[str, Reading] = field(default_factory=dict)
    """How the ambiguous texts worked so far were read."""
    count: int = 0
    finished: bool = False

    def copy(self) -> Run:
        """A run that can go on without changing this one (it shares only what is not changed)."""
        book = PatternBook({}, self.book.size, self.book.sizes, self.book.colours)
        book.names, book.texts, book.lines = self.book.names, self.book.texts, self.book.lines
        book.restore(self.book.state())
        done = {index: list(rounds) for index, rounds in self.done.items()}
        return replace(
            self, book=book, done=done, rounds=list(self.rounds), history=list(self.history),
            limits=replace(self.limits), readings=dict(self.readings),
        )  # fmt: skip

    # one line of rows, or one row
    def rows_of(self, line: Line) -> list[Outcome]:
        """The readings of a line of nothing but rows, within the limits; raises `WorkError` if none works out."""
        self._check_limits()
        cap = self.limits.rounds
        key = (line, self.needle, self.book.established, self.book.last, cap if cap is not None and cap < 999 else None)
        if key in self.memo:
            self.book.established, self.book.last = self.memo[key][0].state[1:]  # type: ignore[assignment]
            return self.memo[key]
        start = self.book.state()
        found = self._known_reading(line) or outcomes(line, self.needle, self.size, self.book, self.held_as)
        if cap is not None and rows_in(found[0].rounds) > cap:
            self.book.restore(start)
            reading = found[0].reading
            found = [worked(line, self.needle, self.size, reading, self.book, self.held_as, cap)]
        if not names_pattern(line):
            self.memo[key] = found
        return found

    def _known_reading(self, line: Line) -> list[Outcome]:
        """A line worked again is read as it was read the first time, as long as that works out."""
        reading = self.readings.get(line.text)
        if not reading:
            return []
        start = self.book.state()
        try:
            return [worked(line, self.needle, self.size, reading, self.book, self.held_as)]
        except WorkError:
            self.book.restore(start)
            return []

    def row(self, index: int, line: Line, times: int = 1) -> None:
        """A line of a single row, `times` times, taken over as worked; raises `EnoughError` at the limits."""
        while times > 0:
            outcome = self.rows_of(line)[0]
            run = 1
            if outcome.needle == self.needle and len(outcome.rounds) == 1 and not names_pattern(line):
                run = times if self.limits.rounds is None else min(times, self.limits.rounds)
            rounds = [replace(each, times=each.times * run) for each in outcome.rounds]
            self.take(index, replace(outcome, rounds=tuple(rounds)), [(line, run)])
            times -= run

    def take(self, index: int, outcome: Outcome, rows: Sequence[tuple[Line, int]]) -> None:
        """Take over an outcome for text number `index`; `rows` are its single rows, for repeats to come."""
        rounds = [replace(each, note="; ".join(filter(None, (each.note, outcome.note)))) for each in outcome.rounds]
        self.done[index] = join_runs(self.done.get(index, []), rounds)
        self.rounds = join_runs(self.rounds, rounds)
        self.needle = outcome.needle
        worked_rows = rows_in(rounds)
        self.count += worked_rows
        if rows and outcome.reading:
            self.readings[rows[0][0].text] = outcome.reading
        if worked_rows:
            self._remember(rows)
        if self.limits.rounds is not None:
            self.limits.rounds -= worked_rows
            self._check_limits()
        if self.limits.until is not None and worked_rows and self.needle.stitches == self.limits.until:
            raise EnoughError

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
            raise WorkError(f"is still not done after {MOST_ROUNDS} rounds")

    # the parts of a line
    def again(self, index: int, line: Line, part: Again) -> None:
        """A repeat of whole rounds."""
        rows = self._rows_meant(index, line, part)
        if part.spells:
            for spell in part.spells:
                self._spell(index, line, rows, spell)
        elif part.until is not None:
            self._until(index, rows, value(part.until, self.size), line.column(part.at))
        elif line.label.numbers and not part.times:
            self._cycle(index, rows, len(line.label.numbers))
        elif part.total is not None:
            self._cycle(index, rows, max(0, value(part.total, self.size) - sum(times for _, times in rows)))
        elif part.times and len(line.label.numbers) > 1:
            self._cycle(index, rows, len(line.label.numbers))
        else:
            for _ in range(self.times_again(part)):
                for row, times in rows:
                    self.row(index, row, times)

    def times_again(self, part: Again) -> int:
        """How often rows are worked again."""
        if part.times is None:
            return 1
        n = value(part.times.count, self.size)
        more = part.times.more if part.times.more is not None else self.choice != "total"
        return n if more else max(0, n - 1)

    def _rows_meant(self, index: int, line: Line, part: Again) -> list[tuple[Line, int]]:
        column = line.column(part.at)
        if part.which == "last":
            return self._last(value(part.first, self.size), column)
        if part.which == "all":
            return self._since_block(index) or self._last(sum(times for _, times in self.history), column)
        if part.which == "named":
            named = [each for each in self.lines if each is not None and _same_name(each.label.name, part.name)]
            if not named:
                raise WorkError(f"no line is called “{part.name} round”", column)
            return [(row, 1) for row in single_rows(named[0], self.size)]
        found: list[tuple[Line, int]] = []
        for number in range(part.first[0], part.last[0] + 1):
            labelled = [each for each in self.lines[: index + 1] if each is not None and _labelled(each, number)]
            labelled = [each for each in labelled if each is not line]
            if not labelled:
                raise WorkError(f"there is no line for round {number} to repeat", column)
            found += [(row, 1) for row in single_rows(labelled[-1], self.size)]
        if not found:
            raise WorkError(f"repeats rounds {part.first[0]} to {part.last[0]}, which nobody works", column)
        return found

    def _last(self, n: int, column: int) -> list[tuple[Line, int]]:
        found: list[tuple[Line, int]] = []
        for line, times in reversed(self.history):
            if n <= 0:
                break
            found.append((line, min(times, n)))
            n -= times
        if n > 0:
            raise WorkError("asks to repeat more rounds than were worked before", column)
        return found[::-1]

    def _since_block(self, index: int) -> list[tuple[Line, int]]:
        """The labelled lines just before text number `index`, as rows."""
        first = index
        while first and (line := self.lines[first - 1]) is not None and line.label.numbers:
            first -= 1
        rows: list[tuple[Line, int]] = []
        for each in self.lines[first:index]:
            if each is not None:
                rows += [(row, len(each.label.numbers)) for row in single_rows(each, self.size)]
        return rows

    def _cycle(self, index: int, rows: Sequence[tuple[Line, int]], rounds: int) -> None:
        while rounds > 0:
            for row, times in rows:
                times = min(times, rounds)
                self.row(index, row, times)
                rounds -= times

    def _until(self, index: int, rows: Sequence[tuple[Line, int]], until: int, column: int) -> None:
        before = self.needle.stitches
        while self.needle.stitches != until:
            start = self.needle.stitches
            for row, times in rows:
                for _ in range(times):
                    last = self.needle.stitches
                    self.row(index, row)
                    if self.needle.stitches == until:
                        return
                    jumped(last, self.needle.stitches, until, column)
            if self.needle.stitches == start:
                raise WorkError(f"never comes to {stitches(until)}: it stays at {start}", column)
            if abs(self.needle.stitches - until) > abs(before - until):
                raise WorkError(f"never comes to {stitches(until)}: from {before} it goes to {start}", column)

    def _spell(self, index: int, line: Line, rows: Sequence[tuple[Line, int]], spell: Spell) -> None:
        """`every other round 5 times`: plain rounds between shaping rounds, first if one was just worked."""
        every = value(spell.every, self.size)
        even = even_row(line)
        just = bool(self.history) and self.history[-1][0].text == rows[0][0].text
        unit = [(even, every - 1), *rows] if just else [*rows, (even, every - 1)]
        unit = [(row, times) for row, times in unit if times]
        if spell.until is not None:
            self._until(index, unit, value(spell.until, self.size), line.column(spell.at))
            return
        for _ in range(value(spell.times.count, self.size) if spell.times else 1):
            for row, times in unit:
                self.row(index, row, times)

    def shape(self, index: int, line: Line, part: Shape) -> None:
        """Stitches bound off, cast on, decreased or increased at the edges of several rows."""
        row = shaping_row(line, part)
        for spell in part.spells:
            self._spell(index, line, [(row, 1)], spell)


def jumped(last: int, now: int, until: int, column: int = 1) -> None:
    """Raise a `WorkError` if the count went past `until` without meeting it."""
    if (last - until) * (now - until) < 0:
        raise WorkError(f"never comes to exactly {stitches(until)}: it goes from {last} to {now}", column)


def _labelled(line: Line, number: int) -> bool:
    if number in line.label.numbers:
        return True
    return bool(line.label.also) and line.label.first > 0 and number % 2 == line.label.first % 2


def _same_name(label: str, wanted: str) -> bool:
    first, second = label.strip(), wanted.strip()
    if not first or not second:
        return False
    return first == second or (first[:3] == second[:3] and first.split()[1:] == second.split()[1:])


def single_rows(line: Line, size: int) -> list[Line]:
    """Every row of a line as a line of its own, without label and printed counts."""
    return [
        single
        for part, single in zip(line.parts, _each_row(line), strict=True)
        if isinstance(part, Rows)
        for _ in range(value(part.times, size))
    ]


def even_row(line: Line) -> Line:
    """A row worked even, standing in for the plain rounds between shaping rounds."""
    even = Rows((Even("", To("end", (0,), "", 0), 0),), (1,), 0)
    return replace(line, parts=(even,), label=Label(), printed=(), change=())


def shaping_row(line: Line, part: Shape) -> Line:
    """One row of a `Shape`, its rest worked even; which decreases and increases are used is common practice."""
    at = part.at
    one: Num = (1,)
    first: tuple[Step, ...] = ()
    last: tuple[Step, ...] = ()
    taken: Num = (0,)
    if part.action == "BO":
        first, last = (BindOff(part.count, "BO", at),), (BindOff(part.count, "BO", at),)
        taken = part.count
    elif part.action == "CO":
        first = last = (CastOn(part.count, False, at),)
    elif part.action == "dec":
        first = (Repeat((Stitch("ssk", one, at),), Times(part.count, False, at), at),)
        last = (Repeat((Stitch("k2tog", one, at),), Times(part.count, False, at), at),)
        taken = tuple(2 * each for each in part.count)
    else:
        first = (Stitch("k", one, at), Stitch("m1l", part.count, at))
        last = (Stitch("m1r", part.count, at), Stitch("k", one, at))
        taken = one
    at_start, at_end = part.where in ("start", "each"), part.where in ("end", "each")
    rest = Even("", To("end", taken if at_end else (0,), "", at), at)
    steps = (*(first if at_start else ()), rest, *(last if at_end else ()))
    return replace(line, parts=(Rows(steps, one, at),), label=Label(), printed=(), change=())


def plain_line(line: Line) -> bool:
    """Whether a line has nothing but rows in it: no repeat of other rows, no shaping over several."""
    return all(isinstance(part, Rows) for part in line.parts)


def work_parts(run: Run, index: int, line: Line, rows: int | None) -> None:
    """The parts of a line in turn, or only its rows for `rows` rounds; raises `WorkError` or `EnoughError`."""
    start = run.needle
    for part in line.parts:
        if isinstance(part, Rows):
            one = replace(line, parts=(replace(part, times=(1,)),), label=Label(), printed=(), change=())
            run.row(index, one, rows or times_of(line, part, run.size))
        elif isinstance(part, Again):
            run.again(index, line, part)
        else:
            run.shape(index, line, part)
    if rows is None:
        check_printed(line, start, run.needle, run.size)


def row_units(line: Line, size: int) -> list[tuple[Line, int]]:
    """The single rows that a line of rows stands for, with how often each is worked in a run."""
    return [
        (single, times_of(line, part, size))
        for part, single in zip(line.parts, _each_row(line), strict=True)
        if isinstance(part, Rows)
    ]


@lru_cache(maxsize=4096)
def _each_row(line: Line) -> tuple[Line, ...]:
    return tuple(
        replace(
            line,
            parts=(replace(part, times=(1,)) if isinstance(part, Rows) else part,),
            label=Label(),
            printed=(),
            change=(),
        )
        for part in line.parts
    )
