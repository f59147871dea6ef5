"""What can be read at a token of a row: stitches, repeats, places, markers, the other moves of the hands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from lessonplan.craft.techniques import canonical, technique
from lessonplan.printed.search import KINDS, Chart, Found, Match, Offer, Passed, Rule, Search, char_kind
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
    Quantity,
    Repeat,
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
    return To("marker", m.num("n", ONE if m.has("one") and m.match["one"] else NONE), which, m.at)


def _to_gap(m: Match) -> To:
    return To(m.token("g").value, m.num("n", NONE), "", m.at)


_MARKER = "(next|each|{last:last})? {o:ord}? ({name:remark})? marker {name2:(unknown|num)}?"
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
    Rule("around? to+ {n:num} st? before remark? seam", lambda m: To("end", tuple(each + 1 for each in m.num("n")), "", m.at), 0.5),
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
    Rule("evenly (row)?", _to("across"), 0.3),
    Rule("around? to+ (last|next)* {n:num}? {one:st} before unworked st",
         lambda m: To("gap", m.num("n"), "", m.at)),
    Rule("around? to+ unworked st", lambda m: To("gap", NONE, "", m.at)),
    Rule("around? to+ {n:num} st? (before|from) (last|next|remark)* {g:gap} (remark|turn|before)*", _to_gap),
    Rule("around? to+ (last|next|remark)* {g:gap}", _to_gap),
    Rule("around? to+ {n:num}? (st before)? centre {n2:num}? (st|ANY)", lambda m: To("centre", m.num("n2", m.num("n")), "", m.at)),
    Rule("around? to+ centre {n2:num}? (st|ANY)", lambda m: To("centre", m.num("n2"), "", m.at)),
    Rule("over (next|last|centre|rem)? {n:num} (rem|remark)? (st|ANY)?", _to("over")),
    Rule("around (next|last|centre|rem)? {n:num} (rem|remark)? (st|ANY)?", _to("over"), 0.95),
    Rule("(all|each|rem)+ (st|ANY) around? (on needle)? (to end row?)?", lambda m: To("end", NONE, "each", m.at)),
)  # fmt: skip


_WHERE = "(st|ANY|space|top)"
PLACES: tuple[Rule, ...] = (
    Rule("in {o:ord} chain hook? {rest:(sep? (in? each|all) rem? (chain|st) (around|(to end row?))?)}?",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), To("end", NONE, "", m.at) if m.has("rest") else None, m.at)),
    Rule(f"all? (in|around) each (next|last)? {{n:num}} (rem|centre)? {_WHERE}? around?", lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule(f"(in|around|over) (next|last) {{n:num}} (rem|centre)? {_WHERE}?",
         lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule("(in|around) (each|all|rem)+ (rem|other)* space", lambda m: Into((), "space", NONE, None, m.at), 0.1),
    Rule("in (next|same|last|remark|each|num|chain|dash|ord)* space", lambda m: Into((), "space", ONE, None, m.at)),
    Rule(f"(in|around)? (each|all) (rem|other)* {_WHERE}",
         lambda m: Into((), "next", NONE, To("end", NONE, "", m.at), m.at), 0.05),
    Rule(f"in (same|top) (chain|dash|num|st|ANY|remark|same|beg|turn)*", lambda m: Into((), "same", ONE, None, m.at)),
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
    """Said after steps: they are worked at the beginning of this needle; or (`section`) before them: on these needles."""

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
    Rule("turn SEP* (put|have) (rem|remark|all)* num? (rem)* st (rem|work|remark)*", lambda m: Turn(False, m.at)),
    Rule(f"turn SEP* put (rem|remark)* num? (rem)* st {_TO_HOLD}", lambda m: (Hold(None, False, m.at), Turn(False, m.at))),
    Rule("wt", lambda m: Turn(True, m.at)),
    Rule("join", lambda m: Join(m.at)),
    Rule("slipjoin (remark|st|in|to|next|chain|top|num|dash|ANY|beg|row|same|ord|space)*", lambda m: None),
    Rule("colour", lambda m: Colour(m.chart.run[m.match.start()].value, m.at)),
    Rule("holder {n:num} st?", _hold),
    Rule("{n:num} st? (on|to) cn (sep|remark|holder|at|in|to|work|on|put|held|side)*", lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("bo (next|remark)* {n:num} st? open (remark|hooknote)+ (ANY|st|num|work|remark)* close", lambda m: BindOff(m.num("n"), "BO", m.at, True)),
    Rule("bo (next|remark)* {n:num} (more|remark|next)* st? (even|remark|evenly|kwise|pwise)*", _bind_off),
    Rule("bo (in|remark|even|kwise|pwise|evenly)* (all|rem)* st? (even|evenly|remark|kwise|pwise|in|around|knit|pattern)*", _bind_off, 0.1),
    Rule("(bo|bind3|graft|draw) (remark|in|all|rem|num|st|from|on|needle|together|sep|knit|hand|pattern|even)*", _bind_off, 9.0),
    Rule("bind3 (in|all|rem|num|st|on|needle|remark|together|each)*", _pulled("3nBO")),
    Rule("graft (in|all|rem|num|st|on|needle|remark|together|graft|for|knit|each|from|sep)*", _pulled("graft")),
    Rule("draw (all|rem|num|st|on|needle|remark|each|in|once|work)*", _pulled("draw through")),
    Rule("(co|{short:coshort}) (next|remark|more)* {n:num} (more|next|remark)* st? (remark|on|over|gap|held|num)*",
         lambda m: CastOn(m.num("n"), m.has("short"), m.at)),
    Rule("pu {n:num} st? (knit)? (remark|unknown|on|from|evenly|edge|side|hand|in|over|end|next|gap|held|beg|each|row|co|bo|st|below|around|ord|last|rem|ring|space|all)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu sep? knit? {n:num} st? (remark|unknown|on|from|evenly|edge|side|hand|in|over|end|next|gap|held|co|bo|around)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu (next|each)? st? (knit)?", lambda m: PickUp(ONE, m.at), 0.3),
    Rule("picot {n:num}", lambda m: Picot(m.num("n"), m.at)),
    Rule("(put|slip) (next|remark)* {n:num} st? (on|to|in|from)* cn (sep|remark|holder|at|in|to|work|on|put|held|side)*",
         lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("{s:ANY} {n:num} st? from cn", lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("from cn sep? {s:ANY} {n:num}",
         lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at)), 0.6),
    Rule(f"(put|slip) {{last:last}} {{n:num}} st? (work|remark)* {_TO_HOLD}", _hold),
    Rule(f"(put|slip) (next|remark|rem)* {{n:num}} (rem|remark|next)* st? remark* {_TO_HOLD}", _hold),
    Rule(f"(put|slip) (all|rem|remark)* st {_TO_HOLD}", lambda m: Hold(None, False, m.at), 0.1),
    Rule(f"(put|slip) (remark|unknown)+ st {_TO_HOLD}", lambda m: Hold((-2,), False, m.at), 0.2),
    Rule("(put|slip|return) (remark|next|all)* {n:num}? (rem|remark|unknown)* held (remark|unknown|row)* st? "
         f"(from (remark|num)* holder)? (remark|return)* {_HAND}", lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("(put|slip|return) (remark|next|all)* {n:num}? (rem|remark|unknown)* st (rem|remark|held|from|on|num|side|unknown|next)* "
         f"holder (remark|return)* (on|to) {_HAND}", lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule(f"return (remark|all)* {{n:num}}? (rem|remark|held)* st (on|to) {_HAND}",
         lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("{s:knit} (around|remark)* {n:num} (remark|held|next|rem)* st? (from|on) (num|remark)* (holder|held)",
         lambda m: (Return(m.num("n"), "", m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("{s:knit} (around|remark)* {n:num} (remark)* held (remark|unknown)* st",
         lambda m: (Return(m.num("n"), "", m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("even {n:num} (rem|remark|next|centre)* st", _even),
    Rule("work (even|in|pattern|around|remark|over|next|for|all|sep|rem)* {n:num} (rem|remark|next|centre)* st (in|even|pattern|on|needle|num|remark|as)*",
         _even, 0.05),
    Rule("even" + " (in|even|work|remark)*", _even),
    Rule("work (in|on|as|remark)* even (remark|even|in)*", _even),
    Rule("(in|work) remark* {p:pattern} (even|in|work|remark)*", _even),
    Rule("work? {n:num} {p:pattern} (open num row close)?", lambda m: (_even_rows(m), RowCount(tuple(2 * each for each in m.num("n")), m.at))),
    Rule("{p:pattern} (even|in|work|remark)*", _even),
    Rule("at beg {d:needle} {n:num}", lambda m: AtNeedle(m.num("n"), m.at)),
    Rule("work row (num|remark|even|pattern|on|in|for|to|dash|sep|(open (remark|num)* close))* (over|around) (next|centre)? {n:num} (remark)* st", _even),
    Rule("(on|remark)? {d:needle} {n:(num ((sep|dash) num)*)} (colon|stop|dash|sep)*", _needles, 0.1),
    Rule("each needle (colon|dash)", lambda m: AtNeedle((0,), m.at, True)),
    Rule("wraps (sep|ANY|remark|together|gap|st|in|all|on|next|each|rem|to|as|num|work)*", lambda m: None),
    Rule("remark (remark|size|num|slash|length|unknown|sep|on|holder)* needle (num)?", lambda m: None, 0.3),
    Rule("work (inc|dec|inced|deced|st|remark)+ in (even|pattern|remark)", lambda m: None, 0.1),
    Rule("between (each)? marker", lambda m: None, 0.3),
    Rule("after (last|remark|inced|deced|dec|inc|bo|co|next|work)+ row?", lambda m: None, 0.3),
    Rule("size (remark|num|slash|length)* needle", lambda m: None, 0.3),
    Rule("(open|sep|stop)* num? (rem|st)* unworked (st|rem|on|needle|hand)* close?", lambda m: None),
    Rule("(on|to|remark)* ord needle", lambda m: None, 0.2),
    Rule("last remark* row remark*", lambda m: None, 0.5),
    Rule("to (remark|beg|unknown|end)+", lambda m: None, 1.0),
    Rule("work (remark|hand)* st (in|on|for|as)* (even|pattern|remark)*", lambda m: Even("", To("unsaid", NONE, "", m.at), m.at), 0.3),
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
            elif name in ("k", "p", "sc", "dc", "hdc", "tr") and len(count) == 1 and count[0] > 1:
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
    Rule("{s:slip} (last|next|sep|unworked|rem)* {n:num}? st (from|on) hand needle (to|on) hand needle", _stitch),
    Rule("{s:(inc|dec)} more", lambda m: replace(_stitch(m), more=False), 0.2),
    Rule("{s:ANY}", _stitch, 0.1),
)
NUMBERED = (Rule("{n:num} (more|remark)? {s:ANY} st?", _stitch),)


@cache
def _by_first(rules: tuple[Rule, ...]) -> dict[str, tuple[Rule, ...]]:
    """Rules by the kinds of token that they can begin with."""
    found: dict[str, list[Rule]] = {kind: [] for kind in KINDS}
    for rule in rules:
        for kind in _firsts(rule.pattern):
            found[kind].append(rule)
    return {kind: tuple(each) for kind, each in found.items()}


def _firsts(pattern: str) -> set[str]:
    """The kinds that the first token of a pattern can have, with those after what may be left out."""
    found: set[str] = set()
    text = pattern
    while text:
        text = text.lstrip()
        depth, end = 0, 0
        while end < len(text) and (depth or text[end] != " "):
            depth += {"(": 1, "{": 1, ")": -1, "}": -1}.get(text[end], 0)
            end += 1
        first, text = text[:end], text[end:]
        for word in (
            first.replace("{", " {").replace("(", " ").replace("|", " ").replace(")", " ").replace("}", " ").split()
        ):
            word = word.split(":")[-1].strip("?*+{")
            found |= (
                set(STITCHES)
                if word == "ANY"
                else ({"sep", "stop", "colon", "dash", "slash"} if word == "SEP" else {word})
            )
        if not first.endswith(("?", "*")):
            break
    return found & set(KINDS)


def fitting(rules: tuple[Rule, ...], chart: Chart, here: int, end: int) -> Iterator[tuple[float, Any, int]]:
    """What rules offer at a token: cost, item, the token after it."""
    if here >= end:
        return
    for rule in _by_first(rules)[char_kind(chart.run[here])]:
        match = chart.match(rule.pattern, here, end)
        if match is not None and match.end() > here:
            yield rule.cost, rule.build(Match(chart, match)), match.end()


class Steps:
    """Offers of steps at a token."""

    def __init__(self, chart: Chart, search: Search) -> None:
        self.chart = chart
        self.search = search
        self.crochet = chart.craft == "crochet"

    def offers(self, here: int, end: int) -> list[Offer]:
        """Every step that can be read from a token on."""
        kind = self.chart.kind(here)
        found: list[Offer] = []
        if kind == "stitch" and self.chart.match("knit sep (inc|dec) (each|in)", here, end) is not None:
            found.append((0.0, None, here + 2))  # `knit, inc in first and last st` only names the row
        if kind == "gap" and self.chart.run[here].value == "ds":
            found.append((0.0, Stitch("DS", ONE, self.chart.run[here].at, bare=True), here + 1))
        if kind in STITCHES:
            found += self._stitches(STITCH, here, end)
        elif kind == "num":
            dear = 0.0 if self.crochet else 1.5
            if self.chart.kind(here - 1) in ("stop", "eq", "dash"):
                dear += 0.7  # rather the count of the line
            found += [(cost + dear, item, after) for cost, item, after in self._stitches(NUMBERED, here, end)]
        elif kind == "ring" and self.crochet:
            for cost, n, after in fitting(
                (Rule("ring SEP* {n:num} (stitch)?", lambda m: (m.num("n"), m.at)),), self.chart, here, end
            ):
                body = (Stitch(main_stitch(self.chart), n[0], n[1]),)
                found.append((cost, Into(body, "new", ONE, None, n[1]), after))
        elif kind == "open":
            found += self._groups(here, end)
        elif kind == "star":
            found += self._stars(here, end)
        for cost, item, after in fitting(MOVES, self.chart, here, end):
            if isinstance(item, Turn) and self.crochet and not item.wrap:
                item = None  # at the end of every row, and no short row
            if isinstance(item, AtNeedle):
                found.append((cost, item, after))
                continue
            if isinstance(item, Even) and item.to.place == "end":
                found += [(cost + more, replace(item, to=to), then) for more, to, then in self._fills(after, end)]
            found.append((cost, item, after))
        if kind == "work":
            at = self.chart.run[here].at
            found += [(cost, Even("", to, at), then) for cost, to, then in self._fills(here + 1, end)]
        return found

    def quantities(self, here: int, end: int) -> Iterator[tuple[float, Quantity, int]]:
        """How often, or how far, what stands before a token is worked; signs between do not matter."""
        yield from fitting(QUANTITIES, self.chart, here, end)

    def _fills(self, here: int, end: int) -> list[tuple[float, To, int]]:
        return [(cost, each, after) for cost, each, after in self.quantities(here, end) if isinstance(each, To)]

    def _last_repeat(self, steps: tuple[Step, ...], at: int, cost: float, after: int, end: int) -> Iterator[Offer]:
        """`ending last rep k2` (in place of the whole or of its last step), `omitting last p2`."""
        last = Repeat(steps, To("last", NONE, "", at), at, kind="star")
        omitted = self.chart.match("omit (at|in|remark)* ANY (num st?)?", after - 1, end)
        if omitted is not None:
            yield cost, last, omitted.end()
            return
        yield cost, Repeat(steps, To("rest", NONE, "", at), at, kind="star"), after
        yield cost + 0.2, last, after

    def _stitches(self, rules: tuple[Rule, ...], here: int, end: int) -> list[Offer]:
        found: list[Offer] = []
        for cost, stitch, after in fitting(rules, self.chart, here, end):
            if not isinstance(stitch, Stitch):
                continue
            found.append((cost, self.resolved(stitch), after))
            if after < end and self.chart.kind(after) == "colour":
                stitch, after = replace(stitch, colour=self.chart.run[after].value), after + 1
                found.append((cost - 0.05, self.resolved(stitch), after))
            for more, quantity, then in self.quantities(after, end):
                step = self.resolved(stitch)
                if isinstance(step, Into) and isinstance(quantity, Times):
                    found.append((cost + more, replace(step, count=quantity.count), then))
                else:
                    found.append((cost + more, Repeat((step,), quantity, stitch.at), then))
            found += [(cost + more, into, then) for more, into, then in self._into((stitch,), after, end)]
        return found

    def _into(self, body: tuple[Stitch, ...], here: int, end: int) -> Iterator[tuple[float, Step, int]]:
        """Stitches worked into a place."""
        for cost, place, after in fitting(PLACES, self.chart, here, end):
            to, then = place.to, after
            extra = cost
            if to is not None and place.place != "skip":
                for more, quantity, stop in self.quantities(after, end):
                    if isinstance(quantity, To):
                        yield cost + more, self._worked(body, replace(place, place="next", to=quantity)), stop
            made = self._worked(body, replace(place, to=to))
            yield extra, made, then
            for more, quantity, stop in self.quantities(after, end):
                if isinstance(quantity, Times):
                    yield cost + more, Repeat((made,), quantity, made.at), stop
            join = self.chart.match("sep? (in (next|each|ord|same|top|last)|(in? each (chain|st|stitch)))", after, end)
            if join is not None:
                first = join.group().startswith(self.chart.kinds[after : after + 1]) and self.chart.kind(after) == "sep"
                for more, step, stop in self._into(body, after + int(first), end):
                    yield cost + more, Repeat((made, step), None, made.at), stop

    def _worked(self, body: tuple[Stitch, ...], place: Into) -> Step:
        at = body[0].at
        only = body[0] if len(body) == 1 else None
        resolved = [self.resolved(each) for each in body]
        if only is not None and only.name == "inc" and not self.crochet and max(only.count) > 1 and place.to is None:
            return Stitch({2: "kfbf", 4: "inc 4"}.get(only.count[0], "kfb"), place.count, at)
        if len(resolved) == 1 and isinstance(resolved[0], Into):
            return replace(resolved[0], count=place.count, to=place.to)
        names = [each.name for each in body]
        if only is not None and only.name in ("sk", "psso", "p2sso") and place.to is None:
            return replace(only, count=place.count)
        if len(body) == 1 and technique(names[0]).consumes > 1:
            taken = technique(names[0]).consumes
            if place.to is not None:
                return Repeat((replace(body[0], count=ONE),), place.to, at)
            return replace(
                body[0], count=tuple(max(1, each // taken) for each in place.count) if place.place == "next" else ONE
            )
        if self.crochet or any(technique(name).craft == "crochet" for name in names):
            return replace(place, body=tuple(each for each in resolved if isinstance(each, Stitch)), at=at)
        if place.place in ("same", "next", "new") or place.to:
            count = place.count if place.place == "next" else ONE
            if only is not None and only.name in ("k", "p", "sl", "k1 tbl", "p1 tbl"):
                n = only.count if only.count != ONE else count
                stitch = replace(only, count=n, more=True)
            elif only is not None and only.name == "inc":
                stitch = Stitch("kfb", count, at)
            else:
                stitch = Stitch(names[0] if only else into_name(body), count, at)
            return stitch if place.to is None else Repeat((replace(stitch, count=ONE),), place.to, at, kind="each")
        return replace(place, body=body, at=at)

    def resolved(self, stitch: Stitch) -> Step:
        """In crochet, a bare inc is two of the main stitch in one and a dec two of them together."""
        if self.search.chart.craft != "crochet":
            return stitch
        main = main_stitch(self.chart)
        if stitch.name == "inc":
            return Into((Stitch(main, (2,), stitch.at),), "next", stitch.count, None, stitch.at)
        if stitch.name == "dec":
            return replace(stitch, name=f"{main}2tog")
        return stitch

    def _groups(self, here: int, end: int) -> list[Offer]:
        """A bracket as a group of steps, with what is said after it."""
        close = self.chart.partner.get(here)
        if close is None or close >= end or self.chart.kind(here + 1) == "hooknote":
            return []
        found: list[Offer] = []
        at = self.chart.run[here].at
        for body in self.search.read(here + 1, close, True):
            steps = tuple(item for item in body.items if isinstance(item, STEP_TYPES))
            others = [item for item in body.items if not isinstance(item, STEP_TYPES) and not isinstance(item, Passed)]
            passed = tuple(item for item in body.items if isinstance(item, Passed))
            if not steps and others and not passed and all(isinstance(item, Counted) for item in others):
                found.append((body.cost, tuple(others), close + 1))
            if not steps or others:
                continue
            found += self._after_group(steps, passed, body.cost, at, close + 1, end)
        return found

    def _after_group(
        self, steps: tuple[Step, ...], passed: tuple[Passed, ...], cost: float, at: int, after: int, end: int
    ) -> Iterator[Offer]:
        yield cost + 0.3, (Repeat(steps, None, at, kind="group"), *passed), after
        for lead, extra in ((0, 0.0), (1, 0.1), (2, 0.1)):
            begin = after + lead
            skipped = [self.chart.kind(place) for place in range(after, begin)]
            if begin >= end or any(kind not in ("sep", "rep", "star", "dash", "stop") for kind in skipped):
                break
            if "stop" in skipped and "rep" not in skipped:
                break
            for more, quantity, then in self.quantities(begin, end):
                yield cost + extra + more, (Repeat(steps, quantity, at, kind="group"), *passed), then
            if skipped and skipped[-1] == "star" and self.chart.kind(begin) == "num":
                num = self.chart.run[begin].num
                yield cost, (Repeat(steps, Times(num, False, at), at, kind="group"), *passed), begin + 1
        twofold = self.chart.match("in (next|each)? stitch", after, end)
        if twofold is not None and self.chart.run[twofold.end() - 1].value == "yo2":
            yield cost, (Repeat(steps, Times(ONE, False, at), at, kind="group"), *passed), twofold.end()
        if after < end and self.chart.kind(after) in ("rep", "star"):
            yield cost + 0.2, (Repeat(steps, To("rest", NONE, "", at), at, kind="group"), *passed), after + 1
        only = tuple(step for step in steps if isinstance(step, Stitch))
        if len(only) == len(steps):
            for more, step, then in self._into(only, after, end):
                yield cost + more, (step, *passed), then

    def _stars(self, here: int, end: int) -> list[Offer]:
        """An asterisk: its body up to the next asterisk, the word repeat or a quantity, and what is said of it then."""
        found: list[Offer] = []
        chart = self.chart
        begin = here + 1
        double = begin < end and chart.kind(begin) == "star" and chart.run[begin].tight
        begin += int(double)
        stops = [place for place in range(begin, end) if self._closes(place, begin, end, double)]
        for stop in stops[:3] if not double else stops[-2:]:
            for body in self.search.read(begin, stop, True):
                steps = tuple(item for item in body.items if isinstance(item, STEP_TYPES))
                passed = tuple(item for item in body.items if isinstance(item, Passed))
                if steps and len(steps) + len(passed) == len(body.items):
                    found += [
                        (body.cost + cost, (item, *passed), after)
                        for cost, item, after in self._after_star(steps, chart.run[here].at, stop, end)
                    ]
        return found

    def _closes(self, place: int, begin: int, end: int, double: bool) -> bool:
        kind = self.chart.kind(place)
        inside = any(first < place < last for first, last in self.chart.partner.items() if begin <= first)
        if not inside and kind == "around" and "rep" not in map(self.chart.kind, range(place, len(self.chart.run))):
            return not any(self.chart.kind(each) == "star" for each in range(place, len(self.chart.run)))
        if inside or kind not in ("star", "rep"):
            return False
        return not double or kind == "rep" or (place + 1 < end and self.chart.kind(place + 1) == "star")

    def _after_star(self, steps: tuple[Step, ...], at: int, stop: int, end: int) -> Iterator[Offer]:
        chart = self.chart
        pair = chart.kind(stop) == "star"
        here = stop
        said = chart.match(
            "star* SEP? (rep (remark|st|between|from|for|after)* ((star|asterisk) ((to|sep)? (star|asterisk))*)?)?",
            here,
            end,
        )
        after = said.end() if said is not None else here
        repeats = any(chart.kind(place) == "rep" for place in range(here, after))
        if not repeats:
            after = here
            while after < end and chart.kind(after) == "star":
                after += 1
        skipped = after
        while skipped < end and chart.kind(skipped) in ("sep", "colon", "remark", "dash", "work") and repeats:
            skipped += 1
        for begin in dict.fromkeys((after, skipped)):
            for cost, quantity, then in self.quantities(begin, end):
                if isinstance(quantity, Times) and pair and not repeats and quantity.more is None:
                    quantity = replace(quantity, more=False)
                last = chart.match("SEP* remark? {l:(lastrep|omit)} (at|in|remark)*", then, end)
                if last is not None and isinstance(quantity, To):
                    yield from self._last_repeat(steps, at, cost, last.end(), end)
                ending = chart.match("SEP* (ending) (row|in|at|remark)*", then, end)
                if (
                    ending is not None
                    and isinstance(quantity, To)
                    and quantity.place == "end"
                    and not max(quantity.short)
                ):
                    yield cost, Repeat(steps, To("rest", NONE, "", at), at, kind="star"), ending.end()
                yield cost, Repeat(steps, quantity, at, kind="star"), then
        ending = chart.match("SEP* (ending|end) (row|in|at|remark)*", after, end)
        last = chart.match("SEP* (lastrep|omit) (at|in|remark)*", after, end)
        if last is not None:
            yield from self._last_repeat(steps, at, 0.0, last.end(), end)
        if ending is not None:
            yield 0.0, Repeat(steps, To("rest", NONE, "", at), at, kind="star"), ending.end()
        if repeats:
            yield 0.3, Repeat(steps, To("rest", NONE, "", at), at, kind="star"), after
        elif pair:
            yield 0.4, Repeat(steps, None, at, kind="pair"), after


STEP_TYPES = (
    Stitch, Repeat, Into, Mark, Turn, BindOff, CastOn, PickUp, Picot, CableNeedle, Hold, Return, Join, Colour, Even,
)  # fmt: skip


def main_stitch(chart: Chart) -> str:
    """The main stitch of a crochet line."""
    for token in chart.run:
        if token.kind == "stitch" and token.value in ("sc", "hdc", "dc", "tr"):
            return token.value
    return "sc"


_INTO_NAMES = {
    "k, p": "(k1, p1) in 1",
    "k, yo, k": "kyok",
    "k, yo, k, yo, k": "nupp 5",
    "k, p, k, p, k": "inc 4",
    "kfb": "kfb",
    "k, k1 tbl": "kfb",
    "p, p1 tbl": "pfb",
}


def into_name(body: Sequence[Stitch]) -> str:
    """Technique name of `(k1, yo, k1) in next st`."""
    spelt = ", ".join(stitch.name for stitch in body for _ in range(min(50, stitch.count[0])))
    return _INTO_NAMES.get(spelt) or f"({spelt}) in 1"


__all__ = ["NONE", "ONE", "STEP_TYPES", "Found", "Steps", "fitting", "into_name", "main_stitch"]
