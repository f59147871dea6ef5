"""The moves of the hands as rules: binding off, markers, holders, needles, turns, and what only looks like one."""

from __future__ import annotations

import re
from typing import Any

from lessonplan.printed.heading import Num
from lessonplan.printed.items import HOLDER, RowCount
from lessonplan.printed.rules.divided import DIVIDED, TO_HOLD, hold, of_a_piece, over_gaps
from lessonplan.printed.rules.grammar import NONE, ONE, STITCHES
from lessonplan.printed.rules.marked import MARKED
from lessonplan.printed.rules.needles import NEEDLES
from lessonplan.printed.rules.rownamed import ROW_NAMED
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import (
    Again,
    BindOff,
    CableNeedle,
    CastOn,
    Colour,
    Even,
    Hold,
    Join,
    Mark,
    PickUp,
    Return,
    Stitch,
    To,
    Turn,
)


def _bind_off(m: Match) -> BindOff:
    return BindOff(m.num("n") if m.has("n") else None, "BO", m.at)


def _fastened_off(m: Match) -> Any:
    """`Sl 1, k2tog, psso and fasten off`: the yarn is drawn through the one stitch that is left."""
    off = m.chart.run[m.match.end() - 1]
    stops = [place for place in range(m.match.start() - 1) if m.chart.kind(place) == "stop"]
    sentence = range(stops[-1] if stops else 0, m.match.start())
    before = [m.chart.run[place] for place in sentence if m.chart.kind(place) == "stitch"]
    several = {"times", "once", "rep", "around", "draw", "end"} & {*map(m.chart.kind, sentence)}
    only = (
        len(before) == 1
        and not several
        and before[0].value in ("k2tog", "k3tog", "sk2p", "s2kp", "skp", "ssk", "p2tog", "p3tog")
    )
    last = m.match.start() > 0 and (m.chart.run[m.match.start() - 1].value == "psso" or only)
    last = last and m.chart.craft != "crochet"
    return BindOff((1,), "BO", m.at, True) if last and off.value == "prose" else NO_FIT


def _kept(m: Match) -> Any:
    """`, keeping first and last 3 sts in garter st`: the stitches are worked all the same."""
    return None if m.token("r").value == "keeping" else NO_FIT


def _one_held(m: Match) -> Any:
    """`slip next st on to a safety pin`."""
    words = {m.chart.kind(place) for place in range(m.match.start(), m.match.start() + 3)}
    return Hold(ONE, False, m.at) if words & {"next", "centre"} else NO_FIT


def _bind_all_off(m: Match) -> Any:
    """`over those cast off` is no order."""
    before = m.chart.run[m.match.start() - 1].value if m.match.start() else ""
    return NO_FIT if before in ("those", "these", "were", "was", "been", "had", "has") else _bind_off(m)


def _headed(m: Match) -> Any:
    """`Knit 5 rounds, then decrease for the crown as follows.`: how is told in the lines after it."""
    return None if m.token("f").value.removeprefix("as ").startswith("foll") else NO_FIT


def _the_same(m: Match) -> Any:
    """`Rnds 13-15: same.`"""
    told = m.chart.kind(m.match.start() - 1) in ("colon", "dash")
    return Again("last", ONE, NONE, "", None, None, m.at) if told else NO_FIT


def _of_what(m: Match) -> Any:
    """`k38 sts of second sleeve`."""
    return None if m.chart.kind(m.match.start() - 1) == "st" and m.chart.craft != "crochet" else NO_FIT


def _these_held(m: Match) -> Hold:
    """`Leave these sts on a length of yarn`: all, where the line works none of them; else those before a marker.

    Behind `p until 30 sts are on right needle` they are these.
    """
    for place in range(max(0, m.match.start() - 12), m.match.start()):
        told = m.chart.match("to (have|remark)* {n:num} st (on|hand|needle|remark|have)+ sep+", place, m.match.start())
        if told is not None and told.end() == m.match.start():
            return Hold(Match(m.chart, told).num("n"), True, m.at)
    stop = next((place for place in range(m.match.start(), 0, -1) if m.chart.kind(place) == "stop"), 0)
    goal = m.chart.match(".*to num st? rem.*", 0, stop) if stop else None  # `until 5 sts rem. Leave these sts ...`
    worked = STITCHES & {m.chart.kind(place) for place in range(stop if goal else 0, m.match.start())}
    alone = m.token("w").value in ("these", "them", "your", "live") and not worked
    return Hold(None if alone else (-2,), False, m.at)


def _all_held(m: Match) -> Any:
    """`Knit 30 rows, slip sts to a holder`: all of them; one is `st`."""
    word = m.token("st")
    return Hold(None, False, m.at) if word.end - word.at not in (len("st"), len("stitch")) else NO_FIT


def _even(m: Match) -> Even:
    name = m.token("p").value if m.has("p") else ""
    return Even(name, To("over", m.num("n"), "", m.at) if m.has("n") else To("end", NONE, "", m.at), m.at)


def _rest_held(m: Match) -> Any:
    """`leaving rem 30 sts on a holder`, where the work was not turned just before."""
    before = [m.chart.kind(place) for place in range(m.match.start() - 2, m.match.start())]
    return NO_FIT if "turn" in before else Hold(None, False, m.at)


def _turned_for_these(m: Match) -> Any:
    """`K12, turn and work on these sts only`: the others wait."""
    return (Hold(None, False, m.at), Turn(False, m.at)) if m.token("these").value.startswith("these") else NO_FIT


def _keeping(m: Match) -> BindOff:
    """`Bind off all sts but the last one`: fewer than there are, by so many."""
    return BindOff(tuple(-each for each in m.num("n")), "BO", m.at)


def _where_they_are(m: Match) -> Any:
    """`dc in next 32 dc across the back`: behind a number of stitches it only tells where they lie."""
    before = [m.chart.kind(place) for place in range(m.match.start() - 2, m.match.start())]
    return None if before[:1] == ["num"] and before[-1] in ("st", "stitch") else NO_FIT


def _mark(action: str) -> Any:
    return lambda m: Mark(
        action, m.token("name").value if m.has("name") and m.token("name").kind == "unknown" else "", m.at
    )


def _over(m: Match) -> Any:
    """`Slip 1, over twice, narrow`: of old, the thread is thrown over the needle."""
    before = m.chart.kind(m.match.start() - 1)
    n = m.num("n2", m.num("n"))
    alone = before in ("", "sep", "stop", "colon", "dash", "open", "star")
    return Stitch("yo", n, m.at) if alone and m.chart.craft != "crochet" else NO_FIT


def _strands(m: Match) -> Any:
    """`2 strands held together`, `2nd ball`: of yarn, not of stitches."""
    return None if m.token("r").value in _OF_YARN else NO_FIT


def _rib_told(m: Match) -> Any:
    """`, beginning and ending with p2` behind a rib only tells how it is set."""
    before = {m.chart.kind(place) for place in range(m.match.start())}
    return None if before & {"pattern", "even"} and "star" not in before else NO_FIT


def _pulled(method: str) -> Any:
    return lambda m: BindOff(None, method, m.at)


def _even_rows(m: Match) -> Even:
    return Even(m.token("p").value, To("end", NONE, "", m.at), m.at)


def _pairs(first: Num, second: Num) -> list[tuple[int, int]]:
    """Numbers of each size side by side, where one stands for all sizes."""
    most = max(len(first), len(second))
    return [(first[size % len(first)], second[size % len(second)]) for size in range(most)]


def _motif(m: Match) -> Even:
    """`Work the 22-stitch repeat 4 times around`: so many stitches."""
    return Even("", To("over", tuple(n * k for n, k in _pairs(m.num("n"), m.num("k"))), "", m.at), m.at)


def _motifs(m: Match) -> Any:
    """`Work 24 rounds from the chart, repeating the 8-stitch motif 13 times`: so many stitches in each round."""
    return _motif(m), RowCount(m.num("r"), m.at)


def _ridges(m: Match) -> Any:
    """`Knit 6 ridges`: of two rows each."""
    ridges = m.token("p").value == "garter ridge"
    return (_even_rows(m), RowCount(tuple(2 * each for each in m.num("n")), m.at)) if ridges else NO_FIT


def _striped(m: Match) -> Any:
    """`Alternate 4 rows A and 2 rows B until it measures 20 cm`: worked even; without a length all of them once."""
    if m.chart.kind(m.match.start() - 1) in STITCHES:
        return NO_FIT
    even = Stitch(m.token("s").value, ONE, m.at, bare=True) if m.has("s") else Even("", To("end", NONE, "", m.at), m.at)
    if m.chart.kind(m.match.end()) in ("to", "for"):
        return even
    rows = [m.chart.run[place].num for place in range(m.match.start(), m.match.end()) if m.chart.kind(place) == "num"]
    several = max(len(each) for each in rows)
    return even, RowCount(tuple(sum(each[size % len(each)] for each in rows) for size in range(several)), m.at)


_OF_YARN = frozenset({"strand", "strands", "ball", "balls", "skein", "skeins", "yarn", "yarns", "shades"})
_MADE_LATER = frozenset({"thumb", "sleeve", "sleeves", "strap", "finger"})
"""Parts whose stitches wait on a holder until they are worked."""


def _part_back(m: Match) -> Any:
    """`Place thumb sts on dpns`: those that were held for it."""
    words = m.chart.run[m.match.start() : m.match.end()]
    needles = any(token.kind == "needle" or "onto needle" in token.value for token in words)
    part = m.token("p").value in _MADE_LATER
    return Return(m.num("n") if m.has("n") else None, "", m.at) if part and needles else NO_FIT


_PM = "meanwhile? (pm|(put marker))"
_HAND = "(on|to|from|hand|needle|next|remark|num|unknown|ord)*"
_WITH_THEIRS = "(remark|together|gap|st|in|all|on|next|each|rem|to|as)*"
"""What is told of wraps that are worked: `working wraps together with their sts`."""
MOVES: tuple[Rule, ...] = (
    *DIVIDED,
    *NEEDLES,
    *MARKED,
    *ROW_NAMED,
    Rule("pm ({name:unknown}|ord|remark)?", _mark("pm")),
    Rule("(around|over) (remark|unknown|seam|edge|hand)+ (?=sep|stop|dash|open|eq|$)", _where_they_are, -0.1),
    Rule(f"{_PM} (in|at|on) (remark|edge|next)* centre (remark|edge|hand|next|pu|co|num|each|both|st|at|on)* st?",
         lambda m: None, -0.1),
    Rule("{s:stitch} (colour|remark)", lambda m: None if m.token("s").value == "drop" else NO_FIT, -0.2),
    Rule("(num|ord) {r:remark} (remark|held|together|in|from)*", _strands, -0.1),
    Rule("(remark|beg|sep)* ending (side|row|in|remark|all|each)* {s:knit} {n:num}", _rib_told, -0.3),
    Rule("bo (remark|even)* (all|rem)+ st? remark (put|have|remark)* last? {n:num}? st (on|hand|needle|remark)*",
         _keeping, -0.3),
    Rule("bo (remark|even|in|all|st)* to+ last {n:num}? st (?=stop|sep|dash|$)", _keeping, -0.3),
    Rule("bo (remark|even|in)* to {n:num} st rem (on|hand|needle|remark)*", _keeping, -0.3),
    Rule(f"(have|put) remark* (rem|all)+ num? rem? st {TO_HOLD}", _rest_held, -0.3),
    Rule("put on holder (?=stop|$)", lambda m: None if m.chart.kind(m.match.start() - 1) == "stop" else NO_FIT),
    Rule("put (next|ord|remark|unknown|last|more|side|end|row)* marker (on needle)?", _mark("pm")),
    Rule("sm {name:unknown}?", _mark("sm")),
    Rule("(dash|open|eq) num marker (remark|total|on)* close?", lambda m: None, -0.1),
    Rule("(sep|remark)* {d:(inc|dec)} (for|remark|unknown|on|in|as)* {f:remark} (?=stop|colon|dash|$)", _headed, -0.2),
    Rule("same more? (?=stop|dash|open|eq|$)", _the_same, -0.1),
    Rule("rm {name:unknown}?", _mark("rm")),
    Rule("rmall", lambda m: Mark("rmall", "", m.at)),
    Rule("turn", lambda m: Turn(False, m.at)),
    Rule("meanwhile (?=stop|dash|open|eq|$)",
         lambda m: None if m.chart.kind(m.match.start() - 1) == "evenly" else NO_FIT),
    Rule("omit (remark|next)* turn", lambda m: None),
    Rule("turn (SEP|work|on|remark)* (num|st)* SEP* (have|put|slip|holder) (rem|remark|all|last)* num? (rem)* st "
         f"{TO_HOLD}",
         lambda m: (Hold(None, False, m.at), Turn(False, m.at)), -0.8),
    Rule("turn (remark|sep)* {l:length} remark*",
         lambda m: None if re.search(r"°|degree", m.token("l").value) else NO_FIT, -0.2),
    Rule("{t:(turn|wt)} SEP* (put|have) (rem|remark|all|last)* {n:num}? (rem)* (st|(?=unworked|stop|sep|$)) "
         "(rem|work|remark|unworked)*",
         lambda m: Turn(m.token("t").kind == "wt", m.at, m.num("n") if m.has("n") else ()), -0.3),
    Rule("turn (SEP|work|remark)+ on {these:remark} num? (st|ANY) (remark|for)* (next (?=stop|sep|$))?",
         _turned_for_these, -0.2),
    Rule("turn (SEP|work|remark)+ on remark* {first:next} (sets|remark)+ st (remark|for)*",
         lambda m: (Hold(None, False, m.at), Turn(False, m.at)) if m.token("first").value == "first" else NO_FIT, -0.2),
    Rule("wt", lambda m: Turn(True, m.at)),
    Rule("over (({n:once})|({n2:num} times))? (?=sep|stop|close|star|$)", _over),
    Rule("join", lambda m: Join(m.at)),
    Rule("(remark|evenly) (remark|evenly|st|in|all|on|over|between)* num remark* needle "
         "(open num ((dash|sep|slash) num)* st? close)?", lambda m: None),
    Rule("(on|over|between|remark)* num? needle open num ((dash|sep|slash) num)+ st? close", lambda m: None, -0.1),
    Rule("slipjoin (remark|st|in|to|next|chain|top|num|dash|ANY|beg|row|same|ord|space|ring)*", lambda m: None),
    Rule("colour", lambda m: Colour(m.chart.run[m.match.start()].value, m.at)),
    Rule("holder {n:num} st?", hold),
    Rule("{n:num} st? (on|to) cn (sep|remark|holder|at|in|to|work|on|put|held|side)*",
         lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("bo (next|remark)* {n:num} st? open (remark|hooknote)+ (ANY|st|num|work|remark)* close",
         lambda m: BindOff(m.num("n"), "BO", m.at, True)),
    Rule("bo (in|remark|even|kwise|pwise|evenly|pattern)* (all|rem)+ {n:num} (rem|st|even|evenly|remark|kwise|pwise|in"
         "|around|knit|pattern)*", _bind_off, -0.2),
    Rule("bo (next|remark|centre|last)* {n:num} (more|remark|next|last)* st? (even|remark|evenly|kwise|pwise)*",
         _bind_off),
    Rule("bo (remark|even|in)* all st? (even|remark|kwise|pwise|in|pattern)* (?=stop|$)",
         lambda m: BindOff(None, "BO", m.at, True)),
    Rule("bo (in|remark|even|kwise|pwise|evenly)* (all|rem)* last? st? (even|evenly|remark|kwise|pwise|in|around|knit"
    "|pattern)*", _bind_all_off, 0.1),
    Rule("(bo|bind3|graft|draw) (remark|in|all|rem|num|st|from|on|needle|together|sep|knit|hand|pattern"
    "|even)*", _bind_all_off, 9.0),
    Rule("bo (remark|even|in|all|rem|st|kwise|pwise|evenly)* colon (?=star|ANY).+$", _bind_off, -0.5),
    Rule("bind3 (in|all|rem|num|st|on|needle|remark|together|each)*", _pulled("3nBO")),
    Rule("graft (in|all|rem|num|st|on|needle|remark|together|graft|for|knit|each|from|sep)*", _pulled("graft")),
    Rule("sep? {f:remark} (?=stop|sep|$)", _fastened_off, -0.1),
    Rule("draw (all|rem|num|st|on|needle|remark|each|in|once|work)*", _pulled("draw through")),
    Rule("draw {n:num} st", lambda m: BindOff(m.num("n"), "draw through", m.at), -0.1),
    Rule("(co|{short:coshort}) (colon|dash)* (next|remark|more)* {n:num} (more|next|remark)* st?"
         " (remark|on|over|gap|held|num)*",
         lambda m: CastOn(m.num("n"), m.has("short"), m.at)),
    Rule("(co|coshort) (next|remark|more)* {n:num} (more|next|remark)* st? (over|at|in) remark* "
         "((each (num st?)? (gap|(bo (gap|edge|space|remark)?)))|(put? remark* bo))",
         lambda m: CastOn(m.num("n"), False, m.at, True), -0.2),
    Rule("(co|coshort) {n:num} st? (over|at|in) each {b:remark}",
         lambda m: CastOn(m.num("n"), False, m.at, True) if m.token("b").value.startswith("buttonhole") else NO_FIT,
         -0.2),
    Rule("(co|coshort) {n:num} st? over (each|all|sets|remark)* gap", over_gaps, -0.2),
    Rule("pu {n:num} st? (knit)? (remark|measures|unknown|on|at|top|from|evenly|edge|side|hand|in|over|end|next|gap"
    "|held|beg|each|row|co|bo|st|below|around|ord|last|rem|ring|space|all)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu knit? {n:num} st? (remark|on|from|in)* each (rem|remark|other)* {k:num} (rem|other|remark)* "
         "(edge|sets|side)",
         lambda m: PickUp(tuple(n * k for n, k in _pairs(m.num("n"), m.num("k"))), m.at), -0.1),
    Rule(f"{_PM} (after|at|in|on|between) (each|both) (edge|side|sets|rep|unknown|remark)", lambda m: None, -0.1),
    Rule("pu knit {n:num} st? (remark|unknown|on|at|top|from|evenly|edge|side|hand|in|over|end|next|gap|held|co"
    "|bo|around)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu (((((next|each) st?)|st) knit?)|(knit? (?=sep|stop|close|$)))", lambda m: PickUp(ONE, m.at), 0.3),
    Rule("(put|slip) (next|remark)* {n:num} st? (on|to|in|from)* cn (sep|remark|holder|at|in|to|work|on|put"
    "|held|side)*",
         lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("{s:ANY} {n:num} st? from cn",
         lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("from cn sep? {s:ANY} {n:num}",
         lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at)), 0.6),
    Rule(f"(put|slip) {{last:last}} {{n:num}} st? (work|remark)* {TO_HOLD}", hold),
    Rule("(put|slip) (next|remark|rem|centre)* {n:num} (rem|remark|next|centre|hand|seam)* st? "
         f"(remark|between|marker)* {TO_HOLD}", hold),
    Rule(f"(put|slip) (next|remark|centre|ord|rem)* st {TO_HOLD}", _one_held),
    Rule(f"(put|slip) {{st:st}} {TO_HOLD}", _all_held, 0.1),
    Rule(f"(put|slip) (all|rem)+ st {TO_HOLD}", lambda m: Hold(None, False, m.at), 0.1),
    Rule(f"(put|slip) {{w:(remark|unknown)}} (remark|unknown)* st {TO_HOLD}", _these_held, 0.2),
    Rule("(put|slip|return) (remark|next|all)* {n:num}? (rem|remark|unknown)* held (remark|unknown|row)* st? "
         f"(from (remark|num)* holder)? (remark|return)* {_HAND}",
              lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("(put|slip|return) (remark|next|all|last)* {n:num}? (rem|remark|unknown)* st (rem|remark|held|from|on|num"
    "|side|unknown|next)* "
         f"holder (remark|return)* (on|to) {_HAND}", lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("(put|slip|return) (next|all)* {n:num}? (rem|held)* {p:remark} st (remark|num)* (on (remark|num)* needle)?",
         _part_back, 0.1),
    Rule("return (next|ord|other|remark|num)* needle (to|on) (remark|beg|end)+", lambda m: None),
    Rule("{s:knit} (around|remark)* {n:num} (remark|held|next|rem|(sep remark))* st? (num|remark|ord|next|hand)* "
         "(from|on) (num|remark|ord|next|hand)* (holder|held)",
         lambda m: (Return(m.num("n"), HOLDER, m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("{s:knit} (around|remark)* {n:num} (remark|held)* st? (from|on|in)* (next|ord|hand|other|remark)* {w:remark} "
         "st? (?=sep|stop|dash|eq|colon|$)",
         of_a_piece, -0.3),
    Rule("{s:knit} (around|remark)* {n:num} (remark)* held (remark|unknown)* st",
         lambda m: (Return(m.num("n"), HOLDER, m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("even {n:num} (rem|remark|next|centre)* st?", _even),
    Rule("work? {n:num} (rem|remark|next|centre|seam|edge|hand)* st (in|on)? {p:pattern}", _even),
    Rule("{p:pattern} (over|next|rem|centre)* {n:num} st?", _even),
    Rule("work (even|in|pattern|around|remark|over|next|for|all|sep|rem)* {n:num} (rem|remark|next|centre)* st "
    "(in|even|pattern|on|needle|num|remark|as)*",
         _even, 0.05),
    Rule("even" + " (in|even|work|remark)*", _even),
    Rule("work (in|on|as|remark)* even (remark|even|in)*", _even),
    Rule("(in|work) remark* {p:pattern} (even|in|work|remark)*", _even),
    Rule("{s:knit} {n:num} {p:pattern} (open num row close)?", _ridges),
    Rule("work? {n:num} {p:pattern} (open num row close)?",
         lambda m: (_even_rows(m), RowCount(tuple(2 * each for each in m.num("n")), m.at))),
    Rule("{p:pattern} (even|in|work|remark)*", _even),
    Rule("work row (num|remark|even|pattern|on|in|for|to|dash|sep|(open (remark|num)* close))* (over|around) "
    "(next|centre)? {n:num} (remark)* st", _even),
    Rule("(for|as) (remark|unknown|ord|next|for)+ (?=sep|stop|colon|close|to|for|$)", lambda m: None, 0.2),
    Rule("(ord|next|hand|remark) (remark|unknown)+ (for (remark|unknown|ord)+)? (?=sep|stop|colon|close|$)",
         _of_what, 0.2),
    Rule(f"wraps num? {_WITH_THEIRS} (sep (work|(ANY (?=remark|together))) {_WITH_THEIRS})?", lambda m: None),
    Rule(f"work (each|all|rem)* {{g:gap}} (together|(?=remark)) {_WITH_THEIRS}",
         lambda m: None if m.token("g").value == "wrap" else NO_FIT, -0.2),
    Rule("(remark|(on? size)) (remark|size|num|slash|length|unknown|sep|on|holder|(open length close))* needle (num)?",
         lambda m: None, 0.3),
    Rule("(on|remark|at)* needle (remark|stop)? size (num|length|remark|sep)+", lambda m: None, -0.2),
    Rule("(work|remark|unknown) (inc|dec|inced|deced|st|remark|more)+ in (even|pattern|remark)", lambda m: None, 0.1),
    Rule("work (all|remark)* (deced|inced|inc|dec)+ (even|as|manner) (remark|last|row|on|in|same|next)* (?=sep)",
         lambda m: None, -0.3),
    Rule("(in|work)? pattern SEP", lambda m: None, 0.4),
    Rule("between (each)? marker", lambda m: None, 0.3),
    Rule("after (last|remark|inced|deced|dec|inc|bo|co|next|work)+ row?", lambda m: None, 0.3),
    Rule("(open|sep|stop)* num? (rem|st)* unworked (st|rem|on|needle|hand)* close?", lambda m: None),
    Rule("(remark|sep)* winding (around|row|on|needle)* (once|(num times))? (around|row|on|needle)* "
         "((for|in|on)* each st)?", lambda m: None),
    Rule("row on? side (have|remark)+ ANY num? (at|on|in)* (each|both) (end|edge)", lambda m: None),
    Rule("work {n:num} dash? st (remark|pattern)* rep {k:num} times around?", _motif, -0.2),
    Rule("work? {r:num} row (from|in|remark)* chart SEP* rep {n:num} dash? st? (remark|pattern|rep)+ {k:num} times "
         "(((remark|in|on)* each? row)|around)?", _motifs, -0.5),
    Rule("sep? {r:remark} (next|last|sep|each|both|all|num|st|end|edge|at|on|side|remark)+ in? (pattern|even)", _kept,
         -0.1),
    Rule("(on|to|remark)* ord needle", lambda m: None, 0.2),
    Rule("last remark* row remark*", lambda m: None, 0.5),
    Rule("((other|remark|work|in|pattern|even)*|{s:knit}) num row (colour|unknown)? (sep num row (colour|unknown)?)* "
         "sep num row (colour|unknown) (remark|manner)* (?=to|for|stop|sep|$)", _striped, -0.3),
    Rule("to (remark|beg|end)+", lambda m: None, 1.0),
    Rule("work (remark|hand)* st (in|on|for|as)* (even|pattern|remark)*",
         lambda m: Even("", To("unsaid", NONE, "", m.at), m.at), 0.3),
)  # fmt: skip
