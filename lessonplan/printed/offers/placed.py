"""Stitches worked into a place: one stitch, a space or a ring, each of many, the place named before or after them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonplan.craft.techniques import technique
from lessonplan.printed.crochet.hooked import HOOK_QUANTITIES, main_stitch
from lessonplan.printed.crochet.into import HOOK_PLACES
from lessonplan.printed.rules.grammar import NONE, ONE, PLACES, QUANTITIES, fitting
from lessonplan.printed.rules.search import CHAR, Chart, Match, Offer, Passed, Search
from lessonplan.printed.tree import (
    BindOff,
    CableNeedle,
    CastOn,
    Colour,
    Even,
    Hold,
    Into,
    Join,
    Mark,
    Opposite,
    PickUp,
    Quantity,
    Repeat,
    Return,
    Step,
    Stitch,
    Times,
    To,
    Turn,
)  # fmt: skip
from lessonplan.printed.words.tokens import Token

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


LAST_TOLD = "(around|remark)* sep (remark|num|ANY|work)+ in (remark|next)* last (st|ANY|remark|ord)"
"""`1 tr in each tr, 2 tr in last one`: the last one is not among those before."""
MOST_PLACES = 12
"""So many more places may be named behind one, each of which is read inside the one before."""


class Placed:
    """Offers of stitches with the place that they go into."""

    def __init__(self, chart: Chart, search: Search) -> None:
        self.chart = chart
        self.search = search
        self.crochet = chart.craft == "crochet"
        self.picking = not self.crochet and CHAR["pu"] in chart.present

    def quantities(self, here: int, end: int) -> Iterator[tuple[float, Quantity, int]]:
        """How often, or how far, what stands before a token is worked; signs between do not matter."""
        yield from fitting(QUANTITIES, self.chart, here, end)
        if self.crochet:
            yield from fitting(HOOK_QUANTITIES, self.chart, here, end)

    def shells(self, pattern: str, here: int, end: int) -> Iterator[Offer]:
        """`5-dc shell in next st`, `shell of 5 dc in next st`."""
        match = self.chart.match(pattern, here, end)
        if match is not None:
            m = Match(self.chart, match)
            body = (Stitch(m.token("s").value, m.num("n"), m.at),)
            yield from self.into(body, match.end(), end)

    def listed(self, here: int, end: int) -> Iterator[Offer]:
        """`2 tr, 3 ch, 3 tr all in same sp`: a list without brackets, with chains in it, all worked into one place."""
        match = self.chart.match("((num ANY)|(ANY num)) (sep ((num ANY)|(ANY num)))+ (total|all)? (?=in)", here, end)
        if match is None:
            return
        run = self.chart.run[here : match.end()]
        names = [token for token in run if token.kind == "stitch"]
        numbers = [token.num for token in run if token.kind == "num"]
        body = tuple(Stitch(token.value, n, token.at) for token, n in zip(names, numbers, strict=True))
        told = [each.name for each in body]
        inside = "ch" in told[1:-1] and "ch" not in (told[0], told[-1]) and not {"sk", "sl st"} & {*told}
        for cost, place, after in places(self.chart, match.end(), end) if inside else ():
            if place.place == "space":
                yield cost - 0.3, self._worked(body, place), after
            elif place.place in ("next", "same") and place.to is None:
                yield cost + 0.3, self._worked(body, place), after

    def place_first(self, here: int, end: int) -> Iterator[Offer]:
        """`Into next loop work 1 dc, 5 tr and 1 dc`: the place stands before what is worked into it."""
        for cost, place, after in places(self.chart, here, end):
            work = self.chart.match("(work|remark) (SEP|remark)*", after, end)
            if work is None or place.place not in ("space", "next", "same"):
                continue
            begin, stop = work.end(), work.end()
            while stop < end and not clause_ends(self.chart, stop):
                stop += 1
            for body in self.search.read(begin, stop, True):
                steps = one_by_one(tuple(item for item in body.items if isinstance(item, STEP_TYPES)))
                passed = tuple(item for item in body.items if isinstance(item, Passed))
                if steps and len(body.items) - len(passed) <= len(steps):
                    yield cost + body.cost, (self._worked(steps, place), *passed), stop

    def _last_with(self, here: int, end: int) -> bool:
        """`sc in each of the 100 sts with 3 sc in the last one`: the last one is not among those before."""
        match = self.chart.match("remark num ANY in (remark|next)* last (remark|st|ANY)", here, end)
        return match is not None and self.chart.run[here].value == "with"

    def into(
        self, body: tuple[Stitch, ...], here: int, end: int, others: int = MOST_PLACES
    ) -> Iterator[tuple[float, Step, int]]:
        """Stitches worked into a place, and into so many `others` named behind it."""
        for cost, place, after in places(self.chart, here, end):
            to, then = place.to, after
            extra = cost
            if to is not None and place.place == "next":
                for more, quantity, stop in self.quantities(after, end):
                    if isinstance(quantity, To):
                        yield cost + more, self._worked(body, replace(place, to=quantity)), stop
            if to == To("end", NONE, "", place.at) and self.chart.match(LAST_TOLD, after, end) is not None:
                yield cost - 0.2, self._worked(body, replace(place, to=replace(to, place="rest"))), after
            if to is None and place.place == "next" and min(place.count) > 1 and self._last_with(after, end):
                place = replace(place, count=tuple(n - 1 for n in place.count))
            made = self._worked(body, replace(place, to=to))
            yield extra, made, then
            if self.crochet and self._one_each(body, place, here, after):
                yield (
                    extra + (0.3 if place.count == (2,) else -0.1),
                    self._worked((replace(body[0], count=ONE),), place),
                    then,
                )
            for more, quantity, stop in self.quantities(after, end):
                if isinstance(quantity, Times):
                    yield cost + more, Repeat((made,), quantity, made.at), stop
            begin = another_place(self.chart, after, end) if others and self.crochet and place.place != "new" else -1
            if begin >= 0:
                for more, step, stop in self.into(body, begin, end, others - 1):
                    yield cost + more, Repeat((made, step), None, made.at), stop

    def with_corners(self, stitch: Stitch, here: int, end: int) -> Iterator[Offer]:
        """`sc in each st around, working 3 sc in each of 4 corner sts`; four corners need a count to bear them out."""
        for cost, place, after in places(self.chart, here, end):
            match = self.chart.match(
                "(around|(to end row?))? ((SEP work?)+|work) remark? {n:num} {s:ANY} in ((centre|remark)* (st|ANY))? "
                "{each:(each|all)} ((num dash ANY dash?)|{k:num})? "
                "{c:(space|remark)}+ (st|space)? around?",
                after,
                end,
            )
            if match is None or place.to is None or place.place != "next":
                continue
            m = Match(self.chart, match)
            if not m.has("k") and "corner" not in m.token("c").value:
                continue
            count = m.num("k", FOUR)
            corner = replace(stitch, name=m.token("s").value, count=m.num("n"))
            every = replace(place, to=To("end", count, "", place.at))
            steps = (self._worked((stitch,), every), self._worked((corner,), replace(place, to=None, count=count)))
            doubts = () if m.has("k") else (Passed(m.token("each"), 3),)
            yield cost - 0.2, (Repeat(steps, None, stitch.at), *doubts), match.end()

    def each_of(self, stitch: Stitch, quantity: Quantity, here: int) -> Iterator[Offer]:
        """`2 sc around` (two in each), `sc twice in next st`: how many go into one place."""
        told = isinstance(quantity, To) and (quantity.place == "across" or quantity.which == "each")
        if isinstance(quantity, To) and told and not stitch.bare and stitch.count in ((2,), (3,)):
            yield -0.1, Into((stitch,), "next", NONE, quantity, stitch.at), here
        if isinstance(quantity, Times) and quantity.more is None and stitch.bare:
            several = replace(stitch, count=quantity.count, bare=False)
            yield from self.into((several,), here, len(self.chart.run), 0)

    def no_stitch(self, steps: Sequence[Step]) -> Token | None:
        """The first word of steps that cannot be worked into one place: no stitch, or more of it than anybody works."""
        for step in steps:
            body = one_by_one((step,))
            words = [token for token in self.chart.run if token.at >= step.at]
            if not body:
                return words[0]
            if sum(max(each.count) for each in body) > MOST_INTO_ONE:
                return next((token for token in words if token.kind == "num" and max(token.num) > 1), words[0])
        return None

    def _one_each(self, body: tuple[Stitch, ...], place: Into, here: int, after: int) -> bool:
        """Whether as many stitches go into as many, so that it may be one in each: `4 sc in next 4 sts`."""
        alike = len(body) == 1 and place.place == "next" and place.to is None and body[0].count == place.count
        return alike and min(place.count) > 1 and not {"each", "all"} & {*map(self.chart.kind, range(here, after))}

    def _worked(self, body: tuple[Stitch, ...], place: Into) -> Step:
        at = body[0].at
        only = body[0] if len(body) == 1 else None
        resolved = [self.resolved(each) for each in body]
        if only is not None and only.name == "inc" and not self.crochet and max(only.count) > 1 and place.to is None:
            return Stitch({2: "kfbf", 4: "inc 4"}.get(only.count[0], "kfb"), place.count, at)
        if len(resolved) == 1 and isinstance(resolved[0], Into):
            return replace(resolved[0], count=place.count, to=place.to)
        names = [each.name for each in body]
        if only is not None and only.name in ("sk", "psso", "p2sso") and place.to is None:
            return replace(only, count=place.count)
        if self.crochet and only is not None and names[0] in ONE_PLACE and place.count == ONE:
            return replace(place, body=body, at=at)  # `dc3tog in next st`: a cluster
        if len(body) == 1 and technique(names[0]).consumes > 1:
            taken = technique(names[0]).consumes
            if place.to is not None:
                return Repeat((replace(body[0], count=ONE),), place.to, at)
            return replace(
                body[0],
                count=tuple(max(1, each // taken) for each in place.count) if place.place in ("next", "base") else ONE,
            )
        if self.crochet or any(technique(name).craft == "crochet" for name in names):
            return replace(place, body=tuple(each for each in resolved if isinstance(each, Stitch)), at=at)
        if place.place in ("same", "next", "new") or place.to:
            count = place.count if place.place == "next" else ONE
            if only is not None and only.name in ("k", "p", "sl", "k1 tbl", "p1 tbl"):
                n = only.count if only.count != ONE else count
                stitch = replace(only, count=n, more=True)
            elif only is not None and only.name == "inc":
                stitch = Stitch("kfb", count, at)
            else:
                if not (name := names[0] if only else into_name(body)):
                    return replace(place, body=body, at=at)
                stitch = Stitch(name, count, at)
            return stitch if place.to is None else Repeat((replace(stitch, count=ONE),), place.to, at, kind="each")
        return replace(place, body=body, at=at)

    def resolved(self, stitch: Stitch) -> Step:
        """In crochet, a bare inc is two of the main stitch in one and a dec two of them together."""
        if self.search.chart.craft != "crochet":
            return stitch
        main = main_stitch(self.chart.run)
        if stitch.name == "inc":
            return Into((Stitch(main, (2,), stitch.at),), "next", stitch.count, None, stitch.at)
        if stitch.name == "dec":
            return replace(stitch, name=f"{main}2tog")
        return stitch


FOUR = (4,)
"""Corners of what is edged, where print does not say how many (common practice)."""
MOST_INTO_ONE = 100
"""More stitches than these are worked into no place."""


def one_by_one(steps: Sequence[Step]) -> tuple[Stitch, ...]:
    """The stitches of `(k1, [yo, k1] twice) in next st`, its repeats written out; () if something is no stitch."""
    found: list[Stitch] = []
    for step in steps:
        inner = one_by_one(step.body) if isinstance(step, Repeat) else ()
        if isinstance(step, Stitch):
            found.append(step)
        elif inner and isinstance(step, Repeat) and isinstance(step.quantity, Times) and len(step.quantity.count) == 1:
            found += inner * min(step.quantity.count[0], MOST_INTO_ONE + 1)
        else:
            return ()
    return tuple(found)


STEP_TYPES = (
    Stitch, Repeat, Into, Opposite, Mark, Turn, BindOff, CastOn, PickUp, CableNeedle, Hold, Return, Join, Colour,
    Even,
)  # fmt: skip
