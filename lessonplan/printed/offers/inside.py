"""How many stitches of a row lie within it, told behind it: `k to end (13 sts between markers)`, `13 gusset sts`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lessonplan.printed.items import Counted
from lessonplan.printed.rules.grammar import fitting
from lessonplan.printed.rules.search import NO_FIT, Chart, Match, Offer, Rule

_ROW_ENDS = ("times", "end", "around", "close", "stop")
"""Kinds of words behind which such a number needs no sign before it."""
_ENDS = "(?=close|stop|sep|dash|$) close? stop?"
_BEGINS = "(open|dash|eq|colon|stop|sep)* (have|remark)*"
_THUMB = frozenset({"thumb", "gusset"})


def _of_thumb(m: Match) -> Any:
    """`13 gusset sts`, while the others are on the needle as well."""
    return _part(m, "thumb") if {*m.token("w").value.split()} & _THUMB else NO_FIT


def _part(m: Match, part: str) -> Counted:
    return Counted(m.num("n"), m.token("n").at, per=part)


_INSIDE: tuple[Rule, ...] = (
    Rule(
        f"{_BEGINS} {{n:num}} (st|more|rem)* between (remark|num|each|all|both)* marker {_ENDS}",
        lambda m: _part(m, "markers"),
        -0.4,
    ),
    Rule(f"{_BEGINS} {{n:num}} {{w:remark}} remark? st {_ENDS}", _of_thumb, -0.5),
    Rule(f"{_BEGINS} {{n:num}} st (in|for|on) remark? {{w:remark}} {_ENDS}", _of_thumb, -0.5),
)


def inside(chart: Chart, here: int, end: int, nested: bool) -> Iterator[Offer]:
    """Give such a count where it stands behind a row of knitting."""
    if nested or not here or chart.craft == "crochet":
        return
    first, before = chart.kind(here), chart.kind(here - 1)
    for cost, item, after in fitting(_INSIDE, chart, here, end):
        closed = first != "open" or chart.partner.get(here) in (after - 1, after - 2)
        if closed and (first not in ("num", "have") or before in _ROW_ENDS):
            yield cost, item, after
