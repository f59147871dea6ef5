"""Where and in which rows shapings are worked, as rules: `at each end of next and every foll 4th row`."""

from __future__ import annotations

from typing import Any

from lessonplan.printed.heading import Num
from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Spell, Times


def _where(pattern: str, value: str) -> Rule:
    return Rule(pattern, lambda m: (value, m.num("m", NONE)[0], m.num("k", NONE)[0]))


def _round_the_marker(m: Match) -> Any:
    """`Dec 1 st each side of marker`, all of which is one word; `at each marker` says nothing of its sides."""
    marker = m.token("mk")
    return ("the marker", 0, 0) if marker.end - marker.at > len("the marker") else NO_FIT


def _both_sides(m: Match) -> Any:
    """`On both sides of marker`; of `markers` there are several."""
    several = m.token("mk").end - m.token("mk").at == len("markers")
    return ("markers" if several else "the marker", 0, 0)


def _round_a_stitch(m: Match) -> Any:
    """`Each side of the thumb st`: one before it and one after it."""
    word = m.token("st")
    return ("evenly", 1, 0) if word.end - word.at in (len("st"), len("stitch")) else NO_FIT


_PARTS = frozenset({
    "underarm", "underarms", "sleeve", "sleeves", "underside", "inner sleeve", "thumb", "gusset", "sole", "palm",
})  # fmt: skip


def _at_a_part(m: Match) -> Any:
    """`At centre under sleeve`, `at underarm`: the stitches are shaped at one place, wherever that lies."""
    if m.token("p").value not in _PARTS:
        return NO_FIT
    before = (m.chart.run[place] for place in range(m.match.start() - 1, -1, -1))
    verb = next((token.kind for token in before if token.kind in ("stitch", "bo", "co", "coshort")), "")
    return ("evenly" if verb == "stitch" else "start", 0, 0)


def _at_needles(m: Match) -> Any:
    """`At each end of 2nd needle`, `at beg of needles 2 and 4`: so many ends of so many needles."""
    before = (m.chart.run[place] for place in range(m.match.start() - 1, -1, -1))
    verb = next((token.value for token in before if token.kind == "stitch"), "")
    if verb not in ("dec", "inc"):
        return NO_FIT  # `k1, ssk at beginning of needle 2`
    ends = 2 if m.has("e") else 1
    names = [m.chart.kind(place) for place in range(m.match.start("d"), m.match.end("d"))]
    return ("evenly", 0, ends * sum(kind in ("num", "ord", "next") for kind in names))


_NEEDLES = "{d:((needle num ((sep|dash)+ needle? num)*)|((ord|next) ((sep|dash)+ (ord|next))* needle))}"

WHERES: tuple[Rule, ...] = (
    Rule(f"(at|on|in)* {{e:((each|both) (end|edge|side|both)+)}} (at|on|in|for)* {_NEEDLES}", _at_needles),
    Rule(f"(at|on|in)* {{e:(beg (sep|at|in|on)* end)}} (at|on|in|for)* {_NEEDLES}", _at_needles),
    Rule(f"(at|on|in)* (beg|end) (at|on|in|for)* {_NEEDLES}", _at_needles),
    Rule("(at|on|in)* both sets {mk:marker}", _both_sides),
    Rule("(at|on|in)* (each|both) (edge|sets) (next|centre|remark)* {st:st}", _round_a_stitch),
    Rule("(at|on|in)* (each|both) end both {d:needle}", lambda m: ("evenly", 2, 0)),
    Rule("(at|on|in|below)+ (centre|below|remark|over)* {p:remark} (?=each|all|next|on|in|stop|sep|eq|dash|open|ord|$)",
         _at_a_part),
    Rule("(at|on|in)* (each|both|remark) {mk:marker}", _round_the_marker),
    _where("(at|on|in)* (each|both) edge (each|both|all)? {mk:marker}+ (remark|unknown)*", "markers"),
    _where("(at|on|in)* (each|both) edge (all|each)* {m:num} marker", "evenly"),
    _where("(before|after) (each|all|both) marker+ (remark|unknown)*", "a marker"),
    _where(
        "(at|on|in|to)* (each|both) (remark|side|unknown)* (end|edge|sets)+ (needle (?=at|on|in|next|each|all))?",
        "each",
    ),
    _where("(at|on|in)* beg (sep|at|in|on)* end", "each"),
    _where("(at|on|in)* (each|both)? (beg|edge) ((at|on|in)* (beg|edge))*", "start"),
    _where("(at|on|in) (remark|side|centre|unknown|same)+ edge+", "start"),
    _where("same edge+", "start"),
    _where("(at|on|in)* end", "end"),
    _where("evenly", "evenly"),
    _where("(at|on|in)* centre (in|at|on|next|last|remark|ord)* row", "evenly"),
    _where("(at|on|in)+ remark? centre (?=stop|sep|eq|dash|open|$)", "evenly"),
    _where("(in)* (ord|next) (sep) last st", "each"),
    _where("(before|after|in|at|on|between) each (rem|remark)* {k:num} (rep|sets|group|remark|unknown|seam|marker)",
           "evenly"),
    _where("before sep after each? marker", "markers"),
)  # fmt: skip
"""Where print shapes, with how many markers or other places it names."""
LED = tuple(Rule(f"(remark|for|in|on|manner)* {rule.pattern}", rule.build) for rule in WHERES)


def _every(every: Any, first: Any = None) -> Any:
    return lambda m: Spell(every(m), None, None, m.at, first(m) if first else None)


def _those(m: Match) -> Any:
    """`at each end of 1st and 3rd rows`: of these and no others."""
    first, second, at = m.num("o"), m.num("b")[0], m.at
    times = Times((2,), False, at)
    return Spell((second - first[0],), times, None, at, (first[0] - 1,)) if second > first[0] > 0 else NO_FIT


_AND = "(sep|remark|in|on|at|from)"
_WHICH = "({b:ord}|{c:(other|side|knit)})"
"""Which of the rows that follow: `alt`, `4th`, `RS`."""


def _rhythm(m: Match) -> Num:
    return m.num("b") if m.has("b") else (2,) if m.has("c") else ONE


def _first(m: Match) -> Num:
    """Plain rows before the first row that is shaped: `5th and every foll 6th row`, `next and foll alt row`."""
    return tuple(each - 1 for each in m.num("o", ONE))


def _led(m: Match) -> Any:
    """`Next and every foll 4th row`; `next and foll 3 alt rows` are four, `next and foll alt row` two.

    Of `next and foll alt rows` only the rest of the line tells how many there are.
    """
    times: Num | None = None
    row = m.token("r")
    if m.has("n"):
        times = tuple(each + 1 for each in m.num("n"))
    elif not m.has("e") and (m.has("b") or m.has("c")) and row.end - row.at in _ONE_ROW:
        times = (2,)
    elif not m.has("e") and not (m.has("b") or m.has("c")):
        return NO_FIT
    kinds = {m.chart.kind(place) for place in range(m.match.start(), m.match.end())}
    if not kinds & {"each", "all", "sep", "remark", "in", "on", "at", "from"}:
        return NO_FIT  # `foll 8th row`
    often = None if times is None else Times(times, False, m.at)
    return Spell(_rhythm(m), often, None, m.at, _first(m))


def _one_later(m: Match) -> Any:
    """`Foll 4th row`: one more, behind plain rows."""
    row = m.token("r")
    if row.end - row.at not in _ONE_ROW:
        return NO_FIT
    return Spell(ONE, Times(ONE, False, m.at), None, m.at, tuple(each - 1 for each in _rhythm(m)))


_ONE_ROW = frozenset(map(len, ("row", "round")))
"""How long the word for one row is (`rnd` is as long as `row`, `rows` as `rnds`)."""

EVERY: tuple[Rule, ...] = (
    Rule("{o:ord} sep {b:ord} row (?!to)", _those),
    Rule(f"(next|{{o:ord}}) row? ({_AND}+ (each|all)? (next|remark)*|next+) {{n:num}} next* {_WHICH} {{r:row}}", _led),
    Rule(f"(next|{{o:ord}}) row? {_AND}* (each|all)? next+ {{n:num}} {{r:row}}", _led),
    Rule(f"(next|{{o:ord}}) row? {_AND}* {{e:(each|all)}}? (next|remark)* {_WHICH}? {{r:row}}", _led),
    Rule(f"remark row {_AND}* {{e:(each|all)}} (next|remark)* {_WHICH}? {{r:row}}", _led),
    Rule(f"remark row {_AND}+ (next|remark)+ {{n:num}} {_WHICH}? {{r:row}}", _led),
    Rule(f"(each|all)? (in|on)* next {{n:num}} {_WHICH}? row",
         lambda m: Spell(_rhythm(m), Times(m.num("n"), True, m.at), None, m.at)),
    Rule(f"(in|on)* {{n:num}} next {_WHICH} row",
         lambda m: Spell(_rhythm(m), Times(m.num("n"), True, m.at), None, m.at)),
    Rule("last (row|remark)+", lambda m: Spell(ONE, Times(ONE, False, m.at), None, m.at)),
    Rule("next row", lambda m: Spell(ONE, Times(ONE, False, m.at), None, m.at, NONE)),
    Rule("(each|all) (next|remark)* {c:(other|side)} (side|row)*", _every(_rhythm)),
    Rule("(each|all) (next|remark)* ({b:ord}|{c:knit}) row", _every(_rhythm)),
    Rule(f"next+ {_WHICH} {{r:row}}", _one_later),
    Rule("(next|remark)* {c:(other|side)} row", _every(lambda m: (2,))),
    Rule("{o:ord} row",
     lambda m: Spell(ONE, Times(ONE, False, m.at), None, m.at, tuple(each - 1 for each in m.num("o")))),
    Rule("eor", _every(lambda m: (2,))),
    Rule("(each|all) (({o:ord} unit)|length)", _every(lambda m: ONE)),
    Rule("(each|all) (next|remark)* row", _every(lambda m: ONE)),
    Rule("(remark|same)* same row", lambda m: Spell(NONE, None, None, m.at)),
    Rule("(each|all) {n:num} row", _every(lambda m: m.num("n"))),
)  # fmt: skip
"""In which rows is shaped, and how often where the words for the rows tell it."""
