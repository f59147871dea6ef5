"""The words of a line of crochet put as the rules have them: what is said in more words, or in another order.

Each way of saying something is a run of kinds of tokens (see `search.compiled`) and what stands in its place.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from lessonplan.printed.rules.search import char, compiled, needed
from lessonplan.printed.words.tokens import Token

Run = Sequence[Token]
_PLACES = frozenset({"hook", "same", "next", "st", "stitch", "ord", "each", "chain", "num", "last"})


@dataclass(frozen=True, slots=True)
class _Said:
    """A run of kinds, and the words in its place; None where it does not fit after all."""

    pattern: str
    put: Callable[[Run], Run | None]


def _nothing(words: Run) -> Run:
    return ()


def _not_done(words: Run) -> Run | None:
    """`2 sc (instead of 3)`."""
    return () if words[1].value == "turns" else None


def _into(words: Run) -> Run:
    """`sc over each st`, `sc on each sc`."""
    return (replace(words[0], kind="in"),)


def _both_in(words: Run) -> Run:
    """`hdc in same st and next 11 sts`: `in` is said once of two places."""
    at = words[-1]
    return (*words, replace(at, kind="in", value="", num=()))


def _other_side(words: Run) -> Run:
    """`sc in next 8 ch along opposite side of foundation ch`: the side stands behind what is worked on it."""
    side = next(place for place, word in enumerate(words) if word.kind == "otherside")
    return (words[side], replace(words[side], kind="sep", value=","), *words[:side])


def _omitted(words: Run) -> Run | None:
    """`omitting 1 dc at end of last rep`."""
    stitch = next(word for word in words if word.kind == "stitch")
    return (replace(words[0], kind="omit", value=""), stitch) if words[0].value == "turns" else None


def _of_so_many(words: Run) -> Run | None:
    """`5-dc popcorn`."""
    return words[-1:] if words[-1].value in ("popcorn", "bobble", "puff", "cluster") else None


def _again(words: Run) -> Run:
    """`dc in each st to end, dc again in last st`."""
    return (words[1], replace(words[2], kind="same", value=""))


def _just_made(words: Run) -> Run | None:
    """`working in front of dc just made`."""
    return () if words[-1].value == "made" else None


def _all_but(words: Run) -> Run | None:
    """`in each st except the last one`: to the last one."""
    told = words[0].kind == "unknown" and words[0].value in ("except", "excluding", "bar")
    told = told or words[0].value == "turns"
    return (replace(words[0], kind="to", value=""), *words[1:]) if told else None


def _all_but_some(words: Run) -> Run | None:
    """`sc in all but last 3 sts`."""
    numbers, at = [word for word in words if word.kind == "num"], words[0]
    if not any(word.value == "turns" for word in words):
        return None
    return (*(replace(at, kind=kind, value="", num=()) for kind in ("to", "last")), *(numbers or words[-1:]))


def _of_chains(words: Run) -> Run | None:
    """`2 sc in each 2 ch sp`: in each space of two chains, not in each of two stitches."""
    number, space = words
    return (number, replace(space, kind="dash", value=""), space) if space.value == "ch" else None


def _making(words: Run) -> Run | None:
    """`sc in each dc around, making 3 sc in each corner`."""
    return () if words[0].value == "making" else None


_SAID: tuple[_Said, ...] = (
    _Said("(?<=SEP) unknown (?=num stitch in)", _making),
    _Said("(?<=(each|all)) num space", _of_chains),
    _Said("(?<=(close|ANY)) all (?=in (ring|same|next|ord|space|st|ANY))", _nothing),
    _Said("open remark num ((?!close)(?!open).)* close", _not_done),
    _Said("(?<=(ANY|num)) (over|on) (?=(each|all) (rem|next|other)* (st|ANY))", _into),
    _Said("open (same|at|in|to) (turn|beg|chain|num)* close", _nothing),
    _Said("(?<=(chain num|num chain)) SEP? to turn (?=SEP)", _nothing),
    _Said("(?<=(chain num|num chain)) SEP? (to (unknown|remark|have)?)? (for|as) (next|ord|num) (stitch|st) (?=SEP)",
          _nothing),
    _Said("(?<=(chain num|num chain)) to (unknown|remark|have) (for|as) (next|ord|num) (stitch|st) (?=SEP)", _nothing),
    _Said("(stitch|inc) in (next|rem)* num chain (around|on|in)? otherside (remark|chain|row|edge)* (?=SEP|$)",
          _other_side),
    _Said("remark num? stitch ((in|around) (next|st|ANY|same)+)? (at|in|on|from)* (end|last)* (rep|lastrep)", _omitted),
    _Said("(total|(in? all)) remark ((last num?)|num) (st|ANY)?", _all_but_some),
    _Said("more in (last|same) (st|ANY)", _again),
    _Said("num dash? stitch stitch", _of_so_many),
    _Said("SEP work? (in|at|over|remark)* num? (st|ANY) num? remark (?=SEP)", _just_made),
    _Said("(?<=(st|ANY)) (remark|unknown) last num? (st|ANY|remark|(?=SEP))", _all_but),
)  # fmt: skip


def plainer(run: Run, text: str) -> tuple[Token, ...]:
    """The words of a line of crochet as the rules have them.

    A stop stands where a count is at the end behind a word that ends with one: `2 d.c. into each d.c. 24 d.c.`
    """
    kinds = "".join(map(char, run))
    present = frozenset(kinds)
    ready = [(said, compiled(said.pattern)) for said in _SAID if needed(said.pattern) <= present]
    kept: list[Token] = []
    here, ends = 0, len(run) - int(bool(run) and run[-1].kind == "stop") - 2
    while here < len(run):
        match, put = None, None
        for said, pattern in ready:
            match = pattern.match(kinds, here)
            if match is not None and (put := said.put(run[here : match.end()])) is not None:
                break
        if match is not None and put is not None:
            kept += put
            here = match.end()
            continue
        if here == ends and _counted(run[here - 2 : here + 2], text):
            kept.append(replace(run[here - 1], kind="stop", value=".", at=run[here - 1].end, num=()))
        kept.append(run[here])
        if _in_both(run, here):
            kept.append(replace(run[here + 1], kind="in", value=""))
        here += 1
    return tuple(kept)


def _counted(run: Run, text: str) -> bool:
    """Whether words are the end of a row and its count: `each d.c. 24 d.c.`"""
    kinds = [token.kind for token in run]
    place = kinds[:1] in (["each"], ["next"], ["in"], ["all"], ["last"])
    return place and kinds[1:] == ["stitch", "num", "stitch"] and text[: run[2].at].rstrip().endswith(".")


def _in_both(run: Run, here: int) -> bool:
    """Whether `in` is said once of two places: `hdc in same st and next 11 sts`."""
    ahead = [each.kind for each in run[here + 1 : here + 3]]
    hooked = run[here - 1].kind in ("hook", "next") and ahead[:1] in (["each"], ["all"])  # `in next and each foll st`
    if run[here].kind != "sep" or run[here].value or not (hooked or ahead == ["next", "num"]):
        return False
    before = here - 1
    while before > 0 and run[before].kind in _PLACES:
        before -= 1
    return before > 0 and before < here - 1 and run[before].kind == "in" and run[before - 1].kind == "stitch"
