"""Shapings as lists: `cast off at each side on every other row: 4 sts 1 time, 2 sts 3 times`, in any order.

Where, how many, in which rows and how often may stand before or behind the verb; what one item of a list leaves out it
has from the item before it. (`shapes` reads the order of words that is most common in English.)
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

from lessonplan.printed.heading import Num
from lessonplan.printed.offers.shapes import Shapes, action_of, places
from lessonplan.printed.rules.grammar import ONE, fitting
from lessonplan.printed.rules.search import Chart, Match, Offer
from lessonplan.printed.rules.shaped import EVERY, WHERES
from lessonplan.printed.tree import Shape, Spell, Times

TWO: Num = (2,)
_LEAD = "(sep|colon|remark|for|dash|manner|in|on|at)*"
_SIDES = ("edge", "side", "seam")
_COUNTS = (
    "{t:num} times {n:num} st?",
    "{n:num} st {t:num} times",
    "{n:num} st {o:once} total?",
    "{n:num} (more|remark)? st",
)
"""How many stitches, and how often: `2 x 3 sts`, `3 sts 2 times`."""


@dataclass(slots=True)
class _Item:
    """One shaping as far as it is read."""

    action: str = ""
    count: Num | None = None
    where: str = ""
    spells: tuple[Spell, ...] = ()
    times: Times | None = None
    at: int = 0

    def done(self) -> bool:
        """Whether it tells what is done, where and how often."""
        counted = self.count or self.action in ("dec", "inc")
        spread = self.where in ("evenly", "markers")
        several = self.count is not None and min(self.count) > 3 and self.action in ("dec", "inc")
        if not self.where and several and self.spells and self.spells[-1].until is not None:
            return True  # until so many are left, wherever they are
        return bool(self.action and counted and self.where and (self.spells or self.times or spread))

    def shape(self) -> Shape:
        """The shaping, in every other row where print only says how often (common practice)."""
        once = Spell(ONE, Times(ONE, False, self.at), None, self.at)
        spells = self.spells or (Spell(TWO, self.times, None, self.at) if self.times else once,)
        last = spells[-1]
        if self.times is not None and last.times is None and last.until is None:
            spells = (*spells[:-1], replace(last, times=self.times))
        return Shape(self.action, self.count or ONE, self.where or "evenly", spells, self.at)


class Shapings:
    """Offers of lists of shapings at a token."""

    def __init__(self, chart: Chart, shapes: Shapes) -> None:
        self.chart = chart
        self.shapes = shapes
        kinds = {token.kind for token in chart.run}
        placed = kinds & {"each", "both", "end", "edge", "beg", "evenly", "marker", "centre", "to"}
        verbs = kinds & {"bo", "co", "coshort"} or any(action_of(token) in ("dec", "inc") for token in chart.run)
        rows = any(token.kind == "row" for token in chart.run[1:])  # the first one is the label's own
        self.possible = (
            bool(placed) and bool(verbs) and bool(rows or kinds & {"times", "once", "eor", "evenly", "length"})
        )
        """Whether a line has the words for a list of shapings at all."""

    def offers(self, here: int, end: int) -> Iterator[Offer]:
        """The list of shapings that begins at a token."""
        if (
            not self.possible
            or here >= end
            or (self.chart.kind(here) == "stitch" and not action_of(self.chart.run[here]))
        ):
            return
        items: list[_Item] = [_Item(at=self.chart.run[here].at, where=self._headed(here))]
        place, stop, found = here, here, 0
        while place < end:
            after = self._element(items, place, end)
            if after <= place:
                break
            place = after
            if items[-1].done():
                stop, found = place, len(items)
        shapes = tuple(item.shape() for item in items[:found])
        if shapes and all(item.done() for item in items[:found]):
            yield 0.1 + 1.2 * any(not item.where for item in items[:found]), shapes, stop

    def _headed(self, here: int) -> str:
        """The place that a heading names: `Neck side: every 2nd row, bind off 2 sts once`."""
        headed = here > 1 and self.chart.kind(here - 1) in ("colon", "dash") and self.chart.kind(here - 2) in _SIDES
        return "start" if headed and self.chart.run[here - 2].value != "RS" else ""

    def _element(self, items: list[_Item], here: int, end: int) -> int:
        """The next word or words of the list taken into its items; the token after them, or `here`."""
        lead = self.chart.match(_LEAD, here, end)
        begin = lead.end() if lead is not None else here
        for start in dict.fromkeys((here, begin)):
            for take in (self._verb, self._one_by_one, self._counted, self._where, self._rows, self._often):
                if (after := take(items, start, end)) > start:
                    return after
        return here

    def _anew(self, items: list[_Item], here: int, after: int, end: int) -> bool:
        """Whether rows that are named after a comma are those of the next item: `, then in every 2nd row 2 x 2 sts`."""
        listed = any(self.chart.match(f"{_LEAD} {pattern}", after, end) is not None for pattern in _COUNTS)
        return items[-1].done() and self.chart.kind(here - 1) in ("sep", "remark", "in", "on", "at") and listed

    def _verb(self, items: list[_Item], here: int, end: int) -> int:
        match = self.chart.match("{a:(dec|inc|stitch|bo|co|coshort)} (stitch)? (kwise|pwise|even|remark)*", here, end)
        if match is None:
            return here
        token = self.chart.run[here]
        action = action_of(token)
        if not action or self.chart.kind(match.end()) in ("rem", "all"):
            return here
        if items[-1].action and not items[-1].done():
            return here
        if items[-1].action:
            items.append(replace(items[-1], action=action, count=None, times=None, at=token.at))
        items[-1].action, items[-1].at = action, token.at
        if token.kind == "stitch" and token.value not in ("dec", "inc"):
            items[-1].count = ONE
        return match.end()

    def _one_by_one(self, items: list[_Item], here: int, end: int) -> int:
        """`on every 2nd row 3, 2, 1, 1 sts`: each number once."""
        match = self.chart.match("num ((sep|dash) num)+ st", here, end)
        item = items[-1]
        if match is None or item.count is not None or not (item.action and item.where):
            return here
        numbers = [token for token in self.chart.run[here : match.end()] if token.kind == "num"]
        if any(token.num[0] > before.num[0] for before, token in itertools.pairwise(numbers)):
            return here  # a curve begins with its most
        if self.chart.match("(on|at|in)* (each|both) (edge|side|end)", match.end(), end) is not None:
            return here  # where it is done stands behind it
        for token in numbers:
            once = Times(ONE, False, token.at)
            if items[-1].count is not None:
                items.append(replace(item, spells=_every_of(item.spells), at=token.at))
            items[-1].count, items[-1].times = token.num, once
        return match.end()

    def _counted(self, items: list[_Item], here: int, end: int) -> int:
        for pattern in _COUNTS:
            match = self.chart.match(pattern, here, end)
            if match is None:
                continue
            m = Match(self.chart, match)
            item = items[-1]
            if item.count is not None:
                if not item.done():
                    return here
                items.append(replace(item, count=None, times=None, spells=_every_of(item.spells), at=m.at))
            items[-1].count = m.num("n")
            often = m.num("t") if m.has("t") else m.num("o") if m.has("o") else None
            if often is not None:
                items[-1].times = Times(often, False, m.at)
            return match.end()
        return here

    def _where(self, items: list[_Item], here: int, end: int) -> int:
        for where, _, k, after in places(WHERES, self.chart, here, end):
            items[-1].where = where
            if k:  # so many at each of so many places
                items[-1].count = tuple(n * k for n in items[-1].count or ONE)
            return after
        return here

    def _rows(self, items: list[_Item], here: int, end: int) -> int:
        for _, spell, after in fitting(EVERY, self.chart, here, end)[:1]:
            if self._anew(items, here, after, end):
                items.append(replace(items[-1], count=None, times=None, spells=(spell,), at=spell.at))
                return after
            if self.chart.match("num times num", after, end) is None:
                spell, after = self.shapes.so_long(spell, after, end)
            item = items[-1]
            told = item.spells and (item.spells[-1].times or item.spells[-1].until)
            item.spells = (*item.spells, spell) if told and item.count is not None else (spell,)
            return after
        return here

    def _often(self, items: list[_Item], here: int, end: int) -> int:
        match = self.chart.match("({n:num} times|{o:once}) total?", here, end)
        item = items[-1]
        if match is None or item.count is None or item.times is not None:
            return here
        m = Match(self.chart, match)
        if item.spells and (item.spells[-1].times or item.spells[-1].until):
            return here
        item.times = Times(m.num("n") if m.has("n") else m.num("o"), False, m.at)
        return match.end()


def _every_of(spells: tuple[Spell, ...]) -> tuple[Spell, ...]:
    """The rhythm of the item before, without how often it was worked."""
    if not spells or spells[-1].every == ONE:
        return ()
    return (replace(spells[-1], times=None, until=None, first=None),)
