"""The stitches printed after a line, and those of a part of its row (`13 sts between markers`), as rules."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lessonplan.printed.items import Counted
from lessonplan.printed.rules.grammar import STITCHES, fitting
from lessonplan.printed.rules.search import NO_FIT, Chart, Match, Offer, Rule


def _counted(m: Match) -> Counted:
    per = "needle" if m.has("per") else ""
    times = m.num("sets")[0]
    return Counted(tuple(times * each for each in m.num("n")), m.token("n").at, 0, per)


def _each_needle(m: Match) -> Any:
    """`Divide onto 3 needles: 16 sts each.`"""
    return _counted(m) if "needle" in map(m.chart.kind, range(m.match.start())) else NO_FIT


def _plus(m: Match) -> Any:
    """`+4 sts`."""
    return Counted(m.num("n"), m.token("n").at, 1) if m.token("p").value == "+" else NO_FIT


def _change(sign: int) -> Any:
    return lambda m: Counted(m.num("n"), m.token("n").at, sign)


_DONE = ("times", "close", "around", "end")
"""Kinds of words after which a bare number at the end can only be a count."""
_ST = "(st|stitch|chain|rem|total|more|remark)"
_SPACES = "(chain|dash|num)* space"
_REST = "(rem|total|on|needle|hand|st|in|all|remark|for|after|even|between|at|end|held|co|(row num)|row)*"
_NOUNS = "(remark|hand)* (st|stitch|chain|rem|total|more) (st|stitch|chain|rem|total|more|remark)*"
"""What is counted."""
_LEAD = "(have|rem|total|on|remark|for|at)*"
_PART = (
    "(sep|colon) num (rem|remark|hand|sep (?=remark))* (st|(?=each))"
    " (for|each|both|remark|on|in|at|side|hand|sets|sep (?!num)|needle|unknown|edge|end|rem|seam|between|marker)*"
)
"""How many of the stitches lie where: `; 50 sts for each sleeve, 64 sts each for front and back`."""


def _behind_row(m: Match) -> bool:
    """Whether a row has come to its end before a number of stitches: `hdc in each st around 24 hdc`."""
    before = [m.chart.kind(place) for place in range(m.match.start() - 2, m.match.start())]
    if STITCHES & {*map(m.chart.kind, range(m.match.end(), len(m.chart.run)))}:
        return False
    if before[-1] == "ring" and "stitch" not in map(m.chart.kind, range(m.match.start())):
        return False  # `a magic ring of 5 sc`
    closed = before == ["slipjoin", "stitch"]  # `sl st into first d.c. 16 d.c.`, whose stop is the stitch's
    return closed or before[-1] in (*_DONE, "turn", "once", "st", "ring") or before == ["stitch", "num"]


COUNTS: tuple[Rule, ...] = (
    Rule(f"(open|dash|eq|colon|stop)+ {_LEAD} {{n:num}} {_NOUNS} {_REST} ({_PART})+ close? stop?", _counted, -0.4),
    Rule(f"(open|dash|eq|colon|stop)+ (have|total)* {{n:num}} (remark|hand)* {_ST}+ (rem|on|for)* {{per:(each|both)}} "
         "(remark|side|edge|sets|seam)+ close? stop?", _counted, -0.3),
    Rule("sep {n:num} (rem|total)? st (rem|total|on|needle|in|all|have|even)*", _counted, 0.3),
    Rule(f"(open|dash|eq|colon|stop) (dash|stop|sep|open|eq|colon)* {_LEAD} {{n:num}} {_NOUNS} {_REST} "
    f"{{per:(each|both) needle}}? close?", _counted),
    Rule(f"(have|total) {_LEAD} {{n:num}} {_ST}* {_REST} {{per:each needle}}?", _counted),
    Rule(f"(stop|sep|dash) remark* ending {{n:num}} {_NOUNS} {_REST} (?=stop|$)", _counted, 0.1),
    Rule("have {sets:num} sets {n:num} st? (on|needle|remark)*", _counted),
    Rule("sep? {a:(dec|inc)} {n:num} st sep? (as|remark|unknown)+ (colon|dash)",
         lambda m: Counted(m.num("n"), m.at, -1 if m.token("a").value == "dec" else 1)),
    Rule("(open|eq) {n:num} close?", _counted, 0.2),
    Rule("(dash|stop|colon|close) (dash|stop|sep)* {n:num} close? stop?", _counted, 0.6),
    Rule(f"{{n:num}} (st|rem) {_REST}", _counted, 0.8),
    Rule(f"(open|dash|eq|stop)+ {_LEAD} {{n:num}} st colon num (sep num)+ close? stop?", _counted, -0.4),
    Rule("{n:num} st {per:(on|in)? each needle}", _counted, 0.3),
    Rule("(colon|dash|sep|open|eq)+ {n:num} st {per:each} close? stop?$", _each_needle, -0.4),
    Rule("open num sep num eq {n:num} st? close", _counted),
    Rule("(open|dash|sep|stop|eq|colon)* {n:num} (st|more|stitch)* inced {rest:(st|in|each|all|total|remark|row"
    "|at|centre)*}? close?", _change(1)),
    Rule("(open|dash|sep|stop|eq|colon)* {n:num} (st|more|stitch)* deced {rest:(st|in|each|all|total|remark|row"
    "|at|centre)*}? close?", _change(-1)),
    Rule("open (eq|remark)* {n:num} st? dec (in|total|remark|st)* close", _change(-1)),
    Rule("open dash {n:num} st? close", _change(-1)),
    Rule("open sep {n:num} st? close", _change(1), 0.1),
    Rule("(stop|dash|eq|close)* {p:sep} {n:num} st stop?$", _plus, -0.2),
    Rule("(inced|deced) to {n:num} st?", _counted, 0.1),
    Rule(f"(open|dash|eq|colon|stop|sep)+ {{n:num}} {_ST} (sep num {_SPACES})+ close?", _counted, -0.2),
    Rule(f"(open|dash|eq|colon|stop) (sep|dash|stop)* num {_SPACES} (sep num {_ST})* close?", lambda m: None, 0.2),
    Rule("sep {n:num} stitch stop?$", _counted, 0.7),
    Rule("{n:num} stitch (stop|$)", lambda m: _counted(m) if _behind_row(m) else NO_FIT, -0.2),
    Rule("{n:num} stop?$", lambda m: _counted(m) if m.chart.kind(m.match.start() - 1) in _DONE else NO_FIT, 0.8),
)  # fmt: skip


_ROW_ENDS = ("times", "end", "around", "close", "stop")
"""Kinds of words behind which such a number needs no sign before it."""
_ENDS = "(?=close|stop|sep|dash|$) close? stop?"
_BEGINS = "(open|dash|eq|colon|stop|sep)* (have|remark)*"
_THUMB = frozenset({"thumb", "gusset"})


def _of_thumb(m: Match) -> Any:
    """`13 gusset sts`, while the others are on the needle as well."""
    return _part(m, "thumb") if {*m.token("w").value.split()} & _THUMB else NO_FIT


def _part(m: Match, part: str) -> Counted:
    return Counted(m.num("n"), m.token("n").at, per=part)


_INSIDE: tuple[Rule, ...] = (
    Rule(
        f"{_BEGINS} {{n:num}} (st|more|rem)* between (remark|num|each|all|both)* marker {_ENDS}",
        lambda m: _part(m, "markers"),
        -0.4,
    ),
    Rule(f"{_BEGINS} {{n:num}} {{w:remark}} remark? st {_ENDS}", _of_thumb, -0.5),
    Rule(f"{_BEGINS} {{n:num}} st (in|for|on) remark? {{w:remark}} {_ENDS}", _of_thumb, -0.5),
)


def inside(chart: Chart, here: int, end: int, nested: bool) -> Iterator[Offer]:
    """Give such a count where it stands behind a row of knitting."""
    if nested or not here or chart.craft == "crochet":
        return
    first, before = chart.kind(here), chart.kind(here - 1)
    for cost, item, after in fitting(_INSIDE, chart, here, end):
        closed = first != "open" or chart.partner.get(here) in (after - 1, after - 2)
        if closed and (first not in ("num", "have") or before in _ROW_ENDS):
            yield cost, item, after
