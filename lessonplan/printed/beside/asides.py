"""What a line says beside the work: sentences, clauses and lines without an order to the hands, passed over whole.

A stretch is known for such an aside by what it lacks: no stitch, no number of stitches, rows or times, no place to work
to. So words that nobody foresaw may stand in it. One that says *how* a row is worked (`, knitting the legs of each
double stitch together`) is an aside where the row before it has come to its end.
"""

from __future__ import annotations

from lessonplan.craft.techniques import technique
from lessonplan.printed.beside.garments import changes_no_count, shared_out
from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import CHAR, Chart

_DONE = STITCHES | {"bo", "co", "coshort", "pu", "rep", "wt", "draw", "graft", "bind3", "inced", "deced", "picot", "cn"}
"""Kinds of words that are work."""
_ORDERS = _DONE | {"num", "work", "as", "same", "turn", "holder", "even", "pattern"}
_NO_ASIDE = (_ORDERS - {"num"}) | {"rem", "have", "put", "in", "to"}
"""What a sentence that begins with a word such as `fasten off` does not speak of."""
_SENTENCE = _DONE | {
    "put", "return", "held", "times", "once", "even", "pattern", "chart", "manner", "same", "as", "work",
    "turn", "join", "pm", "sm", "rm", "rmall", "star", "alike", "fewer", "more", "together", "below", "pass",
    "drop", "meanwhile", "have", "rem", "total", "over", "measures", "length",
}  # fmt: skip
"""Kinds of words that no sentence has that is an aside."""
_CLAUSE = _SENTENCE | {
    "num", "to", "last", "in", "ending", "lastrep", "omit", "wraps", "winding", "unworked", "slipjoin",
    "colour", "row", "around", "next", "rem",
}  # fmt: skip
"""Kinds of words that no clause of a sentence has that is an aside."""
_SMALL = frozenset({"to", "as", "in", "next", "same", "over", "more", "between"})
"""Kinds of small words that say nothing of the work before a noun: `to avoid a hole`, `as you come to them`."""
_SUBJECTS = frozenset({
    "this", "these", "that", "that's", "thats", "those", "you", "you'll", "you're", "it", "it's", "there",
    "there's", "we", "i", "they", "note", "remember", "which", "the", "your", "i.e", "ie", "e.g", "eg", "here",
})  # fmt: skip
"""Words with which a sentence begins that tells something, and orders nothing."""
_SHARED = frozenset({
    "num", "st", "on", "at", "in", "for", "each", "both", "needle", "remark", "hand", "between", "marker",
    "sets", "edge", "unknown", "size", "slash", "dash",
})  # fmt: skip
"""Kinds of words that tell how stitches are shared out: `24 on each of three needles`."""
_COUNTABLE = frozenset(
    {"st", "row", "times", "more", "rem", "fewer", "needle", "open", "close", "marker", "last", "total", "stop", ""}
)
_MADE_THERE = frozenset(
    {"bo", "co", "coshort", "pu", "rep", "inced", "deced", "draw", "graft", "bind3", "put", "return"}
)
_HOW = frozenset({
    "knitting", "purling", "working", "slipping", "crossing", "twisting", "keeping", "making", "bringing",
    "moving", "holding", "carrying", "taking", "using", "leaving", "letting", "catching", "pulling", "changing",
    "alternating", "beginning", "starting", "lifting", "closing", "treating", "hiding", "resolving",
})  # fmt: skip
"""Words with which it begins how a row is worked."""


_WORKED_SOMEHOW = _DONE | {"num", "star", "times", "once", "turn", "row"}
_WORKED_SO = {"pattern", "even", "chart", "length", "measures"}
_CHANGING = ("changing", "alternating", "carrying", "switching", "swapping")
_WORDS = frozenset(CHAR[kind] for kind in ("remark", "unknown", "seam", "holder", "needle", "join", "pm"))
"""Without any of these a line tells nothing beside the work."""


class Asides:
    """The asides of a line: `after` gives where the one that begins at a token ends."""

    def __init__(self, chart: Chart, start: int, text: str) -> None:
        self.chart = chart
        self.start = start
        self.text = text
        self.ends: dict[int, int] = {}
        self._inside: set[int] = set()
        self.shared = False
        """Whether a sentence tells how stitches lie on needles, so that its numbers are no counts."""
        place, end = start, len(chart.run)
        told = "ing" in text.lower() or not (_WORDS | {CHAR["bo"]}).isdisjoint(chart.present)
        while told and place < end:
            after = self._found(place, end) if self._begins(place) else place
            if after > place:
                self.ends[place] = after
                self._inside |= {*range(place, after)}
            place = max(after, place + 1)
        ended = text.rstrip().endswith((".", "!"))  # a heading has no full stop
        self.whole = ended and all(
            place in self._inside or chart.kind(place) in ("stop", "sep") for place in range(start, end)
        )

    def after(self, here: int) -> int:
        """The token after the aside that begins at a token, or the token itself."""
        return self.ends.get(here, here)

    def holds(self, place: int) -> bool:
        """Whether a token stands in an aside."""
        return place in self._inside

    def _begins(self, place: int) -> bool:
        """Whether a sentence or a clause begins at a token."""
        before = self.chart.kind(place - 1)
        dash = before == "dash" and not self.chart.run[place - 1].tight
        return dash or before in ("", "stop", "colon", "sep", "open", "close")

    def _found(self, here: int, end: int) -> int:
        """Where the aside that begins at a token ends; the token itself if none does."""
        chart, before = self.chart, self.chart.kind(here - 1)
        if before == "close" and chart.kind(here) == "unknown":
            return here  # what stands behind a bracket may tell how often, or where, it is worked
        stop = self._to("stop", here, end)
        if before in ("", "stop", "colon"):
            if chart.run[here].value == "prose" and not {*map(chart.kind, range(here, stop))} & _NO_ASIDE:
                return stop
            if self._no_order(here, stop, _SENTENCE) or self._marks(here, stop):
                return stop
        if chart.kind(here) == "work" and before in ("", "stop", "colon"):
            sides = chart.match(
                "work (on|in|at)* (each|both) (edge|side|sets)+ (remark|unknown|meanwhile|at|sep)*", here, stop
            )
            if sides is not None and sides.end() == stop:
                return stop  # `Work each side of neck separately.`
        if before in ("sep", "") and (after := self._by_turns(here, stop)) > here:
            return after
        if (after := self._borders(here, stop)) > here:
            return after
        clause = self._to("sep", here, end)
        if self._stated(here, stop):
            return stop
        if before != "" and (self._stated(here, clause) or self._shared(here, clause)):
            return clause
        kinds = {*map(chart.kind, range(here, clause))}
        prose = chart.run[here].value == "prose" and before == "sep"
        if prose and not kinds & _NO_ASIDE and ("num" not in kinds or self._led(here)):
            return clause
        known = chart.kind(here) != "unknown" or clause - here > 2
        if before in ("sep", "colon", "dash", "close") and known and self._no_order(here, clause, _CLAUSE):
            return clause
        told = before in ("", "stop") and any(self.chart.run[place].value == "prose" for place in range(here, stop))
        said = {*map(self.chart.kind, range(here, stop))}
        rows = "work" in said - {chart.kind(here)} and chart.kind(here) != "before" and said & _WORKED_SO
        waits = {"put", "holder", "st"} <= said  # `Break yarn and leave sts on a spare needle`
        if (
            told and not rows and not waits and not said & _WORKED_SOMEHOW
        ):  # none is `Change to 4 mm needles and work in rib`
            return stop  # `Before continuing, stuff the head.`
        if before in ("", "stop", "colon") and shared_out(chart, self.text, here, stop):
            self.shared = True
            return stop
        if changes_no_count(chart, self.text, here, clause):
            return clause
        if before == "sep" and self._manner(here, clause):
            return clause
        if self._idle(here, stop) or (before == "sep" and self._idle(here, clause)):
            return stop if self._idle(here, stop) else clause
        if before in ("", "stop") and self._when(here, clause):
            return clause
        return self._purpose(here, clause)

    def _led(self, here: int) -> bool:
        """Whether only such words stand before it in its sentence as `At this point,`."""
        lead = here - 1
        while lead >= self.start and self.chart.kind(lead) in ("sep", "remark"):
            lead -= 1
        return self.chart.kind(lead) in ("stop", "colon", "")

    def _when(self, here: int, clause: int) -> bool:
        """Whether a clause tells from when on: `When A.1 has been worked 1 time in height,`."""
        words = (
            self.text[self.chart.run[here].at : self.chart.run[clause - 1].end].lower().split() if clause > here else []
        )
        kinds = {self.chart.kind(place) for place in range(here, clause)}
        done = {"worked", "finished", "complete", "completed", "done"} & {*words}
        if not words:
            return False
        if words[0] == "before" and not kinds & (_DONE | {"num", "st", "each", "all", "star", "marker"}):
            return True  # `Before beginning the crown,`
        if words[0] == "after" and "row" in kinds and not kinds & {"num", "each", "all", "next", "other", "inc", "dec"}:
            return True  # `After the last rib row,`
        return (
            bool(done) and words[0] in ("when", "once", "after") and not kinds & (_DONE | {"st", "rem", "to", "star"})
        )

    def _borders(self, here: int, stop: int) -> int:
        """Where it ends what the stitches at the edges are kept in: `, working 3 sts at each edge in garter st`."""
        place = "(at|on) each (edge|end|side)"
        fabric = "in? (pattern|(even remark*)|(in remark+))"
        rest = "(sep (remark|other)* rem st (pattern|even|chart|in|as|remark)+)?"
        edges = f"(work|remark) num st (({place} {fabric})|({fabric} {place})) around? {rest}"
        match = self.chart.match(edges, here, stop)
        others = {*range(self.start, stop)} - {*range(here, match.end())} if match else set[int]()
        told = {"work", "even", "pattern"} & {*map(self.chart.kind, others)}
        return match.end() if match and told else here

    def _by_turns(self, here: int, stop: int) -> int:
        """Where it ends that yarns are changed: `, alternating A and B every 2 rows`; or `here`."""
        first = self.text[self.chart.run[here].at : self.chart.run[here].end].lower()
        match = self.chart.match(
            "remark (colour|remark|unknown|sep)* (colour|remark|unknown) ((each|all)? (num|ord|other)? row)? "
            "(?=sep|stop|$)",
            here,
            stop + 1,
        )
        yarn = "(colour|remark|unknown)?"
        which = f"(each|next)? {yarn}" if first in _CHANGING else f"(((each|next) {yarn})|colour)"
        match = match or self.chart.match(
            f"(remark|work) num row (on|in|remark)* {which} (sep num row (on|in|remark)* {yarn})*",
            here,
            stop + 1,
        )
        begun = () if self.chart.kind(here - 1) == "" else ("working", "work")
        return here if match is None or first not in (*_CHANGING, *begun) else match.end()

    def _idle(self, here: int, stop: int) -> bool:
        """Whether it tells of yarns changed or stitches marked: `, changing colour every 4 rows or when you like`."""
        words = self.text[self.chart.run[here].at : self.chart.run[stop - 1].end].lower().split()
        kinds = {self.chart.kind(place) for place in range(here, stop)}
        if not words:
            return False
        if words[0] in _CHANGING and len(words) > 1 and words[1].startswith(("colo", "yarn", "shade", "ball")):
            return not kinds & (_DONE | {"to", "star", "turn", "work", "in"})
        begins = self.chart.kind(here - 1) in ("stop", "sep", "")
        return (
            words[0] in ("mark", "marking") and begins and not kinds & {"rep", "times", "turn", "work", "sep", "star"}
        )

    def _marks(self, here: int, stop: int) -> bool:
        """Whether markers are put in, which changes no stitch: `insert 6 marker threads, with 18 sts between`."""
        kinds = {self.chart.kind(place) for place in range(here, stop)}
        put = self.chart.kind(here) in ("put", "pm") or self.chart.run[here].value == "prose"
        return put and "marker" in kinds and bool(kinds & {"num", "between"}) and not kinds & (_DONE | {"to", "holder"})

    def _stated(self, here: int, stop: int) -> bool:
        """Whether a sentence or a clause only states something: `these are the top of the foot`."""
        run = self.chart.run
        start = run[here - 1].end if here else 0
        words = [
            word.strip('.,;:-–—()*"') for word in self.text[start : run[stop - 1].end].lower().replace("’", "'").split()
        ]
        words = [word for word in words if word]
        subject = words[:1] and (
            words[0] in _SUBJECTS or words[:2] in (["from", "here"], ["from", "now"], ["by", "now"])
        )
        if len(words) < 3 or not subject:
            return False
        named = [
            place
            for place in range(here, stop)
            if run[place].value in ("dec", "inc") and self.chart.kind(place + 1) == "row"
        ]
        kinds = {self.chart.kind(place) for place in range(here, stop) if place not in named}
        if {"are", "is", "were"} & {*words} and "num" not in kinds:
            kinds -= {"inced", "deced"}  # `the new increases are made beside those already worked`
        counted = "num" in kinds and kinds & {"have", "rem", "total", "eq"} and not self._of_a_part(here, stop)
        return not counted and not kinds & (
            _DONE | {"put", "return", "times", "once", "fewer", "alike", "manner", "held"}
        )

    def _of_a_part(self, here: int, stop: int) -> bool:
        """Whether a count is only that of a part: `you should have 56 stitches on the sole half`."""
        found = self.chart.match(
            "(have|remark|rem|total)* num (remark|hand)* st (on|in|between) (remark|unknown|marker|hand|each)",
            here,
            stop,
        )
        return found is not None and "needle" not in map(self.chart.kind, range(here, stop))

    def _shared(self, here: int, stop: int) -> bool:
        """Whether a clause tells how the stitches are shared out: `24 on each of three needles`, `12 each`."""
        kinds = [self.chart.kind(place) for place in range(here, stop)]
        told = {"each", "both"} & {*kinds} or kinds[-1:] == ["needle"]
        return len(kinds) > 1 and kinds[0] == "num" and bool(told) and {*kinds} <= _SHARED and "needle" in kinds

    def _manner(self, here: int, clause: int) -> bool:
        """Whether a clause tells how the row is worked that has come to its end: `, knitting each st with its wrap`."""
        chart = self.chart
        word = self.text[chart.run[here].at : chart.run[here].end].lower().split(" ")[0]
        if word not in _HOW and not (word.endswith("ing") and chart.kind(here) == "unknown"):
            return False
        if chart.craft == "crochet" and chart.match("work open stitch .* close in", here, clause) is not None:
            return False  # `, working (dc, ch 2, dc) in each ch-2 sp`
        first = here - 1
        while first > self.start and chart.kind(first - 1) not in ("stop", "colon", ""):
            first -= 1
        row = [chart.kind(place) for place in range(first, here - 1)]
        ended = {"to", "around", "all", "even", "pattern"} & {*row} or (
            len(row) == 1 and chart.run[first].value in ("k", "p")
        )
        rest = {chart.kind(place) for place in range(here + 1, self._bracketed(here, clause))}
        made = (
            technique(each.value) for each in chart.run[here:clause] if each.kind == "stitch" and each.value != "yo"
        )
        shaped = any(each.consumes != each.produces for each in made)  # `, working k2tog at each marker`
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
        marks = chart.kind(here) == "remark" and not {"holder", "marker"}.isdisjoint(map(chart.kind, range(here, stop)))
        for place in range(here, stop):
            kind, after = chart.kind(place), chart.kind(place + 1)
            free = (
                place > here and kind in _SMALL and after in ("remark", "unknown", "seam", "hand", "holder", "centre")
            )
            free = free or (kind == "last" and after != "num")
            sewn = kind == "join" and after in ("both", "remark", "unknown", "seam", "edge", "centre")
            if free or sewn:
                continue
            if kind in orders or (kind == "num" and after in _COUNTABLE) or (kind == "num" and after in STITCHES):
                return False
            if kind in ("each", "both") and not marks and after in ("end", "edge", "side", "marker"):
                return False
            if kind == "unknown" and not english(chart.run[place].value, 2 if stop - here > 4 else 3):
                return False
            if kind in ("each", "all") and after in ("st", "row"):
                return False
            words += kind in ("remark", "seam", "holder") or (kind == "unknown" and stop - here > 1)
        return words > 0


def english(word: str, short: int = 3) -> bool:
    """Whether an unknown word, longer than `short`, may be one of plain English, and no slip of a stitch."""
    return len(word) > short and word.isalpha() and not set(word).isdisjoint("aeiouy")


def beside(chart: Chart, start: int) -> bool:
    """Whether a line only tells what is done beside the needles: `Fasten off, leaving a long tail`."""
    begins = start < len(chart.run) and chart.run[start].value == "prose"
    return begins and not any(chart.kind(place) in _ORDERS for place in range(start, len(chart.run)))


def all_aside(chart: Chart, start: int) -> bool:
    """Whether a line has numbers, but of nothing that is worked: `Insert eyes between rounds 8 and 9, 6 sts apart.`"""
    words = [chart.kind(place) for place in range(start, len(chart.run))]
    single = "stop" not in words[:-1] and "num" in words
    return single and chart.run[start].value == "prose" and not _NO_ASIDE & {*words}


_SEWN = frozenset({"fold", "sew", "whipstitch", "whip", "block", "press", "weave", "seam"})
"""Words with which a sentence of finishing begins."""
_WORKS = frozenset(
    {
        *("num", "star", "rep", "row", "times", "once", "even", "work", "bo", "co", "coshort", "pu", "around"),
        *("graft", "bind3", "draw"),
    }
)
"""Kinds of words by which it is more than that."""


def finishes(chart: Chart, start: int, text: str) -> bool:
    """Whether a line only tells of sewing up: `Fold in half and sl st the short ends together.`"""
    words = {chart.kind(place) for place in range(start, len(chart.run))}
    begins = text[chart.run[start].at : chart.run[start].end].lower().split()[:1] if start < len(chart.run) else []
    sewn = "together" in words or not words & STITCHES
    return bool(begins) and begins[0] in _SEWN and sewn and not words & _WORKS
