"""Charts and stitch patterns by name: `work rows 1 to 8 of Chart A`, `k5, work Row 3 of the lace pattern, k5`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lessonplan.printed.rules.grammar import NONE, QUANTITIES, fitting
from lessonplan.printed.rules.search import CHAR, Chart, Match, Offer
from lessonplan.printed.tree import Charted, Even, Times, To

_ROWS = "((next|remark)* {n:num} more? row (in|on|from|as|remark|even|next|work|sep|to)*)?"
_NAMED = f"(work|rep|even|in|on|from|for|all|knit|remark)* {_ROWS} {{c:chart}}"


def offers(chart: Chart, here: int, end: int, nested: bool) -> Iterator[Offer]:
    """What naming a chart can mean at a token: its rows one after another, or its next row in this one."""
    if CHAR["chart"] not in chart.present:
        return
    match = chart.match(_NAMED, here, end)
    if match is None:
        return
    m = Match(chart, match)
    name, first, last = m.token("c").value.split("|")
    whole = Charted(name, int(first), int(last), m.at, rows=m.num("n") if m.has("n") else None)
    begins = chart.kind(here - 1) in ("", "stop", "colon", "sep", "close", "dash")
    if not nested and begins and (first != last or first == "0"):
        yield from _whole_rows(chart, whole, match.end(), end)
    if first == last:
        row = f"{name}, row {first}" if first != "0" else name
        places = [(0.3, To("rest", NONE, "", m.at), match.end())]
        places += [
            (cost, q, after) for cost, q, after in fitting(QUANTITIES, chart, match.end(), end) if isinstance(q, To)
        ]
        for cost, to, after in places:
            yield cost + 0.1, Even(row, to, m.at), after


def _whole_rows(chart: Chart, whole: Charted, here: int, end: int) -> Iterator[Offer]:
    def done(place: int) -> bool:
        """Whether a step ends at a token."""
        return place >= end or chart.kind(place) in ("stop", "eq", "open", "dash", "sep")

    if done(here):
        yield 0.0, whole, here
    start = here + (chart.kind(here) == "sep")
    for cost, quantity, after in fitting(QUANTITIES, chart, start, end):
        if isinstance(quantity, Times) and done(after):
            yield cost, replace(whole, times=quantity), after
    rows = chart.match(
        "(for (next|more|remark)* {n:num} more? row)|((SEP|remark)* to {n2:num} row (have|remark|work)*)", here, end
    )
    if rows is not None and done(rows.end()):
        yield 0.0, replace(whole, rows=Match(chart, rows).num("n2", Match(chart, rows).num("n"))), rows.end()
    stop = start
    while stop < end and chart.kind(start) == "to" and chart.kind(stop) not in ("stop", "star"):
        stop += 1
    if any(chart.kind(place) in ("length", "measures") for place in range(start, stop)):
        yield 0.0, replace(whole, measured=True), stop
