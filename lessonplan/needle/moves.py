"""The moves of a row that are no stitches: binding off and casting on, markers, holders, yarns."""

from __future__ import annotations

from abc import ABC, abstractmethod

from lessonplan.needle.live import TURNED, FitError, Marker, Needle, stitches
from lessonplan.needle.operations import ALL, Move


class Moves(ABC):
    """The part of `hand.Hand` that deals with moves; the attributes are explained there."""

    needle: Needle
    flat: bool
    colour: str
    held: list[tuple[str, int]]
    held_as: str
    behind: int
    left: int
    limit: int
    taken: int
    made: int
    passed: list[Marker]
    ahead: list[Marker]
    tail_marks: list[Marker]
    counts: dict[tuple[str, str], int]
    worked: bool
    out: int
    cast_on: int
    slipped: int
    on_cable: int
    cable_at: int

    @abstractmethod
    def take(self, n: int, takes: int, makes: int, at: int, name: str) -> None:
        """Take stitches off the left needle; see `Hand`."""

    @abstractmethod
    def count(self, colour: str, name: str, n: int) -> None:
        """Note a technique; see `Hand`."""

    def move(self, op: Move) -> None:
        """A move that is no stitch; its method is named after it."""
        getattr(self, f"_do_{op.what}")(op)

    def _all_or(self, op: Move) -> int:
        return self.limit - self.taken if op.n == ALL else op.n

    def _do_bo(self, op: Move) -> None:
        n = self._all_or(op)
        if n == 0:
            raise FitError("there are no stitches left to bind off", op.at)
        self.take(n, 1, 0, op.at, op.name)
        self.worked = True
        self.count("", op.name, n if op.name == "BO" else n // 2)

    def _do_co(self, op: Move) -> None:
        self.cast_on += op.n
        self.count("", "CO", op.n)
        at_edge = self.flat and not self.worked and self.left and not self.taken and not self.made
        if at_edge:
            self._insert(op.n)
        else:
            self.made += op.n

    def _do_pu(self, op: Move) -> None:
        self.made += op.n
        self.count("", "pu&k", op.n)

    def _do_cn(self, op: Move) -> None:
        self.on_cable += op.n
        self.cable_at = op.at

    def _do_uncn(self, op: Move) -> None:
        if op.n > self.on_cable:
            raise FitError(f"works {stitches(op.n)} from the cable needle, which has {self.on_cable}", op.at)
        self.on_cable -= op.n

    def _do_picot(self, op: Move) -> None:
        for name in ("CO", "BO"):
            self.count("", name, op.n)

    def _do_hold(self, op: Move) -> None:
        n = self._all_or(op)
        self.take(n, 1, 0, op.at, "hold")
        self._held(n)

    def _do_holdlast(self, op: Move) -> None:
        if op.n > self.made:
            raise FitError(f"asks to hold the last {stitches(op.n)} worked, but {self.made} were worked", op.at)
        self.made -= op.n
        self._held(op.n)

    def _held(self, n: int) -> None:
        self.held.append((self.held_as, n))
        self.out += n

    def _do_back(self, op: Move) -> None:
        if not self.held:
            raise FitError("there are no held stitches to put back", op.at)
        order = range(len(self.held) - 1, -1, -1)
        wanted = [i for i in order if self.held[i][0] in (op.name, self.held_as)] or list(order)
        exact = [i for i in wanted if self.held[i][1] == op.n] or [i for i in order if self.held[i][1] == op.n]
        index = exact[0] if exact else wanted[0]
        name, count = self.held[index]
        n = count if op.n == ALL else op.n
        if n > count:
            raise FitError(f"asks for {stitches(n)} from the holder, which has {count}", op.at)
        self.held[index : index + 1] = [(name, count - n)] if count > n else []
        self._insert(n)

    def _insert(self, n: int) -> None:
        """More stitches on the left needle, to be worked next."""
        self.left += n
        self.limit += n
        self.ahead = [(place + n, name) for place, name in self.ahead]

    def _do_pm(self, op: Move) -> None:
        self.passed.append((self.made, op.name))
        self.count("", "pm", 1)

    def _do_sm(self, op: Move) -> None:
        here = [mark for mark in self.ahead if mark[0] == self.taken and mark[1] != TURNED]
        if here:
            self.ahead.remove(here[0])
            self.slipped += 1
            self.passed.append((self.made, here[0][1]))
        elif not self._edge() and (self.made, op.name) not in self.passed:
            ahead = [place for place, name in self.ahead if name != TURNED]
            where = f"the next is {stitches(ahead[0] - self.taken)} on" if ahead else "there is none ahead"
            raise FitError(f"there is no marker here to slip; {where}", op.at)
        self.count("", "sm", 1)

    def _edge(self) -> bool:
        """At the marker of the beginning of the round, which is not kept in the list."""
        return not self.flat and (self.taken == self.left or not (self.taken or self.behind))

    def _do_rm(self, op: Move) -> None:
        for marks, place in ((self.ahead, self.taken), (self.passed, self.made)):
            for mark in marks:
                if mark[0] == place and mark[1] != TURNED:
                    marks.remove(mark)
                    self.count("", "rm", 1)
                    return
        if not self._edge():
            raise FitError("there is no marker here to remove", op.at)

    def _do_rmall(self, op: Move) -> None:
        for marks in (self.ahead, self.passed, self.tail_marks):
            self.count("", "rm", sum(name != TURNED for _, name in marks))
            marks[:] = [mark for mark in marks if mark[1] == TURNED]
        self.counts = {key: n for key, n in self.counts.items() if n}

    def _do_turn(self, op: Move) -> None:
        # Turns cut a row into pieces (see `working`); one that is still here is in a repeat up to a place.
        raise FitError("turns inside a repeat up to a place; say how many times it is worked", op.at)

    _do_wrap = _do_turn

    def _do_colour(self, op: Move) -> None:
        self.colour = op.name

    def _do_join(self, op: Move) -> None:
        self.flat = False

    def _do_ring(self, op: Move) -> None:
        if self.worked and self.left:
            raise FitError("a new ring is begun while there are stitches already", op.at)
        self.taken = self.limit  # the chain that was joined to the ring
        self.cast_on += op.n

    def _do_chain(self, op: Move) -> None:
        self.count("", "ch", op.n)
        if not self.needle.stitches and not self.left and not self.made:
            self.cast_on += op.n
            self._insert(op.n)  # a foundation, worked into next
        elif op.name:
            self.take(1, 1, 1, op.at, "ch")

    def _do_skip(self, op: Move) -> None:
        self.take(op.n, 1, 0, op.at, "chain")
