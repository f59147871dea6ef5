"""Until when rows go on: `until there are 16 sts on each needle`, with what only describes the shaping passed."""

from __future__ import annotations

from lessonplan.printed.heading import Num
from lessonplan.printed.rules.grammar import ONE, STITCHES
from lessonplan.printed.rules.search import Chart, Match

PARTS = frozenset(
    {"thumb", "gore", "gusset", "sleeve", "heel", "instep", "back", "front", "thumb gore", "thumb gusset"}
)
"""Parts of a piece, which may lie between markers."""
OF_A_PART = frozenset(
    {"sole", "instep", "heel", "thumb", "gusset", "palm", "sleeve", "body", "front", "back", "underarm"}
)
"""Words before stitches that are only a part of all: `until you have 48 sole sts`."""

FURTHER = (
    "sep (remark|on|at|in|sep)* ((inc|dec|bo|co) (remark|num|st)*)? (on|at|in|each|both|end|edge|side|beg|sets)* "
    "(next|each|all|ord|other)+ (next|other|ord|num|side|knit|remark)* row"
)
"""Rows that are shaped after that: `, then at both ends of every alt row until there are 96 sts`."""
SO_MANY_ROWS = "to (have|remark|work|in|total)* {n:num} row (total|have|work|remark|in)*"
"""`Until 60 rows have been worked`, `until you have 60 rows in all`: how many rows there are then."""
_SINCE = frozenset({"after", "from", "measures", "unknown", "beg"})
"""Kinds of words that begin since when rows are counted: `after the dividing row`, `from the cast-on edge`."""
_FIRST = frozenset({"measures", "beg", "co", "coshort", "edge"})
"""Kinds of words that tell of where the piece begins."""

_BUSY = frozenset({"pu", "bo", "co", "coshort"})
"""Kinds of words that stand in no clause before the length that it gives."""
_STRAIGHT = frozenset({"work", "even", "in", "on", "at", "remark", "pattern", "edge", "sep", "knit", "rem", "st", "as"})
"""Kinds of words before how far is worked straight."""
_NOT_STRAIGHT = STITCHES | {
    "bo",
    "co",
    "coshort",
    "pu",
    "rep",
    "times",
    "star",
    "marker",
    "turn",
    "rem",
    "needle",
    "gap",
}


_PLACE_NEXT = "sep (remark|on|at|in|sep)* (next|each|all|ord) "
"""A place or time of its own behind a goal: “until 20 sts rem, on next row”."""


class Until:
    """Reads a count to come to at a token."""

    def __init__(self, chart: Chart) -> None:
        self.chart = chart

    def _begins(self, here: int, end: int) -> bool:
        return here < end and self.chart.kind(here) in {*STITCHES, "bo", "co", "turn", "join", "rep", "open"}

    def _aside(self, here: int, end: int) -> int:
        """The token after a bracket, or after words that only describe the shaping of the rows repeated."""
        chart = self.chart
        if chart.kind(here) == "open" and (close := chart.partner.get(here, end)) < end:
            return close + 1
        told = chart.match(
            "(inc|dec) num? st? (in|at|on|after|before|between|each|next|ord|last|sep|marker|st|side|both|end"
            "|row|edge)+",
            here,
            end,
        )
        rows = told is not None and chart.kind(told.end()) == "to" and chart.kind(told.end() - 1) == "row"
        return here if told is None or rows else told.end()

    def _until(self, here: int, end: int) -> tuple[Num, str, int] | None:
        """`until there are 16 sts on each needle`: the count, what it counts, the token after."""
        chart = self.chart
        match = chart.match("to (have|remark|rem|in|total|on|(st (?=have|total)))* {n:num}", here, end)
        if match is None:
            return self._until_all(here, end)
        n = Match(chart, match).num("n")
        after = match.end()
        if chart.match("row num to num (?!(rem|st|ANY))", max(0, here - 2), end) is not None:
            return None  # `work rows 1 to 4 again`
        if chart.kind(after) == "remark" and chart.kind(after + 1) == "st" and chart.run[after].value in OF_A_PART:
            whole = chart.match("remark st (SEP|remark)* {n:num} total? st? total?", after, end)
            if whole is None or not {"total"} & {*map(chart.kind, range(after, whole.end()))}:
                return None  # how many there are elsewhere only print tells
            return Match(chart, whole).num("n"), "", whole.end()
        ridges = after < end and chart.run[after].value.startswith("ridge")
        if ridges or chart.kind(after) in ("pattern", "group", "row", "unknown"):
            return None  # `until there are 5 ridges`
        per = ""
        total, listed = None, False
        while after < end:
            kind = chart.kind(after)
            listed = listed or kind == "sep"
            if kind == "sep" and (told := self._aside(after + 1, end)) > after + 1:
                after = told
                continue
            if kind == "open" and chart.partner.get(after, end) < end:
                after = chart.partner[after] + 1
                continue
            if kind == "sep" and chart.kind(after + 1) in ("work", "rep", "turn", "meanwhile"):
                break
            if kind == "sep" and any(chart.match(told, after, end) for told in (FURTHER, _PLACE_NEXT)):
                break
            if kind == "stop" and (rest := chart.match("(stop|sep|dash)+ num st on needle", after, end)) is not None:
                after = rest.end()
                continue
            if kind in ("stop", "colon") and not (kind == "stop" and chart.kind(after + 1) in ("close",)):
                break
            part = chart.run[after].value in PARTS and chart.kind(after - 1) in ("in", "for", "on", "of", "each")
            if kind in ("unworked", "wraps", "centre") or chart.run[after].value in ("unwrapped", "wrap"):
                per = "turns"
            elif (kind == "between" or part) and per != "turns":
                per = "markers"
            elif kind == "each" and chart.kind(after + 1) == "needle" and not listed:
                per = "needle"
            elif kind == "num" and (found := chart.match("{n:num} total st", after, end)):
                total = Match(chart, found).num("n")
            elif (
                (kind in STITCHES and chart.kind(after - 1) == "sep")
                or kind in ("ending",)
                or (kind == "sep" and self._begins(after + 1, end))
            ):
                break
            after += 1
        if total is not None:
            n, per = total, ""
        return n, per, self._ended(after, end)

    def _until_all(self, here: int, end: int) -> tuple[Num, str, int] | None:
        """`until all heel sts have been worked, 18 sts rem`."""
        match = self.chart.match(
            "to (have|remark)* (all|each) (remark|held|edge|unknown|rem|last|seam)* (st|gap) "
            "((at|on|in)* (each|both) (edge|side|end))? (have|remark|work|in|unknown)* (on num needle)?",
            here,
            end,
        )
        if match is None:
            return None
        counted = self.chart.match("sep (have|remark)* {n:num} st? (rem|on|needle|remark)+", match.end(), end)
        if counted is None:
            return ONE, "gap", self._ended(match.end(), end)
        return Match(self.chart, counted).num("n"), "", self._ended(counted.end(), end)

    def _ended(self, here: int, end: int) -> int:
        """The token after `, ending with a WS row`: the goal tells when that is."""
        rows = "(side|ord|num|even|knit|dec|inc|pattern|remark)*"
        match = self.chart.match(f"SEP* ending (remark|on|in|after)* {rows} row num?", here, end)
        return here if match is None else match.end()

    def rows_told(self, here: int, end: int) -> tuple[Num, str, int] | None:
        """`until 35 rows have been worked after the dividing row`: how many, since when, the token after."""
        chart = self.chart
        match = chart.match(SO_MANY_ROWS, here, end)
        if match is None:
            return None
        after, since = match.end(), ""
        stop = next((place for place in range(after, end) if chart.kind(place) in ("stop", "sep", "open", "dash")), end)
        words = [chart.run[place].value for place in range(after, stop) if chart.kind(place) in ("remark", "unknown")]
        kinds = [chart.kind(place) for place in range(after, stop)]
        if kinds:
            if kinds[0] not in _SINCE or (kinds[0] == "unknown" and words[0] != "since"):
                return None
            if not {*kinds} <= {*_SINCE, *_FIRST, "remark", "row", "last", "rep"}:
                return None
            named = [word for word in words if word not in ("since", "last", "the")]
            since = "start" if {*kinds} & _FIRST else " ".join(named)
            if not since:
                return None
        return Match(chart, match).num("n"), since, self._ended(stop, end)

    def _length(self, here: int, end: int) -> int:
        """Where a clause ends that gives a length to work to ("until piece measures 5 cm, ending with a WS row")."""
        chart = self.chart
        place = here + 1
        seen = False
        while place < end and chart.kind(place) not in ("stop", "star"):
            kind = chart.kind(place)
            if kind == "length" and chart.match("length (remark|size|num)* needle", place, end) is not None:
                return 0  # `using 3 mm needles`
            further = kind in ("sep", "colon") and seen
            if further and (self._begins(place + 1, end) or chart.match(FURTHER, place, end)):
                break
            if not seen and (kind in _BUSY or (kind in STITCHES and chart.kind(place - 1) == "sep")):
                return 0
            seen = seen or kind in ("length", "measures") or chart.run[place].value == "square"
            place += 1
        return place if seen else 0

    def _as_another(self, here: int, end: int) -> int:
        """Where it ends how far is worked straight: `until 10 rows less than on back have been worked`; or 0."""
        first = max((place + 1 for place in range(here) if self.chart.kind(place) in ("stop", "colon")), default=0)
        lead = {self.chart.kind(place) for place in range(first, here)}
        rows = (
            self.chart.match("(to|for) (have|remark|unknown)* num row (fewer|more|remark|have)", here, end) is not None
        )
        if not ("even" in lead or (rows and "work" in lead)) or not lead <= _STRAIGHT:
            return 0
        stop = next((place for place in range(here, end) if self.chart.kind(place) in ("stop", "sep", "open")), end)
        told = {self.chart.kind(place) for place in range(here + 1, stop)}
        count = self.chart.match("(to|for) (have|remark|unknown)* num st", here, stop) is not None
        return stop if stop - here > 2 and not count and not told & _NOT_STRAIGHT else 0
