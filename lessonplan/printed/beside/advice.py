"""Sentences of a line that speak of nothing that is worked: what is done beside the needles, advice, remarks."""

from __future__ import annotations

import re

from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import Chart

WORKED = STITCHES | {
    "num", "bo", "co", "coshort", "pu", "rep", "work", "as", "same", "turn", "holder", "even", "pattern",
}  # fmt: skip
"""Kinds of words of which something is worked."""
_NO_REMARK = WORKED - {"turn"} | {
    "draw", "graft", "bind3", "rem", "once", "times", "more", "total", "each", "all", "both", "other", "st", "space",
    "group", "otherside", "elsewhere", "drawn", "omit", "unworked", "meanwhile", "around", "evenly", "inced", "deced",
    "lastrep", "ending", "wt", "picot", "ring", "chart", "length", "measures", "fewer", "between", "pm", "rm", "rmall",
    "cn", "row", "star", "asterisk", "slipjoin", "join", "hook", "drop", "sets", "marker", "needle", "gap", "odd",
}  # fmt: skip
"""What mere advice does not speak of."""
_RISKY = re.compile(
    r"revers|shap|mirror|opposite|alternat|doubl|twice|half|halves|instead|except|unless|until|only|every|pair|swap"
    r"|fewer|extra|skip|leav|miss|decrea|increa|edge|corner|centre|center|middle|begin|start|end\b|ends\b|last|first"
)
"""Words that could turn what is worked, however they are used."""
_LONG = 2


def explained(chart: Chart, here: int, end: int) -> int:
    """Where an explanation of what was just said ends (`, i.e. [sc in 1, inc]`), or a reference; or `here`."""
    if chart.craft != "crochet" or chart.run[here].value not in ("explains", "refers") or not here:
        return here
    before = {chart.kind(place) for place in range(here)}
    told = before & STITCHES or "even" in before
    begins = chart.kind(here - 1) in ("sep", "dash", "stop", "open", "colon")
    after = here
    while after < end and chart.kind(after) not in ("stop", "close"):
        after = chart.partner.get(after, after) + 1
    return after if told and begins else here


def _named(chart: Chart, place: int, text: str) -> bool:
    """Whether stitches are only spoken of: `those bobbles`."""
    token = chart.run[place]
    several = token.kind == "stitch" and text[token.at : token.end].lower().endswith("s")
    return (
        several and chart.kind(place - 1) not in ("num", "dash", "rep") and chart.kind(place + 1) not in ("num", "in")
    )


def _going_on(chart: Chart, place: int) -> bool:
    token = chart.run[place]
    return token.kind == "stitch" and token.value in ("inc", "dec") and token.end - token.at == len("decreasing")


def remark(chart: Chart, here: int, end: int, text: str) -> int:
    """Where a sentence of mere advice ends (`Don't wait, it only gets harder!`), or a clause of it; or `here`."""
    before = chart.kind(here - 1)
    if before not in ("stop", "sep", "dash", "colon") or chart.craft != "crochet":
        return here
    after = here
    stops = (
        ("stop", "colon", "open", "close") if before in ("stop", "colon") else ("stop", "sep", "open", "close", "dash")
    )
    while after < end and chart.kind(after) not in stops:
        after += 1
    kinds = ["unknown" if _named(chart, place, text) else chart.kind(place) for place in range(here, after)]
    words = text[chart.run[here].at : chart.run[after - 1].end].lower() if after > here else ""
    heading = before == "colon" and STITCHES & {chart.kind(place) for place in range(after, end)}
    kinds = [
        "unknown" if heading and _going_on(chart, place) else kind
        for place, kind in zip(range(here, after), kinds, strict=True)
    ]
    if len(kinds) < _LONG or _NO_REMARK & {*kinds} or _RISKY.search(words) or "remark" not in kinds:
        return here
    unknown = [token.value for token in chart.run[here:after] if token.kind == "unknown"]
    return after if all(len(word) > 1 and not any(sign.isdecimal() for sign in word) for word in unknown) else here
