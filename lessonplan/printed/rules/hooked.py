"""The rules of crochet as data: where stitches are worked into, what only leads or closes a round, counts of kinds.

As in `grammar`: each rule is a run of kinds of tokens, what it means, and what it costs to read it so.
"""

from __future__ import annotations

from typing import Any

from lessonplan.printed.rules.grammar import NONE, ONE, STITCHES
from lessonplan.printed.rules.items import Counted, RowCount
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Colour, Into, Num, Opposite, Stitch, To

_CH = "((chain dash? num? dash?)|(num chain? dash?))"
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


HOOK_PLACES: tuple[Rule, ...] = (
    Rule("(in|around|on)? (each|all|in)* (next|rem)* {n:num}? (ANY|st)? (on|in|from)? elsewhere",
         lambda m: Into((), "elsewhere", m.num("n"), None, m.at), -0.3),
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
    if m.has("s") and not any(token.kind == "join" or token.value == "prose" for token in words):
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


_TO_PLACE = (
    "(in|to|at|on) (next|each|ord|beg|top|same|remark|centre|turn|at|as|other|last)* "
    f"({_SPACE}|(st|ANY|chain|edge|end|side)+)"
)
_NOUN = "(st|ANY)"
HOOK_MOVES: tuple[Rule, ...] = (
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
         "(remark|st|in|to|next|chain|top|num|dash|ANY|beg|row|same|ord|space|ring|at|turn|slip|edge)* "
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
    Rule(f"around? to+ last num? ({_SPACE}|group)", lambda m: To("rest", NONE, "", m.at), -0.1),
)  # fmt: skip
"""How far stitches go in crochet."""

_THING = "(rem|total|remark|beg|next|other|unknown)* (st|ANY|space|group|picot|edge|unknown) (st|space|group|ANY)?"
_ITEM = f"num ({_CH} dash?)? {_THING}"
HOOK_COUNTS: tuple[Rule, ...] = (
    Rule(f"(open|dash|eq|stop|sep) (dash|stop|sep|open|eq|have|total)* {{all:{_ITEM} (sep+ {_ITEM})*}} "
         "(remark (turn|beg)* chain dash? num?)? (remark|rem|total|in|on|at|each|around|side|edge|between)* "
         "close? (stop|sep|dash)*", lambda m: _tally(m)),
)  # fmt: skip
"""Stitches, spaces and groups counted behind a line: `(12 dc, 4 ch-2 sps)`."""


def _tally(m: Match) -> Counted:
    """The stitches of a count of several kinds; `num` () where groups are counted, whose stitches it does not tell."""
    run = m.chart.run[m.match.start("all") : m.match.end("all")]
    items: list[tuple[str, Num]] = []
    n: Num = ()
    kind = ""
    for place, token in enumerate((*run, None)):
        if token is None or token.kind == "sep":
            if n:
                items.append((kind, n))
            n, kind = (), ""
        elif token.kind == "num" and not n:
            n = token.num
        elif token.kind in ("space", "group", "picot", "edge", "unknown"):
            kind = "space" if token.kind == "space" else "group"
        elif token.kind == "stitch" and kind not in ("space", "group"):
            kind = token.value if token.value != "ch" or place else ""
        elif token.kind == "st" and not kind:
            kind = "st"
    stitches = [n for kind, n in items if kind not in ("space", "group", "ch")]
    known = stitches and not any(kind in ("group", "ch") for kind, _ in items)
    sizes = max((len(n) for n in stitches), default=1)
    whole = tuple(sum(n[min(size, len(n) - 1)] for n in stitches) for size in range(sizes))
    return Counted(whole if known else (), m.token("all").at, tally=tuple(items))
