"""Where something is seen: the place of each shot and segment in its episode, as the episodes are planned."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from lessonplan.course.model import Erratum, Segment
from lessonplan.course.slates import named_shots
from lessonplan.documents.wording import screen_time
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in an episode: its number and the seconds from its beginning; ``text`` is one that has neither."""

    episode: int
    seconds: int
    text: str = ""

    @property
    def words(self) -> str:
        """The place in words: ``Episode 2 at 8:25``."""
        return self.text or f"Episode {self.episode} at {screen_time(self.seconds / 60)}"


@dataclass(frozen=True, slots=True)
class Correction:
    """A mistake in a video, for its viewers: where, what was said or shown, and what is right.

    ``one_size``: its words name a size, so what is right is told for all sizes, whichever the viewer picks.
    """

    place: str
    said: str
    right: str
    one_size: bool


def shot_places(plan: Plan) -> Mapping[str, Place]:
    """Give where each shot begins in its episode; every shot runs whole seconds."""
    found: dict[str, Place] = {}
    at: dict[int, int] = {}
    for one in plan.course.shots():
        number = one.episode.episode
        found[one.number] = Place(number, at.get(number, 0))
        at[number] = at.get(number, 0) + plan.worked.clocks[one.number].seconds
    return found


def segment_place(places: Mapping[str, Place], number: str, segment: Segment, title: str) -> str:
    """Word where a segment is seen: ``Episode 2 at 1:59: The gusset grows``."""
    return f"{places[f'{number}.1'].words}: {title}"


def corrections(plan: Plan) -> tuple[Correction, ...]:
    """Word the errata for viewers, in the order of the story; what names no shot comes last."""
    places, word = shot_places(plan), for_all_sizes(plan.worked.facts)
    sizes = [size.name for size in plan.course.pattern.sizes if size.name]
    found = []
    for erratum in plan.course.errata.errata:
        place = place_of(plan, places, erratum)
        said = f"{erratum.said} {erratum.right}"
        one_size = any(re.search(rf"\b{re.escape(name)}\b", said, re.IGNORECASE) for name in sizes)
        found.append((place, Correction(place.words, erratum.said, fill(erratum.right, word), one_size)))
    return tuple(one for _, one in sorted(found, key=lambda one: one[0]))


def place_of(plan: Plan, places: Mapping[str, Place], erratum: Erratum) -> Place:
    """Give where viewers meet an erratum: at the time that it names, at the first shot that it names, or as it says."""
    timed = _TIMED.search(erratum.where)
    if timed:
        hours, minutes, seconds = (int(part or 0) for part in timed.group("hours", "minutes", "seconds"))
        return Place(int(timed["episode"]), 3600 * hours + 60 * minutes + seconds)
    shots = [places[one.number] for one in named_shots(plan.course, erratum.where) if one.number]
    return min(shots) if shots else Place(10**9, 0, erratum.where[:1].upper() + erratum.where[1:])


_TIMED = re.compile(
    r"\bepisode\s+(?P<episode>\d{1,4}),?\s+at\s+(?:(?P<hours>\d{1,2}):)?(?P<minutes>\d{1,3}):(?P<seconds>[0-5]\d)\b",
    re.IGNORECASE,
)
"""A time in an episode: “episode 2 at 8:25”."""
