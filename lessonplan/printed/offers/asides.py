"""What a line says beside the work: sentences, clauses and lines without an order to the hands, passed over whole.

A stretch is known for such an aside by what it lacks: no stitch, no number of stitches, rows or times, no place to work
to. So words that nobody foresaw may stand in it. One that says *how* a row is worked (`, knitting the legs of each
double stitch together`) is an aside where the row before it has come to its end.
"""

from __future__ import annotations

from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import Chart

_DONE = STITCHES | {"bo", "co", "coshort", "pu", "rep", "wt", "draw", "graft", "bind3", "inced", "deced", "picot", "cn"}
"""Kinds of words that are work."""
_ORDERS = _DONE | {"num", "work", "as", "same", "turn", "holder", "even", "pattern"}
_NO_ASIDE = (_ORDERS - {"num"}) | {"rem", "have", "put", "in", "to"}
"""What a sentence that begins with a word such as `fasten off` does not speak of."""
_SENTENCE = _DONE | {"put", "return", "held", "times", "once", "even", "pattern", "chart", "manner", "same", "as", "work",
                     "turn", "join", "pm", "sm", "rm", "rmall", "star", "alike", "fewer", "more", "together", "below", "pass",
                     "drop", "meanwhile", "have", "rem", "total", "over", "measures", "length"}  # fmt: skip
"""Kinds of words that no sentence has that is an aside."""
_CLAUSE = _SENTENCE | {"num", "to", "last", "in", "ending", "lastrep", "omit", "wraps", "winding", "unworked", "slipjoin",
                       "colour", "row", "around", "around", "next", "rem"}  # fmt: skip
"""Kinds of words that no clause of a sentence has that is an aside."""
_COUNTABLE = frozenset({"st", "row", "times", "more", "rem", "fewer", "needle", "open", "close", "marker", "last", "total",
                         "stop", ""})
_MADE_THERE = frozenset({"bo", "co", "coshort", "pu", "rep", "inced", "deced", "draw", "graft", "bind3", "put", "return"})
_HOW = frozenset({"knitting", "purling", "working", "slipping", "crossing", "twisting", "keeping", "making", "bringing"})
"""Words with which it begins how a row is worked."""


class Asides:
    """The asides of a line: `after` gives where the one that begins at a token ends."""

    def __init__(self, chart: Chart, start: int, text: str) -> None:
        self.chart = chart
        self.text = text
        self.ends: dict[int, int] = {}
        self._inside: set[int] = set()
        place, end = start, len(chart.run)
        while place < end:
            after = self._found(place, end) if chart.kind(place - 1) in ("", "stop", "colon", "sep", "open") else place
            if after > place:
                self.ends[place] = after
                self._inside |= {*range(place, after)}
            place = max(after, place + 1)
        ended = text.rstrip().endswith((".", "!"))  # a heading has no full stop
        self.whole = ended and all(place in self._inside or chart.kind(place) in ("stop", "sep") for place in range(start, end))

    def after(self, here: int) -> int:
        """The token after the aside that begins at a token, or the token itself."""
        return self.ends.get(here, here)

    def holds(self, place: int) -> bool:
        """Whether a token stands in an aside."""
        return place in self._inside

    def _found(self, here: int, end: int) -> int:
        """Where the aside that begins at a token ends; the token itself if none does."""
        chart, before = self.chart, self.chart.kind(here - 1)
        stop = self._to("stop", here, end)
        if before in ("", "stop", "colon"):
            if chart.run[here].value == "prose" and not {*map(chart.kind, range(here, stop))} & _NO_ASIDE:
                return stop
            if self._no_order(here, stop, _SENTENCE):
                return stop
        clause = self._to("sep", here, end)
        if chart.run[here].value == "prose" and before == "sep":
            kinds = {*map(chart.kind, range(here, clause))}
            if not kinds & _NO_ASIDE and "num" not in kinds:
                return clause
        if before in ("sep", "colon") and chart.kind(here) != "unknown" and self._no_order(here, clause, _CLAUSE):
            return clause
        if before == "sep" and self._manner(here, clause):
            return clause
        return self._purpose(here, clause)

    def _manner(self, here: int, clause: int) -> bool:
        """Whether a clause tells how the row is worked that has come to its end: `, knitting each st with its wrap`."""
        chart = self.chart
        word = self.text[chart.run[here].at : chart.run[here].end].lower().split(" ")[0]
        if word not in _HOW and not (word.endswith("ing") and chart.kind(here) == "unknown"):
            return False
        first = here - 1
        while first > 0 and chart.kind(first - 1) not in ("stop", "colon", ""):
            first -= 1
        row = [chart.kind(place) for place in range(first, here - 1)]
        ended = {"to", "around", "all", "even", "pattern"} & {*row} or (
            len(row) == 1 and chart.run[first].value in ("k", "p")
        )
        rest = {chart.kind(place) for place in range(here + 1, self._bracketed(here, clause))}
        shaped = {chart.run[place].value for place in range(here, clause)} & {"inc", "dec"}
        return bool(ended) and not shaped and not rest & (_MADE_THERE | {"num", "times", "once", "fewer", "more"})

    def _bracketed(self, here: int, clause: int) -> int:
        """Where a clause comes to its first bracket, or its end."""
        return next((place for place in range(here, clause) if self.chart.kind(place) == "open"), clause)

    def _purpose(self, here: int, clause: int) -> int:
        """Where what is meant ends and how it is done begins: `shape the shoulders by | casting off 8 sts`."""
        for place in range(here, clause - 1):
            token, verb = self.chart.run[place], self.chart.run[place + 1]
            if token.kind not in ("remark", "unknown", "edge", "seam", "side", "centre", "end", "sets"):
                return here
            ing = self.text[verb.at : verb.end].lower().split(" ")[0].endswith("ing")
            if token.value == "by" and ing and (verb.kind in ("bo", "co") or verb.value in ("inc", "dec")):
                return place + 1
        return here

    def _to(self, kind: str, here: int, end: int) -> int:
        """Where a sentence ("stop") or a clause of it ("sep") ends; brackets belong to it."""
        ends = ("stop",) if kind == "stop" else ("stop", "sep", "close", "colon", "dash")
        place = here
        while place < end and self.chart.kind(place) not in ends:
            partner = self.chart.partner.get(place, place)
            place = max(partner, place) + 1
        return min(place, end)

    def _no_order(self, here: int, stop: int, orders: frozenset[str]) -> bool:
        """Whether nothing in a stretch tells what is to be worked, how often or how far."""
        chart = self.chart
        words = 0
        for place in range(here, stop):
            kind, after = chart.kind(place), chart.kind(place + 1)
            free = (kind == "last" and after != "num") or (kind == "over" and after not in ("num", "st", "next", "needle"))
            sewn = kind == "join" and after in ("both", "remark", "unknown", "seam", "edge", "centre")
            if free or sewn:
                continue
            if kind in orders or (kind == "num" and after in _COUNTABLE) or (kind == "num" and after in STITCHES):
                return False
            marks = {"holder", "marker"} & {*map(chart.kind, range(here, stop))} and chart.kind(here) == "remark"
            if kind in ("each", "both") and not marks and after in ("end", "edge", "side", "marker"):
                return False
            if kind == "unknown" and not english(chart.run[place].value):
                return False
            if kind in ("each", "all") and after in ("st", "row"):
                return False
            words += kind in ("remark", "seam", "holder") or (kind == "unknown" and stop - here > 1)
        return words > 0


def english(word: str) -> bool:
    """Whether an unknown word may be one of plain English, and no slip of a stitch."""
    return len(word) > 3 and word.isalpha() and not set(word).isdisjoint("aeiouy")


def beside(chart: Chart, start: int) -> bool:
    """Whether a line only tells what is done beside the needles: `Fasten off, leaving a long tail`."""
    begins = start < len(chart.run) and chart.run[start].value == "prose"
    return begins and not any(chart.kind(place) in _ORDERS for place in range(start, len(chart.run)))


def all_aside(chart: Chart, start: int) -> bool:
    """Whether a line has numbers, but of nothing that is worked: `Insert eyes between rounds 8 and 9, 6 sts apart.`"""
    words = [chart.kind(place) for place in range(start, len(chart.run))]
    single = "stop" not in words[:-1] and "num" in words
    return single and chart.run[start].value == "prose" and not _NO_ASIDE & {*words}
