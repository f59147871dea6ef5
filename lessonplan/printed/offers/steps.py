"""What can be read at a token of a row: stitches, repeats, brackets, asterisks, and the other moves of the hands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from lessonplan.printed.crochet.hooked import HOOK_MOVES, main_stitch
from lessonplan.printed.items import AsNeedle, AtNeedle, Counted
from lessonplan.printed.offers.garments import ALL_MOVES
from lessonplan.printed.offers.picked import more_picked
from lessonplan.printed.offers.placed import STEP_TYPES, Placed, one_by_one, places
from lessonplan.printed.rules.grammar import NONE, NUMBERED, ONE, RING, STITCH, STITCHES, fitting
from lessonplan.printed.rules.search import COUNT_PASSED, Match, Offer, Passed, Rule, char_kind
from lessonplan.printed.tree import BindOff, Even, Into, Join, PickUp, Quantity, Repeat, Step, Stitch, Times, To, Turn

_ALONG = (
    "(remark|measures|on|hand|from|around|edge|side|holder|unknown|to|in|over|held|centre|end|next|gap|bo|co|row|each)+"
)


_LAST_TIME = "SEP* remark? (lastrep|omit) (at|in|remark)*"
"""`, ending last rep with`: what is otherwise the last time."""


@dataclass(frozen=True, slots=True)
class FromStar:
    """`rep from * to * once`, later in the line: what stood between the asterisks, worked again."""

    quantity: Times | To
    at: int


class Steps(Placed):
    """Offers of steps at a token."""

    def offers(self, here: int, end: int) -> list[Offer]:
        """Every step that can be read from a token on."""
        kind = self.chart.kind(here)
        found: list[Offer] = []
        if kind == "stitch" and self.chart.match("knit sep (inc|dec) (each|in)", here, end) is not None:
            found.append((0.0, None, here + 2))  # `knit, inc in first and last st` only names the row
        if kind == "gap" and self.chart.run[here].value == "ds":
            found.append((0.0, Stitch("DS", ONE, self.chart.run[here].at, bare=True), here + 1))
        if kind in STITCHES:
            found += self._stitches(STITCH, here, end)
        elif kind == "num":
            found += self._numbered(here, end)
        elif kind == "group" and self.chart.run[here].value != "V":
            found += self.shells("group open? {n:num} {s:ANY} close?", here, end)
        elif kind == "ring" and self.crochet:
            for cost, n, after in fitting(RING, self.chart, here, end):
                body = (Stitch(main_stitch(self.chart.run), n[0], n[1]),)
                found.append((cost, Into(body, "new", ONE, None, n[1]), after))
        elif kind == "group" and self.chart.run[here].value == "V":
            at = self.chart.run[here].at
            leg = Stitch("dc", ONE, at)
            found += self.into((leg, Stitch("ch", ONE, at), leg), here + 1, end)
        elif kind == "open":
            found += self._groups(here, end)
        elif kind == "star":
            found += self._stars(here, end)
        if self.crochet:
            found += fitting(HOOK_MOVES, self.chart, here, end)
        if kind == "in" and self.crochet:
            found += self.place_first(here, end)
        for cost, item, after in fitting(ALL_MOVES, self.chart, here, end):
            if isinstance(item, Turn) and self.crochet and not item.wrap:
                item = None  # at the end of every row, and no short row
            if isinstance(item, BindOff) and item.method == "draw through" and self.crochet:
                item = None  # the yarn is drawn through stitches that stay
            if isinstance(item, Join) and self.crochet:
                item = None  # at the end of every round
            if isinstance(item, AtNeedle | AsNeedle):
                found.append((cost, item, after))
                continue
            if isinstance(item, Even) and item.to.place == "end":
                found += [(cost + more, replace(item, to=to), then) for more, to, then in self._fills(after, end)]
            found.append((cost, item, after))
        if self.picking:
            found += more_picked(self.chart, here, end)
        if kind in ("rep", "work"):
            found += self._from_star(here, end)
        if kind == "rep" and self.chart.kind(here + 1) == "open":  # `k2, repeat (k1, p1) 3 times, k2`
            begins = self.chart.kind(here - 1) in ("", "sep", "stop", "colon", "dash", "star", "open")
            groups = self._groups(here + 1, end) if begins else ()
            found += [offer for offer in groups if isinstance(offer[1], tuple) and _so_often(offer[1][0])]
        if kind == "work":
            at = self.chart.run[here].at
            facing = self.chart.match("work (from|on|in)* side?", here, end)
            begin = here + 1 if facing is None else facing.end()
            found += [(cost, Even("", to, at), then) for cost, to, then in self._fills(begin, end)]
        return found

    def _numbered(self, here: int, end: int) -> list[Offer]:
        """Every step that begins with a number."""
        token, found = self.chart.run[here], list[Offer]()
        dear = 0.0 if self.crochet else 1.5
        if self.chart.kind(here - 1) in ("stop", "eq", "dash"):
            dear += 0.7  # rather the count of the line
        found += [(cost + dear, item, after) for cost, item, after in self._stitches(NUMBERED, here, end)]
        if self.crochet:
            found += self.shells("{n:num} dash? {s:ANY} group", here, end)
            found += self.listed(here, end)
            if self._only_a_number(here):
                found.append((0.9, Stitch(main_stitch(self.chart.run), token.num, token.at), here + 1))
        elif self.chart.kind(here + 1) == "colour":  # `3 MC, 1 CC` in stranded knitting
            found.append((0.8, Stitch("k", token.num, token.at, colour=self.chart.run[here + 1].value), here + 2))
        if self.chart.match("num times open", here, end) is not None:
            found += self._so_many(here, end)
        if self._in_list(here):
            match = self.chart.match(f"{{n:num}} st? {_ALONG}", here, end)
            if match is not None:
                found.append((-0.1, PickUp(token.num, token.at), match.end()))
        return found

    def _so_many(self, here: int, end: int) -> Iterator[Offer]:
        """`3 x (k1, yo)`: how often stands before what is worked."""
        times = Times(self.chart.run[here].num, None, self.chart.run[here].at)
        for cost, item, after in self._groups(here + 2, end):
            for group in item if isinstance(item, tuple) else (item,):
                if isinstance(group, Repeat) and group.quantity is None:
                    kept = tuple(replace(each, quantity=times) if each is group else each for each in item)
                    yield cost, kept, after

    def _only_a_number(self, here: int) -> bool:
        """Whether a number stands for so many of the main stitch: `[2, inc] x 6`, as toys are written."""
        ends = [(first, last) for first, last in self.chart.partner.items() if first < here < last and last - first < 9]
        kinds = {char_kind(token) for first, last in ends for token in self.chart.run[first:last]}
        between = self.chart.kind(here - 1) in ("open", "sep") and self.chart.kind(here + 1) in ("close", "sep")
        return between and bool(kinds & {"inc", "dec"})

    def _from_star(self, here: int, end: int) -> Iterator[Offer]:
        """`rep from * to * once` where other steps stand between; with no number once."""
        match = self.chart.match("(rep|work)+ (remark|st|between|from)* star (to|sep|dash)? star", here, end)
        before = [place for place in range(here) if self.chart.kind(place) == "star"]
        if match is None or len(before) < 2 or before[-1] > here - 3:
            return
        at = self.chart.run[here].at
        start = match.end() + (self.chart.kind(match.end()) == "sep")
        for cost, quantity, after in self.quantities(start, end):
            yield cost, FromStar(quantity, at), after
        yield 0.2, FromStar(Times(ONE, False, at), at), match.end()

    def _in_list(self, here: int) -> bool:
        """Whether a number goes on with what is picked up: `pick up and k 20 sts along neck, 16 sts from holder`."""
        before = [self.chart.kind(place) for place in range(here)]
        last = max((place for place, kind in enumerate(before) if kind == "pu"), default=None)
        return (
            last is not None and before[-1] == "sep" and not STITCHES & {*before[last + 2 :]} and "num" in before[last:]
        )

    def _fills(self, here: int, end: int) -> list[tuple[float, To, int]]:
        return [(cost, each, after) for cost, each, after in self.quantities(here, end) if isinstance(each, To)]

    def _last_repeat(self, steps: tuple[Step, ...], at: int, cost: float, after: int, end: int) -> Iterator[Offer]:
        """`ending last rep k2` (in place of the whole or of its last step), `omitting last p2`."""
        last = Repeat(steps, To("last", NONE, "", at), at, kind="star")
        omitted = self.chart.match("omit (at|in|remark)* ANY (num st?)?", after - 1, end)
        if omitted is not None:
            yield cost, last, omitted.end()
            return
        yield cost, Repeat(steps, To("rest", NONE, "", at), at, kind="star"), after
        yield cost + 0.2, last, after

    def _stitches(self, rules: tuple[Rule, ...], here: int, end: int) -> list[Offer]:
        found: list[Offer] = []
        for cost, stitch, after in fitting(rules, self.chart, here, end):
            if stitch is None or isinstance(stitch, Into):
                found.append((cost, stitch, after))
            if not isinstance(stitch, Stitch):
                continue
            found.append((cost, self.resolved(stitch), after))
            if after < end and self.chart.kind(after) == "colour":
                stitch, after = replace(stitch, colour=self.chart.run[after].value), after + 1
                found.append((cost - 0.05, self.resolved(stitch), after))
            starred = self.chart.match("star num", after, end)
            if starred is not None and self.chart.run[after].tight and self.chart.run[after + 1].tight:
                times = Times(self.chart.run[after + 1].num, False, stitch.at)  # `inc*6`
                found.append((cost, Repeat((self.resolved(stitch),), times, stitch.at), after + 2))
            for more, quantity, then in self.quantities(after, end):
                step = self.resolved(stitch)
                if self.crochet:
                    found += [
                        (cost + more + extra, each, stop) for extra, each, stop in self.each_of(stitch, quantity, then)
                    ]
                if isinstance(step, Into) and isinstance(quantity, Times):
                    found.append((cost + more, replace(step, count=quantity.count), then))
                else:
                    found.append((cost + more, Repeat((step,), quantity, stitch.at), then))
            how = after + int(self.crochet and self.chart.run[after - 1].kind == "stitch" and self._how(after))
            placed = [(cost + more, into, then) for more, into, then in self.into((stitch,), how, end)]
            found += placed
            if self.crochet:
                for so_far, into, then in placed:  # `1 sc, 2 sc in next st around`
                    if isinstance(into, Into) and into.to is None and self.chart.kind(then) in ("around", "to"):
                        fills = self._fills(then, end)
                        found += [(so_far + more, Repeat((into,), to, stitch.at), stop) for more, to, stop in fills]
                found += [(cost + more, item, then) for more, item, then in self.with_corners(stitch, after, end)]
        return found

    def _how(self, here: int) -> bool:
        """Whether an adverb stands between a stitch and its place: `sl st loosely in each st`."""
        return self.chart.kind(here) == "remark" and self.chart.run[here].value.endswith("ly")

    def _groups(self, here: int, end: int) -> list[Offer]:
        """A bracket as a group of steps, with what is said after it."""
        close = self.chart.partner.get(here)
        if close is None or close >= end or "hooknote" in map(self.chart.kind, range(here, close)):
            return []
        if self.crochet and self.chart.run[close - 1].value in MADE:
            return []
        at = self.chart.run[here].at
        found: list[Offer] = list(self._repeated(here, close)) if self.crochet else []
        for body in self.search.read(here + 1, close, True):
            steps = tuple(item for item in body.items if isinstance(item, STEP_TYPES))
            others = [item for item in body.items if not isinstance(item, STEP_TYPES) and not isinstance(item, Passed)]
            passed = tuple(item for item in body.items if isinstance(item, Passed))
            if not steps and others and not passed and all(isinstance(item, Counted) for item in others):
                found.append((body.cost, tuple(others), close + 1))
            if not steps or others or self.chart.kind(here - 1) == "pattern":
                continue
            found += self._after_group(steps, passed, body.cost, at, close + 1, end)
        return found

    def _repeated(self, here: int, close: int) -> Iterator[Offer]:
        """`(3 sc, sc2tog, repeated)`."""
        last = close - 1
        if self.chart.kind(last) != "rep":
            return
        last -= int(self.chart.kind(last - 1) in ("sep", "stop"))
        at = self.chart.run[here].at
        for body in self.search.read(here + 1, last, True):
            steps = tuple(item for item in body.items if isinstance(item, STEP_TYPES))
            if steps and len(steps) == len(body.items):
                yield body.cost, Repeat(steps, To("rest", NONE, "", at), at, kind="group"), close + 1

    def _after_group(
        self, steps: tuple[Step, ...], passed: tuple[Passed, ...], cost: float, at: int, after: int, end: int
    ) -> Iterator[Offer]:
        stray = self.no_stitch(steps)
        if stray is not None and any(True for _ in places(self.chart, after, end)):
            passed = (*passed, Passed(stray, COUNT_PASSED))  # only stitches are worked into one place
        yield cost + 0.3, (Repeat(steps, None, at, kind="group"), *passed), after
        for lead, extra in ((0, 0.0), (1, 0.1), (2, 0.1)):
            begin = after + lead
            skipped = [self.chart.kind(place) for place in range(after, begin)]
            if begin >= end or any(kind not in ("sep", "rep", "star", "dash", "stop") for kind in skipped):
                break
            if "stop" in skipped and "rep" not in skipped:
                break
            for more, quantity, then in self.quantities(begin, end):
                yield cost + extra + more, (Repeat(steps, quantity, at, kind="group"), *passed), then
                last = self.chart.match(_LAST_TIME, then, end)
                if last is not None and isinstance(quantity, To):
                    for price, step, stop in self._last_repeat(steps, at, cost + more, last.end(), end):
                        yield price, (step, *passed), stop
            if skipped and skipped[-1] == "star" and self.chart.kind(begin) == "num":
                num = self.chart.run[begin].num
                yield cost, (Repeat(steps, Times(num, False, at), at, kind="group"), *passed), begin + 1
        if after < end and self.chart.kind(after) in ("rep", "star"):
            yield cost + 0.2, (Repeat(steps, To("rest", NONE, "", at), at, kind="group"), *passed), after + 1
        for more, step, then in self.into(one_by_one(steps), after, end) if stray is None else ():
            yield cost + more, (step, *passed), then

    def _stars(self, here: int, end: int) -> list[Offer]:
        """An asterisk: its body up to the next asterisk, the word repeat or a quantity, and what is said of it then."""
        found: list[Offer] = []
        chart = self.chart
        begin = here + 1
        double = begin < end and chart.kind(begin) == "star" and chart.run[begin].tight
        begin += int(double)
        stops = [place for place in range(begin, end) if self._closes(place, begin, end, double)]
        for stop in stops[:3] if not double else dict.fromkeys((*stops[:1], *stops[-2:])):
            for body in self.search.read(begin, stop, True):
                steps = tuple(item for item in body.items if isinstance(item, STEP_TYPES))
                passed = tuple(item for item in body.items if isinstance(item, Passed))
                if steps and len(steps) + len(passed) == len(body.items):
                    found += [
                        (body.cost + cost, (*(item if isinstance(item, tuple) else (item,)), *passed), after)
                        for cost, item, after in self._after_star(steps, chart.run[here].at, stop, end)
                    ]
        return found

    def _with_rest(self, steps: tuple[Step, ...], quantity: Quantity, at: int, here: int, end: int) -> Iterator[Offer]:
        """`rep to end (there will be one stitch at the end: just knit it)`: the repeat stops before that one."""
        match = self.chart.match(
            "SEP* open? (have|remark)* {n:num} st (rem|at|end|on|row|in|needle|over|remark)* SEP* (remark|work)* "
            "{s:knit} (remark|each|all|both)* st? SEP* close",
            here,
            end,
        )
        if match is None or not isinstance(quantity, To) or quantity.place not in ("end", "across"):
            return
        m = Match(self.chart, match)
        body = Repeat(steps, To("end", m.num("n"), "", at), at, kind="star")
        yield -0.3, (body, Stitch(m.token("s").value, m.num("n"), m.token("s").at)), match.end()

    def _ending(self, steps: tuple[Step, ...], at: int, cost: float, after: int) -> Iterator[Offer]:
        """`ending with 3 dc in last sc`: after the last repeat, or in crochet in place of its last step."""
        yield cost, Repeat(steps, To("rest", NONE, "", at), at, kind="star"), after
        if self.crochet:
            yield cost + 0.2, Repeat(steps, To("last", NONE, "", at), at, kind="star"), after

    def _closes(self, place: int, begin: int, end: int, double: bool) -> bool:
        kind = self.chart.kind(place)
        inside = any(first < place < last for first, last in self.chart.partner.items() if begin <= first)
        if kind == "rep" and self.chart.kind(place + 1) == "open" and self.chart.kind(place - 1) == "sep":
            return False  # `*k1, repeat (m1, k1) 4 times, ...`
        if not inside and kind == "around" and "rep" not in map(self.chart.kind, range(place, len(self.chart.run))):
            return not any(self.chart.kind(each) == "star" for each in range(place, len(self.chart.run)))
        if inside or kind not in ("star", "rep"):
            return False
        return not double or kind == "rep" or (place + 1 < end and self.chart.kind(place + 1) == "star")

    def _after_star(self, steps: tuple[Step, ...], at: int, stop: int, end: int) -> Iterator[Offer]:
        chart = self.chart
        pair = chart.kind(stop) == "star"
        here = stop
        said = chart.match(
            "star* SEP? (((rep|work) (remark|st|between|from|for|after)* "
            "((star|asterisk) ((to|sep|dash)? (star|asterisk))*))|(rep (remark|st|between|from|for|after)*)"
            "|((from|remark) (star ((to|dash)? star))))?",
            here,
            end,
        )
        after = said.end() if said is not None else here
        repeats = {"rep", "work", "from", "remark"} & {chart.kind(place) for place in range(here, after)}
        if not repeats:
            after = here
            while after < end and chart.kind(after) == "star":
                after += 1
        if (
            repeats
            and (
                again := chart.match(
                    "(for|on|in|around|over)+ (((ord|next|other) needle)|(needle num)) remark*", after, end
                )
            )
            is not None
        ):
            yield 0.0, (*steps, AsNeedle(0, at)), again.end()
        skipped = after
        while skipped < end and chart.kind(skipped) in ("sep", "colon", "remark", "dash", "work") and repeats:
            skipped += 1
        for begin in dict.fromkeys((after, skipped)):
            for cost, quantity, then in self.quantities(begin, end):
                if isinstance(quantity, Times) and pair and not repeats and quantity.more is None:
                    quantity = replace(quantity, more=False)
                last = chart.match(_LAST_TIME, then, end)
                if last is not None and isinstance(quantity, To):
                    yield from self._last_repeat(steps, at, cost, last.end(), end)
                yield from self._with_rest(steps, quantity, at, then, end)
                ending = chart.match("SEP* (ending|end) (row|in|at|remark)*", then, end)
                if (
                    ending is not None
                    and isinstance(quantity, To)
                    and quantity.place in ("end", "across")
                    and not max(quantity.short)
                ):
                    yield from self._ending(steps, at, cost, ending.end())
                yield cost, Repeat(steps, quantity, at, kind="star"), then
        ending = chart.match("SEP* (ending|end) (row|in|at|remark)*", after, end)
        last = chart.match("SEP* (lastrep|omit) (at|in|remark)*", after, end)
        if last is not None:
            yield from self._last_repeat(steps, at, 0.0, last.end(), end)
        if ending is not None:
            yield from self._ending(steps, at, 0.0, ending.end())
        if repeats:
            yield 0.3, Repeat(steps, To("rest", NONE, "", at), at, kind="star"), after
        elif pair:
            yield 0.4, Repeat(steps, None, at, kind="pair"), after


def _so_often(item: object) -> bool:
    return isinstance(item, Repeat) and item.quantity is not None


MADE = frozenset({"made", "formed", "completed", "created"})
"""Last words of a bracket that only tells what was worked: `(first dc made)`."""
