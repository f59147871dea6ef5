"""Named stitch patterns ("k2, p2 rib", or defined in the pattern file) and "work even", worked row after row."""

from __future__ import annotations

import difflib
import itertools
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache

from lessonplan.needle.ready.planner import plan
from lessonplan.needle.stitch.hand import Hand
from lessonplan.needle.stitch.live import FitError, stitches
from lessonplan.needle.stitch.operations import Work
from lessonplan.needle.stitch.row import run
from lessonplan.printed.line import NotationError, parse_line
from lessonplan.printed.tree import Again, Line, Rows

_RIB = re.compile(
    r"(?:rib(?:bing)?(?:of)?)?k(?:nit)?(\d+)(?:/|x|and)?p(?:url)?(\d+)(?:(?:twisted)?rib(?:bing)?)?|(?:rib(?:bing)?)?(\d+)[x/](\d+)(?:rib(?:bing)?)?"
)
_COLOURED = re.compile(r"colou?r|stripe|fairisle|jacquard|stranded")
"""Patterns of colours alone, in stockinette (common practice)."""
_SWAP = {"k": "p", "p": "k", "k1 tbl": "p1 tbl", "p1 tbl": "k1 tbl"}
_EVEN_STITCHES = frozenset({*_SWAP, "sl", "sc", "hdc", "dc", "tr"})


def pattern_key(name: str) -> str:
    """A pattern's name without case, spaces, punctuation and the words pattern and stitch."""
    return re.sub(r"[^\w/]|_|\b(?:pattern|patt|stitch|sts|st|the)\b", "", re.sub(r"\breversed?\b", "rev", name.lower()))


Cells = tuple[tuple[str, int], ...]


@lru_cache(maxsize=256)
def _built_in(key: str, flat: bool, row: int) -> tuple[Cells, bool]:
    """The (technique, stitches) repeat of a row of a common pattern as the right side shows it, () if unknown.

    The second value tells whether the wrong side is worked as its mirror image, knit for purl.
    """
    if match := _RIB.fullmatch(key):
        return (("k", int(match[1] or match[3])), ("p", int(match[2] or match[4]))), True
    if key in ("singlerib", "singleribbing", "twistedrib", "twistedribbing"):
        twisted = " tbl" if key.startswith("twisted") else ""
        return ((f"k1{twisted}" if twisted else "k", 1), ("p", 1)), True
    if key in ("doublerib", "doubleribbing"):
        return (("k", 2), ("p", 2)), True
    if key in ("stockinette", "stocking", "") or _COLOURED.search(key):
        return (("k", 1),), True
    if key in ("revstockinette", "revstocking", "rev"):
        return (("p", 1),), True
    if key in ("garter", "garterridges", "g", "garterridge"):
        return ((("k", 1),) if flat or row % 2 == 0 else (("p", 1),)), False
    if key in ("seed", "moss"):
        return ((("k", 1), ("p", 1)) if row % 2 == 0 or flat else (("p", 1), ("k", 1))), False
    return ((CROCHET[key], 1),) if key in CROCHET else (), False


_SHAPING = re.compile(r"dec|inc|shap|crown|toe|yoke|thumb|gusset|shawl|point|triang|top|edging", re.IGNORECASE)
"""Words in the name of a chart by which its rows may well shape."""
_WORK = re.compile(r"\d|\b(?:cast|bind|off|on|and|then|until|tog|rem|turn|all|k|p)\b", re.IGNORECASE)
"""Words that stand in no name of a pattern, so that more was taken for one."""
MOST_ROWS = 5_000
"""More rows than any chart has."""
CROCHET = {
    "singlecrochet": "sc",
    "doublecrochet": "dc",
    "halfdoublecrochet": "hdc",
    **{name: name for name in ("sc", "hdc", "dc", "tr")},
}
"""Crochet worked with one stitch throughout: `work even in sc`."""


def _mirrored(cells: Cells) -> Cells:
    return tuple((_SWAP[name], count) for name, count in reversed(cells))


class PatternBook:
    """The stitch patterns of a stage, and which row of each comes next."""

    def __init__(
        self,
        patterns: Mapping[str, Sequence[str]],
        size: int,
        sizes: int,
        colours: frozenset[str],
        terms: str = "us",
        *,
        charts: str = "",
    ) -> None:
        self.terms = terms
        self.charts = charts
        """Whether a chart that nobody wrote out is taken to leave the stitches as they are: see `work_lines`."""
        self.assumed: set[str] = set()
        """What was taken so in the line at work; copies of a run share it."""
        self.size = size
        self.sizes = sizes
        self.colours = colours
        self.names = {pattern_key(name): name for name in patterns}
        self.texts = {pattern_key(name): tuple(lines) for name, lines in patterns.items()}
        self.lines: dict[str, tuple[Rows, ...]] = {}
        self.rows: dict[str, int] = {}
        self.established = ""
        self.last: tuple[int, tuple[tuple[str, int], ...]] | None = None
        self._used: set[str] = set()

    def state(self) -> tuple[object, ...]:
        """What working changes, to be handed to `restore`."""
        return dict(self.rows), self.established, self.last

    def restore(self, state: tuple[object, ...]) -> None:
        """Back to an earlier `state`."""
        rows, self.established, self.last = state  # type: ignore[assignment]
        self.rows = dict(rows)  # type: ignore[call-overload]

    def row_done(self, before: int, after: int, counts: Mapping[str, int]) -> None:
        """A row is complete: patterns used in it go on to their next row, a plain one becomes the established one."""
        for key in self._used:
            self.rows[key] = self.rows.get(key, 0) + 1
        if not self._used and before == after and set(counts) <= _EVEN_STITCHES and sum(counts.values()) == after:
            self.last = (after, tuple(counts.items()))
            self.established = ""
        rib = _RIB.fullmatch(self.established) and self.established not in self.texts
        plain = [name for name in ("k", "p") if name in counts]
        if rib and not self._used and before != after and len(plain) == 1 and counts[plain[0]] > after // 2:
            # "K 1 round, inc 4 sts evenly" behind a rib ends it: what goes on is knitted.
            self.last, self.established = (after, ((plain[0], after),)), ""
        self._used = set()

    def begin(self) -> None:
        """A row is begun; patterns used by an earlier attempt at it are forgotten."""
        self._used = set()

    def work(self, hand: Hand, name: str, n: int, at: int) -> None:
        """The next row of a pattern over the next `n` stitches; raises `FitError` where it does not fit."""
        name, _, row = name.partition(", row ")
        key = self._known(name)
        if row:
            self.rows[key] = int(row) - 1
        if not name:
            if self._continue(hand, n, at):
                return
            named = [one for one in self.texts if "chart" not in one]  # colours or lace are not what “even” means
            key = self.established or (named[0] if len(named) == 1 else "stockinette")
        if key in self.texts:
            self._defined(hand, key, at)
        elif not self._common(hand, key, n, at):
            if not self._taken_even(name or key):
                raise FitError(self._unknown(name), at, "unread")
            self._common(hand, "stockinette", n, at)
        self.established = key
        self._used.add(key)

    def _taken_even(self, name: str) -> bool:
        """Whether the rows of a pattern that is only named are worked as plain ones: its name speaks of no shaping."""
        plain = "chart" in name or (not _WORK.search(name) and name.count(" ") < 4)
        if self.charts and plain and not _SHAPING.search(name):
            self.assumed.add(name)
            return True
        return False

    def _known(self, name: str) -> str:
        """The key of a pattern; "the chart" is the only chart there is."""
        key = pattern_key(name)
        all_charts = [each for each in self.texts if "chart" in each]
        return all_charts[0] if key not in self.texts and key in ("chart", "charts") and len(all_charts) == 1 else key

    def height(self, name: str, at: int) -> int:
        """How many rows a chart or pattern has; raises `FitError` where it is not written out."""
        key = self._known(name)
        if key not in self.texts:
            if self._taken_even(name):
                return MOST_ROWS
            raise FitError(self._unknown(name), at, "unread")
        return len(self._parsed(key, at))

    def _unknown(self, name: str) -> str:
        if "chart" in name:
            return f"the rows of “{name}” are not written out, so they cannot be counted"
        nearest = difflib.get_close_matches(pattern_key(name), self.names, n=1)
        hint = f"; did you mean “{self.names[nearest[0]]}”?" if nearest else ""
        return f"no stitch pattern called “{name}” is defined{hint}"

    def _continue(self, hand: Hand, n: int, at: int) -> bool:
        """The stitches as they present themselves, if the row before was a plain one of as many stitches."""
        if self.established or self.last is None or self.last[0] != n or n != hand.left:
            return False
        kinds = dict(self.last[1])
        if hand.flat and set(kinds) <= set(_SWAP):
            kinds = {_SWAP[name]: count for name, count in kinds.items()}
        for name, count in kinds.items():
            hand.work(Work(name=name, n=count, takes=1, makes=1, at=at))
        return True

    def _defined(self, hand: Hand, key: str, at: int) -> None:
        lines = self._parsed(key, at)
        row = lines[self.rows.get(key, 0) % len(lines)]
        try:
            done = -1
            while done < hand.taken < hand.limit or done < 0:  # a row of a chart is worked again and again to the end
                done = max(hand.taken, 0)
                run(hand, plan(row.steps, self.size, ()))
        except FitError as misfit:
            raise FitError(f"{self.names[key]}: {misfit.sentence}", at) from None
        if hand.taken != hand.limit:
            over = stitches(hand.limit - hand.taken)
            raise FitError(f"{self.names[key]}: its row leaves {over} unworked", at)

    def _parsed(self, key: str, at: int) -> tuple[Rows, ...]:
        if key not in self.lines:
            try:
                lines = [parse_line(text, self.sizes, self.colours, terms=self.terms) for text in self.texts[key]]
            except NotationError as error:
                raise FitError(f"{self.names[key]}: {error.sentence}", at) from None
            self.lines[key] = tuple(_in_order(lines))
        if not self.lines[key]:
            raise FitError(f"the stitch pattern “{self.names[key]}” has no rows", at)
        return self.lines[key]

    def _common(self, hand: Hand, key: str, n: int, at: int) -> bool:
        """The next row of a pattern that every knitter knows over `n` stitches; False if `key` is none."""
        cells, mirror = _built_in(key, hand.flat, self.rows.get(key, 0))
        if not cells:
            return False
        width = sum(count for _, count in cells)
        whole, rest = divmod(n, width)
        if rest and not hand.flat and n == hand.needle.stitches:
            raise FitError(f"needs a multiple of {width} stitches in the round, but there are {n}", at)
        part: list[tuple[str, int]] = []
        for name, count in cells:
            part += [(name, min(rest, count))] if rest else []
            rest -= min(rest, count)
        runs: Cells = (*((name, count * whole) for name, count in cells), *part)
        for name, count in _mirrored(runs) if mirror and hand.flat and hand.needle.side == "WS" else runs:
            if count:
                hand.work(Work(name=name, n=count, takes=1, makes=1, at=at))
        return True


def _in_order(lines: Sequence[Line]) -> list[Rows]:
    """The rows of a stitch pattern, `Rounds 5-8: as rounds 1-4` among them."""
    rows: list[Rows] = []
    for line in lines:
        again = line.parts[0] if len(line.parts) == 1 else None
        if isinstance(again, Again) and again.which == "numbers" and again.until is None:
            like = rows[again.first[0] - 1 : again.last[0]]
            rows += [row for row, _ in zip(itertools.cycle(like), line.label.numbers or like, strict=False)]
        else:
            rows += pattern_rows(line)
    return rows


def pattern_rows(line: Line) -> list[Rows]:
    """The rows that a line of a stitch pattern stands for: `Rounds 2-4: knit` is three."""
    times = len(line.label.numbers) or 1
    return [part for part in line.parts if isinstance(part, Rows) for _ in range(times * part.times[0])]
