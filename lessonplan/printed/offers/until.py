"""Until when rows go on: `until there are 16 sts on each needle`, with what only describes the shaping passed."""

from __future__ import annotations

from lessonplan.printed.rules.grammar import ONE, STITCHES
from lessonplan.printed.rules.search import Chart, Match
from lessonplan.printed.tree import Num

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
SO_MANY_ROWS = "to num row (have|remark)* (work|remark|total) (have|remark|work|total|in|from|beg|end|co)*"
"""`Until 60 rows have been worked`: a length, told in rows."""


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
            if kind == "sep" and chart.match(FURTHER, after, end) is not None:
                break
            if kind == "sep" and chart.match("sep (remark|on|at|in|sep)* (next|each|all|ord) ", after, end) is not None:
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
            elif (told := self._aside(after, end)) > after and kind != "open":
                after = told
                continue
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
