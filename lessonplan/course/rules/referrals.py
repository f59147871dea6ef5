"""Rules about what shots refer their viewers to."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lessonplan.course.model.whole import Course
from lessonplan.course.problems import Problem, warning


def next_episode_comes(course: Course) -> Iterator[Problem]:
    """A shot of the last episode cannot refer to the next one."""
    last = max((one.episode for one in course.episodes), default=0)
    for one in course.shots():
        for place, mention in enumerate(one.shot.mentions):
            if mention.what == "next episode" and one.episode.episode == last:
                where = one.shot.mark("mentions", place)
                yield warning(where, "no-next-episode", "No episode comes after this one.")


REFERRAL_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (next_episode_comes,)
