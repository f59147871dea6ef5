"""The rules of a row as data: how print says how far and how often, where a stitch goes, and the moves of the hands.

Each rule is a run of kinds of tokens (see `search.compiled`), what it means, and what it costs to read it so.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from lessonplan.craft.techniques import canonical
from lessonplan.printed.heading import Num
from lessonplan.printed.rules.search import CHAR, NO_FIT, PART, Chart, Match, Rule, compiled, needed
from lessonplan.printed.tree import Into, Stitch, Times, To

ONE: Num = (1,)
NONE: Num = (0,)
STITCHES = frozenset({"stitch", "slip", "knit", "dec", "inc", "chain", "skip", "yarn"})


def _to(place: str, *, n: str = "n", default: Num = NONE) -> Any:
    return lambda m: To(place, m.num(n, default), "", m.at)


def _to_end(short: str = "n", default: Num = NONE) -> Any:
    """To the end of the row, or (`d`) of a needle or of half a round; a part that is only named lies somewhere."""

    def build(m: Match) -> To:
        """How far is worked: to the end, to a marker, or to so many stitches before one of them."""
        if not m.has("d"):
            told = m.chart.run[m.match.end()] if m.match.end() < len(m.chart.run) else None
            part = told is not None and told.kind == "remark" and told.at - m.chart.run[m.match.end() - 1].end > 3
            if part and told is not None and not PLACE_NAMES.isdisjoint(told.value.split()):
                return To("marker", m.num(short, default), "somewhere", m.at)  # `to last 3 sts of the heel part`
            return To("end", m.num(short, default), "", m.at)
        which = m.token("d").value if m.token("d").value == "half" else "numbered" if m.has("k") else ""
        return To("needle", m.num(short, default), which, m.at)

    return build


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


def _past_turn(m: Match) -> To:
    """`k to 2 sts past the gap`: as many more than up to there."""
    return To(m.token("g").value if m.has("g") else "gap", tuple(-each for each in m.num("n")), "", m.at)


_MARKER = "(next|each|centre|{last:last})? {o:ord}? ({name:remark})? {mk:marker} {name2:(unknown|num)}?"
_TILL = "(around (remark|hand|seam)*)? to+ "
PLACE_NAMES = frozenset({
    "gusset", "thumb", "heel", "instep", "sole", "underarm", "back", "front", "sleeve", "raglan", "point", "flap",
    "toe", "palm", "corner", "mitre", "shoulder", "marked", "spine", "fold", "steek", "cable", "panel", "border",
    "wing", "tail",
})  # fmt: skip
"""Places in a piece that print goes to by name."""
_SOMEWHERE = "(next|ord|hand|remark|side)* {w:(remark|seam|centre)} (st|ANY|marker|remark|edge)?"


def _to_somewhere(m: Match) -> Any:
    """`knit to the gusset`: a place that print names and nothing tells."""
    known = m.chart.kind(m.match.start() - 1) in STITCHES | {"st", "all", "each", "around"}
    place = m.token("w").kind != "remark" or not PLACE_NAMES.isdisjoint(m.token("w").value.split())
    return To("marker", m.num("n", NONE), "somewhere", m.at) if known and place else NO_FIT


def _the_rest(m: Match) -> Any:
    """`knit the rest`; but `until 8 sts are left` is no such place."""
    return To("end", NONE, "", m.at) if m.token("r").value == "rest" else NO_FIT


def _each_marker(m: Match) -> Any:
    """`repeat from *-* at every marker`: as often as there are any."""
    again = m.chart.kind(m.match.start() - 1) in ("star", "asterisk", "close", "rep")
    return To("markers", NONE, "", m.at) if again else NO_FIT


QUANTITIES: tuple[Rule, ...] = (
    Rule("{n:num} times SEP? more", lambda m: Times(m.num("n"), True, m.at)),
    Rule("{n:num} more times", lambda m: Times(m.num("n"), True, m.at)),
    Rule("more {n:(num|once)} times?", lambda m: Times(m.num("n"), True, m.at), 0.2),
    Rule("{n:num} times total", lambda m: Times(m.num("n"), False, m.at)),
    Rule("for {n:num} times", lambda m: Times(m.num("n"), None, m.at)),
    Rule("for? total {n:num} times", lambda m: Times(m.num("n"), False, m.at)),
    Rule("{n:num} times", lambda m: Times(m.num("n"), None, m.at)),
    Rule("times {n:num} times?", lambda m: Times(m.num("n"), None, m.at)),
    Rule("(at|to) all {n:num} marker", lambda m: Times(m.num("n"), False, m.at)),
    Rule("(at|to) (each|all) marker", _each_marker),
    Rule("{n:once} more", lambda m: Times(m.num("n"), True, m.at)),
    Rule("{n:once} total?", lambda m: Times(m.num("n"), None, m.at)),
    Rule("around ((to|at) end)? row?", _to("across")),
    Rule("{r:rem} (row|st)? (?=sep|stop|close|open|dash|eq|$)", _the_rest),
    Rule("around (all|rem)+ (st|ANY)", _to("end")),
    Rule("around {d:needle} num?", lambda m: To("needle", NONE, "", m.at)),
    Rule(_TILL + "around? other? end (row|(on? hand? {d:needle} num?))?", _to_end("none")),
    Rule(_TILL + "row end", _to("end")),
    Rule(_TILL + "rem {n:num} st", lambda m: To("end", m.num("n"), "", m.at), 0.1),
    Rule(_TILL + "last {n:num}? (st|ANY)? (rem|on|hand)* {d:needle}? {k:num}? (ord|num|end|row)*",
         _to_end(default=ONE)),
    Rule(_TILL + "{n:num} (rem|last)? st? (before|from)? end (row|({d:needle} num?))?", _to_end()),
    Rule("all st? to last {n:num} (st|ANY)?", _to("end")),
    Rule(_TILL + "have? {n:num} st? rem ((on|at|in|for)? open? (hand|row|all|end)* close?)* {d:needle}? (to knit)?",
         lambda m: To("needle" if m.has("d") else "end", m.num("n"), "", m.at)),
    Rule(_TILL + "{n:num} st? before remark? seam",
         lambda m: To("end", tuple(each + 1 for each in m.num("n")), "", m.at), 0.5),
    Rule(_TILL + "have? {n:num} st on ((hand needle)|(needle (?=after bo))) {gap:after bo}? (after|bo|remark)*",
         lambda m: To("since" if m.has("gap") else "right", m.num("n"), "", m.at)),
    Rule(_TILL + "have? {n:num} rem? st after bo (after|bo|remark)*", lambda m: To("since", m.num("n"), "", m.at)),
    Rule(_TILL + f"(have|last)* {{n:num}} st? rem? (before|from) {_MARKER}", _to_marker),
    Rule(_TILL + f"{{n:num}} st {_MARKER}", _to_marker),
    Rule(_TILL + f"(last|next)? {{one:st}} (before|from) {_MARKER}", _to_marker),
    Rule(_TILL + f"{_MARKER}", _to_marker),
    Rule(_TILL + f"({{n:num}} st (before|from))? {_SOMEWHERE} (?=sep|stop|close|pm|turn|$)", _to_somewhere, 0.6),
    Rule(_TILL + "{o2:ord} st before (next|each)? marker", lambda m: To("marker", m.num("o2"), "", m.at)),
    Rule("(around num st)? around? to {one:st} (before|from) (last|next|remark)* {g:gap} (remark|turn|before)*",
         lambda m: To(m.token("g").value, ONE, "", m.at)),
    Rule("evenly (row)?", _to("across"), 1.5),
    Rule(_TILL + "(last|next)* {n:num}? {one:st} before unworked st",
         lambda m: To("gap", m.num("n"), "unworked", m.at)),
    Rule(_TILL + "{n:num} st? (before|from) (last|next|remark)* {g:gap} (remark|turn|before)*", _to_gap),
    Rule(_TILL + "(last|next|remark)* {g:gap}", _to_gap),
    Rule("around? to* {n:num} st? after (last|next|remark)* ({g:gap}|turn)", _past_turn),
    Rule(_TILL + "{n:num}? (st before)? centre {n2:num}? (st|ANY)",
         lambda m: To("centre", m.num("n2", m.num("n")), "", m.at)),
    Rule("over (next|last|centre|rem|remark)* {n:num} (rem|remark)? (st|ANY)?", _to("over")),
    Rule("around (next|last|centre|rem)? {n:num} (rem|remark)? (st|ANY)?", _to("over"), 0.95),
    Rule("(all|each|rem)+ (st|ANY) around? (on needle)? (to end row?)?", lambda m: To("end", NONE, "each", m.at)),
)  # fmt: skip


_WHERE = "(st|ANY|space|top)"


def _in_next(m: Match) -> Any:
    if m.chart.kind(m.match.end()) == "hook":
        return NO_FIT  # `in 2nd ch from hook`
    where = m.chart.kind(m.match.end() - 1) in ("st", "stitch", "space", "top")
    if not where and m.chart.match("num (st|ANY)", m.match.end(), len(m.chart.run)) is not None:
        return NO_FIT  # `in next 7 ch`
    noun = m.chart.kind(m.match.end()) in ("st", "stitch", "space", "top", "group")
    if not where and noun and m.chart.craft == "crochet":
        return NO_FIT  # `in first dc`
    words = [m.chart.run[place] for place in range(m.match.start(), m.match.end())]
    first = m.chart.craft == "crochet" and any(
        token.value == "first" or (token.kind == "ord" and token.num == ONE) for token in words
    )
    return Into((), "base" if first else "next", ONE, None, m.at)


PLACES: tuple[Rule, ...] = (
    Rule("in {o:ord} (chain|st) hook? {rest:(sep? (in? each|all) rem? (chain|st) (around|(to end row?))?)}?",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), To("end", NONE, "", m.at) if m.has("rest") else None, m.at)),
    Rule(f"(total|all? (in|around) (each|all)) (next|last)? {{n:num}} (?!times) (rem|centre)? {_WHERE}? around?",
         lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule(f"(in|around|over) (next|last) {{n:num}} (rem|centre)? {_WHERE}?",
         lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule("in same (chain|dash|num|remark)* space (as (next|ord|last|remark|beg)* (ANY|st))?",
         lambda m: Into((), "space", (-1,), None, m.at)),
    Rule(f"(in|around)? (each|all) (rem|other)* {_WHERE}",
         lambda m: Into((), "next", NONE, To("end", NONE, "", m.at), m.at), 0.05),
    Rule("in (same|top) (chain|(dash? num (?!ANY|st))|(num chain)|dash (?=chain|space)|st|ANY|remark|same|beg|turn)* "
         "(as (join|slipjoin|next|ord|last|remark|ANY|st)+)?", lambda m: Into((), "same", ONE, None, m.at)),
    Rule("all? (in|around) (next|last|ord|remark|centre|beg)+ (st|ANY|top)", _in_next),
    Rule("all? (in|around) (next|last|ord|remark|centre|beg)+", _in_next, 0.3),
    Rule("(in|around)? (next|ord|last) (st|ANY|top)", _in_next, 0.1),
    Rule("in {n:num} (st|ANY)?", lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule("in (next|each|remark|ord|last)* marker", lambda m: Into((), "next", ONE, None, m.at), 0.1),
    Rule("(((in|around|over) (remark|centre|chain|dash)*)|(remark|centre))? ring",
         lambda m: Into((), "new", ONE, None, m.at)),
    Rule("in (st|ANY)", lambda m: Into((), "next", ONE, None, m.at), 0.5),
)  # fmt: skip


_NAMES = {
    "tbl": {"k": "k1 tbl", "p": "p1 tbl"},
    "below": {"k": "k1b", "p": "p1b"},
    "kwise": {"sl": "sl1k"},
    "pwise": {"sl": "sl1p"},
}


def _stitch(m: Match) -> Any:
    token = m.token("s")
    first = any(m.chart.run[place].value == "first" for place in range(m.match.start(), m.match.end()))
    if token.value == "sk" and first:
        return NO_FIT  # it is told by `_skip_first` that the turning chain stands there
    if token.value == "sk" and m.chart.kind(m.match.end()) in ("stitch", "next", "ord", "num", "each"):
        return NO_FIT  # `skip 2 dc`
    count = m.num("n")
    bare = not m.has("n")
    name = token.value
    for place in range(m.match.start(), m.match.end()):
        kind = m.chart.kind(place)
        if kind == "together":
            if name == "sl":
                name = "sl1k"
            elif name in ("k", "p", "sc", "dc", "hdc", "tr") and len(count) == 1 and count[0] != 1:
                if m.chart.match("remark* (wraps|gap)", place + 1, len(m.chart.run)) is not None:
                    return NO_FIT  # `next 2 sts tog with their wraps`: each with its own, or both together
                if not 1 < count[0] < 100:
                    return None  # so many are not worked together
                name, count, bare = canonical(f"{name}{count[0]}tog", m.chart.craft), ONE, True
        elif kind in _NAMES:
            name = _NAMES[kind].get(
                name, f"{name} tbl" if kind == "tbl" and name in ("k2tog", "p2tog", "k3tog", "p3tog") else name
            )
    return Stitch(name, count, token.at, bare=bare, more=m.has("next") or m.has("m"))


def _one_stitch(m: Match) -> Any:
    """`knit rem st`; but `knit rem sts` are all of them."""
    word = m.token("st")
    return NO_FIT if m.has("r") and word.end - word.at not in (len("st"), len("stitch")) else _stitch(m)


def _together(m: Match) -> Any:
    """`2 together`: of old no more was said."""
    n = m.num("n")[0]
    alone = m.chart.craft == "knitting" and m.chart.kind(m.match.start() - 1) not in STITCHES
    return Stitch(canonical(f"k{n}tog", "knitting"), ONE, m.at) if alone and 1 < n < 6 else NO_FIT


def _skip_first(m: Match) -> Into | Stitch:
    token = m.token("f")
    if token.value == "first" or token.num == ONE:
        return Into((), "base", ONE, None, m.at)
    return Stitch("sk", ONE, m.at)


def _wrapped(m: Match) -> Any:
    """`knit wrapped st`, `purl next st tog with its wrap`."""
    one = m.num("n") == ONE and (not m.has("g") or m.token("g").value in ("wrap", "ds"))
    return Stitch(m.token("s").value, ONE, m.at) if one else NO_FIT


_CLOSES = "slip (in|to) (remark|next)* ord num? chain (remark|chain|top|num|dash|beg|row|turn)*"
"""A slip stitch into the chain that a round began with."""
_WOUND = "(sep? winding ((around|row|on)* needle)? (once|(num times))? ((around|row|on)* needle)?)"
_QUALIFIED = f"(tbl|kwise|pwise|below|together|held|yarn|{_WOUND})"
STITCH = (
    Rule(
        f"{{s:ANY}} {{next:next}}? (last|rem|each)? {{n:num}} {{m:more}}? (rem|both|each)? st? {_QUALIFIED}*", _stitch
    ),
    Rule(f"{{s:ANY}} {_QUALIFIED}+ (({{next:next}}|last|rem|all|each)* {{n:num}} st?)?", _stitch),
    Rule("{s:ANY} next st", _stitch, 0.15),
    Rule("{s:knit} (next|remark)* {g:gap}", _wrapped),
    Rule("{s:knit} (next|remark)* ({n:num}|st) st? (together|sep) remark* (wraps|{g:gap}) together?", _wrapped, -0.2),
    Rule("{s:stitch} open? (around|over|to|remark)+ gap close?", _stitch, 0.05),
    Rule("skip {f:(next|ord)} (st|chain|ANY)", _skip_first, 0.1),
    Rule(_CLOSES, lambda m: None, -0.1),
    Rule("{s:slip} (last|next|sep|unworked|rem)* {n:num}? st (from|on) hand? needle (to|on) hand? needle", _stitch),
    Rule("{s:(inc|dec)} more", _stitch, 0.2),
    Rule("{s:ANY}", _stitch, 0.1),
)
RING = (Rule("ring (SEP|work|remark)* {n:num} (stitch)?", lambda m: (m.num("n"), m.at)),)
NUMBERED = (
    Rule("{n:num} st? together (?!remark* (wraps|gap)) (tbl|remark|unknown)*", _together),
    Rule(f"num {_CLOSES}", lambda m: None, -0.1),
    Rule("{n:num} (more|remark)? {s:ANY} st?", _stitch),
    Rule("{n:num} times {s:ANY} st?", _stitch, 0.4),
)


MEANT = {"ANY": set(STITCHES), "SEP": {"sep", "stop", "colon", "dash", "slash"}}
_ONE_TOKEN = re.compile(r"(\{\w+:)?\(?\w+(\|\w+)*\)?\}?[?*+]?")
"""A part of a pattern that is one token, or one of several, perhaps again and again."""
_INDEX: dict[int, list[tuple[Rule, frozenset[str], frozenset[str]]]] = {}
"""Each table of rules made ready once: what each rule needs, and the two characters that it can begin with."""
_BY_START: dict[tuple[int, str], list[tuple[Rule, frozenset[str]]]] = {}
"""The rules of a table that can begin with two characters, and what each needs."""


def _ready(rules: tuple[Rule, ...], start: str) -> list[tuple[Rule, frozenset[str]]]:
    if id(rules) not in _INDEX:
        _INDEX[id(rules)] = [(rule, needed(rule.pattern), _begins(PART.findall(rule.pattern))) for rule in rules]
    found = [(rule, needs) for rule, needs, begins in _INDEX[id(rules)] if start in begins or start[:1] in begins]
    _BY_START[id(rules), start] = found
    return found


def _begins(parts: Sequence[str]) -> frozenset[str]:
    """The two characters that a pattern can begin with; one alone where any other may follow."""
    found: set[str] = set()
    for place, part in enumerate(parts):
        kinds = _firsts([part])
        seconds = {""}
        if _ONE_TOKEN.fullmatch(part):
            seconds = _firsts(parts[place + 1 :]) | (kinds if part.endswith(("*", "+")) else set())
        found |= {first + second for first in kinds - {""} for second in seconds}
        if not part.endswith(("?", "*")):
            break
    return frozenset(found)


def _firsts(parts: Sequence[str]) -> set[str]:
    """The characters that the first token of a pattern can have, with those after what may be left out ("": any)."""
    found: set[str] = set()
    for first in parts:
        words = re.findall(r"(?:\w+:)?(\w+)", first)
        found |= {CHAR[kind] for word in words for kind in MEANT.get(word, {word}) if kind in CHAR}
        if not first.endswith(("?", "*")):
            return found if "$" not in first else {*found, ""}
    return {*found, ""}


def fitting(rules: tuple[Rule, ...], chart: Chart, here: int, end: int) -> Sequence[tuple[float, Any, int]]:
    """What rules offer at a token: cost, item, the token after it."""
    if here >= end:
        return ()
    start = chart.kinds[here : here + 2]
    ready = _BY_START.get((id(rules), start))
    found = []
    for rule, needs in _ready(rules, start) if ready is None else ready:
        if needs <= chart.present:
            match = compiled(rule.pattern).match(chart.kinds, here, end)
            if match is not None and match.end() > here and (item := rule.build(Match(chart, match))) is not NO_FIT:
                found.append((rule.cost, item, match.end()))
    return found
