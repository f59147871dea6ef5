"""Which stage of the pattern belongs to which segment and episode, as viewers work along."""

from __future__ import annotations

from collections.abc import Mapping

from lessonplan.course import pattern_model as pm
from lessonplan.pattern.stages import working_order
from lessonplan.planning.worked import Plan


def all_stages(pattern: pm.Pattern) -> tuple[str, ...]:
    """Give the stages in working order, those of choices that are not filmed too."""
    return working_order({key: stage.after for key, stage in pattern.stages.items()})


def text_stages(plan: Plan) -> Mapping[str, str]:
    """Give the stage at which each segment's text is printed: the one named, or the first that it shows, or none."""
    shown = {key: shown_in(plan, key) for key in plan.worked.pattern.order}
    return {
        number: segment.stage or next((key for key, numbers in shown.items() if number in numbers), "")
        for number, _, segment in plan.course.segments()
    }


def shown_in(plan: Plan, key: str) -> frozenset[str]:
    """Find the numbers of the segments in which a piece moves through a stage or lies there half worked."""
    if key not in plan.worked.pattern.order:
        return frozenset()
    place = plan.worked.pattern.order.index(key)
    moved = set()
    for piece in plan.worked.table:
        kind, stand = next(iter(piece.stands.items()))
        whole = len(plan.worked.kinds[kind].stage(key, plan.worked.size).steps)
        if stand.end[place] > stand.start[place] or 0 < stand.start[place] < whole:
            moved.add(piece.shot.segment)
    return frozenset(moved)


def stage_episodes(plan: Plan) -> dict[str, int]:
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
