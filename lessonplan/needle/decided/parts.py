"""A line that may be only a part of a round, as it is shown on camera: its techniques, or what it does one by one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.needle.decided.line import finish, segments, times_of
from lessonplan.needle.ready.patterns import PatternBook
from lessonplan.needle.stitch.hand import Hand, PatternWorker
from lessonplan.needle.stitch.live import FitError, Needle, WorkError
from lessonplan.needle.stitch.operations import Loop, Op, Stop, Work
from lessonplan.needle.stitch.row import run
from lessonplan.printed.line import NotationError, parse_line, unread
from lessonplan.printed.tree import Mark, Rows

PLENTY = 1_000_000
"""Stitches on the needle where nobody knows how many there are."""


UNPLACED = "goes to a place that is only known with a piece on the needle"
"""What is wrong with a line to the end or to a marker where nobody knows of a piece."""


class _PartHand(Hand):
    """A hand that works a part of a round; `known` tells whether there is a piece on the needle."""

    known = True

    def place(self, stop: Stop, rest: Sequence[Op]) -> int:
        """As for any hand, but without a piece there is no end and no marker to go to."""
        if not self.known and stop.place != "over":
            raise FitError(UNPLACED, stop.at)
        return super().place(stop, rest)


def part_of_round(text: str, needle: Needle | None, most: int = PLENTY) -> Counter[str]:
    """Techniques of a line that may be only a part of a round, as shown on camera: canonical name to count.

    Stitches left over are no error, and markers are slipped wherever they lie, as many as there are. Without a needle
    there are ``most`` stitches and markers enough, but a line that goes to the end or to a marker is a `WorkError`.
    Raises `NotationError` if the line cannot be read.
    """
    line = parse_line(text)
    if line.doubts:
        raise NotationError(unread(line.doubts[0].word), line.column(line.doubts[0].at))
    counts: Counter[str] = Counter()
    book = PatternBook({}, 0, 1, frozenset())
    on_needle = needle or Needle(most)
    for index, part in enumerate(line.parts):
        if not isinstance(part, Rows):
            raise WorkError("repeats rounds that are not in this line", line.column(part.at))
        for ops, turn in segments(line, index, 0, ()):
            hand, slipped = _PartHand(on_needle, book.work, "held"), Counter[str]()
            hand.known = needle is not None
            try:
                run(hand, ops)
            except FitError as misfit:
                hand, slipped = _PartHand(on_needle, book.work, "held"), _slips(ops)
                hand.known = needle is not None
                there = needle is None or slipped.total() <= len(on_needle.markers)
                if not slipped or not there or not _fits(hand, _without_slips(ops)):
                    raise WorkError(misfit.sentence, line.column(misfit.at)) from None
            counts += slipped
            if turn is not None:
                hand.count("", "w&t" if turn.wrap else "turn", 1)
            for (_, name), count in hand.counts.items():
                counts[name] += count * times_of(line, part, 0)
            on_needle = finish(hand, turn)
    return counts


def _slips(ops: Sequence[Op]) -> Counter[str]:
    """Count the markers that are slipped or taken out, each as it is printed: nobody knows where a part begins."""
    found = Counter(op.action for op in ops if isinstance(op, Mark) and op.action in ("sm", "rm"))
    return sum((_slips(op.body) for op in ops if isinstance(op, Loop)), found)


def _without_slips(ops: Sequence[Op]) -> tuple[Op, ...]:
    kept = (op for op in ops if not (isinstance(op, Mark) and op.action in ("sm", "rm")))
    return tuple(replace(op, body=_without_slips(op.body)) if isinstance(op, Loop) else op for op in kept)


def _fits(hand: Hand, ops: Sequence[Op]) -> bool:
    try:
        run(hand, ops)
    except FitError:
        return False
    return True


def slipped_in(text: str) -> int:
    """Count the markers that a line of one row names as slipped or taken out, each as often as it is printed."""
    line = parse_line(text)
    return sum(sum(_slips(ops).values()) for ops, _ in segments(line, 0, 0, ()))


_OFF = ("hold", "BO")
"""Moves that take stitches off the needle."""
_OUT_OF_NONE = ("CO", "pu&k")
"""Moves that make stitches and take none of the row below."""


Did = tuple[str, int, str]
"""What is done once: its name, the stitches of the row below taken before it, and the yarn, "" where none is named."""


class _Noting(_PartHand):
    """A hand that notes what it does one after the other, each with the stitches of the row below taken before it."""

    def __init__(self, needle: Needle, pattern: PatternWorker, held_as: str) -> None:
        super().__init__(needle, pattern, held_as)
        self.done: list[Did] = []
        self.stitching = False

    def work(self, op: Work) -> None:
        """As for any hand, noted."""
        begun, self.stitching = self.taken, True
        super().work(op)
        self.stitching = False
        self.done += [(op.name, begun + time * op.takes, op.colour or self.colour) for time in range(op.n)]

    def take(self, n: int, takes: int, makes: int, at: int, name: str) -> None:
        """As for any hand; stitches put aside or bound off are noted here, since no technique works them."""
        if not self.stitching and name in _OFF:
            self.done += [(name, self.taken + time, self.colour) for time in range(n)]
        super().take(n, takes, makes, at, name)

    def count(self, colour: str, name: str, n: int) -> None:
        """As for any hand; stitches made out of none are noted here: cast on, or picked up."""
        if not self.stitching and name in _OUT_OF_NONE:
            self.done += [(name, self.taken, colour or self.colour)] * n
        super().count(colour, name, n)


def one_by_one(text: str, needle: Needle, size: int, sizes: int = 1) -> tuple[Did, ...]:
    """What a line of one row, or a part of one, does stitch after stitch, each with the stitches taken before it.

    Markers are passed over, wherever a part of a row slips them; ``hold`` puts stitches aside. Raises `NotationError`
    and `WorkError` as `part_of_round`.
    """
    line = parse_line(text, sizes)
    if line.doubts or len(line.parts) != 1 or not isinstance(line.parts[0], Rows):
        raise NotationError("is more than one row", 0)
    hand = _Noting(needle, PatternBook({}, 0, 1, frozenset()).work, "held")
    (ops, _), *more = segments(line, 0, size, ())
    if more:
        raise NotationError("is more than one row", 0)
    try:
        run(hand, _each(ops))
    except FitError as misfit:
        hand = _Noting(needle, hand.pattern, "held")
        if not _slips(ops) or not _fits(hand, _each(_without_slips(ops))):
            raise WorkError(misfit.sentence, line.column(misfit.at)) from None
    return tuple(hand.done)


def _each(ops: Sequence[Op]) -> tuple[Op, ...]:
    """Operations whose repeats are worked one by one, so that nothing is counted in bulk."""
    return tuple(
        replace(op, body=_each(op.body), sum=replace(op.sum, plain=False)) if isinstance(op, Loop) else op for op in ops
    )
