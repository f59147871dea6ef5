"""Where stitches of crochet are worked into, as rules: stitches, spaces, rings, chains, the turning chain.

As in `grammar`: each rule is a run of kinds of tokens, what it means, and what it costs to read it so.
"""

from __future__ import annotations

from typing import Any

from lessonplan.printed.heading import Num
from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Into, To

CH = "((chain (dash? num (?!ANY|st))? (dash (?=space))?)|(num dash? chain dash?)|(num dash? (?=space)))"
"""`ch-2`, `2ch-` before the word space."""
SPACE = f"(space? {CH})? space"
"""A space between stitches, with the chains it is made of."""
_LEFT = "((last num? (st|ANY))|(have? num st rem)|(num st (before|from)? end))"
_ALL = f"((around? to+ {_LEFT})|(around edge?)|(to end row?)|(to+ (next|ord|remark)* space))?"
_STITCH = "(st|ANY|top)"
TURNING = f"(next|beg|turn|remark|same)* {CH}"
"""A turning chain."""


def to_end(m: Match) -> To:
    """To the end of the round, or so many stitches before it: `in each dc and ch-1 sp to last 2 sts`."""
    words = m.chart.run[m.match.start() : m.match.end()]
    to = next((place for place, token in enumerate(words) if token.kind == "to"), len(words))
    left = next((token.num for token in words[to:] if token.kind == "num"), NONE)
    last = any(token.kind == "last" for token in words[to:])
    return To("end", left if left != NONE else ONE if last else NONE, "", m.at)


def _every(place: str) -> Rule:
    """`in each dc and ch-1 sp`, in either order; or every chain of the spaces, one by one."""
    other = SPACE if place == "both" else "chain"
    ways = (
        f"(rem|other|next)* {_STITCH} sep (in|around)? (each|all)? (rem|other|next|chain|remark)* {other}",
        f"(rem|other|next)* {other} sep (in|around)? (each|all)? (rem|other|next)* {_STITCH}",
    )
    return Rule(
        f"(in|around)? (each|all) (({ways[0]})|({ways[1]})) {_ALL}",
        lambda m: Into((), place, NONE, to_end(m), m.at, _chains(m) if place == "both" else ()),
        -0.1,
    )


def _edge(m: Match) -> Into:
    return Into((), "edge", ONE, None, m.at)


def _some_spaces(m: Match) -> Into:
    """`in next 2 spaces`; but `2ch-sp` is one of two chains."""
    space = m.token("s")
    one = space.value == "ch" and not m.has("e")  # `2 d.c. in 3 ch. loop`; in each of 3 there are three of them
    sized = (space.tight or one) and m.match.start("s") == m.match.end("n")
    return Into((), "space", ONE if sized else m.num("n"), None, m.at)


def _each_space(m: Match) -> Into:
    """`in each ch-2 sp`: only spaces of so many chains, where there are others too."""
    return Into((), "space", NONE, None, m.at, _chains(m))


def _chains(m: Match) -> Num:
    """How many chains the spaces named are made of; () if that is not said."""
    words = m.chart.run[m.match.start() : m.match.end()]
    place = next((place for place, token in enumerate(words) if token.kind == "space"), 0)
    return next((token.num for token in words[:place] if token.kind == "num"), ())


_ENDS = "(end|edge|side)+"


def _row_ends(m: Match) -> Into:
    """`sc in the end of each row`: as many stitches as rows were worked."""
    return Into((), "rows", ONE, None, m.at)


def _magic(m: Match) -> Any:
    """Initials that elsewhere are a yarn: only a round that begins on nothing is worked into them."""
    return Into((), "new", NONE, None, m.at) if m.token("c").value.upper() == "MC" else NO_FIT


def _inside(m: Match) -> Any:
    """`Make a magic ring and work 6 sc inside`; `until 1 st remains, 2 sc in it`."""
    before = range(max(0, m.match.start() - 7), m.match.start())
    if any(m.chart.kind(place) in ("last", "rem") for place in before):
        return Into((), "next", ONE, None, m.at)
    ring = any(token.kind == "ring" for token in m.chart.run[: m.match.start()])
    return Into((), "new", ONE, None, m.at) if ring else NO_FIT


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
    before = range(max(0, m.match.start() - 9), m.match.start() - 1)  # `to the last 3 sts`
    last = [place + 1 for place in before if m.chart.kind(place) == "last" and m.chart.kind(place + 1) == "num"]
    return Into((), "next", m.chart.run[last[-1]].num, None, m.at) if last else NO_FIT


def _middle(m: Match) -> Any:
    """`3 dc in centre of each V-st`: into the chain between its legs."""
    every = NONE if m.has("e") else ONE
    return Into((), "space", every, None, m.at) if m.token("g").value == "V" else NO_FIT


_AT_GROUPS = "(in|at|next|beg|last|{e:(each|all)})* space?"


def _between_groups(m: Match) -> Into:
    """`3 dc in sp between next two groups`, `in each space between groups`, `in sp before first group`."""
    return Into((), "space", NONE if m.has("e") else ONE, None, m.at, (-2,) if m.has("b") else (-1,))


def _below(m: Match) -> Into:
    """`1 dc round stem of next tr of 1st round`: no stitch of the round below is worked into."""
    return Into((), "below", ONE, None, m.at)


HOOK_PLACES: tuple[Rule, ...] = (
    Rule(f"(in|around) (each|next|rem)* {_STITCH} (in|on|from)* {{o:ord}} row (sep? at remark group)?", _below, -0.4),
    Rule("(in|around|on)? (each|all|in)* (next|rem)* {n:num}? (ANY|st)? (on|in|from)? elsewhere",
         lambda m: Into((), "elsewhere", m.num("n"), None, m.at), -0.3),
    Rule(f"total (rem|next|other)* {_STITCH} {_ALL}", lambda m: Into((), "next", NONE, to_end(m), m.at), -0.1),
    Rule("in otherside (in|each|all|next)* {n:num}? chain", lambda m: Into((), "links", m.num("n"), None, m.at), -0.3),
    Rule("in? tbl (each|all) (rem|other|next)* chain SEP* (beg|remark) (work|in|remark)* {o:ord} (chain|st) hook",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), to_end(m), m.at), -0.4),
    Rule("in? tbl in? {o:ord} (chain|st) hook "
         "{rest:(sep? in? tbl? (each|all) (rem|next)* (chain|st) (around|(to end row?))?)}?",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), to_end(m) if m.has("rest") else None, m.at), -0.3),
    Rule(f"(each|all) next {_STITCH} {_ALL}", lambda m: Into((), "next", NONE, to_end(m), m.at), -0.1),
    _every("both"),
    _every("links"),
    Rule(f"(in|around) (each|all) (rem|other|next)* {SPACE} {_ALL}", _each_space, -0.1),
    Rule(f"in (each|all) (rem|other|next)* {CH} (remark|unknown|edge) {_ALL}",
         lambda m: Into((), "space", NONE, None, m.at), -0.05),
    Rule(f"in (rem|all) {_STITCH} {_ALL}", lambda m: Into((), "next", NONE, to_end(m), m.at), 0.1),
    Rule(f"in remark* {_ENDS} (each|all) remark* row {_ALL}", _row_ends, -0.2),
    Rule(f"in (each|all) remark* row {_ENDS} {_ALL}", _row_ends, -0.2),
    Rule("(total|(in {e:(each|all)})|in|around) next? {n:num} (rem|remark)* "
         "((chain dash? num? dash?)|(num dash? chain dash?))? {s:(space|group)}", _some_spaces, -0.1),
    Rule(f"in {SPACE} (in|on)? (each|all) (rem|other|next)* (group|ANY) {_ALL}",
         lambda m: Into((), "space", NONE, None, m.at), -0.2),
    Rule("in centre {e:(each|all)}? (rem|other|next|last)* {g:group}", _middle, -0.3),
    Rule(f"in (next|last|remark|ord|beg|turn|centre)* {SPACE}", lambda m: Into((), "space", ONE, None, m.at), -0.05),
    Rule(f"in (next|remark|each|ord)* {SPACE} st", lambda m: Into((), "next", ONE, None, m.at), -0.15),
    Rule(f"in ord (((chain|st) {TURNING})|(num chain)|((beg|turn)+ {CH}))", _edge, -0.2),
    Rule(f"in top {TURNING}", _edge, -0.2),
    Rule(f"in turn {CH}", _edge, -0.2),
    Rule("in same (chain|st)+ as (next|ord|beg) num? (st|ANY)", _same_as_first, -0.2),
    Rule("in (each|all)? next? {n:num} same", lambda m: Into((), "same", m.num("n"), None, m.at), -0.2),
    Rule(f"in (next|ord)? {_STITCH}? (at|in)? same ({TURNING})?", lambda m: Into((), "same", ONE, None, m.at), -0.1),
    Rule(f"(in|around) remark+ (next|last)? {{n:num}} remark* {_STITCH}?",
         lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule(f"(in|around) remark* (each|all) remark* (rem|other|next)* {_STITCH}",
         lambda m: Into((), "next", NONE, to_end(m), m.at), 0.1),
    Rule("(in|around) (each|all)* (last|rem)+ {n:num} (st|ANY)?", lambda m: Into((), "next", m.num("n"), None, m.at)),
    Rule("in (each|all)? next {n:num}? chain", _links, -0.05),
    Rule("in (each|all) {n:num} chain", _links, -0.05),
    Rule("in (each|all) around", lambda m: Into((), "next", NONE, To("across", NONE, "", m.at), m.at), 0.1),
    Rule(f"{_AT_GROUPS} (between|{{b:(before|after)}}) (each|next|ord|num|beg|last|dash|remark|all|sets)* "
         "(num dash? ANY dash?)? (sets|group) (remark? num ANY)?", _between_groups, -0.4),
    Rule("in? ((next|same)|{e:(each|all)})? space between (each|next|ord|num|ANY|st|beg)*"
         " (sep (next|ord|beg)+ (ANY|st))?",
         lambda m: Into((), "next", NONE if m.has("e") else ONE, to_end(m) if m.has("e") else None, m.at), -0.2),
    Rule("in (st|ANY) after", lambda m: Into((), "next", ONE, None, m.at)),
    Rule("in top (next|ord|remark|beg)* (ANY|st)", lambda m: Into((), "same", ONE, None, m.at), -0.1),
    Rule("in (each|all) (?=stop|dash|open|eq|close|$)", lambda m: Into((), "next", NONE, to_end(m), m.at), 0.1),
    Rule("in (each|all)? {r:remark} (st|ANY)", _these, -0.2),
    Rule("in {o:ord} (chain|st) hook sep around",
         lambda m: Into((), "skip", (m.num("o")[0] - 1,), to_end(m), m.at), -0.2),
    Rule(f"in {{o:ord}} (st|{{s:ANY}}) {{rest:sep? in (each|all) (rem|other|next)* {_STITCH} {_ALL}}}?", _second, -0.2),
    Rule(f"in? tbl sep? in? (each|all) (rem|other|next)* {_STITCH} {_ALL}",
         lambda m: Into((), "next", NONE, to_end(m), m.at), -0.1),
    Rule(f"in? tbl in? (next|last|rem|ord)+ {{n:num}}? {_STITCH}",
         lambda m: Into((), "next", m.num("n"), None, m.at), -0.1),
    Rule("in {c:colour}", _magic, 0.3),
    Rule("in (?=stop|sep|close|open|eq|dash|$)", _inside, 0.1),
)  # fmt: skip
"""Places of crochet: see `Into`."""
