"""The rules of crochet for several stitches that are closed as one, however print tells it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from lessonplan.craft.techniques import canonical
from lessonplan.printed.rules.grammar import ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Stitch

PLAIN = ("sc", "hdc", "dc", "tr", "dtr")
"""Stitches that a fabric is made of."""


def _together(m: Match) -> Any:
    """`Work the next 2 dc together into 1 tr`."""
    name = m.token("t" if m.has("t") else "s").value if m.has("t") or m.has("s") else ""
    n = m.num("n")
    if name not in PLAIN or len(n) > 1 or not 1 < n[0] < 10:
        return NO_FIT
    return Stitch(canonical(f"{name}{n[0]}tog", "crochet"), ONE, m.at, bare=True)


def _loops_closed(m: Match) -> Any:
    """`draw up a loop in each of next 2 sc, yo and through all 3 loops`: so many in one."""
    one = "dc" if m.has("h") and m.has("y") else "hdc" if m.has("y") else "sc"
    name, n = m.token("s").value if m.has("s") else one, m.num("n", m.num("t", (2,)))
    loops = n[0] + 1 if name != "hdc" else 2 * n[0] + 1
    if name not in PLAIN or not 1 < n[0] < 10 or (m.has("k") and m.num("k") not in ((1,), (loops,), (n[0] + 1,))):
        return NO_FIT
    return Stitch(canonical(f"{name}{n[0]}tog", "crochet"), ONE, m.at, bare=True)


def _one_over(m: Match) -> Any:
    """`1 sc over next 2 sts`, which is one stitch for two; one in each is the other reading of it."""
    one = _together(m) if m.num("k") == ONE and m.num("n") < (4,) else NO_FIT
    return replace(one, count=m.num("o2" if m.has("o2") else "o")) if isinstance(one, Stitch) else NO_FIT


_LOOP = "(remark in next (st|ANY) SEP* (stitch SEP*)? drawn)"
"""`Insert hook in next st, yo, draw up a loop`."""
_HALF = "(SEP* stitch SEP* (draw|to) (remark|num)* space)"
"""`Yo, draw through 2 loops`."""
_OFF = "SEP* stitch SEP* (draw|to) remark* ((all? {k:num} space?)|(all space?)) (on|remark)*"
"""`Yo and draw through all 3 loops on hook`."""
CLOSED: tuple[Rule, ...] = (
    Rule("next? {n:num} {s:ANY} together", _together, -0.2),
    Rule("{d:(dec|inc)} {n:num} stitch (?!over|around|in)",
         lambda m: Stitch(m.token("d").value, m.num("n"), m.at), -0.3),
    Rule("dec num? {s:stitch} (over|around|in) (next|last)+ {n:num} (st|ANY)?", _together, -0.4),
    Rule("{k:num} {s:stitch} over (next|last)+ {n:num} (st|ANY)? ((times {o:num})|({o2:num} times))?", _one_over, -0.3),
    Rule(f"drawn in each? next? {{n:num}} ({{s:stitch}}|st) {_OFF}", _loops_closed, -0.4),
    Rule("drawn in each? next? {n:num} ({s:stitch}|st) SEP* (remark|work)* as {k:num} (ANY|st)", _loops_closed, -0.4),
    Rule("(have|remark|put|work)* last space (in|each|ANY|st|on|remark)* sep work? num? {s:stitch} in (each|next)* "
         f"{{n:num}} (st|ANY) {_OFF}", _loops_closed, -0.6),
    Rule(f"open {{y:stitch}}? SEP* ({_LOOP}|(drawn in next (st|ANY))) {{h:{_HALF}}}? SEP* close "
         f"({{t:once}}|({{n:num}} times)) {_OFF}",
         _loops_closed, -0.4),
    Rule(f"{{y:stitch}}? SEP* {_LOOP} {{h:{_HALF}}}? SEP* (stitch SEP*)? {_LOOP} {_HALF}? {_OFF}", _loops_closed, -0.4),
    Rule("work? (next|last)+ {n:num} {s:ANY} as {k:num} (ANY|st)", _loops_closed, -0.3),
)  # fmt: skip
"""Several stitches closed as one."""
