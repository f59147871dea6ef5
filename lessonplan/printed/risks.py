"""Words that turn the meaning of a line, but that no step of a reading holds: each of them is a doubt."""

from __future__ import annotations

import re

from lessonplan.printed.beside.advice import remark
from lessonplan.printed.beside.asides import Asides
from lessonplan.printed.covered import Cover
from lessonplan.printed.offers.goneon import ADDS
from lessonplan.printed.rules.grammar import ONE, STITCHES
from lessonplan.printed.rules.search import CHAR, COUNT_PASSED, Chart, Passed
from lessonplan.printed.tree import Again, Doubt, Hold, Line, Repeat, Return, Rows, Shape, Turn
from lessonplan.printed.words.tokens import Token

TURNS = "turns"
"""The meaning, in the vocabulary, of remarks such as "half" and "or", which can change what is worked."""
_SAID = re.compile(
    r"\bevery (?:other|second|alternate|2nd|third|3rd) (?:sts?|stitch(?:es)?|sc|hdc|dc|tr|ch)\b"
    r"|\bch(?:ain)?s count as (?:a )?(?:sts?|stitch(?:es)?)\b|\balong (?:each|both)\b(?! of the \w+ sides)"
    r"|\bdo the same\b|[(\[]all (?:but|except)\b|\band (?:bind|cast) off\b[^.;]*\bon the next (?:one|rnd|round|row)\b"
    r"|\b(?:let|letting|drop|dropping) (?:the |all )*(?:yos?\b|yo's|yarn ?overs?)"
    r"|\brep(?:eat)? (?:this )?(?:on|in) (?:the )?next (?:row|round|rnd)\b"
    r"|\bevenly over (?:the )?next \w+ (?:rows?|rounds?|rnds?)\b"
    r"|(?<!\d )\b(?:inc|dec)(?:reas(?:e|ing))?\.? (?:sts? |stitches )?evenly\b(?![^.;]*\b(?:\d|twice|to|until|times))"
    r"|\b(?:needle|front|back|sleeves?|fronts|half|body|heel|instep) only\b"
)
"""What is said in so many words, but has no meaning yet."""
_BLOCKS = re.compile(
    r"\b(?:of|to|in|across) (?:the )?(?:next |last |each )?(?:block|tile)s?\b|[(\[]\d+ (?:block|tile)s?[)\]]"
)
"""What is said where block upon block is built from a corner, and blocks are counted instead of stitches."""
_EVERY_OTHER = re.compile(r"\b(?:in|into) every other (?:sts?|stitch(?:es)?|sc|hdc|dc|tr)\b")
"""What no reading means that goes into each stitch."""
_INC_EVERY = re.compile(r"\b(?:inc(?:rease)?\.?(?: 1 st)?(?: in)?|[kp]fb in|double) every\b")
_INTO_EVERY = re.compile(_INC_EVERY.pattern + r"|\b(?:in|into|dec\w*\.?) every\b")
_INC_ALONE = re.compile(r"(?:^|[:.]\s*)" + _INC_EVERY.pattern)
"""The same as a row of its own."""
_PIECES = re.compile(
    r"\b(?:slip|place|put|transfer) (?:the |both |your )?(?:sleeves?|body|fronts?|backs?|thumbs?|pieces?|halves)\b"
    r"(?! st|'? st|:)(?=[^.]*\bneedles?\b)"
)
"""Pieces put on one needle, whose stitches come to those that are there."""
_APART = re.compile(
    r"\bturn(?:ed|ing)?\b[^.]*?"
    r"\b(these(?! (?:\w+ )?(?:sts?|stitches) (?:unworked|unknit))|those|holders?|pins?|spare|waste|scrap|thread)\b"
)
"""What is said of the other stitches, or of those worked, where a row is turned before its end."""
_THESE = frozenset({"these", "those", "them"})


def said(chart: Chart, start: int, text: str, asides: Asides) -> tuple[Doubt, ...]:
    """The doubts of a line however it is read; `start` is the token after the label."""
    found = [Doubt(text[each.at : each.end], each.at, 2) for each in _turning(chart, start, text, asides)]
    found += [Doubt(text[each.at : each.end], each.at, 3) for each in _strange(chart, start, asides)]
    lower = text.lower()
    every = (_INTO_EVERY if chart.craft == "crochet" else _INC_ALONE).search(lower) is not None
    told = (m for m in _SAID.finditer(lower) if not (every and m[0].startswith("every")))
    blocks = _BLOCKS.finditer(lower) if chart.craft == "crochet" else ()
    return (*found, *(Doubt(m[0], m.start(), 3) for m in (*told, *blocks)))


_ENDS = frozenset({"", "sep", "open", "close", "star"})
_TELLS_MORE = STITCHES | {"num", "close", "star", "end", "beg", "top"}
"""Kinds of words of which the one behind them can tell what is meant: `knit 2 ...`, `[...] ..., k to end`."""
_IS_TOLD = STITCHES | {"num", "next", "last", "ord", "each", "all", "rem", "beg", "end", "close", "st", "row", "space"}
"""Kinds of words that the one before them can turn round: `... next 2 rows`, `k ... end`."""


def stands_for_work(chart: Chart, here: int) -> bool:
    """Whether an unknown word stands where one of work could: `k2 wibble`, `k3, wibble, k3`, `k to wibble`."""
    kind = chart.kind
    before, after = here - 1, here + 1
    while kind(before) == "unknown":
        before -= 1
    while kind(after) == "unknown":
        after += 1
    if kind(before) in ("marker", "pm", "sm", "rm") or chart.run[here].value in ADDS:
        return False  # its name
    if chart.craft == "crochet" and kind(before) in STITCHES and kind(before - 1) == "dash":
        return False  # `1 more 3-dc group`
    run = chart.run
    stops = kind(before) == kind(after) == "stop" and kind(after + 1) in STITCHES  # `k1. wibble. k1`
    begins, ends = (
        kind(place) in _ENDS or (kind(place) == "dash" and run[place].tight) for place in (before, after)
    )  # `sl1-k2tog-wibble`
    far = kind(after) in ("to", "on", "in") and kind(after + 1) in _IS_TOLD  # `, wibble to end`, `on next 2 rows`
    alone = after - before == 2 and not run[here].value.endswith("ing") and ((begins and ends) or stops)
    reached = kind(before) == "to" and kind(before - 1) in STITCHES
    reached |= kind(before) == "in" and chart.craft == "crochet" and kind(after) in (*_ENDS, "dash")
    reached |= kind(before) == "remark" and kind(before - 1) == "num" and kind(after) in _ENDS  # `1 yarn wibble`
    return alone or reached or (begins and far) or kind(before) in _TELLS_MORE or kind(after) in _IS_TOLD


def ordered(chart: Chart, start: int) -> Token | None:
    """The first unknown word that orders something: `and wibble 4 sts evenly`, `6 wibble in ring`."""
    for place in range(start, len(chart.run)):
        told = "num (st|row|times|chain|remark|stop|$)" if place == 0 else "num (st|row|times)"
        begins = chart.kind(place - 1) in ("", "sep", "stop", "colon") and chart.match(told, place + 1, len(chart.run))
        worked = chart.kind(place - 1) == "num" and chart.match(
            "in (ring|next|each|same|st|space)", place + 1, len(chart.run)
        )
        if chart.kind(place) == "unknown" and (begins or worked):
            return chart.run[place]
    return None


def _strange(chart: Chart, start: int, asides: Asides) -> list[Token]:
    """Unknown words outside brackets that stand for work, however the line is read."""
    found: list[Token] = []
    depth = 0
    for place in range(start, len(chart.run)):
        token = chart.run[place]
        depth += (token.kind == "open") - (token.kind == "close")
        counted = "num" in (chart.kind(place - 1), chart.kind(place + 1))
        if token.kind == "unknown" and depth <= 0 and (counted or not asides.holds(place)):
            found += [token] if stands_for_work(chart, place) else []
    return found


def risks(chart: Chart, start: int, line: Line, cover: Cover) -> tuple[Doubt, ...]:
    """The doubts of one reading beside the words passed over in it."""
    steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
    found = [_doubt(line, each, 3) for each in _shaped_somehow(chart, start, line)]
    found += [_doubt(line, each, 3) for each in cover.passed(line)]
    if CHAR["needle"] in chart.present and (moved := _PIECES.search(line.text.lower())):
        found += [] if any(isinstance(step, Return) for step in steps) else [Doubt(moved[0], moved.start(), 3)]
    if CHAR["other"] in chart.present and (every := _EVERY_OTHER.search(line.text.lower())):
        parted = any(isinstance(step, Repeat) and len(step.body) > 1 for step in steps)
        found += [] if parted else [Doubt(every[0], every.start(), 3)]
    if any(isinstance(step, Turn) for step in steps) and not any(isinstance(step, Hold) for step in steps):
        found += [Doubt(m[1], m.start(1), 3) for m in _APART.finditer(line.text.lower())]
    for part in line.parts:
        beside = isinstance(part, Shape) and part.meanwhile and _limited(line) and _from_a_row(chart, part)
        if isinstance(part, Shape) and not beside and not _measured(line):
            found += [
                _doubt(line, _at(chart, spell.at), 3)
                for spell in part.spells[-1:]
                if spell.times is None
                and spell.until is None
                and (spell.every > ONE or (_again_and_again(chart, spell.at) and not _several(line)))
            ]
    return tuple(found)


def _limited(line: Line) -> bool:
    """Whether the shapings before one that goes on beside them all say how often."""
    shapes = [part for part in line.parts if isinstance(part, Shape) and not part.meanwhile]
    return bool(shapes) and all(spell.times is not None for shape in shapes for spell in shape.spells)


def _from_a_row(chart: Chart, part: Shape) -> bool:
    """Whether print tells in which row a shaping begins: `next and every foll 4th row`, `every foll 4th row`."""
    spell = part.spells[0]
    words = [token.kind for token in chart.run if token.at >= spell.at][:4]
    return spell.first is not None or "next" in words


def _several(line: Line) -> bool:
    """Whether the label of a line says for how many rows it is."""
    return len(line.label.numbers) > 1 or line.label.count != (1,)


def doubt_of(passed: Passed, text: str) -> Doubt:
    """The printed word in which a token lies: `k2tgo`, of which only `tgo` means nothing."""
    start, end = passed.token.at, passed.token.end
    while passed.token.kind in ("unknown", "num") and start and text[start - 1].isalnum():
        start -= 1
    return Doubt(text[start:end], start, _level(passed, text))


def _level(passed: Passed, text: str) -> int:
    """How much of a doubt a word passed over is: see `Doubt`."""
    if passed.token.kind != "unknown":
        return passed.doubt
    if passed.token.at and text[passed.token.at - 1].isdigit():
        return COUNT_PASSED  # `2ktog` is no remark
    if passed.doubt > 2:
        return passed.doubt
    word = passed.token.value
    english = len(word) > 3 and word.isalpha() and not set(word).isdisjoint("aeiouy")
    before = text[: passed.token.at].rstrip()
    begins = before[-1:] in ",;.:*([" or before.lower().endswith((" and", " then"))
    after = text[passed.token.end :].lstrip()[:1]
    if not english or (begins and after in ",;.:*)]"):
        return 2
    return 1 if begins else 0  # what begins a clause could be a word for work


def _doubt(line: Line, token: Token, level: int) -> Doubt:
    return Doubt(line.text[token.at : token.end], token.at, level)


def _at(chart: Chart, at: int) -> Token:
    return next(token for token in chart.run if token.at >= at)


def _again_and_again(chart: Chart, at: int) -> bool:
    """Whether rows are said to be shaped one after another, not just the next one."""
    words = [token.kind for token in chart.run if token.at >= at][:5]
    rows = words.index("row") if "row" in words else len(words)
    return any(kind in ("each", "all", "other") for kind in words[:rows])


def _measured(line: Line) -> bool:
    return any(isinstance(part, Rows | Again) and part.measured for part in line.parts)


def _turning(chart: Chart, start: int, text: str, asides: Asides) -> list[Token]:
    """Words that turn the meaning, outside brackets; and `knit these`, which says how far by pointing."""
    found: list[Token] = []
    depth = past = 0
    for place in range(start, len(chart.run)):
        token = chart.run[place]
        past = max(past, remark(chart, place, len(chart.run), text))
        if place < past:
            continue  # in mere advice
        depth += (token.kind == "open") - (token.kind == "close")
        by_turns = chart.kind(place - 1) == "row" and text[token.at : token.end].lower() == "alternately"
        if by_turns or asides.holds(place):  # `repeat 4th and 5th rows alternately`
            continue
        if token.value == TURNS and depth <= 0 and chart.kind(place + 1) != "group" and not _alike(chart, place, text):
            found.append(token)
        pointed = token.value in _THESE and chart.kind(place + 1) in ("", "stop", "sep")
        if pointed and chart.run[place - 1].value in ("k", "p") and place > start:
            found.append(token)
    return found


_TOOLS = frozenset({"holder", "needle", "cn", "length", "marker"})


def _alike(chart: Chart, place: int, text: str) -> bool:
    """Whether a word stands between two of a kind that is no work (`a holder or waste yarn`), or says what is kept.

    Or it says how far shapings are apart, which is worked so: `as rnd 4, but with 3 sc between increases`.
    """
    if chart.match("remark (work|have|remark)* ((num (st|ANY))|(knit num)) between", place, len(chart.run)) is not None:
        return True
    near = {chart.kind(each) for each in range(max(0, place - 3), place + 4)}
    if chart.match("row fewer", max(0, place - 2), place) is not None:
        return True  # `until there are 12 rows less than on back`
    about = chart.match("remark ((num row)|length)", place, len(chart.run)) is not None
    if about and text[chart.run[place].at :].lower().startswith(("about", "approx", "roughly")):
        return True
    if near & {"length", "measures"}:
        return True  # `until it measures 19 cm, or 2 cm less than desired`
    kept = chart.match("(remark|have|put)* last? num? st", place, len(chart.run))
    token = chart.run[place]
    kept = kept if text[token.at : token.end].lower() in ("but", "except") else None
    off = any(chart.kind(each) == "bo" for each in range(place))
    return chart.kind(place - 1) == chart.kind(place + 1) in _TOOLS or (kept is not None and off)


def _shaped_somehow(chart: Chart, start: int, line: Line) -> list[Token]:
    """`increase as set` in a row of its own steps; `on RS rows` said of what is worked in every row."""
    found = []
    whole = not any(isinstance(part, Again | Shape) for part in line.parts)
    for place in range(start, len(chart.run)):
        token, after = chart.run[place], chart.kind(place + 1)
        if whole and token.value in ("inc", "dec") and after in ("even", "manner"):
            found.append(token)
        ends = chart.kind(place - 2) == "ending"
        if whole and token.kind == "side" and chart.kind(place - 1) == "on" and after == "row" and not ends:
            found.append(token)
    return found
