"""What print says twice: `decrease 1 (k2tog)`, `k2tog dec`, `inc (2 sc in same st)`, `M1 (make 1)`.

One of the two is dropped, so that nothing is worked twice and no bracket waits for a repeat.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.craft.techniques import technique
from lessonplan.printed.words.tokens import Token

_ANY = frozenset({"inc", "dec"})
"""Stitches that are named by what they do alone."""
_INSIDE = frozenset(
    {"stitch", "num", "st", "remark", "in", "on", "next", "same", "each", "together", "over", "ord", "once", "work"}
)
"""Kinds of words with which a bracket says how a stitch is shaped."""
_ENDS = frozenset({"sep", "stop", "close", "star", "to", "dash", "rep", "eq", "open"})
"""Kinds of words before which a stitch has been told."""
_REPEATS = frozenset({"times", "once", "rep", "in", "to", "around"})
"""Kinds of words by which a bracket is worked, and more than once."""


def said_once(run: Sequence[Token], text: str) -> tuple[Token, ...]:
    """The words of a line without those that say again what stands before them."""
    kept: list[Token] = []
    here = 0
    while here < len(run):
        if (close := _told_again(run, here, kept)) or (close := _named_again(run, here, kept)):
            here = close
            continue
        if end := _alternative(run, here, text):
            here = end
            continue
        if _verb_before_star(run, here):
            kept += (run[here + 1], run[here])
            here += 2
            continue
        if end := _generic(run, here):
            here = end
            continue
        token = run[here]
        if token.value == "rest" and kept and kept[-1].value in ("k", "p"):
            token = replace(token, kind="rem")  # `knit the rest of the row`; what rests on a holder is no such rest
        if token.kind == "open" and (end := _bracketed(run, here)):
            kept += run[here + 1 : end]
            here = end + 1
            continue
        if token.kind == "meanwhile" and kept and kept[-1].value in _ANY:
            here += 1  # `knit 1 round, decreasing at the same time 8 sts evenly`
            continue
        if end := _one_at_edges(run, here, kept):
            here = end
            continue
        first = token.kind == "next" and kept and kept[-1].kind == "from"
        if not (first and _kind(run, here + 1) == "star"):  # `rep from first *`
            kept.append(token)
        here += 1
    return tuple(kept)


_ELSE = re.compile(r"(?:or|alternatively|if you (?:prefer|like|wish)|you (?:can|could|may|might))\b(?! *\d)")


def _alternative(run: Sequence[Token], here: int, text: str) -> int:
    """The place behind a bracket that only offers another way to do what stands before it, or 0: `(or ssk)`.

    Another number is no other way: `k8 (or 10)`.
    """
    if run[here].kind != "open" or not here or here + 1 == len(run):
        return 0
    close = next((at for at in range(here + 1, len(run)) if run[at].kind in ("close", "open")), here)
    told = _kind(run, close) == "close" and _ELSE.match(text[run[here].end :].lstrip().lower())
    return close + 1 if told and _kind(run, close + 1) not in ("times", "rep", "once") else 0


def _verb_before_star(run: Sequence[Token], here: int) -> bool:
    """Whether `knit` stands before the asterisk behind which its number comes: `knit *4, k2tog*`."""
    bare = run[here].kind == "stitch" and run[here].value in ("k", "p")
    return bare and _kind(run, here + 1) == "star" and _kind(run, here + 2) == "num" and _kind(run, here + 3) == "sep"


def _kind(run: Sequence[Token], here: int) -> str:
    return run[here].kind if 0 <= here < len(run) else ""


def shapes(name: str) -> int:
    """How many stitches a technique adds (below 0: takes away); a bare inc or dec one."""
    if name in _ANY:
        return 1 if name == "inc" else -1
    entry = technique(name)
    return entry.produces - entry.consumes


def _told_again(run: Sequence[Token], here: int, kept: Sequence[Token]) -> int:
    """The place behind a bracket that says how the shaping before it is done, or what it is called; or 0."""
    if run[here].kind != "open" or not kept:
        return 0
    close = next((at for at in range(here + 1, min(here + 12, len(run))) if run[at].kind in ("close", "open")), here)
    inside = run[here + 1 : close]
    if _kind(run, close) != "close" or not inside or not _INSIDE.issuperset(token.kind for token in inside):
        return 0
    after = close + 1 + (_kind(run, close + 1) == "num")
    named = [token for token in inside if token.kind == "stitch"]
    joined = not named and inside[0].kind == "work" and inside[-1].kind == "together"  # `dec 1 (work next 2 sts tog)`
    if joined and kept[-1].kind == "num" and kept[-2].value == "dec":
        return close + 1
    before = _shaping(kept)
    if before is None or len(named) != 1 or _kind(run, after) in _REPEATS or inside[0].kind in ("next", "ord", "in"):
        return 0
    if before.value not in _ANY and named[0].value not in _ANY and named[0].value != before.value:
        return 0
    several = max((token.num[0] for token in inside if token.kind == "num" and token.num), default=1)
    place = any(token.kind == "in" for token in inside)
    gives = several - 1 if place and shapes(named[0].value) == 0 else shapes(named[0].value)
    gives = 1 - several if any(token.kind == "together" for token in inside) else gives
    return close + 1 if (gives > 0) == (shapes(before.value) > 0) and gives != 0 else 0


def _shaping(kept: Sequence[Token]) -> Token | None:
    """The increase or decrease that the last words are: `inc`, `dec 1`, `inc in next st`."""
    for token in kept[:-6:-1]:
        if token.kind == "stitch":
            return token if shapes(token.value) else None
        if token.kind not in ("num", "st", "in", "next") or (token.kind == "num" and token.num != (1,)):
            return None
    return None


def _generic(run: Sequence[Token], here: int) -> int:
    """The place of a technique that tells how a bare shaping before it is done (`dec 1 by k2tog`), or 0."""
    if run[here].value not in _ANY or run[here].kind != "stitch":
        return 0
    after = here + 1
    while _kind(run, after) in ("num", "st") and (run[after].kind == "st" or run[after].num == (1,)):
        after += 1
    by = _kind(run, after) == "remark" and run[after].value in ("by", "with", "using", "work")
    after += by + (by and _kind(run, after + 1) == "work")
    if not by or _kind(run, after) != "stitch" or _kind(run, after + 1) not in {*_ENDS, ""}:
        return 0
    named = run[after].value
    return after if named not in _ANY and shapes(named) * shapes(run[here].value) > 0 else 0


_EDGES = frozenset({"at", "on", "each", "both"})


def _one_at_edges(run: Sequence[Token], here: int, kept: Sequence[Token]) -> int:
    """The place behind `a stitch` in `decrease a stitch at each end`, before `dec` in `work 1 dec at each end`."""
    if run[here].kind == "st" and kept and kept[-1].value in _ANY and _kind(run, here + 1) in _EDGES:
        return here + 1
    led = run[here].kind == "work" and _kind(run, here + 1) == "num" and run[here + 1].num == (1,)
    bare = led and _kind(run, here + 3) in _EDGES and run[here + 2].value in _ANY
    return here + 2 if bare else 0


def _named_again(run: Sequence[Token], here: int, kept: Sequence[Token]) -> int:
    """The place behind a bare `inc` or `dec` that only names the stitch before it (`k2tog dec`), or 0."""
    if run[here].value not in _ANY or run[here].kind != "stitch" or not kept or kept[-1].kind != "stitch":
        return 0
    named = kept[-1].value
    again = named not in _ANY and shapes(named) * shapes(run[here].value) > 0
    return here + 1 if again and _kind(run, here + 1) in {*_ENDS, ""} else 0


def _bracketed(run: Sequence[Token], here: int) -> int:
    """The place of the bracket that ends `(rep from * to end)` or `(evenly)`, of which nothing else is worked; or 0."""
    if _kind(run, here + 1) in ("evenly", "more", "total") and _kind(run, here + 2) == "close":
        return here + 2
    if _kind(run, here + 1) != "rep" or _kind(run, here + 2) not in ("from", "star", "remark", "to", "around"):
        return 0
    close = next((at for at in range(here + 1, len(run)) if run[at].kind in ("close", "open", "stop")), here)
    close += _kind(run, close) == "stop"
    return close if _kind(run, close) == "close" else 0
