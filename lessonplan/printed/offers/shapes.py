"""Shaping over several rows: `BO 3 sts at beg of next 2 rows`, `dec 1 st at each end of every other row 5 times`."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace

from lessonplan.craft.techniques import technique
from lessonplan.printed.heading import Num
from lessonplan.printed.rules.grammar import NONE, ONE, QUANTITIES, fitting
from lessonplan.printed.rules.search import Chart, Match, Offer, Rule
from lessonplan.printed.rules.shaped import EVERY, LED, WHERES
from lessonplan.printed.tree import Shape, Spell, Times
from lessonplan.printed.words.tokens import Token

Until = Callable[[int, int], tuple[Num, str, int] | None]
"""Reads `until there are 16 sts` at a token: the count, what it counts, the token after."""


class Shapes:
    """Offers of shapings over several rows at a token."""

    def __init__(self, chart: Chart, until: Until) -> None:
        self.chart = chart
        self.until = until

    def spells(self, here: int, end: int) -> tuple[tuple[Spell, ...], int]:
        """`next and every foll 4th row 6 times, then every other row until 30 sts remain`."""
        chart = self.chart
        found: list[Spell] = []
        after = here
        while True:
            lead = chart.match("(sep|remark|in|on|at|dash)*", after, end)
            begin = lead.end() if lead is not None else after
            said = next(iter(fitting(EVERY, chart, begin, end)), None)
            if said is None and begin > after and chart.kind(begin - 1) == "remark":
                said = next(iter(fitting(EVERY, chart, begin - 1, end)), None)  # `on this row and every foll alt row`
            if said is None:
                return self._for_rows(found, after, end)
            spell, after = self.so_long(said[1], said[2], end)
            found.append(spell)

    def so_long(self, spell: Spell, here: int, end: int) -> tuple[Spell, int]:
        """A spell with how often it is worked, or until when, and the token after it."""
        since = self.chart.match("from (last|next|remark|same)+ (dec|inc|deced|inced|row)", here, end)
        here = here if since is None else since.end()  # `every 4th row from previous front dec`
        for _, quantity, then in fitting(QUANTITIES, self.chart, here, end):
            if isinstance(quantity, Times):
                told = self.chart.match("SEP* {w:remark} next row? (?=stop|sep|dash|eq|open|$)", then, end)
                held = told is not None and Match(self.chart, told).token("w").value.startswith("includ")
                return replace(spell, times=quantity), told.end() if told and held else then
        lead = self.chart.match("(manner|remark)* sep?", here, end)
        jump = here if lead is None else lead.end()
        if (until := self.until(jump, end)) is not None and self.chart.kind(jump) == "to" and not until[1]:
            return replace(spell, until=until[0], times=None), until[2]
        return spell, here

    def _for_rows(self, found: list[Spell], after: int, end: int) -> tuple[tuple[Spell, ...], int]:
        """`at beg of every row for 6 rows`: so often as the rows go."""
        match = self.chart.match("(for|over) (next|more|remark)* {n:num} more? row", after, end)
        if match is not None and found and found[-1].times is None and found[-1].until is None:
            m, every = Match(self.chart, match), max(found[-1].every)
            if found[-1].first is None and all(n % every == 0 for n in m.num("n")):
                times = Times(tuple(n // every for n in m.num("n")), False, m.at)
                return (*found[:-1], replace(found[-1], times=times)), match.end()
        return tuple(found), after

    def offers(self, here: int, end: int) -> Iterator[Offer]:
        """The shapings that can be read from a token on, several in a row."""
        chart = self.chart
        match = chart.match(
            "({a:(dec|inc|stitch|bo|co|coshort)}|({a2:knit} num together)) (remark|for|stitch|manner|next)* "
            "(({n:num} (more|times)? (st|stitch)?)|once)? "
            "(even|kwise|pwise)* (stop? open work num ANY together close)?",
            here,
            end,
        )
        if match is None:
            return
        m = Match(chart, match)
        token = m.token("a" if m.has("a") else "a2")
        action = action_of(token) if m.has("a") else "dec"
        if not action:
            return
        num: Num | None = m.num("n") if m.has("n") else None if m.has("a") else ONE
        shapes: list[Shape] = []
        after = match.end()
        while True:
            found = self._one_shape(action, num, token.at, after, end)
            if found is None:
                break
            shape, after = found
            shapes.append(shape)
            again = chart.match("SEP* remark* {n:num} st? {t:num} times (at|same|edge|end|beg|each)*", after, end)
            if again is not None:
                m = Match(chart, again)
                spell = Spell((2,), Times(m.num("t"), False, m.at), None, m.at)
                shapes.append(Shape(action, m.num("n"), shape.where, (spell,), m.at))
                after = again.end()
            more = chart.match(
                "SEP* (remark)* ({n:num} st? {w:(at|on|each|both|beg|edge|to|in|next)})", after, end
            ) or chart.match("SEP* remark* {w:((at|on|in) (beg|each|both|end|edge|(same edge)))}", after, end)
            if more is None or action not in ("BO", "CO", "dec", "inc") or self._told(more, end):
                break
            m = Match(chart, more)
            num = m.num("n") if m.has("n") else num if action in ("dec", "inc") else None
            after = more.start("w")
        said = chart.match("SEP* remark* as+ in? row num (?=stop|sep|open|dash|eq|num|$)", after, end)
        if shapes and said is not None:
            yield -0.3, tuple(shapes), said.end()  # `, as in row 22`
        goes_on = chart.match("ANY manner", here, end) is not None  # `Dec like this on each side` goes on with a row
        if shapes:
            yield 1.3 if goes_on else -0.2, tuple(shapes), after

    def behind_rows(self, here: int, end: int) -> Iterator[Offer]:
        """`On next and every foll alt row dec 1 st at each end until 30 sts rem`: the rows are told first."""
        chart = self.chart
        lead = chart.match("(on|in|at)*", here, end)
        begin = here if lead is None else lead.end()
        placed = next(places(LED, chart, here, end), None) or next(places(LED, chart, begin, end), None)
        spells, after = self.spells(placed[3] if placed else begin, end)
        verb = chart.match("sep? {a:(dec|inc|bo|co)} (remark|st)* ({n:num} (more|times)? st?)?", after, end)
        if not spells or verb is None or spells[0].every == NONE:
            return
        m = Match(chart, verb)
        action = action_of(m.token("a"))
        where, markers, others, stop = next(places(LED, chart, verb.end(), end), ("", 0, 0, verb.end()))
        if not where and placed is not None:
            where, markers, others, _ = placed
        if not where or (action in ("BO", "CO") and not m.has("n")):
            return
        num = tuple((2 * markers or others or 1) * each for each in m.num("n"))
        if spells[-1].times is None and spells[-1].until is None:
            last, stop = self.so_long(spells[-1], stop, end)
            spells = (*spells[:-1], last)
        yield -0.4 - 0.1 * len(spells), Shape(action, num, where, spells, m.token("a").at), stop

    def _told(self, more: re.Match[str], end: int) -> bool:
        """Whether a number behind a dash is the count after the line: `5 times - 13 sts each side`."""
        dashed = self.chart.kind(more.start()) in ("dash", "eq") and not self.chart.run[more.start()].tight
        return (
            dashed
            and self.chart.match("(each|both|on|at|remark)+ (side|edge|sets)+ stop?$", more.start("w"), end) is not None
        )

    def spread(self, here: int, end: int) -> Iterator[Offer]:
        """`working 5 incs evenly`, `decrease evenly 6 times around`."""
        for pattern in _SPREAD:
            match = self.chart.match(pattern, here, end)
            if match is not None:
                m = Match(self.chart, match)
                token = m.token("a")
                action = token.value if token.kind == "stitch" else token.kind[:3]
                spell = Spell(ONE, Times(ONE, False, m.at), None, m.at)
                yield -0.4, Shape(action, m.num("n"), "evenly", (spell,), m.at), match.end()
        for pattern in _TO_A_COUNT:
            match = self.chart.match(pattern, here, end)
            if match is not None:
                m = Match(self.chart, match)
                token = m.token("a")
                action = token.value if token.kind == "stitch" else token.kind[:3]
                yield -0.4, Shape(action, NONE, "evenly", (Spell(ONE, None, m.num("n"), m.at),), m.at), match.end()
        four = self.chart.run[here].value == "inc 4"  # elsewhere five into one
        if not four and self.chart.run[here].value not in ("inc", "dec"):
            return
        match = self.chart.match(f"ANY {'' if four else 'num'} st? (?=stop|sep|dash|open|eq|colon|$)", here, end)
        if match is not None and self._of_the_row(here):
            at, n = self.chart.run[here].at, (4,) if four else self.chart.run[here + 1].num
            spell = Spell(ONE, Times(ONE, False, at), None, at)
            yield -0.4, Shape(self.chart.run[here].value[:3], n, "evenly", (spell,), at), match.end()

    def _of_the_row(self, here: int) -> bool:
        """Whether a shaping of which no place is told is one of a whole row just named: `Purl, decreasing 2 sts`."""
        first = max((place + 1 for place in range(here) if self.chart.kind(place) in ("stop", "colon")), default=0)
        row = [self.chart.kind(place) for place in range(first, here)]
        alone = row[:1] == ["stitch"] and self.chart.run[first].value in ("k", "p")
        ended = row[1:-1] in (["to", "end"], ["to", "end", "row"])  # `K to end, dec 2 sts`
        return row[-1:] == ["sep"] and alone and (ended or not {"num", "star", "open", "to", "in"} & {*row})

    def _one_shape(self, action: str, num: Num | None, at: int, here: int, end: int) -> tuple[Shape, int] | None:
        chart = self.chart
        where, after = "", here
        if (told := next(places(LED, chart, after, end), None)) is not None:
            where, markers, others, after = told
            if others:  # `1 st after each of 6 markers`
                num = tuple(others * each for each in num or ONE)
            if markers:  # `1 st on each side of all 4 markers`
                num = tuple(2 * markers * each for each in num or ONE)
        spells, after = self.spells(after, end)
        if not where and spells and (named_at := next(iter(fitting(WHERES, chart, after, end)), None)) is not None:
            where, after = named_at[1][0], named_at[2]
            if spells[-1].times is None and spells[-1].until is None:
                last, after = self.so_long(spells[-1], after, end)
                spells = (*spells[:-1], last)
        same = chart.match("(sep|in)* (manner|even)", after, end)
        if not where and spells and same is not None and chart.craft == "crochet":
            where, after = "evenly", same.end()  # `dec 9 sts on each rnd in the same way`
        single = len(spells) == 1 and spells[0].every == ONE and not spells[0].until
        named = chart.match("(sep|in|on|at|remark)* (next|last|ord) row", here, end) is not None
        on = chart.match("(on|in|over|around|at|below|remark)+ {p:remark} (?=stop|sep|dash|eq|open|$)", after, end)
        if on is not None and not where and not spells and action != "BO":
            side = Match(chart, on).token("p").value in SIDES
            where, after = ("evenly", on.end()) if side else (where, after)
        if not where and action in ("dec", "inc") and chart.kind(here - 1) == "st":
            this = chart.match("(in|on) remark row (?=stop|sep|dash|eq|open|$)", after, end)
            if (single and named) or this is not None:
                where, after = "evenly", this.end() if this else after  # `and knit, decreasing 2 sts on first row`
        if where == "markers" and chart.match("(at|on|in|for|remark)* both edge", here, end) is None:
            both = chart.match("(at|on|in|for|remark)* (each|both) edge both", here, end)
            if both is not None:  # of the two that there are
                where, num = "evenly", tuple(4 * each for each in num or ONE)
        if num is None and (where in _MARKED or action in ("dec", "inc")) and where:
            num = ONE
        if num is None:
            match = chart.match("{n:num} st?", after, end)
            if match is None or not spells:
                return None
            num, after = Match(chart, match).num("n"), match.end()
        if where == "evenly" or where in _MARKED:
            spells = spells or (Spell(ONE, Times(ONE, False, at), None, at),)
        if not where or (action in ("dec", "inc") and not spells and where == ""):
            return None
        if not spells:
            said = chart.match("row", after, end)
            after = said.end() if said else after
            if action in ("BO", "CO") and not said and where not in ("start", "each"):
                return None
            spells = (Spell(ONE, Times(ONE, False, at), None, at),)
        return Shape(action, num, where, spells, at), after


_MARKED = ("markers", "a marker", "the marker")
SIDES = frozenset({
    "underarm", "underarms", "sleeve", "sleeves", "thumb", "gusset", "sole", "instep", "front", "back", "palm",
    "left front", "right front", "top", "bottom",
})  # fmt: skip
"""Parts of a piece on which so many stitches are shaped, wherever: `decreasing 2 sts on the sole`."""


def action_of(token: Token) -> str:
    """What a verb does at an edge: "BO", "CO", "dec" or "inc", or "" if it is none."""
    if token.kind != "stitch":
        return {"bo": "BO", "co": "CO", "coshort": "CO"}.get(token.kind, "")
    entry = technique(token.value)
    return {1: "dec", -1: "inc"}.get(entry.consumes - entry.produces, "")


_SPREAD = (
    "(work|have|remark)? {n:num} (remark|more)* {a:(inc|dec|inced|deced)} evenly row?",
    "(work|have|remark)? {a:(inc|dec)} (evenly|remark|around|row)* evenly (evenly|remark)* {n:num} times "
    "(evenly|around|row)*",
    "(work|have|remark)? {a:(inc|dec)} {n:num} times (remark|around|row|on|in)* evenly (around|row)*",
)

_TO_A_COUNT = (
    "(work|have)? {a:(inc|dec|inced|deced)} (remark|around|row|st)* evenly (remark|around|row|on|in)* to {n:num} st? "
    "total?",
    "(work|have)? {a:(inc|dec|inced|deced)} (remark|around|row|st)* to {n:num} st total? (remark|around|row)* evenly",
)
"""`Dec evenly to 88 sts`: as many as it takes."""


def places(rules: tuple[Rule, ...], chart: Chart, here: int, end: int) -> Iterator[tuple[str, int, int, int]]:
    """The places named at a token: where, how many markers, how many other places, the token after it."""
    for _, (where, markers, others), after in fitting(rules, chart, here, end):
        if chart.kind(after) != "needle":
            yield where, markers, others, after
