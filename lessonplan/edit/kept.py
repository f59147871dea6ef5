"""What was said in the finished videos, as far as the course keeps captions of them."""

from __future__ import annotations

from functools import lru_cache

from lessonplan.edit.captions.reading import Captions, read_captions
from lessonplan.planning.worked import Plan


@lru_cache(maxsize=16)
def captions_of(plan: Plan, episode: int) -> Captions | None:
    """Read the captions that a course keeps of an episode; None where there are none. Remembered for each plan."""
    for kept in plan.captions:
        if kept.episode == episode:
            return read_captions(kept.data, kept.name)
    return None
