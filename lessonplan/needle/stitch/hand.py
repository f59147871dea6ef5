"""One row being worked: what is on both needles, where the markers are, what has been done so far."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from lessonplan.craft.techniques import technique
from lessonplan.needle.stitch.live import TURNED, WAITING, FitError, Marker, Needle, stitches
from lessonplan.needle.stitch.operations import GROUPED, Op, Stop, Sum, Work, total

SOMEWHERE = "somewhere"
"""Stands for the marker of a place that print names and nothing tells: `knit to gusset`."""
UNTOLD = "untold"
MOST = 1_000_000
"""Of no technique are more worked in one row."""
PatternWorker = Callable[["Hand", str, int, int], None]
"""Works (hand, pattern name, stitches, position): the rows of named patterns are kept by the caller."""


def chain_runs(op: Work) -> list[int]:
    """The chains of each space that is made within a group: a space is a run of them between stitches."""
    return [len(list(run)) for name, run in itertools.groupby(op.parts) if name == "ch"] * op.n


def chain_places(op: Work) -> list[int]:
    """The stitches made before each of those spaces, since the first of the groups was begun."""
    made, found = 0, []
    for _ in range(op.n):
        for name, run in itertools.groupby(op.parts):
            if name == "ch":
                found.append(made)
            else:
                made += len(list(run)) * technique(name).produces
    return found


class Hand:
    """The state of a row while it is worked; counts only grow."""

    def __init__(self, needle: Needle, pattern: PatternWorker, held_as: str) -> None:
        self.needle = needle
        self.flat = needle.flat
        self.colour = needle.colour
        self.held = list(needle.held)
        self.pattern = pattern
        self.held_as = held_as
        self.loose = ""
        """How a repeat that comes to no even end is taken: "" not at all, "cut" short, or "borrowed" from the next."""
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
        self.arrived = 0
        """Where a fill to a marker or to the end of a needle came to its end last."""
        self.unmarked = False
        """Whether all markers are taken off by the end of the row."""
        self.notes: list[str] = []
        self.joined = False
        """Whether stitches that waited on other needles came to those of a row with picked up ones."""
        self.fill = "k"
        self.blind = self.guessed = False
        """Whether places that nothing tells are passed without going there, and whether one was."""
        self._hooked()

    def _hooked(self) -> None:
        """What only a row of crochet knows: its spaces, its groups, the chain that it was begun on."""
        self.spaced = False
        """Whether stitches are worked into spaces, those of the row below passed by."""
        self.entered = False
        """Whether something was worked into a space, so that stitches beside it may stay as they are."""
        self.spaces = len(self.needle.spaces)
        """Spaces between the stitches of the row below that were not worked into yet."""
        self.spaces_made: list[int] = []
        """Chains of each space made."""
        self.spaces_at: list[int] = []
        """Stitches made before each of them."""
        self.groups: list[tuple[int, int]] = []
        """Stitches made before each group of tall stitches in one place, and with it."""
        self.sought = False
        """Whether a space is gone to by its place, so that none may be left over."""
        self.space = 0
        """Number of the next space of the row below, where they are gone to one by one."""
        self.reached = (-1, -1)
        """The stitch before the space that was worked up to, and how many spaces had been gone into before it."""
        self.chained_at = -1
        """Stitches made when the last space was."""
        self.unused = 0
        """Chains of the foundation that were left at its beginning."""
        self.around = False
        """Whether both sides of the foundation are worked along."""
        self.foundation = False
        """Whether nothing but a chain was made, to be worked into next."""
        self.ended = 0
        """Chains behind the last stitch of a row."""

    def work(self, op: Work) -> None:
        """One technique `op.n` times; raises `FitError` where there are not stitches enough."""
        if op.name == "sl st" and op.n == 1 and self.worked and self.taken == self.limit and not self.flat:
            return  # closes the round
        before, self.ended = self.made, 0
        if op.takes:
            self.take(op.n, op.takes, op.makes, op.at, op.name)
        else:
            self.made += op.n * op.makes
            if self.made + self.behind < 0:
                raise FitError(f"{op.name} needs a stitch on the right needle, and there is none", op.at)
        self.worked = self.worked or op.name != "ch" or bool(op.takes)
        if op.name == "ch" and not op.makes:
            self.chained(op.n)
        elif op.parts:
            self.spaces_made += chain_runs(op)
            self.spaces_at += [before + place for place in chain_places(op)]
            if sum(name in GROUPED for name in op.parts) > 1:
                self.groups += [(before + each * op.makes, before + (each + 1) * op.makes) for each in range(op.n)]
        for name in op.parts or (op.name,):
            self.count(op.colour, name, op.n)

    def chained(self, n: int) -> None:
        """A space of `n` chains, or more of the one begun if no stitch was made since."""
        if self.spaces_made and self.chained_at == self.made:
            self.spaces_made[-1] += n
        elif n:
            self.opened(n)
        self.chained_at = self.made

    def opened(self, n: int) -> None:
        """A space of `n` chains after the stitches made so far."""
        self.spaces_made.append(n)
        self.spaces_at.append(self.made)

    def gaps(self) -> list[tuple[int, bool]]:
        """The places made without chains where a group begins or ends, and whether it is wide on both sides."""
        edges = sorted({0, self.made, *itertools.chain.from_iterable(self.groups)})
        inner = [(b, b - a > 1 and c - b > 1) for a, b, c in zip(edges, edges[1:], edges[2:], strict=False)]
        closes = [] if self.flat or 0 in self.spaces_at else [(self.made, edges[-1] - edges[-2] > 1)]
        return [gap for gap in (*inner, *closes) if gap[0] not in self.spaces_at]

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
        if not here and takes == 1 and name in ("k", "p") and self._fetch(n):
            here = n
        if not here and self.joined and name == "k" and takes == 1 and n < self.made:
            moved = [((place - n) % self.made, mark) for place, mark in self.passed]
            self.passed = sorted(mark for mark in moved if mark[0])  # `..., k9. The round now begins here`
            return
        if n * takes > here:
            raise FitError(self.short_of(n * takes, name, takes), at)
        self._pass(n, takes, makes, name)

    def _fetch(self, n: int) -> bool:
        """Put back the held stitches if there are so many of them: they are worked though print does not say so."""
        back = next((place for place, (_, count) in enumerate(self.held) if count == n >= 4), None)
        if back is not None:
            del self.held[back]
            self.insert(n)
            self.notes.append("these stitches are those that were held")
        elif (
            self.flat
            and n >= 4
            and self.counts.get(("", "pu&k"))
            and not self.held
            and self.left == self.limit
            and not self.joined
        ):
            self.insert(n)  # `k18 heel sts, pick up 16, k30 instep sts`
            self.notes.append(f"{stitches(n)} that wait on other needles are worked again")
            self.joined, self.flat = True, False
            return True
        return back is not None

    def fetch_waiting(self) -> None:
        """Put back the stitches that waited while the others of a round were worked back and forth."""
        for name, count in [one for one in self.held if one[0] == WAITING]:
            self.held.remove((name, count))
            self.insert(count)
            self.notes.append(f"{count} stitches that waited are worked again")

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
        apart = any(name == WAITING for name, _ in self.held)  # the others of the round lie between
        return not self.flat and self.behind > 0 and self.limit == self.left and not apart

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

    def insert(self, n: int) -> None:
        """More stitches on the left needle, to be worked next."""
        self.left += n
        self.limit += n
        self.ahead = [(place + n, name) for place, name in self.ahead]

    def at_edge(self) -> bool:
        """At the marker of the beginning of the round, which is not kept in the list."""
        return not self.flat and (self.taken == self.left or not (self.taken or self.behind))

    def snapshot(self) -> dict[str, object]:
        """Everything that working changes, copied."""
        return {key: value.copy() if isinstance(value, list | dict) else value for key, value in vars(self).items()}

    def restore(self, state: dict[str, object]) -> None:
        """Back to a snapshot."""
        vars(self).update(state)

    # places
    def place(self, stop: Stop, rest: Sequence[Op]) -> int:
        """The stitch of the row below (counted from the start of the row) where a fill stops."""
        match stop.place:
            case "end":
                return self.limit - stop.short
            case "over":
                if self.taken == self.limit:
                    self._fetch(stop.short)
                return self.taken + stop.short
            case "rest":
                return self.limit - self.needed(rest, stop)
            case "across":
                needed = total(rest)
                return self.limit - (needed.takes if needed.fixed else 0)
            case "right":
                return self.taken + stop.short - self.made
            case "since":
                gap = max((place for place, name in self.passed if name == TURNED), default=0)
                return self.taken + stop.short - (self.made - gap)
            case "share":
                return self._share(stop)
            case "marker" if self.blind:
                self.guessed = True
                return self.taken
            case "marker":
                return self._marker(stop) - stop.short
            case "needle" if stop.which == "half":
                return self._half(stop) - stop.short
            case "needle" | "unsaid":
                if stop.which and not self.flat and self.limit == self.left and not self.needle.markers:
                    raise FitError("goes by needles, but nothing tells how many stitches are on each", stop.at, UNTOLD)
                begun = self.taken == self.arrived
                ahead = [
                    place
                    for place in self._marks()
                    if place - stop.short >= self.taken and (place > self.taken or not (begun or stop.short))
                ]
                return (ahead[0] if ahead else self.limit) - stop.short
            case "centre":
                return self._centre(stop)
            case "space":
                return self._space(stop) - stop.short
        return self._turn(stop) - stop.short

    def needed(self, rest: Sequence[Op], stop: Stop) -> int:
        """What the steps after a repeat take, where it goes up to them."""
        needed: Sum = total(rest)
        if not needed.fixed:
            raise FitError("it is not said where the repeat ends", stop.at)
        return needed.takes

    def _space(self, stop: Stop) -> int:
        """The stitches of the row below before its next space (or the last one)."""
        if len(self.needle.spaced) != len(self.needle.spaces) or not self.needle.spaces:
            raise FitError("where the spaces of the row before are is not known", stop.at, UNTOLD)
        self.sought = True
        ahead = [place for place in self.needle.spaced[self.space :] if place >= self.taken]
        if len(ahead) > 1 and self.reached == (self.taken, self.space) == (ahead[0], self.space):
            del ahead[0]  # it stands at one already: the next is meant
        if not ahead:
            raise FitError("there is no space ahead to work to", stop.at, UNTOLD)
        return ahead[-1 if stop.which == "last" else 0]

    def _share(self, stop: Stop) -> int:
        """The end of the next of so many equal parts of a round."""
        share, odd = divmod(self.left, max(1, stop.short))
        if odd or not share or self.behind:
            raise FitError(f"{stitches(self.left)} cannot be parted evenly into {stop.short}", stop.at, UNTOLD)
        return (self.taken // share + 1) * share

    def _half(self, stop: Stop) -> int:
        """The end of the half of a round that is in work."""
        half, odd = divmod(self.needle.stitches, 2)
        if odd or self.flat or self.behind or self.left != self.needle.stitches:
            raise FitError("goes by halves, but nothing tells how many stitches are on each", stop.at, UNTOLD)
        return half if self.taken < half else self.limit

    def _marks(self) -> list[int]:
        return [place for place, name in self.ahead if name != TURNED]

    def _centre(self, stop: Stop) -> int:
        middle, odd = divmod(self.left - stop.short, 2)
        if odd or middle < self.taken:
            raise FitError(f"the {stitches(stop.short)} in the centre cannot be told, of {self.left}", stop.at)
        return middle

    def _marker(self, stop: Stop) -> int:
        if stop.which == SOMEWHERE:
            raise FitError("goes to a place of which nothing tells where it lies", stop.at, UNTOLD)
        wanted = [place for place, name in self.ahead if stop.which and name == stop.which]
        if stop.which.isdigit() and not wanted:
            order = int(stop.which) - self.slipped
            wanted = self._marks()[order - 1 :] if order > 0 else []
        elif stop.which == "last":
            wanted = self._marks()[-1:]
        elif not wanted:
            here = stop.short or self.taken == self.arrived  # `place the sts to marker on hold, k to next marker`
            wanted = [place for place in self._marks() if place != self.taken or not here]
        if wanted:
            return wanted[0]
        named = stop.which and stop.which != "last" and not stop.which.isdigit()
        if not self.flat and not named and (self.needle.markers or self.passed):
            return self.left
        unmarked = not (self.needle.markers or self.passed or self.ahead)  # print may call a place a marker
        raise FitError("there is no marker ahead to work to", stop.at, UNTOLD if unmarked else "misfit")

    def _turn(self, stop: Stop) -> int:
        places = [place for place, name in self.ahead if name == TURNED]
        if not places and stop.which == "unworked" and self.limit > 1:
            return self.limit - 1  # the last stitch, over which the row before was turned
        if not places:
            raise FitError("there is no earlier turn ahead to work to", stop.at)
        return places[0] - (1 if stop.place == "ds" else 0)
