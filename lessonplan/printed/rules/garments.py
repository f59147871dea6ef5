"""Rules for what terse print of garments and socks says: pocket linings, needles shaped at their ends, all but a few."""

from __future__ import annotations

from typing import Any

from lessonplan.printed.rules.divided import TO_HOLD
from lessonplan.printed.rules.items import HOLDER, AtNeedle
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Hold, Num, Return, Stitch


def _lining(m: Match) -> Any:
    """`Slip next 24 sts on to a holder and in place of these k across sts of pocket lining`: it has as many."""
    if m.token("l").value.split()[-1] != "lining":
        return NO_FIT
    number: Num = m.num("n") if m.has("n") else ()
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


def _on_needle(m: Match) -> Any:
    """`On 1st needle k to last 3 sts`."""
    token = m.token("n")
    number = token.num[0] if token.num else 1 if token.value == "first" else 0
    begins = m.chart.kind(m.match.start() - 1) in ("sep", "stop", "colon", "dash", "")
    return AtNeedle((number,), m.at, True) if number and begins else NO_FIT


GARMENTS: tuple[Rule, ...] = (
    Rule("(remark|in|on|unknown|sep|st|at)* {s:(knit|work|even)} (around|over|remark|on|from|next)* ({n:num} remark*)? "
         "(st (from|on|at|remark|ord|next|hand|each)*)? (remark|hand)* {l:remark} st?", _lining, -0.3),
    Rule(f"(slip|put) all remark? st? to (next|last|remark)+ {{n:num}} (remark|hand)* st {TO_HOLD}", _all_but, -0.4),
    Rule("(work|remark)+ on last (remark|sets)+ st (remark|for|hand|side|seam|edge)*", _last_set, -0.2),
    Rule("on {n:(ord|next)} needle (?=ANY|work|star)", _on_needle, -0.1),
)  # fmt: skip
