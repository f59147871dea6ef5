"""Which rows a line means that asks for some again: by their numbers, the last ones, a row by its name, a shaping."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from lessonplan.needle.order.goals import labelled, same_name
from lessonplan.needle.order.run import MOST_ROUNDS, RowRun
from lessonplan.needle.order.shaping import even_row, in_this_manner, in_two_places, longest_plain, single_rows
from lessonplan.needle.stitch.live import WorkError
from lessonplan.printed.heading import Num, value
from lessonplan.printed.tree import Again, Hold, Line, Part, Rows, Shape

_PARTING = frozenset({"dividing", "divide", "division", "underarm", "underarms", "armhole", "armholes", "separation"})
"""Words for the row in which stitches are put on hold, whatever it is called."""
_GOES_ON = re.compile(r"\W*(?:cont|continue|go on|keep)\b", re.IGNORECASE)
_ROWS_IN_ALL = re.compile(
    r"\b(?:rows?|rounds?|rnds?)\b(?:(?!\bst(?:s|itches)?\b)[^.;])*\b(?:in all|in total|altogether)\b", re.IGNORECASE
)
_NUMBERED = re.compile(r"\W*(?:\w+ )?(?:rows?|rounds?|rnds?)\s+(\d+)\b[^:]*:", re.IGNORECASE)


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
            lines = [each for each in self.lines if each is not None]
            named = [each for each in lines if same_name(each.label.name, part.name)]
            if not named and part.name == "rib":  # so is what goes on as it was, in rib or in pattern: `Rep patt row`
                named = [each for each in lines if same_name(each.label.name, "pattern")]
            shaped = part.name[:3] in ("dec", "inc") and any(line and self.change_of(line) for line, _ in self.history)
            if not named and shaped:
                return self.shaping(column)[:1]
            if not named:
                raise WorkError(f"no line is called “{part.name} round”", column)
            return [(row, 1) for row in single_rows(named[0], self.size)]
        found: list[tuple[Line, int]] = []
        first, last = part.first[0], part.last[0]
        turned = first == last + 1 and bool(part.times or part.until)  # `do R3 and R2 over and over`
        for number in (first, last) if turned else range(first, last + 1):
            lines = [each for each in self.lines[: index + 1] if each is not None and labelled(each, number)]
            lines = [each for each in lines if each.text != line.text]
            own = self.history[self.begun :]
            if not lines and len(own) == 1 and own[0][0] is not None and number in line.label.numbers:
                found.append((own[0][0], 1))  # `4th row: P. Rep 3rd and 4th rows until ...`
                continue
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

    def rows_left(self, total: Num, since: str, own: int, column: int) -> int:
        """How many rows there are to go until there are `total` since a place; `own` are done where none is named."""
        many = value(total, self.size)
        done = self._rows_since(since, column) if since else own
        if since and done > many:
            raise WorkError(f"asks for {many} rows, but {done} are worked by then", column)
        return max(0, many - done)

    def _rows_since(self, since: str, column: int) -> int:
        """How many rows were worked since a row that print names ("start": in all, "here": none)."""
        if since in ("start", "here"):
            return self.count if since == "start" else 0
        done, names = 0, frozenset(since.split())
        for line, times in reversed(self.history):
            if line is None:
                raise WorkError("depends on a line before it that could not be read", column, "follows")
            head = frozenset(re.findall(r"[\w-]+", line.text.partition(":")[0].lower()))
            if names <= head or (names <= _PARTING and _holds(line)):
                return done
            done += times
        if self.limits.rounds is not None:  # a part of a piece, told how many rows it has
            return 0
        raise WorkError(f"counts rows since “{since}”, and nothing before it is called so", column, "unread")

    def rows_told(self, line: Line) -> Line:
        """A line with as many rows as it says that there are in the end: `work in st st until there are 60 rows`."""
        parts = list(line.parts)
        for place, part in enumerate(parts):
            if isinstance(part, Rows) and part.upto is not None:
                column = line.column(part.at)
                since = counted_since(line, part)
                own = self.count if since == "start" and self.count < value(part.upto, self.size) else 0
                left = self.rows_left(part.upto, part.since, own, column)
                if not left:
                    raise WorkError(f"asks for {value(part.upto, self.size)} rows, which are worked by then", column)
                parts[place] = replace(part, times=(left,), upto=None, since="")
            elif isinstance(part, Rows) and len(parts) == 1 and _ROWS_IN_ALL.search(line.text):
                many = value(part.times, self.size)
                parts[place] = replace(part, times=(many - own,)) if (own := self._numbered_before()) < many else part
        return line if parts == list(line.parts) else replace(line, parts=tuple(parts))

    def _numbered_before(self) -> int:
        """How many rows with numbers, from row 1 on, were worked right before: 0 where others came between."""
        done = 0
        for line, times in reversed(self.history):
            named = _NUMBERED.match(line.text) if line else None
            if named is None:
                break
            done += times
            if named[1] == "1":
                return done
        return 0

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

    def or_even(self, row: Line, line: Line) -> Line:
        """A plain row, or one worked even where it fits no longer: `k18, p1, k18` between rows that go on shaping."""
        try:
            self.rows_of(row)
        except WorkError:
            return even_row(line)
        return row

    def next_in_manner(self, row: Line, body: Rows, by: int) -> Line:
        """A row with its repeat longer by so many; with what is before it, or in two places, if only that fits."""
        first, lead = in_this_manner(row, body, by), in_this_manner(row, body, by, lead=True)
        for trial in (first, lead, *in_two_places(row, body, by)):
            if trial is not None:
                try:
                    self.rows_of(trial)
                except WorkError:
                    continue
                return trial
        return first or row

    def turned(self, least: int = 3) -> tuple[list[tuple[Line, int]], int] | None:
        """The last two of `least` rows that are turned, and how many stitches longer than the one before each is."""
        rows = [row for row, _ in self.history[-least:] if row is not None]
        lengths = [longest_plain(row, self.size) for row in rows]
        if len(rows) < least or None in lengths:
            return None
        return [(row, 1) for row in rows[-2:]], (lengths[-1] or 0) - (lengths[-2] or 0)


def _holds(line: Line) -> bool:
    return any(isinstance(step, Hold) for part in line.parts if isinstance(part, Rows) for step in part.steps)


def counted_since(line: Line, part: Part) -> str:
    """Since when a part of a line counts the rows that it says there are in the end; "" for no row before it."""
    if isinstance(part, Rows) and part.upto is not None and not part.since:
        return "start" if _GOES_ON.match(line.text) else ""
    return part.since if isinstance(part, Again | Rows) and part.since != "here" else ""
