"""One row being worked: what is on both needles, where the markers are, what has been done so far."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lessonplan.needle.live import TURNED, FitError, Marker, Needle, stitches
from lessonplan.needle.moves import Moves
from lessonplan.needle.operations import Loop, Op, Pattern, Stop, Sum, Work, total

ORDINALS = {"first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3, "fourth": 4, "4th": 4, "fifth": 5}
MOST = 1_000_000
"""Of no technique are more worked in one row."""
PatternWorker = Callable[["Hand", str, int, int], None]
"""Works (hand, pattern name, stitches, position): the rows of named patterns are kept by the caller."""


class Hand(Moves):
    """The state of a row while it is worked; counts only grow."""

    def __init__(self, needle: Needle, pattern: PatternWorker, held_as: str) -> None:
        self.needle = needle
        self.flat = needle.flat
        self.colour = needle.colour
        self.held = list(needle.held)
        self.pattern = pattern
        self.held_as = held_as
        self.behind = needle.behind
        self.left = needle.stitches - needle.behind
        """Stitches waiting at the start of the row, plus any put back since."""
        self.limit = self.left
        self.taken = 0
        self.made = 0
        marks = sorted((*needle.markers, *((place, TURNED) for place in needle.turns)))
        self.passed = [(place - self.behind, name) for place, name in marks if place <= self.behind]
        """Markers on the right needle, counted from the stitches made in this row."""
        self.ahead = [(place - self.behind, name) for place, name in marks if place > self.behind]
        """Markers on the left needle, counted in stitches of the row below."""
        self.tail = 0
        self.tail_marks: list[Marker] = []
        self.counts: dict[tuple[str, str], int] = {}
        self.worked = False
        self.out = self.cast_on = 0
        self.slipped = 0
        """Markers of the row below that are on the right needle by now."""
        self.on_cable = self.cable_at = 0
        self.notes: list[str] = []

    # working stitches
    def run(self, ops: Sequence[Op]) -> None:
        """Work a sequence of operations; raises `FitError` where they do not fit."""
        for index, op in enumerate(ops):
            if isinstance(op, Work):
                self.work(op)
            elif isinstance(op, Loop):
                self.loop(op, ops[index + 1 :])
            elif isinstance(op, Pattern):
                self.follow(op, ops[index + 1 :])
            else:
                self.move(op)

    def work(self, op: Work) -> None:
        """One technique `op.n` times."""
        if op.takes:
            self.take(op.n, op.takes, op.makes, op.at, op.name)
        else:
            self.made += op.n * op.makes
            if self.made + self.behind < 0:
                raise FitError(f"{op.name} needs a stitch on the right needle, and there is none", op.at)
        self.worked = self.worked or op.name != "ch" or bool(op.takes)
        for name in op.parts or (op.name,):
            self.count(op.colour, name, op.n)

    def count(self, colour: str, name: str, n: int) -> None:
        """Note `n` of a technique, in the yarn in use unless another is named."""
        key = (colour or self.colour, name)
        self.counts[key] = self.counts.get(key, 0) + n
        if self.counts[key] > MOST:
            raise FitError(f"comes to more than {MOST:,} times {name} in one row, which nobody works", 0)

    def take(self, n: int, takes: int, makes: int, at: int, name: str) -> None:
        """`n` times `takes` stitches off the left needle, `makes` onto the right one, markers carried along."""
        here = self.limit - self.taken
        if n * takes > here and self._may_cross():
            first = here // takes
            self._pass(first, takes, makes, name)
            self._cross()
            n, here = n - first, self.limit - self.taken
        if n * takes > here:
            raise FitError(self.short_of(n * takes, name, takes), at)
        self._pass(n, takes, makes, name)

    def short_of(self, wanted: int, name: str, takes: int) -> str:
        """The sentence for asking more stitches than there are."""
        here = self.limit - self.taken
        if takes > 1 and here > 0 and wanted == takes:
            return f"{name} needs {stitches(wanted)} here, only {here} {'is' if here == 1 else 'are'} left"
        if here == 0:
            return f"asks for {stitches(wanted)} here, none is left"
        return f"asks for {stitches(wanted)} here, only {here} {'is' if here == 1 else 'are'} left"

    def _pass(self, n: int, takes: int, makes: int, name: str) -> None:
        end = self.taken + n * takes
        while self.ahead and self.ahead[0][0] < end and n:
            place, marker = self.ahead.pop(0)
            if marker == TURNED:
                continue  # working across it closes the gap
            self.slipped += 1
            whole, part = divmod(place - self.taken, takes)
            if part:
                whole += 1
                self.notes.append(f"a marker lies between the stitches of {name}; it is kept after it")
            self.passed.append((self.made + whole * makes, marker))
        self.taken = end
        self.made += n * makes

    def _may_cross(self) -> bool:
        return not self.flat and self.behind > 0 and self.limit == self.left

    def _cross(self) -> None:
        """In short rows in the round: on past the beginning of the round, to the stitches left behind there."""
        shift = self.behind
        old = [(place + shift, name) for place, name in self.passed]
        edge = [(shift + self.made, name) for _, name in self.ahead]
        self.ahead = [mark for mark in old if mark[0] < shift]
        self.tail_marks += [(place - shift, name) for place, name in (*old, *edge) if place >= shift]
        self.tail, self.passed = self.made, []
        self.left = self.limit = shift
        self.behind = self.taken = self.made = 0

    def loop(self, op: Loop, rest: Sequence[Op]) -> None:
        """A repeat, in closed form where nothing inside depends on the place."""
        if op.to is None:
            self.repeat(op, op.n)
            return
        if op.to.place == "last":
            self.cut_short(op, op.to, rest)
            return
        stop = self.place(op.to, rest)
        room = stop - self.taken
        if room < 0:
            raise FitError(self.beyond(op.to, room), op.at)
        if not op.sum.fixed:
            self.until(op, stop, rest)
            return
        needs = op.sum.takes
        if needs == 0:
            if room:
                raise FitError("the repeat uses up no stitches, so it would never come to its end", op.at)
            return
        if room % needs:
            raise FitError(self.odd_multiple(op, needs, room), op.at)
        self.repeat(op, room // needs)

    def cut_short(self, op: Loop, to: Stop, rest: Sequence[Op]) -> None:
        """A repeat that ends, in its last round, with what follows it in place of its last step."""
        needed = self._needed(rest, to) + total(op.body[:-1]).takes
        room = self.limit - self.taken - needed
        if room < 0 or not op.sum.takes or room % op.sum.takes:
            raise FitError(self.odd_multiple(op, max(1, op.sum.takes), max(0, room + needed)), op.at)
        self.repeat(op, room // op.sum.takes)
        self.run(op.body[:-1])

    def odd_multiple(self, op: Loop, needs: int, room: int) -> str:
        """The sentence for a repeat that does not fit."""
        what = "the repeat" if len(op.body) > 1 or not isinstance(op.body[0], Work) else op.body[0].name
        verb = "is" if room == 1 else "are"
        return f"needs a multiple of {needs} stitches for {what}, but {room} {verb} left for it"

    def beyond(self, stop: Stop, room: int) -> str:
        """The sentence for a place that lies behind the stitches already worked."""
        if stop.place == "end":
            here = self.limit - self.taken
            return f"should leave the last {stitches(stop.short)}, but only {here} {'is' if here == 1 else 'are'} left"
        if stop.place == "over":
            return self.short_of(stop.short, "", 1)
        here = room + stop.short
        return f"should stop {stitches(stop.short)} before the marker, but only {max(0, here)} are left before it"

    def repeat(self, op: Loop, n: int) -> None:
        """The body of a loop `n` times."""
        if n == 1 or not op.sum.fixed:
            for _ in range(n):
                self.run(op.body)
            return
        end = self.taken + n * op.sum.takes
        if end > self.limit:
            whole = (self.limit - self.taken) // op.sum.takes if op.sum.takes else 0
            for _ in range(min(n, whole + 1)):
                self.run(op.body)
            if n > whole + 1:
                raise FitError(f"the repeat runs out of stitches after {whole} of {n} times", op.at)
            return
        single = len(op.body) == 1 and isinstance(op.body[0], Work)
        if not op.sum.plain:
            for _ in range(n):
                self.run(op.body)
        elif single:
            first = op.body[0]
            assert isinstance(first, Work)
            self.work(_times(first, n))
        else:
            self._in_bulk(op, n)

    def _in_bulk(self, op: Loop, n: int) -> None:
        """Whole repeats at once, one by one only where a marker lies in them."""
        each = op.sum
        while n:
            whole = n
            if self.ahead and each.takes:
                whole = min(n, max(0, self.ahead[0][0] - self.taken) // each.takes)
            if whole:
                self.taken += whole * each.takes
                self.made += whole * each.makes
                self.worked = True
                for (colour, name), count in each.counts.items():
                    self.count(colour, name, count * whole)
                n -= whole
            if n and (whole == 0 or self.ahead):
                self.run(op.body)
                n -= 1

    def until(self, op: Loop, stop: int, rest: Sequence[Op]) -> None:
        """A repeat whose body depends on markers: again and again to the end, or as long as there are markers."""
        while self.taken < stop:
            before, markers_ahead = self.snapshot(), any(name != TURNED for _, name in self.ahead)
            start = self.taken
            try:
                self.run(op.body)
            except FitError:
                ends_with_fill = bool(rest) and isinstance(rest[0], Loop) and rest[0].to is not None
                if not start or not ends_with_fill or markers_ahead:
                    raise
                self.restore(before)
                return
            if self.taken == start:
                raise FitError("the repeat uses up no stitches, so it would never come to its end", op.at)
        if self.taken > stop:
            raise FitError("the last repeat works more stitches than there are for it", op.at)

    def snapshot(self) -> dict[str, object]:
        """Everything that working changes, copied."""
        return {key: value.copy() if isinstance(value, list | dict) else value for key, value in vars(self).items()}

    def restore(self, state: dict[str, object]) -> None:
        """Back to a snapshot."""
        vars(self).update(state)

    def follow(self, op: Pattern, rest: Sequence[Op]) -> None:
        """A named pattern over the stitches up to a place."""
        stop = self.place(op.to, rest)
        if stop < self.taken:
            raise FitError(self.beyond(op.to, stop - self.taken), op.at)
        outer, self.limit = self.limit, stop
        self.pattern(self, op.name, stop - self.taken, op.at)
        self.limit = outer

    # places
    def place(self, stop: Stop, rest: Sequence[Op]) -> int:
        """The stitch of the row below (counted from the start of the row) where a fill stops."""
        if stop.place == "end":
            return self.limit - stop.short
        if stop.place == "over":
            return self.taken + stop.short
        if stop.place == "rest":
            return self.limit - self._needed(rest, stop)
        if stop.place == "marker":
            return self._marker(stop) - stop.short
        return self._turn(stop) - stop.short

    def _needed(self, rest: Sequence[Op], stop: Stop) -> int:
        needed: Sum = total(rest)
        if not needed.fixed:
            raise FitError("it is not said where the repeat ends", stop.at)
        return needed.takes

    def _marker(self, stop: Stop) -> int:
        wanted = [place for place, name in self.ahead if name == stop.which and name != TURNED]
        if stop.which and not wanted:
            order = ORDINALS.get(stop.which, self.slipped + 1) - self.slipped
            wanted = [place for place, name in self.ahead if name != TURNED][order - 1 :] if order > 0 else []
        elif not stop.which:
            wanted = [place for place, name in self.ahead if name != TURNED]
        if wanted:
            return wanted[0]
        if not self.flat and not stop.which and (self.worked or self.taken or not self.needle.markers):
            return self.left
        raise FitError("there is no marker ahead to work to", stop.at)

    def _turn(self, stop: Stop) -> int:
        places = [place for place, name in self.ahead if name == TURNED]
        if not places:
            raise FitError("there is no earlier turn ahead to work to", stop.at)
        return places[0] - (1 if stop.place == "ds" else 0)


def _times(work: Work, n: int) -> Work:
    return Work(work.name, work.n * n, work.takes, work.makes, work.at, work.colour, work.parts)
