"""Rules for markers placed in a plain round: every so many stitches, after some of them, evenly."""

from __future__ import annotations

import itertools
from typing import Any

from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Mark, Repeat, Step, Stitch, Times, To


def _marked_off(m: Match) -> Repeat:
    """`Knit around, placing a marker every 20 sts`."""
    body = (Stitch(m.token("s").value, m.num("n"), m.at), Mark("pm", "", m.at))
    return Repeat(body, To("end", NONE, "", m.at), m.at)


def _marked_once(m: Match) -> Any:
    """`Knit, placing a marker after 62 sts`."""
    name = m.token("s").value
    made = Stitch(name, m.num("n" if m.has("n") else "n2"), m.at), Mark("pm", "", m.at)
    return *made, Repeat((Stitch(name, ONE, m.at),), To("end", NONE, "", m.at), m.at)


def _plain(m: Match) -> Repeat:
    return Repeat((Stitch(m.token("s").value, ONE, m.at, bare=True),), To("end", NONE, "", m.at), m.at)


def _marked_after(m: Match) -> Any:
    """`Knit, placing markers after 16th, 32nd and 48th sts`."""
    words = (m.chart.run[place] for place in range(m.match.start("n"), m.match.end("n")))
    places = [0, *(word.num[0] for word in words if len(word.num) == 1)]
    if places != sorted(set(places)) or (m.has("r") and m.num("r") != ONE):
        return NO_FIT
    mark = Mark("pm", "", m.at)
    made: list[Step] = []
    for last, place in itertools.pairwise(places):
        made += [Stitch(m.token("s").value, (place - last,), m.at), mark]
    return *made, _plain(m)


def _marked_evenly(m: Match) -> Any:
    """`K 1 rnd and place 6 markers with 15 sts between each`, `place 6 markers evenly`."""
    if m.has("r") and m.num("r") != ONE:
        return NO_FIT
    between: Step = Stitch(m.token("s").value, m.num("k"), m.at)
    if not m.has("k"):
        between = Repeat((Stitch(m.token("s").value, ONE, m.at, bare=True),), To("share", m.num("n"), "", m.at), m.at)
    all_ = Repeat((between, Mark("pm", "", m.at)), Times(m.num("n"), False, m.at), m.at)
    return all_, _plain(m)


_PLACED = (
    "pm (at|on|in)* (((each|both) (edge|side|sets)+)|(centre (remark|work)*)) "
    "((SEP|open|remark)* num st (each|for|remark|sep|both|on|edge|marker|between|side|sets)* close?)?"
)
_KNIT = "{s:knit} (({r:num} row)|around|(to end row?))? SEP*"
MARKED: tuple[Rule, ...] = (
    Rule("{s:knit} around? sep? pm (after|at|remark)* each {n:num} st", _marked_off, -0.3),
    Rule("{s:knit} (around|(to end))? sep? pm after remark* ({n:num}|{n2:ord}) st", _marked_once, -0.3),
    Rule(f"{_KNIT} pm (after|at|remark)* {{n:(ord|num) (sep (ord|num))+}} st", _marked_after, -0.4),
    Rule(f"{_KNIT} (put|remark) {{n:num}} marker (remark|for)* {{k:num}} st between (remark|each|all|next|marker)*",
         _marked_evenly, -0.4),
    Rule(f"{_KNIT} (put|remark) {{n:num}} marker remark* evenly (remark|around|row)*", _marked_evenly, -0.4),
)  # fmt: skip
