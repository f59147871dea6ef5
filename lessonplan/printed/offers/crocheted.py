"""What a line of crochet counts behind it, and several stitches that are printed as one word."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence

from lessonplan.printed.heading import Num
from lessonplan.printed.items import Counted
from lessonplan.printed.rules.grammar import ONE, STITCHES
from lessonplan.printed.rules.search import Chart, Match, Offer
from lessonplan.printed.tree import Stitch
from lessonplan.printed.words.tokens import Token

_BEGINS = frozenset({"open", "dash", "eq", "stop", "sep", "have"})
_ROW_DONE = frozenset({"turn", "join", "around"})
"""After which a number begins a count without any sign: `sc in each st across, turn 31 sts incl. ch-1 sps`."""
_LEADS = frozenset({"dash", "stop", "sep", "open", "eq", "have", "total", "remark", "colon"})
"""What may stand before the first number of a count."""
_NOUNS = {"space": "space", "group": "group", "picot": "group", "edge": "group", "sets": "group", "unknown": "group",
          "otherside": "group", "row": "group"}  # fmt: skip
"""Kinds of what is counted beside stitches."""
_NO_COUNT = frozenset({
    "rep", "times", "star", "bo", "co", "pu", "turn", "even", "work", "to", "until", "once", "skip", "slipjoin",
    "join", "around", "hook", "drawn", "put", "top", "tbl", "lastrep", "ending",
})  # fmt: skip
"""What no count holds."""
_COUNTING = frozenset({"incl", "count", "counting", "counted", "including", "included"})
_NO_KINDS = frozenset({"inc", "dec", "sk", "sl st"})
_BEHIND = frozenset({"remark", "stop", "sep", "turn", "colour", "dash", "row", "close", "side", "eq", "colon"})
"""What may stand behind a count, to the end of the line."""
_PLACES = frozenset({"each", "next", "last", "same", "ord", "all"})


def tallies(chart: Chart, here: int, end: int) -> Iterator[Offer]:
    """Counts of several kinds of stitches and spaces behind a line: `(12 dc, 4 ch-2 sps)`, `= 96 sts and 12 fans`."""
    kind, run = chart.kind(here), chart.run
    listed = chart.match("(num sep)+ {n:num} (st|ANY) stop?$", here, end)  # `18, 24, 30 sts`, of three rounds
    alone = chart.match("{n:num} st stop?$", here, end) if chart.kind(here - 1) == "even" else None
    cell = chart.match("slash {n:num} (st|ANY)? stop?$", here, end)  # `... across / turn / 20`
    if cell is not None and cell.end() == len(run):
        yield 0.0, Counted(Match(chart, cell).num("n"), run[here].at), cell.end()
    for match in (listed, alone):
        if match is not None and match.end() == len(run) and chart.kind(here - 1) not in ("sep", "next", "last"):
            yield -0.2, Counted(Match(chart, match).num("n"), run[here].at), match.end()
    bare = kind == "num" and chart.kind(here - 1) in _ROW_DONE
    if not bare and (kind not in _BEGINS or (kind == "sep" and run[here].value != ";")):
        return
    begin = here
    while begin < end and chart.kind(begin) in _LEADS:
        begin += 1
    opened = max((place for place in range(here, begin) if chart.kind(place) == "open"), default=-1)
    close = chart.partner.get(opened, end) if opened >= 0 else end
    stop = begin
    while stop < min(close, end) and (chart.kind(stop) != "stop" or opened >= 0):
        stop += 1
    if chart.kind(begin) != "num" or stop == begin:
        return
    equal = next((place for place in range(begin, stop - 1) if chart.kind(place) == "eq"), -1)
    if equal >= 0 and chart.kind(equal + 1) == "num":
        begin = equal + 1  # `(4 clusters of 3 tr = 12 tr)`
    after = stop + int(opened >= 0 and stop < end)
    behind = {chart.kind(place) for place in range(after, end)}
    free = behind <= _BEHIND or (opened >= 0 and not behind & {*STITCHES, "rep", "times", "star", "in"})
    if opened >= 0 and close >= end:
        return
    items = _items(run[begin:stop])
    if not free or items is None:
        return
    counted = _counted(items, run[begin])
    kinds = [name for name, _ in counted.tally]
    chained = "chains" in kinds or any(token.value == "ch" for token in run[begin:stop])
    several = len(items) > 1 or kinds[:1] in (["space"], ["group"]) or opened >= 0 or kind == "sep" or chained
    if counted.num == () and kinds == ["chains"]:
        return  # `Commence with 41 ch`
    if kinds and several and not _NO_KINDS & {*kinds}:
        strange = any(token.kind == "unknown" for token in run[begin:stop])
        yield 0.5 * strange - 0.1 * chained, counted, after


Item = tuple[str, Num, bool]
"""What is counted, how many, and whether that is said to be all of it."""


def _items(words: Sequence[Token]) -> list[Item] | None:
    """The items of a count between its commas; None if it is no count."""
    found: list[Item] = []
    item: list[Token] = []
    for place, token in enumerate((*words, None)):
        dashed = token is not None and token.kind == "dash" and token.tight and item and item[-1].kind == "num"
        if dashed and place + 1 < len(words) and words[place + 1].value == "ch":
            continue  # `two 10-ch loops`
        if token is not None and token.kind not in ("sep", "stop", "dash", "eq", "open", "close", "colon"):
            item.append(token)
            continue
        if item and (one := _item(item)) is None:
            return None
        if item and one is not None:
            found.append(one)
        item = []
    return found


def _item(words: Sequence[Token]) -> Item | None:
    kinds = [token.kind for token in words]
    if "edge" in kinds and {"remark", "each", "at"} & {*kinds}:
        return "", (), False  # `15 per side`
    turning = {"turn"} if any(token.value == "ch" for token in words) else set()
    if _NO_COUNT & {*kinds} - turning or any(
        kind == "in" and after in _PLACES for kind, after in itertools.pairwise(kinds)
    ):
        return None
    chains = any(token.value == "ch" for token in words)
    if kinds[0] != "num":
        begins = next(
            (place for place, kind in enumerate(kinds) if kind not in ("remark", "have", "total", "rem", "on")), 0
        )
        counting = any(token.value in _COUNTING for token in words[:begins]) or "hooknote" in kinds
        if kinds[begins] == "num" and begins and not counting:
            return _item(words[begins:])
        told = any(token.value in _COUNTING for token in words) or "hooknote" in kinds
        chains = chains and not {"remark", "rem", "hooknote"}.isdisjoint(kinds)
        return ("chains", (), False) if chains or told else ("", (), False)
    noun = ""
    for place, token in enumerate(words[1:], 1):
        if noun and (token.value in _COUNTING or token.kind == "hooknote"):
            break  # `31 sts including ch-1 sps`
        if token.kind in _NOUNS and not (token.kind == "unknown" and noun):
            noun = _NOUNS[token.kind]
            break
        if token.kind == "num" and words[place - 1].value != "ch":
            if place + 1 < len(words) and words[place + 1].value == "ch":
                continue  # `two 10-ch loops`
            break
        if token.kind == "stitch" and noun in ("", "st", "ch") and (token.value != "ch" or not noun):
            noun = token.value
        elif token.kind == "st" and not noun:
            noun = "st"
    if noun == "ch" and chains:
        return "chains", words[0].num, False
    if noun in ("st", "") and chains and {"remark", "hooknote", "rem"} & {*kinds}:
        return "with chains", words[0].num, "total" in kinds
    return noun, words[0].num, "total" in kinds


def _counted(items: Sequence[Item], first: Token) -> Counted:
    """The stitches of a count of several kinds; `num` () where groups are counted, whose stitches it does not tell."""
    named = [(kind, n) for kind, n, _ in items if kind and n]
    named = [(kind, n) for kind, n in named if kind != "chains"]
    chained = any(kind in ("chains", "with chains") for kind, _, _ in items)
    tally = tuple(("st" if kind == "with chains" else kind, n) for kind, n in named)
    tally += (("chains", (0,)),) if chained else ()
    whole = next((n for _, n, total in items if total and n), None)
    whole = whole or next((n for kind, n in named if kind in ("st", "with chains")), None)
    stitches = [n for kind, n in named if kind not in ("space", "group", "ch")]
    if whole is None and stitches and not any(kind in ("group", "ch") for kind, _ in named):
        sizes = max(len(n) for n in stitches)
        whole = tuple(sum(n[min(size, len(n) - 1)] for n in stitches) for size in range(sizes))
    return Counted(whole or (), first.at, tally=tally)


_PAIR = re.compile(r"(sc|hdc|dc|tr)[ ,]*(?:then )?(?:inc|dec)\b.*", re.IGNORECASE)
"""A stitch and a shaping in one phrase, which may be two."""


def two_stitches(chart: Chart, here: int, text: str) -> Offer | None:
    """`(2sc inc) x 6`: two stitches and an increase (common in amigurumi), beside two such increases."""
    numbered = chart.kind(here) == "num"
    place = here + int(numbered)
    token = chart.run[place] if place < len(chart.run) else None
    pair = _PAIR.fullmatch(text[token.at : token.end]) if token and token.kind == "stitch" else None
    bracketed = chart.kind(here - 1) == "open" and chart.kind(here + 1) == "close"
    ends = chart.kind(place + 1) in ("", "sep", "stop", "close", "star")
    if token is None or pair is None or not ends or not (numbered or bracketed):
        return None
    count = chart.run[here].num if numbered else ONE
    return -0.1, (Stitch(pair[1].lower(), count, token.at), Stitch(token.value, ONE, token.at)), place + 1


def three_stitches(chart: Chart, here: int, text: str) -> Offer | None:
    """`K1 yo k1, p2` with no dashes: three steps, beside one stitch made of them."""
    token = chart.run[here]
    words = text[token.at : token.end]
    if " " not in words or "-" in words or chart.kind(here + 1) == "in":
        return None
    return -0.1, tuple(Stitch(name, ONE, token.at) for name in ("k", "yo", "k")), here + 1
