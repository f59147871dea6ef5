"""Rules for what terse print of garments and socks says: pocket linings, sets of stitches, yarn rejoined, borders."""

from __future__ import annotations

from typing import Any

from lessonplan.printed.heading import Num
from lessonplan.printed.items import HOLDER, AtNeedle, RowCount
from lessonplan.printed.rules.divided import TO_HOLD
from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.moves import MOVES
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import BindOff, Even, Hold, Return, Stitch, To


def _lining(m: Match) -> Any:
    """`Slip next 24 sts on to a holder and in place of these k across sts of pocket lining`: it has as many."""
    if m.token("l").value.split()[-1] != "lining":
        return NO_FIT
    number: Num = m.num("n") if m.has("n") and m.num("n") != ONE else ()  # `of one pocket lining`
    held = [place for place in range(m.match.start()) if m.chart.kind(place) == "holder"]
    for place in range(held[-1] if held and not number else 0, 0, -1):
        if m.chart.kind(place) == "num" and m.chart.kind(place + 1) in ("st", "remark"):
            number = m.chart.run[place].num
            break
    if not number:
        return NO_FIT
    name = m.token("s").value if m.token("s").kind == "stitch" else "k"
    return Return(number, HOLDER, m.at), Stitch(name, number, m.token("s").at)


def _all_but(m: Match) -> Any:
    """`Slip all but the last 7 sts on to a thread`."""
    return Hold(m.num("n"), True, m.at, keep=True)


def _last_set(m: Match) -> Any:
    """`Cont on last set of sts`: those up to the gap."""
    begins = m.chart.kind(m.match.start() - 1) in ("stop", "colon", "sep", "")
    return Hold((-2,), False, m.at, keep=True) if begins else NO_FIT


def _needles_named(m: Match) -> Any:
    """`With same needle pick up ...`: which needle it is changes nothing."""
    return None if m.token("w").value in ("with", "using") else NO_FIT


def _shared(m: Match) -> Any:
    """`Cast on 112 sts (38, 38, 36) on three needles`: how they lie there."""
    numbers = [
        m.chart.run[place].num for place in range(m.match.start(), m.match.end("of")) if m.chart.kind(place) == "num"
    ]
    all_ = sum(number[0] for number in numbers)
    return None if any(token.num[:1] == (all_,) for token in m.chart.run[: m.match.start()]) else NO_FIT


def _back_on(m: Match) -> Any:
    """`Slip rem sts back onto needle`."""
    return Return(None, "", m.at) if m.token("b").value == "back" else NO_FIT


def _rejoined(m: Match) -> Any:
    """`Rejoin yarn to rem 30 sts`: those are worked next."""
    return Return(m.num("n"), "", m.at) if m.token("r").value == "prose" else NO_FIT


def _rows_on_these(m: Match) -> Any:
    """`Work 14 rows in st st on these 11 sts`: the others wait."""
    if m.token("t").value not in ("these", "those"):
        return NO_FIT
    step = m.chart.run[m.match.start()]
    name = m.token("p").value if m.has("p") else ""
    plain = Stitch(step.value, ONE, m.at, bare=True) if step.value in ("k", "p") else Even(name, _END, m.at)
    return Hold(m.num("n"), False, m.at, keep=True), plain, RowCount(m.num("k"), m.at)


def _border(m: Match) -> Any:
    """`with 4 sts in g st at each end`: they are worked all the same."""
    before = m.chart.run[m.match.start("n") - 1].value
    return None if m.match.start("n") and before in ("with", "keeping") else NO_FIT


def _pieces_in_turn(m: Match) -> Any:
    """`K across 84 sts of back, 46 sts of left sleeve and 84 sts of front`: those of other needles come to these."""
    counts = [m.chart.run[place].num for place in range(m.match.start(), m.match.end()) if m.chart.kind(place) == "num"]
    name = m.token("s").value
    return tuple(item for n in counts for item in (Return(n, HOLDER, m.at), Stitch(name, n, m.at)))


def _instep(m: Match) -> Any:
    """`K 18 heel sts, pick up and k 16 sts, k 32 instep sts`: where they are not on the needle, they waited."""
    before = {*map(m.chart.kind, range(m.match.start()))}
    if (
        m.token("p" if m.has("p") else "p2").value not in ("instep", "foot", "held")
        or "pu" not in before
        or "pm" in before
    ):
        return NO_FIT
    return Return(m.num("n"), HOLDER, m.at), Stitch(m.token("s").value, m.num("n"), m.at)


def _on_needle(m: Match) -> Any:
    """`On 1st needle k to last 3 sts`."""
    token = m.token("n")
    number = token.num[0] if token.num else 1 if token.value == "first" else 0
    begins = m.chart.kind(m.match.start() - 1) in ("sep", "stop", "colon", "dash", "")
    return AtNeedle((number,), m.at, True) if number and begins else NO_FIT


_END = To("end", NONE, "", 0)
GARMENTS: tuple[Rule, ...] = (
    Rule("(remark|in|on|unknown|sep|st|at|put)* {s:(knit|work|even)} (around|over|remark|on|from|next)* "
         "({n:num} remark*)? (st (from|on|at|remark|ord|next|hand|each|num)*)? (remark|hand)* {l:remark} st?",
         _lining, -0.3),
    Rule(f"(slip|put) all remark? st? to (next|last|remark)+ {{n:num}} (remark|hand)* st {TO_HOLD}", _all_but, -0.4),
    Rule("(work|remark)+ on remark* last (remark|sets)+ st (remark|for|hand|side|seam|edge)*", _last_set, -0.2),
    Rule("{w:remark} (same|holder|next|ord|other|rem|hand|remark)+ needle (?=pu|knit|work|even)", _needles_named, -0.2),
    Rule("stop? {of:open num ((dash|sep|slash) num)+ st? close} (on|over|to|in)+ (num|remark|size)* needle", _shared,
         -0.2),
    Rule("(put|slip|return) (rem|remark|held|all)+ st {b:remark} on (hand|remark)* needle", _back_on, -0.2),
    Rule("{r:remark} to (rem|remark|held|next|last|other|hand|edge|seam)* {n:num} (rem|remark|held|hand)* st "
         "((remark|for|on|hand|edge|seam|holder|side|other|next) (remark|hand|edge|seam|side|other|next|holder|on)*)?",
         _rejoined, -0.2),
    Rule("(work|knit|even) {k:num} row (in|even|remark|on|over)* {p:pattern}? (in|even|on|over)* {t:remark} {n:num} st",
         _rows_on_these, -0.6),
    Rule("bo (both|all|remark)* (sets|remark)* st? together remark*", lambda m: BindOff(None, "3nBO", m.at), -0.3),
    Rule("remark? {n:num} remark* st in? (remark|pattern|even) (at|on|in)* (each|both) (end|edge|side|sets)", _border,
         -0.3),
    Rule("{s:knit} around {n:num} remark* st (from|on|at)* (remark|hand|centre|seam|edge|side|ord|next)+ "
         "(SEP+ (around|knit|remark)* num remark* st (from|on|at)* (remark|hand|centre|seam|edge|side|ord|next)+)+",
         _pieces_in_turn, -0.5),
    Rule("{s:knit} around? {n:num} (({p:remark} st)|(st (from|on|at)* {p2:remark}))", _instep, 2.2),
    Rule("on {n:(ord|next)} needle (?=ANY|work|star)", _on_needle, -0.1),
)  # fmt: skip
ALL_MOVES: tuple[Rule, ...] = (*MOVES, *GARMENTS)
"""All moves of the hands, in one table."""
