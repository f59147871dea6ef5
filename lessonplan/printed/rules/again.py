"""Which rows a line asks for again: by their numbers, the last ones, by a name, or a shaping gone on with."""

from __future__ import annotations

import re
from typing import Any

from lessonplan.printed.heading import Num
from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.search import Match
from lessonplan.printed.tree import Again, Part


def _range(m: Match) -> tuple[str, Num, Num]:
    first = m.num("a")
    return "numbers", first, m.num("b", first)


def _seen(m: Match) -> tuple[str, Num, Num]:
    """`Row 4: see Row 2`; other words before a row's number point at none."""
    return ("numbers" if m.token("see").value == "see" else "", m.num("a"), m.num("a"))


def _begins(m: Match) -> bool:
    """Whether a line begins so: `repeat until 3 sts left`, which names no row."""
    return m.chart.kind(m.match.start() - 1) in ("", "stop", "remark") and "star" not in map(
        m.chart.kind, range(len(m.chart.run))
    )


_AND = "(sep|dash|to|remark)"


def _the_last(m: Match) -> tuple[str, Num, Num]:
    """`Rep these 2 rows`; `work 4 rows` alone are new ones."""
    kinds = {m.chart.kind(place) for place in range(m.match.start(), m.match.end())}
    return "last" if kinds & {"rep", "remark", "last", "next"} else "", m.num("n"), NONE


WHICH: tuple[tuple[str, Any], ...] = (
    ("(rep|work|as|same|remark)+ for? (from (as|from)*)? ((dec|inc) (?=row num (stop|sep|dash|eq|open|$)))?"
     " (even|unknown)? row (remark)? {a:num} "
    "((sep|dash|remark|num)* (sep|dash|remark) "
    "row? {b:num} (?!(times (?!num))|(more times)|((more|fewer)? (st|stitch|knit))))?", _range),
    ("(rep|work|as|same|remark)+ for? row {a:num} {b:num} (?=to|for|$)", _range),
    ("row {a:num} ((sep|dash|to) row? {b:num})? remark* rep (?=more|num|once|to)", _range),
    ("(rep|work|as|same|remark)+ for? (from (as|from)*)? row remark? {a:num} (?=(dash|eq|open|stop|sep)+ num (st|ANY))",
     lambda m: ("numbers", m.num("a"), m.num("a"))),
    ("(rep|work|as|same|remark)+ for? (from (as|from)*)? row remark? {a:num} to {b:num}", _range),
    ("{see:remark} row {a:num} (?=stop|eq|open|dash|sep|$)", _seen),
    (f"(rep|work)+ remark* {{a:num}} {_AND} {{b:num}} row", _range),
    ("(rep|work|as|same)+ (remark|for)* {a:ord} ((sep|to|dash) {b:ord})? row", _range),
    ("as (remark|for)* {a:ord} (?=stop|$)", _range),
    ("work (remark|in)* (manner|even) SEP* (dec|inc) num st? (in|at|on|centre|both|end|edge|beg|remark)* "
     "{each:(each|all)}",
         lambda m: ("shaping", NONE, NONE)),
    ("work (remark|sep)* (dec|inc) {a:num} st (in|on|at|evenly)* {each:(each|all)} row (as|in|remark|manner|same)*",
         lambda m: ("shaping", m.num("a"), NONE)),
    (f"same* as+ remark* {{a:num}} ({_AND} {{b:num}})?", _range),
    ("(rep|work|remark)+ (last|next)* {n:num} last? row (remark|num|sep)*", _the_last),
    ("(rep|work) (remark|last)* {n:num} (remark|last)? row", _the_last),
    ("(rep|work|as)+ for? (last|remark|same)+ row", lambda m: ("last", ONE, NONE)),
    ("(remark|all) {n:num} row (remark|pattern)+ SEP+ (rep|work) (remark|pattern|row|all)+",
         lambda m: ("last", m.num("n"), NONE)),
    ("rep remark+", lambda m: ("all", NONE, NONE)),
    ("rep (remark|from|for)* {name:(star|asterisk)+} ((to|sep) (star|asterisk)+)?", lambda m: ("star", NONE, NONE)),
    ("rep row", lambda m: ("last", ONE, NONE), ),
    ("rep (?=to (have|remark)* num)", lambda m: ("newest" if _begins(m) else "", ONE, NONE)),
    ("(rep|work) both row", lambda m: ("last", (2,), NONE)),
    ("(rep|work) {name:(dec|inc|deced|inced|remark|unknown|even|pattern|stitch|side|ord)+} row",
         lambda m: ("named", NONE, NONE)),
    ("work? (remark|dec|inc|work|to|sep)* (dec|inc|manner) (remark|manner|dec|inc|row|work|in|sep)*",
         lambda m: ("shaping", NONE, NONE)),
    ("work (next|row)* (remark|in|sep)* (manner|even) (remark|sep|work|have)* num st? (fewer|more) (sep (?!to)|remark"
    "|st|between|before|after|each|in|on|dec|inc|deced|inced|ANY|marker|row|times|next|last)*",
    lambda m: ("shaping", NONE, NONE)),
    ("work (remark|in|sep)* manner", lambda m: ("shaping", NONE, NONE)),
)  # fmt: skip
"""Patterns of words, each with what it means: the kind of choice, and the numbers of it."""


def _numbers(m: Match, _: Again) -> tuple[str, Num, Num, str]:
    return "numbers", m.num("a"), m.num("b", m.num("a")), ""


def _of_those(m: Match, before: Again) -> tuple[str, Num, Num, str]:
    """`then the first 4 rows once more`, of those repeated by their numbers."""
    return "numbers", before.first, (before.first[0] + m.num("a")[0] - 1,), ""


def _shaping(m: Match, _: Again) -> tuple[str, Num, Num, str]:
    return "named", NONE, NONE, m.token("d").value or m.token("d").kind[:3]


THEN: tuple[tuple[str, Any], ...] = (
    ("row {a:num} ((dash|to|sep|remark)+ row? {b:num})? (row|remark)* (?!times)", _numbers),
    ("row {a:num} (row|remark)*", _numbers),
    ("{a:ord} ((sep|to|dash)+ {b:ord})? row (remark)*", _numbers),
    ("(remark)* next {a:num} row", _of_those),
    ("{d:(dec|inc|deced|inced)} row (remark)*", _shaping),
    ("{s:side} row (remark)*", lambda m, _: ("side", NONE, NONE, m.token("s").value)),
)  # fmt: skip
"""The same behind a repeat, with what stands before it in mind; the last rows of a label need none of the verbs."""
_GROUP = "(num|dash|stitch|group|unknown|sets|remark|st|space)"
GROWN = (
    "(((rep|work|same|as)+ row num)|(work (even|manner|in)*)) (SEP|remark|unknown|have|work|each|row|all|in|on)* "
    f"((num more)|(more num?)) {{g:{_GROUP}+}} "
    "(around|in|on|at|between|each|both|all|edge|side|space|centre|remark|sets|row|before|after|marker|sep)* "
    "(?=stop|open|eq|dash|$)"
)
"""`Same as Rnd 3, having one more 3-dc group between corners`: groups in spaces, each time more of them."""
IN_EACH = (
    "(rep|work|same|as|for)+ row num (SEP|remark|work|have)* open {g:(num|stitch|sep|chain)+} close "
    "in (each|all) (chain|dash|num|space)+ (remark|on|around|edge|sets|in|at|each|both|all)* (?=stop|sep|$)"
)
"""`As Rnd 3, with (3 dc, ch 1) in each ch-1 sp along the sides`."""
NAMED_GROUPS = frozenset(
    {"group", "groups", "cluster", "clusters", "granny", "shell", "shells", "block", "blocks", "set"}
)


_ENDED = re.compile(r"\bend(?:ing)? (?:with|after|on) (?:a |another )?(?:row|rnd|round) (\d+)\b")


def ended(parts: tuple[Part, ...], text: str) -> tuple[Part, ...]:
    """`Rep rows 2 and 3 for 20 cm, ending with row 2`: the rows up to that one are worked once more."""
    last = parts[-1] if parts else None
    if not isinstance(last, Again) or last.which != "numbers" or not (last.measured or last.times):
        return parts
    told = _ENDED.search(text.lower(), last.at)
    ends = told is not None and last.first[0] <= int(told[1]) < last.last[0]
    more = Again("numbers", last.first, (int(told[1]),), "", None, None, told.start()) if told and ends else None
    return (*parts, more) if more else parts
