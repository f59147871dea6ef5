"""What a line says of whole rows: how many, which again, shaping over several of them, and the counts printed after."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from lessonplan.craft.techniques import technique
from lessonplan.printed.items import RowCount
from lessonplan.printed.offers.crocheted import tallies
from lessonplan.printed.offers.goneon import APART, STEPPED, GoneOn
from lessonplan.printed.offers.shapes import Shapes
from lessonplan.printed.offers.shapings import Shapings
from lessonplan.printed.offers.until import Until
from lessonplan.printed.rules.again import THEN, WHICH
from lessonplan.printed.rules.counts import COUNTS, inside
from lessonplan.printed.rules.grammar import NONE, ONE, QUANTITIES, STITCHES, fitting
from lessonplan.printed.rules.search import CHAR, NO_FIT, Chart, Match, Offer, Rule
from lessonplan.printed.tree import Again, Times, To


@dataclass(frozen=True, slots=True)
class RepeatAll:
    """`repeat to end` without an asterisk: everything before it in the line is repeated."""

    quantity: Times | To
    at: int


def _rows(m: Match) -> RowCount:
    """`12 rounds in k2, p2 rib`."""
    return RowCount(m.num("n"), m.at, pattern=m.token("p").value if m.has("p") else "")


def _next_row(m: Match) -> Any:
    """A label in the middle of a line, after a full stop: what stood before it is a row of its own."""
    before = m.chart.kind(m.match.start() - 1)
    if m.chart.kind(m.match.start()) == "ord" and before == "stitch":
        before = "stop"  # `P. 3rd row: ...`, where the stop is taken for that of the letter
    return RowCount(ONE, m.at, said=False) if before in ("stop", "colon", "dash", "close", "sep", "") else NO_FIT


def _same(m: Match) -> Any:
    """`Work 2 more rounds in same way`: as the last one, or shaped as it was."""
    told = m.token("w").kind in ("manner", "same") or m.token("w").value == "same way"
    return Again("same", ONE, NONE, "", Times(m.num("n"), True, m.at), None, m.at) if told else NO_FIT


_BEFORE_LIMITS = frozenset({"sep", "remark", "manner", "colon", "work", "on", "for", "dash", "same", "even"})
"""Kinds of words that may stand before how often, or until when, rows are repeated."""
SHAPING = ("stitch", "bo", "co", "coshort")
SHAPED = (*SHAPING, "at", "on", "in", "each", "both", "all", "edge", "eor")
"""Kinds of words with which a shaping at the edges begins."""
_SHAPES = ("inc", "dec", "inc 4")
GOING_ON = ("rep", "work", "manner", "even", "remark", "inced", "deced", "on")
"""Kinds of words with which it begins that a shaping is gone on with."""
_ROWS_FIRST = frozenset({"on", "in", "at", "each", "all"})
"""Kinds of words with which the rows begin that a shaping behind them is in."""
_HOW = "(even|work|in|remark|around)* {p:pattern}? (even|work|in|remark|around)*"
_NAMED = "(remark|ord|next|last|inc|dec|even|side|pattern)"
_TOLD = "(open (remark|side|colour|row|unknown|even|inc|dec|for|at)* close)? side?"
"""What stands behind the name of a row in its label."""
ROW_RULES: tuple[Rule, ...] = (
    Rule(f"more? {{n:num}} more? row more? {_HOW}", _rows),
    Rule("{n:num} more? row even in ANY (?=stop|sep|close|$)", lambda m: RowCount(m.num("n"), m.at), -0.2),
    Rule(f"(next|for|on) (next)? {{n:num}} row {_HOW}", _rows),
    Rule("(work|knit) {n:num} more row (sep|remark|inc|dec|inced|deced|in|at|as|each|both|end|edge|st)* "
         "{w:(manner|even)}", _same, -0.4),
    Rule("(work|knit) {w:(manner|even)} for? {n:num} more row", _same, -0.4),
    Rule("(work|knit) {n:num} more row {w:same} (?=stop|$)", _same, -0.4),
    Rule(f"(each|all) row for {{n:num}} more? row more? {_HOW}", _rows, -0.3),
    Rule("(each|all) (remark|side)* row", lambda m: RowCount(ONE, m.at, said=False)),
    Rule("next row", lambda m: RowCount(ONE, m.at, said=False), 0.1),
    Rule(f"{_NAMED}* row num? {_TOLD} (colon|dash)+", _next_row, -0.1),
    Rule("(sep|stop) ending (remark|on|in|at|after|side|ord|num|even|knit|dec|inc|pattern)* row num?", lambda m: None,
         -0.1),
    Rule("row (remark|num)*", lambda m: None, 0.4),
)  # fmt: skip


_BETWEEN = "{a:(inc|dec)} num? st? after (next|ord|remark)* marker sep before (next|ord|remark|last)* marker"
"""`increasing 1 st after first marker and before next marker`."""

_SHAPED = "to (have|work|remark|in|total)* {n:num} (inc|dec|inced|deced) row (have|remark|work|total|in)*"
"""`until you have worked 15 increase rounds`: these are rows, no stitches."""
_SHAPED_TIMES = "to (have|work|remark|unknown|in|total)* (inc|dec|inced|deced) (remark|st)* {n:num} times total?"
"""`until there have been increased 20 times in all`."""


_PARTS = frozenset({"sole", "heel", "instep", "back", "front", "thumb", "gusset", "palm", "half", "turns"})
"""Words for parts of a piece, on which a count is not that of all stitches."""


class Rows(Until):
    """Offers of clauses about whole rows at a token."""

    def __init__(self, chart: Chart, start: int) -> None:
        super().__init__(chart)
        self.start = start
        self.shapes = Shapes(chart, self._until)
        self.lists = Shapings(chart, self.shapes)
        kinds = [token.kind for token in chart.run]
        self._shaped = any(
            token.value in _SHAPES
            or token.kind in ("inced", "deced")
            or kinds[max(0, place - 1) : place + 2] == ["num", "more", "stitch"]  # `working 4 more dc every row`
            for place, token in enumerate(chart.run)
        )
        self.gone_on = GoneOn(chart, self.shapes, self._until)

    def offers(self, here: int, end: int, nested: bool) -> Iterator[Offer]:
        """Everything that speaks of rows or counts from a token on; inside brackets only counts."""
        kind = self.chart.kind(here)
        yield from self._counts(here, end, nested)
        if nested:
            return
        if self.chart.craft == "crochet":
            yield from tallies(self.chart, here, end)
        yield from fitting(ROW_RULES, self.chart, here, end)
        lead = self.chart.match("sep? {r:remark} (?=to|for)", here, end) if kind in ("sep", "remark") else None
        turns = lead is not None and Match(self.chart, lead).token("r").value == "turns"
        if lead is not None and turns and (stop := self._length(lead.end(), end)):
            yield -0.1, None, stop  # `6 times, or until it is as long as you like`
        if kind == "to" and (rows := self.rows_told(here, end)):
            yield 0.0, RowCount(None, self.chart.run[here].at, upto=rows[0], since=rows[1]), rows[2]
        elif kind in ("to", "for") and (stop := self._length(here, end)):
            yield 0.0, RowCount(None, self.chart.run[here].at), stop
        if kind in ("to", "for") and not nested and (stop := self._as_another(here, end)):
            yield 0.2, RowCount(None, self.chart.run[here].at), stop
        if kind == "to" and self.chart.kind(here - 1) in ("sep", "stop") and (said := self._until(here, end)):
            at = self.chart.run[here].at
            yield 1.0, Again("last", ONE, NONE, "", None, said[0], at, per=said[1]), said[2]
        if kind in ("rep", "as", "work", "same", "row", "remark", "fewer", "manner") or self._shaping_verb(here):
            yield from self._again(here, end)
        if self._shaped and (kind in GOING_ON or self.chart.run[here].value in ("dec", "inc")) and self._begun(here):
            yield from self.gone_on.offers(here, end)
        if self.chart.craft == "crochet" and kind in ("rep", "work", "same", "as") and self._begun(here):
            yield from self.gone_on.grown(here, end)
        if kind == "meanwhile":
            lead = self.chart.match("meanwhile (sep|remark|edge|side|sets|seam)*", here, end)
            begin = here + 1 if lead is None else lead.end()
            for cost, shapes, after in (*self.shapes.offers(begin, end), *self.lists.offers(begin, end)):
                yield cost, tuple(replace(shape, meanwhile=True) for shape in shapes), after
        begins = self.chart.kind(here - 1) in ("", "colon", "dash") or self.chart.kinds[:here] == CHAR["sep"]
        if kind in ("each", "all", "on") and begins:
            spells, after = self.shapes.spells(here, end)
            ends = self.chart.kind(after) in ("", "stop", "dash", "open", "eq")
            if spells and (spells[-1].times is not None or (spells[-1].until is not None and ends)):
                yield 0.5, Again("shaping", NONE, NONE, "", None, None, self.chart.run[here].at, spells), after
        hooked = self.chart.craft == "crochet" and self.chart.kind(here - 1) == "sep"
        if hooked and self.chart.match("around (?=stop|dash|open|eq|$)", here, end) is not None:
            at = self.chart.run[here].at  # `1 sc in next sc, 2 sc in next, all around`
            yield 0.3, RepeatAll(To("rest", NONE, "", at), at), here + 1
        if kind == "num" and (hooked or self.chart.run[here - 1].value == ";"):
            for cost, quantity, after in fitting(QUANTITIES, self.chart, here, end):
                if isinstance(quantity, Times) and self.chart.kind(after) in ("", "stop", "open", "dash", "eq"):
                    yield cost + 0.3, RepeatAll(quantity, self.chart.run[here].at), after  # `1 sc, inc, 7 times in all`
        if kind in ("rep",):
            yield from self._whole_line(here, end)
        if kind in SHAPING:
            yield from self.shapes.offers(here, end)
        elif kind in _ROWS_FIRST and self._begun(here):
            yield from self.shapes.behind_rows(here, end)
        if self._shaped and (kind in ("work", "num", "have", "remark") or self.chart.run[here].value in _SHAPES):
            yield from self.shapes.spread(here, end)
        if kind in SHAPED and (kind in SHAPING or self.chart.kind(here - 1) in ("", "sep", "stop", "colon", "remark")):
            yield from self.lists.offers(here, end)

    def _begun(self, here: int) -> bool:
        """Whether a sentence or a clause begins at a token."""
        before = self.chart.kind(here - 1)
        return here == self.start or before in ("", "sep", "stop", "colon", "dash", "close", "remark", "eq")

    def _shaping_verb(self, here: int) -> bool:
        shaped = self.chart.run[here].value in ("dec", "inc")
        return shaped and self.chart.match("ANY (in|on|at)* (each|all)", here, len(self.chart.run)) is not None

    def _a_place(self, here: int) -> bool:
        """Whether a number tells where stitches go: `in rem 10 sts`, `through both loops of the next 20 sts`."""
        before = self.chart.kind(here - 1)
        return before == "next" or (
            before in ("last", "rem", "each", "all") and self.chart.kind(here - 2) in ("in", "tbl")
        )

    def _counts(self, here: int, end: int, nested: bool) -> Iterator[Offer]:
        yield from inside(self.chart, here, end, nested)
        for cost, item, after in fitting(COUNTS, self.chart, here, end):
            first = self.chart.kind(here)
            if first == "have" and self.chart.match(
                "have num (more|fewer) (st|ANY)* (between|before|after)", here, end
            ):
                continue  # `having 1 more sc between increases`
            chained = any(token.value == "ch" for token in self.chart.run[here:after])
            if first == "stop" and self.chart.run[here - 1].value in ("inc", "dec"):
                continue  # `Dec. 1 st. at each end`
            begins = chained and not {self.chart.kind(place) for place in range(here)} & STITCHES
            if begins and self.chart.craft == "crochet":
                continue  # `Sleeves.- Commence with 41 ch.`
            if (
                first in ("stop", "colon", "dash")
                and chained
                and {self.chart.kind(place) for place in range(after, end)} & STITCHES
            ):
                continue  # `Join B. 3 ch, 2 dc in next st`
            if self.chart.kind(here - 1) in ("rem", "all") and self.chart.kind(here - 2) in ("bo", "holder", "put"):
                continue  # `bind off remaining 32 sts`
            if first == "num" and self.chart.craft == "crochet" and self._a_place(here):
                continue
            if first == "open":
                closed = self.chart.kind(after - 1) == "close" and self.chart.partner.get(after - 1) == here
                if not closed:
                    continue
            elif nested and first != "num":
                continue
            if self._of_a_part(here, after, end):
                continue
            rest = self.chart.kinds[after:end]
            bare = cost >= 0.6
            if bare and not all(
                self.chart.kind(place) in ("stop", "close", "sep", "dash", "remark", "turn", "rem")
                for place in range(after, end)
            ):
                continue
            if bare and self.chart.kind(here - 1) == "around" and self.chart.kind(after + 1) == "turn":
                continue  # `across 30 sts, turn` says how far
            named = [token for token in self.chart.run[here:after] if token.kind == "stitch"]
            if any(technique(token.value).craft != "crochet" for token in named if token.value not in ("inc", "dec")):
                continue
            if self.chart.kind(after) in ("times", "row", "more", "unworked") or (
                first not in ("open", "eq", "have") and self.chart.kind(after) in STITCHES
            ):
                continue
            if nested and bare and rest:
                continue
            ahead = {self.chart.kind(place) for place in range(after, end)}
            if first == "open" and ahead & STITCHES and {"on", "knit"} & set(map(self.chart.kind, range(here, after))):
                continue  # `(2 sts on needle after cast off)` in the middle of a line
            yield cost, item, after
            told = first != "open" or item is None or item.change or "num" not in ahead
            if not told and not ahead & {*STITCHES, "bo", "co", "rep", "turn", "row"}:
                yield cost + 0.8, item, end  # what follows only says where they are

    def _of_a_part(self, here: int, after: int, end: int) -> bool:
        """Whether a count is only that of a part: `56 stitches on the sole half`."""
        chart, stop = self.chart, after
        while stop < end and chart.kind(stop) not in ("stop", "sep", "close"):
            stop += 1
        words = [chart.run[place].value for place in range(here, stop) if chart.kind(place) in ("remark", "unknown")]
        places = {chart.kind(place) for place in range(here, stop)}
        if {"between", "marker"} <= places:
            return True
        return bool({*words} & _PARTS) and bool(places & {"on", "in", "between"}) and "needle" not in places

    def _whole_line(self, here: int, end: int) -> Iterator[Offer]:
        """`repeat to end` of what stands before in the line."""
        chart, at, after = self.chart, self.chart.run[here].at, here + 1
        while chart.kind(after) in ("remark", "from", "sep") and after < end:
            after += 1
        for cost, quantity, then in fitting(QUANTITIES, chart, after, end):
            yield cost + 0.1, RepeatAll(quantity, at), then
        yield 0.6, RepeatAll(To("rest", NONE, "", at), at), here + 1

    def _stepped(self, base: Again, here: int, end: int) -> tuple[Again, int]:
        """`, working 1 st fewer between decs each time,`: the repeat with what changes in it, and where to go on."""
        match = self.chart.match(STEPPED, here, end)
        if match is not None:
            m = Match(self.chart, match)
            n = m.num("n")[0]
            return replace(base, step=n if m.token("s").kind == "more" else -n), match.end()
        match = self.chart.match(APART, here, end) if base.which == "numbers" else None
        if match is None:
            return base, here
        m = Match(self.chart, match)
        return replace(base, apart=m.num("n") if m.has("n") else m.num("k")), match.end()

    # repeats of rows
    def _again(self, here: int, end: int) -> Iterator[Offer]:
        chart = self.chart
        at = chart.run[here].at
        lead = chart.match("(rep|work|as|same|row|sep|remark)*", here, end)
        first = chart.kind(here)
        for pattern, build in WHICH:
            match = chart.match(pattern, here, end)
            if match is None or lead is None:
                continue
            m = Match(chart, match)
            which, a, b = build(m)
            if not which:
                continue
            if which == "all" and chart.kind(match.end()) in ("row", "num", "last"):
                continue
            weak = first not in ("rep", "as", "same") and chart.run[here].value != "see"
            base = Again(which, a, b, self._name(m) if which in ("named", "star") else "", None, None, at)
            base, stop = self._stepped(base, match.end(), end)
            if base.step or base.apart is not None:
                yield from self._limits(base, stop, end)
                if which == "numbers":
                    yield 0.2, base, stop
                continue
            limits = list(self._limits(base, m.match.start("each") if m.has("each") else match.end(), end))
            for cost, again, after in limits:
                yield cost, again, after
                stepped, stop = self._stepped(again, after, end)
                if stop > after:
                    yield cost, stepped, stop
                yield from self._and_then(cost, again, after, end)
            if not weak:
                yield 0.25, base, match.end()

    def _and_then(self, cost: float, again: Again, here: int, end: int) -> Iterator[Offer]:
        """`..., then rows 1-4 once more`: a further repeat behind one, whose verb is mostly left out."""
        for pattern, build in THEN:
            match = self.chart.match(f"SEP+ (work|rep|remark)* {pattern}", here, end)
            if match is None:
                continue
            m = Match(self.chart, match)
            which, first, last, name = build(m, again)
            base = Again(which, first, last, name, None, None, m.at)
            once = self.chart.match("more? (?=stop|dash|open|eq|$)", match.end(), end)
            if once is not None and which == "numbers":
                yield cost, (again, replace(base, times=Times(ONE, True, m.at))), once.end()
            for more, then, after in self._limits(base, match.end(), end):
                if then.times is not None or then.until is not None or then.measured:
                    yield cost + more, (again, then), after
                    for dearer, rest, stop in self._and_then(cost + more, then, after, end):
                        yield dearer, (again, *rest), stop

    def _name(self, m: Match) -> str:
        chart, start = m.chart, m.match.start("name")
        run = chart.run[start : m.match.end("name")]
        rib = "rib" if any(token.kind == "even" for token in run) else ""  # `Rep ribbing rnd`
        return "".join("*" for token in run if token.kind in ("star", "asterisk")) or (
            " ".join(token.value for token in run if token.value) or rib
        )

    def _limits(self, base: Again, here: int, end: int) -> Iterator[tuple[float, Again, int]]:
        """How often, or until when: times, a count of stitches, a length, every nth row."""
        chart = self.chart
        start = here
        while start < end and chart.kind(start) in _BEFORE_LIMITS:
            start += 1
        inside = chart.match(_BETWEEN, start, end)
        if inside is not None:
            base = replace(base, between=Match(chart, inside).token("a").value)
        for begin in dict.fromkeys((here, start, self._aside(start, end))):
            for cost, quantity, after in fitting(QUANTITIES, chart, begin, end):
                if isinstance(quantity, Times):
                    yield cost, replace(base, times=quantity), after
            shaped = chart.match(_SHAPED, begin, end) or chart.match(_SHAPED_TIMES, begin, end)
            if shaped is not None:
                times = Times(Match(chart, shaped).num("n"), False, chart.run[begin].at)
                yield 0.0, replace(base, times=times), shaped.end()
            elif (found := self._until(begin, end)) is not None:
                until, per, after = found
                yield 0.0, replace(base, until=until, per=per), after
                if not per:
                    yield 0.5, replace(base, until=until, per="markers"), after
            many = self.rows_told(begin, end)
            if many is None and chart.kind(begin) in ("to", "for") and (stop := self._length(begin, end)):
                yield 0.0, replace(base, measured=True), stop
            if chart.kind(begin) == "around" and base.which in ("numbers", "last"):  # `throughout`
                yield 0.0, replace(base, measured=True), begin + 1
            match = chart.match("for (next|remark)* {n:num} {m:more}? row", begin, end)
            if match is not None and base.which in ("last", "numbers"):
                yield from self._for_rows(base, Match(chart, match), match.end())
            if many is not None:
                yield 0.0, replace(base, total=many[0], since=many[1]), many[2]
            if (match := chart.match("(for)? total {n:num} row", begin, end)) is not None:
                yield 0.0, replace(base, total=Match(chart, match).num("n")), match.end()
            match = chart.match(
                "to (have|remark|work|in|total)* {n:num} {p:(pattern|remark)} (total|have|work|remark)*", begin, end
            )
            if match is not None and "ridge" in Match(chart, match).token("p").value:
                ridges = Match(chart, match).num("n")
                yield 0.0, replace(base, total=tuple(2 * n for n in ridges)), match.end()
            spells, after = self.shapes.spells(begin, end)
            if spells:
                told = (
                    base.which != "shaping"
                    or any(chart.kind(place) == "manner" for place in range(here))
                    or spells[-1].until
                )
                yield 0.0 if told else 0.6, replace(base, spells=spells), after
        if base.which == "shaping":
            far = next((place for place in range(here, end) if chart.kind(place) in ("to", "stop")), end)
            if far < end and (found := self._until(far, end)) is not None:
                yield 1.5, replace(base, until=found[0], per=found[1]), found[2]

    def _for_rows(self, base: Again, m: Match, after: int) -> Iterator[tuple[float, Again, int]]:
        """`Rep row 2 for 6 more rows`: as often as those rows have it."""
        each = 1 if base.which == "numbers" else base.first[0]
        if base.which == "numbers" and len({*map(len, (base.first, base.last))}) == 1:
            each += base.last[0] - base.first[0]
        if each > 0 and all(rows % each == 0 for rows in m.num("n")):
            times = Times(tuple(rows // each for rows in m.num("n")), m.has("m") or None, m.at)
            yield 0.0, replace(base, times=times), after
        elif each > 0:
            yield 0.0, replace(base, total=m.num("n"), since="here"), after  # in the middle of those rows
