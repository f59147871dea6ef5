"""The rules of a row as data: how print says how far and how often, where a stitch goes, and the moves of the hands.

Each rule is a run of kinds of tokens (see `search.compiled`), what it means, and what it costs to read it so.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from lessonplan.craft.techniques import canonical
from lessonplan.printed.search import KINDS, Build, Chart, Match, Rule, char_kind, compiled
from lessonplan.printed.tree import (
    BindOff,
    CableNeedle,
    CastOn,
    Colour,
    Even,
    Hold,
    Into,
    Join,
    Mark,
    Num,
    PickUp,
    Picot,
    Return,
    Step,
    Stitch,
    Times,
    To,
    Turn,
)

ONE: Num = (1,)
NONE: Num = (0,)
STITCHES = frozenset({"stitch", "slip", "knit", "dec", "inc", "chain", "skip", "yarn"})


def _to(place: str, *, n: str = "n", default: Num = NONE) -> Any:
    return lambda m: To(place, m.num(n, default), "", m.at)


def _to_marker(m: Match) -> To:
    which = ""
    if m.has("last") and m.match["last"]:
        which = "last"
    elif m.has("o") and m.match["o"]:
        which = str(m.num("o")[0])
    elif m.has("name2") and m.match["name2"]:
        which = m.token("name2").value or str(m.num("name2")[0])
    elif m.has("name") and m.match["name"]:
        which = m.token("name").value
    at = m.token("mk").at if m.has("mk") else m.at
    return To("marker", m.num("n", ONE if m.has("one") and m.match["one"] else NONE), which, at)


def _to_gap(m: Match) -> To:
    return To(m.token("g").value, m.num("n", NONE), "", m.at)


_MARKER = "(next|each|{last:last})? {o:ord}? ({name:remark})? {mk:marker} {name2:(unknown|num)}?"
_PAST = "(row|(on? hand? needle num?)|rem|on|hand)*"
QUANTITIES: tuple[Rule, ...] = (
    Rule("{n:num} times SEP? more", lambda m: Times(m.num("n"), True, m.at)),
    Rule("{n:num} more times", lambda m: Times(m.num("n"), True, m.at)),
    Rule("more {n:(num|once)} times?", lambda m: Times(m.num("n"), True, m.at), 0.2),
    Rule("{n:num} times total", lambda m: Times(m.num("n"), False, m.at)),
    Rule("for? total {n:num} times", lambda m: Times(m.num("n"), False, m.at)),
    Rule("{n:num} times", lambda m: Times(m.num("n"), None, m.at)),
    Rule("times {n:num} times?", lambda m: Times(m.num("n"), None, m.at)),
    Rule("{n:once} more", lambda m: Times(m.num("n"), True, m.at)),
    Rule("{n:once} total?", lambda m: Times(m.num("n"), None, m.at)),
    Rule("around ((to|at) end)? row?", _to("across")),
    Rule("around {d:needle} num?", lambda m: To("needle", NONE, "", m.at)),
    Rule("around? to+ around? end (row|(on? hand? {d:needle} num?))?",
         lambda m: To("needle" if m.has("d") else "end", NONE, "", m.at)),
    Rule("around? to+ last {n:num}? (st|ANY)? (rem|on|hand)* {d:needle}? (ord|num|end|row)*",
         lambda m: To("needle" if m.has("d") else "end", m.num("n"), "", m.at)),
    Rule("around? to+ {n:num} (rem|last)? st? (before|from)? end (row|({d:needle} num?))?",
         lambda m: To("needle" if m.has("d") else "end", m.num("n"), "", m.at)),
    Rule("around? to+ {n:num} st? (before|from) {d:needle} end", lambda m: To("needle", m.num("n"), "", m.at)),
    Rule("around? to+ have? {n:num} st? rem ((on|at|in|for)? open? (hand|row|all|end)* close?)* {d:needle}? (to knit)?",
         lambda m: To("needle" if m.has("d") else "end", m.num("n"), "", m.at)),
    Rule("around? to+ {n:num} st? before remark? seam",
         lambda m: To("end", tuple(each + 1 for each in m.num("n")), "", m.at), 0.5),
    Rule("around? to+ have? rem {n:num} st", _to("end")),
    Rule("around? to+ have? {n:num} st on hand needle (after|bo|remark)*", lambda m: To("right", m.num("n"), "", m.at)),
    Rule("around? to+ (last|next)? {one:st} before end row?", lambda m: To("end", ONE, "", m.at)),
    Rule(f"around? to+ {{n:num}} st? (before|from) {_MARKER}", _to_marker),
    Rule(f"around? to+ {{n:num}} st {_MARKER}", _to_marker),
    Rule(f"around? to+ (last|next)? {{one:st}} (before|from) {_MARKER}", _to_marker),
    Rule(f"around? to+ {_MARKER}", _to_marker),
    Rule("around? to+ {o2:ord} st before (next|each)? marker", lambda m: To("marker", m.num("o2"), "", m.at)),
    Rule("(around num st)? around? to {one:st} (before|from) (last|next|remark)* {g:gap} (remark|turn|before)*",
         lambda m: To(m.token("g").value, ONE, "", m.at)),
    Rule("evenly (row)?", _to("across"), 1.5),
    Rule("around? to+ (last|next)* {n:num}? {one:st} before unworked st",
         lambda m: To("gap", m.num("n"), "", m.at)),
    Rule("around? to+ unworked st", lambda m: To("gap", NONE, "", m.at)),
    Rule("around? to+ {n:num} st? (before|from) (last|next|remark)* {g:gap} (remark|turn|before)*", _to_gap),
    Rule("around? to+ (last|next|remark)* {g:gap}", _to_gap),
    Rule("around? to+ {n:num}? (st before)? centre {n2:num}? (st|ANY)",
         lambda m: To("centre", m.num("n2", m.num("n")), "", m.at)),
    Rule("around? to+ centre {n2:num}? (st|ANY)", lambda m: To("centre", m.num("n2"), "", m.at)),
    Rule("over (next|last|centre|rem)? {n:num} (rem|remark)? (st|ANY)?", _to("over")),
    Rule("around (next|last|centre|rem)? {n:num} (rem|remark)? (st|ANY)?", _to("over"), 0.95),
    Rule("(all|each|rem)+ (st|ANY) around? (on needle)? (to end row?)?", lambda m: To("end", NONE, "each", m.at)),
)  # fmt: skip


_WHERE = "(st|ANY|space|top)"
PLACES: tuple[Rule, ...] = (
    Rule("in {o:ord} chain hook? {rest:(sep? (in? each|all) rem? (chain|st) (around|(to end row?))?)}?",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), To("end", NONE, "", m.at) if m.has("rest") else None, m.at)),
    Rule(f"all? (in|around) each (next|last)? {{n:num}} (rem|centre)? {_WHERE}? around?",
         lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule(f"(in|around|over) (next|last) {{n:num}} (rem|centre)? {_WHERE}?",
         lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule("(in|around) (each|all|rem)+ (rem|other)* space", lambda m: Into((), "space", NONE, None, m.at), 0.1),
    Rule("in (next|same|last|remark|each|num|chain|dash|ord)* space", lambda m: Into((), "space", ONE, None, m.at)),
    Rule(f"(in|around)? (each|all) (rem|other)* {_WHERE}",
         lambda m: Into((), "next", NONE, To("end", NONE, "", m.at), m.at), 0.05),
    Rule("in (same|top) (chain|dash|num|st|ANY|remark|same|beg|turn)*", lambda m: Into((), "same", ONE, None, m.at)),
    Rule(f"all? (in|around) (next|last|ord|remark|centre|beg)+ {_WHERE}?", lambda m: Into((), "next", ONE, None, m.at)),
    Rule(f"(in|around)? (next|ord|last) {_WHERE}", lambda m: Into((), "next", ONE, None, m.at), 0.1),
    Rule("in {n:num} (st|ANY)?", lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule("in? (remark|centre)? ring", lambda m: Into((), "new", ONE, None, m.at)),
    Rule("in (st|ANY)", lambda m: Into((), "next", ONE, None, m.at), 0.5),
)  # fmt: skip


def _hold(m: Match) -> Hold:
    n = m.num("n", NONE) if m.has("n") else None
    return Hold(n, m.has("last"), m.at)


def _bind_off(m: Match) -> BindOff:
    return BindOff(m.num("n") if m.has("n") else None, "BO", m.at)


def _even(m: Match) -> Even:
    name = m.token("p").value if m.has("p") else ""
    return Even(name, To("over", m.num("n"), "", m.at) if m.has("n") else To("end", NONE, "", m.at), m.at)


def _mark(action: str) -> Any:
    return lambda m: Mark(
        action, m.token("name").value if m.has("name") and m.token("name").kind == "unknown" else "", m.at
    )


def _pulled(method: str) -> Any:
    return lambda m: BindOff(None, method, m.at)


@dataclass(frozen=True, slots=True)
class RowCount:
    """A clause that says how often the row before it is worked (`count` None: as long as a length takes)."""

    count: Num | None
    at: int
    said: bool = True
    """Whether a number is printed, so that the clause alone makes rows: `work 1 row even`, not `next row`."""


@dataclass(frozen=True, slots=True)
class Counted:
    """Stitches printed after a line, or (`change`) how many more or fewer; `per` as in `Line`."""

    num: Num
    at: int
    change: int = 0
    per: str = ""


@dataclass(frozen=True, slots=True)
class AtNeedle:
    """Said after steps: they are worked at the beginning of this needle; or (`section`) before them: on these "
    "needles."""

    needles: tuple[int, ...]
    at: int
    section: bool = False


def _needles(m: Match) -> AtNeedle:
    numbers = (m.chart.run[place] for place in range(m.match.start("n"), m.match.end("n")))
    return AtNeedle(tuple(token.num[0] for token in numbers if token.kind == "num"), m.at, True)


def _even_rows(m: Match) -> Even:
    return Even(m.token("p").value, To("end", NONE, "", m.at), m.at)


_TO_HOLD = "(on|at|in|for|to|from|row)* (hand|next|remark|same|num|unknown|on)* holder (holder|on|remark)*"
_HAND = "(on|to|from|hand|needle|next|remark|num|unknown|ord)*"
MOVES: tuple[Rule, ...] = (
    Rule("pm ({name:unknown}|ord|remark)?", _mark("pm")),
    Rule("pm on needle", _mark("pm")),
    Rule("put (next|ord|remark|unknown|last|more|side|end|row)* marker (on needle)?", _mark("pm")),
    Rule("sm {name:unknown}?", _mark("sm")),
    Rule("rm {name:unknown}?", _mark("rm")),
    Rule("rmall", lambda m: Mark("rmall", "", m.at)),
    Rule("turn", lambda m: Turn(False, m.at)),
    Rule("turn SEP* (put|have) (rem|remark|all)* num? (rem)* st (rem|work|remark|unworked)*",
         lambda m: Turn(False, m.at)),
    Rule(f"turn SEP* put (rem|remark)* num? (rem)* st {_TO_HOLD}",
         lambda m: (Hold(None, False, m.at), Turn(False, m.at))),
    Rule("wt", lambda m: Turn(True, m.at)),
    Rule("join", lambda m: Join(m.at)),
    Rule("(remark|evenly) (remark|evenly|st|in|all|on|over|between)* num remark* needle", lambda m: None),
    Rule("slipjoin (remark|st|in|to|next|chain|top|num|dash|ANY|beg|row|same|ord|space|ring)*", lambda m: None),
    Rule("colour", lambda m: Colour(m.chart.run[m.match.start()].value, m.at)),
    Rule("holder {n:num} st?", _hold),
    Rule("{n:num} st? (on|to) cn (sep|remark|holder|at|in|to|work|on|put|held|side)*",
         lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("bo (next|remark)* {n:num} st? open (remark|hooknote)+ (ANY|st|num|work|remark)* close",
         lambda m: BindOff(m.num("n"), "BO", m.at, True)),
    Rule("bo (next|remark)* {n:num} (more|remark|next)* st? (even|remark|evenly|kwise|pwise)*", _bind_off),
    Rule("bo (in|remark|even|kwise|pwise|evenly)* (all|rem)* st? (even|evenly|remark|kwise|pwise|in|around|knit"
    "|pattern)*", _bind_off, 0.1),
    Rule("(bo|bind3|graft|draw) (remark|in|all|rem|num|st|from|on|needle|together|sep|knit|hand|pattern"
    "|even)*", _bind_off, 9.0),
    Rule("bind3 (in|all|rem|num|st|on|needle|remark|together|each)*", _pulled("3nBO")),
    Rule("graft (in|all|rem|num|st|on|needle|remark|together|graft|for|knit|each|from|sep)*", _pulled("graft")),
    Rule("draw (all|rem|num|st|on|needle|remark|each|in|once|work)*", _pulled("draw through")),
    Rule("(co|{short:coshort}) (next|remark|more)* {n:num} (more|next|remark)* st? (remark|on|over|gap|held|num)*",
         lambda m: CastOn(m.num("n"), m.has("short"), m.at)),
    Rule("pu {n:num} st? (knit)? (remark|unknown|on|from|evenly|edge|side|hand|in|over|end|next|gap|held|beg"
    "|each|row|co|bo|st|below|around|ord|last|rem|ring|space|all)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu knit {n:num} st? (remark|unknown|on|from|evenly|edge|side|hand|in|over|end|next|gap|held|co"
    "|bo|around)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu (next|each)? st? (knit)?", lambda m: PickUp(ONE, m.at), 0.3),
    Rule("picot {n:num}", lambda m: Picot(m.num("n"), m.at)),
    Rule("(put|slip) (next|remark)* {n:num} st? (on|to|in|from)* cn (sep|remark|holder|at|in|to|work|on|put"
    "|held|side)*",
         lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("{s:ANY} {n:num} st? from cn",
         lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("from cn sep? {s:ANY} {n:num}",
         lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at)), 0.6),
    Rule(f"(put|slip) {{last:last}} {{n:num}} st? (work|remark)* {_TO_HOLD}", _hold),
    Rule(f"(put|slip) (next|remark|rem)* {{n:num}} (rem|remark|next)* st? remark* {_TO_HOLD}", _hold),
    Rule(f"(put|slip) (all|rem)+ st {_TO_HOLD}", lambda m: Hold(None, False, m.at), 0.1),
    Rule(f"(put|slip) (remark|unknown)+ st {_TO_HOLD}", lambda m: Hold((-2,), False, m.at), 0.2),
    Rule("(put|slip|return) (remark|next|all)* {n:num}? (rem|remark|unknown)* held (remark|unknown|row)* st? "
         f"(from (remark|num)* holder)? (remark|return)* {_HAND}",
              lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("(put|slip|return) (remark|next|all)* {n:num}? (rem|remark|unknown)* st (rem|remark|held|from|on|num"
    "|side|unknown|next)* "
         f"holder (remark|return)* (on|to) {_HAND}", lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule(f"return (remark|all)* {{n:num}}? (rem|remark|held)* st (on|to) {_HAND}",
         lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("{s:knit} (around|remark)* {n:num} (remark|held|next|rem)* st? (from|on) (num|remark)* (holder|held)",
         lambda m: (Return(m.num("n"), "", m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("{s:knit} (around|remark)* {n:num} (remark)* held (remark|unknown)* st",
         lambda m: (Return(m.num("n"), "", m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("even {n:num} (rem|remark|next|centre)* st", _even),
    Rule("work (even|in|pattern|around|remark|over|next|for|all|sep|rem)* {n:num} (rem|remark|next|centre)* st "
    "(in|even|pattern|on|needle|num|remark|as)*",
         _even, 0.05),
    Rule("even" + " (in|even|work|remark)*", _even),
    Rule("work (in|on|as|remark)* even (remark|even|in)*", _even),
    Rule("(in|work) remark* {p:pattern} (even|in|work|remark)*", _even),
    Rule("work? {n:num} {p:pattern} (open num row close)?",
         lambda m: (_even_rows(m), RowCount(tuple(2 * each for each in m.num("n")), m.at))),
    Rule("{p:pattern} (even|in|work|remark)*", _even),
    Rule("at beg {d:needle} {n:num}", lambda m: AtNeedle(m.num("n"), m.at)),
    Rule("work row (num|remark|even|pattern|on|in|for|to|dash|sep|(open (remark|num)* close))* (over|around) "
    "(next|centre)? {n:num} (remark)* st", _even),
    Rule("(on|remark)? {d:needle} {n:(num ((sep|dash) num)*)} (colon|stop|dash|sep)*", _needles, 0.1),
    Rule("each needle (colon|dash)", lambda m: AtNeedle((0,), m.at, True)),
    Rule("wraps (sep|ANY|remark|together|gap|st|in|all|on|next|each|rem|to|as|num|work)*", lambda m: None),
    Rule("remark (remark|size|num|slash|length|unknown|sep|on|holder)* needle (num)?", lambda m: None, 0.3),
    Rule("work (inc|dec|inced|deced|st|remark)+ in (even|pattern|remark)", lambda m: None, 0.1),
    Rule("(in|work)? pattern SEP", lambda m: None, 0.4),
    Rule("between (each)? marker", lambda m: None, 0.3),
    Rule("after (last|remark|inced|deced|dec|inc|bo|co|next|work)+ row?", lambda m: None, 0.3),
    Rule("size (remark|num|slash|length)* needle", lambda m: None, 0.3),
    Rule("(open|sep|stop)* num? (rem|st)* unworked (st|rem|on|needle|hand)* close?", lambda m: None),
    Rule("(on|to|remark)* ord needle", lambda m: None, 0.2),
    Rule("last remark* row remark*", lambda m: None, 0.5),
    Rule("to (remark|beg|unknown|end)+", lambda m: None, 1.0),
    Rule("work (remark|hand)* st (in|on|for|as)* (even|pattern|remark)*",
         lambda m: Even("", To("unsaid", NONE, "", m.at), m.at), 0.3),
)  # fmt: skip


_NAMES = {
    "tbl": {"k": "k1 tbl", "p": "p1 tbl"},
    "below": {"k": "k1b", "p": "p1b"},
    "kwise": {"sl": "sl1k"},
    "pwise": {"sl": "sl1p"},
}


def _stitch(m: Match) -> Step | None:
    token = m.token("s")
    count = m.num("n")
    bare = not m.has("n")
    name = token.value
    for place in range(m.match.start(), m.match.end()):
        kind = m.chart.kind(place)
        if kind == "together":
            if name == "sl":
                name = "sl1k"
            elif name in ("k", "p", "sc", "dc", "hdc", "tr") and len(count) == 1 and count[0] != 1:
                if not 1 < count[0] < 100:
                    return None  # so many are not worked together
                name, count, bare = canonical(f"{name}{count[0]}tog", m.chart.craft), ONE, True
        elif kind in _NAMES:
            name = _NAMES[kind].get(
                name, f"{name} tbl" if kind == "tbl" and name in ("k2tog", "p2tog", "k3tog", "p3tog") else name
            )
    return Stitch(name, count, token.at, bare=bare, more=m.has("next") or m.has("m"))


_QUALIFIED = "(tbl|kwise|pwise|below|together|held|yarn)"
STITCH = (
    Rule(
        f"{{s:ANY}} {{next:next}}? (last|rem|each)? {{n:num}} {{m:more}}? (rem|both|each)? st? {_QUALIFIED}*", _stitch
    ),
    Rule(f"{{s:ANY}} {{n:num}} {_QUALIFIED}+ st? {_QUALIFIED}*", _stitch),
    Rule(f"{{s:ANY}} {_QUALIFIED}+ ({{next:next}}? {{n:num}} st?)?", _stitch),
    Rule("{s:(knit|slip)} (next|last|rem)? st {q:(tbl|kwise|pwise|below)}*", _stitch, 0.05),
    Rule("{s:ANY} next st", _stitch, 0.15),
    Rule("{s:slip} (last|next|sep|unworked|rem)* {n:num}? st (from|on) hand? needle (to|on) hand? needle", _stitch),
    Rule("{s:(inc|dec)} more", _stitch, 0.2),
    Rule("{s:ANY}", _stitch, 0.1),
)
RING = (Rule("ring SEP* {n:num} (stitch)?", lambda m: (m.num("n"), m.at)),)
NUMBERED = (Rule("{n:num} (more|remark)? {s:ANY} st?", _stitch),)


_Ready = tuple[re.Pattern[str], Build, float]
_INDEX: dict[int, dict[str, list[_Ready]]] = {}
"""Each table of rules made ready once: its rules by the kind of token that they can begin with."""


def _ready(rules: tuple[Rule, ...]) -> dict[str, list[_Ready]]:
    found: dict[str, list[_Ready]] = {kind: [] for kind in KINDS}
    for rule in rules:
        pattern = compiled(rule.pattern)
        for kind in _firsts(rule.pattern):
            found[kind].append((pattern, rule.build, rule.cost))
    _INDEX[id(rules)] = found
    return found


def _firsts(pattern: str) -> set[str]:
    """The kinds that the first token of a pattern can have, with those after what may be left out."""
    found: set[str] = set()
    for first in re.findall(r"(?:[^\s({]|[({](?:[^(){}]|[({](?:[^(){}]|[({][^(){}]*[)}])*[)}])*[)}])+", pattern):
        for word in re.findall(r"(?:\w+:)?(\w+)", first):
            found |= MEANT.get(word, {word})
        if not first.endswith(("?", "*")):
            break
    return found & set(KINDS)


MEANT = {"ANY": set(STITCHES), "SEP": {"sep", "stop", "colon", "dash", "slash"}}


def fitting(rules: tuple[Rule, ...], chart: Chart, here: int, end: int) -> Iterator[tuple[float, Any, int]]:
    """What rules offer at a token: cost, item, the token after it."""
    if here >= end:
        return
    index = _INDEX.get(id(rules)) or _ready(rules)
    for pattern, build, cost in index[char_kind(chart.run[here])]:
        match = pattern.match(chart.kinds, here, end)
        if match is not None and match.end() > here:
            yield cost, build(Match(chart, match)), match.end()
