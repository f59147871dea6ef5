"""The moves of the hands as rules: binding off, markers, holders, needles, turns, and what only looks like one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Passed, Rule
from lessonplan.printed.tree import (
    Alike,
    BindOff,
    CableNeedle,
    CastOn,
    Colour,
    Even,
    Hold,
    Join,
    Mark,
    Num,
    PickUp,
    Repeat,
    Return,
    Stitch,
    To,
    Turn,
)


def _hold(m: Match) -> Hold:
    n = m.num("n", NONE) if m.has("n") else None
    return Hold(n, m.has("last"), m.at)


def _bind_off(m: Match) -> BindOff:
    return BindOff(m.num("n") if m.has("n") else None, "BO", m.at)


def _fastened_off(m: Match) -> Any:
    """`Sl 1, k2tog, psso and fasten off`: the yarn is drawn through the one stitch that is left."""
    off = m.chart.run[m.match.end() - 1]
    before = [token for token in m.chart.run[: m.match.start()] if token.kind == "stitch"]
    only = len(before) == 1 and before[0].value in ("k2tog", "k3tog", "sk2p", "s2kp", "skp", "ssk", "p2tog", "p3tog")
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


def _changing(m: Match) -> Any:
    """`changing yarns every 2 rnds`: no row is worked for it."""
    return None if m.token("r").value.startswith(("chang", "stripe")) else NO_FIT


def _rib_told(m: Match) -> Any:
    """`, beginning and ending with p2` behind a rib only tells how it is set."""
    before = {m.chart.kind(place) for place in range(m.match.start())}
    return None if before & {"pattern", "even"} and "star" not in before else NO_FIT


def _fetched(m: Match) -> Any:
    """`Rejoin yarn to next st`: nothing is worked."""
    return None if m.token("r").value == "prose" else NO_FIT


def _foundation(m: Match) -> Any:
    """`Make 98 foundation sts`: they are cast on."""
    return CastOn(m.num("n"), False, m.at) if m.token("f").value.startswith("foundation") else NO_FIT


def _for_length(m: Match) -> Any:
    """`Knit 4 cm`: as many rows as it takes."""
    return Even("", To("end", NONE, "", m.at), m.at), RowCount(None, m.at)


def _told_rib(m: Match) -> Any:
    """`Ribbing = 1 k, 1 p`: what stands behind only tells what it is."""
    return None if m.chart.kind(m.match.start() - 1) in ("even", "pattern") else NO_FIT


def _bordered(m: Match) -> Any:
    """`, with 5 sts at each end in garter st`: the stitches are worked all the same."""
    return None if m.token("r").value == "with" else NO_FIT


def _including(m: Match) -> Any:
    """`Rib 12 including st already on needle after cast-off`: the count before it has that stitch in it."""
    return None if m.token("r").value in ("including", "counting", "includes") else NO_FIT


def _these_kept(m: Match) -> Any:
    """`Bind off 24 sts, k to end. Work on these sts only`: those up to the gap, or all."""
    begins = m.chart.kind(m.match.start() - 1) in ("stop", "")
    return Hold((-2,), False, m.at, keep=True) if begins and m.token("these").value.startswith("these") else NO_FIT


def _every_two(m: Match) -> Any:
    """`Knit together every 4th and 5th st`, all round."""
    first, second = m.num("a")[0], m.num("b")[0]
    if second != first + 1 or first < 1:
        return NO_FIT
    plain = (Stitch("k", (first - 1,), m.at),) if first > 1 else ()
    return Repeat((*plain, Stitch("k2tog", ONE, m.at)), To("rest", NONE, "", m.at), m.at, kind="star")


def _left_there(m: Match) -> Any:
    """`..., and leave for the instep` behind a holder."""
    return None if "holder" in map(m.chart.kind, range(m.match.start())) else NO_FIT


def _only_with(m: Match) -> Any:
    """`Knit only with the 24 stitches of needles 4 and 1`: the others wait."""
    return Hold(m.num("n"), False, m.at, keep=True) if m.token("r").value == "with" else NO_FIT


def _two_and_two(m: Match) -> Any:
    """`Knit 2 and 2 together`, all along."""
    numbers = {m.chart.run[place].num for place in range(m.match.start(), m.match.end()) if m.chart.kind(place) == "num"}
    if numbers != {(2,)}:
        return NO_FIT
    return Repeat((Stitch("k2tog", ONE, m.at),), To("end", NONE, "", m.at), m.at)


def _cast_by(m: Match) -> Any:
    """`Cable cast on 24 more`."""
    return CastOn(m.num("n"), False, m.at) if m.token("r").value.replace("-", " ").endswith("cast on") else NO_FIT


def _held_unsaid(m: Match) -> Any:
    """`Pop the next 32 sts on a spare thread`, whatever the verb."""
    verb = m.chart.kind(m.match.start()) == "unknown"
    return _hold(m) if verb or m.chart.kind(m.match.start() - 1) in ("", "stop", "sep", "colon") else NO_FIT


def _made_on(m: Match) -> Any:
    """`Make 96 sts by the thumb cast-on`."""
    return CastOn(m.num("n"), False, m.at) if m.token("f").value.startswith("ma") else NO_FIT


def _put_away(m: Match) -> Any:
    """`Slip the next 40 sts on to a length of cord`: many stitches put on what is no needle are held."""
    return Hold(m.num("n"), False, m.at) if min(m.num("n")) > 3 else NO_FIT


def _rows_by_turns(m: Match) -> Any:
    """`(P 1 row, k 1 row) 3 times`."""
    one = [
        item
        for name, count in (("a", "n"), ("b", "k"))
        for item in (Even("", To("end", NONE, "", m.token(name).at), m.token(name).at), RowCount(m.num(count), m.token(count).at))
    ]
    return tuple(one * m.num("t")[0]) if len(m.num("t")) == 1 and m.num("t")[0] < 40 else NO_FIT


def _on_the_rest(m: Match) -> Any:
    """`Slip 30 sts on to a holder. Work to and fro on rem sts`: on those that are there."""
    held = {"holder", "held"} & {m.chart.kind(place) for place in range(m.match.start())}
    return None if held and m.chart.kind(m.match.start() - 1) in ("stop", "sep", "colon") else NO_FIT


def _marked_stitch(m: Match) -> Any:
    """`K marked st`: the one behind the marker."""
    return Stitch(m.token("s").value, ONE, m.at) if m.token("k").end - m.token("k").at > 8 else NO_FIT


def _lone_pass(m: Match) -> Any:
    """`Pass 1st st over 2nd.` alone, on a needle of few stitches."""
    alone = m.chart.kind(m.match.start() - 1) in ("", "stop", "colon")
    return Stitch("k2tog", ONE, m.at) if alone and m.token("s").value == "psso" else NO_FIT


def _rib_ends(m: Match) -> Any:
    """`, odd rows beginning and ending k1` beside a rib only tells how it is set."""
    words = [m.chart.kind(place) for place in range(m.match.start(), m.match.end())]
    rib = {"pattern", "even"} & {m.chart.kind(place) for place in range(len(m.chart.run))}
    return None if rib and {"beg", "ending"} & {*words} and m.chart.kind(m.match.start() - 1) != "star" else NO_FIT


def _centre_off(m: Match) -> Any:
    """`Cast off the middle 28 sts`: what lies before and behind is worked."""
    before = Repeat((Stitch("k", ONE, m.at, bare=True),), To("centre", m.num("n"), "", m.at), m.at)
    return before, BindOff(m.num("n"), "BO", m.at), Even("", To("end", NONE, "", m.at), m.at)


def _pulled(method: str) -> Any:
    return lambda m: BindOff(None, method, m.at)


EACH = (0,)
"""Number of the needle in `each needle: ...`."""
HOLDER = "a holder"
"""Where stitches come from that are worked from there at once."""


@dataclass(frozen=True, slots=True)
class RowCount:
    """A clause that says how often the row before it is worked (`count` None: as long as a length takes)."""

    count: Num | None
    at: int
    said: bool = True
    """Whether a number is printed, so that the clause alone makes rows: `work 1 row even`, not `next row`."""


@dataclass(frozen=True, slots=True)
class Counted:
    """Stitches printed after a line, or (`change`) how many more or fewer; `per` and `tally` as in `Line`."""

    num: Num
    at: int
    change: int = 0
    per: str = ""
    tally: tuple[tuple[str, Num], ...] = ()


@dataclass(frozen=True, slots=True)
class AtNeedle:
    """Said after steps: they are worked at the beginning of this needle; or (`section`) before them: on these "
    "needles."""

    needles: tuple[int, ...]
    at: int
    section: bool = False


@dataclass(frozen=True, slots=True)
class AsNeedle:
    """Said for a needle: `Needle 2: as Needle 1`; or (0) of all that stands before, `repeat on second needle`."""

    needle: int
    at: int


def _needles(m: Match) -> AtNeedle:
    numbers = (m.chart.run[place] for place in range(m.match.start("n"), m.match.end("n")))
    return AtNeedle(tuple(token.num[0] for token in numbers if token.num), m.at, True)


def _ordinal_needle(m: Match) -> Any:
    """`1st needle, k to last 3 sts`: at the beginning of a sentence or a clause."""
    return _needles(m) if m.chart.kind(m.match.start() - 1) in ("", "sep", "stop", "colon", "dash") else NO_FIT


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


def _motif_told(m: Match) -> Any:
    """`, repeating the 8-stitch motif 13 times` behind a chart: no stitches of the line are meant."""
    before = {m.chart.kind(place) for place in range(m.match.start())}
    return None if "chart" in before and not before & {"knit", "stitch", "star"} else NO_FIT


def _ridges(m: Match) -> Any:
    """`Knit 6 ridges`: of two rows each."""
    ridges = m.token("p").value == "garter ridge"
    return (_even_rows(m), RowCount(tuple(2 * each for each in m.num("n")), m.at)) if ridges else NO_FIT


_OF_YARN = frozenset({"strand", "strands", "ball", "balls", "skein", "skeins", "yarn", "yarns", "shades"})
_TO_HOLD = "(on|at|in|for|to|from|row)* (hand|next|remark|same|num|unknown|on|more|other|ord)* holder (holder|on|remark)*"
_HAND = "(on|to|from|hand|needle|next|remark|num|unknown|ord)*"
_HALVES = "(side|hand|remark|unknown|edge|rem|next|ord|seam)"
MOVES: tuple[Rule, ...] = (
    Rule("{r:remark} remark* st (remark|on|hand|needle|after|bo|gap|from|rem)+", _including, -0.2),
    Rule("(put|slip|return) (remark|next|all|rem)* {n:num} (rem|remark|held|hand|seam)* st more? (on|to|from)+ "
         "(remark|num|hand|next|same)* needle (more|remark)*", lambda m: Return(m.num("n"), "", m.at), 0.1),
    Rule("{r:remark} length between remark*", _bordered, -0.2),
    Rule(f"(unknown|remark)? next {{n:num}} (rem|remark|hand|seam)* st remark* (on|to) {_TO_HOLD}", _held_unsaid, 0.1),
    Rule(f"{{s:(knit|work)}} (next|remark)* {{n:num}} (remark|hand|seam)* st? sep (put|slip) (remark|next|rem|st)* {_TO_HOLD}",
         lambda m: (Even("", To("over", m.num("n"), "", m.at), m.at), Hold(m.num("n"), True, m.at)), -0.3),
    Rule("sep (put|remark) (for|on) remark+ (?=stop|sep|$)", _left_there, -0.1),
    Rule("knit {r:remark} {n:num} (remark|hand|seam)* st (remark|from|on|needle|num|sep|in)*", _only_with, -0.2),
    Rule("(put|return|slip) (remark|unknown|hand|seam)+ return? (on|to) (remark|num|hand)* needle",
         lambda m: Return(None, "", m.at), 0.3),
    Rule("knit num sep num together (remark|around)*", _two_and_two, -0.3),
    Rule("(work|remark)+ on {these:remark} st (remark|for|hand|side|seam|edge)*", _these_kept, -0.1),
    Rule("{s:knit} together (each|all) {a:ord} sep {b:ord} st", _every_two, -0.2),
    Rule("{r:remark} {n:num} (more|remark)* st?", _cast_by, -0.1),
    Rule("{f:remark} {n:num} st (remark|unknown|dash)* co", _made_on, -0.2),
    Rule("(put|slip) (next|remark)* {n:num} st (on|to)+ (remark|unknown)+ (?=sep|stop|$)", _put_away, 0.2),
    Rule("open {a:knit} {n:num} row sep+ {b:knit} {k:num} row close SEP? {t:num} times", _rows_by_turns, -0.5),
    Rule("work (remark|on)* (rem|remark|all)+ st (remark|for|manner|sep)* (?=stop|colon|$)", _on_the_rest, -0.1),
    Rule("(remark|unknown|put|slip) (next|remark|last)* {n:num} st (from|remark|hand)* (on|to)+ (num|remark)* needle sep {s:knit} remark+",
         lambda m: (Return(m.num("n"), HOLDER, m.at), Stitch(m.token("s").value, m.num("n"), m.at)), -0.2),
    Rule("put num remark* marker (sep? (num|remark|after|each|st|last|on|at|row|next|unknown|beg|between|evenly|for))*",
         lambda m: None, 0.1),
    Rule("knit {d:needle} num (sep num)*", lambda m: Passed(m.token("d"), 3), -0.5),
    Rule("on num needle sep?", lambda m: None, 0.1),
    Rule("{s:knit} {k:marker}", _marked_stitch, 0.1),
    Rule("{s:stitch} (num|ord|st)* (?=stop|$)", _lone_pass, -0.2),
    Rule("alike", lambda m: Alike(m.at), -0.5),
    Rule("(work|remark)+ on (next|last|remark|ord|sets|for|rem|hand)* {n:num} (remark|hand|seam)* st"
         f"((remark|for|hand|side|seam|edge)* SEP+ (have|put) {_HALVES}* num? (rem|remark)* st {_TO_HOLD})?",
         lambda m: Hold(m.num("n"), False, m.at, keep=True), -0.2),
    Rule(f"put {_HALVES}+ (on|remark)* holder (SEP|work|{_HALVES})+ (over|on|for) {{n:num}} st",
         lambda m: Hold(m.num("n"), False, m.at, keep=True), -0.2),
    Rule(f"(put|slip) (next|remark)* {{n:num}} st (on|from|of)* (next|remark|num|same)* holder (remark|on|to|for)* {_TO_HOLD}"
         .replace("|of", ""), lambda m: (Return(None, "", m.at), Hold(m.num("n"), False, m.at)), -0.4),
    Rule("{r:remark} to (next|rem|remark|held|last|edge|beg|hand|side|other|centre|end|ord)+ st?", _fetched, -0.1),
    Rule("(remark|work)* {n:num} {f:remark} st", _foundation, 0.1),
    Rule("{s:knit} length (even|pattern|in|work)*", _for_length, -0.1),
    Rule("(eq|colon) (num knit sep?)+", _told_rib, -0.1),
    Rule("(eq|colon) (knit num sep?)+", _told_rib, -0.1),
    Rule("{r:remark} {n:num} (remark|seam)* st (at|on|in)* (each|both) (end|edge|side|sets) (in|even|work)* (pattern|even)",
         _bordered, -0.2),
    Rule("(remark|put|slip|return)* {r:return} to? (rem|remark|next|held|all)* st (on|from|at|in) (remark|next|num)* holder",
         lambda m: Return(None, "", m.at), -0.1),
    Rule("(beg|sep|ending|remark|row|ord|odd|other)+ ((knit num?)|(num st? knit))", _rib_ends, -0.2),
    Rule("work to (?=dec|inc|bo)", lambda m: None, -0.1),
    Rule("bo remark* centre remark* {n:num} st (?=for|stop|remark|sep|$)", _centre_off, 0.3),
    Rule("pm ({name:unknown}|ord|remark)?", _mark("pm")),
    Rule("pm on needle", _mark("pm")),
    Rule("pm (in|at|on)+ (next|ord|remark|beg)* st (in|on|at)* (each|all) (row|remark)*", lambda m: None, -0.1),
    Rule("(num|ord) {r:remark} (remark|held|together|in|from)*", _strands, -0.1),
    Rule("{r:remark} (remark|colour|unknown)* (each|all) ({n:(num|ord)}|other) row", _changing, -0.1),
    Rule("(remark|beg|sep)* ending (side|row|in|remark|all|each)* {s:knit} {n:num}", _rib_told, -0.3),
    Rule("bo (remark|even)* (all|rem)+ st? remark (put|have|remark)* last? {n:num}? st (on|hand|needle|remark)*",
         _keeping, -0.3),
    Rule("bo (remark|even|in)* to {n:num} st rem (on|hand|needle|remark)*", _keeping, -0.3),
    Rule(f"(have|put) remark* (rem|all)+ num? rem? st {_TO_HOLD}", _rest_held, -0.3),
    Rule("put (next|ord|remark|unknown|last|more|side|end|row)* marker (on needle)?", _mark("pm")),
    Rule("sm {name:unknown}?", _mark("sm")),
    Rule("rm {name:unknown}?", _mark("rm")),
    Rule("rmall", lambda m: Mark("rmall", "", m.at)),
    Rule("turn", lambda m: Turn(False, m.at)),
    Rule("turn (remark|row)* length remark*", lambda m: None),
    Rule("omit (remark|next)* turn", lambda m: None),
    Rule(f"turn SEP* (have|put|holder) (rem|remark|all|last)* num? (rem)* st {_TO_HOLD}",
         lambda m: (Hold(None, False, m.at), Turn(False, m.at))),
    Rule("turn SEP* (put|have) (rem|remark|all)* num? (rem)* st (rem|work|remark|unworked)*",
         lambda m: Turn(False, m.at)),
    Rule("turn (SEP|work|remark)+ on {these:remark} st (remark|for)*", _turned_for_these, -0.2),
    Rule("wt", lambda m: Turn(True, m.at)),
    Rule("over (({n:once})|({n2:num} times))? (?=sep|stop|close|star|$)", _over),
    Rule("join", lambda m: Join(m.at)),
    Rule("(remark|evenly) (remark|evenly|st|in|all|on|over|between)* num remark* needle "
         "(open num ((dash|sep|slash) num)* st? close)?", lambda m: None),
    Rule("(on|over|between|remark)* num? needle open num ((dash|sep|slash) num)+ st? close", lambda m: None, -0.1),
    Rule("slipjoin (remark|st|in|to|next|chain|top|num|dash|ANY|beg|row|same|ord|space|ring)*", lambda m: None),
    Rule("colour", lambda m: Colour(m.chart.run[m.match.start()].value, m.at)),
    Rule("holder {n:num} st?", _hold),
    Rule("{n:num} st? (on|to) cn (sep|remark|holder|at|in|to|work|on|put|held|side)*",
         lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("bo (next|remark)* {n:num} st? open (remark|hooknote)+ (ANY|st|num|work|remark)* close",
         lambda m: BindOff(m.num("n"), "BO", m.at, True)),
    Rule("bo (in|remark|even|kwise|pwise|evenly|pattern)* (all|rem)+ {n:num} (rem|st|even|evenly|remark|kwise|pwise|in"
         "|around|knit|pattern)*", _bind_off, -0.2),
    Rule("bo (next|remark|centre)* {n:num} (more|remark|next)* st? (even|remark|evenly|kwise|pwise)*", _bind_off),
    Rule("bo (in|remark|even|kwise|pwise|evenly)* (all|rem)* st? (even|evenly|remark|kwise|pwise|in|around|knit"
    "|pattern)*", _bind_all_off, 0.1),
    Rule("(bo|bind3|graft|draw) (remark|in|all|rem|num|st|from|on|needle|together|sep|knit|hand|pattern"
    "|even)*", _bind_all_off, 9.0),
    Rule("bo (remark|even|in|all|rem|st|kwise|pwise|evenly)* colon (?=star|ANY).+$", _bind_off, -0.5),
    Rule("bind3 (in|all|rem|num|st|on|needle|remark|together|each)*", _pulled("3nBO")),
    Rule("graft (in|all|rem|num|st|on|needle|remark|together|graft|for|knit|each|from|sep)*", _pulled("graft")),
    Rule("sep? {f:remark} (?=stop|sep|$)", _fastened_off, -0.1),
    Rule("draw (all|rem|num|st|on|needle|remark|each|in|once|work)*", _pulled("draw through")),
    Rule("(co|{short:coshort}) (colon|dash)* (next|remark|more)* {n:num} (more|next|remark)* st? (remark|on|over|gap|held|num)*",
         lambda m: CastOn(m.num("n"), m.has("short"), m.at)),
    Rule("(co|coshort) (next|remark|more)* {n:num} (more|next|remark)* st? (over|at|in) remark* "
         "((each (gap|(bo (gap|edge|space|remark)?)))|(remark* bo))",
         lambda m: CastOn(m.num("n"), False, m.at, True), -0.2),
    Rule("pu {n:num} st? (knit)? (remark|measures|unknown|on|from|evenly|edge|side|hand|in|over|end|next|gap|held|beg"
    "|each|row|co|bo|st|below|around|ord|last|rem|ring|space|all)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu knit? {n:num} st? (remark|on|from|in)* each (rem|remark|other)* {k:num} (rem|other|remark)* "
         "(edge|sets|side)",
         lambda m: PickUp(tuple(n * k for n, k in _pairs(m.num("n"), m.num("k"))), m.at), -0.1),
    Rule("pm (after|at|in|on|between) each (edge|side|sets|rep|unknown)", lambda m: None, -0.1),
    Rule("pu knit {n:num} st? (remark|unknown|on|from|evenly|edge|side|hand|in|over|end|next|gap|held|co"
    "|bo|around)*",
         lambda m: PickUp(m.num("n"), m.at)),
    Rule("pu (next|each)? st? (knit)?", lambda m: PickUp(ONE, m.at), 0.3),
    Rule("(put|slip) (next|remark)* {n:num} st? (on|to|in|from)* cn (sep|remark|holder|at|in|to|work|on|put"
    "|held|side)*",
         lambda m: CableNeedle(m.num("n"), False, m.at)),
    Rule("{s:ANY} {n:num} st? from cn",
         lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
    Rule("from cn sep? {s:ANY} {n:num}",
         lambda m: (CableNeedle(m.num("n"), True, m.at), Stitch(m.token("s").value, m.num("n"), m.at)), 0.6),
    Rule(f"(put|slip) {{last:last}} {{n:num}} st? (work|remark)* {_TO_HOLD}", _hold),
    Rule(f"(put|slip) (next|remark|rem|centre)* {{n:num}} (rem|remark|next|centre|hand|seam)* st? remark* {_TO_HOLD}",
         _hold),
    Rule(f"(put|slip) (next|remark|centre|ord|rem)* st {_TO_HOLD}", _one_held),
    Rule(f"(put|slip) (all|rem)+ st {_TO_HOLD}", lambda m: Hold(None, False, m.at), 0.1),
    Rule(f"(put|slip) (remark|unknown)+ st {_TO_HOLD}", lambda m: Hold((-2,), False, m.at), 0.2),
    Rule("(put|slip|return) (remark|next|all)* {n:num}? (rem|remark|unknown)* held (remark|unknown|row)* st? "
         f"(from (remark|num)* holder)? (remark|return)* {_HAND}",
              lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("(put|slip|return) (remark|next|all|last)* {n:num}? (rem|remark|unknown)* st (rem|remark|held|from|on|num"
    "|side|unknown|next)* "
         f"holder (remark|return)* (on|to) {_HAND}", lambda m: Return(m.num("n") if m.has("n") else None, "", m.at)),
    Rule("return (next|ord|other|remark|num)* needle (to|on) (remark|beg|end)+", lambda m: None),
    Rule("{s:knit} (around|remark)* {n:num} (remark|held|next|rem)* st? (num|remark|ord|next|hand)* (from|on) "
         "(num|remark|ord|next|hand)* (holder|held)",
         lambda m: (Return(m.num("n"), HOLDER, m.at), Stitch(m.token("s").value, m.num("n"), m.at))),
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
    Rule("(rep|work|as|same)+ (remark|for|on|as)* needle {n:num}", lambda m: AsNeedle(m.num("n")[0], m.at), -0.2),
    Rule("rep (remark|for|on|in|around)+ (ord|next|other) needle", lambda m: AsNeedle(0, m.at), -0.2),
    Rule("at beg {d:needle} {n:num}", lambda m: AtNeedle(m.num("n"), m.at)),
    Rule("work row (num|remark|even|pattern|on|in|for|to|dash|sep|(open (remark|num)* close))* (over|around) "
    "(next|centre)? {n:num} (remark)* st", _even),
    Rule("(on|remark)? {d:needle} {n:(num ((sep|dash) num)*)} (colon|stop|dash|sep)*", _needles, 0.1),
    Rule("on? {n:ord} needle (colon|stop|dash|sep)+", _ordinal_needle, -0.1),
    Rule("(on|for)? each needle (colon|dash|sep)", lambda m: AtNeedle(EACH, m.at, True)),
    Rule("(for|as) (remark|unknown|ord|next)+ (?=sep|stop|colon|close|$)", lambda m: None, 0.2),
    Rule("wraps (sep|ANY|remark|together|gap|st|in|all|on|next|each|rem|to|as|num|work)*", lambda m: None),
    Rule("(remark|(on? size)) (remark|size|num|slash|length|unknown|sep|on|holder)* needle (num)?", lambda m: None,
         0.3),
    Rule("(on|remark|at)* needle (remark|stop)? size (num|length|remark|sep)+", lambda m: None, -0.2),
    Rule("work (inc|dec|inced|deced|st|remark)+ in (even|pattern|remark)", lambda m: None, 0.1),
    Rule("(in|work)? pattern SEP", lambda m: None, 0.4),
    Rule("between (each)? marker", lambda m: None, 0.3),
    Rule("after (last|remark|inced|deced|dec|inc|bo|co|next|work)+ row?", lambda m: None, 0.3),
    Rule("(open|sep|stop)* num? (rem|st)* unworked (st|rem|on|needle|hand)* close?", lambda m: None),
    Rule("(((slip|put|return|remark) (remark|next)* num (remark)* st)|((slip|put|return|remark) remark)) (remark|return)* (on|to)*"
         " hand* needle (SEP|remark|colour)+ {s:knit} (around|remark|num|st)* more (remark|colour)*", lambda m: None, -0.1),
    Rule("(remark|sep)* winding (around|row|on|needle)* (once|(num times))? (around|row|on|needle)*", lambda m: None),
    Rule("row on? side (have|remark)+ ANY num? (at|on|in)* (each|both) (end|edge)", lambda m: None),
    Rule("work {n:num} dash? st (remark|pattern)* rep {k:num} times around?", _motif, -0.2),
    Rule("work? {r:num} row (from|in|remark)* chart SEP* rep {n:num} dash? st? (remark|pattern|rep)+ {k:num} times "
         "(((remark|in|on)* each? row)|around)?", _motifs, -0.5),
    Rule("sep? {r:remark} (next|last|sep|each|both|all|num|st|end|edge|at|on|side|remark)+ in? (pattern|even)", _kept,
         -0.1),
    Rule("rep num dash? st? (remark|pattern|chart|rep)+ num times (((remark|in|on)* each? row)|around)?",
         _motif_told, -0.1),
    Rule("(on|to|remark)* ord needle", lambda m: None, 0.2),
    Rule("last remark* row remark*", lambda m: None, 0.5),
    Rule("to (remark|beg|unknown|end)+", lambda m: None, 1.0),
    Rule("work (remark|hand)* st (in|on|for|as)* (even|pattern|remark)*",
         lambda m: Even("", To("unsaid", NONE, "", m.at), m.at), 0.3),
)  # fmt: skip
