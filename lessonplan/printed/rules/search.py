"""All readings of a run of tokens, the cheapest first.

A line is read as a path through its tokens: at each token every rule that fits offers an item and a token to go on
from, and a token may also be passed over, at a price. The best few paths to each token are kept (a beam over a
lattice), so the work grows with the length of the line and not with the number of its readings, and nothing unforeseen
stops the reader.
Rules are regular expressions over the kinds of tokens, one character for each kind, so that matching is done by `re`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NamedTuple

from lessonplan.printed.heading import Num
from lessonplan.printed.words.tokens import Token

COUNT_PASSED = 4
"""Level of the doubt about a reading that passes over what looks like the count of the line."""
BEAM = 3
"""Paths kept to each token; more of them change no count of the tests."""

_ALL_KINDS = """
num st row times once more total last next ord rem each all both other same end beg edge marker needle hand gap
centre to before after between in at on over around from for rep asterisk ending lastrep turn wt pm sm rm rmall
join bo co coshort pu bind3 graft draw picot cn put holder return held even work measures evenly have inced
deced as side manner fewer ring hook space top pass tbl kwise pwise below together slipjoin odd sets omit
unworked elsewhere drawn meanwhile seam wraps drop unit length size hooknote winding remark unknown
colour pattern chart eor alike sep stop colon dash eq open close star slash group otherside
stitch slip knit dec inc chain skip yarn
"""
KINDS = tuple(_ALL_KINDS.split())
CHAR: Mapping[str, str] = {kind: chr(0x100 + place) for place, kind in enumerate(KINDS)}
_SUBKINDS = {
    **dict.fromkeys(("sl", "sl1k", "sl1p", "sl st"), "slip"),
    **dict.fromkeys(("k", "p"), "knit"),
    "dec": "dec",
    "inc": "inc",
    "ch": "chain",
    "sk": "skip",
    "wyif": "yarn",
    "wyib": "yarn",
}
_MACROS = {
    "ANY": "(stitch|slip|knit|dec|inc|chain|skip|yarn)",
    "SEP": "(sep|stop|colon|dash|slash)",
}


def char_kind(token: Token) -> str:
    """The kind of a token as the rules know it: some stitches have kinds of their own."""
    return _SUBKINDS.get(token.value, "stitch") if token.kind == "stitch" else token.kind


def char(token: Token) -> str:
    """The character that stands for a token in the patterns of rules."""
    return CHAR[char_kind(token)]


@cache
def compiled(pattern: str) -> re.Pattern[str]:
    """A pattern of kinds: words are kinds, `{name:...}` a group with a name, `? * + | ( )` as in any expression."""
    for name, meaning in _MACROS.items():
        pattern = re.sub(rf"\b{name}\b", meaning, pattern)
    pattern = re.sub(r"\{(\w+):", r"(?P<\1>", pattern).replace("}", ")")
    written = re.sub(r"(?<![<\w])[a-z]\w*(?!\w|>)", lambda word: CHAR[word[0]], pattern)
    return re.compile(written.replace(" ", "").replace("(?P<", "\0").replace("\0", "(?P<"))


PART = re.compile(r"(?:[^\s({]|[({](?:[^(){}]|[({](?:[^(){}]|[({](?:[^(){}]|[({][^(){}]*[)}])*[)}])*[)}])*[)}])+")
"""A part of a pattern: a word, or all in one pair of brackets, with the sign behind it."""


_NAMED = re.compile(r"\{\w+:(\w+)\}")
"""One word as a group with a name."""


@cache
def needed(pattern: str) -> frozenset[str]:
    """The characters without which a pattern fits nowhere, so that it need not be tried (nor made)."""
    parts = (_NAMED.sub(r"\1", part) for part in PART.findall(pattern))
    return frozenset(CHAR[part] for part in parts if part in CHAR)


@dataclass(frozen=True, slots=True)
class Passed:
    """Tokens passed over: the first of them and how much of a doubt that is: see `Doubt`."""

    token: Token
    doubt: int


class Found(NamedTuple):
    """One reading of a stretch: what it costs and its items in order."""

    cost: float
    items: tuple[Any, ...] = ()


class Match(NamedTuple):
    """Where a rule fits: gives the numbers and tokens of its named groups."""

    chart: Chart
    match: re.Match[str]

    @property
    def at(self) -> int:
        """The place in the text of the first token."""
        return self.chart.run[self.match.start()].at

    def has(self, name: str) -> bool:
        """Whether a group took part."""
        return name in self.match.re.groupindex and self.match[name] is not None

    def token(self, name: str) -> Token:
        """The first token of a group."""
        return self.chart.run[self.match.start(name)]

    def num(self, name: str, default: Num = (1,)) -> Num:
        """The numbers of a group, or the default."""
        return self.token(name).num if self.has(name) and self.match[name] else default


Build = Callable[[Match], Any]
NO_FIT = object()
"""What a rule builds where it does not fit after all."""


@dataclass(frozen=True, slots=True)
class Rule:
    """A pattern of kinds, what it means, and what it costs to read it so."""

    pattern: str
    build: Build
    cost: float = 0.0


class _Kinds(dict[int, str]):
    def __missing__(self, place: int) -> str:
        return ""


class Chart:
    """The tokens of one line and what was read of every stretch of them so far."""

    def __init__(self, run: Sequence[Token], craft: str) -> None:
        self.run = run
        self.craft = craft
        self.kind: Callable[[int], str] = _Kinds(enumerate(token.kind for token in run)).__getitem__
        """Kind of a token by its place, or "" past either end."""
        self.kinds = "".join(map(char, run))
        self.present = frozenset(self.kinds)
        self.partner = _partners(run)
        self.memo: dict[tuple[int, int, bool], list[Found]] = {}

    def match(self, pattern: str, here: int, end: int) -> re.Match[str] | None:
        """Where a pattern of kinds fits at token `here`, before token `end`."""
        return compiled(pattern).match(self.kinds, here, end) if needed(pattern) <= self.present else None


Offer = tuple[float, Any, int]
"""What a rule offers at a token: a cost, an item (None: nothing), the token to go on from."""


@dataclass(slots=True)
class Search:
    """Reads stretches of a chart; `offers` gives what can be read at a token, `passing` the price of passing it."""

    chart: Chart
    offers: Callable[[int, int, bool], list[Offer]]
    passing: Callable[[int, int, bool], Offer]
    depth: int = field(default=0)

    def read(self, here: int, end: int, nested: bool = False) -> list[Found]:
        """The cheapest readings of the tokens from `here` to `end`."""
        key = here, end, nested
        if key in self.chart.memo:
            return self.chart.memo[key]
        self.chart.memo[key] = []
        if self.depth > 12:
            return []
        self.depth += 1
        ahead: list[list[Found]] = [[] for _ in range(end - here + 1)]
        ahead[0] = [Found(0.0)]
        for place in range(here, end):
            paths = ahead[place - here]
            if not paths:
                continue
            for cost, item, after in (*self.offers(place, end, nested), self.passing(place, end, nested)):
                if after > end:
                    continue
                at = ahead[after - here]
                more = () if item is None else item if isinstance(item, tuple) else (item,)
                for path in paths:
                    if len(at) == BEAM and at[-1].cost <= path.cost + cost:
                        break  # the other paths are dearer still
                    _keep(at, path.cost + cost, (*path.items, *more))
        self.depth -= 1
        self.chart.memo[key] = ahead[-1]
        return ahead[-1]


def _keep(paths: list[Found], cost: float, items: tuple[Any, ...]) -> None:
    """A path put in its place among the few that are kept, if it says something new."""
    place = 0
    for path in paths:
        if path.cost > cost:
            break
        if path.items == items:
            return
        place += 1
    paths.insert(place, Found(cost, items))
    del paths[BEAM:]


def _partners(run: Sequence[Token]) -> dict[int, int]:
    """For each bracket the place of the one that belongs to it."""
    found: dict[int, int] = {}
    opened: list[int] = []
    for place, token in enumerate(run):
        if token.kind == "open":
            opened.append(place)
        elif token.kind == "close" and opened:
            first = opened.pop()
            found[first], found[place] = place, first
    return found
