"""What a hand is told to do in one row, one operation after another, and what a stretch of it takes and makes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from lessonplan.printed import tree

Reading = tuple[tuple[str, str], ...]
"""Chosen meanings of what is ambiguous: pairs of subject (such as "times") and choice (such as "more")."""
Counts = Mapping[tuple[str, str], int]
"""How many of each technique, by (yarn, canonical name); yarn "" is the one in use."""
MOST_TURNED = 100_000
"""Operations of a repeat with turns in it, written out; a longer one is no real row."""


@dataclass(frozen=True, slots=True)
class Work:
    """One technique `n` times, each taking `takes` stitches of the row below and making `makes`.

    `parts` are the techniques that one of these is counted as (empty: the one named).
    """

    name: str
    n: int
    takes: int
    makes: int
    at: int
    colour: str = ""
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stop:
    """`To` for one size."""

    place: str
    short: int
    which: str
    at: int


@dataclass(frozen=True, slots=True)
class Sum:
    """What a stretch takes and makes in all: `fixed` if that is known beforehand, `plain` if it can be multiplied."""

    takes: int = 0
    makes: int = 0
    counts: Counts = field(default_factory=dict)
    fixed: bool = True
    plain: bool = True


@dataclass(frozen=True, slots=True)
class Loop:
    """A body worked `n` times, or up to a place (`to`)."""

    body: tuple[Op, ...]
    n: int
    to: Stop | None
    at: int
    sum: Sum


@dataclass(frozen=True, slots=True)
class Pattern:
    """A named pattern, or the established one (""), worked up to a place."""

    name: str
    to: Stop
    at: int


@dataclass(frozen=True, slots=True)
class Section:
    """Steps worked over one needle, to its end; `of` needles with as many stitches each (0: that is not known)."""

    body: tuple[Op, ...]
    at: int
    of: int = 0


@dataclass(frozen=True, slots=True)
class Ring:
    """A round worked into a ring or a chain, which is no stitch; `empty`: only where nothing is on the hook."""

    at: int
    empty: bool = False


@dataclass(frozen=True, slots=True)
class Space:
    """What follows goes into a space between stitches (`n` 0: no matter which); those of the row below are passed.

    `chains`: of so many chains, if others are there too (0: any). `passed`: nothing goes into it.
    """

    n: int
    at: int
    chains: int = 0
    passed: bool = False


@dataclass(frozen=True, slots=True)
class Mingle:
    """From here on the spaces of the row below are counted as places like its stitches."""

    at: int


@dataclass(frozen=True, slots=True)
class Groups:
    """From here on gaps between groups of stitches are spaces too; `beside`: and those beside single stitches."""

    beside: bool
    at: int


@dataclass(frozen=True, slots=True)
class Links:
    """`work` into chains of the row below, one by one: `n` of them, or (0) every one."""

    n: int
    work: Work
    at: int


@dataclass(frozen=True, slots=True)
class Edge:
    """`work` into the top of the turning chain of the row below, which is its last stitch."""

    work: Work
    at: int


@dataclass(frozen=True, slots=True)
class Lead:
    """`n` stitches passed with slip stitches before a row begins: left behind in rows, walked to in rounds.

    `stays`: no chain leads on from there, so that in rounds they are stitches like others. `missed`: they are passed
    without a stitch, since yarn is joined behind them.
    """

    n: int
    at: int
    stays: bool = False
    missed: bool = False


@dataclass(frozen=True, slots=True)
class Chain:
    """Chains at the edge of a row: the foundation, or a turning chain, which may stand on the first stitch.

    `space`: how many of them make a space beside that stitch; `ring`: they begin a round into a ring;
    `before`: they were made at the end of the row before, and their stitch is skipped; `more`: they are worked into, so
    that the row becomes longer; `inside`: the row begins in a space, where they stand.
    """

    n: int
    counts: bool
    at: int
    space: int = 0
    ring: bool = False
    before: bool = False
    more: bool = False
    inside: bool = False


@dataclass(frozen=True, slots=True)
class Skip:
    """Chains of the foundation left without a stitch; `counts`: they stand for the first, and `space` for a space."""

    n: int
    at: int
    counts: bool = False
    space: int = 0


Move = (
    Ring | Space | Mingle | Groups | Links | Edge | Lead | Chain | Skip | tree.Opposite
    | tree.Mark | tree.BindOff | tree.CastOn | tree.PickUp | tree.CableNeedle | tree.Hold | tree.Return | tree.Join
    | tree.Colour | tree.Turn
)  # fmt: skip
Op = Work | Loop | Pattern | Section | Move


GROUPED = ("hdc", "dc", "tr")
"""Stitches of which several in one place are a group, with a gap beside it into which others may go."""


def spaces(ops: Sequence[Op]) -> int:
    """Spaces that a stretch of operations works into, where that is known beforehand."""
    found = 0
    for op in ops:
        if isinstance(op, Space):
            found += op.n
        elif isinstance(op, Loop) and op.to is None:
            found += op.n * spaces(op.body)
    return found


def total(ops: Sequence[Op]) -> Sum:
    """What a stretch of operations takes and makes in all."""
    takes = makes = 0
    counts: dict[tuple[str, str], int] = {}
    fixed = plain = True
    for op in ops:
        match op:
            case Work():
                takes += op.takes * op.n
                makes += op.makes * op.n
                for name in op.parts or (op.name,):
                    counts[op.colour, name] = counts.get((op.colour, name), 0) + op.n
                    plain = plain and name != "ch"
                plain = plain and not (op.parts[1:] and op.parts[0] in GROUPED)
            case Loop(to=None):
                takes += op.sum.takes * op.n
                makes += op.sum.makes * op.n
                for key, count in op.sum.counts.items():
                    counts[key] = counts.get(key, 0) + count * op.n
                fixed, plain = fixed and op.sum.fixed, plain and op.sum.plain
            case Loop() | Pattern() if op.to is not None and op.to.place == "over":
                takes += op.to.short
                inside = op.sum if isinstance(op, Loop) else Sum(1, 1)
                makes += op.to.short // inside.takes * inside.makes if inside.takes else 0
                plain = False
            case Loop() | Pattern() | Section():
                fixed = plain = False
            case _:
                taken, made = _of_move(op)
                takes, makes, plain = takes + taken, makes + made, False
                fixed = fixed and taken >= 0
    return Sum(takes=takes, makes=makes, counts=counts, fixed=fixed, plain=plain)


def _of_move(op: Move) -> tuple[int, int]:
    """Stitches that a move takes and makes; -1 where the needle tells."""
    match op:
        case tree.BindOff() | tree.Hold():
            return (-1 if op.count is None or op.count[0] < 0 else op.count[0]), 0
        case tree.CastOn(each=True):
            return -1, 0
        case tree.Return():
            return -1 if op.count is None else 0, 0
        case tree.CastOn() | tree.PickUp():
            return 0, op.count[0]
        case Skip():
            return op.n, int(op.counts)
        case Links():
            return op.n * op.work.takes, op.n * op.work.makes
        case Edge():
            return op.work.takes, op.work.makes
        case Chain():
            return int(op.counts or op.before), int(op.counts)
    return 0, 0
