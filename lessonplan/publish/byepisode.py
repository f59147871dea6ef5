"""Which stage of the pattern belongs to which segment and episode, as viewers work along."""

from __future__ import annotations

from collections.abc import Mapping

from lessonplan.course.model import pattern as pm
from lessonplan.pattern.working.stages import working_order
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered


def all_stages(pattern: pm.Pattern) -> tuple[str, ...]:
    """Give the stages in working order, those of choices that are not filmed too."""
    return working_order({key: stage.after for key, stage in pattern.stages.items()})


@remembered(4)
def text_stages(plan: Plan) -> Mapping[str, str]:
    """Give the stage at which each segment's text is printed: the one named, or the first that it shows, or none."""
    shown = _shown(plan)
    return {
        number: segment.stage or next((key for key, numbers in shown.items() if number in numbers), "")
        for number, _, segment in plan.course.segments()
    }


def shown_in(plan: Plan, key: str) -> frozenset[str]:
    """Find the numbers of the segments in which a piece moves through a stage or lies there half worked."""
    return _shown(plan).get(key, frozenset())


@remembered(4)
def _shown(plan: Plan) -> Mapping[str, frozenset[str]]:
    """The segments in which a piece moves through each stage or lies there half worked, in working order."""
    worked, size = plan.worked, plan.worked.size
    moved: dict[str, set[str]] = {key: set() for key in worked.pattern.order}
    for piece in worked.table:
        kind, stand = next(iter(piece.stands.items()))
        for place, key in enumerate(worked.pattern.order):
            whole = len(worked.kinds[kind].stage(key, size).steps)
            if stand.end[place] > stand.start[place] or 0 < stand.start[place] < whole:
                moved[key].add(piece.shot.segment)
    return {key: frozenset(segments) for key, segments in moved.items()}


@remembered(4)
def stage_episodes(plan: Plan) -> Mapping[str, int]:
    """Give the episode in which each stage is worked: the first that shows it, else that of the stage before it."""
    first: dict[str, int] = {}
    stages = text_stages(plan)
    for number, episode, _ in plan.course.segments():
        if stages[number]:
            first.setdefault(stages[number], episode.episode)
    found: dict[str, int] = {}
    at = min((episode.episode for episode in plan.course.episodes), default=1)
    for key in all_stages(plan.course.pattern):
        if key in plan.worked.pattern.order:
            before = [found[name] for name in plan.worked.pattern.before[key] if name in found]
            at = max([first.get(key, max(before, default=at)), *before])
            found[key] = at
    return found
