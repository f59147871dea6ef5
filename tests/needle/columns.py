"""Columns of terse garments at random: their lines, each with its stitches, which are worked out here by sums alone."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

Sizes = tuple[int, ...]
STYLES: tuple[tuple[str, str, str], ...] = (
    (" (", ", ", ")"), (" (", ": ", ")"), (" [", ", ", "]"), ("[", ":", "]"), (" (", "-", ")"), ("-", "-", ""),
    ("/", "/", ""), ("(", ",", ")"), (" [", "-", "]"), (":", ":", ""), (" (", "/", ")"),
)  # fmt: skip
"""What stands between the first size and the others, between these, and behind them."""
SHORT = ("sts", "rem", "beg", "foll", "alt", "patt", "inc", "dec", "tog")
"""Words that some print with a full stop."""
NEEDLES = ("3¼ mm", "3.25mm", "size 3 (3.25 mm)")
CAST_ON = (
    "Using {mm} needles cast on {n} sts.", "With {mm} needles and M, cast on {n} sts.",
    "Cast on {n} sts with {mm} needles.", "Using {mm} needles and thumb method cast on {n} sts.",
)  # fmt: skip
RIB = ("Work in k1, p1 rib for {l}", "Work {l} in k2, p2 rib", "Rib {l}", "Cont in rib for {l}", "Work {l} rib")
LENGTHS = ("6 cm", "5 cm (2 in)", "2½ in", "14 rows", "7cm")
INCREASED = (
    ", inc {k} sts evenly across last row.", ", increasing {k} sts evenly over last row.",
    ". Inc row: Rib, inc {k} sts evenly to end.", ". Next row: P, inc {k} sts evenly across row.",
)  # fmt: skip
WRONG_SIDE = (
    "ending with a WS row", "ending after a p row", "ending with RS facing for next row", "finishing after a WS row"
)  # fmt: skip
STRAIGHT = (
    "Change to 4 mm needles and cont in st st until work measures {l} cm from beg, {ws}.",
    "Beg with a k row cont in st st until back measures {l} in, {ws}.", "Work {r} rows straight.",
    "Work {r} rows more in patt as set.", "Work in patt from chart.", "Work in patt as set.",
    "Cont in patt from chart until work measures {l} cm, {ws}.", "Keeping patt correct, work {r} rows.",
    "Work 1st to 16th rows from chart.", "Work rows 1 to 20 of chart.", "Work {r} rows foll chart A.",
    "Place chart: work rows 1-24 from chart.",
    "Work 14 rows from chart A, then cont in st st until work measures {l} cm.",
    "Now work in fair isle patt from chart, reading k rows from right to left, until 22 rows are complete.",
)  # fmt: skip
HELD = (
    "Leave rem {s} sts on a holder.", "Cast off.", "Cast off rem {s} sts.", "Slip rem sts on to a stitch holder.",
    "Break yarn and leave rem {s} sts on a holder.", "Leave sts on a length of yarn.", "P 1 row. Cast off.",
    "Slip these {s} sts onto a holder and leave.",
)  # fmt: skip
SLANTS = (
    "K2, k2tog, k to last 4 sts, k2tog tbl, k2.", "K1, skpo, k to last 3 sts, k2tog, k1.",
    "K2, sl 1, k1, psso, k to last 4 sts, k2tog, k2.",
)  # fmt: skip
ALIKE = (
    "complete to match first side", "complete as first side", "finish to correspond with first side",
    "complete as for first side, reversing shapings", "work to match first side of neck, reversing all shaping",
)  # fmt: skip
REJOINED = (
    "With RS facing, rejoin yarn to rem sts", "Rejoin yarn to rem sts at neck edge",
    "Return to rem sts. With RS facing rejoin yarn",
)  # fmt: skip
PARTED = (
    "K {s}, turn and leave rem sts on a holder.", "Patt {s}, turn and work on these sts only.",
    "K {s} sts, turn and complete this side first.", "K {s}, slip next {c} sts on a holder, leave rem sts on a spare "
    "needle, turn.", "K {s}, cast off {c} sts, k to end and work on this last set of sts.",
)  # fmt: skip
FETCHED = (
    "Slip centre {c} sts on a holder, rejoin yarn to rem sts, k to end.",
    "With RS facing, leave centre {c} sts on a holder, rejoin yarn to rem sts and patt to end.",
)  # fmt: skip
LININGS = (
    "and in their place k across sts of one pocket lining", "in place of these k across sts of one pocket lining",
    "k across {w} sts of pocket lining", "patt across sts of pocket lining",
)  # fmt: skip
GAPS = (
    "Rib to end, casting on {x} sts over those cast off.", "K, casting on {x} sts over those cast off on previous row.",
    "K to end, casting on {x} sts over each buttonhole.",
    "Rib across, casting on {x} sts in place of those cast off in previous row.",
)  # fmt: skip


class Column:
    """A piece as print has it in one column; `lines` are its texts with the stitches after each."""

    def __init__(self, seed: int) -> None:
        self.draw = random.Random(seed)
        self.sizes = self.draw.choice((1, 1, 2, 3, 3, 4, 5))
        self.style = self.draw.choice(STYLES)
        self.stops = self.draw.random() < 0.25
        self.told = self.draw.choice((0, 0.3, 0.7))
        self.lines: list[tuple[str, Sizes]] = []
        self.now: Sizes = self.none

    @property
    def none(self) -> Sizes:
        """No stitch in any size."""
        return (0,) * self.sizes

    def any(self, low: int, high: int, step: int = 1) -> Sizes:
        """A number that grows from size to size, or stays."""
        found = [self.draw.randrange(low, high)]
        while len(found) < self.sizes:
            found.append(found[-1] + step * self.draw.choice((0, 1, 1, 2)))
        return tuple(found)

    def print(self, numbers: Sizes) -> str:
        """The numbers of all sizes in the style of this column, or one that holds for all."""
        between, apart, end = self.style
        same = len({*numbers}) == 1
        return str(numbers[0]) if same else f"{numbers[0]}{between}{apart.join(map(str, numbers[1:]))}{end}"

    def less(self, *numbers: Sizes) -> Sizes:
        """The stitches on the needle but so many."""
        return tuple(now - sum(each[size] for each in numbers) for size, now in enumerate(self.now))

    def say(self, words: str | tuple[str, ...], after: Sizes, begin: tuple[str, ...] = ("",), **numbers: Sizes) -> None:
        """One line, drawn from several, with what it leaves on the needle, and perhaps its count behind it."""
        one = words if isinstance(words, str) else self.draw.choice(words)
        text = self.draw.choice(begin) + one
        for name, value in numbers.items():
            text = text.replace(f"{{{name}}}", self.print(value))
        text = text.replace("{mm}", self.draw.choice(NEEDLES)).replace("{ws}", self.draw.choice(WRONG_SIDE))
        if self.stops:
            text = re.sub(rf"\b({'|'.join(SHORT)})\b(?!\.)", r"\1.", text)
        if all(after) and self.draw.random() < self.told:
            text += self.draw.choice((" {} sts.", " ({} sts)", " - {} sts.")).format(self.print(after))
        self.lines.append((text, after))
        self.now = after

    # the parts of a piece
    def begun(self, low: int, high: int) -> None:
        """Cast on, ribbed, and a few stitches more."""
        cast = tuple(2 * each for each in self.any(low, high))
        self.say(CAST_ON, cast, n=cast)
        rib = self.draw.choice(RIB).replace("{l}", self.draw.choice(LENGTHS))
        more = self.any(2, 8, 2)
        if self.draw.random() < 0.6:
            self.say(rib + self.draw.choice(INCREASED), tuple(map(sum, zip(cast, more, strict=True))), k=more)
        else:
            self.say(rib + ", {ws}.", cast)

    def straight(self) -> None:
        """So far without shaping."""
        self.say(STRAIGHT, self.now, l=self.any(20, 40), r=tuple(2 * each for each in self.any(8, 20)))

    def ended(self) -> None:
        """What is left is put aside or bound off."""
        self.say(HELD, self.none, s=self.now)

    def armholes(self) -> None:
        """Stitches bound off at both edges, then decreases in several rhythms."""
        off, once, later = self.any(3, 9), self.any(2, 6), self.any(2, 5)
        begin = ("Shape armholes: ", "Shape armholes. ", "ARMHOLES: ", "")
        self.say("Cast off {a} sts at beg of next 2 rows.", self.less(off, off), begin, a=off)
        each = self.draw.choice(("at each end of", "each end of", "at both ends of", "each side on"))
        first, last = self.less(once, once), self.less(once, once, later, later)
        if self.draw.random() < 0.5:
            self.say(f"Dec 1 st {each} next {{b}} rows, then on foll {{c}} alt rows.", last, b=once, c=later)
        else:
            rows = f"Dec 1 st {each} every row until {{f}} sts rem, then on every alt row until {{g}} sts rem."
            self.say(rows, last, f=first, g=last)

    def raglan(self) -> None:
        """Two decreases in every other row, to a count."""
        goal = tuple(20 + now % 2 + 2 * size for size, now in enumerate(self.now))
        two = self.less((2,) * self.sizes)
        self.say(SLANTS, two, ("Shape raglans. 1st row: ", "1st row: "))
        self.say(("2nd row: P.", "2nd row: Purl."), two)
        if self.draw.random() < 0.5:
            self.say("Rep 1st and 2nd rows until {g} sts rem. Cast off.", self.none, g=goal)
            return
        self.say(("Rep last 2 rows until {g} sts rem, ending with a p row.", "Rep these 2 rows until {g} sts rem."),
                 goal, g=goal)  # fmt: skip
        self.ended()

    def shoulders(self) -> None:
        """Bound off in steps at both edges; the neck waits."""
        step = tuple(now // 9 for now in self.now)
        rest = self.less(*[step] * 6)
        self.say("Cast off {a} sts at beg of next 4 rows, then {a} sts at beg of foll 2 rows.", rest,
                 ("Shape shoulders: ", "Shape shoulders. "), a=step)  # fmt: skip
        self.ended()

    def shoulder(self) -> None:
        """One shoulder, all in a line."""
        third = tuple(now // 3 for now in self.now)
        left = self.less(third, third)
        self.say(("Cast off {a} sts at beg of next and foll alt row. Work 1 row. Cast off rem {b} sts.", "Cast off.",
                  "Cast off {a} sts at beg of next and foll alt row. Work 1 row. Cast off rem sts."),
                 self.none, ("Shape shoulder: ", "Shape shoulder. "), a=third, b=left)  # fmt: skip

    def neck(self) -> None:
        """The work parted: one side, then the other."""
        centre = tuple(each + (now - each) % 2 for each, now in zip(self.any(9, 15), self.now, strict=True))
        side = tuple((now - each) // 2 for now, each in zip(self.now, centre, strict=True))
        how = self.draw.choice(PARTED)
        self.say(how, side, ("Shape neck. Next row: ", "Divide for neck: Next row: "), s=side, c=centre)
        few = self.any(2, 4)
        self.say(("Dec 1 st at neck edge on next {a} rows.", "Dec 1 st at neck edge of every row until {b} sts rem."),
                 self.less(few), a=few, b=self.less(few))  # fmt: skip
        self.say(("Work 6 rows straight.", "Cont straight until work matches back to shoulder."), self.now)
        self.shoulder()
        alike = self.draw.choice(ALIKE)
        if "{c}" in how:
            self.say(f"{self.draw.choice(REJOINED)} and {alike}.", self.none)
            return
        self.say(FETCHED, side, c=centre)
        self.say(alike.capitalize() + ".", self.none)

    def pocket(self) -> None:
        """Stitches put aside, and those of a lining in their place."""
        width, first = self.any(19, 25), tuple(now // 4 for now in self.now)
        rest = self.less(width, first)
        self.say(f"K {{a}}, slip next {{w}} sts on a holder, {self.draw.choice(LININGS)}, k {{r}}.", self.now,
                 ("Place pocket: Next row: ", "Place pockets. Next row: "), a=first, w=width, r=rest)  # fmt: skip

    # whole pieces
    def back(self) -> None:
        """A back with armholes or raglans."""
        self.begun(45, 65)
        self.straight()
        if self.draw.random() < 0.4:
            self.pocket()
        if self.draw.random() < 0.4:
            self.raglan()
            return
        self.armholes()
        self.straight()
        self.shoulders()

    def front(self) -> None:
        """A front parted at its neck."""
        self.begun(45, 65)
        self.straight()
        self.armholes()
        self.neck()

    def sleeve(self) -> None:
        """A sleeve increased to a count and bound off."""
        self.begun(18, 24)
        goal = tuple(now + 2 * each for now, each in zip(self.now, self.any(8, 14), strict=True))
        rows = self.draw.choice(("5th and every foll 6th row", "every foll 6th row", "next and every foll 8th row"))
        words = (
            f"Cont in st st, inc 1 st at each end of {rows} until there are {{g}} sts.",
            f"Work in patt, shaping sides by inc 1 st each end of {rows} to {{g}} sts.",
        )
        self.say(words, goal, g=goal)
        self.straight()
        self.raglan() if self.draw.random() < 0.5 else self.ended()

    def neckband(self) -> None:
        """Stitches picked up, and those that wait."""
        left, front, right, back = self.any(10, 20), self.any(15, 20), self.any(10, 20), self.any(20, 30)
        total = tuple(map(sum, zip(left, front, right, back, strict=True)))
        words = (
            "pick up and k {a} sts down left side of neck, k {b} sts from front neck holder, pick up and k {c} sts up "
            "right side of neck, k across {d} sts of back neck.",
            "k up {a} sts along left side of front neck, k the {b} sts left on holder at front, {c} sts up right front "
            "neck, and k the {d} sts of back neck.",
        )
        self.say(words, total, ("With RS facing and 3¼ mm needles, ", "NECKBAND. Join right shoulder seam. With RS "
                 "facing, "), a=left, b=front, c=right, d=back)  # fmt: skip
        self.say(("Work 7 rows in g st, then cast off loosely.", "Rib 8 rows. Cast off in rib."), self.none)

    def band(self) -> None:
        """A front band with buttonholes over two rows."""
        holes, x = self.draw.choice((4, 5, 6)), self.draw.choice((2, 3))
        gap = self.any(9, 16)
        picked = tuple(4 + (holes + 1) * x + holes * each + 5 for each in gap)
        self.say("With RS facing, pick up and k {n} sts evenly along right front edge.", picked, n=picked)
        self.say("Rib 3 rows.", picked)
        row = f"Rib 4, *cast off {x}, rib {{g}}; rep from * {holes - 1} times more, cast off {x}, rib to end."
        left = self.less((x * (holes + 1),) * self.sizes)
        self.say(row, left, ("Next row (buttonholes): ", "Next row: "), g=gap)
        self.say(GAPS, picked, x=(x,) * self.sizes)
        self.say("Cast off in rib.", self.none)


PIECES: tuple[Callable[[Column], None], ...] = (
    Column.back, Column.front, Column.sleeve, Column.neckband, Column.band, Column.front,
)  # fmt: skip


def column(seed: int) -> Column:
    """The column of a seed: one of the pieces, the same one each time."""
    drawn = Column(seed)
    PIECES[seed % len(PIECES)](drawn)
    return drawn
