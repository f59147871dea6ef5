"""Yarns and needles told in words of a part: “the cuff is blue”, “cut the oatmeal”, “the larger needles”.

A stage's works say which yarns it has, in which order its stripes come and which yarn is cut; its gauge, its needle.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import accumulate, cycle, islice

from lessonplan.course.model.works import DrawThrough
from lessonplan.edit.speech.numbers import COUNTS, ORDINALS, words_in
from lessonplan.planning.worked import Worked

_COMMON = frozenset(words_in("the and in of on cast plain shaped edge part ends weaving up off to"))
"""Words of titles that name no part."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stage as it is told of: its title, its yarns' keys, those cut in it, its rounds' stripes, needles (mm)."""

    title: str
    yarns: frozenset[str]
    cut: frozenset[str]
    stripes: tuple[str, ...]
    needles: frozenset[float]


@dataclass(frozen=True)
class Parts:
    """All parts of a course by their stages; ``here`` are those of the segment, none where the whole is spoken of.

    ``yarns`` gives the words by which each yarn alone is named; ``swatch`` is the needle of the gauge, in mm.
    """

    every: Mapping[str, Part]
    here: tuple[str, ...]
    yarns: Mapping[str, tuple[str, ...]]
    colours: frozenset[str]
    swatch: frozenset[float]

    @cached_property
    def named(self) -> Mapping[str, str]:
        """The stage that each word names."""
        found: dict[str, set[str]] = {}
        for key, part in self.every.items():
            for word in {key, *map(stem, re.findall(r"[^\W\d_]+", part.title.lower()))} - _COMMON:
                found.setdefault(word, set()).add(key)
        return {
            word: word if word in keys else next(iter(keys))
            for word, keys in found.items()
            if len(keys) == 1 or word in keys
        }

    def stage(self, word: str) -> str:
        """The stage that a word names (“cuff's”, “cobbles”, “ribbing”), or nothing."""
        found = self._asked.get(word)
        if found is None:
            bare = word.removesuffix("'s")
            found = self._asked[word] = self.named.get(bare) or self.named.get(stem(bare), "")
        return found

    @cached_property
    def _asked(self) -> dict[str, str]:
        """What `stage` has answered so far."""
        return {}

    @cached_property
    def rest(self) -> frozenset[float]:
        """The needles (mm) of most parts: those of “everything else”."""
        return max((part.needles for part in self.every.values()), key=self._with, default=frozenset())

    def _with(self, needles: frozenset[float]) -> int:
        return sum(part.needles == needles for part in self.every.values()) if needles else 0

    @cached_property
    def sizes(self) -> tuple[float, ...]:
        """The sizes of all its needles (mm), least first."""
        return tuple(sorted({size for part in self.every.values() for size in part.needles}))


@lru_cache(4096)
def stem(word: str) -> str:
    """Take the ending off a word: “ribbed”, “ribbing” and “ribs” are of a rib."""
    return re.sub(r"(?<=\w{3})(?:'s|s|(?<=\w{3}e)d|(?<=bb)ed|(?<=bb)ing)$", "", word).replace("bb", "b")


def parts_of(worked: Worked, needles: Mapping[str, frozenset[float]]) -> Parts:
    """Gather what the stages of a course are worked with; ``needles`` are those of each stage, in mm."""
    pattern = worked.course.pattern
    words = {key: [key.lower(), *re.findall(r"\w+", yarn.colour.lower())] for key, yarn in pattern.yarns.items()}
    alone = {
        key: tuple(word for word in own if len(word) > 1 and sum(word in other for other in words.values()) == 1)
        for key, own in words.items()
    }
    swatch = re.match(r"[\d.]+", str(pattern.gauge.needle or ""))
    return Parts(
        every={key: _part(worked, key, needles.get(key, frozenset())) for key in pattern.stages},
        here=(),
        colours=frozenset(word for own in words.values() for word in own),
        yarns={key: own for key, own in alone.items() if own},
        swatch=frozenset((float(swatch[0]),)) if swatch else frozenset(),
    )


def _part(worked: Worked, key: str, needles: frozenset[float]) -> Part:
    stage = worked.course.pattern.stages[key]
    cut, stripes = set[str](), tuple[str, ...]()
    for work in stage.works:
        cut |= {*re.findall(r"(?<!not )\b[Cc]ut (\w+)\b", work.note)} & {*worked.course.pattern.yarns}
        cut |= {*work.yarn} if isinstance(work, DrawThrough) else set()
        bands = [(int(count), yarn) for count, yarn in re.findall(r"(\d+) (\w+)", getattr(work, "stripes", ""))]
        if bands and key in worked.pattern.before:
            rounds = len(worked.pattern.stage(key, worked.size).rounds)
            once = [yarn for count, yarn in bands for _ in range(count)]
            stripes = tuple(islice(cycle(once), rounds))
    yarns = frozenset(yarn for work in stage.works for yarn in work.yarn)
    stages = [worked.course.pattern.stages[other] for other in worked.pattern.before.get(key, ())]
    before = {yarn for other in stages for work in other.works for yarn in work.yarn}
    return Part(stage.title, yarns, frozenset(cut | (before - yarns if yarns else set())), stripes, needles)


_ART = r"(?:(?:just|only|all|plain) )?(?:(?:the|our|my|your|that|this|some|a) )?"
_COLOURS = frozenset(
    words_in(
        "red orange yellow green blue purple violet pink brown black white grey gray cream beige navy teal turquoise "
        "gold silver burgundy rust mustard rose coral lilac ivory"
    )
)
"""Common names of colours; one that no yarn of a course has is none of it."""
_COLOUR_IS = re.compile(rf"\bcolou?rs? (?!of\b)(?:[^ ]+ ){{0,4}}?(?:is|are) {_ART}@(?P<yarn>\d+)")
_FILL = r"(?: (?:all|just|only|still|also|gets|knit|knitted|worked|done|made|going to be))*"
_YARN = r"@(?P<yarn>\d+)"
_LATER_PART = re.compile(
    rf"(?=\b(?P<part>[^\W\d]+)(?: [\w']+){{1,7}}? that(?:'s| is| gets) (?:all )?(?:done|worked|knit|knitted"
    rf"|made) (?P<in>in|with) {_ART}{_YARN})"
)
_OF_PART = re.compile(
    rf"\b(?P<part>[^\W\d]+(?:'s)?)(?: (?:on|of) (?:these|this|those|that|mine|this one|the pair))?(?: (?:is|are|was|will be|stays))?{_FILL}(?: (?P<in>in|with))? {_ART}{_YARN}\b"
)
_PART_IN = re.compile(rf"\b(?:our|my|your|the|this|that) {_YARN} (?P<part>[^\W\d]+)\b")
_FOR_PART = re.compile(rf"{_YARN}(?: (?:is|again|one|now|here|joins?|comes?|back|in)){{0,4}} for (?:(?:the|most|of|your|our|all) )*(?P<part>\w+)")
_WE = r"(?:we|you|i)(?:'ll)? (?:\w+ )?(?:knit|work|do|make|purl)(?: (?!in\b|with\b)\w+){0,5}"
_PART_WE = re.compile(rf"\b(?P<part>[^\W\d]+) {_WE} (?P<in>in|with) {_ART}{_YARN}")
_NTH = re.compile(
    rf"\b(?:(?:(?P<nth>\w+th|first|second|third)(?: and (?:the )?\w+)? rounds?)|round (?P<count>\w+)"
    rf"|rounds (?P<both>\w+) and \w+)"
    rf"(?: (?:is|are|it is|it's|that's|we're|you're|comes|we|you|i|swap|change|switch|back|to|knit|work|goes|again|now|all|still"
    rf"|worked)){{0,4}}(?: (?:in|with"
    rf"|of))? {_ART}{_YARN}"
)
_BEGUN = re.compile(
    rf"\b(?P<end>begin|start|starts|begins|beginning|starting|finish|finishes|end|ends)(?: off)? (?:the |our |your )?(?:stripes|band|cobbles|body)?"
    rf" ?(?:with|in|on) (?:a |one )?(?:stripe (?:of|in) |\w+ rounds? (?:(?:of|in) )?)?{_ART}{_YARN}"
)
_FIRST = re.compile(rf"\b(?:it's|we have|you have|with) {_ART}{_YARN} first\b|@(?P<other>\d+) (?:comes|goes) first\b")
_THEN = re.compile(
    rf"{_BEGUN.pattern}(?: [^ ]+){{0,3}}? (?:then|after that|next)(?: (?:comes?|\w+|of"
    rf"|rounds)){{0,4}}? {_ART}@(?P<next>\d+)"
)
_STRIPE = re.compile(
    rf"\b(?P<end>first|last|final) (?:stripe|(?:\w+ )?rounds?)(?: here)?(?: on top)?(?: (?:of|after"
    rf"|above|over) (?:the|our|your) \w+)?"
    rf"(?:'s| is| are| was| will be| (?:should|has to|must|needs to|wants to|ought to) be)?"
    rf"(?: in| of| with| done| worked| made| knit| knitted| another| one| the brim| the cuff| the band)* {_ART}{_YARN}"
    rf"|\b(?P<which>first|last|final) (?:stripe|band)(?: (?:of|on|top|the|\w+'s))*(?: \w+'s| is"
    rf"|'s) {_ART}@(?P<other>\d+)"
)
_ROUNDS_OF = re.compile(rf"\b(?:rounds?|rows?|stripes?) (?:of|in) {_ART}{_YARN}")
_CUT = re.compile(
    rf"\b(?:cut|snip|break) (?:off )?{_ART}{_YARN}|{_ART}@(?P<other>\d+) (?:(?:that |is what |which )?(?:you"
    rf"|we) (?:cut|snip|break)|(?:gets|is|can be) (?:cut|snipped|broken))\b"
)
_JOIN = re.compile(
    r"\b(?:here comes|in comes|enter|lay|pick up|grab|fetch|take(?: up)?|join(?: in)?|(?:change|switch|swap|back|over)(?: over)? to"
    r"|bring in|add|(?:start|begin)(?:ing)?(?: off)? (?:with|in)|in with|(?:knit|go|carry) on (?:in|with)) "
    rf"{_ART}{_YARN}"
)
_THEN_ON = re.compile(r"\b(?:then|next|later|afterwards|after that|before|until|when|once|time)(?: [^ ]+){0,6} ?$")
"""Said of what comes after the segment's own part."""
_HERE = re.compile(
    rf"\b(?:we're|we are|you're|it's all) (?:(?:now|all|still|back|working|knitting) )*in {_ART}@(?P<other>\d+)"
    rf"|\b(?:now|then) it's (?:(?:all|only|just) )?{_ART}@(?P<now>\d+)"
    rf"|\b(?:from here on|from now on|this (?:bit|part))(?:'s| it's| is| we're in| we knit in"
    rf"| we work in)? (?:all )?{_ART}{_YARN}"
)
_YARN_IN = re.compile(
    rf"\b(?:(?:yarn|wool|ball|skein|dk|aran|worsted|fingering|chunky)(?: is| comes| that's)? in|(?:yards"
    rf"|metres|meters|grams"
    rf"|balls?|skeins?) of) {_ART}(?:heather |light |dark |pale |deep )?{_YARN}"
)
_WORK = re.compile(rf"\b(?:with|in|needles? (?:and|with|in)) {_ART}{_YARN}")
_WORKING = re.compile(
    r"\b(?:knit|knits|knitting|purl|cast|casting|keep going|go on|carry on|continue|stitches|millimet\w+|work"
    r"|working|needles?)\b"
)
_FREE = re.compile(r"\b(?:could|swap(?:ped|ping)?|instead|waste|scrap|weave|looks? like)\b|\bthe colou?rs\b")
_TAILS = re.compile(r"\btails?\b")
"""Talk of other ways, of ends, or of what something looks like."""


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of a part and not so: the words' tokens, what is right, and whether a word of a pair is swapped."""

    first: int
    end: int
    right: str
    swapped: bool = False


def colours_in(words: Sequence[str], parts: Parts, sizes: frozenset[str] = frozenset()) -> Iterator[Told]:
    """Find one yarn of the course said for another; ``sizes`` are the words of sizes that are not filmed."""
    of = {said: at for at, own in enumerate(parts.yarns.values()) for word in own for said in (word, f"{word}'s")}
    of |= dict.fromkeys(_COLOURS - parts.colours, len(parts.yarns))
    if of.keys().isdisjoint(words):
        return
    keys, marked, spans = [*parts.yarns, ""], list[str](), list[tuple[int, int]]()
    for at, word in enumerate(words):
        yarn = of.get(word)
        if yarn is not None and marked and marked[-1] == f"@{yarn}" and spans[-1][1] == at:
            spans[-1] = (spans[-1][0], at + 1)
        else:
            marked.append(word if yarn is None else f"@{yarn}")
            spans.append((at, at + 1))
    starts = [0, *accumulate(len(word) + 1 for word in marked)]
    text, seen = " ".join(marked), set[int]()
    for frame in (
        _COLOUR_IS,
        _YARN_IN,
        _HERE,
        _STRIPE,
        _NTH,
        _BEGUN,
        _FIRST,
        _THEN,
        _OF_PART,
        _LATER_PART,
        _PART_IN,
        _PART_WE,
        _FOR_PART,
        _CUT,
        _ROUNDS_OF,
        _JOIN,
        _WORK,
    ):
        for one in frame.finditer(text):
            group = "next" if frame is _THEN else next(name for name in ("yarn", "other", "now") if one[name])
            at = bisect_right(starts, one.start(group) - 1) - 1
            right = _yarns(frame, one, parts) if at not in seen else None
            if right is None or _FREE.search(" ".join(marked[max(0, at - 14) : at + 3])):
                continue
            if _TAILS.search(" ".join(marked[max(0, at - 6) : at + 3])):
                continue
            if frame in (_STRIPE, _BEGUN, _THEN) and not sizes.isdisjoint(marked[max(0, at - 14) : at + 6]):
                continue  # of another size, which may end with another yarn
            around = " ".join(marked[max(0, at - 8) : at + 7])
            if frame in (_WORK, _JOIN, _ROUNDS_OF) and _others(around, parts):
                continue
            if frame is _WORK and not _WORKING.search(around):
                continue
            seen.add(at)
            if right and keys[int(one[group])] not in right:
                names = " or ".join(
                    " ".join(parts.yarns[key][1:]) or key for key in sorted(right) if key in parts.yarns
                )
                yield Told(*spans[at], names)


def _others(around: str, parts: Parts) -> bool:
    """Whether a part is named that is not the segment's."""
    around = re.sub(r"\b(?:right|left|other) hand\b|\bhand side\b|\bas (?:long as )?(?:your|my) hand\b", " ", around)
    return any(key and key not in parts.here for key in map(parts.stage, around.split()))


def _yarns(frame: re.Pattern[str], one: re.Match[str], parts: Parts) -> frozenset[str] | None:
    """Give the yarns that are right where a frame's words stand; None where it tells nothing."""
    if frame in (_OF_PART, _FOR_PART, _PART_WE, _LATER_PART, _PART_IN):
        part = parts.every.get(parts.stage(one["part"]))
        told = frame is not _OF_PART or one["in"] or re.search(r"'s | is | are | was | will be | stays ", one[0])
        return part.yarns if part and part.yarns and told else None
    if frame in (_COLOUR_IS, _YARN_IN):
        return frozenset(parts.yarns)
    here = [parts.every[key] for key in parts.here]
    if not here:
        return None
    striped = [part.stripes for part in here if part.stripes]
    if frame is _NTH:
        nth = ORDINALS.get(one["nth"] or "") or COUNTS.get(one["count"] or one["both"] or "", 0)
        of_round = [stripes[nth - 1] for stripes in striped if 0 < nth <= len(stripes)]
        return frozenset(of_round) or None
    if frame is _THEN:
        second = [next((yarn for yarn in stripes if yarn != stripes[0]), stripes[0]) for stripes in striped]
        return frozenset(second) if second and one["end"][:5] in ("begin", "start") else None
    if frame is _FIRST:
        return frozenset(stripes[0] for stripes in striped) or None
    if frame in (_STRIPE, _BEGUN):
        ends = [
            stripes[0 if (one["end"] or one["which"])[:5] in ("first", "begin", "start") else -1] for stripes in striped
        ]
        return frozenset(ends) if ends else None
    if frame is _CUT:
        return frozenset().union(*(part.cut for part in here)) or None
    every = frozenset[str]().union(*(part.yarns for part in here))
    if frame is _JOIN and len(here) > 1:
        return frozenset().union(*(part.yarns for part in here[1:])) - here[0].yarns or every
    if frame is _JOIN and _THEN_ON.search(one.string[: one.start()]):
        order = [*parts.every]
        return every.union(*(parts.every[key].yarns for key in order[order.index(parts.here[-1]) + 1 :][:1]))
    return every


_WORDS = re.compile(
    r"\b(?P<new>(?:take|lay|change to|switch to|swap to|(?:go|move|come) (?:back |up |down )?to) )?(?:the|your"
    r"|my|our|two) "
    r"(?P<w>larger|bigger|thicker|smaller|thinner|finer) needles?\b"
)
_ADVICE = re.compile(
    r"\b(?:(?P<tight>more stitches|too many|(?:too|the|knit|means|is) tight(?:ly)?|pulls in)"
    r"|(?:fewer|too few|(?:too|the|knit|means|is) loose(?:ly)?))\b"
    r"(?: (?!more|fewer|but|tight|loose|not|don't|never)[^ ]+){0,14}? "
    r"(?:(?:take|need|use|try|want|change to|go (?:up |down )?to) (?:a |the )?"
    r"(?P<w>thicker|larger|bigger|thinner|smaller|finer) needles?"
    r"|go (?P<way>up|down) (?:a|one) (?:needle )?size)\b"
)
_LARGE = frozenset(("larger", "bigger", "thicker", "up"))


def needles_in(text: str, starts: Sequence[int], parts: Parts) -> Iterator[Told]:
    """Find a larger needle said for the smaller, of a part or where the gauge is off; ``starts`` are those of words."""

    def told(one: re.Match[str], group: str, right: str) -> Told:
        return Told(bisect_right(starts, one.start(group)) - 1, bisect_right(starts, one.end(group) - 1), right, True)

    if " needle" not in text and " size" not in text:
        return
    for one in _ADVICE.finditer(text):
        group = "w" if one["w"] else "way"
        if (one[group] in _LARGE) != bool(one["tight"]):
            yield told(one, group, "thicker" if one["tight"] else "thinner")
    if len(parts.sizes) != 2:
        return
    for one in _WORDS.finditer(text):
        named = re.match(r" for (?:the|your|my) (\w+)", text[one.end() :])
        keys = [parts.stage(named[1])] if named and parts.stage(named[1]) else [*parts.here]
        keys = [key for key in (keys[-1:] if one["new"] else keys) if parts.every[key].yarns]
        sizes = frozenset[float]().union(*(parts.every[key].needles for key in keys))
        wrong = parts.sizes[0] if one["w"] in _LARGE else parts.sizes[1]
        if sizes == {wrong}:
            yield told(one, "w", "smaller" if one["w"] in _LARGE else "larger")


_FOR_NEEDLE = re.compile(
    r"#(?: (?:needles?|millimet(?:er|re)s?|mils?|mm|ones?))*(?:'s| is| are)? for (?:all )?(?P<rest>(?:the|all the) rest"
    r"|everything (?:else|above|after)|anything else)\b"
    r"|#(?: (?:needles?|millimet(?:er|re)s?|mils?|mm|ones?))*(?:'s| is| are)? for (?:all )?(?:the|your|my) (?:\w+ )??"
    r"(?P<after>\w+)\b"
    r"|\bfor (?:the|your|my) (?P<before>\w+) (?:you|we|i)(?:'ll)? (?:need|want|use|take|have) (?:\w+ )?#"
    r"|(?P<swatch>\bswatch\b|\bgauge\b|\b(?:to|over|in) (?:the )?\w+ centimet\w+ (?:on|with)\b).* #"
)


_ON_NEEDLE = re.compile(
    r"\b(?P<part>\w+)(?:'s| is| goes| gets knit(?:ted)?| is knit(?:ted)?| is worked)? (?:on"
    r"|with) (?:an? |the )?(?:size |us )?#"
)


def needle_of(near: str, parts: Parts) -> tuple[str, frozenset[float]]:
    """Give the part for which a needle is said in words around ``#``, and its sizes in mm; nothing where none is."""
    for one in _FOR_NEEDLE.finditer(near):
        if one["swatch"]:
            return "gauge", parts.swatch
        if one["rest"]:
            return "the rest", parts.rest
        key = parts.stage(one["after"] or one["before"])
        if key:
            return parts.every[key].title, parts.every[key].needles
    on = _ON_NEEDLE.search(near)
    if on and (key := parts.stage(on["part"])):
        return parts.every[key].title, parts.every[key].needles
    return "", frozenset()
