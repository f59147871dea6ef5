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

from lessonplan.craft.techniques import CRAFTS, canonical, spellings
from lessonplan.printed.assemble import assembled
from lessonplan.printed.beside.advice import explained, remark
from lessonplan.printed.beside.asides import Asides, all_aside, beside, finishes
from lessonplan.printed.beside.bracketed import DEAREST, told_in_brackets
from lessonplan.printed.beside.elsewhere import told_elsewhere, works_beside
from lessonplan.printed.covered import Cover
from lessonplan.printed.crochet.reworded import plainer
from lessonplan.printed.heading import Label
from lessonplan.printed.label import MOST_ROWS, LabelError, Labels
from lessonplan.printed.left import told_of_the_rest
from lessonplan.printed.offers.charts import offers
from lessonplan.printed.offers.crocheted import three_stitches, two_stitches
from lessonplan.printed.offers.rows import Rows as RowOffers
from lessonplan.printed.offers.steps import Steps
from lessonplan.printed.piece import along_edge, closes, is_heading
from lessonplan.printed.risks import ordered, risks, said, stands_for_work
from lessonplan.printed.rules.grammar import STITCHES
from lessonplan.printed.rules.search import COUNT_PASSED, Chart, Found, Offer, Passed, Search
from lessonplan.printed.tree import Doubt, Line
from lessonplan.printed.wholerow import among_others
from lessonplan.printed.words.own import Own
from lessonplan.printed.words.phrases import phrases
from lessonplan.printed.words.terms import in_us_terms
from lessonplan.printed.words.tokens import SizesError, plain, tokens
from lessonplan.printed.words.trimmed import trimmed
from lessonplan.printed.words.turning import chain_said, notes_said, top_said
from lessonplan.printed.words.twice import said_once

MAX_LENGTH = 4000
"""Longest line read, in characters; a longer one is not an instruction line but a slip."""
MAX_TOKENS = 900
_BLANKS = re.compile(r"\s{101}")
"""More blanks in a row than even a table set in columns has; what looks for phrases would try each of them."""
_HUGE = re.compile(r"\d{6,}")
"""A number of more than 99,999: more than anybody works in one line."""
_MADE_UP = re.compile(r"(?<![a-z0-9])(?:[kp]\d+tog|[ct]\d+[bf]|\d+/\d+ ?(?:rc|lc|rpc|lpc))(?![a-z0-9])")
"""What looks like a technique with a number in its name, of which not every number is one."""
_FINISHED = re.compile(r"\bfinish off (?:(?:all|the|next|remaining|rem) )*\d+ st")
"""Stitches finished off, in whatever way: no mere end of the yarn."""
_ONE_TOGETHER = re.compile(r"\b(?:k|p|knit|purl)\.? ?(?:1|one) ?tog(?:ether)?\b(?!\.? (?:with|w)\b)")
"""One stitch together with none: a slip of the pen."""
_NOTHING_INSIDE = re.compile(r"([\[(]\s*)+[\])]")
_CROCHET = re.compile(
    r"\b(?:fp|bp|f)?\d*(hdc|sc|dc|dtr|htr|tr|ch)(?:\d+tog|s|inc|dec)?\b|\b[sd]\.? ?c\b|"
    r"\b(single|double|half|treble)[ -](?:double )?crochet"
    r"|\bchain\b|\b(?:half|double) trebles?\b"
    r"|\bmagic ring\b|\bsc[в]",
    re.IGNORECASE,
)
_COLOUR_NAMED = re.compile(r"\([DL]C\)(?=\s*:)")
"""The colour of a round, dark or light, behind its number."""


class NotationError(Exception):
    """A line that cannot be read: one sentence and a 1-based column in the text as written.

    `kind` is "unread", or "misfit" where the print itself is at fault.
    """

    def __init__(self, sentence: str, column: int, kind: str = "unread") -> None:
        super().__init__(f"column {column}: {sentence}")
        self.sentence = sentence
        self.column = column
        self.kind = kind


def parse_line(
    text: str,
    sizes: int = 1,
    colours: frozenset[str] = frozenset(),
    crochet: str = "",
    terms: str = "us",
    own: Own = (),
) -> Line:
    """The cheapest reading of one printed line, for a pattern of `sizes` sizes, with its `others`.

    `colours` are names of yarns; `crochet` is the main stitch (sc, dc ...) of a crochet pattern, for lines such as "inc
    around" that name none; `terms` ("us" or "uk") are those its stitches are named in; `own` are words that the
    pattern makes for itself. Raises `NotationError` where nothing can be made of the print, or where a list such as
    `48 (52, 56)` has not one number for each size.
    """
    named = colours and frozenset(name for name in colours if name.lower() in text.lower())  # kept by these alone
    found = _kept(text, sizes, named, crochet, terms, own)
    if isinstance(found, Line):
        return found
    raise NotationError(*found)


@lru_cache(maxsize=4096)  # it tells calls apart by how their arguments are given: here there is one way to give them
def _kept(
    text: str, sizes: int, colours: frozenset[str], crochet: str, terms: str, own: Own
) -> Line | tuple[str, int, str]:
    """The line, or what is said of one that cannot be read: prose is asked about as often as a line."""
    try:
        return _parsed(text, sizes, colours, crochet, terms, own)
    except NotationError as error:
        return error.sentence, error.column, error.kind


def _or_none(text: str, sizes: int, colours: frozenset[str], crochet: str) -> Line | None:
    found = _kept(text, sizes, colours, crochet, "us", ())
    return found if isinstance(found, Line) else None


def _parsed(text: str, sizes: int, colours: frozenset[str], crochet: str, terms: str, own: Own) -> Line:
    _check(text)
    craft = "crochet" if crochet_stitch(text) or crochet else "knitting"
    chart = _charted(text, sizes, colours, craft, terms, own)
    if (stray := _stray_asterisk(chart)) is not None and stray[1]:
        raise NotationError("says to repeat from an asterisk, but no asterisk stands before it", stray[0] + 1, "misfit")
    if is_heading(chart, text) or told_elsewhere(text, lambda body: _or_none(body, sizes, colours, crochet)):
        return Line(text, sizes, Label(), (), crochet=craft == "crochet")
    if works_beside(text):
        raise NotationError("it is worked in rows of other lines, which is not read", 1)
    try:
        label, start = Labels(chart, text).split()
    except LabelError as error:
        raise NotationError(str(error), 1, error.kind) from None
    if label.numbers and max(label.numbers) > MOST_ROWS:
        raise NotationError(f"there is no row {max(label.numbers)} in any piece", 1, "misfit")
    if block := _block_begun(chart, start):
        label, start = replace(label, star="*" * block), start + block
    base = Line(text, sizes, label, (), crochet=craft == "crochet")
    if base.crochet:
        lower = plain(text)
        base = replace(base, chain=chain_said(lower), top=top_said(lower))
    strange = ordered(chart, start)
    notes = craft == "crochet" and notes_said(plain(text))
    if notes or finishes(chart, start, text) or (strange is None and all_aside(chart, start)):
        return base
    asides = Asides(chart, start, text)
    found = _readings(chart, start, text, asides)
    first = chart.run[start] if start < len(chart.run) else None
    if found and not found[0].items and first and (first.value == "prose" or first.kind == "pm") and not strange:
        return base  # it begins with what is done beside the work, and is nothing but that
    lines = sorted((line for each in found if (line := assembled(base, each))), key=lambda line: line.cost)
    told = [along_edge(among_others(told_of_the_rest(chart, line))) for line in lines]
    if told and told[0] is None:
        raise NotationError("how many stitches go along this edge is not said", chart.run[start].at + 1)
    lines = [*filter(None, told)]
    always, cover = said(chart, start, text, asides), Cover(chart, start, asides)
    lines = [
        replace(line, doubts=(*line.doubts, *more))
        if (more := _others(line, (*always, *risks(chart, start, line, cover))))
        else line
        for line in lines
    ]
    if not re.search(r"\w", text[chart.run[start].at :] if start < len(chart.run) else "") or (
        not any(line.parts for line in lines) and ((label != Label() and lines) or text.rstrip().endswith(":"))
    ):
        raise NotationError("there is nothing to work in this line", max(1, len(text.rstrip())), "misfit")
    if strange is None and (
        (asides.whole and asides.shared)
        or (not lines and (asides.whole or beside(chart, start)))
        or (lines and closes(chart.run[start:], lines[0]))
    ):
        return base
    if not lines:
        raise _nothing(chart, start, text)
    return replace(lines[0], others=tuple(lines[1:]))


def _charted(text: str, sizes: int, colours: frozenset[str], craft: str, terms: str, own: Own) -> Chart:
    """The words of a line as the rules read them: without what changes nothing, crochet in US terms."""
    try:
        run = tokens(text, sizes, colours, craft, own)
    except SizesError as error:
        raise NotationError(_sizes_sentence(error.given, sizes), error.at + 1) from None
    if len(run) > MAX_TOKENS:
        raise NotationError(f"an instruction line of more than {MAX_TOKENS} words is not read", 1)
    run = said_once(trimmed(run, text) if craft == "knitting" else plainer(run, text), text)
    return Chart(in_us_terms(run, terms), craft)


def _others(line: Line, doubts: Sequence[Doubt]) -> tuple[Doubt, ...]:
    """The doubts that a line does not have yet."""
    had = {each.at for each in line.doubts if each.level > 2}
    return tuple(each for each in doubts if each.at not in had)


def _check(text: str) -> None:
    """Raise `NotationError` for print that nobody works, however it is read."""
    if len(text) > MAX_LENGTH:
        raise NotationError(f"an instruction line longer than {MAX_LENGTH} characters is not read", 1)
    if not text.strip():
        raise NotationError("there is nothing to work in an empty line", 1)
    lower = plain(text)
    if blanks := _BLANKS.search(lower):
        raise NotationError("more than 100 blanks in a row are not read", blanks.start() + 1)
    if huge := _HUGE.search(lower):
        raise NotationError(f"“{huge[0][:12]}” is more than anybody works", huge.start() + 1, "misfit")
    if empty := _NOTHING_INSIDE.search(lower):
        raise NotationError("the brackets hold nothing that is worked", empty.start() + 1, "misfit")
    if one := _ONE_TOGETHER.search(lower):
        raise NotationError(
            f"“{one[0]}” is one stitch, with nothing to work it together with", one.start() + 1, "misfit"
        )
    if ends := _FINISHED.search(lower):
        raise NotationError(unread(text[ends.start() : ends.end()]), ends.start() + 1)
    for match in _MADE_UP.finditer(lower):
        try:
            canonical(match[0])
        except KeyError:
            raise NotationError(f"“{text[match.start() : match.end()]}” is no stitch", match.start() + 1) from None


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


def _readings(chart: Chart, start: int, text: str, asides: Asides) -> list[Found]:
    offers = _Offers(chart, text, asides)
    offers.search = Search(chart, offers, offers.passing)
    offers.steps = Steps(chart, offers.search)
    return offers.search.read(start, len(chart.run))


_PASSING = (
    (0.0, 0, "sep stop colon dash slash"),
    (0.3, 0, "eq remark side hooknote manner unworked edge hand length hook"),
    (1.2, 0, "tbl kwise pwise at on in for from needle end beg row st even holder work have held "
     "size measures top ring unit ending total space wraps seam centre"),
    (1.2, 2, "all next rem as same both other odd sets"),
    (5.0, 4, "group otherside"),
    (2.5, 4, "chart"),
    (2.5, 2, "marker last ord more each before after between over together gap pass picot put cn return fewer "
     "below join slipjoin inced deced colour around evenly"),
    (3.0, 2, "star"),
    (4.0, 1, "unknown"),
    (6.0, 3, "pattern meanwhile num times once to rep asterisk lastrep omit close open drop"),
)  # fmt: skip
_PRICES = {kind: (price, doubt) for price, doubt, kinds in _PASSING for kind in kinds.split()}
"""What it costs to pass over a kind of token, and how much of a doubt that is."""
_DEAR = (DEAREST, 3)


class _Offers:
    """Everything that can be read at a token."""

    search: Search
    steps: Steps

    def __init__(self, chart: Chart, text: str, asides: Asides) -> None:
        self.chart = chart
        self.text = text
        self.rows = RowOffers(chart, asides.start)
        self.asides = asides

    def __call__(self, here: int, end: int, nested: bool) -> list[Offer]:
        found = [*self.steps.offers(here, end), *self.rows.offers(here, end, nested)]
        found += offers(self.chart, here, end, nested)
        if not nested and (after := self.asides.after(here)) > here:
            found.append((0.2, self._told(here, after) if self.chart.craft == "crochet" else None, after))
        if (after := explained(self.chart, here, end)) > here:
            found.append((0.3, None, after))
        if (after := remark(self.chart, here, end, self.text)) > here:
            found.append((0.5, self._told(here, after), after))
        if self.chart.craft == "crochet" and (two := two_stitches(self.chart, here, self.text)):
            found.append(two)
        if self.chart.run[here].value == "kyok" and (three := three_stitches(self.chart, here, self.text)):
            found.append(three)
        if self.chart.kind(here) == "open" and (close := self.chart.partner.get(here, end)) < end:
            found.append(told_in_brackets(self.chart, here, close))
        return found

    def _told(self, here: int, after: int) -> Passed | None:
        """The first word of an aside that nobody knows, so that it can be said what was passed over."""
        strange = next((token for token in self.chart.run[here:after] if token.kind == "unknown"), None)
        return Passed(replace(strange, kind="remark"), 0) if strange else None

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
        if token.kind in ("more", "total") and before == "times":
            doubt = COUNT_PASSED  # `3 times more` are not 3 times
        if token.kind == "stitch" or (token.kind == "num" and before == "stitch"):
            doubt = COUNT_PASSED  # what is left out of a row is never borne out by its count
        if self.chart.craft == "crochet" and token.kind in ("in", "next", "same") and before in ("stitch", "in"):
            price, doubt = 3.0, COUNT_PASSED  # where a stitch goes
        if self.chart.craft == "crochet" and token.kind == "slipjoin":
            doubt = COUNT_PASSED
        if token.kind == "unknown" and stands_for_work(self.chart, here):
            doubt = COUNT_PASSED if before == "num" and after in ("sep", "in") else 3
        if token.kind == "as" and self.chart.match("as+ (for|remark)* row num", here, end) is not None:
            doubt = COUNT_PASSED  # `as for Rnd 2` is all that is said of the row
        if (token.kind == "all" and after in ("", "stop", "row") and before == "stitch") or (
            token.kind == "as" and after == "even"
        ):
            doubt = 0  # `k all`, `work as established`
        if token.kind in ("next", "other") and after in ("remark", "edge", "num", "hand", "needle"):
            doubt = 0  # `along other side of flap`, `across next 81 sts`
        if token.kind in ("co", "coshort") and self.chart.kind(here + 1) != "num":
            price, doubt = 2.0, 0  # no number, so a noun
        return price, (Passed(token, doubt) if doubt else None), here + 1


@lru_cache(maxsize=4096)
def crochet_stitch(text: str, colours: frozenset[str] = frozenset()) -> str:
    """The main crochet stitch of a line (sc, dc ...), or "" if it names none; `colours` are names of yarns."""
    text = _COLOUR_NAMED.sub(" ", text)
    if "DC" in colours:
        text = re.sub(r"\bDC\b", " ", text)  # the dark colour
    if (match := _CROCHET.search(text)) is None:
        return ""
    named = (each[1].lower() for each in _CROCHET.finditer(text) if each[1] and each[1].lower() != "ch")
    in_words = {"single": "sc", "double": "dc", "half": "hdc", "treble": "tr"}.get((match[2] or "").lower(), "sc")
    return next(named, in_words)


def _nothing(chart: Chart, start: int, text: str) -> NotationError:
    token = next((each for each in chart.run[start:] if each.kind == "unknown"), chart.run[start])
    return NotationError(unread(text[token.at : token.end]), token.at + 1)


_STRAY = {
    **dict.fromkeys("([", "the bracket opened here is never closed"),
    **{sign: f"“{sign}” closes a bracket that was not opened" for sign in ")]"},
    "*": "the asterisk here belongs to no repeat that can be told",
}


@lru_cache(maxsize=4096)
def unread(word: str) -> str:
    """The sentence for a word that means nothing here, with a hint where it looks like a slip of a stitch."""
    if word in _STRAY:
        return _STRAY[word]
    hint = ""
    if re.search(r"\d", word) or len(word) <= 4:
        nearest = difflib.get_close_matches(word.lower(), _stitch_words(), n=1, cutoff=0.75)
        if nearest and nearest[0] != word.lower() and len(word) > 2 and word.lower() not in plain_words():
            hint = f"; did you mean “{nearest[0]}”?"
    return f"“{word}” cannot be read here{hint}"


@cache
def plain_words() -> frozenset[str]:
    """Single words that the vocabulary knows, none of which is a slip of the pen."""
    return frozenset(key[0] for entries in phrases("knitting").values() for key, _ in entries if len(key) == 1)


@cache
def _stitch_words() -> tuple[str, ...]:
    return tuple(spelling for craft in CRAFTS for spelling in spellings(craft) if " " not in spelling)


def _sizes_sentence(given: int, sizes: int) -> str:
    has = "one size" if sizes == 1 else f"{sizes} sizes"
    return f"gives {given} numbers, one for each size, but the pattern has {has}"
