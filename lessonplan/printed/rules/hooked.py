"""The rules of crochet as data: where stitches are worked into, what only leads or closes a round, counts of kinds.

As in `grammar`: each rule is a run of kinds of tokens, what it means, and what it costs to read it so.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lessonplan.craft.techniques import canonical
from lessonplan.printed.rules.grammar import NONE, ONE, STITCHES
from lessonplan.printed.rules.moves import Counted, RowCount
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Colour, Into, Opposite, Repeat, Shape, Spell, Stitch, To
from lessonplan.printed.words.tokens import Token

_CH = "((chain dash? num? dash?)|(num dash? chain dash?)|(num dash? (?=space)))"
"""`ch-2`, `2ch-` before the word space."""
_SPACE = f"(space? {_CH})? space"
_ALL = "((around? to+ last num? (st|ANY))|around|(to end row?))?"
_STITCH = "(st|ANY|top)"
_TURNING = f"(next|beg|turn|remark|same)* {_CH}"


def _to_end(m: Match) -> To:
    return To("end", NONE, "", m.at)


def _every(place: str) -> Rule:
    """`in each dc and ch-1 sp`, in either order; or every chain of the spaces, one by one."""
    other = _SPACE if place == "both" else "chain"
    ways = (
        f"(rem|other|next)* {_STITCH} sep (in|around)? (each|all)? (rem|other|next|chain)* {other}",
        f"(rem|other|next)* {other} sep (in|around)? (each|all)? (rem|other|next)* {_STITCH}",
    )
    return Rule(
        f"(in|around)? (each|all) (({ways[0]})|({ways[1]})) {_ALL}",
        lambda m: Into((), place, NONE, _to_end(m), m.at),
        -0.1,
    )


def _edge(m: Match) -> Into:
    return Into((), "edge", ONE, None, m.at)


def _some_spaces(m: Match) -> Into:
    """`in next 2 spaces`; but `2ch-sp` is one of two chains."""
    sized = m.token("s").tight and m.match.start("s") == m.match.end("n")
    return Into((), "space", ONE if sized else m.num("n"), None, m.at)


def _each_space(m: Match) -> Into:
    """`in each ch-2 sp`: only spaces of so many chains, where there are others too."""
    words = m.chart.run[m.match.start() : m.match.end()]
    place = next(place for place, token in enumerate(words) if token.kind == "space")
    chains = next((token.num for token in words[:place] if token.kind == "num"), ())
    return Into((), "space", NONE, None, m.at, chains)


def _magic(m: Match) -> Any:
    """Initials that elsewhere are a yarn: only a round that begins on nothing is worked into them."""
    return Into((), "new", NONE, None, m.at) if m.token("c").value.upper() == "MC" else NO_FIT


def _inside(m: Match) -> Any:
    """`Make a magic ring and work 6 sc inside`."""
    ring = any(token.kind == "ring" for token in m.chart.run[: m.match.start()])
    return Into((), "new", ONE, None, m.at) if ring else NO_FIT


def _top_of_next(m: Match) -> Any:
    """`sc in top of next cluster`; the top of the first one is where a round is joined."""
    return NO_FIT if m.token("n").value == "first" else Into((), "next", ONE, None, m.at)


def _same_as_first(m: Match) -> Into:
    """`2 sc in same ch as first sc`: round a foundation it is worked into once more, from the other side."""
    around = any(token.kind == "otherside" for token in m.chart.run[: m.match.start()])
    return Into((), "next" if around else "same", ONE, None, m.at)


def _links(m: Match) -> Any:
    """Chains one by one; what they are, a foundation or an opening, the hook knows."""
    ahead = m.chart.kind(m.match.end())
    return NO_FIT if ahead in ("hook", "dash", "num", "space") else Into((), "links", m.num("n"), None, m.at)


def _second(m: Match) -> Any:
    """`dc in second st and in each st to end`, where the turning chain stands on the first one."""
    chain = m.has("s") and m.token("s").value == "ch"
    hook = m.chart.kind(m.match.end()) in ("hook", "from", "chain")
    if chain or hook or m.num("o") != (2,):
        return NO_FIT
    return Into((), "second", ONE, To("end", NONE, "", m.at) if m.has("rest") else None, m.at)


def _these(m: Match) -> Any:
    """`rep from * to last 3 sts, sc in these sts`."""
    if m.token("r").value not in ("this", "these", "those"):
        return NO_FIT
    before = range(max(0, m.match.start() - 9), m.match.start() - 1)
    last = [place + 1 for place in before if m.chart.kind(place) == "last" and m.chart.kind(place + 1) == "num"]
    return Into((), "next", m.chart.run[last[-1]].num, None, m.at) if last else NO_FIT


HOOK_PLACES: tuple[Rule, ...] = (
    Rule("(in|around|on)? (each|all|in)* (next|rem)* {n:num}? (ANY|st)? (on|in|from)? elsewhere",
         lambda m: Into((), "elsewhere", m.num("n"), None, m.at), -0.3),
    Rule(f"total (rem|next|other)* {_STITCH} {_ALL}", lambda m: Into((), "next", NONE, _to_end(m), m.at), -0.1),
    Rule("in otherside (in|each|all|next)* {n:num}? chain", lambda m: Into((), "links", m.num("n"), None, m.at), -0.3),
    _every("both"),
    _every("links"),
    Rule(f"(in|around) (each|all) (rem|other|next)* {_SPACE} {_ALL}", _each_space, -0.1),
    Rule("(total|(in (each|all))|in|around) next? {n:num} (rem|remark)* "
         "(chain dash? num? dash?)? {s:(space|group)}", _some_spaces, -0.1),
    Rule(f"in (next|same|last|remark|each|ord)* ({_SPACE} (in|on|at)?)? (next|same|remark|centre|each)* group",
         lambda m: Into((), "space", ONE, None, m.at)),
    Rule(f"in {_SPACE} (in|on)? (each|all) (rem|other|next)* (group|ANY) {_ALL}",
         lambda m: Into((), "space", NONE, None, m.at), -0.2),
    Rule(f"in (next|last|remark|ord|beg|turn)* {_SPACE}", lambda m: Into((), "space", ONE, None, m.at), -0.05),
    Rule(f"in (next|remark|each|ord)* {_SPACE} st", lambda m: Into((), "next", ONE, None, m.at), -0.15),
    Rule(f"in ord (((chain|st) {_TURNING})|(num chain)|((beg|turn)+ {_CH}))", _edge, -0.2),
    Rule(f"in top {_TURNING}", _edge, -0.2),
    Rule("in same (chain|st)+ as (next|ord|beg) num? (st|ANY)", _same_as_first, -0.2),
    Rule(f"in (next|ord)? {_STITCH}? (at|in)? same ({_TURNING})?", lambda m: Into((), "same", ONE, None, m.at), -0.1),
    Rule(f"(in|around) remark+ (next|last)? {{n:num}} remark* {_STITCH}?",
         lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule(f"(in|around) remark* (each|all) remark* (rem|other|next)* {_STITCH}",
         lambda m: Into((), "next", NONE, _to_end(m), m.at), 0.1),
    Rule("(in|around) (each|all)* (last|rem)+ {n:num} (st|ANY)?", lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule("in (each|all)? next {n:num}? chain", _links, -0.05),
    Rule("in (each|all) {n:num} chain", _links, -0.05),
    Rule("in (each|all) around", lambda m: Into((), "next", NONE, To("across", NONE, "", m.at), m.at), 0.1),
    Rule("in? ((next|same)|{e:(each|all)})? space between (each|next|ord|num|ANY|st|sep|beg)*",
         lambda m: Into((), "next", NONE if m.has("e") else ONE, _to_end(m) if m.has("e") else None, m.at), -0.2),
    Rule("in (st|ANY) after", lambda m: Into((), "next", ONE, None, m.at)),
    Rule("in top {n:next} (ANY|st|group)", _top_of_next, -0.2),
    Rule("in top (next|ord|remark|beg)* (ANY|st)", lambda m: Into((), "same", ONE, None, m.at), -0.1),
    Rule(f"(at|in)? same {_TURNING}", lambda m: Into((), "same", ONE, None, m.at)),
    Rule("in (each|all) num? after", lambda m: Into((), "next", NONE, _to_end(m), m.at), -0.1),
    Rule("in (each|all) (?=stop|dash|open|eq|close|$)", lambda m: Into((), "next", NONE, _to_end(m), m.at), 0.1),
    Rule("in {r:remark} (st|ANY)", _these, -0.2),
    Rule("in {o:ord} (chain|st) hook sep around", lambda m: Into((), "skip", (m.num("o")[0] - 1,), _to_end(m), m.at), -0.2),
    Rule(f"in {{o:ord}} (st|{{s:ANY}}) {{rest:sep? in (each|all) (rem|other|next)* {_STITCH} {_ALL}}}?", _second, -0.2),
    Rule(f"in? tbl in? (each|all) (rem|other|next)* {_STITCH} {_ALL}",
         lambda m: Into((), "next", NONE, _to_end(m), m.at), -0.1),
    Rule(f"in? tbl in? (next|last|rem|ord)+ {{n:num}}? {_STITCH}", lambda m: Into((), "next", m.num("n"), None, m.at), -0.1),
    Rule("in {c:colour}", _magic, 0.3),
    Rule("in (?=stop|sep|close|open|eq|dash|$)", _inside, 0.1),
)  # fmt: skip
"""Places of crochet: see `Into`."""


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
    n = max(m.num("n"))
    base = Into((), "base", ONE, None, m.at)
    return base if n < 2 else (base, Stitch("sk", tuple(each - 1 for each in m.num("n")), m.at))


def _skip(m: Match) -> Any:
    words = m.chart.run[m.match.start() : m.match.end()]
    if any(token.value == "first" for token in words):
        return NO_FIT
    return Stitch("sk", m.num("n"), m.at)


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


def _joining(m: Match) -> RowCount | None:
    """The end of a round; a chain joined to a ring is made before the first one."""
    ring = any(m.chart.kind(place) == "ring" for place in range(m.match.start(), m.match.end()))
    return RowCount(ONE, m.at, said=False) if ring else None


def _drawn(m: Match) -> Any:
    """A forward pass of Tunisian crochet: a loop on the hook for each stitch (common practice: the first is there)."""
    body = (Stitch("tss", ONE, m.at),)
    return Into(body, "next", ONE, _to_end(m) if m.has("each") else None, m.at)


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


PLAIN = ("sc", "hdc", "dc", "tr", "dtr")
"""Stitches that a fabric is made of."""


def _fabric(m: Match) -> Any:
    """`Cont in trebles`: a whole row of them."""
    token = m.token("s")
    fill = Repeat((Stitch(token.value, ONE, token.at),), To("end", NONE, "", token.at), token.at)
    return fill if token.value in PLAIN else NO_FIT


def _together(m: Match) -> Any:
    """`Work the next 2 dc together into 1 tr`."""
    name = m.token("t" if m.has("t") else "s").value if m.has("t") or m.has("s") else ""
    n = m.num("n")
    if name not in PLAIN or len(n) > 1 or not 1 < n[0] < 10:
        return NO_FIT
    return Stitch(canonical(f"{name}{n[0]}tog", "crochet"), ONE, m.at, bare=True)


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


def _with_turning(m: Match) -> Stitch:
    """`Ch 30 + 2 for turning`."""
    first, more = m.num("n"), m.num("k")
    sizes = max(len(first), len(more))
    count = tuple(first[size % len(first)] + more[size % len(more)] for size in range(sizes))
    return Stitch("ch", count, m.at)


def _every_other(m: Match) -> Repeat:
    """`Inc in every other st`, `inc in every 4th st`: plain stitches between."""
    n = m.num("o", (2,))
    plain = Into((Stitch(main_stitch(m.chart.run), ONE, m.at),), "next", tuple(each - 1 for each in n), None, m.at)
    inc = Into((Stitch(main_stitch(m.chart.run), (2,), m.at),), "next", ONE, None, m.at)
    return Repeat((plain, inc), To("end", NONE, "", m.at), m.at)


def main_stitch(run: Sequence[Token]) -> str:
    """The main stitch of a crochet line."""
    return next((token.value for token in run if token.kind == "stitch" and token.value in PLAIN[:4]), "sc")


def _rows_of(m: Match) -> Any:
    """`Work 7 rows of sc`."""
    row = _fabric(m)
    return row if row is NO_FIT else (row, RowCount(m.num("n"), m.at))


_TO_PLACE = (
    "(in|to|at|on) (next|each|ord|beg|top|same|remark|centre|turn|at|as|other|last)* "
    f"({_SPACE}|(st|ANY|chain|edge|end|side)+)"
)
_NOUN = "(st|ANY)"
HOOK_MOVES: tuple[Rule, ...] = (
    Rule(f"skip next? {_NOUN}? (in|at|on)* same (in|at)* ({_TURNING})?", lambda m: Into((), "base", ONE, None, m.at), -0.3),
    Rule(f"sep (work|remark)* last {_NOUN} in (remark|next|ord|top|same|last)* {_TURNING}", lambda m: None, -0.3),
    Rule("next? {n:num} {s:ANY} together", _together, -0.2),
    Rule("num? slip (to|in|remark)* ring (?=sep|stop|$)", lambda m: RowCount(ONE, m.at, said=False), -0.3),
    Rule("pm (in|at|on)+ (next|ord|last|remark|same)* (st|ANY|space)", lambda m: None, -0.2),
    Rule("{s:inc} in (each|all) ({o:ord}|other) (st|ANY) around?", _every_other, -0.3),
    Rule("{s:chain} {n:num} sep {k:num} (for|to|remark)* (turn|beg)+ (remark|chain)*", _with_turning, -0.3),
    Rule("{s:stitch} {n:num} {l:tbl}", _through_both, -0.3),
    Rule("{s:stitch} {l:tbl} around", _through_both, -0.3),
    Rule("{n:num} ((on|in) (each|all) row)? (?=stop|sep|open|num|$)", _changed, -0.3),
    Rule(f"(sep|remark)* {_CH} to turn", lambda m: None, -0.2),
    Rule("(sep|remark)* num chain to turn", lambda m: None, -0.2),
    Rule("work (each|all) (remark|st|ANY)* even (?=sep)", lambda m: None, -0.2),
    Rule("sep? remark* num (st|ANY) fewer (in|at|before|after|between|each|all|inced|deced|inc|dec|remark|st|row|times)*",
         lambda m: None, 0.3),
    Rule(f"work next? {{n:num}} (st|{{s:ANY}}) together (in num? (st|{{t:ANY}}))?", _together, -0.3),
    Rule("work? {n:num} more? row (in|remark)* {s:stitch} (in|tbl|each|all|st|remark|next|around)* (on remark* num? (st|ANY))?", _rows_of, -0.3),
    Rule(f"turn remark+ ({_CH}|(num chain))", lambda m: None, -0.2),
    Rule("work (even|remark)* in {s:stitch} (?=sep (inc|dec))", lambda m: None, -0.2),
    Rule("work (even|remark)* in (even|remark)* {s:stitch} ((row|around)+|(?=sep|stop|for|to|$))", _fabric, -0.1),
    Rule("work (all|remark)* (deced|inced|inc|dec)+ (even|as|manner) (remark|last|row|on|in|same|next)* (?=sep)",
         lambda m: None, -0.3),
    Rule("(sep|remark|join|slipjoin)* (remark|join|slipjoin)+ in? ring remark* num? slip (in|to|next|ord|chain|beg|top)*",
         lambda m: RowCount(ONE, m.at, said=False), -0.3),
    Rule("remark (in|remark)* (each|next|all|ord|same)* (remark|ANY|st)+ SEP* (stitch SEP*)? drawn", _drawn, -0.3),
    Rule("remark in {o:ord} (chain|st) hook SEP* (stitch SEP*)? drawn",
         lambda m: Into((Stitch("tss", ONE, m.at),), "skip", (m.num("o")[0] - 1,), None, m.at), -0.3),
    Rule("drawn (in|remark)* {each:(each|all)} (next|rem|remark)* (remark|ANY|st) (around|(to end row?))?", _drawn,
         -0.3),
    Rule("drawn in {o:ord} (chain|st) hook {rest:sep in? (each|all) rem? (chain|st) (around|(to end row?))?}?",
         lambda m: Into((Stitch("tss", ONE, m.at),), "skip", (m.num("o")[0] - 1,),
                        _to_end(m) if m.has("rest") else None, m.at), -0.3),
    Rule("drawn (in|remark)* (next|ord) (remark|ANY|st)", _drawn, -0.2),
    Rule("tbl (next|last|rem) {n:num} st (?=stop|sep|close|$)", _same_stitch),
    Rule("{s:stitch} (colour|remark)", lambda m: None if m.token("s").value == "drop" else NO_FIT, -0.2),
    Rule("(remark|work|beg)+ in {o:ord} (chain|st) hook (SEP|work)*",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), None, m.at), -0.2),
    Rule("(({in:in}|remark|work|beg) (remark|work)*)? {r:ring} (SEP|work|remark)*", _ring, 0.05),
    Rule("(join|slipjoin) (remark|colour)* (to|in|on)? (remark|next)* elsewhere remark* {s:stitch}",
         lambda m: Into((Stitch(m.token("s").value, ONE, m.at),), "elsewhere", ONE, None, m.at), -0.3),
    Rule("slipjoin {n:num} (st|ANY)", _slips, -0.3),
    Rule(f"{{j:slipjoin}} (colour|remark)* {_TO_PLACE}", _standing, -0.3),
    Rule("num? (slipjoin|join) "
         f"((chain num?)|(num chain dash?)|(chain num dash (?=space))|remark|st|in|to|next|top|ANY|beg|row|same|ord|space|ring|at|turn|slip|edge)* "
         "(colour (remark)*)?", _joining, -0.05),
    Rule(f"(join|remark) (remark|join|unknown)* {{c:colour}}? (remark|sep)* (slip|{{s:stitch}})? {_TO_PLACE}", _joined,
         0.02),
    Rule("slip over? (in|to|next|last|ord|same|each|all|num|ANY|sep|st|remark|around|beg|chain|dash|at|on|centre)* "
         f"{_CH}? (to|sep)* (next|remark|same|each|beg|num|chain|dash)* space (st)?", lambda m: None, -0.15),
    Rule("((work|remark|turn|in|on|row|around|sep|to|at|same)* otherside)+ (next|beg|remark|chain|st|row|edge|co)*",
         lambda m: Opposite(m.at), -0.1),
    Rule("skip {f:next} {n:num}? (rem|remark)* (st|ANY|chain)? "
         f"(sep next? num? {_SPACE})?", _lead_in, -0.2),
    Rule(f"skip (next|last|rem|each)* {{n:num}}? (rem|remark)* {_NOUN} (sep next? num? {_SPACE})?", _skip, -0.2),
    Rule(f"skip (next|each|all|rem|num)* {_SPACE}", lambda m: Into((), "space", ONE, None, m.at), -0.1),
    Rule("(work|ending|put) last (ANY|st) in (ord|chain|beg|turn|top|remark|num|dash|st|next|last|same|space|ANY)+",
         lambda m: None, -0.2),
    Rule(f"sep? (remark|sep)* hooknote (as|next|num|ANY|st|turn|remark|beg|row|all)* (sep num? {_SPACE})?",
         lambda m: None, -0.1),
    Rule("open (for|as) remark* num? ANY ((sep|as|for|remark)* num? ANY num?)* (space|remark)* close",
         lambda m: None, -0.3),
    Rule("num? (chain dash? num? dash?)? picot "
         "(open (chain|num|slip|in|ord|same|next|last|st|ANY|sep|remark|hook|top)* close)?", _picot, -0.3),
    Rule("slip in? space? between (next|beg|ord)* ((chain dash? num?)|ANY|st) sep (next|beg|ord)* (ANY|st)",
         lambda m: None, -0.2),
    Rule("work (?=num|ANY|open)", lambda m: None),
    Rule("chain num? sep slip in (ord|same|next|last|remark) (chain|st|ANY)? hook? (open remark? picot remark? close)?",
         _picot, -0.3),
    Rule("(put|remark|have|sep|stop|turn)* (rem|last|next|all)* num? (rem|st|ANY)* unworked (st|rem|turn|sep)*",
         lambda m: None, -0.1),
    Rule("(put|remark|sep|turn)* (rem|last)+ num? (st|ANY)* unworked", lambda m: None, -0.1),
    Rule(f"to? {{f:remark}} (last|next|remark|ord|beg)* {_SPACE}", _forms, -0.1),
    Rule("skip num? chain (next|remark)* (turn|beg)+ chain sep {s:ANY} in next (chain|st)", _last_of_chain, -0.3),
    Rule("((row num)|(ord row)) (colon|stop|dash)+", lambda m: RowCount(ONE, m.at, said=False), 0.1),
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
    Rule(f"around? to+ last num? ({_SPACE}|group)", lambda m: To("rest", NONE, "", m.at), -0.1),
    Rule(f"around? to+ (remark|next|ord|centre|each|beg)* ({_SPACE}|(centre (?=sep|stop|$)))",
         lambda m: To("space", NONE, "", m.at)),
    Rule(f"around? to+ (last|next)? {{n:num}}? st before (remark|next|ord|centre|each)* ({_SPACE}|centre)",
         lambda m: To("space", m.num("n", ONE), "", m.at), -0.2),
)  # fmt: skip
"""How far stitches go in crochet."""
