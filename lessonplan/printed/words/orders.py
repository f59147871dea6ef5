"""Words that are orders by what stands beside them: `do Row 2`, `alternate Rnds 1 and 2`, `k all but last 2`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lessonplan.printed.words.tokens import Token

_FABRICS = frozenset({"moss", "seed", "garter"})


def as_order(token: Token, run: Sequence[Token], here: int, text: str) -> Token:
    """Give a token at a place of a run with its kind as an order, or as it is."""
    following = [each.kind for each in run[here + 1 : here + 4]]
    word = text[token.at : token.end].lower()
    if token.kind == "remark" and token.value in _FABRICS and _begins(run, here) and following[:1] in (["num"], ["to"]):
        return replace(token, kind="even", value="")  # `moss 4, k to last 4 sts, moss 4`
    if token.value == "do" and following[:1] == ["row"]:
        return replace(token, kind="rep", value="")  # `do Row 2 until there are 44 sts`
    if token.kind == "other" and word == "alternate" and following in (["row", "num", "sep"], ["row", "num", "dash"]):
        return replace(token, kind="rep", value="")  # `alternate Rnds 1 and 2 until ...`
    but = token.kind in ("unknown", "remark") and word in ("but", "except")
    if but and following[:1] == ["last"] and _all_worked(run, here):
        return replace(token, kind="to", value="")  # `k all sts except the last 2`
    return token


def _begins(run: Sequence[Token], here: int) -> bool:
    return not here or run[here - 1].kind in ("sep", "stop", "colon", "dash", "star", "open")


def _all_worked(run: Sequence[Token], here: int) -> bool:
    """Whether all stitches are worked, bound off or put aside before a word: `bind off all but last st`."""
    every = here - 1 - (run[here - 1].kind == "st")
    verb = run[every - 1]
    done = verb.kind in ("put", "work", "bo") or verb.value in ("sl", "k", "p", "")
    return every > 0 and run[every].kind == "all" and done
