"""Parts of a course as they are told of, and their needles: “the larger needles”, “four millimetres for the rest”.

A stage's works say which yarns it has, in which order its stripes come and which yarn is cut; its gauge, its needle.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import cycle, islice

from lessonplan.course.model.works import DrawThrough
from lessonplan.edit.speech.numbers import words_in
from lessonplan.planning.worked import Worked

_COMMON = frozenset(
    words_in("the and in of on cast plain shaped edge part ends weaving up off to for from with by at or into")
)
"""Words of titles that name no part."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stage as it is told of: its title, its yarns' keys, those cut in it, its rounds' stripes, needles (mm).

    ``carried``: its texts say that the yarn which rests between stripes is carried along.
    """

    title: str
    yarns: frozenset[str]
    cut: frozenset[str]
    stripes: tuple[str, ...]
    needles: frozenset[float]
    carried: bool = False


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
            self._nameless.update(() if found else (word,))
        return found

    def coloured(self, word: str) -> str:
        """The stage that a word names where yarns are told of: “the wrist is blue” is of the cuff."""
        return self.stage(word) or next((key for key in _CALLED.get(word, ()) if key in self.every), "")

    def stages(self, words: Iterable[str]) -> set[str]:
        """The stages that some words name, and nothing where one names none."""
        return {self.stage(word) for word in {*words} - self._nameless} | {""}

    @cached_property
    def _nameless(self) -> set[str]:
        """Words that were asked for, and name no stage."""
        return set()

    @cached_property
    def _asked(self) -> dict[str, str]:
        """What `stage` has answered so far."""
        return {}

    @cached_property
    def next(self) -> frozenset[str]:
        """The yarns of the part after those of the segment."""
        return self._after.yarns if self._after else frozenset()

    @cached_property
    def next_needles(self) -> frozenset[float]:
        """The needles (mm) of the part after those of the segment."""
        return self._after.needles if self._after else frozenset()

    @cached_property
    def _after(self) -> Part | None:
        order = [*self.every]
        after = order[order.index(self.here[-1]) + 1 :][:1] if self.here else []
        return self.every[after[0]] if after else None

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


_CALLED = {
    "wrist": ("cuff",), "wrists": ("cuff",), "palm": ("hand",), "body": ("body", "hand"), "wedge": ("gusset",),
    "tip": ("top", "crown"), "fingertips": ("top",), "fingers": ("top",), "roof": ("top", "crown"), "tops": ("top",),
}  # fmt: skip
"""What parts are called else, where their yarns are told of (common practice)."""


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
    # A part that is said to have the smaller needles has none that is known where only those of the gauge are typed.
    swatch = re.match(r"[\d.]+", str(worked.course.pattern.gauge.needle or ""))
    smaller = any(_SMALLER.search(f"{work.before} {work.note}") for work in stage.works)
    known = frozenset[float]() if smaller and swatch and needles == {float(swatch[0])} else needles
    texts = f"{stage.watch_for} {' '.join(work.note for work in stage.works)}"
    carried = bool(stripes) and _CARRIED.search(texts) is not None
    return Part(stage.title, yarns, frozenset(cut | (before - yarns if yarns else set())), stripes, known, carried)


_CARRIED = re.compile(r"\bcarr(?:y|ied|ies)\b|\bnot cut\b", re.IGNORECASE)


_SMALLER = re.compile(r"\b(?:smaller|thinner)\b[\w ]{0,20}\b(?:needle|dpn|hook)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of a part and not so: the words' tokens, what is right, and whether a word of a pair is swapped."""

    first: int
    end: int
    right: str
    swapped: bool = False


_FOR_NEEDLE = re.compile(
    r"#(?: (?:needles?|millimet(?:er|re)s?|mils?|mm|ones?))*(?:'s| is| are)? for (?:all )?(?P<rest>(?:the|all the) rest"
    r"|everything (?:else|above|after)|anything else|what(?:'s| is| comes) (?:above|after))\b"
    r"|#(?: (?:needles?|millimet(?:er|re)s?|mils?|mm|ones?))*(?:'s| is| are)?(?: (?:stays?|still|do|on|in))*"
    r" for (?:all )?"
    r"(?:the|your|my) (?:[\w']+ )??(?P<after>\w+)\b"
    r"|\bfor (?:the|your|my) (?P<before>\w+) (?:(?:you|we|i)(?:'ll)? (?:need|want|use|take|have)"
    r"|it(?:'s| is| takes| wants)) (?:[\w']+ )?#"
    r"|(?P<swatch>\bswatch\b|\bgauge\b|\b(?:to|over|in) (?:the )?[\w']+ centimet[\w']+ (?:on|with)\b).* #"
    r"|# (?P<above>above (?:that|it)|from there(?: on)?|after that)\b"
    r"|#(?: (?:needles?|millimet(?:er|re)s?|mils?|mm|ones?))* (?P<swatched>(?:for |was |that |this |is )?(?:the "
    r"|that |this |my |your )?swatch)\b"
)


_ON_NEEDLE = re.compile(
    r"\b(?:(?P<rest>(?:the|all the) rest|everything else|anything else)|(?P<part>\w+))(?:'s| is| goes| gets "
    r"knit(?:ted)?| is knit(?:ted)?| is worked)? (?:on"
    r"|with) (?:an? |the )?(?:size |us )?#"
)


def needle_of(near: str, parts: Parts) -> tuple[str, frozenset[float]]:
    """Give the part for which a needle is said in words around ``#``, and its sizes in mm; nothing where none is."""
    for one in _FOR_NEEDLE.finditer(near):
        if one["swatch"] or one["swatched"]:
            return "gauge", parts.swatch
        if one["rest"] or one["above"]:
            return "the rest", parts.rest
        key = parts.stage(one["after"] or one["before"])
        if key:
            return parts.every[key].title, parts.every[key].needles
    on = _ON_NEEDLE.search(near)
    if on and on["rest"]:
        return "the rest", parts.rest
    if on and (key := parts.stage(on["part"])):
        return parts.every[key].title, parts.every[key].needles
    return "", frozenset()
