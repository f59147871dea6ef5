"""Inside a round: where a line lies that is worked on camera, and what is put aside before a place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonplan.needle.decided.line import Needle, WorkError
from lessonplan.needle.decided.parts import one_by_one
from lessonplan.pattern.worked import PART, Step, WorkedPattern, WorkedStage
from lessonplan.printed.line import NotationError

Done = Sequence[tuple[str, int]]
"""What is done one after the other, each with the stitches of the row below that are taken before it."""


@dataclass(frozen=True, slots=True)
class Within:
    """A line as a part of a round of a stage: ``after`` so many stitches from where the piece is, and ``to`` its end.

    ``number``: of the round, from 1. ``past``: the piece has that round behind it, and the next has no such line.
    ``done`` is worked in that round from its beginning, one by one, before the line, the first ``begun`` of it by where
    the piece is; ``line`` is the line, ``left`` what is left after it. Two places between the same stitches, before an
    increase and after it, differ in ``done``. ``markers``: those that lie between stitches of the line;
    ``beside``: those at its ends.
    """

    stage: WorkedStage
    number: int
    after: int
    to: int
    past: bool = False
    done: tuple[str, ...] = ()
    begun: int = 0
    line: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    markers: int = 0
    beside: int = 0


def within(line: str, worked: WorkedPattern, size: int, state: Sequence[int]) -> Within | None:
    """Find a line in the next round of a piece in a state; None where the line is no part of it, or cannot be told.

    Markers are passed over, since who shows a few stitches seldom names those that are slipped.
    """
    found = list[Within]()
    for stage, at in _next_rounds(worked, size, state):
        one = _in_round(line, worked, size, stage, at)
        if one and not one.after:
            return one
        found += [one] if one else []
    return found[0] if found else _past(line, worked, size, state)


def within_move(line: str, worked: WorkedPattern, size: int, start: Sequence[int], end: Sequence[int]) -> Within | None:
    """Find a line in the rounds that bring a piece from one state to another; None where it is a part of none."""
    for key, a, b in zip(worked.order, start, end, strict=True):
        stage = worked.stage(key, size)
        for at in range(a, b):
            if stage.steps[at].is_round and (one := _in_round(line, worked, size, stage, at)):
                return one
    return None


def lacking(here: Within, before: Within | None) -> int:
    """How much of what is worked before a line in its round a line before it has not worked; all where it is another's.

    Counted as in ``done``, from where the piece is.
    """
    if before is None or (before.stage.key, before.number, before.past) != (here.stage.key, here.number, here.past):
        return len(here.done) - here.begun
    if len(before.done) > len(here.done):
        return len(here.done) - here.begun
    return max(0, len(here.done) - len(before.done) - len(before.line))


def _next_rounds(worked: WorkedPattern, size: int, state: Sequence[int]) -> Iterator[tuple[WorkedStage, int]]:
    """The rounds that could come next, each by its stage and the steps before it."""
    done = dict(zip(worked.order, state, strict=True))
    for key in worked.order:
        stage = worked.stage(key, size)
        ready = all(done[name] == len(worked.stage(name, size).steps) for name in worked.before[key])
        if ready and done[key] < len(stage.steps) and stage.steps[done[key]].is_round:
            yield stage, done[key]


def _past(line: str, worked: WorkedPattern, size: int, state: Sequence[int]) -> Within | None:
    """The round just done, if the line is a part of it."""
    rounds = list(_next_rounds(worked, size, state))
    for key, steps in zip(worked.order, state, strict=True):
        stage = worked.stage(key, size)
        begun = (steps == len(stage.steps) and any(key in worked.before[one.key] for one, _ in rounds)) or any(
            one.key == key for one, _ in rounds
        )
        if rounds and steps and begun and stage.steps[steps - 1].is_round:
            one = _in_round(line, worked, size, stage, steps - 1)
            if one:
                return replace(one, past=True)
    return None


def _in_round(line: str, worked: WorkedPattern, size: int, stage: WorkedStage, at: int) -> Within | None:
    """The place of a line in the round that the step at ``at`` ends; what is done of that round is passed by."""
    first, begun = at, 0
    while first and stage.steps[first - 1].kind == PART:
        first -= 1
        begun += stage.steps[first].part
    steps = stage.steps
    needle = _needle(worked, size, stage, first, steps[first])
    try:
        whole = one_by_one(steps[at].text, needle, size, len(worked.sizes))
        mine = one_by_one(line, needle, 0)
    except (NotationError, WorkError):
        return None
    rest = [one for one in whole if one[1] >= begun]
    names = [name for name, _ in mine]
    for start in range(len(rest) - len(names) + 1 if names else 0):
        if [name for name, _ in rest[start : start + len(names)]] == names:
            end = start + len(names)
            to = rest[end][1] if end < len(rest) else needle.stitches
            passed = [name for name, _ in whole[: len(whole) - len(rest)]]
            return Within(
                stage=stage,
                number=stage.rounds_at(at) + 1,
                after=rest[start][1] - begun,
                to=to - begun,
                begun=len(passed),
                done=(*passed, *(name for name, _ in rest[:start])),
                line=tuple(names),
                left=tuple(name for name, _ in rest[end:]),
                markers=sum(rest[start][1] < place < to for place, _ in needle.markers),
                beside=sum(place in (rest[start][1], to) for place, _ in needle.markers),
            )
    return None


def put_aside(worked: WorkedPattern, size: int, stage: WorkedStage, at: int, stitches: int) -> int:
    """How many of the stitches that a round puts aside are put aside when so many of the row below are taken.

    Where its line cannot be followed one by one, they are with the last of its stitches.
    """
    step = stage.steps[at]
    if not step.held:
        return 0
    needle = _needle(worked, size, stage, at, step)
    try:
        done = [*one_by_one(step.text, needle, size, len(worked.sizes)), ("", needle.stitches)]
    except (NotationError, WorkError):
        return step.held if stitches >= step.before else 0
    ends = [(name, taken, then) for (name, taken), (_, then) in pairwise(done)]
    return sum(then - taken for name, taken, then in ends if name == "hold" and then <= stitches)


def _needle(worked: WorkedPattern, size: int, stage: WorkedStage, first: int, step: Step) -> Needle:
    """The needle as a round finds it, with the markers that the step before left, in whichever stage that is."""
    if first:
        return Needle(step.before, stage.steps[first - 1].markers, flat=step.flat)
    before = [one for name in worked.before[stage.key] for one in worked.stage(name, size).steps[-1:]]
    markers = next((one.markers for one in before if one.after == step.before), ())
    return Needle(step.before, markers, flat=step.flat)
