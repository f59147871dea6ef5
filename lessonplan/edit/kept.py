"""What was said in the finished videos, as far as the course keeps captions of them, and where segments start there."""

from __future__ import annotations

from functools import lru_cache

from lessonplan.edit.align.spans import Aligned, Span, align_episode
from lessonplan.edit.captions.reading import Captions, read_captions
from lessonplan.planning.worked import Plan


@lru_cache(maxsize=16)
def captions_of(plan: Plan, episode: int) -> Captions | None:
    """Read the captions that a course keeps of an episode; None where there are none. Remembered for each plan."""
    for kept in plan.captions:
        if kept.episode == episode:
            return read_captions(kept.data, kept.name)
    return None


@lru_cache(maxsize=16)
def aligned_of(plan: Plan, episode: int) -> Aligned | None:
    """Find the segments of an episode in the captions that a course keeps of it; None where it keeps none of use."""
    captions = captions_of(plan, episode)
    if captions is None or not captions.cues:
        return None
    planned = next(one for one in plan.course.episodes if one.episode == episode)
    return align_episode(plan.worked, planned, captions)


def spans_of(plan: Plan, episode: int) -> tuple[Span, ...]:
    """Give the segments found in the captions of an episode, in the order of the video.

    None are given where the course keeps no captions of it, or where these have little in common with the plan.
    """
    aligned = aligned_of(plan, episode)
    if aligned is None or any(problem.code == "little-match" for problem in aligned.problems):
        return ()
    return aligned.spans
