"""How much each stretch of a few words speaks for each planned segment.

A word that is planned in a segment more often than it is said anywhere speaks for that segment, by the logarithm of how
much more often (a likelihood ratio of two word counts; the segment's count is smoothed by what is said anywhere, as
Dirichlet priors do: MacKay & Peto, Natural Language Engineering 1, 1995, from memory). Two words one behind the other,
little words left out, speak for the segments that plan them so, more the fewer these are. A word that is not planned
speaks for none: hosts speak freely, and a digression must not drive them out of a segment.
"""

from __future__ import annotations

import math
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from lessonplan.course.model.episodes import Episode, Segment, Shot
from lessonplan.craft import tables
from lessonplan.craft.techniques import technique
from lessonplan.edit.align.terms import LITTLE, OPENING, misheard, sound, terms
from lessonplan.edit.captions.rolling import Said, Word
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Worked
from lessonplan.shoot.clocks import live_techniques, needle_in

HEADING, NAME, PLAIN, KNOWN = 6, 4, 2, 1
"""The words of a title are heard more surely than others: they weigh as if said so often (a guess)."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A segment as planned: its number and title, its texts with how often each counts, and its seconds on screen."""

    number: str
    title: str
    texts: tuple[tuple[str, int], ...]
    seconds: float


def planned_segments(worked: Worked, episode: Episode) -> tuple[Planned, ...]:
    """Gather what each segment of an episode says, shows and does, its facts filled in for the size that is filmed."""
    word = worked.word
    found = []
    for number, owner, segment in worked.course.segments():
        if owner.episode == episode.episode:
            seconds = sum(one.seconds for one in worked.clocks.values() if one.number.segment == number)
            texts = tuple(_texts(worked, number, segment, word))
            found.append(Planned(number, fill(segment.title, word), texts, float(seconds)))
    return tuple(found)


def _texts(worked: Worked, number: str, segment: Segment, word: Callable[[str], str]) -> Iterator[tuple[str, int]]:
    own = tuple(_own_texts(worked, number, segment, word))
    yield from own
    names = " | ".join(text for text, _ in own).casefold().replace("-", " ")
    yield from ((steps, KNOWN) for steps in _steps_of_named(names))


@lru_cache(maxsize=1024)
def _steps_of_named(texts: str) -> tuple[str, ...]:
    """Give what every sequence and handwork that texts name is told by; of most segments it is known from the plan."""
    rows = [(row, row["steps"]) for row in tables.rows("sequences")]
    rows += [(row, row["words"]) for row in tables.rows("handwork")]
    return tuple(
        told for row, told in rows if any(_named(one, texts) for one in (row["name"], *row["said"].split("|")))
    )


def _named(name: str, texts: str) -> bool:
    name = name.casefold().replace("-", " ")
    return name in texts and re.search(rf"\b{re.escape(name)}\b", texts) is not None


def _own_texts(worked: Worked, number: str, segment: Segment, word: Callable[[str], str]) -> Iterator[tuple[str, int]]:
    yield fill(segment.title, word), HEADING
    yield fill(segment.watch_for, word), PLAIN
    if segment.stage in worked.course.pattern.stages:
        yield worked.course.pattern.stages[segment.stage].title, PLAIN
    for one in worked.course.shots():
        if one.number.segment == number:
            yield fill(one.shot.title, word), NAME
            yield from ((text, PLAIN) for text in _of_shot(one.shot, word))
            yield from ((fill(point.text, word), NAME) for point in one.shot.points)
            needle = needle_in(one.number, worked.kinds, worked.table, worked.size)
            for name, _ in live_techniques(one.shot, needle)[0]:
                yield f"{name} | {technique(name).meaning}", KNOWN


def _of_shot(shot: Shot, word: Callable[[str], str]) -> Iterator[str]:
    yield fill(shot.say, word)
    yield from (fill(text, word) for text in shot.on_screen)
    yield from (fill(hands.do, word) for hands in shot.hands)
    yield from shot.tools


SMOOTHING = 40.0
"""So many words of what is said anywhere are added to each segment's own (chosen on simulated captions)."""
LEAST, MOST = 0.3, 4.0
"""Less than this is no evidence, and no word is more: one word may always be said by chance (a guess)."""
PAIR = 1.5
"""What two words in a row weigh, times the logarithm of how few segments have them (chosen on simulated captions)."""
LIKE = 0.5
"""What a word weighs that only sounds like a planned one (a guess)."""
UNIT = 6
"""Words that are looked at together: some three seconds."""
PAUSE = 0.9
"""Seconds from one word to the next beyond which somebody paused between them: a slow word takes less."""


_Speaks = tuple[tuple[int, float], ...]
"""Evidence by the place of a segment."""


class Heard(NamedTuple):
    """A word that was heard: as it stands, its time in seconds, the pause before it, and what it speaks for.

    ``begins``: a caption or a sentence begins with it, as far as that is seen.
    """

    text: str
    time: float
    pause: float
    begins: bool
    speaks: _Speaks


@dataclass(frozen=True, slots=True)
class Unit:
    """A few words that are looked at together: the first word's place, time and pause, and evidence by segment.

    ``begins``: a caption or a sentence begins with it; ``opens``: with a word that turns to something new.
    """

    first: int
    time: float
    pause: float
    begins: bool
    opens: bool
    speaks: tuple[float, ...]


def heard(planned: Sequence[Planned], said: Sequence[Said]) -> tuple[Heard, ...]:
    """Weigh every word of the captions for each planned segment."""
    counts = [_counted(one) for one in planned]
    known = {word for count in counts for word in count}
    words = [word for one in said for word in one.words]
    stems = _stems(words, known)
    spoken = Counter(one for word in words for one, _ in stems[word.text])
    single, double = _singles(counts, spoken), _doubles(planned)
    found, before, last = [], "", words[0].start if words else 0.0
    for word, begins in zip(words, _starts(said), strict=True):
        speaks: _Speaks = ()
        for one, trust in stems[word.text]:
            if one not in LITTLE:
                speaks = _added(speaks, single.get(one, ()), trust)
                speaks = _added(speaks, double.get((before, one), ()), trust)
                before = one
        pause = max(0.0, (word.start - last) / 1000 - PAUSE)
        found.append(Heard(text=word.text, time=word.start / 1000, pause=pause, begins=begins, speaks=speaks))
        last = word.start
    return tuple(found)


def _added(speaks: _Speaks, more: _Speaks, trust: float) -> _Speaks:
    """Add up evidence by segment."""
    if not more or (not speaks and trust == 1):
        return more or speaks
    both = dict(speaks)
    for place, weight in more:
        both[place] = both.get(place, 0.0) + weight * trust
    return tuple(both.items())


def units_of(words: Sequence[Heard], segments: int) -> tuple[Unit, ...]:
    """Part what was heard into units: after so many words, and where somebody paused."""
    found, begun = list[Unit](), 0
    for place in range(1, len(words) + 1):
        if place == len(words) or place - begun >= UNIT or words[place].pause or words[place].begins:
            speaks = [0.0] * segments
            for word in words[begun:place]:
                for segment, weight in word.speaks:
                    speaks[segment] += weight
            first = words[begun]
            opens = OPENING.match(" ".join(word.text.casefold() for word in words[begun : begun + 5])) is not None
            found.append(
                Unit(
                    first=begun,
                    time=first.time,
                    pause=first.pause,
                    begins=first.begins,
                    opens=opens,
                    speaks=tuple(speaks),
                )
            )
            begun = place
    return tuple(found)


def _stems(words: Sequence[Word], known: set[str]) -> Mapping[str, tuple[tuple[str, float], ...]]:
    """Give the stems of each word and how much they count; what nobody planned is taken for what it sounds like."""
    table, found = misheard(known), dict[str, tuple[tuple[str, float], ...]]()
    for text in {word.text for word in words}:
        found[text] = tuple(
            (one, 1.0) if one in known or one in LITTLE else (table.get(sound(one), one), LIKE) for one in terms(text)
        )
    return found


def _starts(said: Sequence[Said]) -> list[bool]:
    """Say of each word whether a caption begins with it, or a sentence: a capital tells, where few words have one."""
    words = [word.text for one in said for word in one.words]
    capitals = sum(_is_capital(word) for word in words)
    cased = 0 < capitals < len(words) / 3
    return [place == 0 or (cased and _is_capital(word.text)) for one in said for place, word in enumerate(one.words)]


def _is_capital(word: str) -> bool:
    return word[0].isupper() and word.partition("'")[0].partition("’")[0] != "I"


def _counted(one: Planned) -> Counter[str]:
    counts = Counter[str]()
    for text, times in one.texts:
        for word in terms(text):
            counts[word] += times
    return counts


def _singles(counts: Sequence[Counter[str]], spoken: Counter[str]) -> Mapping[str, tuple[tuple[int, float], ...]]:
    """Weigh single words: for each the segments that it speaks for."""
    pooled = sum(counts, Counter[str]()) + spoken
    total = pooled.total()
    found = defaultdict[str, list[tuple[int, float]]](list)
    for place, count in enumerate(counts):
        size = count.total()
        for word, times in count.items():
            share = pooled[word] / total
            weight = math.log((times / share + SMOOTHING) / (size + SMOOTHING))
            if weight > LEAST and word not in LITTLE:
                found[word].append((place, min(weight, MOST)))
    return {word: tuple(weights) for word, weights in found.items()}


def _doubles(planned: Sequence[Planned]) -> Mapping[tuple[str, str], tuple[tuple[int, float], ...]]:
    """Weigh words one behind the other, little words left out."""
    found = defaultdict[tuple[str, str], set[int]](set)
    for place, one in enumerate(planned):
        for pair in _pairs(one):
            found[pair].add(place)
    return {
        pair: tuple((place, PAIR * math.log((len(planned) + 1) / len(places))) for place in sorted(places))
        for pair, places in found.items()
    }


def _pairs(one: Planned) -> Iterator[tuple[str, str]]:
    for text, _ in one.texts:
        yield from pairwise(word for word in terms(text) if word not in LITTLE)
