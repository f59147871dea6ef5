"""Where stitches go: the places that can be read at a token, and what stitches mean in them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonplan.craft.techniques import technique
from lessonplan.printed.crochet.into import HOOK_PLACES
from lessonplan.printed.rules.grammar import PLACES, fitting
from lessonplan.printed.rules.search import Chart
from lessonplan.printed.tree import Into, Stitch

ONE_PLACE = frozenset({"dc2tog", "dc3tog", "dc4tog", "dc5tog", "hdc3tog", "tr2tog", "tr3tog"})
"""Stitches joined at the top, which are as often worked into one place as into several."""


def places(chart: Chart, here: int, end: int) -> Iterator[tuple[float, Into, int]]:
    """The places where stitches go that can be read at a token."""
    hooked = list(fitting(HOOK_PLACES, chart, here, end)) if chart.craft == "crochet" else []
    yield from hooked
    told = {after for _, _, after in hooked}
    yield from (offer for offer in fitting(PLACES, chart, here, end) if offer[2] not in told)


def another_place(chart: Chart, here: int, end: int) -> int:
    """Where `and in each ch across` begins behind `in 4th ch from hook (counts as dc)`, or -1."""
    if chart.kind(here) == "open" and (close := chart.partner.get(here, end)) < end:
        inside = {chart.kind(place) for place in range(here, close)}
        here = close + 1 if inside & {"hooknote", "remark"} else here
    joined = chart.match("sep* (in|around)? (each|next|all|last|ord|same)", here, end)
    if joined is None:
        return -1
    while chart.kind(here) == "sep":
        here += 1
    return here if any(True for _ in places(chart, here, end)) else -1


_NEXT_STEP = "sep ((num? slipjoin)|skip|join|turn|(num? ANY num? (in|around) (next|each|same|last|ord|top|num)))"
"""What begins a step of its own: `into next loop work 2 dc, ch 2, 2 dc, skip next st`."""


def clause_ends(chart: Chart, here: int) -> bool:
    """Whether what is worked into a place named before it ends at a token."""
    token = chart.run[here]
    if token.value == ";" and chart.match("sep num ANY (sep|stop|$)", here, len(chart.run)) is not None:
        return False  # `In each space work 1 sc; 5 dc; 1 sc.`
    if token.kind == "sep" and chart.match(_NEXT_STEP, here, len(chart.run)) is not None:
        return True
    return token.kind in ("stop", "star", "rep", "close") or token.value == ";"


_INTO_NAMES = {
    "k, p": "(k1, p1) in 1",
    "k, yo, k": "kyok",
    "k, yo, k, yo, k": "nupp 5",
    "k, p, k, p, k": "inc 4",
    "kfb": "kfb",
    "k, k1 tbl": "kfb",
    "p, p1 tbl": "pfb",
}


def into_name(body: Sequence[Stitch]) -> str:
    """Technique name of `(k1, yo, k1) in next st`; "" if it has none."""
    spelt = ", ".join(stitch.name for stitch in body for _ in range(stitch.count[0]))
    name = _INTO_NAMES.get(spelt) or f"({spelt}) in 1"
    try:
        return technique(name).name
    except KeyError:
        return ""
