"""The timings of all segments as a table: what ``lessonplan times`` prints."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Worked
from lessonplan.shoot.clocks import on_screen
from lessonplan.shoot.estimate import Estimate, total


@dataclass(frozen=True, slots=True)
class SegmentTimes:
    """One segment's minutes on screen and on the floor, each expected and nine times in ten, and its words."""

    number: str
    title: str
    shots: int
    words: int
    screen: Estimate
    floor: Estimate


def over_all_minutes(worked: Worked, episode: int) -> float | None:
    """Give the minutes that an episode's words take at the host's pace over all of a video, silent handwork too.

    None where that pace is not known, or where something is told in points, whose words nobody knows.
    """
    pace = worked.course.course.pace.over_all
    told = any(one.shot.points for one in worked.course.shots() if one.number.episode == episode)
    words = sum(clock.words for clock in worked.clocks.values() if clock.number.episode == episode)
    return words / pace if pace and words and not told else None


def segment_times(worked: Worked) -> tuple[SegmentTimes, ...]:
    """Sum the clocks of each segment's shots, in the order of the story."""
    word = worked.word
    found = []
    for number, _, segment in worked.course.segments():
        clocks = [clock for clock in worked.clocks.values() if clock.number.segment == number]
        found.append(
            SegmentTimes(
                number=number,
                title=fill(segment.title, word),
                shots=len(clocks),
                words=sum(clock.words for clock in clocks),
                screen=on_screen(clocks),
                floor=total(clock.floor for clock in clocks),
            )
        )
    return tuple(found)
