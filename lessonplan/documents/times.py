"""The timings of all segments as a table: what ``lessonplan times`` prints."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.craft.texts import fill, for_size
from lessonplan.planning import Worked
from lessonplan.shoot.clocks import NOTHING


@dataclass(frozen=True, slots=True)
class SegmentTimes:
    """One segment's minutes: on screen (low, likely, high), on the floor, and how many words are said."""

    number: str
    title: str
    shots: int
    words: int
    screen_low: float
    screen: float
    screen_high: float
    floor: float


def segment_times(worked: Worked) -> tuple[SegmentTimes, ...]:
    """Sum the clocks of each segment's shots, in the order of the story."""
    word = for_size(worked.facts, worked.size)
    found = []
    for episode in worked.course.episodes:
        for number, segment in enumerate(episode.segments, 1):
            name = f"{episode.episode}.{number}"
            clocks = [clock for clock in worked.clocks.values() if clock.number.rsplit(".", 1)[0] == name]
            screen = sum((clock.screen for clock in clocks), NOTHING)
            floor = sum((clock.floor for clock in clocks), NOTHING)
            words = sum(clock.words for clock in clocks)
            title = fill(segment.title, word)
            found.append(
                SegmentTimes(name, title, len(clocks), words, screen.low, screen.likely, screen.high, floor.likely)
            )
    return tuple(found)
