"""The chapters of an episode, and the rules that a list of chapters must keep to be taken up.

The rules for chapters in a description are those of tests/facts/webvtt_rules.yaml (“platform-chapters”,
“platform-title”): the first at zero, at least three, each at least ten seconds, ascending.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from lessonplan.course.model import Episode, Segment
from lessonplan.course.problems import Problem, note, warning
from lessonplan.edit.spoken import plain
from lessonplan.edit.timing import times_by_shot
from lessonplan.pattern.texts import fill, for_size
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


def chapters_of(plan: Plan, episode: int) -> tuple[Chapter, ...]:
    """Give the chapters of an episode: each ends where the next one starts, the last with the episode."""
    word, times = for_size(plan.worked.facts, plan.worked.size), times_by_shot(plan, episode)
    end = max((time.end for time in times.values()), default=0)
    begun = []
    for number, of, segment in plan.course.segments():
        if of.episode == episode and segment.chapter:
            start = min(time.start for time in times.values() if time.number.segment == number)
            begun.append((number, segment, start))
    # Without any chapter there is one end too many.
    ends = [*(start for _, _, start in begun[1:]), end]
    return tuple(
        Chapter(number, plain(fill(segment.title, word)), start, stop, segment)
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
        hint = "Take “chapter: no” away; with “chapter: no” at all of them there is no list."
        yield note(episode.mark("segments"), "chapters", what, hint)
        return
    for one in chapters:
        if one.end - one.start < SHORTEST:
            what = (
                f"The chapter “{one.title}” lasts {(one.end - one.start) / 1000:g} s; {SHORTEST // 1000} s are needed."
            )
            hint = "Put it together with the segment beside it: “chapter: no” takes it out of the list."
            yield warning(one.segment.mark("title"), "chapters", what, hint)
        if len(one.title) > LONGEST_TITLE:
            what = f"The title of this chapter has {len(one.title)} characters; after {LONGEST_TITLE} it is cut off."
            yield note(one.segment.mark("title"), "chapters", what, "Say it in fewer words.")
    for one, after in pairwise(chapters):
        if one.title == after.title:
            what = f"Two chapters in a row are called “{one.title}”."
            yield note(after.segment.mark("title"), "chapters", what, "Give each a title of its own.")
