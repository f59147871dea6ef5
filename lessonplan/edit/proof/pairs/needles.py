"""Needles told by a word: the thicker said for the thinner, of a part, or where a gauge is off."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence

from lessonplan.edit.proof.expected.parts import Parts, Told

_LARGE = frozenset(("larger", "bigger", "thicker", "fatter", "chunkier", "big", "fat", "thick", "large", "up"))
_SIZE = r"(?:thicker|larger|bigger|fatter|chunkier|thinner|smaller|finer|skinnier)"
_PLAIN = rf"(?:{_SIZE}|big|fat|thick|large|small|thin|fine)"
_WORDS = re.compile(
    r"\b(?P<new>(?:take|lay|change to|switch to|swap to|(?:go|move|come|drop|step|change|switch) (?:back |up "
    r"|down )?to) )?(?:the"
    rf"|your|my|our|two) (?P<w>{_PLAIN}) needles?\b"
)
_PART = r"(?:the |your |my |our |all the |all of the )?(?:\w+ed )?"
_FOR_PART = re.compile(
    rf"\b(?P<w>{_PLAIN})(?: (?:needles?|ones?|pair|size))?(?: (?:is|are|goes|go|we use|you use))? for "
    rf"{_PART}(?P<part>\w+)"
    rf"|\b(?P<on>\w+) (?:(?:is|goes|gets|are|all|always|worked|knit|knitted|done) )*(?:on|with) (?:the |your |my )?"
    rf"(?P<by>{_PLAIN}) (?:needles?|ones?)\b"
)
_GROWS = re.compile(rf"\bneedles? (?:gets?|becomes?|grows?|goes|go|are|is) (?P<w>{_SIZE})\b")
_REST = frozenset(("rest", "everything", "remainder", "others"))
_NEXT = re.compile(r"\b(?:pick up|cut|join|lay|from now on|from here|comes in|bring\w* in|new colou?r)\b")
"""What is told when a part begins, which has its own needle."""
_OFF = re.compile(
    r"\b(?:(?P<tight>more stitches|too many|(?:got|get|getting|have|count) more than|(?:too|the|knit"
    r"|means|is|are|you're|it's|that's|looks?|feels?|comes out) tight(?:ly)?|tight (?:like|as)|tight knitter"
    r"|(?:if|when|where|should)(?: [\w']+){0,4} (?:(?:pull|draw)(?:s|ing)? in|pinch\w*|pucker\w*|squeez\w*"
    r"|strangl\w*|chok\w*))"
    r"|(?P<loose>fewer|(?:got|get|getting|have|count|coming|comes) less than|too few"
    r"|not enough stitches|(?:too|the|knit|means|is|are|you're|it's|that's|looks?|feels?"
    r"|comes out) loose(?:ly)?|loose knitter))\b"
)
_ADVICE = re.compile(
    rf"\b(?:(?:take|need|use|try|want|get|grab|fetch|carry|pick|go for|(?:change|swap|switch|move|go)(?: up"
    rf"| down)? to) (?:yourself |you "
    rf")?(?:an? |the |some )?(?P<w>{_SIZE})"
    rf" (?:needles?|one)|an? (?P<helps>{_SIZE}) needle (?:will|would|does)"
    rf"|\b(?P<first>{_SIZE}) needles? (?:you|we) (?:take|use|need|want)"
    r"|(?:go|move|step|drop|come) (?P<way>up|down) (?:(?:to )?an? |one )?(?:needle|size)|(?:needle )?size "
    r"(?P<behind>up|down))\b"
)
"""What is told to do where a gauge is off."""


def needles_in(text: str, starts: Sequence[int], parts: Parts, counts: Mapping[int, int]) -> Iterator[Told]:
    """Find a larger needle said for the smaller, of a part or where the gauge is off.

    ``starts`` are those of words; ``counts`` tells at which words more (1) or fewer (-1) stitches than those of the
    gauge are counted.
    """

    def told(one: re.Match[str], group: str, right: str) -> Told:
        """A needle that was said, by the places of its words, and the one that is right."""
        return Told(bisect_right(starts, one.start(group)) - 1, bisect_right(starts, one.end(group) - 1), right, True)

    if " needle" not in text and " size" not in text:
        return
    off = {starts[at]: way for at, way in counts.items()}
    off |= {one.start(): 1 if one["tight"] else -1 for one in _OFF.finditer(text)}
    for one in _ADVICE.finditer(text):
        before = [at for at in off if one.start() - 110 <= at < one.start()]
        group = next(name for name, word in one.groupdict().items() if word)
        if before and (one[group] in _LARGE) != (off[max(before)] > 0):
            yield told(one, group, "thicker" if off[max(before)] > 0 else "thinner")
    if len(parts.sizes) == 2:
        yield from (told(*each) for each in _of_parts(text, parts))


def _of_parts(text: str, parts: Parts) -> Iterator[tuple[re.Match[str], str, str]]:
    """Find the words of needles that are not those of the part that they are told of, or that is worked."""
    for one in _WORDS.finditer(text):
        named = re.match(r" for (?:the|your|my) (\w+)", text[one.end() :])
        keys = [parts.stage(named[1])] if named and parts.stage(named[1]) else [*parts.here]
        if re.search(r"\bif (?:you|yours?|it)\b", text[one.end() : one.end() + 45]):
            continue  # advice
        new = one["new"] or _NEXT.search(text[max(0, one.start() - 70) : one.start()])
        keys = [key for key in (keys[-1:] if new else keys) if parts.every[key].yarns]
        sizes = frozenset[float]().union(*(parts.every[key].needles for key in keys))
        then = one["new"] and not named and parts.next_needles and not _other(one["w"], parts.next_needles, parts)
        if (right := _other(one["w"], sizes, parts)) and not then:  # “then change to the larger needles”
            yield one, "w", right
    for one in _GROWS.finditer(text) if parts.here else ():
        if right := _other(one["w"], parts.every[parts.here[-1]].needles, parts):
            yield one, "w", right
    for one in _FOR_PART.finditer(text):
        group, part = ("w", one["part"]) if one["w"] else ("by", one["on"])
        key = parts.stage(part)
        sizes = parts.rest if part in _REST else parts.every[key].needles if key else frozenset[float]()
        if right := _other(one[group], sizes, parts):
            yield one, group, right
            return  # the other one of the pair is the same slip


def _other(word: str, sizes: frozenset[float], parts: Parts) -> str:
    """Give the word of the other needle where a part is worked with it alone."""
    large = word in _LARGE
    return ("smaller" if large else "larger") if sizes == {parts.sizes[0 if large else 1]} else ""
