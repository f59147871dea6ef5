"""Where viewers see something: the place of each shot and segment in its video, as well as that is known."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model.publishing import Erratum
from lessonplan.course.names.slates import named_shots
from lessonplan.course.words import capital, listing
from lessonplan.documents.wording import screen_time
from lessonplan.edit.align.segments import Span
from lessonplan.edit.kept import second_of, spans_of
from lessonplan.edit.spoken import plain
from lessonplan.edit.timing import ShotTime, shot_times
from lessonplan.edit.video import for_viewers, in_video, is_cut_out
from lessonplan.pattern.texts import fill, for_all_sizes, for_size
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in an episode: its number and the seconds from its beginning; ``text`` is one that has neither.

    Where only a stretch of the video is known, it ends at ``until``; ``story`` then keeps the order of the shots.
    ``planned``: the time is that of the plan, and no video has it yet; ``chapter`` is then the title below which it is
    found whatever the time.
    """

    episode: int
    seconds: int
    until: int = 0
    story: int = 0
    text: str = ""
    chapter: str = ""
    planned: bool = False

    @property
    def time(self) -> str:
        """Its time: ``8:25``, or ``7:40 to 11:55``."""
        start = screen_time(self.seconds / 60)
        return f"{start} to {screen_time(self.until / 60)}" if self.until else start

    @property
    def words(self) -> str:
        """The place in words: ``Episode 2 at 8:25``, ``Episode 2 between 7:40 and 11:55``."""
        if self.chapter:
            return f"Episode {self.episode}, “{self.chapter}” (planned at {self.time})"
        if self.until:
            return f"Episode {self.episode} between {self.time.replace(' to ', ' and ')}"
        return self.text or f"Episode {self.episode}{', planned' if self.planned else ''} at {self.time}"


@dataclass(frozen=True, slots=True)
class Correction:
    """A mistake in a video, for its viewers: where, what was said or shown, and what is right.

    ``one_size``: what is right names a size itself, so all of it is told whichever the viewer picks. Else the size of
    each number stands before it, as in the text over the picture.
    """

    place: str
    said: str
    right: str
    one_size: bool


def shot_places(plan: Plan) -> Mapping[str, Place]:
    """Give where viewers meet each shot, on the same clock as the chapters of its episode, after the cuts made.

    The first shot of a segment begins with it; any other is seen where its words are heard, from its start to its end.
    """
    found: dict[str, Place] = {}
    for episode in plan.course.episodes:
        spans, times = spans_of(plan, episode.episode), shot_times(plan, episode.episode)
        planned = is_planned(plan, episode.episode)
        for time in times:
            at = Place(episode.episode, round(time.start / 1000), planned=planned)
            found[time.number] = _in_video(plan, time, times, spans) if spans else at
    return found


def _in_video(plan: Plan, time: ShotTime, times: Sequence[ShotTime], spans: Sequence[Span]) -> Place:
    """Give where a shot is seen in a video; one whose segment is not found lies behind the one before."""
    episode, segment, shot = time.number.place

    def at(second: float) -> int:
        """The second of the video as viewers have it."""
        return for_viewers(plan, episode, second)

    before = [span for span in spans if int(span.number.split(".")[1]) <= segment]
    span = max(before, key=lambda one: int(one.number.split(".")[1]), default=spans[0])
    start = 0.0 if span is spans[0] else span.start
    begins, ends = in_video(plan, time.number, time.start), in_video(plan, time.number, time.end)
    if begins is None or ends is None:
        return Place(episode, at(start), at(span.end), times.index(time))
    if shot == 1:
        return Place(episode, at(start))
    first, last = (begins.second if begins.sure else begins.early), (ends.second if ends.sure else ends.late)
    return Place(episode, at(first), at(last), times.index(time))


def times_words(plan: Plan) -> str:
    """Say for which episodes the times that viewers are given are planned ones, as a clause; "" where all are known."""
    planned = [str(one.episode) for one in plan.course.episodes if is_planned(plan, one.episode)]
    if not planned:
        return ""
    named = f"episode{'s' if len(planned) > 1 else ''} {listing(planned)}"
    where = "the videos" if len(planned) == len(plan.course.episodes) else named
    return f"Times in {where} are as planned"


def is_planned(plan: Plan, episode: int) -> bool:
    """Whether times in an episode are planned ones: it has no captions, and not all of it is filmed."""
    return not spans_of(plan, episode) and not all(time.real for time in shot_times(plan, episode))


def cut_times(plan: Plan, episode: int) -> str:
    """Say as a clause what the times of an episode's cut are: planned ones until a take to use is known of any shot."""
    return "of the timeline" if any(time.real for time in shot_times(plan, episode)) else "as planned"


def segment_place(places: Mapping[str, Place], number: str, title: str) -> str:
    """Word where a segment is seen: ``Episode 2 at 1:59: The gusset grows``."""
    return f"{places[f'{number}.1'].words}: {title}"


def corrections(plan: Plan) -> tuple[Correction, ...]:
    """Word the errata that viewers still meet, in the order of the story; what names no shot comes last."""
    places = shot_places(plan)
    placed = ((place_of(plan, places, erratum), erratum) for erratum in plan.course.errata.errata)
    met = sorted((one for one in placed if still_met(plan, one[1], one[0])), key=lambda one: one[0])
    return tuple(correction(plan, place, erratum) for place, erratum in met)


def correction(plan: Plan, place: Place, erratum: Erratum) -> Correction:
    """Word an erratum for viewers."""
    facts = plan.worked.facts
    right = fill(erratum.right, for_all_sizes(facts))
    sizes = plan.course.pattern.sizes
    of_each = len({fill(erratum.right, for_size(facts, size)) for size in range(len(sizes))}) > 1
    one_size = _names_size(plan, erratum.right)
    if of_each and not one_size:
        right = f"{facts['size'].all_sizes()}: {right}"
        one_size = not all(size.name.isalnum() for size in sizes)  # a page tells no other names apart
    return Correction(place.words, erratum.said, right, one_size)


def _names_size(plan: Plan, text: str) -> bool:
    sizes = (size.name for size in plan.course.pattern.sizes if size.name)
    return any(re.search(rf"\b{re.escape(name)}\b", text, re.IGNORECASE) for name in sizes)


def still_met(plan: Plan, erratum: Erratum, place: Place) -> bool:
    """Whether viewers meet an erratum at its place: notes and handouts that mend it leave the video as it is.

    A cut that is made may have taken it out.
    """
    if is_cut_out(plan, erratum):
        return False
    beside = erratum.remedy == "pinned note" or (erratum.remedy == "new handout" and not place.text)
    return erratum.state != "mended" or beside


def place_of(plan: Plan, places: Mapping[str, Place], erratum: Erratum) -> Place:
    """Give where viewers meet an erratum: at its second, else at the first shot that it names, or as it says."""
    heard = second_of(plan, erratum)
    if heard:
        return Place(heard[0], for_viewers(plan, *heard))
    numbers = [one.number for one in named_shots(plan.course, erratum.where) if one.number]
    if not numbers:
        return Place(10**9, 0, text=capital(erratum.where))
    number = min(numbers, key=lambda one: places[one])
    title = _title(plan, number.segment) if is_planned(plan, number.episode) else ""
    return replace(places[number], chapter=title)


def _title(plan: Plan, segment: str) -> str:
    """Give the title of a segment as its chapter has it."""
    title = next(one.title for number, _, one in plan.course.segments() if number == segment)
    return plain(fill(title, plan.worked.word))
