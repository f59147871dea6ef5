"""The yarn that rests between stripes: told to be taken over the other, or cut, where it is carried along."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache

from lessonplan.edit.proof.expected.parts import Parts, Told

_YARN_WORDS = "colou?r|yarn|wool|strand|one|it|that"
_TAKEN = (
    r"\b(?:(?:bring|take|pick|fetch|lift|lay|carry|pass|put|draw|swing|throw)(?:s|es|ing|n)? (?:up )?{yarn}"
    r"|{yarn}(?: (?:is|gets|always|then|now|just|you|we))* (?:comes?|goes|go|runs?|travels?|crosses|picked"
    r"|taken|brought"
    r"|pick|take|bring|lay|fetch))(?: (?:up|down|in|round|around|back|straight|always|again|right|and|crosses))*"
    r" (?P<w>from (?:right )?(?:above|over|on top|the top)|(?:over|on top|above"
    r"|across)(?: the top)?(?: of)?(?= {yarn}\b))"
    r"(?: (?:the )?(?:top )?(?:of )?{yarn})?(?! (?:stripes?|rounds?|needles?|edge|brim|cuff|band|rib|part"
    r"|finger|thumb))\b"
)
"""How a yarn is taken up where another one rests: from below, so that they cross (common practice)."""


@cache
def _crossing(yarns: tuple[tuple[str, ...], ...]) -> re.Pattern[str]:
    """Give what tells that one of some yarns is taken over the other."""
    words = "|".join(word for own in yarns for word in own)
    own = rf"(?:(?:the|your|that|this|a|our|whichever) )?(?:[\w']+ )?(?:{words}|{_YARN_WORDS})"
    return re.compile(_TAKEN.replace("{yarn}", own))


def crossed_in(words: Sequence[str], parts: Parts) -> Iterator[Told]:
    """Find a yarn told to be taken up over the one that rests, where a part of the segment is striped."""
    if _OVER.isdisjoint(words) or not striped(parts):
        return
    text = " ".join(words)
    for one in _crossing(tuple(parts.yarns.values())).finditer(text):
        first = text.count(" ", 0, one.start("w"))
        yield Told(first, first + len(one["w"].split()), "from under the old one", swapped=True)
        return  # it is said again in the same breath


_CUT_OFF = re.compile(r"\b(?P<w>(?:cut|cutting|snip|break|breaks)(?: off)? (?:the|your|that|each) [\w']+)\b")
_EACH_TIME = re.compile(
    r"\bbetween (?:the |all the |two )?(?:stripes|bands)\b|\bat (?:the|a) change"
    r"|\bwhen(?:ever)? you (?:change|swap|switch)\b"
    r"|\b(?:each|every|any) (?:[\w']+ )?(?:time|change|stripe|swap|switch)\b"
)


def cut_in(words: Sequence[str], parts: Parts) -> Iterator[Told]:
    """Find a yarn told to be cut between stripes, where it is carried along."""
    if _CUTS.isdisjoint(words) or not any(parts.every[key].carried for key in parts.here):
        return
    text = " ".join(words)
    for one in _CUT_OFF.finditer(text):
        first = text.count(" ", 0, one.start("w"))
        last = first + len(one["w"].split())
        if _EACH_TIME.search(" ".join((*words[max(0, first - 8) : first], "#", *words[last : last + 8]))):
            yield Told(first, last, "carried along, not cut")
            return  # it is said again in the same breath


_CUTS = frozenset(("cut", "cutting", "snip", "break", "breaks"))
_OVER = frozenset(("over", "above", "top", "across"))


def striped(parts: Parts) -> bool:
    """Whether a part of the segment has stripes."""
    return any(parts.every[key].stripes for key in parts.here)
