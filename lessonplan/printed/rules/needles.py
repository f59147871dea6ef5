"""Rules for a round that is told needle by needle: `1st needle: ...; 3rd needle as 1st`."""

from __future__ import annotations

from typing import Any

from lessonplan.printed.items import EACH, AsNeedle, AtNeedle
from lessonplan.printed.rules.grammar import ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Rule

_FIRST = ("sep", "stop", "colon", "dash", "")


def _numbers(m: Match, name: str) -> tuple[int, ...]:
    """The needles that a group names by numbers or ordinals; () where "next" is one of them."""
    words = [m.chart.run[place] for place in range(m.match.start(name), m.match.end(name))]
    words = [word for word in words if word.kind in ("num", "ord", "next")]
    found = tuple(word.num[0] if word.num else ONE[0] for word in words if word.num or word.value == "first")
    return found if len(found) == len(words) else ()


def _needles(m: Match) -> Any:
    if m.chart.kind(m.match.start() - 1) == "stitch":
        return NO_FIT  # `knit needles 2 and 3`
    return AtNeedle(_numbers(m, "n"), m.at, True)


def _ordinal_needle(m: Match) -> Any:
    """`1st needle, k to last 3 sts`: at the beginning of a sentence or a clause."""
    begins = m.chart.kind(m.match.start() - 1) in _FIRST
    return AtNeedle(_numbers(m, "n"), m.at, True) if begins and _numbers(m, "n") else NO_FIT


def _as_needles(m: Match) -> Any:
    """`3rd needle as 1st`, `work needles 3 and 4 as needles 1 and 2`."""
    found = _numbers(m, "n")
    told = m.has("d") or m.chart.kind(m.match.start() - 1) in ("needle", "colon", "dash", "num", "sep")
    ordinal = m.token("n").kind != "num"
    if not found or not (m.has("d") or (ordinal and told and _after_needle(m))):
        return NO_FIT
    return AsNeedle(found[0], m.at, found[1:])


def _after_needle(m: Match) -> bool:
    """Whether a needle is named just before: `3rd needle: as 1st`."""
    before = m.match.start() - 1
    while m.chart.kind(before) in ("sep", "colon", "dash", "same", "work"):
        before -= 1
    return m.chart.kind(before) == "needle"


def _again_on(m: Match) -> Any:
    """`1st needle: ... 2nd needle: ... Rep on 3rd and 4th needles.`"""
    found = _numbers(m, "n")
    if len(found) < 2:
        return NO_FIT
    return AtNeedle(found, m.at, True), AsNeedle(1, m.at, tuple(range(2, len(found) + 1)))


_STARRED = "star+ (on|remark)* {d:needle} {n:num} (colon|stop|dash|sep)*"
_FROM_STAR = "rep (from|remark)* star"


def _starred(m: Match) -> Any:
    """`*Needle 1: ...; needle 2: ...; rep from *` for the other needles: the asterisk says nothing else."""
    rest = range(m.match.end(), len(m.chart.run))
    again = any(m.chart.match(_FROM_STAR, place, len(m.chart.run)) for place in rest)
    alone = "star" not in map(m.chart.kind, range(m.match.start()))
    return AtNeedle(m.num("n"), m.at, True) if again and alone and m.num("n") == ONE else NO_FIT


def _from_star(m: Match) -> Any:
    """`rep from * for needles 3 and 4`, `rep from * once more`: the needles behind those that are told."""
    star = next((place for place in range(m.match.start()) if m.chart.kind(place) == "star"), m.match.start())
    if m.chart.match(_STARRED, star, len(m.chart.run)) is None:
        return NO_FIT
    told = sum(m.chart.kind(place) == "needle" and m.chart.kind(place + 1) == "num" for place in range(m.match.start()))
    found = _numbers(m, "n") if m.has("n") else tuple(range(told + 1, 2 * told + 1))
    return (AtNeedle(found, m.at, True), AsNeedle(1, m.at, tuple(range(2, told + 1)))) if len(found) == told else NO_FIT


_LISTED = "((sep|dash)+ (ord|next))*"
NEEDLES: tuple[Rule, ...] = (
    Rule("(rep|work|as|same)+ (remark|for|on|as)* {d:needle} {n:(num ((sep|dash)+ num)*)}", _as_needles, -0.2),
    Rule("(rep|work|same)? as (remark|for|on)* {n:(ord|next)} {d:needle}?", _as_needles, -0.2),
    Rule("(rep|work|same)? as (remark|for|on)* {n:((ord|next) (sep|dash)+ (ord|next))} (?=stop|sep|dash|open|eq|$)",
         _as_needles, -0.2),
    Rule("rep (remark|for|on|in|around)+ (ord|next|other) needle", lambda m: AsNeedle(0, m.at), -0.2),
    Rule("rep (remark|for|on|in|around|over)+ {n:((ord|next) ((sep|dash)+ (ord|next))+)} needle", _again_on, -0.4),
    Rule(_STARRED, _starred, -0.4),
    Rule(f"{_FROM_STAR} (remark|for|on|in|around|over)+ needle {{n:(num ((sep|dash)+ needle? num)+)}}",
         _from_star, -0.4),
    Rule(f"{_FROM_STAR} (for|on) (other|rem|next) num? needle", _from_star, -0.4),
    Rule(f"{_FROM_STAR} (once more?)? (?=stop|sep|open|dash|eq|$)", _from_star, -0.4),
    Rule("at beg {d:needle} {n:num}", lambda m: AtNeedle(m.num("n"), m.at)),
    Rule("(on|remark|work)* {d:needle} {n:(num ((sep|dash)+ num)*)} (colon|stop|dash|sep)*", _needles, 0.1),
    Rule(f"(on|work|remark)* {{n:((ord|next) {_LISTED})}} needle ((colon|stop|dash|sep)+|(?=as|same))", _ordinal_needle,
         -0.1),
    Rule("(on|for)? each needle (colon|dash|sep)", lambda m: AtNeedle(EACH, m.at, True)),
    Rule("((on|for) (each|both)|(sep both)) needle (?=stop|open|eq|dash|$)", lambda m: AtNeedle(EACH, m.at)),
)  # fmt: skip
