"""Rules for a stitch with no number that names its row: `P., inc in last st`, `Ssk, knit.`"""

from __future__ import annotations

from typing import Any

from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Rule
from lessonplan.printed.tree import Repeat, Stitch, To


def _up_to_last(m: Match) -> Any:
    """`P., inc in last st`: what names the row is worked up to there."""
    return Repeat((Stitch(m.token("s").value, ONE, m.at, bare=True),), To("across", NONE, "", m.at), m.at, "")


def _first_then(m: Match) -> Any:
    """`K, inc in first st`: the increase, and the row knitted to its end."""
    made = Stitch(m.token("d").value, ONE, m.token("d").at, bare=True)
    return (made, _up_to_last(m)) if made.name in ("inc", "kfb", "pfb") and m.token("f").value == "first" else NO_FIT


def _knit_on(m: Match) -> Any:
    """`Ssk, knit.`: a stitch with no number that ends a row of others goes on to its end."""
    kind = m.chart.kind
    alone = kind(m.match.start() - 1) == "sep" and kind(m.match.end()) in ("", "stop", "dash", "open", "eq")
    if not alone or m.chart.craft == "crochet":
        return NO_FIT  # or the end of what stands between asterisks
    others = any(
        token.kind in ("bo", "co")
        or (token.kind == "stitch" and (token.value not in ("k", "p") or kind(place + 1) == "num"))
        for place, token in enumerate(m.chart.run[: m.match.start()])
    )
    return _up_to_last(m) if others else NO_FIT


ROW_NAMED: tuple[Rule, ...] = (
    Rule("{s:knit} (?=(sep|stop)+ (inc|dec|ANY|stitch) num? (st|remark)* (in|at|on)* last num? st)", _up_to_last, 0.1),
    Rule("{s:knit} (?=stop|dash|open|eq|$)", _knit_on),
    Rule("{s:knit} SEP+ {d:(stitch|inc)} (st|remark|in|at|on)* {f:next} st (?=stop|dash|open|eq|$)", _first_then),
)  # fmt: skip
