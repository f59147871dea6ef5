"""The stitches printed after a line, as rules."""

from __future__ import annotations

from typing import Any

from lessonplan.printed.items import Counted
from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import NO_FIT, Match, Rule


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
