"""Stitches picked up in several places: `pick up 20 sts along the neck, 1 st from the pin and 16 across the back`."""

from __future__ import annotations

from collections.abc import Iterator

from lessonplan.printed.heading import Num
from lessonplan.printed.rules.grammar import NONE, ONE, STITCHES
from lessonplan.printed.rules.search import Chart, Match, Offer
from lessonplan.printed.tree import CastOn, Mark, PickUp

_WHERE = (
    "(remark|measures|on|top|hand|from|around|edge|side|holder|unknown|to|in|over|held|centre|end|next|gap|bo|co|row|at|st|seam"
    "|below|ord|evenly|rem|both|between|same)"
)
_MARKED = "(sep (remark|colour)+ (remark)* st (remark|unknown|holder|row|on|marker|colour)*)"
_EACH = "(remark|on|from|in|around|edge|st|at|for|evenly)* each"
LISTS: tuple[str, ...] = (
    f"(remark|pu)* (knit)? {{n:num}} (more|remark|hand)* (st|ANY|rem)? knit? {_EACH} (rem|remark|other)* {{k:num}}? "
    "(rem|other|remark|unknown)* (edge|sets|side|end|unknown|remark|space)",
    f"(remark|pu)* (knit)? {{n:num}} (more|remark|hand)* (st|rem)? knit? {_WHERE}+",
    f"{{s:knit}} (around|over|remark)* {{n:num}} (rem|remark|held|hand)* st {_WHERE}+",
    "{s:knit} around (remark|centre|next)* {n:num} (remark|hand|centre)+ st",
    f"{{s:knit}} (remark|held|next|centre|ord)* {{one:st}} (from|on|at|in) {_WHERE}+ {{m:{_MARKED}}}?",
)
"""A part of the list, behind the first one."""


def more_picked(chart: Chart, here: int, end: int) -> Iterator[Offer]:
    """What can be read at a token as the next part of a list of stitches picked up."""
    if chart.kind(here - 1) not in ("sep", "close") or not _in_list(chart, here):
        return
    heel = chart.match("{s:knit} (around|over|remark|next|rem)* {n:num} (rem|remark|more)* st more?", here, end)
    if heel is not None and _there_already(chart, here, heel.end(), end):
        yield 0.6, None, heel.end()
        return
    half = chart.match("{s:knit} num st? (?=stop)", here, end)
    if half is not None and any(chart.kind(place) == "beg" for place in range(half.end(), len(chart.run))):
        yield 0.6, None, half.end()  # `k9. This is the new start of round`: those that the round began with, again
    told = chart.match("num st? in (each|unknown) (remark|row|st|space|unknown)+ (?=sep|stop|close|$)", here, end)
    if told is not None:
        yield -0.4, None, told.end()  # `pick up 3 sts along the side, 1 in each ridge`
    for pattern in LISTS:
        match = chart.match(pattern, here, end)
        if match is None:
            continue
        m = Match(chart, match)
        if chart.run[here].value == "k" and not m.has("one") and not _from_an_edge(chart, here, match.end()):
            continue  # `pm, k32 instep sts`: they are on the needle
        count = ONE if m.has("one") else m.num("n")
        if "{k:" in pattern:
            sides = m.num("k") if m.has("k") else _sides(chart, here)
            if sides == NONE:
                continue
            count = tuple(
                n * sides[size % len(sides)] for size, n in enumerate(count * (len(sides) // len(count) or 1))
            )
        item = PickUp(count, m.at)
        yield -0.3, (Mark("pm", "", m.at), item) if m.has("m") else item, match.end()
    again = chart.match("{s:knit} next {n:num} (remark|hand)* st more", here, end)
    if again is not None:
        yield -0.3, None, again.end()  # `and k the first 9 heel sts again`: they are on the needle
    cast = chart.match("(remark)* (co|coshort) {n:num} (more|remark)* st?", here, end)
    if cast is not None:
        yield -0.1, CastOn(Match(chart, cast).num("n"), False, chart.run[here].at), cast.end()


def _from_an_edge(chart: Chart, here: int, after: int) -> bool:
    """Whether a part says where its stitches come from, and does not only name them: `k16 along the other edge`."""
    kinds = {chart.kind(place) for place in range(here, after)}
    places = {chart.run[place].value for place in range(here, after)} & {"along", "down", "up", "across", "under"}
    return bool(kinds & {"on", "from", "at", "in", "around", "over", "edge", "side", "gap", "holder"} or places)


def _there_already(chart: Chart, here: int, after: int, end: int) -> bool:
    """Whether stitches at the end of a list are those of the heel, where the round begins: they are on the needle."""
    words = {chart.run[place].value for place in range(here, after)}
    return bool(words & {"heel", "sole", "bottom"}) and (
        after >= end or chart.kind(after) in ("stop", "open", "dash", "eq")
    )


def _in_list(chart: Chart, here: int) -> bool:
    """Whether a list of stitches picked up has begun in the sentence, and nothing else since."""
    before = [chart.kind(place) for place in range(here)]
    last = max((place for place, kind in enumerate(before) if kind == "pu"), default=None)
    if last is None or "stop" in before[last:] or "num" not in before[last:]:
        return False
    worked = [place for place in range(last + 2, here) if chart.kind(place) in STITCHES]
    return all(chart.run[place].value == "k" and chart.kind(place - 1) in ("sep", "pu") for place in worked)


def _sides(chart: Chart, here: int) -> Num:
    """How many sides the part before named: `60 along each of the four sides and 1 at each corner`."""
    for place in range(here - 1, 0, -1):
        if chart.kind(place) == "num" and chart.kind(place + 1) in ("edge", "sets", "side"):
            return chart.run[place].num
    return NONE
