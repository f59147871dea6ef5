"""Numbers that a pattern tells in prose: whose stitches are, every how many rows a thing comes, how many there are.

And the numbers of one place of several: where a line puts the same number on hold twice, and both come to the total,
each is told of alone too (“the next forty two go on waste yarn”).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from lessonplan.course.model.pattern import Pattern, Stage
from lessonplan.course.model.works import PickUp, TakeUp, Work
from lessonplan.edit.proof.expected.parts import stem
from lessonplan.edit.proof.findings import Planned
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.units import UNITS, normal, words_of

Values = tuple[float, ...]
_TH = r"(?:st|nd|rd|th)?"
NUMBER = rf"(?<![\d.,])(?P<first>\d+){_TH}(?: \((?P<more>\d+{_TH}(?:, ?\d+{_TH})*)\))?"
"""A printed number with those of the other sizes in brackets."""
_ANY_NUMBER = re.compile(rf"{NUMBER}(?![\d.]|,\d)")
_FOR = re.compile(
    rf"{NUMBER} (?:sts?|stitches)(?: of (?:them|these))? (?:for|on|at) (?:each|every|both|the) (?P<of>\w+)"
)
_EVERY = re.compile(
    rf"\b[Ee]very (?:following |foll(?:owing)?\.? |other )?{NUMBER} (?P<unit>rows?|rounds?|rnds?)\b", re.IGNORECASE
)
_THINGS = re.compile(rf"{NUMBER} (?:[\w-]+ ){{0,2}}?(?P<of>\w+)")
_HALF = re.compile(r"\bhalf of (?:them|these|those)\b|\bhalf (?:before|on each|at each)\b")
_HOLES = re.compile(r"holes?$")
NO_PART = frozenset(
    words_in("needle size row round side end edge marker small medium large time first next other rest whole same")
)
"""What stitches are on or at, and no part of the piece has them."""


_TOLD_FOR = re.compile(
    r"(?:stitches )?(?:of (?:them|these|those) )?(?:(?:are|go|goes|is) )?(?:for|on|at|in) "
    r"(?:(?P<all>both|all|the two)|each|every|either|the|your) (?:of the )?(?P<of>\w+)"
)


def told_for(words: Sequence[str], one: Quantity) -> re.Match[str] | None:
    """Give the words with which a number is told for a part: “fifty six for the back”."""
    return _TOLD_FOR.match(" ".join(words[one.number.end : one.number.end + 9]))


def part_told(words: Sequence[str], one: Quantity) -> str:
    """Give the part for which a number is told, or nothing."""
    found = told_for(words, one) if one.value >= 4 and not one.ordinal else None
    of = stem(found["of"]) if found and " for " in f" {found[0]}" else ""
    return "" if of in NO_PART else of


def values_of(found: re.Match[str], sizes: int) -> Values | None:
    """A number with those of the other sizes in brackets; None where it has neither one for each nor one for all."""
    every = [found["first"], *re.findall(r"\d+", found["more"] or "")]
    values = tuple(map(float, every))
    return values if len(values) in (1, sizes) else None


def texts_of(works: Iterable[Work]) -> Iterator[str]:
    """The lines, notes and other words of some works."""
    for work in works:
        named = (getattr(work, name, "") for name in ("before", "note", "along", "what"))
        yield from filter(None, (*getattr(work, "lines", ()), *named))


def prose_numbers(stage: Stage, sizes: int, flat: bool) -> Iterator[Planned]:
    """Give the stitches of each part that the texts of a stage name, and every how many rows a thing is made."""
    for text in texts_of(stage.works):
        for found in _FOR.finditer(text):
            values, of = values_of(found, sizes), stem(found["of"].lower())
            if values and of not in NO_PART:
                yield Planned("stitches", values, f"{stage.title}: stitches for the {of}", f"for {of}")
        for sentence in re.split(r"(?<=[.;])\s", text):
            words = frozenset(
                stem(word) for word in re.findall(r"[a-z]+", sentence.lower()) if UNITS.get(word) == "things"
            )
            for found in _EVERY.finditer(sentence) if words else ():
                values = values_of(found, sizes)
                if values:
                    unit = "rows" if flat else "rounds"
                    yield Planned(unit, values, f"{stage.title}: {found[0]}", "every thing", words=words)
    for work in stage.works:
        yield from _of_places(stage.title, work)


def _of_places(title: str, work: Work) -> Iterator[Planned]:
    """Give what is picked up in one go, half of it where it lies on both sides of something, and what is taken up."""
    if isinstance(work, TakeUp) and work.stitches:
        yield Planned("stitches", tuple(map(float, work.stitches)), f"{title}: stitches taken up", "taken up")
    if isinstance(work, PickUp) and all(count > 0 for count in work.pick_up):
        values = tuple(map(float, work.pick_up))
        yield Planned("stitches", values, f"{title}: stitches picked up {ONE_PLACE}", "picked up")
        halved = any(_HALF.search(text) for text in texts_of((work,)))
        if halved and all(value % 2 == 0 for value in values):
            yield Planned(
                "stitches", tuple(value / 2 for value in values), f"{title}: half of them, {ONE_PLACE}", "picked up"
            )


def shares(stage: Stage, total: Planned, sizes: int) -> Iterator[Planned]:
    """Give the number of one place where a line has it several times, and all of them come to the total."""
    for text in texts_of(stage.works):
        told = Counter(values for one in _ANY_NUMBER.finditer(text) if (values := values_of(one, sizes)))
        for values, times in told.items():
            each = values * sizes if len(values) < len(total.values) else values
            if times > 1 and all(times * a == b for a, b in zip(each, total.values, strict=False)):
                yield Planned(
                    total.unit, values, f"{stage.title}: {_DONE[total.cue]} {ONE_PLACE} of {times}", total.cue
                )


def things_of(pattern: Pattern) -> Iterator[Planned]:
    """Give how many buttons, beads and the like there are, by the notions and the texts of the stages."""
    found = dict[tuple[str, Values], str]()
    sizes = len(pattern.sizes)
    for text in (*pattern.notions, *(one for stage in pattern.stages.values() for one in texts_of(stage.works))):
        for one in _THINGS.finditer(text):
            if UNITS.get(one["of"].lower()) == "things" and (values := values_of(one, sizes)):
                found.setdefault((thing(one["of"].lower()), values), text)
        words = [token.text for token in normal(words_of(text))]
        for each in quantities_in(normal(words_of(text))):
            if each.unit == "things" and not words[each.first].isdigit() and each.value > 1:
                found.setdefault((thing(words[each.end - 1]), (each.value,)), text)
    for (of, values), text in found.items():
        yield Planned("things", values, text, of)


def thing(word: str) -> str:
    """The name under which a thing is counted: a buttonhole is there for its button."""
    return _HOLES.sub("", stem(word))


def takes(text: str) -> float:
    """How many stitches the steps of a line take that are counted in it; 0 where it goes on to some place."""
    if re.search(r"\bto\b|\bmarker\b|\bm\b", text) or "*" in text:
        return 0.0
    singles = sum(float(one) for one in re.findall(r"\b(?:k|p|sl) ?(\d+)\b(?! ?tog)", text, re.IGNORECASE))
    together = sum(float(one) for one in re.findall(r"\b[kp](\d)tog\b", text, re.IGNORECASE))
    return singles + together + 2.0 * len(re.findall(r"\bss[kp]\b", text, re.IGNORECASE))


def live_counts(text: str) -> Iterator[Planned]:
    """Give what a line worked before the camera casts on or picks up, and from how many stitches on it goes."""
    for cue, words in _LIVE:
        for found in words.finditer(text):
            yield Planned("stitches", (float(found[1]),), WORKED_HERE, cue)
    if 1 < (count := takes(text)) <= FEW:
        yield Planned("stitches", (count,), WORKED_HERE, "place")


FEW = 12
"""So many stitches before a place at most a line is told to begin."""
WORKED_HERE, ONE_PLACE = "worked here", "in one place"
_DONE = {"cast on": "stitches cast on", "held": "stitches put on hold", "picked up": "stitches picked up"}
_LIVE: Sequence[tuple[str, re.Pattern[str]]] = (
    ("cast on", re.compile(r"\b(?:CO|[Cc]ast on) (\d+)")),
    ("picked up", re.compile(r"\b(?:PU(?: ?& ?K)?|[Pp]ick up(?: and knit)?) (\d+)")),
)
"""What a line begins with that casts on or picks up (the abbreviations of the Craft Yarn Council)."""
