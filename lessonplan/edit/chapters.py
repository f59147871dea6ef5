"""The chapters of an episode, and the rules that a list of chapters must keep to be taken up.

The rules for chapters in a description are those of tests/facts/webvtt_rules.yaml (“platform-chapters”,
“platform-title”): the first at zero, at least three, each at least ten seconds, ascending.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lessonplan.course.model.episodes import Episode, Segment
from lessonplan.course.problems import Problem, note, warning
from lessonplan.edit.align.segments import NEAR
from lessonplan.edit.cuts import Cut
from lessonplan.edit.kept import spans_of
from lessonplan.edit.spoken import plain
from lessonplan.edit.timing import times_by_shot
from lessonplan.edit.video import made_cuts, milliseconds
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan

FEWEST, SHORTEST = 3, 10_000
"""So many chapters at least, each of so many milliseconds at least."""
LONGEST_TITLE = 70
"""Characters after which a title is cut off when it is shown."""


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter: the number of its segment, its title, from when to when, in milliseconds of the episode."""

    number: str
    title: str
    start: int
    end: int
    segment: Segment


def chapters_of(plan: Plan, episode: int, cuts: Sequence[Cut] | None = None) -> tuple[Chapter, ...]:
    """Give the chapters of an episode, as its viewers have them: each ends where the next one starts.

    Where the course keeps captions of the video, they are the segments found there, in its order, the first of all
    at zero, after the cuts that are made, or after others; else those of the timeline (`cut_chapters`).
    """
    spans, cuts = spans_of(plan, episode), made_cuts(plan, episode) if cuts is None else cuts
    starts = {span.number: milliseconds(span.start, cuts) if place else 0 for place, span in enumerate(spans)}
    return _listed(plan, starts, milliseconds(spans[-1].end, cuts)) if spans else cut_chapters(plan, episode)


def cut_chapters(plan: Plan, episode: int) -> tuple[Chapter, ...]:
    """Give the chapters of an episode in its cut: as long as the takes to use, and planned where nothing is filmed."""
    starts, end = _cut_starts(plan, episode)
    return _listed(plan, starts, end)


def on_one_clock(plan: Plan, episode: int) -> bool:
    """Tell whether the captions of a video run with the cut: what starts for sure, and the end, within 10 s in both."""
    spans, (starts, end) = spans_of(plan, episode), _cut_starts(plan, episode)
    pairs = [(span.start, starts[span.number]) for span in spans if span.sure and span.number in starts]
    pairs += [(spans[-1].end, end)] if spans else []
    return bool(pairs) and all(abs(heard - cut / 1000) <= NEAR for heard, cut in pairs)


def _cut_starts(plan: Plan, episode: int) -> tuple[Mapping[str, int], int]:
    """Give where each segment of an episode starts in its cut, and where the cut ends, in milliseconds."""
    starts, end = dict[str, int](), 0
    for time in times_by_shot(plan, episode).values():
        starts.setdefault(time.number.segment, time.start)
        end = time.end
    return starts, end


def _listed(plan: Plan, starts: Mapping[str, int], end: int) -> tuple[Chapter, ...]:
    """Give the chapters among segments with their starts."""
    word = plan.worked.word
    segments = {number: segment for number, _, segment in plan.course.segments() if segment.chapter}
    begun = [(number, segments[number], start) for number, start in starts.items() if number in segments]
    # Without any chapter there is one end too many.
    ends = [*(start for _, _, start in begun[1:]), end]
    return tuple(
        Chapter(number=number, title=plain(fill(segment.title, word)), start=start, end=stop, segment=segment)
        for (number, segment, start), stop in zip(begun, ends, strict=False)
    )


def chapter_problems(plan: Plan) -> Iterator[Problem]:
    """Say what keeps the chapters of each episode from being taken up, and what to do."""
    for episode in plan.course.episodes:
        yield from _of_episode(plan, episode)


def _long_enough(plan: Plan, episode: Episode) -> int:
    """Count the segments of an episode that could be chapters by their length."""
    lasts = Counter[str]()
    for time in times_by_shot(plan, episode.episode).values():
        lasts[time.number.segment] += time.end - time.start
    return sum(length >= SHORTEST for length in lasts.values())


def _of_episode(plan: Plan, episode: Episode) -> Iterator[Problem]:
    chapters = chapters_of(plan, episode.episode)
    if chapters and chapters[0].start:
        where, seconds = episode.segments[0].mark("chapter"), chapters[0].start / 1000
        what = f"The first chapter of episode {episode.episode} starts at {seconds:g} s, and must start at zero."
        yield warning(where, "chapters", what, "Let the first segment be a chapter.")
    if len(chapters) < FEWEST > _long_enough(plan, episode):
        return  # too short for a list, whatever is done
    if 0 < len(chapters) < FEWEST:
        what = f"Episode {episode.episode} has {len(chapters)} of the {FEWEST} chapters that a list must have."
        lost = {one.number for one in cut_chapters(plan, episode.episode)} - {one.number for one in chapters}
        hint = "Take “chapter: no” away; with “chapter: no” at all of them there is no list."
        hint = f"Not found in its captions: {', '.join(sorted(lost))}." if lost else hint
        yield note(episode.mark("segments"), "chapters", what, hint)
        return
    for one in chapters:
        if one.end - one.start < SHORTEST:
            what = (
                f"The chapter “{one.title}” lasts {(one.end - one.start) / 1000:g} s; {SHORTEST // 1000} s are needed."
            )
            yield warning(one.segment.mark("title"), "chapters", what, _longer(chapters, one))
        if len(one.title) > LONGEST_TITLE:
            what = f"The title of this chapter has {len(one.title)} characters; after {LONGEST_TITLE} it is cut off."
            yield note(one.segment.mark("title"), "chapters", what, "Say it in fewer words.")
    for one, after in pairwise(chapters):
        if one.title == after.title:
            what = f"Two chapters in a row are called “{one.title}”."
            yield note(after.segment.mark("title"), "chapters", what, "Give each a title of its own.")


def _longer(chapters: Sequence[Chapter], one: Chapter) -> str:
    """Say what makes a chapter that is too short longer and leaves a list that can be taken up."""
    if len(chapters) <= FEWEST:
        return "A list has three at least: make it longer, or have no list, with “chapter: no” at every segment."
    if one != chapters[0]:
        return "Put it together with the segment before it: “chapter: no” takes it out of the list."
    then = chapters[1].title
    return f"Let it go on: “chapter: no” at “{then}” takes that one out of the list. Give this one a title for both."
