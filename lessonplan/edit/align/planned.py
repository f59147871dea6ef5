"""What an episode planned to say, segment by segment: the words that can be heard in its captions."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from lessonplan.course.model.episodes import Episode, Segment, Shot
from lessonplan.craft import tables
from lessonplan.craft.techniques import technique
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
