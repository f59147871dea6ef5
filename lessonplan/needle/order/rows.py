"""Many lines worked one after another: rows, repeats of rows, shaping over several rows, and when to stop."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonplan.needle.decided.compare import check_printed
from lessonplan.needle.decided.line import times_of
from lessonplan.needle.order.goals import jumped, nearing, passed_by, reached
from lessonplan.needle.order.meant import MeantRun
from lessonplan.needle.order.meanwhile import merged, shapings_together, streams, timed
from lessonplan.needle.order.run import MOST_ROUNDS
from lessonplan.needle.order.shaping import (
    apart_in,
    bare,
    between_markers,
    chart_rows,
    counted_markers,
    cut_at_turn,
    edge_alone,
    even_row,
    grown,
    in_this_manner,
    round_the_marker,
    shaping_row,
)
from lessonplan.needle.ready.heel import Ending, endings, next_row
from lessonplan.needle.stitch.live import WorkError, stitches
from lessonplan.printed.heading import value
from lessonplan.printed.tree import Again, Alike, Charted, Line, Rows, Shape, Spell, Times

MOST_PASSES = 300


@dataclass(slots=True)
class Run(MeantRun):
    """A run that knows how to repeat rows, and how to shape over several of them."""

    # the parts of a line
    def again(self, index: int, line: Line, part: Again) -> None:
        """A repeat of whole rounds."""
        if part.which == "same":
            last = self.history[-1][0] if self.history else None
            shaped = last is not None and self.change_of(last)
            part = replace(part, which="shaping", first=(0,)) if shaped else replace(part, which="last")
        short = self.turned(2) if part.which == "shaping" and part.per == "turns" else None
        if short is not None and short[1]:
            self._shorter(index, short[0], short[1], part, line.column(part.at))
            return
        gap = part.which == "shaping" and part.per == "gap"
        if gap and (ends := endings(self.history, self.size)) and next_row(self.needle, ends[0]):
            self._heel(index, ends)
            return
        rows = self.rows_meant(index, line, part)
        turned = self.turned() if part.which == "shaping" and part.per == "gap" and not part.step else None
        if turned is not None:
            self._stepped(index, turned[0], replace(part, step=turned[1]), line.column(part.at))
            return
        if part.which == "shaping" and (alone := edge_alone(line, part, self.change_of(rows[0][0]))):
            self.shape(index, line, alone)
            return
        if any(row.text in self.faulty for row, _ in rows):
            raise WorkError("repeats a row that gives another count than is printed", line.column(part.at), "follows")
        if part.between:
            inside = between_markers(line, part.between, part.at)
            rows = [(inside if self.change_of(row) else row, times) for row, times in rows]
        if part.step or part.apart is not None:
            self._stepped(index, rows, part, line.column(part.at))
        elif part.which == "shaping":
            self._manner(index, line, part, rows)
        elif part.spells:
            for spell in part.spells:
                self._spell(index, line, rows, spell)
        elif part.until is not None:
            self._until(index, rows, part, line.column(part.at))
        elif part.measured:
            for row, times in rows:
                self.row(index, row, times)
        elif line.label.numbers and not part.times:
            self._cycle(index, rows, len(line.label.numbers))
        elif part.total is not None:
            done = sum(times for _, times in rows) + (part.first[0] - 1 if part.which == "numbers" else 0)
            self._cycle(index, rows, self.rows_left(part.total, part.since, done, line.column(part.at)))
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

    def _cycle(self, index: int, rows: Sequence[tuple[Line, int]], rounds: int) -> None:
        if not any(times for _, times in rows):
            return
        while rounds > 0:
            for row, times in rows:
                times = min(times, rounds)
                self.row(index, row, times)
                rounds -= times

    def _until(self, index: int, rows: Sequence[tuple[Line, int]], part: Again, column: int) -> None:
        if part.until is None:
            return
        before, until = self.needle, value(part.until, self.size)
        goal = stitches(until) + {
            "needle": " on each needle", "markers": " between markers", "turns": " between the turns",
        }.get(part.per, "")  # fmt: skip
        for _ in range(MOST_ROUNDS if not part.per else MOST_PASSES):
            if reached(self.needle, until, part.per, before):
                return
            start = self.needle
            for row, times in rows:
                for _ in range(times):
                    last = self.needle.stitches
                    self._short_row(index, row, part.per)
                    if reached(self.needle, until, part.per, before):
                        return
                    if not part.per:
                        jumped(last, self.needle.stitches, until, column)
            now = self.needle.stitches
            if now == start.stitches and (part.per not in ("gap", "turns") or self.needle == start):
                raise WorkError(f"never comes to {goal}: it stays at {now}", column)
            if not part.per and abs(now - until) > abs(before.stitches - until):
                raise WorkError(f"never comes to {goal}: from {before.stitches} it goes to {now}", column)
            if part.per == "markers" and passed_by(start, self.needle, until):
                raise WorkError(f"never comes to exactly {goal}", column)
            if part.per and (now > 100 * (until + before.stitches) or now < 1):
                raise WorkError(f"never comes to {goal}", column)
        raise WorkError(f"is still not done after {MOST_ROUNDS:,} rounds", column)

    def _heel(self, index: int, ends: tuple[Ending, Ending]) -> None:
        """The rows of a heel until the stitches on both sides of it are worked."""
        number = 0
        while (row := next_row(self.needle, ends[number % 2])) is not None:
            self.row(index, row)
            number += 1

    def _short_row(self, index: int, row: Line, per: str) -> None:
        """A row of a repeat; the last one of a heel may come to its end a stitch before its turn."""
        try:
            self.row(index, row)
        except WorkError:
            if per != "gap" or (cut := cut_at_turn(row)) is None:
                raise
            self.row(index, cut)

    def _shorter(self, index: int, rows: Sequence[tuple[Line, int]], by: int, part: Again, column: int) -> None:
        """Short rows gone on with, each turned so many stitches before the last, until so many lie between turns."""
        before, goal = self.needle, 0 if part.until is None else value(part.until, self.size)
        now = [row for row, _ in rows]
        for number in range(MOST_PASSES):
            if reached(self.needle, goal, part.per, before):
                return
            row = now[number % 2]
            body = next(each for each in row.parts if isinstance(each, Rows))
            now[number % 2] = in_this_manner(row, body, 2 * by) or row
            try:
                self.row(index, now[number % 2])
            except WorkError:
                break
        raise WorkError(f"never comes to {stitches(goal)} between the turns", column, "unread")

    def _stepped(self, index: int, rows: Sequence[tuple[Line, int]], part: Again, column: int) -> None:
        """Rows repeated with a plain stitch more or fewer each time, those that shape; the others as they are."""
        most = MOST_PASSES if part.times is None else self.times_again(part)
        numbered = len(self.lines[index].label.numbers) if self.lines[index] else 0  # type: ignore[union-attr]
        if part.until is None and part.times is None and numbered:
            most = numbered
        elif part.until is None and part.times is None and part.which == "numbers":
            most = 1
        elif part.until is None and part.times is None:
            raise WorkError("it is not said how often, or until how many stitches", column, "unread")
        before, goal = self.needle, 0 if part.until is None else value(part.until, self.size)
        now = [row for row, times in rows for _ in range(times)]
        by = part.step * max(1, sum(bool(self.change_of(row)) for row in now))  # each is one on from the row before
        if part.apart is not None:
            apart = next((n for row in now if (n := apart_in(row, self.size)) is not None), None)
            if apart is None:
                raise WorkError("no stitches lie between the shapings of that row", column, "unread")
            by = value(part.apart, self.size) - apart
        for _ in range(most):
            for place, row in enumerate(now):
                if part.until is not None and reached(self.needle, goal, part.per, before):
                    return
                body = row.parts[0]
                if self.change_of(row) and isinstance(body, Rows):
                    now[place] = self.next_in_manner(row, body, by)
                    if part.which == "numbers":  # a later line may mean this one by its number
                        now[place] = replace(now[place], text=self.lines[index].text)  # type: ignore[union-attr]
                last = self.needle.stitches
                self._short_row(index, now[place], part.per)
                if part.until is not None and not part.per:
                    jumped(last, self.needle.stitches, goal, column)
        if part.until is not None and not reached(self.needle, goal, part.per, before):
            raise WorkError(f"never comes to {stitches(goal)}", column)

    def _spell(self, index: int, line: Line, rows: Sequence[tuple[Line, int]], spell: Spell, pattern: str = "") -> None:
        """`every other round 5 times`: plain rounds between shaping rounds, first if one was just worked."""
        every = value(spell.every, self.size)
        even = even_row(line, pattern)
        just = bool(self.history) and self.history[-1][0] is not None and self.history[-1][0].text == rows[0][0].text
        lead = [(even, value(spell.first, self.size))] if spell.first else []
        unit = [(even, every - 1), *rows] if spell.first is None and just else [*rows, (even, every - 1)]
        unit = [(row, times) for row, times in unit if times > 0]
        for row, times in lead:
            self.row(index, row, times) if times else None
        if spell.until is not None:
            goal = Again(which="last", first=(1,), last=(0,), name="", times=None, until=spell.until, at=spell.at)
            self._until(index, unit, goal, line.column(spell.at))
            return
        n = value(spell.times.count, self.size) if spell.times else 1
        again = spell.times is not None and (self.choice != "total" if spell.times.more is None else spell.times.more)
        n += int(spell.first is not None and every > 1 and again)
        for _ in range(n):
            for row, times in unit:
                self.row(index, row, times)

    def _manner(self, index: int, line: Line, part: Again, rows: Sequence[tuple[Line, int]]) -> None:
        """Shaping gone on with "in this manner": the same change each time, one plain stitch fewer in each repeat."""
        column = line.column(part.at)
        if len(part.spells) > 1:
            for spell in part.spells:
                one = replace(part, spells=(spell,), times=None, until=None)
                self._manner(index, line, one, self.shaping(column))
            return
        shaping, plain = rows[0][0], list(rows[1:])
        delta = self.change_of(shaping)
        if part.spells and part.spells[0].every:
            every = value(part.spells[0].every, self.size)
            plain = [(plain[0][0] if plain else even_row(line), every - 1)] if every > 1 else []
        until = next((each for each in (part.until, *(spell.until for spell in part.spells)) if each is not None), None)
        times = part.times or next((spell.times for spell in part.spells if spell.times), None)
        numbered = len(line.label.numbers)
        if until is None and times is None and not numbered:
            raise WorkError("it is not said how often, or until how many stitches", column, "unread")
        if part.first != (0,) and value(part.first, self.size) != abs(delta):
            told = stitches(value(part.first, self.size))
            raise WorkError(f"shapes {told} each time, but the row before shaped {abs(delta)}", column)
        most = value(times.count, self.size) if times else numbered
        if until is not None:
            most = MOST_PASSES if part.per else MOST_ROUNDS
        if until is not None and part.per == "markers" and not self.needle.markers:
            raise WorkError(
                "goes on until a part has so many stitches, and nothing tells where it lies", column, "ambiguous"
            )
        before, goal = self.needle, 0 if until is None else value(until, self.size)
        just = bool(self.history) and self.history[-1][0] is shaping
        named = bool(part.spells) and part.spells[0].first is not None  # `on foll alt row` is one more
        if until is None and times is not None and times.more is False and not named:
            most -= sum(n for row, n in self.history if row is shaping)  # so often in all
        for number in range(most):
            if until is not None and reached(self.needle, goal, part.per, before):
                return
            if number or just:
                for row, n in plain:
                    self.row(index, self.or_even(row, line), n)
            last = self.needle.stitches
            known = until is not None and not part.per and delta and (goal - last) % delta == 0
            known = known and part.per != "gap"
            shaping = self._next_shaping(index, shaping, delta, column, known=bool(known))
            if until is not None and not part.per:
                nearing(last, self.needle.stitches, goal, column)

    def _next_shaping(self, index: int, shaping: Line, delta: int, column: int, *, known: bool) -> Line:
        """The shaping row worked as it is, or changed by one stitch, so that it makes the same change again.

        Where the count to come to is `known`, the same change anywhere in the row will do.
        """
        row = next(part for part in shaping.parts if isinstance(part, Rows))
        spread = Shape(action="inc" if delta > 0 else "dec", count=(abs(delta),), where="evenly", spells=(), at=row.at)
        spread_before = [each for each in self.lines if each and each.text == shaping.text and not plain_line(each)]
        anywhere = shaping_row(shaping, spread, self.needle, self.size) if known or spread_before else None
        by_one = in_this_manner(shaping, row, 1 if delta > 0 else -1)
        for trial in (shaping, by_one, grown(shaping, row), anywhere, in_this_manner(shaping, row, delta)):
            if trial is None:
                continue
            try:
                found = self.rows_of(trial)[0]
            except WorkError:
                continue
            if found.needle.stitches - self.needle.stitches == delta:
                self.row(index, trial)
                return trial
        raise WorkError(f"cannot be gone on with in this manner on {stitches(self.needle.stitches)}", column)

    def shape(self, index: int, line: Line, part: Shape) -> None:
        """Stitches bound off, cast on, decreased or increased at the edges of several rows."""
        for spell in part.spells:
            alone = len(part.spells) == 1 and spell.every == (1,) and spell.until is None
            labelled = len(line.label.numbers) or value(line.label.count, self.size)
            if alone and labelled > 1 and spell.times in (None, Times((1,), False, part.at)):
                spell = replace(spell, times=Times((labelled,), False, part.at))
            part = round_the_marker(part, self.needle)
            if part.where in ("evenly", "markers", "a marker"):
                self._spread(index, line, counted_markers(line, part, self.needle, self.size), spell)
            else:
                row = shaping_row(line, part, self.needle, self.size)
                self._spell(index, line, [(row, 1)], spell, part.pattern)

    def _spread(self, index: int, line: Line, part: Shape, spell: Spell) -> None:
        """Stitches shaped all over a row, so often or until so many are left, with plain rows between."""
        goal = None if spell.until is None else value(spell.until, self.size)
        times = MOST_PASSES if goal is not None else value(spell.times.count, self.size) if spell.times else 1
        if goal is not None and not max(part.count):  # `dec evenly to 88 sts`
            more = (goal - self.needle.stitches) * (-1 if part.action == "dec" else 1)
            if more < 0:
                raise WorkError(f"comes to {stitches(goal)} by none of these shapings", line.column(part.at))
            part = replace(part, count=(more,))
        plain = max(0, value(spell.every, self.size) - 1)
        for number in range(times):
            last = self.needle.stitches
            if last == goal:
                return
            if plain and number:
                self.row(index, even_row(line), plain)
            self.row(index, shaping_row(line, part, self.needle, self.size))
            if goal is not None:
                jumped(last, self.needle.stitches, goal, line.column(spell.at))

    def shape_together(self, index: int, line: Line, shapes: Sequence[Shape]) -> None:
        """Shapings worked in the same rows, each at its own rhythm: `AT THE SAME TIME dec 1 st at neck edge ...`."""
        events = [event for stream in streams(shapes) for event in timed(stream, self.size)]
        column = line.column(shapes[0].at)
        goal = next((event.until for event in events if event.until is not None), None)
        last = max((event.last for event in events if event.until is None and not event.open_), default=-1)
        events = [replace(event, last=last) if event.open_ else event for event in events]
        for number in range(MOST_ROUNDS):
            if number > last and (goal is None or self.needle.stitches == goal):
                return
            now = [event.shape for event in events if event.falls_on(number)]
            before = self.needle.stitches
            rows = [shaping_row(line, shape, self.needle, self.size) for shape in now]
            self.row(index, merged(rows) if rows else even_row(line))
            if goal is not None:
                jumped(before, self.needle.stitches, goal, column)
            if number > last and self.needle.stitches < 1:
                break
        raise WorkError("the shapings together never come to an end", column)


def plain_line(line: Line) -> bool:
    """Whether a line has nothing but rows in it: no repeat of other rows, no shaping over several."""
    return all(isinstance(part, Rows) for part in line.parts)


def work_parts(run: Run, index: int, line: Line, rows: int | None) -> None:
    """The parts of a line in turn, or only its rows for `rows` rounds; raises `WorkError` or `EnoughError`."""
    start, run.begun = run.needle, len(run.history)
    line = run.rows_told(line)
    together = shapings_together(line.parts)
    for part in line.parts:
        if isinstance(part, Shape) and part in together:
            if part is together[0]:
                run.shape_together(index, line, together)
        elif isinstance(part, Rows):
            run.row(index, bare(line, replace(part, times=(1,))), rows or times_of(line, part, run.size))
        elif isinstance(part, Again):
            run.again(index, line, part)
        elif isinstance(part, Alike):
            run.alike(line.column(part.at))
        elif isinstance(part, Charted):
            for row in chart_rows(part, line, run.book, run.size):
                run.row(index, row)
        else:
            run.shape(index, line, part)
    if rows is None:
        _end_on_its_side(run, index, line)
        check_printed(line, start, run.needle, run.size, dict(run.rounds[-1].techniques) if run.rounds else {})


_ENDING = re.compile(
    r"\bending (?:with |on |after )?(?:a |the )?(?:(WS|wrong side)|(?:RS|right side))(?: row)?\b", re.IGNORECASE
)


def _end_on_its_side(run: Run, index: int, line: Line) -> None:
    """One plain row more where a count is come to on the other side: `until 20 sts remain, ending with a WS row`."""
    ending = _ENDING.search(line.text)
    spells = [spell for part in line.parts if isinstance(part, Again | Shape) for spell in part.spells]
    goal = any(isinstance(part, Again) and part.until is not None for part in line.parts)
    if ending is None or not (goal or any(spell.until is not None for spell in spells)):
        return
    if run.needle.flat and run.needle.stitches and run.needle.side == ("WS" if ending[1] else "RS"):
        plain = (row for row, _ in reversed(run.history[run.begun :]) if row is not None and not run.change_of(row))
        run.row(index, next(plain, even_row(line)))
