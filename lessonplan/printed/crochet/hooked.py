"""The rules of crochet as data: what only leads or closes a round, rows told in a word, how far stitches go.

As in `grammar`: each rule is a run of kinds of tokens, what it means, and what it costs to read it so.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lessonplan.craft.techniques import canonical
from lessonplan.printed.crochet.closed import CLOSED, PLAIN
from lessonplan.printed.crochet.edges import EDGES
from lessonplan.printed.crochet.into import CH, SPACE, TURNING, to_end
from lessonplan.printed.items import Counted, RowCount
from lessonplan.printed.rules.grammar import NONE, ONE, STITCHES
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Colour, Into, Opposite, Repeat, Shape, Spell, Step, Stitch, To
from lessonplan.printed.words.tokens import Token

_MARKED = frozenset({"mark", "marking", "moving the marker up", "moving marker up", "move marker up", "move marker"})


def _ring(m: Match) -> Any:
    """`Into a magic circle work: ...`: a round into a ring, unless the ring is only being made."""
    token = m.token("r")
    before = m.chart.kind(m.match.start() - 1)
    leads = token.value == "magic" or m.has("in")
    return Into((), "new", ONE, None, m.at) if leads and before not in ("to", "slipjoin", "join", "slip") else NO_FIT


def _lead_in(m: Match) -> Any:
    """`skip first 3 sts`: the first of them is where the turning chain stands."""
    if m.token("f").value != "first":
        return NO_FIT
    n, chain = m.num("n"), m.has("w") and m.token("w").value == "ch"
    base = Into((), "base", ONE, None, m.at, n if chain else ())
    if m.has("c"):  # `miss first tr and 1 ch`
        both = m.token("a").value == "and" and max(n) == 1 and not chain
        return (base, Stitch("sk", m.num("b"), m.at, chains=True)) if both else NO_FIT
    return base if max(n) < 2 else (base, Stitch("sk", tuple(each - 1 for each in n), m.at))


def _skip(m: Match) -> Any:
    words = m.chart.run[m.match.start() : m.match.end()]
    if any(token.value == "first" for token in words):
        return NO_FIT
    return Stitch("sk", m.num("n"), m.at, chains=m.token("w").value == "ch")


def _joined(m: Match) -> Any:
    """Yarn joined, or the end of a round closed: only the yarn can matter; `with Navy sc in next st` is none."""
    words = m.chart.run[m.match.start() : m.match.end()]
    joins = any(token.kind == "join" or token.value == "prose" for token in words)
    if not joins and (m.has("s") or (not m.has("c") and any(token.kind in ("each", "all") for token in words))):
        return NO_FIT
    return Colour(m.token("c").value, m.at) if m.has("c") else None


def _standing(m: Match) -> Any:
    """`Join with sc in any st` at the beginning of a round: the first stitch of it."""
    token = m.token("j")
    if not token.value or any(m.chart.kind(place) in STITCHES for place in range(m.match.start())):
        return NO_FIT
    spaced = any(m.chart.kind(place) == "space" for place in range(m.match.start(), m.match.end()))
    return Into((Stitch(token.value, ONE, m.at),), "space" if spaced else "next", ONE, None, m.at)


def _to_space(m: Match) -> Any:
    """`Sl st to corner sp, ch 3, 2 dc in same sp`; before `ch 5, *dc in next ch-2 sp` the chain stands in the space."""
    return None if m.chart.match(f"sep {_ALONE}", m.match.end(), len(m.chart.run)) is None else NO_FIT


def _in_space(m: Match) -> Any:
    """`Sl st in first ch-2 sp, ch 5, *dc in next ch-2 sp`: the chain stands in the space."""
    begins = m.chart.kind(m.match.start() - 1) in ("", "colon", "stop", "dash")
    return Into((Stitch("sl st", ONE, m.at),), "space", ONE, None, m.at) if begins else NO_FIT


def _slip_first(m: Match) -> Any:
    """`Sl st in first sc, *sc in next 2 dc, ...` at the beginning of a row, where it may be its first stitch."""
    before = m.chart.run[: m.match.start()]
    begins = not any(token.kind in STITCHES and token.value != "ch" for token in before)
    return Into((Stitch("sl st", ONE, m.at),), "next", ONE, None, m.at) if begins else NO_FIT


def _joining(m: Match) -> RowCount | None:
    """The end of a round; a chain joined to a ring is made before the first one."""
    ring = any(m.chart.kind(place) == "ring" for place in range(m.match.start(), m.match.end()))
    return RowCount(ONE, m.at, said=False) if ring else None


def _starts(m: Match) -> Any:
    """`Ch 2, starting in next st, hdc in each st`: no step; in the same stitch only at the beginning of a row."""
    begun = any(token.kind in STITCHES and token.value != "ch" for token in m.chart.run[: m.match.start()])
    starts = m.token("b").kind == "beg" or m.token("b").value.startswith(("start", "begin"))
    return None if starts and not (begun and m.has("same")) else NO_FIT


def _drawn(m: Match) -> Any:
    """A forward pass of Tunisian crochet: a loop on the hook for each stitch (common practice: the first is there)."""
    body = (Stitch("tss", ONE, m.at),)
    return Into(body, "next", ONE, to_end(m) if m.has("each") else None, m.at)


def _same_stitch(m: Match) -> Any:
    """`sc in front loop of first 10 sts, then through both loops of next 20 sts`: the stitch is not said again."""
    start = m.match.start()
    before = [token for token in m.chart.run[:start] if token.kind == "stitch" and token.value not in ("ch", "sk")]
    if m.chart.kind(start - 1) != "sep" or not before:
        return NO_FIT
    return Into((Stitch(before[-1].value, ONE, m.at),), "next", m.num("n"), None, m.at)


def _picot(m: Match) -> None:
    """A picot is no stitch; a slip stitch that closes one neither."""
    return


def _forms(m: Match) -> Any:
    """`ch 1, hdc in first dc to form last ch-3 sp`: what the stitches before it come to."""
    word = m.token("f")
    return None if m.match.start("f") > m.match.start() or "form" in word.value else NO_FIT


def _slips(m: Match) -> Any:
    """`sl st in first 4 sts` is no join."""
    chain = m.chart.run[m.match.end() - 1].value == "ch"
    return Stitch("sl st", m.num("n"), m.at) if max(m.num("n")) > 1 and not chain else NO_FIT


def _last_of_chain(m: Match) -> Into:
    """`skip 2 ch of turning ch, dc in next ch`: into its top."""
    token = m.token("s")
    return Into((Stitch(token.value, ONE, token.at),), "edge", ONE, None, token.at)


def _fabric(m: Match) -> Any:
    """`Cont in trebles`: a whole row of them."""
    token = m.token("s")
    fill = Repeat((Stitch(token.value, ONE, token.at),), To("end", NONE, "", token.at), token.at)
    return fill if token.value in PLAIN else NO_FIT


def _ends(m: Match) -> bool:
    """Whether no stitch and no chain for the next row stands behind what is read."""
    return m.chart.kind(m.match.end()) in ("", "stop", "dash", "open")


def _chains_left(m: Match) -> Any:
    """`Miss 3 ch, 1 tr into each ch`: at the beginning of a row the chains left are those of its height."""
    begun = any(m.chart.kind(place) in STITCHES for place in range(m.match.start()))
    return NO_FIT if begun else Into((), "skip", m.num("n"), None, m.at)


def _through_both(m: Match) -> Any:
    """`Sc 5 through both layers`: each goes into a stitch of either side of a flat tube."""
    token = m.token("s")
    if m.token("l").value != "layers" or token.value not in PLAIN:
        return NO_FIT
    both = Stitch(canonical(f"{token.value}2tog", "crochet"), m.num("n"), token.at)
    return both if m.has("n") else Repeat((both,), To("end", NONE, "", token.at), token.at)


def _changed(m: Match) -> Any:
    """`Rnd 3: +6`: so many more, spread over the round; if how is told in brackets, only the count of it."""
    place = m.match.start()
    sign = m.chart.run[place - 1].value if place > 1 and m.token("n").tight else ""
    if sign not in ("+", "-") or m.chart.kind(place - 2) != "colon":
        return NO_FIT
    if m.chart.kind(m.match.end()) == "open":
        return Counted(m.num("n"), m.at, 1 if sign == "+" else -1)
    spell = Spell(ONE, None, None, m.at)
    return Shape("inc" if sign == "+" else "dec", m.num("n"), "evenly", (spell,), m.at)


def _with_turning(m: Match) -> Any:
    """`Ch 30 + 2 for turning`."""
    if m.has("plus") and m.token("plus").value != "+":
        return NO_FIT
    first, more = m.num("n"), m.num("k" if m.has("k") else "k2")
    sizes = max(len(first), len(more))
    count = tuple(first[size % len(first)] + more[size % len(more)] for size in range(sizes))
    return Stitch("ch", count, m.at)


def _every_other(m: Match) -> Any:
    """`Inc in every other st`, `2 sc in every 4th st`, `dec every 5th and 6th st`, `sc in every other st`."""
    n, name = m.num("o", (2,)), main_stitch(m.chart.run)
    between = tuple(each - 1 for each in n)
    plain: Step = Into((Stitch(name, ONE, m.at),), "next", between, None, m.at)
    many = m.num("n") if m.token("s").value not in ("inc", "dec") else (2,)
    if (m.has("p") and m.num("p") != (n[0] + 1,)) or min(n) < 2:
        return NO_FIT
    if m.token("s").value == "dec":
        shaped: Step = Stitch(canonical(f"{name}2tog", "crochet"), ONE, m.at, bare=True)
    else:
        shaped = Into((Stitch(name, many, m.at),), "next", ONE, None, m.at)
        plain = plain if many != ONE else Stitch("sk", between, m.at)
    return Repeat((plain, shaped), To("end", NONE, "", m.at), m.at)


def _first_and_last(m: Match) -> tuple[Step, ...]:
    """`2 sc in first and last sc, 1 sc in each sc between`."""
    ends = Into((Stitch(m.token("s").value, m.num("n"), m.at),), "next", ONE, None, m.at)
    rest = Into((Stitch(m.token("t").value, ONE, m.at),), "next", NONE, To("rest", NONE, "", m.at), m.at)
    return ends, rest, ends


def main_stitch(run: Sequence[Token]) -> str:
    """The main stitch of a crochet line."""
    return next((token.value for token in run if token.kind == "stitch" and token.value in PLAIN[:4]), "sc")


def _so_many(m: Match) -> Any:
    """`Rnd 13: 6 decreases.`"""
    if m.chart.kind(m.match.start() - 1) not in ("colon", "dash"):
        return NO_FIT
    name = main_stitch(m.chart.run)
    if m.token("d").kind == "deced":
        return Stitch(canonical(f"{name}2tog", "crochet"), m.num("n"), m.at)
    return Into((Stitch(name, (2,), m.at),), "next", m.num("n"), None, m.at)


def _joined_with(m: Match) -> Any:
    """`Join to the first leg with a sc`: a stitch of the round."""
    made = m.token("s").value in PLAIN and m.token("w").value == "with"
    return Into((Stitch(m.token("s").value, ONE, m.at),), "elsewhere", ONE, None, m.at) if made else NO_FIT


def _rows_of(m: Match) -> Any:
    """`Work 7 rows of sc`."""
    row = _fabric(m)
    return row if row is NO_FIT else (row, RowCount(m.num("n"), m.at))


_ALONE = "((chain num)|(num chain)) (open (hooknote|remark|st|ANY|num|sep|eq|as)* close)? sep star"
"""A chain before a repeat, with what is said of it."""
_TO_PLACE = (
    "(in|to|at|on) (next|each|ord|beg|top|same|remark|centre|turn|at|as|other|last)* "
    f"({SPACE}|(st|ANY|chain|edge|end|side)+)"
)
_PLAIN_ROW = "(num? stitch (around|(in (each|all) (st|ANY) around?)) SEP+ work?)"
"""`Sc around, working ...`, where what is said behind it tells the row."""
_SKIPPED = f"(((next|both)? {SPACE} (for|remark|unknown|seam)*)|(next? num (st|ANY) ((remark|for|unknown)+ (?=sep))?))"


def _skip_list(m: Match) -> Any:
    """`skip next ch-1 sp, 24 dc of the sleeve and next ch-1 sp`: in turn."""
    found: list[Any] = []
    place, end = m.match.start() + 1, m.match.end()
    while place < end:
        stop = next((each for each in range(place, end) if m.chart.kind(each) == "sep"), end)
        number = next((m.chart.run[each] for each in range(place, stop) if m.chart.kind(each) == "num"), None)
        if any(m.chart.kind(each) == "space" for each in range(place, stop)):
            both = any(m.chart.kind(each) == "both" for each in range(place, stop))
            found.append(Into((), "space", (1 + both,), None, m.chart.run[place].at))
        elif number is not None:
            found.append(Stitch("sk", number.num, number.at))
        place = stop + 1
    return tuple(found) if len({type(each) for each in found}) > 1 else NO_FIT


HOOK_MOVES: tuple[Rule, ...] = (
    *CLOSED,
    *EDGES,
    Rule("{b:(remark|beg)} (in|at|from)* (next|{same:same}) (st|ANY) SEP* (?=num|ANY)", _starts, -0.3),
    Rule(f"skip next? (st|ANY)? (in|at|on)* same (in|at)* ({TURNING})?",
         lambda m: Into((), "base", ONE, None, m.at), -0.3),
    Rule(f"sep (work|remark)* last (st|ANY) in (remark|next|ord|top|same|last)* {TURNING}", lambda m: None, -0.3),
    Rule("skip next? {n:num} chain (?=sep|open|stop)", _chains_left, -0.3),
    Rule("num? slip (to|in|remark)* ring (?=sep|stop|$)", lambda m: RowCount(ONE, m.at, said=False), -0.3),
    Rule("(pm|(put marker)) (in|at|on)+ (next|ord|last|remark|same)* (st|ANY|space) ((each|next|remark)* row)?",
         lambda m: None, -0.2),
    Rule("{r:remark} (in|at|on|to)* (next|ord|last|same)+ (st|ANY) ((each|next|remark)* row)?",
         lambda m: None if m.token("r").value in _MARKED else NO_FIT, -0.2),
    Rule(f"{_PLAIN_ROW}? {{n:num}}? {{s:(inc|dec|stitch)}} in? (each|all) ({{o:ord}} (sep {{p:ord}})?|other) (st|ANY) "
         "(around|(to end row?))?", _every_other, -0.3),
    Rule("{s:inc} in {o:ord} (st|ANY) sep (in|each|all|next|rem)+ ord (st|ANY) around?", _every_other, -0.3),
    Rule("{n:num} {s:stitch} in next sep in? last (st|ANY) (SEP|work)+ num? {t:stitch} in (each|all|rem|other)+ "
         "(st|ANY) between?", _first_and_last, -0.4),
    Rule("chain {n:num} ((sep {k:num} (for|to|remark)* (turn|beg)+ (remark|chain)*)|"
         "({plus:sep} {k2:num} (?=stop|sep|$)))", _with_turning, -0.3),
    Rule("{s:stitch} {n:num} {l:tbl}", _through_both, -0.3),
    Rule("{n:num} ((on|in) (each|all) row)? (?=stop|sep|open|num|$)", _changed, -0.3),
    Rule("(sep|remark)* num chain to turn", lambda m: None, -0.2),
    Rule("work? {n:num} more? row (in|remark)* {s:stitch} (in|tbl|each|all|st|remark|next|around)* "
         "(on remark* num? (st|ANY))?", _rows_of, -0.3),
    Rule("work (even|remark)* in {s:stitch} (?=sep (inc|dec))", lambda m: None, -0.2),
    Rule("on {r:remark} num? (st|ANY)",
         lambda m: None if m.token("r").value in ("these", "those", "same") else NO_FIT, -0.1),
    Rule("put (st|ANY)? (in|on)? tbl", lambda m: None, -0.2),
    Rule("num row {b:remark}", lambda m: None if m.token("b").value == "below" else NO_FIT, -0.2),
    Rule("remark (in|remark)* (each|next|all|ord|same)* (remark|ANY|st)+ SEP* (stitch SEP*)? drawn", _drawn, -0.3),
    Rule("remark in {o:ord} (chain|st) hook SEP* (stitch SEP*)? drawn",
         lambda m: Into((Stitch("tss", ONE, m.at),), "skip", (m.num("o")[0] - 1,), None, m.at), -0.3),
    Rule("drawn in {o:ord} (chain|st) hook {rest:sep in? (each|all) rem? (chain|st) (around|(to end row?))?}?",
         lambda m: Into((Stitch("tss", ONE, m.at),), "skip", (m.num("o")[0] - 1,),
                        to_end(m) if m.has("rest") else None, m.at), -0.3),
    Rule("tbl (next|last|rem) {n:num} st (?=stop|sep|close|$)", _same_stitch),
    Rule("(remark|work|beg)+ in {o:ord} (chain|st) hook (SEP|work)*",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), None, m.at), -0.2),
    Rule("(({in:in}|remark|work|beg) (remark|work)*)? {r:ring} (SEP|work|remark)*", _ring, 0.05),
    Rule("slip (remark|unknown|end|edge|seam|hand|side)+ together (to|remark|unknown|tbl)*", lambda m: None, -0.3),
    Rule("slipjoin {n:num} (st|ANY)", _slips, -0.3),
    Rule("slipjoin (st|ANY) (?=sep)", _slip_first, 0.4),
    Rule(f"slipjoin (next|ord|beg|chain|num|dash|remark)* space (?=sep {_ALONE})", _in_space, -0.3),
    Rule(f"join ({{c:colour}}|remark|unknown)+ slip {_TO_PLACE} (remark|same|unknown|elsewhere)*", _joined, -0.2),
    Rule(f"(join|slipjoin|remark) last {CH} (remark|slip|slipjoin|join)* (to|in)* (ord|top|st|next|remark|chain)* {CH}",
         lambda m: None, -0.3),
    Rule(f"{{j:slipjoin}} (colour|remark)* {_TO_PLACE}", _standing, -0.3),
    Rule("num? (slipjoin|join) "
         "((chain num?)|(num chain dash?)|(chain num dash (?=space))|remark|st|in|to|next|top|ANY|beg|row|same|ord"
         "|space|ring|at|turn|slip|edge)* "
         "(colour (remark)*)?", _joining, -0.05),
    Rule("(join|remark) (remark|join|unknown)* (({c:colour}|sep) (remark|sep)*)? "
         f"(slip|{{s:stitch}})? {_TO_PLACE}", _joined, -0.05),
    # Not `sl st in next 3 ch, ch 1, sc in same sp`, whose last stitch is one.
    Rule("slip over? ((?!sep num? ANY in)"
         "(in|to|next|last|ord|same|each|all|num|ANY|sep|st|remark|around|beg|chain|dash|at|on|centre))* "
         f"{CH}? (to|sep)* (next|remark|same|each|beg|num|chain|dash)* space (st)?", _to_space, -0.15),
    Rule(f"(join|remark) (remark|join|unknown)* (slip|slipjoin)? (in|to) next ANY (?=sep {CH})", _joined, -0.3),
    Rule("((work|remark|turn|in|on|row|around|sep|to|at|same)* otherside)+ (next|beg|remark|chain|st|row|edge|co)*",
         lambda m: Opposite(m.at), -0.1),
    Rule("skip {f:next} {n:num}? (rem|remark)* {w:(st|ANY|chain)}? "
         f"((sep next? num? {SPACE})|({{a:sep}} next? {{b:num}}? {{c:chain}}))?", _lead_in, -0.2),
    Rule(f"skip (next|last|rem|each)* {{n:num}}? (rem|remark)* {{w:(st|ANY)}} (sep next? num? {SPACE})?", _skip, -0.2),
    Rule(f"skip {_SKIPPED} (sep {_SKIPPED} (?!in|{SPACE}))+", _skip_list, -0.4),
    Rule(f"skip (next|each|all|rem|num)* {SPACE}", lambda m: Into((), "space", ONE, None, m.at), -0.1),
    Rule("(work|ending|put) last (ANY|st) in (ord|chain|beg|turn|top|remark|num|dash|st|next|last|same|space|ANY)+",
         lambda m: None, -0.2),
    Rule("num? (chain dash? num? dash?)? picot "
         "(open (chain|num|slip|in|ord|same|next|last|st|ANY|sep|remark|hook|top)* close)?", _picot, -0.3),
    Rule("slip in? space? between (next|beg|ord)* ((chain dash? num?)|ANY|st) sep (next|beg|ord)* (ANY|st)",
         lambda m: None, -0.2),
    Rule("work (?=num|ANY|open)", lambda m: None),
    Rule("put (?=num ANY in)", lambda m: None),
    Rule("(join|slipjoin) (to|in|next|ord)* (remark|elsewhere) {w:remark} {s:stitch} (?=sep|stop)", _joined_with, -0.4),
    Rule("((chain num?)|(num chain)) sep slip in (ord|same|next|last|remark) (chain|st|ANY)? hook? "
         "(open remark? picot remark? close)?",
         _picot, -0.3),
    Rule("(put|remark|have|sep|stop|turn)* (rem|last|next|all)* {n:num}? (rem|st|ANY)* unworked "
         "(st|rem|turn|sep|remark)*",
         lambda m: Stitch("sk", m.num("n"), m.at) if m.has("n") and _ends(m) else None, -0.1),
    Rule("put {r:remark} (?=stop|sep|dash|open|$)", lambda m: None if m.token("r").value == "rest" else NO_FIT, -0.1),
    Rule(f"to? {{f:remark}} (last|next|remark|ord|beg)* {SPACE}", _forms, -0.1),
    Rule("skip num? chain (next|remark)* (turn|beg)+ chain sep {s:ANY} in next (chain|st)", _last_of_chain, -0.3),
)  # fmt: skip
"""Moves of crochet that make no stitch."""

HOOK_QUANTITIES: tuple[Rule, ...] = (
    Rule("(around|(to end row?))? sep? (put|remark|have)+ (rem|last|next)* {n:num} (st|ANY)* unworked",
         lambda m: To("end", m.num("n"), "", m.at), -0.2),
    Rule("(evenly|over|around) (next|last|rem)? {n:num} (st|ANY) to+ (next|remark|last|centre)* (space|marker|edge)",
         lambda m: To("over", m.num("n"), "", m.at), -0.2),
    Rule("around? to+ (last|beg|turn|remark)* (beg|turn) (last|beg|turn|remark)* chain",
         lambda m: To("across", NONE, "", m.at)),
    Rule("around? to+ {n:num} (st|ANY) (before|from)? end row?", lambda m: To("end", m.num("n"), "", m.at), -0.1),
    Rule(f"around? to+ last num? ({SPACE}|group)", lambda m: To("rest", NONE, "", m.at), -0.1),
    Rule(f"around? to+ (remark|next|ord|centre|each|beg)* ({SPACE}|(centre (?=sep|stop|$)))",
         lambda m: To("space", NONE, "", m.at)),
    Rule(f"around? to+ (last|next)? {{n:num}}? st before (remark|next|ord|centre|each)* ({SPACE}|centre)",
         lambda m: To("space", m.num("n", ONE), "", m.at), -0.2),
)  # fmt: skip
"""How far stitches go in crochet."""
