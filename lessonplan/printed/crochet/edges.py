"""Rules of crochet that goes along an edge: as many stitches as are told, or as there are rows."""

from __future__ import annotations

from typing import Any

from lessonplan.printed.crochet.closed import PLAIN
from lessonplan.printed.rules.grammar import ONE
from lessonplan.printed.rules.search import NO_FIT, Match, Passed, Rule
from lessonplan.printed.tree import Into, Stitch
from lessonplan.printed.words.tokens import Token

_SO_MANY = "work? (({s:stitch} {n:num})|({n2:num} {s2:stitch}))"


def _so_many_of(m: Match) -> tuple[Token, Token]:
    """The stitch and its number, in either order."""
    s, n = ("s", "n") if m.has("s") else ("s2", "n2")
    return m.token(s), m.token(n)


def _along(m: Match) -> Any:
    """`Work 40 sc evenly around neck edge`: stitches made where none were."""
    token, n = _so_many_of(m)
    named = any(token.kind in ("edge", "otherside") for token in m.chart.run[m.match.start() : m.match.end()])
    made = Into((Stitch(token.value, ONE, token.at),), "side", n.num, None, m.at)
    edges = sum(token.kind in ("edge", "otherside") or token.value == "corner" for token in m.chart.run)
    if edges > 2 and named:
        return made
    return (made, Passed(n, 3)) if named else NO_FIT  # which other edges there are only a count tells


def _evenly_around(m: Match) -> Any:
    """`Work 84 sc evenly around the neck opening`: so many there are, whatever they are worked into."""
    made = [token for token in m.chart.run if token.kind == "stitch" and token.value not in ("ch", "sl st")]
    token, n = _so_many_of(m)
    once = all(each.at >= token.at for each in made) and token.value in PLAIN
    return Into((Stitch(token.value, ONE, token.at),), "side", n.num, None, m.at) if once else NO_FIT


def _at_row_ends(m: Match) -> Into:
    """`Sc 64 evenly along the row ends`."""
    token, n = _so_many_of(m)
    return Into((Stitch(token.value, ONE, m.at),), "side", n.num, None, m.at)


def _along_rows(m: Match) -> tuple[Into, Passed]:
    """`Sc evenly along the row ends`: how many only a count tells."""
    token = m.token("s")
    return Into((Stitch(token.value, ONE, token.at),), "rows", ONE, None, m.at), Passed(m.token("r"), 3)


EDGES: tuple[Rule, ...] = (
    Rule(f"{_SO_MANY} (evenly|even)? (remark|hand|on|around|in|over|from|evenly)* (edge|side|otherside)+",
         _along, -0.5),
    Rule(f"{_SO_MANY} (remark|hand)* evenly (on|around|in|over|from)* (remark|hand|unknown|seam|edge)+ "
         "(?=stop|sep|open|dash|eq|$)", _evenly_around, -0.4),
    Rule(f"{_SO_MANY} evenly (on|around|in|over|from)* row (end|edge)", _at_row_ends, -0.5),
    Rule("{s:stitch} (evenly|around|remark|in|on)+ {r:row} (end|edge|side)", _along_rows, -0.5),
    Rule("work (around|in|on|over|remark)* row? (edge|end|side)+ (edge|remark|unknown|row|hand|end)* "
         "(?=sep|colon|stop)",
         lambda m: None, -0.3),
)  # fmt: skip
"""Stitches along an edge, and words that only name it."""
