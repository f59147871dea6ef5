"""Brackets passed over as remarks: `(6 stitches knit)`, `(= 1 fan)`, and what such a remark costs.

A bracket of stitches with how often they are worked behind it is none.
"""

from __future__ import annotations

from collections.abc import Sequence

from lessonplan.printed.offers.steps import MADE
from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import COUNT_PASSED, Chart, Offer, Passed, char_kind
from lessonplan.printed.words.tokens import Token

DEAREST = 12.0
"""What it costs to pass over a stitch."""
_TELLS = frozenset({"remark", "row", "as", "size", "length", "hooknote", "unknown", "pattern"})
"""Kinds of words by which a bracket is known for a remark."""
_QUANTITY = frozenset(
    {"times", "once", "to", "around", "star", "rep", "bo", "co", "coshort", "pu", "turn", "side", "slash"}
)
"""Kinds of words by which a bracket is more than a remark."""


def _only_told(inside: Sequence[Token]) -> bool:
    """Whether a bracket has numbers in it, but nothing that is worked: `(4 on each)`, `(1 pair = 2 sts)`."""
    kinds = {token.kind for token in inside}
    if "eq" in kinds and kinds & {"remark", "unknown"} and inside[0].kind != "eq":
        return True
    explains = kinds & {"remark", "unknown", "each", "both", "needle"}
    return "num" in kinds and bool(explains) and not kinds & (_QUANTITY | {"stitch", "size", "row", "as"})


def _goes_on(chart: Chart, here: int) -> bool:
    """Whether steps follow in the same sentence."""
    last = next((n for n in range(here, len(chart.run)) if chart.kind(n) == "stop"), len(chart.run))
    return any(chart.kind(place) in STITCHES | {"star", "rep"} for place in range(here, last))


def _worked_so_often(chart: Chart, inside: Sequence[Token], close: int) -> bool:
    """Whether stitches in a bracket have how often, or how far, they are worked behind it."""
    often = chart.match("rep|once|around|((star|times) num)|(num times)|(to (end|last|num))", close + 1, len(chart.run))
    return often is not None and any(token.kind == "stitch" for token in inside)


def told_in_brackets(chart: Chart, here: int, close: int) -> Offer:
    """A bracket passed over as a remark."""
    inside = chart.run[here + 1 : close]
    price, doubt = 0.4, 0
    if _worked_so_often(chart, inside, close):
        return DEAREST, Passed(inside[0], COUNT_PASSED), close + 1
    if chart.kind(here - 1) == "pattern":
        return 0.0, None, close + 1  # `twisted rib (k1 tbl, p1)`
    if any(token.kind in ("unworked", "hooknote") for token in inside):
        return price, None, close + 1
    first_kinds = {token.kind for token in inside} | {char_kind(token) for token in inside}
    if inside and inside[0].kind == "num" and "st" in first_kinds and first_kinds & {"knit", "on"} and len(inside) < 9:
        return 0.4, None, close + 1  # `(6 stitches knit)` tells how many there are by now
    if chart.kind(here - 1) in ("times", "more") and "row" in first_kinds:
        return price, None, close + 1  # `15 more times (32 rows in all, 16 chain sts up each edge)`
    if "marker" in first_kinds and not first_kinds & {"num", "rep", "times", "once"}:
        return price, None, close + 1  # `(move marker to the middle one)`
    told = any(token.kind in _TELLS for token in inside)
    known = any(token.kind in _TELLS - {"unknown"} for token in inside)
    hooked = chart.craft == "crochet" and bool(inside)
    fan = hooked and inside[0].kind == "eq" and _goes_on(chart, close + 1)  # `7 tr in next tr (= 1 fan), skip 3 tr`
    if fan or (hooked and inside[-1].value in MADE) or (chart.craft != "crochet" and _only_told(inside)):
        return price, None, close + 1
    for place, token in enumerate(inside):
        if token.kind == "unknown":
            price += 0.2
        elif token.kind == "num" and place and inside[place - 1].value == "ch":
            price += 0.1
        elif token.kind == "num":
            price, doubt = price + 1.0, max(doubt, 0 if told else 3)
        elif token.value == "ch" and any(each.kind == "space" for each in inside):
            price += 0.1  # `(forms last ch-2 space)`
        elif token.kind in ("stitch", "rep", "bo", "co"):
            beside = {each.kind for each in inside[max(0, place - 1) : place + 2]}
            named = "row" in beside and token.value in ("inc", "dec")
            named = named or (token.value == "ch" and "space" in {each.kind for each in inside[place : place + 4]})
            counted = "num" in beside and not named
            price, doubt = price + 2.5, max(doubt, int(counted) if known else 3)
    first = inside[0] if inside else chart.run[here]
    return price, (Passed(first, doubt) if doubt else None), close + 1
