"""What terse print of garments tells beside the work: how stitches lie on needles, what new ones are worked into."""

from __future__ import annotations

import re

from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import Chart

_WORKED = STITCHES | {"bo", "co", "coshort", "pu", "rep", "turn"}
_HOLES = re.compile(r"(?:work|make) (?:\w+ )?(?:more|further|another) (?:\w+ )?(?:button|eyelet) ?(?:hole)?s?\b")
_ALL_OFF = frozenset({"even", "in", "remark", "all", "st", "rem", "on", "unknown", "sep", "hand", "pattern", "knit"})
"""Kinds of words behind `cast off` that leave no stitch over."""
_ON_NEEDLES = frozenset({
    "num", "ord", "next", "last", "rem", "st", "on", "in", "at", "over", "between", "for", "to", "as", "have", "needle",
    "each", "all", "both", "other", "sep", "dash", "colon", "evenly", "even", "remark", "unknown", "hand", "eq", "more",
    "open", "close", "manner", "sets",
})  # fmt: skip
"""Kinds of words that tell how stitches lie on needles."""
_MADE_IN = (
    "(work|remark|unknown|even) (remark|all|each|more|unknown)* "
    "(((inc|dec|inced|deced|more|remark) st)|inced|deced) (remark|unknown|as|to|work)* "
    "(in|on|to|even|pattern) (remark|unknown|even|pattern|st|in|as|to|on|each|both|end|edge|side|all|knit|manner)*"
)
"""`working inc sts into patt at each end`: stitches made by the shaping told beside it."""


def changes_no_count(chart: Chart, text: str, here: int, clause: int) -> bool:
    """Whether a clause tells what leaves the stitches as the words beside it make them."""
    before = chart.kind(here - 1)
    if _buttonholes(chart, text, here, clause) or (before == "sep" and _in_binding_off(chart, text, here, clause)):
        return True
    return before in ("sep", "", "stop", "colon", "open", "dash") and _taken_in(chart, text, here, clause)


def _buttonholes(chart: Chart, text: str, here: int, clause: int) -> bool:
    """Whether so many buttonholes are made as one was told: each takes up what it lets go."""
    words = text[chart.run[here].at : chart.run[clause - 1].end].lower() if clause > here else ""
    return _HOLES.match(words) is not None and not {*map(chart.kind, range(here + 1, clause))} & _WORKED


def _in_binding_off(chart: Chart, text: str, here: int, clause: int) -> bool:
    """Whether a clause only tells how all stitches are bound off: `Cast off in rib, dec at centre as before`."""
    off = next((place for place in range(here - 1, -1, -1) if chart.kind(place) in ("bo", "stop")), -1)
    word = text[chart.run[here].at : chart.run[here].end].lower().split(" ")[0]
    if off < 0 or chart.kind(off) != "bo" or not (word.endswith("ing") or word in ("dec", "decrease", "inc")):
        return False
    between = {chart.kind(place) for place in range(off + 1, here)}
    inside = {chart.kind(place) for place in range(here, clause)}
    return between <= _ALL_OFF and not inside & {"num", "row", "bo", "co", "turn", "to", "star"}


def shared_out(chart: Chart, text: str, here: int, stop: int) -> bool:
    """Whether stitches are only put on their needles: `Divide sts on to 3 needles: 12, 24, 12`."""
    kinds = [chart.kind(place) for place in range(here, stop)]
    word = text[chart.run[here].at : chart.run[here].end].lower()
    shared = word in ("divide", "arrange", "rearrange", "distribute", "share")
    numbers = sum(kind in ("num", "ord") for kind in kinds)
    return (
        (shared or (numbers > 2 and word in ("slip", "sl", "place", "put")))
        and "needle" in kinds
        and "st" in kinds
        and {*kinds[1:]} <= _ON_NEEDLES
        and (shared or numbers > kinds.count("needle"))
    )


def _taken_in(chart: Chart, text: str, here: int, clause: int) -> bool:
    """Whether a clause tells what stitches already made are worked in: `, taking inc sts into rib`."""
    word = text[chart.run[here].at : chart.run[here].end].lower()
    if not (word.endswith("ing") or word in ("keep", "take", "bring", "work", "incorporate")):
        return False
    match = chart.match(_MADE_IN, here, clause)
    return match is not None and match.end() == clause
