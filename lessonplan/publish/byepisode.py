"""Which stage of the pattern belongs to which segment and episode, as viewers work along."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from lessonplan.course.model import pattern as pm
from lessonplan.pattern.within import within
from lessonplan.pattern.working.stages import working_order
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered

_LABEL = re.compile(r"^[^:*\[]*:\s*")
"""What stands before the colon of a printed line: ``Row 1 (WS):``."""


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
        kind, stand = piece.first
        for place, key in enumerate(worked.pattern.order):
            whole = len(worked.kinds[kind].stage(key, size).steps)
            if stand.end[place] > stand.start[place] or 0 < stand.start[place] < whole:
                moved[key].add(piece.shot.segment)
    return {key: frozenset(segments) for key, segments in moved.items()}


@remembered(4)
def stage_episodes(plan: Plan) -> Mapping[str, int]:
    """Give the episode with which, or after which, each stage is worked.

    It is the first whose text is about it, or that works it, if only a line of it. What no shot works is homework right
    before the episode in which the next stage after it is worked, unless an episode shows a piece ready for it and one
    on which it is done last: who came with it done would see what she has behind her. What is worked by the lines of
    another stage, after the same ones, as a second sleeve is, goes with that one, never before it is taught; and what
    nothing after it places, with the episode in which it first lies there done.
    """
    return {key: at for key, (at, _) in _placed(plan).items()}


def placed_by_nothing(plan: Plan) -> Mapping[str, int]:
    """Give the stages that could be worked in several episodes, and the one with which they go for want of a reason."""
    return {key: at for key, (at, free) in _placed(plan).items() if free}


@remembered(4)
def _placed(plan: Plan) -> Mapping[str, tuple[int, bool]]:
    """The episode of each stage, and whether nothing but the stages before it says so while later ones would do too."""
    worked, first, done, between = plan.worked.pattern, _worked_in(plan), _done_in(plan), _done_between(plan)
    numbers = sorted({episode.episode for episode in plan.course.episodes}) or [1]
    found: dict[str, tuple[int, bool]] = {}
    for key in (key for key in all_stages(plan.course.pattern) if key in worked.order):
        least = max((found[name][0] for name in worked.before[key] if name in found), default=numbers[0])
        then = min((first[name] for name in first if key in worked.ancestors(name)), default=0)
        alike = [found[name][0] for name in found if _worked_like(plan, key, name)]
        taught = [at for at in alike if least < at and (at <= then or not then)]
        if key in first:
            at = first[key]
        elif key in between:
            at = between[key]
        elif taught:
            at = max(taught)
        elif then:
            at = max((one for one in numbers if one < then), default=least)
        else:
            at = done.get(key, least)
        found[key] = max(at, least), not (key in {*first, *done, *between} or taught or then) and least < numbers[-1]
    return found


def _worked_like(plan: Plan, key: str, other: str) -> bool:
    """Whether a stage is a second one of another: after the same stages, with at least half of its lines there."""
    before, stages = plan.worked.pattern.before, plan.course.pattern.stages
    mine, theirs = (_lines_of(stages[name]) for name in (key, other))
    return {*before[key]} == {*before[other]} != set() and 2 * len(mine & theirs) >= max(1, len(mine))


def _lines_of(stage: pm.Stage) -> frozenset[str]:
    """The lines of a stage, without their labels, and what else is done in it."""
    texts = [text for work in stage.works for text in (*getattr(work, "lines", ()), getattr(work, "what", ""))]
    return frozenset(_LABEL.sub("", text).strip(" .").lower() for text in texts if text)


def _ends_in(plan: Plan) -> Iterator[tuple[int, Mapping[str, int], frozenset[str]]]:
    """The pieces as they come to the shots, by episode: steps done of each stage, and what is done last on them."""
    worked, size = plan.worked.pattern, plan.worked.size
    for piece in sorted(plan.worked.table, key=lambda one: one.shot.episode):
        kind, stand = piece.first
        done = dict(zip(worked.order, stand.start, strict=True))
        begun = [key for key in done if done[key]]
        whole = (key for key in begun if done[key] == len(plan.worked.kinds[kind].stage(key, size).steps))
        last = frozenset(key for key in whole if not any(key in worked.ancestors(later) for later in begun))
        yield piece.shot.episode, done, last


def _done_in(plan: Plan) -> Mapping[str, int]:
    """The first episode in which a piece lies on which a stage is done, and nothing after it is begun."""
    found: dict[str, int] = {}
    for episode, _, last in _ends_in(plan):
        for key in sorted(last):
            found.setdefault(key, episode)
    return found


def _done_between(plan: Plan) -> Mapping[str, int]:
    """The first episode that has a piece ready for a stage and one on which it is done last."""
    found, pieces, before = dict[str, int](), [*_ends_in(plan)], plan.worked.pattern.before
    for episode, _, last in pieces:
        for key in sorted(last):
            mine = [one for at, _, one in pieces if at == episode]
            if before[key] and any({*before[key]} <= one for one in mine):
                found.setdefault(key, episode)
    return found


def _worked_in(plan: Plan) -> Mapping[str, int]:
    """The first episode that has a text of a stage, or that works it in a shot."""
    first: dict[str, int] = {}
    stages = text_stages(plan)
    for number, episode, _ in plan.course.segments():
        if stages[number]:
            first.setdefault(stages[number], episode.episode)
    order = plan.worked.pattern.order
    for piece in sorted(plan.worked.table, key=lambda one: one.shot.episode):
        kind, stand = piece.first
        for key, start, end in zip(order, stand.start, stand.end, strict=True):
            if end > start:
                first.setdefault(key, piece.shot.episode)
        lines = [one.work for one in plan.course.shot(piece.shot).hands if one.work and not stand.moves]
        for here in (within(line, plan.worked.kinds[kind], plan.worked.size, stand.start) for line in lines):
            if here and not here.past and not here.like[0]:
                first.setdefault(here.stage.key, piece.shot.episode)
    return first
