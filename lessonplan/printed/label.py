"""The beginning of a printed line: its label ("Rounds 4-12:", "2nd and every alt row", "Shape crown:", none)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonplan.printed.heading import Label, Num
from lessonplan.printed.offers.until import FURTHER
from lessonplan.printed.piece import headed
from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import CHAR, Chart, Match, compiled
from lessonplan.printed.wholerow import so_many
from lessonplan.printed.words.numbers import SOME, only_for, roman
from lessonplan.printed.words.tokens import Token

MOST_ROWS = 10_000
"""No label counts so many rounds."""


class LabelError(ValueError):
    """A label that counts rounds in a way that nobody works, or one not understood; one sentence, a kind of problem."""

    kind = "misfit"


class SizesUnknownError(LabelError):
    """A label that names sizes which are not numbered."""

    kind = "unread"


_SIDE = (
    "(sep|dash)? open? (sep|dec|inc|remark)* {side:side} (row|sep|dec|inc|remark|num|even|odd)* "
    "((unknown|colour)+ (?=close))? close?"
)
_REMARK = "(open (remark|colour|dec|inc|num|row|even|odd|unknown|size|each|dash|sep|all)* close)?"
_GROUP = "(sep? num? times)|(star num)|around|rep|to|in|once|sep"
"""What stands behind a bracket that is worked."""
_BEHIND = "close (?=ANY|num|star|open|around|work)"
"""`Rnd 5)`."""
_CHANGES = f"(open (inc|dec|inced|deced|even) row? close (colon|stop|dash)* (?!{_GROUP}))"
_END = f"(colon|stop|dash|eq|sep)* ({_BEHIND})? {_CHANGES}?"
_ALSO = (
    "colon? (sep|open)+ (?!side) (all|each|next|rem)* {also:(odd|even|other|side|next|all|each)} (next|other|side"
    "|even|odd|remark)* row? (to (ord|num) row?)? close?"
)
_NUMBERS = "{first:num} {more:((sep|dash|to|slash|(stop (?=dash|to)))+ row? num)*}"
_SIZES = (
    "(for)? size {n:num ((sep|dash|to)+ num)*} size? (colon|sep|dash)",
    "(for)? {n:ord ((sep|dash|to)+ ord)*} size (colon|sep|dash)",
)
_CALLED = "(remark|unknown|pattern)? "
"""What the rows are called: `Mesh R1`."""
_NUMBERED = (
    f"{_CALLED}(remark (sep (?=row num))?)? {{row:row}} dash? {_NUMBERS} ({_SIDE})? ({_ALSO})?",
    f"{{first:ord}} {{more:((sep|to|dash) ord)*}} {{row:row}}? ({_SIDE})? ({_ALSO})? {{row2:row}}?",
    f"{_NUMBERS} {{row:row}} ({_SIDE})? (dash|slash)* (slash num row slash)?",
)

_COUNT = "(dash|colon|stop|eq)+ (have|total)* num (st|ANY|rem|remark|total|on|needle|hand)+ stop?$"
"""A count at the end of a line, before which no label stands."""

_NO_LABEL = frozenset({
    "ring", "needle", "around", "star", "rep", "to", "times", "turn", "bo", "co", "coshort", "pu", "pm", "sm", "length",
})  # fmt: skip
"""Kinds of words that do not stand in a label."""

_BEGINNING = STITCHES | {"star", "open", "work", "even", "bo"}
"""Kinds of words with which the steps of a row begin."""
_ORDERS = frozenset({"in", "st", "even", "pattern", "evenly", "at"})
"""Kinds of words by which a sentence is an order, and names no row."""
_NO_HEADING = STITCHES | {"st", "holder", "put", "return"}
"""Kinds of words that do not stand before a dash in a heading."""


class Labels:
    """Finds the label at the beginning of a line."""

    def __init__(self, chart: Chart, text: str) -> None:
        self.chart = chart
        self.text = text
        self.end = len(chart.run)

    def split(self) -> tuple[Label, int]:
        """The label, and the token after it; labels one behind the other are taken together."""
        from_to = self.chart.match("from row num to row num", 0, self.end) is not None  # `From Round 5 to Round 10.`
        label, here = Label(), int(from_to)
        for _ in range(4):
            found = self._one(here, label)
            if found is None:
                break
            label, here = found
            if (sized := self.chart.match("(sep|dash|open)? (for|remark)* (?=size)", here, self.end)) is not None:
                here = sized.end()  # `Next rnd, size 4 only: ...`
            elif self.chart.kind(here - 1) not in ("colon", "dash", "stop", "close"):
                break
        if not label.only and (only := only_for(self.text)):
            label = replace(label, only=only)
        if not label.only and SOME.search(self.text):
            raise SizesUnknownError("which of the sizes are meant cannot be told from their names")
        return so_many(label, self.text), here

    def _one(self, here: int, label: Label) -> tuple[Label, int] | None:
        if (after := headed(self.chart, self.text, here)) > here:
            return label, after
        for find in (self._sizes, self._numbered, self._next, self._side, self._named, self._apart):
            if (found := find(here, label)) is not None:
                return found
        return None

    def _sizes(self, here: int, label: Label) -> tuple[Label, int] | None:
        names = "(unknown|remark|open|close|sep|dash|slash|colour|all|size)*"
        heading = self.chart.match(f"size {names} (stop|colon)", here, self.end)
        only = heading is not None and " only" in self.text[: self.chart.run[heading.end() - 1].at].lower()
        if self.chart.craft == "crochet" and heading is not None:
            if only:
                raise SizesUnknownError("which of the sizes are meant cannot be told from their names")
            return label, heading.end()  # `Sizes Small (Medium, Large).` only names them
        match = self.chart.match(_SIZES[0], here, self.end) or self.chart.match(_SIZES[1], here, self.end)
        if (
            match is None
            or " only" not in self.text[self.chart.run[here].at : self.chart.run[match.end() - 1].at].lower()
        ):
            return None
        return replace(label, only=self._listed(match.start("n"), match.end("n"))), match.end()

    def _numbered(self, here: int, label: Label) -> tuple[Label, int] | None:
        chart = self.chart
        if chart.match("row num ((sep|dash|to) row? num)? remark* rep (more|num|once|to)", here, self.end) is not None:
            return None  # `Rounds 2 and 3 are repeated 14 times.`
        for pattern in _NUMBERED:
            if chart.craft == "crochet":
                pattern = pattern.replace("dash|to|stop|slash", "dash|to|slash")  # `Rnd 2. 2 dc in each st`
                pattern = pattern.replace(_CALLED, "")
            match = chart.match(f"{pattern} {_REMARK} (all|work|dec row|inc row|remark row)? {_REMARK}", here, self.end)
            if match is None or label.numbers or "needle" in (chart.kind(match.end()), chart.kind(match.end("first"))):
                continue  # `1st needle: ...`
            m = Match(chart, match)
            end = chart.match(_END, match.end(), self.end)
            after = end.end() if end is not None else match.end()
            if pattern is _NUMBERED[2] and self.chart.kind(here + 1) == "row" and after == match.end():
                continue  # `2 rows knit` is no label
            if self._no_range(m):
                return self._single(m, label)
            numbers = self._listed(match.start("first"), match.end("more"))
            also = self._also(m, numbers)
            side = m.token("side").value if m.has("side") else ""
            word = self.text[m.token("row").at :][:1] if m.has("row") else ""
            kind = "round" if m.has("row") and m.token("row").value == "round" else "row"
            if side and word.lower() == "r" and self.text[m.token("row").at :][1:2].isdecimal():
                kind = "row"  # "R1 (WS)" is a row, "R1" mostly a round
            return replace(
                label,
                kind=kind,
                first=numbers[0],
                last=numbers[-1],
                numbers=numbers,
                also=also,
                side=side or label.side,
                upto=self._upto(match.start("more"), match.end("more")),
            ), after
        match = chart.match(
            "{first:num} {more:(stop? dash num)?} (close|stop|colon) {rest:(dash)? (num (stop|close|colon)+)?} "
            "(open num row close)?",
            here,
            self.end,
        )
        number, ends = roman(self.text) if here == 0 else (0, 0)
        if number and (after := sum(token.at < ends for token in chart.run)) < self.end:
            return replace(label, kind="round", first=number, last=number, numbers=(number,)), after
        if match is not None and not label.numbers and match.end() < self.end and here == 0:
            numbers = self._listed(here, match.end("rest"))
            if len(numbers) == 1 or chart.run[match.start("rest")].kind == "dash" or match["more"]:
                return replace(label, kind="round", first=numbers[0], last=numbers[-1], numbers=numbers), match.end()
        return None

    def _upto(self, start: int, stop: int) -> Num:
        """`Rows 3-8 (9, 9, 10)`: the last row in each size."""
        last = self.chart.run[stop - 1] if stop - start == 2 else None
        told = last is not None and len(last.num) > 1 and self.chart.kind(start) in ("dash", "to")
        return last.num if told and last is not None else ()

    def _no_range(self, m: Match) -> bool:
        """Whether a dash stands before the first stitches of one row: `Row 4 - 2 sc in next st`."""
        chart, start, end = self.chart, m.match.start("more"), m.match.end("more")
        if end - start == 4 and not chart.run[end - 2].tight and chart.kind(end - 2) == "dash":
            return chart.kind(end) in STITCHES  # `Rounds 5-10 - 1 dc in each st`
        stopped = chart.kind(start) == "stop"  # `Row 1.—1 d.c. in each ch.`
        start += int(stopped)
        if end - start != 2 or chart.kind(start) != "dash" or not m.has("row"):
            return False
        if chart.run[start].tight and self.text[chart.run[start].at] == "-" and not stopped:
            return False
        word = m.token("row")
        several = self.text[word.at : word.end].lower().rstrip(".").endswith("s")
        falls = chart.run[end - 1].num[0] <= m.token("first").num[0]
        two = chart.run[end - 1].num == (2,)  # so many go into each, rather than so many rounds
        all_ = not two and chart.match("ANY ((in each)|around|to)", end, self.end) is not None
        return not several and (chart.kind(end) in STITCHES or chart.kind(end) == "st") and (falls or not all_)

    def _single(self, m: Match, label: Label) -> tuple[Label, int]:
        numbers = self._listed(m.match.start("first"), m.match.end("more") - 2)
        kind = m.token("row").value
        return replace(label, kind=kind, first=numbers[0], last=numbers[-1], numbers=numbers), m.match.end("more") - 1

    def _also(self, m: Match, numbers: tuple[int, ...]) -> str:
        if not m.has("also"):
            return ""
        words = [m.chart.run[place] for place in range(m.match.start("also"), m.match.end())]
        for token in words:
            if token.kind == "side":
                return token.value.lower()
        spelt = self.text[words[0].at : words[-1].end].lower()
        for parity in ("even", "odd"):
            if parity in spelt:
                return parity
        return "even" if numbers and numbers[0] % 2 == 0 else "odd"

    def _next(self, here: int, label: Label) -> tuple[Label, int] | None:
        chart = self.chart
        match = chart.match(
            f"(on|for)? next {{n:num}}? {{row:row}} ({_SIDE})? {_REMARK} {{end:(colon|stop|dash|eq|sep)+ {_CHANGES}?}}",
            here,
            self.end,
        )
        match = match or chart.match(f"(on|for)? next {{n:num}}? {{row:row}} {_SIDE} {{end:{_END}}}", here, self.end)
        match = match or chart.match(
            f"next row? sep (all|each) next? (other|side|ord) {{row:row}} {{end:{_END}}}", here, self.end
        )
        if match is None:
            return None
        last = chart.run[match.end() - 1]
        if last.kind == "sep" and (self.text[last.at] not in ",;" or chart.match(FURTHER, match.end() - 1, self.end)):
            return None  # `On next row, then on foll 6 alt rows dec 1 st at each end`
        m = Match(chart, match)
        side = m.token("side").value if m.has("side") else ""
        return replace(
            label, kind=m.token("row").value, side=side, count=m.num("n") if m.has("n") else (1,)
        ), match.end()

    def _side(self, here: int, label: Label) -> tuple[Label, int] | None:
        match = self.chart.match("open? {side:side} row? close? {end:(colon|stop|dash|sep)*}", here, self.end)
        if match is None:
            return None
        return replace(label, side=Match(self.chart, match).token("side").value), match.end()

    def _named(self, here: int, label: Label) -> tuple[Label, int] | None:
        """Words before a colon or a dash: `Increase row -`, `Shape crown:`, `All WS rows:`."""
        chart = self.chart
        place, opened = here, 0
        row: Token | None = None
        numbered = chart.match("remark* (dec|inc) num colon", here, self.end) is not None  # `Yoke dec 2: ...`
        while place < self.end and place - here < 14:
            kind = chart.kind(place)
            if (kind == "as" and (label.numbers or place == here)) or chart.run[here].value == "see":
                return None  # `Rows 3 and 4: as row 2.`
            opened += (kind == "open") - (kind == "close")
            if kind == "row" and row is None:
                row = chart.run[place]
            within = chart.kind(place + 1) in ("num", "row") or (row is not None and chart.run[place].tight)
            if kind == "dash" and chart.kind(place - 1) == "num" and within:
                return None  # `each row having one more 3-dc group`
            if kind == "stop" and chart.match("(work|knit|even|pattern) num row", here, self.end):
                return None  # `Work 28 rows in st st. Next row: K14, ...`
            if kind in ("dash", "colon", "stop") and row is not None and chart.match(_COUNT, place, self.end):
                return None  # `Work 5 rows without shaping. - 68 sts.`
            if (
                kind == "colon"
                or (kind == "dash" and row is not None and place > here and not opened)
                or (kind == "stop" and self._ends_label(place))
                or (kind == "dash" and (not chart.run[place].tight or self._capitals(here, place)))
            ):
                break
            if kind == "times" and chart.kind(place - 1) == "ord":
                place += 1
                continue  # `Decrease, 1st time:`
            named = kind in _NO_LABEL and chart.match(f"row ({_SIDE})? {_REMARK} (colon|dash)", place + 1, self.end)
            short = place == here + 1 and chart.match(f"(dec|inc) stop row num? {_END}", here, self.end)
            if named is None or (kind == "stop" and row is None and not short):
                return None
            if kind in STITCHES and place == here and chart.match("ANY row (colon|dash|stop)", place, self.end):
                place += 1
                continue  # `Bobble row:`
            foundation = chart.run[place].value == "ch" and chart.kind(place + 1) == "colon" and place > here
            if kind in STITCHES and not (foundation or opened or chart.run[place].value in ("dec", "inc", "k", "p")):
                return None
            if kind == "num" and chart.kind(place - 1) in STITCHES and not opened and not numbered:
                return None
            place += 1
        else:
            return None
        words = chart.run[here:place]
        kinds = [*map(chart.kind, range(here, place))]
        if chart.kind(place) == "stop" and (_ORDERS & {*kinds[1:]} or kinds[-3:] == ["work", "num", "row"]):
            return None  # `Increase in each st on next row.`, `Work 3 rows. Cast off.`
        if not words or opened or (row is None and not numbered and self._is_no_heading(here, place)):
            return None
        if place >= self.end - 1 or (words[0].kind in STITCHES and words[0].value in ("k", "p")):
            return None
        after = place
        while chart.kind(after) in ("colon", "dash", "stop", "sep"):
            after += 1
        return self._from_words(words, row, label), after

    def _apart(self, here: int, label: Label) -> tuple[Label, int] | None:
        """The name of a row that only a capital tells from its steps: `Dec row (RS) K2, ssk ...`."""
        if here or label.numbers or CHAR["row"] not in self.chart.present:
            return None
        pattern = f"((dec|inc|deced|inced|remark)+|(next num?)) {{row:row}} num? ({_SIDE})? {_REMARK}"
        match = self.chart.match(pattern, here, self.end)
        if match is None or match.end() >= self.end:
            return None
        first = self.text[self.chart.run[match.end()].at]
        capital = first.isupper() or first in "*([" or self.text.islower() or self.chart.run[0].value in ("dec", "inc")
        if not capital or self.chart.kind(match.end()) not in _BEGINNING:
            return None
        words = self.chart.run[: match.end()]
        row = Match(self.chart, match).token("row")
        if words[0].kind == "next":
            side = next((token.value for token in words if token.kind == "side"), label.side)
            count = words[1].num if words[1].kind == "num" else label.count
            return replace(label, kind=row.value, side=side, count=count), match.end()
        return self._from_words(words, row, label), match.end()

    def _is_no_heading(self, here: int, place: int) -> bool:
        """Whether words that name no row are none before a colon or a dash either."""
        chart = self.chart
        kinds = {chart.kind(each) for each in range(here, place) if not self._speaks_of(each)}
        if chart.kind(here) == "in" or (chart.kind(here) == "open" and STITCHES & kinds):
            return True
        told = "(work|remark)* ((on (next|last|remark|ord|sets|rem)* num (remark|hand)* st)|((each|both) (edge|sets)))"
        if chart.match(told, here, place):
            return True  # `Work on last set of 27 sts for left front: P 1 row.`
        return chart.kind(place) == "dash" and (chart.kind(place + 1) == "num" or bool(kinds & {*_NO_HEADING}))

    def _speaks_of(self, place: int) -> bool:
        """Whether a shaping is only spoken of: `Begin decreasing - K1, k2tog`, `Decrease for toe - (K 4, k 2 tog)`."""
        token = self.chart.run[place]
        ing = self.text[token.at : token.end].lower().endswith("ing")
        return token.value in ("dec", "inc") and (ing or self.chart.kind(place + 1) == "for")

    def _capitals(self, here: int, place: int) -> bool:
        """Whether a heading in capitals stands before a dash: `THUMB-Knit 8`."""
        words = self.text[self.chart.run[here].at : self.chart.run[place].at]
        return words.isupper() and len(words) > 4 and not any(sign.isdecimal() for sign in words)

    def _ends_label(self, place: int) -> bool:
        """Whether a full stop stands behind a row, its number or its side: `Dec. row.`, `Inc row (WS).`"""
        return compiled("row num? (open? side close?)?$").search(self.chart.kinds, 0, place) is not None

    def _from_words(self, words: Sequence[Token], row: Token | None, label: Label) -> Label:
        if row is None:
            side = next((token.value for token in words if token.kind == "side"), label.side)
            return replace(label, side=side)
        name = self.text[words[0].at : row.at].strip(" .([").lower()
        side = next((token.value for token in words if token.kind == "side"), label.side)
        numbers = tuple(token.num[0] for token in words if token.kind == "num" and token.at > row.at)[:1]
        also = ""
        if words[0].kind in ("all", "each"):
            also = next((token.value.lower() for token in words if token.kind == "side"), "")
            also = also or next(
                (each for each in ("even", "odd") if each in self.text[words[0].at : words[-1].end].lower()), ""
            )
            name, side = ("", "") if also else (name, side)
        first = numbers[0] if numbers else 0
        return replace(label, kind=row.value, name=name, side=side, numbers=numbers, first=first, last=first, also=also)

    def _listed(self, start: int, stop: int) -> tuple[int, ...]:
        """`1, 3 and 5`, `4-12`: every number meant."""
        found: list[int] = []
        through = False
        for place in range(start, stop):
            token = self.chart.run[place]
            if token.kind in ("num", "ord"):
                n = token.num[0]
                if through and found:
                    if not 0 < n - found[-1] < MOST_ROWS:
                        raise LabelError(f"counts rounds from {found[-1]} to {n}, which nobody works")
                    found += range(found[-1] + 1, n + 1)
                else:
                    found.append(n)
                through = False
            elif token.kind in ("dash", "to"):
                through = True
        return tuple(found) or (0,)
