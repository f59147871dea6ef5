"""The timings of all segments as a table: what ``lessonplan times`` prints."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning.worked import Worked
from lessonplan.shoot.clocks import on_screen
from lessonplan.shoot.estimate import Total, total


@dataclass(frozen=True, slots=True)
class SegmentTimes:
    """One segment's minutes on screen and on the floor, each expected and nine times in ten, and its words."""

    number: str
    title: str
    shots: int
    words: int
    screen: Total
    floor: Total


def segment_times(worked: Worked) -> tuple[SegmentTimes, ...]:
    """Sum the clocks of each segment's shots, in the order of the story."""
    word = for_size(worked.facts, worked.size)
    found = []
    for episode in worked.course.episodes:
        for number, segment in enumerate(episode.segments, 1):
            name = f"{episode.episode}.{number}"
            clocks = [clock for clock in worked.clocks.values() if clock.number.rsplit(".", 1)[0] == name]
            screen, floor = on_screen(clocks), total(clock.floor for clock in clocks)
            words = sum(clock.words for clock in clocks)
            found.append(SegmentTimes(name, fill(segment.title, word), len(clocks), words, screen, floor))
    return tuple(found)
