"""Yarns told in words of a part, “the cuff is blue”, “cut the oatmeal”, and stripes told one after the other."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate, pairwise

from lessonplan.edit.proof.expected.carried import striped
from lessonplan.edit.proof.expected.parts import Parts, Told
from lessonplan.edit.proof.expected.plain import is_over, plainly
from lessonplan.edit.speech.numbers import COUNTS, ORDINALS, words_in

_ART = r"(?:(?:just|only|all|plain) )?(?:(?:the|our|my|your|that|this|some|a) )?"
COLOURS = frozenset(
    words_in(
        "red orange yellow green blue purple violet pink brown black white grey gray cream beige navy teal turquoise "
        "gold silver burgundy rust mustard rose coral lilac ivory"
    )
)
"""Common names of colours; one that no yarn of a course has is none of it."""
_COLOUR_IS = re.compile(rf"\bcolou?rs? (?!of\b)(?:[^ ]+ ){{0,4}}?(?:is|are) {_ART}@(?P<yarn>\d+)")
_FILL = r"(?: (?:all|just|only|still|also|now|then|itself|gets|knit|knitted|worked|done|made|going to be))*"
_YARN = r"@(?P<yarn>\d+)"
_LATER_PART = re.compile(
    rf"(?=\b(?P<part>[^\W\d]+)(?: [\w']+){{1,7}}? that(?:'s| is| gets) (?:all )?(?:done|worked|knit|knitted"
    rf"|made) (?P<in>in|with) {_ART}{_YARN})"
)
_OF_PART = re.compile(
    rf"\b(?P<part>[^\W\d]+(?:'s)?)(?: (?:on|of) (?:these|this|those|that|mine|this one|the pair))?(?: (?:down |up "
    rf"|over )?here)?(?: (?:now|then|itself|too))?(?: (?:is|are|was|will be|stays|it's))?{_FILL}"
    rf"(?: (?P<in>in|with))? {_ART}{_YARN}\b"
)
_PART_COMES = re.compile(
    rf"\b(?P<part>[^\W\d_]+) (?:comes|sits|goes|sticks|pops|grows|starts|begins|ends)(?: (?!and\b|then\b|before\b"
    rf"|after\b)[\w']+){{0,4}}? "
    rf"(?P<in>in|with) {_ART}(?:same )?{_YARN}\b"
)
_PART_IN = re.compile(rf"\b(?:our|my|your|the|this|that|one|with|an?) {_YARN} (?P<part>[^\W\d]+)\b")
_FOR_PART = re.compile(
    rf"{_YARN}(?: (?:is|again|ball|yarn|wool|one|now|here|joins?|comes?|back|in)){{0,4}} for (?:(?:the|most|of|your|our"
    rf"|all) )*(?P<part>\w+)"
)
_IS_PART = re.compile(
    rf"\b(?:it's|that's) {_ART}{_YARN} (?:the|our|your|this) (?P<part>[^\W\d]+)\b(?! (?:is|goes|comes))"
)
_WE = r"(?:we|you|i)(?:'ll)? (?:[\w']+ )?(?:knit|work|do|make|purl)(?: (?!in\b|with\b)\w+){0,5}"
_PART_WE = re.compile(rf"\b(?P<part>[^\W\d]+) {_WE} (?P<in>in|with) {_ART}{_YARN}")
_NTH = re.compile(
    rf"\b(?:(?:(?P<nth>\w+th|first|second|third)(?: and (?:the )?\w+)? rounds?)|round (?P<count>\w+)(?: and (?:round"
    rf" )?\w+)?"
    rf"|rounds (?P<both>\w+) and \w+)"
    rf"(?: (?:is|are|it is|it's|that's|we're|you're|comes|we|you|i|swap|change|switch|back|to|knit|work|goes|again"
    rf"|now|all|still"
    rf"|worked)){{0,4}}(?: (?:in|with"
    rf"|of))? {_ART}{_YARN}"
)
_BEGUN = re.compile(
    rf"\b(?P<end>begin|start|starts|begins|beginning|starting|finish|finishes|end|ends)(?: off)? (?:the |our "
    rf"|your )?(?:stripes|band|cobbles|body)?"
    rf" ?(?:with|in|on) (?:a |one )?(?:stripe (?:of|in) |[\w']+ rounds? (?:(?:of|in) )?)?{_ART}{_YARN}"
)
_THEN = re.compile(
    rf"{_BEGUN.pattern}(?: [^ ]+){{0,3}}? (?:then|after that|next)(?: (?:comes?|\w+|of"
    rf"|rounds)){{0,4}}? {_ART}@(?P<next>\d+)"
)
_ORDER = re.compile(
    rf"^(?:(?!@)\S+ )*{_YARN} for [\w']+ rounds?(?: (?:then|and))* @\d+ for [\w']+ rounds?\b"
    rf"|^(?:(?!@|after\b|when\b|once\b|until\b|another\b|more\b|next\b|again\b|since\b|last\b|top\b|down\b"
    rf"|then\b)\S+ )*"
    rf"[\w']+ rounds?(?: (?:of|in))? @(?P<first>\d+)(?: (?:then|and))* [\w']+ rounds?(?: (?:of|in))? @\d+\b"
)
"""Two stripes at the beginning of what is told."""
_STRIPE = re.compile(
    rf"\b(?P<end>first|last|final|top|bottom) (?:stripe|(?:[\w']+ )?rounds?|one(?=(?: is|'s| was) @)|(?:two"
    rf"|couple)(?=(?: are| were|'re) @))(?: here)?(?: on"
    rf" top)?(?: (?:of|after"
    rf"|above|over) (?:the|our|your) \w+)?"
    rf"(?: (?:that )?(?:you|we|i)(?:'ll)? (?:see|knit|work|do|did|made|make|knitted|worked|finished))?(?:'s| is| are"
    rf"| was| will be| (?:should|has to"
    rf"|must|needs to|wants to|ought to) be)?"
    rf"(?: in| of| with| done| worked| made| knit| knitted| another| one| the brim| the cuff| the band)* {_ART}{_YARN}"
    rf"|\b(?P<which>first|last|final) (?:stripe|band)(?: (?:of|on|top|the|\w+'s))*(?: \w+'s| is"
    rf"|'s) {_ART}@(?P<other>\d+)"
)
_ROUNDS_OF = re.compile(rf"\b(?:rounds?|rows?|stripes?|centimet\w+|cm|inch(?:es)?) (?:of|in) {_ART}{_YARN}")
_CUT = re.compile(
    rf"\b(?:cut|snip|break|remov(?:e|es|ing)|(?:we're|you're|i'm) (?:done|finished"
    rf"|through) with) (?:off )?{_ART}{_YARN}"
    rf"|{_ART}@(?P<other>\d+) (?:(?:that |is what |which )?(?:you"
    rf"|we) (?:cut|snip|break)|(?:gets|is|can be) (?:cut|snipped|broken)"
    r"|(?:is |all )*(?:done|finished|through) with(?! for)|(?:is )?finished(?= (?:so|and) (?:snip|cut|break)))\b"
)
_DROPPED = re.compile(
    rf"\b(?:let|drop|leave|lose|(?:good)?bye(?: to)?) {_ART}{_YARN}(?: (?:go|behind|down|be|now)\b|$)|@(?P<out>\d+)"
    rf" (?:(?:is|goes|comes) )?out and\b"
)
_JOIN = re.compile(
    r"\b(?:here comes|in comes|enter|lay|pick up|grab|fetch|take(?: up)?|join(?: in)?|introduc(?:e|ing)"
    r"|putting(?: in)?|(?:change|switch|swap|back"
    r"|over)(?: over)? to"
    r"|bring in|add|(?:start|begin)(?:ing)?(?: off)? (?:with|in)|in with|(?:knit|go|carry) on (?:in|with)) "
    rf"{_ART}{_YARN}(?! out of the way)|\bout and {_ART}@(?P<into>\d+) (?:(?:is|goes|comes) )?in\b"
    r"|\bnow (?:the )?@(?P<now>\d+) (?:comes in|goes in|joins|starts|takes over)\b|@(?P<over>\d+) takes over\b"
)
_THEN_ON = re.compile(r"\b(?:then|next|later|afterwards|after that|before|until|when|once|time)(?: [^ ]+){0,6} ?$")
"""Said of what comes after the segment's own part."""
_FAR = 14
"""So many words before a yarn that comes in tell that what was worked is over."""
_YARN_IN = re.compile(
    rf"\b(?:(?:yarn|wool|ball|skein|dk|aran|worsted|fingering|chunky)(?: is| comes| that's)? in|(?:yards"
    rf"|metres|meters|grams"
    rf"|balls?|skeins?) of) {_ART}(?:heather |light |dark |pale |deep )?{_YARN}"
    r"|@(?P<kind>\d+) (?:dk|aran|worsted|fingering)\b"
)
_WORK = re.compile(rf"\b(?:with|in|needles? (?:and|with|in)) {_ART}{_YARN}")
_WORKING = re.compile(
    r"\b(?:knit|knits|knitting|purl|cast|casting|keep going|go on|carry on|continue|stitches|millimet\w+|work"
    r"|working|needles?|knot)\b"
)
_FREE = re.compile(
    r"\b(?:could|swap(?:ped|ping)?(?! (?:to|over|back|up)\b)|instead|waste|scrap|weave|looks? like)\b|\bthe colou?rs\b"
)
"""Talk of other ways, of ends, or of what something looks like."""
_RESTED = re.compile(r"(?:now |here )?(?:gets? (?:a|its) rest|rests?|waits?|hangs?|can (?:rest|wait|hang|sleep))\b")
"""What follows a yarn that is told to rest."""


_FRAMES = (
    _COLOUR_IS,
    _YARN_IN,
    _STRIPE,
    _NTH,
    _BEGUN,
    _ORDER,
    _THEN,
    _OF_PART,
    _LATER_PART,
    _PART_COMES,
    _IS_PART,
    _PART_IN,
    _PART_WE,
    _FOR_PART,
    _CUT,
    _DROPPED,
    _ROUNDS_OF,
    _JOIN,
    _WORK,
)
"""In the order in which they are asked: what one has told of, the later ones leave alone."""


def colours_in(words: Sequence[str], parts: Parts, sizes: frozenset[str] = frozenset()) -> Iterator[Told]:
    """Find one yarn of the course said for another; ``sizes`` are the words of sizes that are not filmed."""
    of = {said: at for at, own in enumerate(parts.yarns.values()) for word in own for said in (word, f"{word}'s")}
    of |= dict.fromkeys(COLOURS - parts.colours, len(parts.yarns))
    if of.keys().isdisjoint(words):
        return
    keys, (marked, spans) = [*parts.yarns, ""], _marked(words, of)
    starts = [0, *accumulate(len(word) + 1 for word in marked)]
    text, seen, wrong_at = " ".join(marked), set[int](), list[int]()
    for frame in _FRAMES:
        for one in frame.finditer(text):
            group = (
                "next"
                if frame is _THEN
                else next(name for name, told in one.groupdict().items() if told and told.isdigit())
            )
            at = bisect_right(starts, one.start(group) - 1) - 1
            right = _yarns(frame, one, parts) if at not in seen else None
            if right is None or _FREE.search(" ".join(marked[max(0, at - 14) : at + 3])):
                continue
            if _RESTED.match(" ".join(marked[at + 1 : at + 6])):
                continue
            if frame in (_STRIPE, _BEGUN, _THEN) and not sizes.isdisjoint(marked[max(0, at - 14) : at + 6]):
                continue  # of another size, which may end with another yarn
            if frame is _THEN and wrong_at and wrong_at[-1] < at:
                seen.add(at)
                continue  # the first stripe and the second, exchanged, are one slip
            around = " ".join(marked[max(0, at - 8) : at + 7])
            if frame in (_WORK, _JOIN, _ROUNDS_OF) and _others(around, parts):
                continue
            if frame is _ROUNDS_OF and one[0].startswith("stripe") and not striped(parts):
                continue  # which is planned nowhere here
            if frame is _WORK and not _WORKING.search(around):
                continue
            wrong = right and keys[int(one[group])] not in right
            seen.update((at,) if wrong or len(right) < len(parts.yarns) else ())  # else it tells nothing
            if wrong:
                wrong_at.append(at)
                yield Told(*spans[at], _names(right, parts))
    for at, right in plainly(marked, parts, keys, sizes):
        if at not in seen:
            seen.add(at)
            yield Told(*spans[at], _names(right, parts))
    for at, key in (
        *_in_turn(marked, parts, keys),
        *_beside_another(marked, keys),
        *_two_named(marked, [words[end - 1] for _, end in spans], keys, parts),
    ):
        if at not in seen:
            yield Told(*spans[at], " ".join(parts.yarns[key][1:]) or key)


def _marked(words: Sequence[str], of: Mapping[str, int]) -> tuple[list[str], list[tuple[int, int]]]:
    """Put the number of its yarn for each colour, words of one colour together; with the places of the words."""
    marked, spans = list[str](), list[tuple[int, int]]()
    for at, word in enumerate(words):
        yarn = of.get(word)
        if (
            yarn is not None
            and not _LIGHT.isdisjoint(words[max(0, at - 3) : at + 3])
            and of.get(words[at + 1 : at + 2][0] if at + 1 < len(words) else "") != yarn
        ):
            yarn = None  # “lighting the lamp”
        if yarn is not None and marked and marked[-1] == f"@{yarn}" and spans[-1][1] == at:
            spans[-1] = (spans[-1][0], at + 1)
        else:
            marked.append(word if yarn is None else f"@{yarn}")
            spans.append((at, at + 1))
    return marked, spans


_LIGHT = frozenset(words_in("lit light lighting lights burning shines"))
"""What is done with lamps and candles, whatever a yarn is called."""
_AND = frozenset(words_in("and with a an the some half ball of one other is it's bit in"))
_ENDS_HERE = frozenset(
    words_in("yarn wool one ball both here all that's so and for the you two it in on they look at stripes that these")
)


_MANY = re.compile(r"\b(?:three|four|five|3|4|5) colou?rs\b")


def _beside_another(marked: Sequence[str], keys: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Find a colour of no yarn that is told beside one of the course's: “the night blue and a red”."""
    places = [at for at, word in enumerate(marked) if word[0] == "@"]
    for one, other in pairwise(places):
        between = marked[one + 1 : other]
        named, strange = keys[int(marked[one][1:])], not keys[int(marked[other][1:])]
        ends = other + 1 == len(marked) or marked[other + 1] in _ENDS_HERE
        ends = ends and not _MANY.search(" ".join(marked[max(0, one - 9) : one]))  # which says it already
        if named and strange and ends and "and" in between and len(between) <= 6 and _AND.issuperset(between):
            yield other, next(key for key in (*keys, named) if key and key != named) if len(keys) > 2 else named


def _names(yarns: frozenset[str], parts: Parts) -> str:
    """Word some yarns by their colours."""
    return " or ".join(" ".join(parts.yarns[key][1:]) or key for key in sorted(yarns) if key in parts.yarns)


_COUNTED = frozenset(
    words_in(
        "a an another of in with on the then and again more rounds round rows stripes stripe two three four five six "
        "now ones one to goes comes do we you"
    )
)
"""What stands between two stripes that are told one after the other."""
_BEGINS = ("first", "begin", "start", "botto")
_STRIPED = frozenset(words_in("two three four 2 3 4 stripe stripes rounds rows to for"))


def _in_turn(marked: Sequence[str], parts: Parts, keys: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Find the stripe that is told with the yarn of the one before it, where two yarns take turns."""
    stripes = next((parts.every[key].stripes for key in parts.here if parts.every[key].stripes), ())
    if len({*stripes}) != 2 or len(parts.here) != 1:
        return
    places = [at for at, word in enumerate(marked) if word[0] == "@" and keys[int(word[1:])]]
    for run in zip(places, places[1:], places[2:], places[3:], strict=False):
        beside = all(not {*marked[a + 1 : b]} - {"and", "then"} for a, b in pairwise(run))
        turns = beside and len({marked[at] for at in run[::2]}) == 1 and marked[run[0]] != marked[run[1]]
        if turns and keys[int(marked[run[0]][1:])] != stripes[0] and {"top", "down"}.isdisjoint(marked):
            yield run[0], stripes[0]
            return
    for place, (one, other) in enumerate(pairwise(places)):
        between = marked[one + 1 : other]
        counted = len(between) <= 7 and _COUNTED.issuperset(between) and not _STRIPED.isdisjoint(between)
        if not counted or marked[one] != marked[other] or _STRIPED.isdisjoint(marked[max(0, one - 5) : one]):
            continue
        said = keys[int(marked[one][1:])]
        right = next(key for key in stripes if key != said)
        before = place > 0 and one - places[place - 1] <= 8
        yield (one if said != stripes[0] and not before else other), right
        return


def _two_named(
    marked: Sequence[str], words: Sequence[str], keys: Sequence[str], parts: Parts
) -> Iterator[tuple[int, str]]:
    """Find the words of two yarns said as the name of one: “tarn oatmeal”."""
    for at, (one, other) in enumerate(pairwise(marked)):
        if one[0] == other[0] == "@" and one != other and keys[int(other[1:])]:
            first = keys[int(one[1:])]
            if not first:  # “navy blue”, where the blue of the course is another
                yield at, keys[int(other[1:])]
                continue
            if words[at] in parts.yarns[first][1:-1]:  # which wants another word of its colour behind it
                yield at + 1, first


def _others(around: str, parts: Parts) -> bool:
    """Whether a part is named that is not the segment's."""
    around = re.sub(r"\b(?:right|left|other) hand\b|\bhand side\b|\b(?:your|my|a) hand\b", " ", around)
    return any(key and key not in parts.here for key in map(parts.stage, around.split()))


def _yarns(frame: re.Pattern[str], one: re.Match[str], parts: Parts) -> frozenset[str] | None:
    """Give the yarns that are right where a frame's words stand; None where it tells nothing."""
    if frame in (_OF_PART, _FOR_PART, _PART_WE, _LATER_PART, _PART_IN, _PART_COMES, _IS_PART):
        part = parts.every.get(parts.coloured(one["part"].removesuffix("'s")))
        told = frame is not _OF_PART or one["in"] or re.search(r"'s | is | are | was | will be | stays | it's ", one[0])
        return part.yarns if part and part.yarns and told else None
    if frame in (_COLOUR_IS, _YARN_IN):
        return frozenset(parts.yarns)
    here = [parts.every[key] for key in parts.here]
    if not here and frame is not _BEGUN:
        return None
    striped = [part.stripes for part in here if part.stripes]
    if frame is _NTH:
        nth = ORDINALS.get(one["nth"] or "") or COUNTS.get(one["count"] or one["both"] or "", 0)
        nth += one.string[: one.start()].endswith("after ")  # “after round two we change to the oatmeal”
        of_round = [stripes[nth - 1] for stripes in striped if 0 < nth <= len(stripes)]
        return frozenset(of_round) or None
    if frame is _THEN:
        second = [next((yarn for yarn in stripes if yarn != stripes[0]), stripes[0]) for stripes in striped]
        return frozenset(second) if second and one["end"][:5] in ("begin", "start") else None
    if frame is _ORDER:
        return frozenset(stripes[0] for stripes in striped) or None
    if frame in (_STRIPE, _BEGUN):
        ends = [stripes[0 if (one["end"] or one["which"])[:5] in _BEGINS else -1] for stripes in striped]
        named = re.search(r"(\w+) $", one.string[max(0, one.start() - 30) : one.start()])
        if frame is _BEGUN and named and parts.stage(named[1]) not in ("", *parts.here):
            return None  # “the hand starts in oatmeal”
        begun = (one["end"] if frame is _BEGUN else "") or ""
        first = [part for part in here or parts.every.values() if part.yarns][:1]
        if not ends and begun[:5] in _BEGINS and first and len(here) < 2:
            return first[0].yarns
        return frozenset(ends) if ends else None
    if frame is _CUT or (frame is _DROPPED and len(here) > 1):
        return frozenset().union(*(part.cut for part in here)) or None
    if frame is _DROPPED:
        return None
    every = frozenset[str]().union(*(part.yarns for part in here))
    if len(here) > 1 and frame is _JOIN:
        return frozenset().union(*(part.yarns for part in here[1:])) - here[0].yarns or every
    before = one.string[max(0, one.start() - 120) : one.start()]
    if frame is _JOIN and (_THEN_ON.search(before) or is_over(before.split()[-_FAR:])):
        return every | parts.next
    return every
