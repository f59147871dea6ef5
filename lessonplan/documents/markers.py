"""What stays in pieces while they wait: markers on the needle, and waste yarn through stitches that are put aside."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from lessonplan.course.words import count_of
from lessonplan.documents.stopping import is_cut
from lessonplan.documents.worklines import steps_of
from lessonplan.pattern.shape.outline import outline
from lessonplan.pattern.worked import PART, Step, WorkedPattern, WorkedStage
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, State

_WASTE = ("hold", "lifeline", "placeholder")
"""Works that leave waste yarn in a piece, beside rounds that put stitches aside."""


Contents = Counter[str]
"""How many ``markers``, that for the beginning of the round among them, and how many lengths of ``waste`` yarn."""


def marked(found: Contents) -> str:
    """Word the markers: ``3 markers``; nothing where there are none."""
    return count_of(found["markers"], "marker") if found["markers"] else ""


def inside(plan: Plan, kind: str, state: State) -> Contents:
    """Count what is in a piece of a kind in a state.

    The marker for the beginning of the round goes in as the ring is closed, with the first stitch of the first round
    (common practice): what is only cast on has none yet. What is placed stays until a round takes it off.
    """
    worked, size = plan.worked.kinds[kind], plan.worked.size
    markers = sum(_markers(worked, size, stage, done) for stage, done in worked.ends(state, size))
    waste = [edge for part in outline(worked, size, state).walk() for edge in part.waste if edge.done]
    return Contents(markers=markers, waste=len(waste))


def _markers(worked: WorkedPattern, size: int, stage: WorkedStage, done: int) -> int:
    """The markers on the needle after so many steps of a stage: those of its last round, or of the stage before it."""
    last = stage.steps[done - 1]
    if not last.after or is_cut(last):
        return 0
    for step in reversed(stage.steps[:done]):
        if step.is_round or step.kind == PART:
            return _on_needle(step, ring=_is_ring(worked, size, stage))
        if step.before == 0:  # cast on, or taken up anew
            return 0
    before = (worked.stage(name, size) for name in worked.before[stage.key])
    return sum(_markers(worked, size, one, len(one.steps)) for one in before if one.steps)


def _on_needle(step: Step, *, ring: bool) -> int:
    """The markers on a needle after a round, a row or a part of one: a round has one for its beginning too.

    It stays while short rows are worked over some stitches of a ``ring``.
    """
    return len(step.markers) + (step.is_round or step.kind == PART) * (not step.flat or (ring and step.short > 0))


def _is_ring(worked: WorkedPattern, size: int, stage: WorkedStage) -> bool:
    """Whether rounds were worked before the end of a stage, so that its short rows are over stitches of a ring."""
    stages = (stage, *(worked.stage(key, size) for key in worked.ancestors(stage.key)))
    return any(step.kind == "round" for one in stages for step in one.rounds)


def at_work(plan: Plan, kind: str, begun: State, goal: State) -> Contents:
    """Count the most that is in a piece of a kind at once while it is worked from one state to another."""
    steps, worked, size = steps_of(plan, kind, begun, goal), plan.worked.kinds[kind], plan.worked.size
    here = [(worked.stage(key, size), start, stop) for key, start, stop in zip(worked.order, begun, goal, strict=True)]
    rings = [(stage.steps[start:stop], _is_ring(worked, size, stage)) for stage, start, stop in here if stop > start]
    markers = max((_on_needle(step, ring=ring) for some, ring in rings for step in some), default=0)
    waste = any(step.held or step.kind in _WASTE for step in steps)
    found = Contents(markers=markers, waste=int(waste))
    for place in range(len(goal) + 1):
        found |= inside(plan, kind, goal[:place] + begun[place:])
    return found


def at_once(plan: Plan, work: Sequence[tuple[Piece, State, State]]) -> Contents:
    """Count the most that is in some pieces at once, worked one after the other, each from one state to another."""
    now = {piece.name: inside(plan, piece.kind, begun) for piece, begun, _ in work}
    most = Contents()
    for piece, begun, goal in work:
        others = sum((one for name, one in now.items() if name != piece.name), Contents())
        most |= others + at_work(plan, piece.kind, begun, goal)
        now[piece.name] = inside(plan, piece.kind, goal)
    return most


def put_in(plan: Plan, work: Iterable[tuple[Piece, State, State]]) -> Contents:
    """Count what somebody must have to put into pieces, worked one after the other, beside what is in them already.

    What a job puts in and takes out again serves the next; what was in a piece is not counted on, whoever is first.
    """
    need, out = Contents(), Contents()
    for piece, begun, goal in work:
        before = inside(plan, piece.kind, begun)
        need |= out + at_work(plan, piece.kind, begun, goal) - before
        out += inside(plan, piece.kind, goal) - before
    return need


def placed_in(plan: Plan, kind: str, start: State, end: State) -> int:
    """Count the markers that a move puts into a piece."""
    return (inside(plan, kind, end) - inside(plan, kind, start))["markers"]
