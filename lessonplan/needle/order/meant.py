"""Which rows a line means that asks for some again: by their numbers, the last ones, a row by its name, a shaping."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.needle.order.goals import labelled, same_name
from lessonplan.needle.order.run import MOST_ROUNDS, RowRun
from lessonplan.needle.order.shaping import longest_plain, single_rows
from lessonplan.needle.stitch.live import WorkError
from lessonplan.printed.tree import Again, Line, Shape, value


@dataclass(slots=True)
class MeantRun(RowRun):
    """A run that knows which rows are meant."""

    def rows_meant(self, index: int, line: Line, part: Again) -> list[tuple[Line, int]]:
        """The rows that are to be worked again, each with how often in a run; raises `WorkError`."""
        column = line.column(part.at)
        if part.which == "last":
            return self._last(min(value(part.first, self.size), MOST_ROUNDS), column)
        if part.which == "all":
            return self._since_block(index) or self._last(sum(times for _, times in self.history), column)
        if part.which in ("shaping", "newest"):
            return self.shaping(column)
        if part.which == "star":
            if part.name not in self.stars:
                raise WorkError("says to repeat from an asterisk, but no asterisk stands before it", column)
            since = [row for row in self.history[self.stars[part.name] :] if row[0] is not None]
            return [(row, times) for row, times in since if row is not None]
        if part.which == "side":
            return self._last(2, column)[:1] if part.name == self.needle.side else self._last(1, column)
        if part.which == "named":
            named = [each for each in self.lines if each is not None and same_name(each.label.name, part.name)]
            shaped = part.name[:3] in ("dec", "inc") and any(line and self.change_of(line) for line, _ in self.history)
            if not named and shaped:
                return self.shaping(column)[:1]
            if not named:
                raise WorkError(f"no line is called “{part.name} round”", column)
            return [(row, 1) for row in single_rows(named[0], self.size)]
        found: list[tuple[Line, int]] = []
        for number in range(part.first[0], part.last[0] + 1):
            lines = [each for each in self.lines[: index + 1] if each is not None and labelled(each, number)]
            lines = [each for each in lines if each.text != line.text]
            own = self.history[self.begun :]
            if not lines and len(own) == 1 and own[0][0] is not None:
                if number in line.label.numbers:
                    found.append((own[0][0], 1))  # `4th row: P. Rep 3rd and 4th rows until ...`
                    continue
                return [(own[0][0], 1)]  # `Row 1: ... Row 2: as Row 1` in one line
            if not lines and None in self.lines[:index]:
                raise WorkError("depends on a line before it that could not be read", column, "follows")
            if not lines:
                begins = min((min(each.label.numbers) for each in self.lines if each and each.label.numbers), default=0)
                kind = "unread" if number < begins else "misfit"  # print begun in the middle
                raise WorkError(f"there is no line for round {number} to repeat", column, kind)
            rows = [(row, 1) for row in single_rows(lines[-1], self.size)]
            found += rows or self._as_shaped(lines[-1]) or self._like_others(index, lines[-1], number)
        if not found:
            raise WorkError(f"repeats rounds {part.first[0]} to {part.last[0]}, which nobody works", column)
        return found

    def _as_shaped(self, line: Line) -> list[tuple[Line, int]]:
        """The row of a line that only tells a shaping, as it was worked: `Rnd 1: Dec 1 st at each end of needle 2`.

        Or one that is another with more or fewer stitches between its shapings.
        """
        part = line.parts[0] if len(line.parts) == 1 else None
        apart = isinstance(part, Again) and part.which == "numbers" and (part.step or part.apart is not None)
        once = apart or isinstance(part, Shape)
        worked = [row for row, _ in self.history if once and row is not None and row.text == line.text]
        return [(row, 1) for row in worked[-1:]]

    def _like_others(self, index: int, line: Line, number: int) -> list[tuple[Line, int]]:
        """The rows of a line such as `Rows 3 and 4: as rows 1 and 2`, of several rows only the one of that number."""
        same = [each for each in line.parts if isinstance(each, Again) and each.last[0] < number]
        rows = [row for each in same[:1] for row in self.rows_meant(index, line, each)]
        numbers = line.label.numbers
        one = len(numbers) > 1 and len(rows) == len(numbers) and number in numbers
        return [rows[numbers.index(number)]] if one else rows

    def _last(self, n: int, column: int) -> list[tuple[Line, int]]:
        found: list[tuple[Line, int]] = []
        for line, times in reversed(self.history):
            if n <= 0:
                break
            if line is None:
                raise WorkError("depends on a line before it that could not be read", column, "follows")
            found.append((line, min(times, n)))
            if min(line.label.needles, default=1) == 1:  # the needles of one round, each in a line of its own
                n -= times
        if n > 0:
            begun = self.rounds[0].before if self.rounds else self.needle.stitches  # in the middle of a piece
            raise WorkError(
                "asks to repeat more rounds than were worked before", column, "unread" if begun else "misfit"
            )
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

    def shaping(self, column: int) -> list[tuple[Line, int]]:
        """The newest shaping row, then the plain rows that were worked after it."""
        after: list[tuple[Line, int]] = []
        for line, times in reversed(self.history):
            if line is None:
                raise WorkError("depends on a line before it that could not be read", column, "follows")
            if self.change_of(line):
                return [(line, 1), *after[::-1]]
            after.append((line, times))
        raise WorkError("no line before it shapes anything that could go on", column, "unread")

    def change_of(self, line: Line) -> int:
        """Stitches that a row last added or took away."""
        for each in reversed(self.rounds):
            if each.text == line.text and each.after != each.before:
                return each.after - each.before
        return 0

    def turned(self, least: int = 3) -> tuple[list[tuple[Line, int]], int] | None:
        """The last two of `least` rows that are turned, and how many stitches longer than the one before each is."""
        rows = [row for row, _ in self.history[-least:] if row is not None]
        lengths = [longest_plain(row, self.size) for row in rows]
        if len(rows) < least or None in lengths:
            return None
        return [(row, 1) for row in rows[-2:]], (lengths[-1] or 0) - (lengths[-2] or 0)
