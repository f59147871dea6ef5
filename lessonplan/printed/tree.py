"""The parsed form of one printed instruction line.

Every node keeps `at`, its 0-based place in the text as written. A `Num` holds one number for all sizes or one for each.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from lessonplan.printed.heading import Label, Num

_APART = re.compile(r"(?:[.;:!?)=\u2013\u2014]|\s[-(\[{])\s*$")
_CHANGED = re.compile(r"\b(?:dec|inc)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Times:
    """`6 times`, `twice`, `5 times more`; `more` is None where the print leaves open whether it says "more"."""

    count: Num
    more: bool | None
    at: int


@dataclass(frozen=True, slots=True)
class To:
    """Where a fill stops.

    `place`: "end", "marker", "needle" (the end of the needle in work), "gap", "wrap", "ds" (all minus `short`
    stitches), "markers" (a repeat at each marker), "centre" (before the `short` stitches in the middle), "over"
    (`short` stitches from here), "rest" (up to what the following steps of the line need), "last" (the same, but they
    take the place of the last step of the last repeat), "right" (with `short` on the right needle), "since" (the same,
    from the last gap on), "space" (the next space of crochet, minus `short`), "share" (the next of `short` equal
    parts) or "unsaid" (to the next marker, or the end). `which` is a marker's name, its number, or "last"; "numbered"
    for a needle that has a number, "half" for half of a round.
    """

    place: str
    short: Num
    which: str
    at: int


Quantity = Times | To


@dataclass(frozen=True, slots=True)
class Stitch:
    """A technique worked `count` times; `bare` if no number was printed; `more` if "k5 more" or "k next 5"."""

    name: str
    count: Num
    at: int
    bare: bool = False
    more: bool = False
    colour: str | None = None
    chains: bool = False  # they are skipped: those of a space, if there are such below


@dataclass(frozen=True, slots=True)
class Repeat:
    """Steps worked again and again; without a quantity they are worked once.

    `kind` tells how it was printed: "star" (from an asterisk), "pair" (between two, with nothing said after them),
    "group" (in brackets), "line" (the whole line before the word repeat), "once" (as often as it says, no more) or "".
    """

    body: tuple[Step, ...]
    quantity: Quantity | None
    at: int
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Into:
    """Steps all worked into each of some stitches of the row below.

    `place`: "next" (the next `count` stitches, or all of `to`), "same" (a stitch already worked into), "base" (the
    first one, where the turning chain stands), "second" (the one after it), "edge" (the top of the turning chain of the
    row below), "new" (a ring or chain that is not counted; no `body`: all that follows goes there; `count` 0: only if
    nothing is on the hook), "space" (the next chain space; `count` 0: every one, -1: the same as before; no `body`: it
    is passed), "both" (every stitch and every space), "links" (`count` chains of a space, or (0) every stitch and every
    such chain), "elsewhere" (stitches of a piece that is joined), "side" (another edge), "rows" (row ends), "below" (in
    an earlier row), "skip" (the first `count` chains are left, then one stitch, or all of `to`).
    `chains`: of a space of so many (of "base": if there is one); -1: or of none between two groups, -2: or beside one.
    """

    body: tuple[Stitch, ...]
    place: str
    count: Num
    to: To | None
    at: int
    chains: Num = ()


@dataclass(frozen=True, slots=True)
class Opposite:
    """The foundation chain has been worked along; what follows goes into its other side."""

    at: int


@dataclass(frozen=True, slots=True)
class Mark:
    """A marker placed, slipped or removed: `action` pm, sm or rm; the name "somewhere" is one of a place not told."""

    action: str
    name: str
    at: int


@dataclass(frozen=True, slots=True)
class Turn:
    """The work is turned, with a wrap round the next stitch or without; `left`: stitches that print says it leaves."""

    wrap: bool
    at: int
    left: Num = ()


@dataclass(frozen=True, slots=True)
class BindOff:
    """`count` stitches bound off, or (None) all left (print says `rest`); `method` is a technique (BO, 3nBO, graft).

    `worked`: the stitch worked just before is one of them; where all are bound off, each worked before in the row.
    """

    count: Num | None
    method: str
    at: int
    worked: bool = False
    rest: Num = ()


@dataclass(frozen=True, slots=True)
class CastOn:
    """Stitches cast on; `short` if printed as CO, which some British books use for casting off.

    `each`: so many over every gap that the row before left.
    """

    count: Num
    short: bool
    at: int
    each: bool = False


@dataclass(frozen=True, slots=True)
class PickUp:
    """Stitches picked up (and knitted) along an edge."""

    count: Num
    at: int


@dataclass(frozen=True, slots=True)
class CableNeedle:
    """`count` stitches put on the cable needle, or (`off`) about to be worked from it."""

    count: Num
    off: bool
    at: int


@dataclass(frozen=True, slots=True)
class Hold:
    """Stitches moved to waste yarn or a holder: the next `count`, the last worked ones, or (None) all left.

    `keep`: the next `count` stay on the needle, and all others are moved; they only `wait` where these are worked back
    and forth, until a round is worked again. `rest`: how many print says are left for it, if it does.
    """

    count: Num | None
    last: bool
    at: int
    keep: bool = False
    wait: bool = False
    rest: Num = ()


@dataclass(frozen=True, slots=True)
class Return:
    """Held stitches put back on the needle, ready to be worked: `count`, or (None) all of the newest holder."""

    count: Num | None
    name: str
    at: int


@dataclass(frozen=True, slots=True)
class Join:
    """The work is joined in the round."""

    at: int


@dataclass(frozen=True, slots=True)
class Colour:
    """From here on this yarn is used."""

    name: str
    at: int


@dataclass(frozen=True, slots=True)
class Even:
    """Work even or in pattern over `to`; `pattern` is a name, "" for the pattern as established."""

    pattern: str
    to: To
    at: int


Step = (
    Stitch
    | Repeat
    | Into
    | Opposite
    | Mark
    | Turn
    | BindOff
    | CastOn
    | PickUp
    | CableNeedle
    | Hold
    | Return
    | Join
    | Colour
    | Even
)


@dataclass(frozen=True, slots=True)
class Rows:
    """Steps that make one round or row, worked `times` times; `measured` if the print gives a length instead.

    `spread`: the steps are those of a shaping spread over a row of as many stitches as there were. `upto`: as often as
    there are so many rows `since`, as in `Again`.
    """

    steps: tuple[Step, ...]
    times: Num
    at: int
    measured: bool = False
    spread: Shape | None = None
    upto: Num | None = None
    since: str = ""


@dataclass(frozen=True, slots=True)
class Spell:
    """One stretch of "every other round 5 times, then every round": one shaping row in every `every` rows.

    `first`: plain rows before the first shaping row ("5th and every following 6th"), None where print leaves it open.
    `each`: the rows are worked one after the other ("next 4 rows"). `until`: stitches to come to.
    """

    every: Num
    times: Times | None
    until: Num | None
    at: int
    first: Num | None = None


@dataclass(frozen=True, slots=True)
class Again:
    """A repeat of whole rounds.

    `which`: "numbers" (`first` to `last`), "last" (`first` rounds back), "named" (`name`), "all", "shaping" (the newest
    shaping rows, going on in the same manner), "same" (likewise if that is the newest row, else "last"), "side" (the
    newest row of that side), "star" (all since the asterisk), "newest" (the newest shaping row and those after it).
    `until` counts stitches, by `per`: "" on the needle, "needle" on each needle, "markers" between markers, "turns"
    between the last two turns, "gap" for as long as there are stitches beyond a turn. `step`: plain stitches more (or
    fewer) each time; `apart`: so many in place of those between two shapings. `total` counts every round so far with
    those repeated ones, or those `since` the row of that name ("start": all of the piece; "here": none before).
    `between`: "inc" or "dec", just inside two markers where rows shape.
    """

    which: str
    first: Num
    last: Num
    name: str
    times: Times | None
    until: Num | None
    at: int
    spells: tuple[Spell, ...] = ()
    total: Num | None = None
    measured: bool = False
    per: str = ""
    step: int = 0
    apart: Num | None = None
    between: str = ""
    since: str = ""


@dataclass(frozen=True, slots=True)
class Shape:
    """`count` stitches bound off, cast on, decreased or increased at the beginning, the end or each end of rows.

    `where`: "start", "end", "each", "evenly" (spread over the row), "markers" (before and after each) or "a marker".
    `meanwhile`: in the same rows as the shapings before it in the line. `measured`: how many rows lie between two of
    them depends on the gauge. `pattern`: what the rows are worked in ("" the pattern as established).
    """

    action: str
    count: Num
    where: str
    spells: tuple[Spell, ...]
    at: int
    meanwhile: bool = False
    measured: bool = False
    pattern: str = ""


@dataclass(frozen=True, slots=True)
class Charted:
    """Rows `first` to `last` (0: all) of a chart or stitch pattern called `name`, each over the whole row.

    `times` in all (None: once), or `rows` of them in turn, or for a length (`measured`).
    """

    name: str
    first: int
    last: int
    at: int
    times: Times | None = None
    rows: Num | None = None
    measured: bool = False


@dataclass(frozen=True, slots=True)
class Alike:
    """`Complete to match the first side`: the side begun last is worked like the one before it."""

    at: int


Part = Rows | Again | Shape | Charted | Alike


@dataclass(frozen=True, slots=True)
class Doubt:
    """A word passed over and where it stands.

    `level` 0: a word of plain English within a clause, a remark; 1: one that begins a clause, hardly more; 2: it could
    be a stitch, so that the count must bear the reading out; 3: a number or a word that says how often or how far,
    which only a printed count can bear out; 4: what looks like that count, a stitch or its number: nothing does.
    """

    word: str
    at: int
    level: int


@dataclass(frozen=True, slots=True)
class Line:
    """One reading of an instruction line; `others` are its dearer ones, cheapest first.

    `printed` are the stitch counts printed after it, `change` printed increases (or decreases, negative), `per` tells
    whether `printed` counts each "needle"; `chain` tells whether a turning chain "counts" as a stitch, does "not", is
    only said to be "joined" or worked into at its top, or is left open (""), `top` into which of its chains the round
    is joined, or 0. `tally` lists what is counted behind it by kind (a stitch's name, "st", "space" or "group"), where
    several are; `inside` are the stitches of a part of the row, `part` which ("markers": between two); `doubts` are
    words passed over.
    """

    text: str
    sizes: int
    label: Label
    parts: tuple[Part, ...]
    printed: Num = ()
    change: Num = ()
    crochet: bool = False
    printed_column: int = 0
    chain: str = ""
    top: int = 0
    per: str = ""
    tally: tuple[tuple[str, Num], ...] = ()
    inside: Num = ()
    part: str = ""
    cost: float = 0.0
    doubts: tuple[Doubt, ...] = ()
    others: tuple[Line, ...] = ()

    def __hash__(self) -> int:
        return hash((self.text, self.cost, len(self.parts)))

    @property
    def told(self) -> str:
        """The text without the stitch counts printed behind it, which are true of the first time it is worked."""
        start, behind = self.text[: max(0, self.printed_column - 1)], self.text[max(0, self.printed_column - 1) :]
        apart = _APART.search(start) and not _CHANGED.search(behind)
        return start.rstrip(" ([{-–—=,;") if apart else self.text

    def column(self, at: int) -> int:
        """1-based column, in the text as written, of a place in it."""
        return min(max(at, 0), max(0, len(self.text) - 1)) + 1
