"""Printed instruction lines read: text in, every reading out (the cheapest first), cached for each line.

`parse_line` cuts the print into tokens (`tokens`), takes off the label (`label`), and searches for the cheapest ways to
read the rest as steps (`steps`) and clauses about rows (`rows`); `search` tells how.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache, lru_cache
from typing import Any

from lessonplan.craft.techniques import CRAFTS, spellings
from lessonplan.printed.label import Labels
from lessonplan.printed.rows import RepeatAll
from lessonplan.printed.rows import Rows as RowOffers
from lessonplan.printed.search import Chart, Found, Offer, Passed, Search, char_kind
from lessonplan.printed.steps import NONE, ONE, STITCHES, AtNeedle, Counted, RowCount, Steps
from lessonplan.printed.tokens import SizesError, tokens
from lessonplan.printed.tree import (
    Again,
    Colour,
    Doubt,
    Even,
    Join,
    Label,
    Line,
    Mark,
    Num,
    Part,
    Repeat,
    Rows,
    Shape,
    Step,
    Stitch,
    Times,
    To,
)

MAX_LENGTH = 4000
"""Longest line read, in characters; a longer one is not an instruction line but a slip."""
MAX_TOKENS = 900
_CROCHET = re.compile(
    r"\b(?:fp|bp)?\d*(hdc|sc|dc|dtr|tr|ch)(?:\d+tog|s)?\b|\b(single|double|half|treble)[ -](?:double )?crochet|\bchain\b"
    r"|\bmagic ring\b|\bsc[в]",
    re.IGNORECASE,
)


class NotationError(Exception):
    """A line that cannot be read: one sentence and a 1-based column in the text as written.

    `kind` is "unread", or "misfit" where the print itself is at fault.
    """

    def __init__(self, sentence: str, column: int, kind: str = "unread") -> None:
        super().__init__(f"column {column}: {sentence}")
        self.sentence = sentence
        self.column = column
        self.kind = kind


@lru_cache(maxsize=4096)
def parse_line(text: str, sizes: int = 1, colours: frozenset[str] = frozenset(), crochet: str = "") -> Line:
    """The cheapest reading of one printed line, for a pattern of `sizes` sizes, with its `others`.

    `colours` are names of yarns; `crochet` is the main stitch (sc, dc ...) of a crochet pattern, for lines such as "inc
    around" that name none. Raises `NotationError` where nothing can be made of the print, or where a list such as
    `48 (52, 56)` has not one number for each size.
    """
    if len(text) > MAX_LENGTH:
        raise NotationError(f"an instruction line longer than {MAX_LENGTH} characters is not read", 1)
    if not text.strip():
        raise NotationError("there is nothing to work in an empty line", 1)
    craft = "crochet" if crochet_stitch(text) or crochet else "knitting"
    try:
        run = tokens(text, sizes, colours, craft)
    except SizesError as error:
        raise NotationError(_sizes_sentence(error.given, sizes), error.at + 1) from None
    if len(run) > MAX_TOKENS:
        raise NotationError(f"an instruction line of more than {MAX_TOKENS} words is not read", 1)
    chart = Chart(run, craft)
    if (stray := _stray_asterisk(chart)) is not None and stray[1]:
        raise NotationError("says to repeat from an asterisk, but no asterisk stands before it", stray[0] + 1, "misfit")
    label, start = Labels(chart, text).split()
    if block := _block_begun(chart, start):
        label, start = replace(label, star="*" * block), start + block
    found = _readings(chart, start)
    base = Line(text, sizes, label, (), crochet=craft == "crochet", chain=_chain(text))
    lines = [line for each in found if (line := _assembled(base, each, chart)) is not None]
    lines = sorted(lines, key=lambda line: line.cost)
    if not lines:
        raise _nothing(chart, start, text)
    return replace(lines[0], others=tuple(lines[1:]))


def _block_begun(chart: Chart, start: int) -> int:
    """How many asterisks stand at the beginning of a line that nothing in it ends: lines are repeated from there."""
    stars = [place for place in range(start, len(chart.run)) if chart.kind(place) == "star"]
    leading = [place for place, want in zip(stars, range(start, start + 2), strict=False) if place == want]
    others = len(stars) > len(leading) or any(
        chart.kind(place) in ("rep", "around") for place in range(start, len(chart.run))
    )
    return 0 if others else len(leading)


def _stray_asterisk(chart: Chart) -> tuple[int, bool] | None:
    """The place of a "repeat from *" before which no asterisk stands, and whether steps stand before it in the line."""
    for place, token in enumerate(chart.run):
        if token.kind == "star":
            return None
        if token.kind == "rep" and (match := chart.match("rep remark* from star", place, len(chart.run))):
            return chart.run[match.start()].at, any(chart.kind(each) in STITCHES for each in range(place))
    return None


def _readings(chart: Chart, start: int) -> list[Found]:
    offers = _Offers(chart)
    offers.search = Search(chart, offers, offers.passing)
    offers.steps = Steps(chart, offers.search)
    return offers.search.read(start, len(chart.run))


_PRICES: dict[str, tuple[float, int]] = {
    **dict.fromkeys("sep stop colon dash slash".split(), (0.0, 0)),
    **dict.fromkeys("eq remark side hooknote manner unworked edge hand length hook".split(), (0.3, 0)),
    **dict.fromkeys(
        "tbl kwise pwise at on in for from needle end beg row st even holder work have held all next rem as same size measures top ring"
        " unit pattern ending total space both other odd sets wraps seam centre".split(),
        (1.2, 0),
    ),
    **dict.fromkeys(
        "marker last ord more each before after between over together gap pass picot put cn return fewer"
        " below join slipjoin inced deced colour around evenly".split(),
        (2.5, 2),
    ),
    "unknown": (4.0, 1),
    **dict.fromkeys("meanwhile num times once to rep asterisk lastrep omit close open drop".split(), (6.0, 3)),
    "star": (3.0, 2),
}
"""What it costs to pass over a kind of token, and how much of a doubt that is."""
COUNT_PASSED = 4
"""Level of the doubt about a reading that passes over what looks like the count of the line."""
_DEAR = (12.0, 3)


class _Offers:
    """Everything that can be read at a token."""

    search: Search
    steps: Steps

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        self.rows = RowOffers(chart)

    def __call__(self, here: int, end: int, nested: bool) -> list[Offer]:
        found = [*self.steps.offers(here, end), *self.rows.offers(here, end, nested)]
        if self.chart.kind(here) == "open" and (close := self.chart.partner.get(here, end)) < end:
            found.append(self._remark(here, close))
        return found

    def passing(self, here: int, end: int, nested: bool) -> Offer:
        """The price of passing over a token."""
        token = self.chart.run[here]
        price, doubt = _DEAR if token.kind == "stitch" else _PRICES.get(token.kind, _DEAR)
        before, after = self.chart.kind(here - 1), self.chart.kind(here + 1)
        if (
            token.kind == "num"
            and after in ("st", "rem")
            and before in ("stop", "dash", "colon", "eq", "open", "close")
        ):
            doubt = COUNT_PASSED
        if token.kind in ("co", "coshort") and self.chart.kind(here + 1) != "num":
            price, doubt = 2.0, 1
        return price, (Passed(token, doubt) if doubt else None), here + 1

    def _remark(self, here: int, close: int) -> Offer:
        """A bracket passed over as a remark."""
        inside = self.chart.run[here + 1 : close]
        price, doubt = 0.4, 0
        if any(token.kind == "unworked" for token in inside) or (inside and inside[0].kind == "hooknote"):
            return price, None, close + 1
        first_kinds = {token.kind for token in inside} | {char_kind(token) for token in inside}
        if (
            inside
            and inside[0].kind == "num"
            and "st" in first_kinds
            and first_kinds & {"knit", "on"}
            and len(inside) < 9
        ):
            return 0.4, None, close + 1  # `(6 stitches knit)` tells how many there are by now
        told = any(token.kind in ("remark", "row", "as", "size", "length", "hooknote", "unknown") for token in inside)
        for token in inside:
            if token.kind == "unknown":
                price += 0.2
            elif token.kind == "num":
                price, doubt = price + 1.0, max(doubt, 1 if told else 3)
            elif token.kind in ("stitch", "rep", "bo", "co"):
                price, doubt = price + 2.5, max(doubt, 1 if told else 3)
        first = inside[0] if inside else self.chart.run[here]
        return price, (Passed(first, doubt) if doubt else None), close + 1


def _assembled(base: Line, found: Found, chart: Chart) -> Line | None:
    """A reading put in order: rows cut, counts and doubts taken out."""
    items = [item for item in found.items if not isinstance(item, Passed | Counted)]
    doubts = tuple(
        Doubt(_whole_word(item, base.text), item.token.at, _level(item, base.text))
        for item in found.items
        if isinstance(item, Passed)
    )
    printed: Counted | None = None
    change: Counted | None = None
    for item in found.items:
        if isinstance(item, Counted):
            printed, change = (printed, item) if item.change else (item, change)
    parts = parts_of(items, base.text)
    if not parts and not printed:
        return None
    moved: Num = () if change is None else tuple(change.change * each for each in change.num)
    needles = tuple(item.needles[0] for item in items if isinstance(item, AtNeedle) and item.section)
    return replace(
        base, label=replace(base.label, needles=needles), parts=parts, printed=printed.num if printed else (), change=moved,
        printed_column=(printed or change).at + 1 if (printed or change) else 0,  # type: ignore[union-attr]
        per=printed.per if printed else "", cost=found.cost, doubts=doubts,
    )  # fmt: skip


def _whole_word(passed: Passed, text: str) -> str:
    """The printed word in which a token lies: `k2tgo`, of which only `tgo` means nothing."""
    start, end = passed.token.at, passed.token.end
    while passed.token.kind == "unknown" and start and text[start - 1].isalnum():
        start -= 1
    return text[start:end]


def _level(passed: Passed, text: str) -> int:
    """How much of a doubt a word passed over is: see `Doubt`."""
    if passed.token.kind != "unknown":
        return passed.doubt
    word = passed.token.value
    english = len(word) > 3 and word.isalpha() and not set(word).isdisjoint("aeiouy")
    before, after = text[: passed.token.at].rstrip()[-1:], text[passed.token.end :].lstrip()[:1]
    alone = before in ",;.:*([" and after in ",;.:*)]"
    return 1 if english and not alone else 2


def parts_of(items: Sequence[Any], text: str) -> tuple[Part, ...]:
    """The rows and repeats of rows that the items of a line make."""
    parts: list[Part] = []
    steps: list[Step] = []
    sections: list[tuple[tuple[int, ...], int]] = []

    def flush(count: Num = ONE, *, measured: bool = False) -> None:
        if sections and steps:
            steps[:] = _sections(steps, sections)
            sections.clear()
        if steps:
            parts.append(Rows(_whole_row(_passed_over(steps)), count, steps[0].at, measured))
            steps.clear()

    for item in items:
        if isinstance(item, AtNeedle) and item.section:
            sections.append((item.needles, len(steps)))
        elif isinstance(item, AtNeedle):
            _at_needle(steps, item, text)
        elif isinstance(item, RowCount):
            if not steps and not item.said:
                continue
            if not steps:
                steps.append(Even("", To("end", NONE, "", item.at), item.at))
            if len(steps) > 1 and isinstance(steps[-1], Stitch) and steps[-1].bare and steps[-1].name in PLAIN:
                last = steps.pop()  # `[k6, k2tog] repeat, knit next row`
                flush()
                steps.append(last)
            flush(item.count or ONE, measured=item.count is None)
        elif isinstance(item, RepeatAll):
            if steps:
                steps[:] = [Repeat(tuple(steps), item.quantity, steps[0].at, kind="line")]
        elif isinstance(item, Again | Shape):
            item = _so_often(item, parts)
            if not (isinstance(item, Shape) and len(steps) == 1 and _same_row(item)):
                flush()
            elif _only_fill(steps[0]):
                steps.clear()
            if isinstance(item, Shape) and item.where == "evenly" and parts and _one_plain(parts[-1]):
                parts.pop()
            parts.append(item)
        elif parts and isinstance(parts[-1], Shape) and _only_fill(item):
            continue
        else:
            steps.append(item)
    flush()
    return tuple(parts)


def _so_often(item: Again | Shape, parts: list[Part]) -> Again | Shape:
    """`Work 5 rows, dec 1 st at neck edge of each row`: the rows are those that are shaped."""
    last = parts[-1] if parts else None
    if not isinstance(item, Shape) or not isinstance(last, Rows) or not isinstance(last.steps[0], Even):
        return item
    spell = item.spells[-1]
    if len(item.spells) > 1 or spell.every != ONE or spell.times or spell.until:
        return item
    parts.pop()
    return replace(item, spells=(replace(spell, times=Times(last.times, False, spell.at)),))


def _same_row(shape: Shape) -> bool:
    """Whether a shaping says how the row before it in the line is worked, and is no row of its own."""
    once = len(shape.spells) == 1 and shape.spells[0].every == ONE and shape.spells[0].until is None
    return shape.where in ("evenly", "markers") or (shape.action in ("dec", "inc") and once)


def _one_plain(part: Part) -> bool:
    return isinstance(part, Rows) and part.times == ONE and len(part.steps) == 1


def _at_needle(steps: list[Step], item: AtNeedle, text: str) -> None:
    """`k1, ssk at beginning of needle 4`: the sentence begins there, what lies before is worked even."""
    start = max(text.rfind(".", 0, item.at), text.rfind(";", 0, item.at))
    index = next((place for place, step in enumerate(steps) if step.at > start), len(steps))
    if item.needles[0] > 1:
        steps.insert(index, Even("", To("marker", NONE, str(item.needles[0] - 1), item.at), item.at))


def _sections(steps: Sequence[Step], sections: Sequence[tuple[tuple[int, ...], int]]) -> list[Step]:
    """The steps of each needle, in the order of the needles: `Needles 1 and 3: ... Needles 2 and 4: ...`."""
    found: dict[int, Repeat] = {}
    ends = [*(start for _, start in sections[1:]), len(steps)]
    for (needles, start), end in zip(sections, ends, strict=True):
        body = _whole_row(_passed_over(steps[start:end]))
        if body:
            found.update(
                {n: Repeat(body, To("needle", NONE, str(n), body[0].at), body[0].at, "needle") for n in needles}
            )
    return [*steps[: sections[0][1]], *(found[n] for n in sorted(found))]


def _only_fill(step: Step) -> bool:
    """Whether a step after `BO 3 sts at beg of next 2 rows` only says what is done with the rest of the row."""
    return (
        isinstance(step, Even)
        or (isinstance(step, Repeat) and isinstance(step.quantity, To))
        or (isinstance(step, Stitch) and step.bare)
    )


PLAIN = frozenset({"k", "p", "sc", "hdc", "dc", "tr", "sl", "k1 tbl", "p1 tbl"})


def _whole_row(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """`Knit.` alone works the whole row."""
    others = [step for step in steps if not isinstance(step, Colour | Mark | Join)]
    only = others[0] if len(others) == 1 else None
    if not isinstance(only, Stitch) or not only.bare or only.name not in PLAIN:
        return steps
    fill = Repeat((replace(only, bare=False),), To("end", NONE, "", only.at), only.at)
    return tuple(fill if step is only else step for step in steps)


_SLIPS = frozenset({"sl", "sl1k", "sl1p"})
_PASSED: tuple[tuple[tuple[frozenset[str], int], str, str], ...] = (
    ((_SLIPS, 1), "k", "skp"),
    ((_SLIPS, 1), "k2tog", "sk2p"),
    ((_SLIPS, 2), "k", "s2kp"),
)


def _passed_over(steps: Sequence[Step]) -> tuple[Step, ...]:
    """`sl 1, k2tog, psso` as the one technique it is, in nested steps too."""
    done: list[Step] = []
    for step in steps:
        if isinstance(step, Repeat):
            step = replace(step, body=_passed_over(step.body))
        done.append(step)
        if not (isinstance(step, Stitch) and step.name in ("psso", "p2sso") and len(done) > 2):
            continue
        first, middle = done[-3], done[-2]
        for (slips, count), between, name in _PASSED:
            fits = isinstance(first, Stitch) and first.name in slips and first.count == (count,)
            if fits and isinstance(middle, Stitch) and (middle.name, middle.count) == (between, ONE):
                done[-3:] = [Stitch(name, ONE, first.at)]
                break
    return tuple(done)


def _chain(text: str) -> str:
    if re.search(r"(?:does|do|doesn't|not) (?:not )?count(?:ed)?\b(?! as 0)", text):
        return "not"
    joined = r"\btop of (?:the |your |that )?(?:beg\w*\.? |turning |starting |first )?ch"
    return "counts" if re.search(rf"\bcounts? as\b|\bcounted as\b|{joined}", text.lower()) else ""


def crochet_stitch(text: str) -> str:
    """The main crochet stitch of a line (sc, dc ...), or "" if it names none."""
    match = _CROCHET.search(text)
    if match is None:
        return ""
    for found in _CROCHET.finditer(text):
        if found[1] and found[1].lower() != "ch":
            return found[1].lower()
    return {"single": "sc", "double": "dc", "half": "hdc", "treble": "tr"}.get((match[2] or "").lower(), "sc")


def _nothing(chart: Chart, start: int, text: str) -> NotationError:
    token = next((each for each in chart.run[start:] if each.kind == "unknown"), None)
    token = token or (chart.run[start] if start < len(chart.run) else None)
    if token is None:
        return NotationError("nothing is said to be worked", max(1, len(text.rstrip())))
    return NotationError(unread(text[token.at : token.end]), token.at + 1)


_STRAY = {
    **dict.fromkeys("([", "the bracket opened here is never closed"),
    **{sign: f"“{sign}” closes a bracket that was not opened" for sign in ")]"},
    "*": "the asterisk here belongs to no repeat that can be told",
}


def unread(word: str) -> str:
    """The sentence for a word that means nothing here, with a hint where it looks like a slip of a stitch."""
    if word in _STRAY:
        return _STRAY[word]
    hint = ""
    if re.search(r"\d", word) or len(word) <= 4:
        nearest = difflib.get_close_matches(word.lower(), _stitch_words(), n=1, cutoff=0.75)
        if nearest and nearest[0] != word.lower() and len(word) > 2:
            hint = f"; did you mean “{nearest[0]}”?"
    return f"“{word}” cannot be read here{hint}"


@cache
def _stitch_words() -> tuple[str, ...]:
    return tuple(spelling for craft in CRAFTS for spelling in spellings(craft) if " " not in spelling)


def _sizes_sentence(given: int, sizes: int) -> str:
    has = "one size" if sizes == 1 else f"{sizes} sizes"
    return f"gives {given} numbers, one for each size, but the pattern has {has}"


__all__ = ["MAX_LENGTH", "STITCHES", "Label", "NotationError", "crochet_stitch", "parse_line", "parts_of", "unread"]
