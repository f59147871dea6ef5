"""Yarns told in any words: where a part has one yarn, another is a slip unless it is told to rest or of something else.

The frames of `yarns` know what is told; here only the clause counts in which a yarn is named: the part named in it,
whether something is cut or joined, or whether it is the first stripe or the last.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from lessonplan.edit.proof.expected.parts import Part, Parts
from lessonplan.edit.speech.numbers import words_in

_BREAKS = frozenset(words_in("so and but because then that which when while until or as"))
"""Words with which another clause begins."""
_CLAUSE, _FAR = 12, 20
"""So many words on either side belong to a clause at most; so many off, the right yarn beside it explains it."""
_RESTS = re.compile(
    r"\b(?:look at|out of the way"
    r"|against the|wait\w*|rest(?:s|ed|ing)?(?! of)|leave|bag|basket|drawer|pocket|later|stop(?:s"
    r"|ped)?|gone|goodbye|turn|shift"
    r"|behind|tails?|waste|scrap|markers?|string|mistake|once|need it|ready|away|(?:get|change) to|was|were|had"
    r"|comes|rolled|fell|lost"
    r"|no|not|never|\w+n't|instead|could|would|if|yet|used|finish\w*|done|asleep|sleeps?|dropped|aside|tucked?|put"
    r"|stripes?|again|next|other|both|wraps|pompom)\b"
)
"""Said of a yarn that is not knitted now, or of other things of its colour."""
_ELSE = re.compile(r"\bmarkers?\b|\bfor (?:when|later|after)\b")
"""The same, some words off."""
_BESIDE = re.compile(r"\b(?:above|below|past|over|under|than|like|onto|from) (?:the|your|my|our) \w+")
"""A part that only tells where another one is."""
_CUT = re.compile(r"\b(?:cut|snip|scissors?|chop|trim|goodbye|bye)\b")
_LIKE = re.compile(r"\blike an? (?:[\w']+ )?@\d+$")
_OVER = re.compile(
    r"\b(?:(?:is|are|it's|'s|you're|we're|i'm|all) (?:[\w']+ )?(?:done|finished|over|ready|complete|through)"
    r"|finish(?:es|ed)?|(?:long|tall|deep|high) enough|last round|full|up to|behind (?:you|us|me)|done with)\b"
)
_JOINED = re.compile(
    r"\b(?:join\w*|get|grab|fetch|pick(?:s|ing)? up|bring\w*|ready|new (?:colou?r|yarn|one)|in comes"
    r"|comes in|tie (?:in|on)|hello|add|lay|switch|change|swap)\b"
)
_FIRST = re.compile(r"\b(?:first|starts?|starting|begins?|beginning|bottom|lowest|opens?|kicks?)\b(?! of the round)")
_LAST = re.compile(
    r"\b(?:last|final|stop (?:at|on|with)|ends?|ending|finish(?:es)?|top|topmost|uppermost)\b(?! of the round)"
)
_BEGUN = re.compile(r"\b(\w+) (?:starts?|begins?)\b")
_ALL_ONE = re.compile(
    r"\b(?:(?:band|body|cobbles|bit|part|it|these|them)(?:'s|'re| is| are)?|rounds? (?:is|are)|(?:is|it's"
    r"|are) (?:knit|worked|done))"
    r"(?: (?:knit|worked|done|made))? (?:(?:all|entirely|only|completely|just)(?: in)?|in) @\d+(?: (?!(?:stripe"
    r"|round|and|or|for"
    r"|first|then|now|again|stitch|to|here|one|when|up|yarn))\w+)?$"
)
"""Told of a striped part as of one yarn alone."""
_APART = re.compile(
    r"\b(?:second|next|other|third|fourth|until|above|below|over|under|tails?|carry|carried|between|again|since|from"
    r"|marker|waste|time|then|leave|needles?|without|past|don't|not|never|after|(?:three|four|five|six|seven|eight|nine"
    r"|ten|twelve|\d+)\b.*@)\b"
)
"""Where such a word stands, another stripe is told of, or several."""
_BODY = frozenset(words_in("hand hands join joins edge ends end top bath"))
"""Words that name a part, and are rather said of the body or of the work."""


def plainly(
    marked: Sequence[str], parts: Parts, keys: Sequence[str], sizes: frozenset[str]
) -> Iterator[tuple[int, frozenset[str]]]:
    """Give the words of yarns that are not those of their clause, with the yarns that are.

    Yarns are ``marked``: ``@0`` for the first of ``keys``; ``sizes`` are the words of sizes that are not filmed.
    """
    here = [parts.every[key] for key in parts.here]
    every = frozenset[str]().union(*(part.yarns for part in here))
    for at, word in enumerate(marked):
        said = keys[int(word[1:])] if word[0] == "@" else ""
        if not said or _LIKE.search(" ".join(marked[max(0, at - 3) : at + 1])):
            continue
        clause = _clause_of(marked, at)
        text = " ".join(clause)
        right: frozenset[str] | None = None
        if len(every) == 1:
            own = f"@{keys.index(next(iter(every)))}"
            beside = _BESIDE.sub(" ", text).split()
            others = any(said in parts.every[key].yarns for key in parts.stages(beside) if key)
            apart = _RESTS.search(text) or _ELSE.search(" ".join(marked[max(0, at - 8) : at + 9]))
            right = None if apart or others or own in marked[max(0, at - _FAR) : at + _FAR] else every
            if right and _JOINED.search(text) and is_over(marked[max(0, at - _FAR) : at]):
                right |= parts.next
        elif not here:
            right = None if _RESTS.search(text) else _of_part(clause, parts)
        elif _CUT.search(text):
            right = frozenset[str]().union(*(part.cut for part in here))
        elif len(here) > 1:
            right = _joined(here) if _JOINED.search(text) else None
        elif here[0].stripes and _ALL_ONE.search(" ".join(marked[max(0, at - 8) : at + 2])):
            right = every - {said}
        elif here[0].stripes and (begun := _BEGUN.search(text)) and parts.stage(begun[1]) not in ("", *parts.here):
            continue  # “the crown starts blue”
        elif here[0].stripes and sizes.isdisjoint(marked[max(0, at - _CLAUSE - 5) : at + _CLAUSE]):
            right = _of_stripe(text, here[0].stripes)
        if right and said not in right:
            yield at, right


def is_over(before: Sequence[str]) -> bool:
    """Whether it is told before a yarn that what is worked is done: what comes in then is of the next part."""
    return _OVER.search(" ".join(before)) is not None


def _clause_of(marked: Sequence[str], at: int) -> Sequence[str]:
    """Give the clause of a word: up to words that open another, or to another yarn."""
    first, end = at, at + 1
    while first > max(0, at - _CLAUSE) and marked[first - 1] not in _BREAKS and marked[first - 1][0] != "@":
        first -= 1
    while end < min(len(marked), at + _CLAUSE) and marked[end] not in _BREAKS and marked[end][0] != "@":
        end += 1
    return marked[first:end]


def _of_part(clause: Sequence[str], parts: Parts) -> frozenset[str] | None:
    """Give the yarns of the one part that is named in a clause."""
    named = {parts.coloured(word) for word in clause if word not in _BODY} - {""}
    yarns = [parts.every[key].yarns for key in named if parts.every[key].yarns]
    return yarns[0] if len(yarns) == 1 else None


def _joined(here: Sequence[Part]) -> frozenset[str]:
    """Give the yarns that come in where one part ends and another begins."""
    return frozenset[str]().union(*(part.yarns for part in here[1:])) - here[0].yarns


_OF_ITS_OWN = re.compile(
    r"\b(?:first|last|final) @\d+ stripe\b|\b(?:let|leave) (?:the |your )?@\d+ (?:hang|rest|wait|be|drop)\b"
)
"""What tells of no first or last stripe: “the last blue stripe”, “let the oatmeal hang”."""


def _of_stripe(clause: str, stripes: Sequence[str]) -> frozenset[str] | None:
    """Give the yarn of the first stripe, or of the last, where one of them is told of."""
    if _OF_ITS_OWN.search(clause):
        return None
    begins, ends = _FIRST.search(clause), _LAST.search(clause)
    if _APART.search(clause) or bool(begins) == bool(ends):
        return None
    return frozenset((stripes[0 if begins else -1],))
