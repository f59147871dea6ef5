"""Of which size a number is said: “forty for the small”, “in the large forty eight”, “the smallest has forty”.

Numbers and named sizes are paired in the order in which they are said, so that the links are short and as few as may
be of either stay alone; a number that stays alone goes by the size that was named last.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from operator import itemgetter

from lessonplan.edit.speech.numbers import BEGINS, words_in

KIN = {
    "child": "children children's child's kid kids kid's kiddie bairn bairns wean weans",
    "adult": "adults adult's grownup grownups",
    "toddler": "toddlers toddler's tot tots",
    "youth": "youths youth's teen teens teenager teenagers teenager's teen's",
}
"""What else a size of such a name is called (common practice)."""
_LEAST, _MIDDLE, _MOST = (words_in(text) for text in ("smallest littlest tiniest", "middle", "largest biggest"))
_SMALLER, _LARGER = words_in("little wee tiny smaller bitty"), words_in("big bigger larger")
"""Words that name a size where “one”, “ones” or “size” follows them."""
_TELLS = frozenset(
    words_in("put cast is has gets needs takes only just it's that's that are comes goes makes have it you we i")
)
_BEFORE = frozenset(
    words_in("size the a an for in or and of with our your my so but also then while to from at on one's you're if")
)
_THINGS = frozenset(
    words_in(
        "needle needles piece sample ring stitch stitches hole holes bit marker number loop loops swatch bowl basin "
        "cup pot bag hook gap ball balls knot picture letters print size's finger of in my your bar bars bump bumps "
        "thing step steps difference"
    )
)
"""What follows a word such as “small” or “middle” that is no size."""
_MADE = frozenset(("bag", "bowl", "basin", "cup", "pot"))
"""Those of them that may be what is made, so that “for the large bag” names a size."""
_DESCRIBES = frozenset(("small", "large"))
_FOLLOWS = frozenset(
    words_in(
        "if like up down there which when you'll you're you've size one ones people person pair hand hands head wrist "
        "measures fits"
    )
)
"""What describes anything behind an “a” or “one”, and what follows it where it is a size: “one small fan”."""
_BODY = frozenset(words_in("head heads hand hands mitts paws"))
"""What is big or little of who is to have a size."""
_LINKS = frozenset(
    words_in("only for in of with on to the a an size sized it's that's is has gets needs takes our your")
)
_BREAKS = frozenset(words_in("and but so then because when while otherwise or if where i"))
_FAR, _APART, _MANY = 14, 25, 40
"""So many words off, a size is not a number's; so many words between two sizes part the talk, as do so many sizes:
nobody tells of more in one breath."""
_ALONE, _FORKED = 2.2, 1.1
"""What it costs that a number or a size stays alone, and what a word costs that opens another clause."""


def size_names(sizes: Sequence[str]) -> Mapping[str, int]:
    """Give the words by which each size may be named, with its index; ``sizes`` go from the least to the largest."""
    found: dict[str, int] = {}
    for index, size in enumerate(sizes):
        name = size.lower()
        found |= dict.fromkeys((name, f"{name}s", f"{name}'s", *KIN.get(name, "").split()), index)
    if len(sizes) > 1:
        found |= {**dict.fromkeys(_SMALLER, 0), **dict.fromkeys(_LARGER, len(sizes) - 1)}
        found |= {**dict.fromkeys(_LEAST, 0), **dict.fromkeys(_MOST, len(sizes) - 1)}
    if len(sizes) == 3:
        found |= dict.fromkeys(_MIDDLE, 1)
    return found


def sizes_said(words: Sequence[str], names: Mapping[str, int]) -> list[int]:
    """Give where sizes are named, but for those that are only told one after the other (“toddler, youth and adult”)."""
    every = [at for at, word in enumerate(words) if word in names]
    found = [at for at in every if _is_size(words, at)]
    row = {
        at
        for one, other in pairwise(every)
        if words[one + 1 : other] in ([], ["and"], ["or"]) and words[other] not in ("mine", "here", "i", "i've")
        for at in (one, other)
    }
    return [at for at in found if at not in row]


def _is_size(words: Sequence[str], at: int) -> bool:
    before, after = words[at - 1] if at else "", words[at + 1] if at + 1 < len(words) else ""
    if before in ("too", "very", "rather", "quite", "pretty", "how"):
        return False
    made = after in _MADE and list(words[max(0, at - 2) : at]) == ["for", "the"]
    if after in _THINGS and not made and not (after == "of" and before in ("the", "size")):
        return False
    if "not" in words[max(0, at - 4) : at] and "i'm" in words[max(0, at - 6) : at]:
        return False  # “I'm not on the small one”
    if before == "a" and after == "one" and words[at - 2 : at - 1] != ["for"]:
        return False  # “this is just a small one”: the piece on the table
    if words[at] in _DESCRIBES and before in ("a", "one") and not _may_follow(words[at + 1 : at + 3]):
        return False
    if words[at] in (*_SMALLER, *_LARGER):
        if after in _BODY:
            return words[at] in ("big", "little") and before in ("a", "the", "your", "you've", "got", "have")
        if before in ("you're", "are") and "if" in words[max(0, at - 4) : at - 1]:
            return True  # “forty if you're little”
        many = after == "ones" and before in ("and", "or", "but", "while", "then", "so", "")
        return many or (
            after in ("one", "ones", "size", "sizes") and before in ("the", "a", "for", "size", "your", "our")
        )
    if words[at] in _MIDDLE:
        us = words[max(0, at - 3) : at - 1] in (["us", "in"], ["those", "in"], ["me", "in"])
        return us or (after in ("size", "one") and before in ("the", "our", "my", "your", "this"))
    if words[at] in ("mine", "me", "us", "here", "i", "i've"):  # the size filmed
        if words[at] in ("i", "i've"):
            have = 1 if words[at] == "i" and after in ("have", "knit", "do", "need") else 0
            said = words[at + 1 + have] if at + 1 + have < len(words) else ""
            told = have > 0 or words[at] == "i've"
            return told and before in ("and", "but") and (said in BEGINS or said[:1].isdigit())
        if words[at] == "here":
            return before in BEGINS and before not in ("a", "an", "to", "too", "for", "one")
        told = before in ("in", "like") or (after in ("is", "has") and before in ("and", "but", ""))
        return before == "for" or (told and words[at] == "mine")
    alone = not before or not after or after in _TELLS or after in BEGINS or after[0].isdigit()
    return alone or before in _BEFORE or before in BEGINS or before[:1].isdigit() or after in ("size", "one", "ones")


def _may_follow(after: Sequence[str]) -> bool:
    """Whether words may stand behind a size that is told as “a small”."""
    body = after[:1] in ([], *([word] for word in _BODY))
    word = (after[1] if body and len(after) > 1 else "") if body else after[0]
    return not word or word[0].isdigit() or word in _FOLLOWS | BEGINS or word in _TELLS or word in _LINKS | _BREAKS


def paired(words: Sequence[str], spans: Sequence[tuple[int, int]], named: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Pair numbers, by their first and last tokens, with the sizes named: (place of the number, token of the size)."""
    start = 0
    while start < len(named):
        end = start + 1
        while end < min(len(named), start + _MANY) and named[end] - named[end - 1] <= _APART:
            end += 1
        some = named[start:end]
        begin = bisect_right(spans, some[0] - _FAR, key=itemgetter(1))
        near = range(begin, bisect_left(spans, some[-1] + _FAR, key=itemgetter(0)))
        yield from _cheapest(words, [(at, *spans[at]) for at in near], some)
        start = end


def _cheapest(
    words: Sequence[str], spans: Sequence[tuple[int, int, int]], named: Sequence[int]
) -> list[tuple[int, int]]:
    """Find the pairing of least cost, both in order."""
    best: list[list[tuple[float, list[tuple[int, int]]]]] = [[(0.0, [])] for _ in range(len(spans) + 1)]
    best[0] = [(j * _ALONE, []) for j in range(len(named) + 1)]
    firsts = [span[1] for span in spans]
    for i, (place, first, end) in enumerate(spans, 1):
        best[i] = [(best[i - 1][0][0] + _ALONE, [])]
        for j, at in enumerate(named, 1):
            ways = [
                (best[i - 1][j][0] + _ALONE, best[i - 1][j][1]),
                (best[i][j - 1][0] + _ALONE, best[i][j - 1][1]),
            ]
            cost = _link(words, first, end, at, firsts, named)
            if cost < 2 * _ALONE:
                before = best[i - 1][j - 1]
                ways.append((before[0] + cost, [*before[1], (place, at)]))
            best[i].append(min(ways, key=lambda way: way[0]))
    return best[-1][-1][1]


def _without_if(between: Sequence[str]) -> Sequence[str]:
    """Take off what only leads to a size: “if you're making the” large."""
    at = len(between)
    while at and between[at - 1] in _IF_YOU:
        at -= 1
    return between[:at] if "if" in between[at:] or "when" in between[at:] else between


_TURNS = frozenset(words_in("no sorry wait oops whoops"))
_CONFESSED = frozenset(words_in("reading looking thinking finished saying giving telling looked seeing peeking"))
_IF_YOU = frozenset(words_in("if when you're you are it's making knitting doing the a for on with"))


def _link(words: Sequence[str], first: int, end: int, at: int, firsts: Sequence[int], named: Sequence[int]) -> float:
    """Tell what it costs to link a number with a size: by the words between, and the numbers and sizes among them."""
    low, high = (end, at) if at >= end else (at + 1, first)
    between = words[low:high]
    if at >= end:
        between = _without_if(between)
    if len(between) > _FAR:
        return 99.0
    cost = sum(0.05 if word in _LINKS else _FORKED if word in _BREAKS else 0.25 for word in between)
    if (
        at >= end
        and words[at + 1 : at + 2] != ["only"]
        and {*between} <= {"for", "in", "of", "the", "a", "an", "size"}
        and between[:1] in (["for"], ["in"], ["of"])
    ):
        return 0.0
    cost += 1.2 * sum(low <= one < high for one in firsts) + 3 * sum(low <= one < high for one in named if one != at)
    if at < first and words[max(0, at - 2) : at] in (["that's", "the"], ["was", "the"], ["is", "the"]):
        cost += 3 + 6 * (not _TURNS.isdisjoint(words[max(0, at - 6) : at]))  # “oh no, that's the large, forty four”
    if at >= end and not _CONFESSED.isdisjoint(between) and not {"i", "i'm"}.isdisjoint(between):
        cost += 3  # “thirteen, I was reading you the small one”
    return cost
