"""Rules for work that is divided and joined again, and for what a line only tells: holders, needles, borders, ribs."""

from __future__ import annotations

from typing import Any

from lessonplan.printed.items import HOLDER, Counted, RowCount
from lessonplan.printed.rules.grammar import NONE, ONE, PLACE_NAMES
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Alike, BindOff, CastOn, Even, Hold, Join, Repeat, Return, Stitch, To

TO_HOLD = (
    "(((on|at|in|for|to|from|row)* (hand|next|remark|same|num|unknown|on|more|other|ord)* holder (holder|on|remark)*)"
    "|((on|to)+ (st|remark)* unknown (unknown|remark)* needle?)"
    "|((on|to)+ (remark|unknown|st)* unknown (?=sep|stop|for|$)))"
)
"""Where stitches are put that wait."""
_HALVES = "(side|hand|remark|unknown|edge|rem|next|ord|seam)"


def hold(m: Match) -> Hold:
    """Stitches put on a holder: so many, or all that are left."""
    n = m.num("n", NONE) if m.has("n") else None
    return Hold(n, m.has("last"), m.at)


def over_gaps(m: Match) -> Any:
    """`Rib to end, casting on 4 sts over cast-off sts`: over each gap, since nothing is worked behind it."""
    last = m.chart.kind(m.match.end()) in ("", "stop", "dash", "open", "eq") and m.match.start() > 1
    return CastOn(m.num("n"), False, m.at, True) if last else NO_FIT


_PIECES = frozenset(
    {"sleeve", "sleeves", "left sleeve", "right sleeve", "flap", "earflap", "leg", "left leg", "right leg", "strap"}
)
"""Pieces that are joined with others in one row."""


def of_a_piece(m: Match) -> Any:
    """`k38 sts of second sleeve`, where pieces are joined: they come from another needle, or are here."""
    words = {m.chart.run[place].value for place in range(m.match.start(), m.match.end())}
    kinds = {*map(m.chart.kind, range(len(m.chart.run)))}
    joined = kinds & {"join", "co", "coshort"} or any(t.value in ("joining", "joined") for t in m.chart.run)
    lining = any(word.split()[-1] == "lining" for word in words if word)
    if not (joined and words & _PIECES) and not lining:
        return NO_FIT
    return Return(m.num("n"), HOLDER, m.at), Stitch(m.token("s").value, m.num("n"), m.at)


def _to_a_ring(m: Match) -> Any:
    """`Join into a ring`, in knitting: the work goes on in the round."""
    begun = m.chart.kind(m.match.start()) == "join" or m.chart.run[m.match.start()].value in ("close", "prose")
    return Join(m.at) if begun and m.chart.craft != "crochet" else NO_FIT


def _round_again(m: Match) -> Any:
    """`Resume working in the round over all sts`: no round is worked, but what waited is on the needles again."""
    first, row = m.chart.run[m.match.start()], m.token("row")
    said = first.kind != "remark" or first.value in ("resume", "begin", "now", "again", "back")
    if not said or row.value != "round" or m.chart.craft == "crochet":
        return NO_FIT
    return (Join(m.at), Counted(m.num("n"), m.token("n").at, 0, "")) if m.has("n") else Join(m.at)


def _held_at_once(m: Match) -> Any:
    """`Knit the first 32 sts and put them on waste yarn`."""
    if m.token("and").value in (",", ";"):
        return NO_FIT
    return Even("", To("over", m.num("n"), "", m.at), m.at), Hold(m.num("n"), True, m.at)


def _used(m: Match) -> Any:
    """`rib 18 including st used in casting off`."""
    return None if m.token("u").value == "used" else NO_FIT


def _bordered(m: Match) -> Any:
    """`, with 5 sts at each end in garter st`: the stitches are worked all the same."""
    return None if m.token("r").value == "with" else NO_FIT


def _left_there(m: Match) -> Any:
    """`..., and leave for the instep` behind a holder."""
    return None if "holder" in map(m.chart.kind, range(m.match.start())) else NO_FIT


def _only_with(m: Match) -> Any:
    """`Knit only with the 24 stitches of needles 4 and 1`: the others wait."""
    return Hold(m.num("n"), False, m.at, keep=True) if m.token("r").value == "with" else NO_FIT


_FLAT = frozenset({"and forth", "forth", "flat", "heel", "flap"})
"""Words by which stitches are worked in rows of their own, after which the others are worked again."""


def _kept(m: Match) -> Any:
    """`Work back and forth on the 28 sts of needle 1`: the others wait there; `Work on these 28 sts`: they are held."""
    here = m.chart.run[m.match.start() : m.match.end()]
    flat = not _FLAT.isdisjoint(token.value for token in here)
    if not flat and any(token.kind == "over" for token in here):
        return NO_FIT  # a stitch pattern is worked over so many, too
    return Hold(m.num("n"), False, m.at, keep=True, wait=flat)


def _two_and_two(m: Match) -> Any:
    """`Knit 2 and 2 together`, all along."""
    numbers = {
        m.chart.run[place].num for place in range(m.match.start(), m.match.end()) if m.chart.kind(place) == "num"
    }
    if numbers != {(2,)}:
        return NO_FIT
    return Repeat((Stitch("k2tog", ONE, m.at),), To("end", NONE, "", m.at), m.at)


def _these_kept(m: Match) -> Any:
    """`Bind off 24 sts, k to end. Work on these sts only`: those up to the gap, or all."""
    begins = m.chart.kind(m.match.start() - 1) in ("stop", "")
    return Hold((-2,), False, m.at, keep=True) if begins and m.token("these").value.startswith("these") else NO_FIT


def _made_on(m: Match) -> Any:
    """`Make 96 sts by the thumb cast-on`."""
    return CastOn(m.num("n"), False, m.at) if m.token("f").value.startswith("ma") else NO_FIT


def _rows_by_turns(m: Match) -> Any:
    """`(P 1 row, k 1 row) 3 times`."""
    one = [
        item
        for name, count in (("a", "n"), ("b", "k"))
        for item in (
            Even("", To("end", NONE, "", m.token(name).at), m.token(name).at),
            RowCount(m.num(count), m.token(count).at),
        )
    ]
    return tuple(one * m.num("t")[0]) if len(m.num("t")) == 1 and m.num("t")[0] < 40 else NO_FIT


def _on_the_rest(m: Match) -> Any:
    """`Slip 30 sts on to a holder. Work to and fro on rem sts`: on those that are there."""
    held = {"holder", "held"} & {m.chart.kind(place) for place in range(m.match.start())}
    return None if held and m.chart.kind(m.match.start() - 1) in ("stop", "sep", "colon") else NO_FIT


def _marked_stitch(m: Match) -> Any:
    """`K marked st`: the one behind the marker."""
    return Stitch(m.token("s").value, ONE, m.at) if m.token("k").end - m.token("k").at > 8 else NO_FIT


def _fetched(m: Match) -> Any:
    """`Rejoin yarn to next st`: nothing is worked."""
    return None if m.token("r").value == "prose" else NO_FIT


def _foundation(m: Match) -> Any:
    """`Make 98 foundation sts`: they are cast on."""
    return CastOn(m.num("n"), False, m.at) if m.token("f").value.startswith("foundation") else NO_FIT


def _for_length(m: Match) -> Any:
    """`Knit 4 cm`, `Work a further 6 cm of moss st`: as many rows as it takes."""
    name = m.token("p").value if m.has("p") else ""
    return Even(name, To("end", NONE, "", m.at), m.at), RowCount(None, m.at)


def _so_many(m: Match) -> Any:
    """`Work 40, turn`: so many stitches, where a row, a stitch or a place named behind the number would say so."""
    begins = m.chart.kind(m.match.start() - 1) in ("", "sep", "stop", "colon", "dash", "star", "open")
    return Even("", To("over", m.num("n"), "", m.at), m.at) if begins and m.chart.craft != "crochet" else NO_FIT


def _told_rib(m: Match) -> Any:
    """`Ribbing = 1 k, 1 p`: what stands behind only tells what it is."""
    return None if m.chart.kind(m.match.start() - 1) in ("even", "pattern") else NO_FIT


def _rib_ends(m: Match) -> Any:
    """`, odd rows beginning and ending k1` beside a rib only tells how it is set."""
    words = [m.chart.kind(place) for place in range(m.match.start(), m.match.end())]
    rib = {"pattern", "even"} & {m.chart.kind(place) for place in range(len(m.chart.run))}
    return None if rib and {"beg", "ending"} & {*words} and m.chart.kind(m.match.start() - 1) != "star" else NO_FIT


def _centre_off(m: Match) -> Any:
    """`Cast off the middle 28 sts`: what lies before and behind is worked."""
    before = Repeat((Stitch("k", ONE, m.at, bare=True),), To("centre", m.num("n"), "", m.at), m.at)
    return before, BindOff(m.num("n"), "BO", m.at), Even("", To("end", NONE, "", m.at), m.at)


def _those_cast_on(m: Match) -> Any:
    """`Cast on 12 sts for sleeve, knit these sts and knit to end`: those that were cast on in the line."""
    before = range(m.match.start() - 1)
    cast = [m.chart.run[place + 1].num for place in before if m.chart.kind(place) in ("co", "coshort")]
    told = m.token("t").value in ("these", "those", "them") and cast and cast[-1]
    same = told and (not m.has("n") or m.num("n") == cast[-1])
    return Stitch(m.token("s").value, cast[-1], m.at) if same else NO_FIT


def _off_there(m: Match) -> Any:
    """`Bind off 6 sts at underarm`: at a place of the piece, not all round it; the rest is worked."""
    if m.chart.run[m.match.end() - 1].value not in PLACE_NAMES:
        return NO_FIT
    return BindOff(m.num("n"), "BO", m.at), Even("", To("end", NONE, "", m.at), m.at)


def _sides_apart(m: Match) -> Any:
    """`Cast off the middle 28 sts and finish each side separately`: the second side waits."""
    before, off, _ = _centre_off(m)
    return (before, off, Hold(None, False, m.at)) if m.token("w").value.startswith("separate") else NO_FIT


def _one_side(m: Match) -> Any:
    """`Finish each shoulder separately`, where a gap lies between them: the other one waits."""
    words = [m.chart.run[place].value for place in range(m.match.start(), m.match.end())]
    apart = any(word.startswith("separate") for word in words)
    return Hold((-3,), False, m.at, keep=True) if apart else NO_FIT


def _by_making(m: Match) -> Any:
    """`Inc 1 st by making 1 yo on each side of ...`: how, and where, is told behind it."""
    return None if m.token("r").value == "by" else NO_FIT


def _in_every(m: Match) -> Any:
    """`Inc in every 2nd st`: one stitch is worked before each, in a row of its own."""
    if m.chart.craft == "crochet" or m.chart.kind(m.match.start() - 1) not in ("", "stop", "colon"):
        return NO_FIT
    before = tuple(n - 1 for n in (m.num("o") if m.has("o") else (2,)))
    body = (Stitch("k", before, m.at), Stitch("kfb", ONE, m.at))
    return Repeat(body, To("end", NONE, "", m.at), m.at)


def _every_pair(m: Match) -> Any:
    """`Knit every 5th and 6th st together`: four stitches are worked before each two, all along."""
    first, second = m.num("o"), m.num("t")
    if m.chart.craft == "crochet" or second != tuple(n + 1 for n in first) or min(first) < 2:
        return NO_FIT
    name = m.token("s").value.removesuffix("2tog")
    if name not in ("k", "p"):
        return NO_FIT
    body = (Stitch(name, tuple(n - 1 for n in first), m.at), Stitch(f"{name}2tog", ONE, m.at))
    starred = m.chart.kind(m.match.start() - 1) == "star"
    return body if starred else Repeat(body, To("end", NONE, "", m.at), m.at)


def _plain_meanwhile(m: Match) -> Any:
    """`K 1 rnd, at the same time k 2 tog all around`: what is worked in that round follows."""
    return None if m.num("n") == ONE else NO_FIT


def _sleeves_joined(m: Match) -> Any:
    """`Slip the sleeves (= 54 sts each) on to the needle of the body`: they come from other needles."""
    two = 2 if m.has("each") else 1
    return Return(tuple(two * n for n in m.num("n")), HOLDER, m.at)


def _with_the_edge(m: Match) -> Any:
    """`Knit each st together with its corresponding cast-on st`: a hem is closed, and as many stitches stay."""
    if m.token("w").value != "with":
        return NO_FIT
    one = Stitch(m.token("s").value, m.num("n"), m.at)
    return one if m.has("n") else Repeat((one,), To("end", NONE, "", m.at), m.at)


def _both_sleeves(m: Match) -> Any:
    """`Place sleeves on same needle as body over the cast off sts, 50 sts each`: they come from other needles."""
    return Return(tuple(2 * n for n in m.num("n")), HOLDER, m.at) if m.token("p").value == "sleeves" else NO_FIT


def _rows_on_needles(m: Match) -> Any:
    """`Work 28 rows in st st over the 30 sts of needles 4 and 1`: the others wait."""
    name = m.token("p").value if m.has("p") else ""
    kept = Hold(m.num("n"), False, m.at, keep=True, wait=True)
    return kept, Even(name, To("end", NONE, "", m.at), m.at), RowCount(m.num("r"), m.at)


def _off_by_twos(m: Match) -> Any:
    """`*K2tog tbl, sl st back to LH needle; rep from *`: an elastic way to bind off; to the last one or all."""
    if m.token("s").value not in ("k2tog", "k2tog tbl", "p2tog", "p2tog tbl", "ssk"):
        return NO_FIT
    return BindOff(tuple(-n for n in m.num("n")) if m.has("n") and not m.has("off") else None, "BO", m.at)


def _loops_dropped(m: Match) -> Any:
    """`K, dropping extra loops`: they were wound, and are no stitches."""
    word = m.token("l")
    return None if word.end - word.at in (len("loop"), len("loops")) else NO_FIT


def _worked_again(m: Match) -> Any:
    """`Knit 7 sts with waste yarn, slip them back to left needle and knit them again`: the stitches of a thumb."""
    marked = any(m.chart.kind(place) == "holder" for place in range(m.match.start()))
    these = {m.chart.run[place].value for place in range(m.match.start(), m.match.end())} & {"them", "these", "those"}
    return None if m.has("more") or (marked and these) else NO_FIT


DIVIDED: tuple[Rule, ...] = (
    Rule(f"(put|slip) (all|remark|rem)* st (to|between) (next|remark|both)* marker {TO_HOLD}",
         lambda m: Hold((-2,), False, m.at), -0.2),
    Rule(f"holder (next|remark)* {{n:num}} (rem|remark)* st? {TO_HOLD}", hold, -0.2),
    Rule("(slip|put|return|remark) (remark|next|num|st|knit|holder)+ return? (on|to)* hand* needle "
         "(SEP|remark|colour|in)+ knit (around|remark|num|st)* {more:(more|(once more))}? (remark|colour|in)*",
         _worked_again, -0.1),
    Rule("(put|return|slip) {p:remark} (on|to)+ (remark|same)* needle (as|remark|over|gap|on|at|bo)* sep {n:num} st "
         "(for|on)? each remark? (sep (remark|marker|at|each|unknown|in)+)?", _both_sleeves, -0.3),
    Rule("(work|knit|even) {r:num} row (in|even|remark)* {p:pattern}? (over|on) (remark|next)* {n:num} remark* st "
         "(on|remark|from)* needle num (sep num)* (sep beg (remark|on|in|side|row)*)?", _rows_on_needles, -0.4),
    Rule("sep drop (more|remark)+ {l:st}", _loops_dropped, -0.1),
    Rule("star {s:stitch} sep (slip|put|return|remark) (num|remark|st|return)* (to|on) hand? needle (SEP|star)* "
         "(rep (from|star|remark|sep)* (around|(to end row?)|(to (have|remark)* {n:num} st rem))? "
         "(sep {off:remark})?)?",
         _off_by_twos, -0.6),
    Rule("{s:knit} (each|next|all|{n:num})* st? (from|on|needle|hand|remark)* together {w:remark} "
         "(remark|unknown|next|num|each|st|from)* (co|measures|edge) (st|edge|row|remark)*", _with_the_edge, -0.3),
    Rule("(put|return|slip) (remark|unknown|both|hand)+ open eq? {n:num} st {each:(on|at)? (each|both) (remark)*}? "
         "close (on|to)+ (remark|same|num|hand|next)* needle (as|remark|for|in|at|st|bo|gap|unknown|from|have)*",
         _sleeves_joined, -0.3),
    Rule("(join|remark) (in|to)* (remark)* ring", _to_a_ring, -0.1),
    Rule("{u:remark} in bo (?=sep|stop|close|$)", _used, -0.2),
    Rule("(put|slip|return) (remark|next|all|rem)* {n:num} (rem|remark|held|hand|seam)* st (more|remark)* "
         "(on|to|from)+ (remark|num|hand|next|same)* needle (more|remark)*",
         lambda m: Return(m.num("n"), "", m.at), 0.1),
    Rule("{r:remark} length between remark*", _bordered, -0.2),
    Rule(f"{{s:(knit|work|even)}} (next|remark)* {{n:num}} (remark|hand|seam)* st? {{and:sep}} (put|slip)"
         f" (remark|next|rem|st)* {TO_HOLD}",
         _held_at_once, -0.3),
    Rule("sep ((put|remark) (for|on) remark+|put) (?=stop|sep|$)", _left_there, -0.1),
    Rule("knit {r:remark} {n:num} (remark|hand|seam)* st (remark|from|on|needle|num|sep|in)*", _only_with, -0.2),
    Rule("(put|return|slip) (remark|unknown|hand|seam)+ return? (on|to) (remark|num|hand)* needle",
         lambda m: Return(None, "", m.at), 0.3),
    Rule("knit (all|rem|st)* together num (sep|remark) num (remark|around)*", _two_and_two, -0.3),
    Rule("(work|remark)+ on {these:remark} st (remark|for|hand|side|seam|edge)*", _these_kept, -0.1),
    Rule("{f:remark} {n:num} st (remark|unknown|dash)* co", _made_on, -0.2),
    Rule("open {a:knit} {n:num} row sep+ {b:knit} {k:num} row close SEP? {t:num} times", _rows_by_turns, -0.5),
    Rule("work (remark|on)* (rem|remark|all)+ st (remark|for|manner|sep)* (?=stop|colon|$)", _on_the_rest, -0.1),
    Rule("{s:knit} {k:marker}", _marked_stitch, 0.1),
    Rule("alike", lambda m: Alike(m.at), -0.5),
    Rule("(work|remark)+ (on|over) ((next|last|remark|ord|sets|for|rem|hand)*|remark+ st sep) {n:num}"
         " (remark|hand|seam)* st"
         f"((remark|for|hand|side|seam|edge)* SEP+ (have|put) {_HALVES}* num? (rem|remark)* st {TO_HOLD})?",
         _kept, -0.2),
    Rule(f"put {_HALVES}+ (on|remark)* holder (SEP|work|{_HALVES})+ (over|on|for) {{n:num}} st",
         lambda m: Hold(m.num("n"), False, m.at, keep=True), -0.2),
    Rule("{s:knit} remark* held (remark|unknown)* st (?=sep|stop|dash|eq|$)",  # `pick up 2 sts, k the held sts`
         lambda m: Repeat((Stitch(m.token("s").value, ONE, m.at, bare=True),), To("across", NONE, "", m.at), m.at, ""),
         -0.2),
    Rule("return to (rem|remark|held|next|other)+ st", lambda m: None, -0.1),
    Rule("{r:remark} to (next|rem|remark|held|last|edge|beg|hand|side|other|centre|end|ord)+ (st (at edge)?)?",
         _fetched, -0.1),
    Rule("(remark|work)* {n:num} {f:remark} st", _foundation, 0.1),
    Rule("(knit|work|even)+ (more|in|remark)* length (more|in|even|work)* {p:pattern}? (even|in|work)*", _for_length,
         -0.1),
    Rule("(work|even) {n:num} (?=sep|turn|wt|close)", _so_many, 0.1),
    Rule("sep (knit num sep?)+ (?=stop|for|to|dash|$)", _told_rib, -0.3),
    Rule("(eq|colon) (num knit sep?)+", _told_rib, -0.1),
    Rule("(remark|put|slip|return)* {r:return} to? (rem|remark|next|held|all)* st (on|from|at|in)"
         " (remark|next|num)* holder",
         lambda m: Return(None, "", m.at), -0.1),
    Rule("(beg|sep|ending|remark|row|ord|odd|other)+ ((knit num?)|(num st? knit))", _rib_ends, -0.2),
    Rule("(work|in|even)* {p:pattern} length (?=stop|sep|$)", _for_length, -0.4),
    Rule("work to (?=dec|inc|bo)", lambda m: None, -0.1),
    Rule("bo remark* centre remark* {n:num} st (?=for|stop|remark|sep|$)", _centre_off, 0.3),
    Rule("(remark|return|to|beg|once|more)* (work|knit) in {row:row} (more|around|over|on|rem|st|remark)*"
         " (all {n:num}? st?)? (?=stop|$)", _round_again, -0.3),
    Rule("bo {n:num} st (at|on|for|remark)+ (?=stop|eq|dash|open|$)", _off_there, -0.1),
    Rule("bo remark* centre remark* {n:num} st (for|remark|seam|edge)* sep (work|remark)+ "
         "((each|both|remark)* (edge|sets)|both (edge|sets)?) {w:remark} "
         f"(SEP (put|have) {_HALVES}* num? {_HALVES}* (st|edge|sets)? {TO_HOLD})?", _sides_apart, -0.4),
    Rule("(work|remark)+ (each|both) (edge|sets|remark)+ {w:remark} "
         f"((SEP (put|have) {_HALVES}* num? {_HALVES}* (st|edge|sets)? {TO_HOLD})|remark? (?=colon)|(?=stop|sep|$))",
         _one_side, -0.1),
    Rule("{s:knit} (around|over)* {t:remark} {n:num}? st (?=SEP)", _those_cast_on, -0.3),
    Rule("(inc|dec) num st {r:remark} (?=stitch)", _by_making, -0.3),
    Rule("inc num? st? (in|on)* (each|all) ({o:ord}|other) st (around|(to end row?))? "
         "(?=stop|sep|dash|eq|open|$)", _in_every,
         -0.3),
    Rule("(dec remark)? {s:(knit|stitch)} together? (each|remark)+ {o:ord} sep {t:ord} st together?"
         " (around|(to end row?))?",
         _every_pair, -0.4),
    Rule("knit {n:num} row SEP* meanwhile (?=knit|stitch|star|open)", _plain_meanwhile, -0.3),
)  # fmt: skip
