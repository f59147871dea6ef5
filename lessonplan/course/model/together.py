"""The whole course as the teacher wrote it, all its files together; its segments and shots by their numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import NamedTuple

from lessonplan.course.model.agreed import Agreed
from lessonplan.course.model.episodes import Episode, Segment, Shot
from lessonplan.course.model.pattern import Pattern, Stage
from lessonplan.course.model.publishing import Decisions, Errata, Published
from lessonplan.course.model.settings import CourseFile
from lessonplan.course.model.works import Work
from lessonplan.course.values.fields import Item
from lessonplan.course.values.shotnumbers import ShotNumber, number_in
from lessonplan.remembered import remembered


class NumberedSegment(NamedTuple):
    """A segment with its number, ``2.4``, and its episode."""

    number: str
    episode: Episode
    segment: Segment


class NumberedShot(NamedTuple):
    """A shot with its number, and the segment and the episode that it stands in."""

    number: ShotNumber
    episode: Episode
    segment: Segment
    shot: Shot


class _Numbered(NamedTuple):
    """The segments and the shots of a course with their numbers, and the shots by these, of two alike the first.

    ``within``: the shots of each episode, segment and shot by its number.
    """

    segments: tuple[NumberedSegment, ...]
    every: tuple[NumberedShot, ...]
    by_number: Mapping[ShotNumber, NumberedShot]
    within: Mapping[str, tuple[NumberedShot, ...]]


@remembered(8)
def _numbered(episodes: tuple[Episode, ...]) -> _Numbered:
    segments = tuple(
        NumberedSegment(f"{episode.episode}.{place}", episode, segment)
        for episode in episodes
        for place, segment in enumerate(episode.segments, 1)
    )
    shots = tuple(
        NumberedShot(ShotNumber(f"{number}.{place}"), episode, segment, shot)
        for number, episode, segment in segments
        for place, shot in enumerate(segment.shots, 1)
    )
    within: dict[str, list[NumberedShot]] = {}
    for one in shots:
        for part in one.number.parts:
            within.setdefault(part, []).append(one)
    named = {part: tuple(each) for part, each in within.items()}
    return _Numbered(segments, shots, {one.number: one for one in reversed(shots)}, named)


class Course(Item):
    """A course folder, read and checked: everything that later steps work from."""

    name: str
    course: CourseFile
    pattern: Pattern
    episodes: tuple[Episode, ...]
    errata: Errata = Errata()
    agreed: Agreed | None = None
    decided: Decisions = Decisions()
    published: tuple[Published, ...] = ()

    def __repr__(self) -> str:
        return f"<Course {self.name}: {len(self.episodes)} episodes>"

    def segments(self) -> Iterator[NumberedSegment]:
        """Yield every segment, in the order of the story."""
        return iter(_numbered(self.episodes).segments)

    def shots(self) -> Iterator[NumberedShot]:
        """Yield every shot, in the order of the story."""
        return iter(_numbered(self.episodes).every)

    def shot(self, number: ShotNumber) -> Shot:
        """Give the shot of a number. Raises ``KeyError`` when there is none."""
        return _numbered(self.episodes).by_number[number].shot

    def shots_in(self, name: str) -> tuple[NumberedShot, ...]:
        """Give the shots that are, or lie within, what a name says: ``2``, ``episode 2``, ``2.4``, ``shot 2.4.1``."""
        return _numbered(self.episodes).within.get(number_in(name), ())

    def with_shots(self, changed: Mapping[ShotNumber, Shot]) -> Course:
        """The same course with some of its shots changed."""
        episodes = []
        for episode in self.episodes:
            segments = []
            for place, segment in enumerate(episode.segments, 1):
                shots = tuple(
                    changed.get(ShotNumber(f"{episode.episode}.{place}.{n}"), shot)
                    for n, shot in enumerate(segment.shots, 1)
                )
                segments.append(segment.model_copy(update={"shots": shots}))
            episodes.append(episode.model_copy(update={"segments": tuple(segments)}))
        return self.model_copy(update={"episodes": tuple(episodes)})

    def locks(self) -> Iterator[tuple[ShotNumber, ShotNumber]]:
        """Yield each pair of shots (before, after) whose order the course gives: by ``after`` and by ``in_order``."""
        every = tuple(self.shots())
        for one in every:
            for name in one.shot.after:
                yield from ((other.number, one.number) for other in self.shots_in(name))
        for one, then in pairwise(every):
            if one.segment is then.segment and one.segment.in_order:
                yield one.number, then.number

    def works(self) -> Iterator[tuple[str, Stage, Work]]:
        """Yield every work of the pattern with the key and the stage that it stands in."""
        for key, stage in self.pattern.stages.items():
            for work in stage.works:
                yield key, stage, work
