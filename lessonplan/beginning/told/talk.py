"""Captions of an earlier video taken in as a draft: its segments, with titles from the words, points and times.

A new segment begins where the talk changes. At each pause between captions the words of the minute before are compared
with those of the minute after (cosine of the counts of words that are not in everybody's mouth; Hearst, TextTiling,
Computational Linguistics 23:1, 1997, compares blocks of text so, from memory); a long pause counts too. Where the two
sides are least alike, and no other cut is near, a segment ends. The bounds below are planning choices, not measured.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonplan.beginning.written.given import Episode, Taken, quoted, remark
from lessonplan.beginning.written.works import BRACES
from lessonplan.course.words import capital, clock_of
from lessonplan.edit.captions.reading import Captions
from lessonplan.edit.captions.rolling import Said, said_once
from lessonplan.edit.spoken import words_of

SIDE = 60_000
"""Milliseconds of talk that are compared on each side of a pause."""
LEAST = 45_000
"""Milliseconds that a segment lasts at least."""
LONG_PAUSE = 6_000
"""Milliseconds of silence that alone make a cut."""
POINT = 20_000
"""Milliseconds of talk that are one point, at least."""
ALIKE = 0.12
"""Sides that are less alike than this may be cut; kept low, since too many segments are more to mend than too few."""
_COMMON = frozenset(
    re.findall(
        r"\w+",
        "the and that this with you your for are was were have has had not but they them then there here what when "
        "where which will would can could should just like going gonna want need really very some more into onto "
        "from over down back about also because been being does doing don done each every goes got how its let lets "
        "little look "
        "make makes making now off one two three only other our out right see show than thing things think time too "
        "under until upon way well were who why yes yet okay yeah actually always again after before first next last "
        "bit get give keep know put say take turn use work today hello welcome bye come around it's i'm we're that's "
        "don't you're we'll i'll there's here's let's these those so we if or as at be by do he in is it me my no of "
        "on to up us",
    )
)


class NoTalkError(ValueError):
    """Captions in which nothing is said; one sentence."""


@dataclass(frozen=True, slots=True)
class Draft:
    """An episode drafted from captions, and what each stretch of talk was taken for."""

    episodes: tuple[Episode, ...]
    taken: tuple[Taken, ...]


def draft(captions: Captions, title: str, number: int = 1) -> Draft:
    """Draft an episode of a number from captions. Raises `NoTalkError` where they hold no words."""
    file = f"episodes/{number:02}.yaml"
    said = said_once(captions.cues)
    if not said:
        raise NoTalkError(next((p.message for p in captions.problems), f"{captions.file}: nothing is said in it."))
    printed = {cue.start: " ".join(cue.text.split()) for cue in captions.cues}
    rows = {cue.start: cue.where.line for cue in captions.cues}
    cuts = [0, *boundaries(said), len(said)]
    parts = [said[first:last] for first, last in pairwise(cuts)]
    counts = [_words(part) for part in parts]
    segments, taken, known = [], [], set[str]()
    for number, part in enumerate(parts):
        name = _title(counts, number)
        name = name if name not in known else f"{name}, {number + 1}"
        known.add(name)
        points = _points(part, printed)
        lines = [
            "  # A draft, from captions: read it, say it in your own words, and put in what is shown.",
            f"  # {clock_of(part[0].start / 1000)} to {clock_of(part[-1].end / 1000)} in {remark(captions.file)}",
            f"  - title: {quoted(name)}",
            "    shots:",
            "      - view: overhead",
            f"        title: {quoted(name)}",
            "        # Which piece lies here? For example “pieces:” and below it “  - needs: finished”.",
            *(f"        # {clock_of(one[0].start / 1000)} {remark(_text(one, printed))}" for one in points),
            "        points:",
        ]
        for one in points:
            lines += [f"          - text: {quoted(_point(_text(one, printed)))}", f"            time: {_lasts(one)} s"]
            taken.append(Taken(rows.get(one[0].start, 0), _text(one, printed), "point", file))
        segments.append("\n".join(lines))
        taken.append(
            Taken(
                line=rows.get(part[0].start, 0),
                text=name,
                kind="segment",
                stands=file,
                left="check its title, and say what is shown",
            )
        )
    return Draft((Episode(title, tuple(segments)),), tuple(sorted(taken, key=lambda one: one.line)))


def boundaries(said: Sequence[Said]) -> list[int]:
    """Give the places (from 0) of the captions with which a new segment begins, the first left out."""
    depth: dict[int, float] = {}
    for place in range(1, len(said)):
        pause = said[place].start - said[place - 1].end
        at = said[place].start
        before = _words([one for one in said[:place] if one.start >= at - SIDE])
        after = _words([one for one in said[place:] if one.start < at + SIDE])
        likeness = _likeness(before, after)
        if pause >= LONG_PAUSE or (likeness < ALIKE and sum(before.values()) > 10 and sum(after.values()) > 10):
            depth[place] = (1 - likeness) + min(pause / LONG_PAUSE, 2.0)
    cuts: list[int] = []
    for place in sorted(depth, key=lambda one: (-depth[one], one)):
        edges = [said[0].start, said[-1].end, *(said[cut].start for cut in cuts)]
        if all(abs(said[place].start - edge) >= LEAST for edge in edges):
            cuts.append(place)
    return sorted(cuts)


def _words(said: Sequence[Said]) -> Counter[str]:
    every = (word.text.casefold().replace("’", "'") for one in said for word in one.words)
    return Counter(_plain(word) for word in every if len(word) > 2 and word not in _COMMON and not word.isdecimal())


def _plain(word: str) -> str:
    """A word without a plural or an apostrophe behind it, roughly."""
    word = re.sub(r"'.*$", "", word)
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _likeness(one: Mapping[str, int], other: Mapping[str, int]) -> float:
    """The cosine of two counts of words, 0 to 1."""
    both = sum(count * other.get(word, 0) for word, count in one.items())
    length = math.sqrt(sum(n * n for n in one.values()) * sum(n * n for n in other.values()))
    return both / length if length else 0.0


def _title(counts: Sequence[Mapping[str, int]], number: int) -> str:
    """Three words that a segment says often and others seldom, in the order in which they come."""
    mine = counts[number]
    weight = {
        word: count * math.log(1 + len(counts) / sum(word in each for each in counts)) for word, count in mine.items()
    }
    order = list(mine)
    best = sorted(weight, key=lambda word: (-weight[word], order.index(word)))[:3]
    words = sorted(best, key=order.index)
    text = ", ".join(words)
    return capital(text) if text else f"Part {number + 1}"


def _points(part: Sequence[Said], printed: Mapping[int, str]) -> list[list[Said]]:
    """Cut a segment into points, each long enough to be one, where a sentence ends if one does."""
    found: list[list[Said]] = [[]]
    for one in part:
        here = found[-1]
        lasts = one.start - here[0].start if here else 0
        if lasts >= 2 * POINT or (lasts >= POINT and _text(here, printed)[-1] in ".!?"):
            found.append([])
        found[-1].append(one)
    if len(found) > 1 and _lasts(found[-1]) * 2000 < POINT:
        found[-2:] = [found[-2] + found[-1]]
    return found


def _text(said: Sequence[Said], printed: Mapping[int, str]) -> str:
    """What is said, as the captions print it; where they roll, its new words."""
    return " ".join(
        printed.get(one.start, "") if len(words_of(printed.get(one.start, ""))) == len(one.words)
        else " ".join(word.text for word in one.words)
        for one in said
    )  # fmt: skip


def _point(text: str) -> str:
    """The beginning of what is said, as a point."""
    words = re.split(r"(?<=[.!?])\s", text)[0].split()
    short = " ".join(words[:12]) + (" …" if len(words) > 12 else "")
    return short if not BRACES.search(short) else "what the remark above says"


def _lasts(said: Sequence[Said]) -> int:
    return max(1, round((said[-1].end - said[0].start) / 1000))
