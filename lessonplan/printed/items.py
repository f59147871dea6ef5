"""What a rule can give that is no step of a row: how often rows are worked, counts, and what is said of needles."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.printed.heading import Num

EACH = (0,)
"""Number of the needle in `each needle: ...`."""
HOLDER = "a holder"
"""Where stitches come from that are worked from there at once."""


@dataclass(frozen=True, slots=True)
class RowCount:
    """A clause that says how often the row before it is worked (`count` None: as long as a length takes)."""

    count: Num | None
    at: int
    said: bool = True
    """Whether a number is printed, so that the clause alone makes rows: `work 1 row even`, not `next row`."""
    pattern: str = ""
    """The stitch pattern named in it: `12 rounds in k2, p2 rib`."""
    upto: Num | None = None
    """How many rows there are to be in the end: `until 60 rows have been worked`; `since`, as in `Again`."""
    since: str = ""


@dataclass(frozen=True, slots=True)
class Counted:
    """Stitches printed after a line, or (`change`) how many more or fewer; `per` and `tally` as in `Line`.

    With `per` "markers" or "thumb" they are those of a part of the row alone.
    """

    num: Num
    at: int
    change: int = 0
    per: str = ""
    tally: tuple[tuple[str, Num], ...] = ()


@dataclass(frozen=True, slots=True)
class AtNeedle:
    """Said after steps: they are worked at the beginning of this needle; or (`section`) before them: on these "
    "needles."""

    needles: tuple[int, ...]
    at: int
    section: bool = False


@dataclass(frozen=True, slots=True)
class AsNeedle:
    """Said for a needle: `Needle 2: as Needle 1`; or (0) of all that stands before, `repeat on second needle`.

    `others`: further ones, `Needles 3 and 4: as Needles 1 and 2`.
    """

    needle: int
    at: int
    others: tuple[int, ...] = ()
