"""Shaping gone on with: `dec every rnd in same way until 9 sts rem`, `rep these increases every 6th row 4 times`.

What is done again, in which rows, how often or until when, and what only describes it stand in any order; a word such
as `as before` or `repeat` tells that the newest shaping row is meant.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from lessonplan.printed.heading import Num
from lessonplan.printed.offers.shapes import Shapes
from lessonplan.printed.rules.again import GROWN, IN_EACH, NAMED_GROUPS
from lessonplan.printed.rules.grammar import NONE, QUANTITIES, fitting
from lessonplan.printed.rules.search import Chart, Match, Offer
from lessonplan.printed.tree import Again, Spell, Times

Until = Callable[[int, int], tuple[Num, str, int] | None]
_LEAD = "(sep|work|remark|to|in|on|for|have|same|same|dash)*"
_VERB = "(remark|all)* {v:(inc|dec|inced|deced)} (?!row) remark* ({n:num} (more|remark)? (st|ANY))?"
_TOLD = "as* (manner|even)+ (remark|sep (?=on|in))*"
_STEP = (
    "(sep|on|in|remark|dash)* (have|work|remark)* num (remark|more|fewer)* (st|ANY)* (remark|more|fewer)+ (st|ANY"
    "|remark|in|on|between|before|after|each|all|both|inced|deced|inc|dec|sets|row|times|even|gap|marker)*"
)
"""`, with 1 st less between the decreases`: how a series of decreases goes on is known without it."""
_PLACE = (
    "(sep|remark)* ((at|on|in|before|after|between)|(?=each|both)) (each|both|all|remark|ord|next|at|on|in)* "
    "(edge|marker|end|beg|sets|centre|seam|side)+ ((remark|on|at|in|before|after|each|both|all|sep)* (edge|marker|st))*"
)
"""Where it is done, which the row that is meant knows."""


STEPPED = (
    "(sep|on|in|remark|dash)* (work|have|knit|remark)+ {n:num} st? {s:(fewer|more)} (st|remark|before|after|between"
    "|dec|inc|deced|inced|on|in|each|all|row|times|ANY|marker|work|next|ord|last|gap|turn|rep|sep (?=before|after))*"
)
APART = (
    "(sep|on|in|remark|dash)* (work|have|remark)* (({n:num} (st|ANY))|(knit {k:num})) between (remark|each|all|both)*"
    " (inc|dec|inced|deced)"
)
"""`, but with 3 sc between increases`."""

ADDS = frozenset({"adding", "losing", "gaining"})
"""Words by which stitches are added or taken away as before."""


@dataclass(slots=True)
class _Read:
    """What was read so far of a shaping gone on with."""

    verb: bool = False
    told: bool = False
    count: Num = NONE
    spells: tuple[Spell, ...] = ()
    times: Times | None = None
    until: Num | None = None
    per: str = ""
    growing: bool = False
    """Whether it is told that stitches between come to be more, or fewer."""


class GoneOn:
    """Offers of shapings gone on with at a token."""

    def __init__(self, chart: Chart, shapes: Shapes, until: Until) -> None:
        self.chart = chart
        self.shapes = shapes
        self.until = until

    def offers(self, here: int, end: int) -> Iterator[Offer]:
        """The shaping gone on with that begins at a token."""
        read, place = _Read(told=self._repeated(here)), here + int(self.chart.kind(here) == "rep")
        numbered = here > 0 and self.chart.kind(here - 1) in ("colon", "dash", "stop")
        while place < end and (after := self._element(read, place, end)) > place:
            place = after
            limited = read.times or read.until or any(spell.times or spell.until for spell in read.spells)
            open_ = self.chart.kind(place) in ("", "stop", "eq", "open", "dash", "sep") or place >= end
            verb = read.verb or (limited and read.spells and here == 0)  # `and then on every round until 12 sts remain`
            verb = verb and self.chart.kind(place - 1) not in ("sep", "dash") and not (read.growing and read.per)
            counted = read.count != NONE and (
                read.growing or self.chart.kind(here) == "work"
            )  # `continue to dec 8 sts`
            if (
                verb
                and (read.told or counted or not read.verb)
                and (limited or (numbered and self.chart.kind(here) != "rep"))
                and open_
            ):
                at = self.chart.run[here].at
                spells = read.spells
                if len(spells) == 1 and read.times:
                    spells = (replace(spells[0], times=read.times),)
                again = Again("shaping", read.count, NONE, "", read.times, read.until, at, spells, per=read.per)
                yield 0.0 if limited else -0.3 if read.growing else 0.7, again, place

    def grown(self, here: int, end: int) -> Iterator[Offer]:
        """Rows of groups in spaces gone on with, each with a group more on every side."""
        match = self.chart.match(GROWN, here, end)
        if (each := self.chart.match(IN_EACH, here, end)) is not None:
            yield -0.8, Again("shaping", NONE, NONE, "", None, None, self.chart.run[here].at), each.end()
        if match is None:
            return
        words = self.chart.run[match.start("g") : match.end("g")]
        if any(token.kind in ("group", "sets") or token.value in (*NAMED_GROUPS, "cluster") for token in words):
            yield -0.8, Again("shaping", NONE, NONE, "", None, None, self.chart.run[here].at), match.end()

    def _repeated(self, here: int) -> bool:
        """Whether rows are said to be repeated: `rep these 2 rows until ..., then dec every row`."""
        return "rep" in map(self.chart.kind, range(here + 1)) and self.chart.kind(here - 1) in (
            "",
            "sep",
            "stop",
            "rep",
        )

    def _element(self, read: _Read, here: int, end: int) -> int:
        """The token after the next element, or `here`."""
        lead = self.chart.match(_LEAD, here, end)
        begin = lead.end() if lead is not None else here
        for start in dict.fromkeys((here, here + int(self.chart.kind(here) == "sep"), begin)):
            for take in (self._verb, self._often, self._until, self._rows, self._described):
                if (after := take(read, start, end)) > start:
                    return after
        return here

    def _verb(self, read: _Read, here: int, end: int) -> int:
        shown = [self.chart.kind(here - 1), self.chart.kind(here + 1)] == ["rep", "each"]
        if shown and self.chart.run[here].value in ("this", "it"):  # `repeat this every other round`
            read.verb = True
            return here + 1
        added = self.chart.match("{v:unknown} {n:num} st", here, end)
        if added is not None and self.chart.run[here].value not in ADDS:
            added = None
        match = added or self.chart.match(_VERB, here, end)
        if match is None or read.verb:
            return here
        m = Match(self.chart, match)
        read.verb, read.count = True, m.num("n") if m.has("n") else NONE
        return match.end()

    def _often(self, read: _Read, here: int, end: int) -> int:
        told = read.spells and (read.spells[-1].times or read.spells[-1].until)
        for _, quantity, after in fitting(QUANTITIES, self.chart, here, end):
            if isinstance(quantity, Times) and not (read.times or read.until or told):
                read.times = quantity
                return after
        return here

    def _until(self, read: _Read, here: int, end: int) -> int:
        found = self.until(here, end) if self.chart.kind(here) == "to" and not (read.until or read.times) else None
        if found is None:
            return here
        read.until, read.per, after = found
        return after

    def _rows(self, read: _Read, here: int, end: int) -> int:
        spells, after = self.shapes.spells(here, end)
        if not spells or read.spells or (spells[0].every == NONE):
            return here
        read.spells = spells
        return after

    def _described(self, read: _Read, here: int, end: int) -> int:
        told = self.chart.match(_TOLD, here, end)
        words = [] if told is None else self.chart.run[told.start() : told.end()]
        if told is not None and any(token.kind == "manner" or token.value in ("set", "same way") for token in words):
            read.told = True
            return told.end()
        for pattern in (_STEP, _PLACE) if read.verb or read.told else ():
            match = self.chart.match(pattern, here, end)
            if match is not None and (read.verb or pattern is _STEP):
                read.verb = True
                read.growing |= pattern is _STEP
                return match.end()
        return here
