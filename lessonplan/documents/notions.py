"""What somebody needs beside yarn and needles for work on pieces, told from the works themselves.

And what of it stays in pieces while they wait: markers on the needle, waste yarn through stitches put aside.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from lessonplan.course.model.together import Course
from lessonplan.course.names.toolbox import packed
from lessonplan.course.words import count_of, listing
from lessonplan.craft.techniques import technique
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


THREADED = ("hold", "lifeline", "graft", "draw-through", "sew", "weave-ends")
"""Works for which the yarn is threaded on a needle."""
WASTE_YARN = "waste yarn"
BY_HAND = ("RT", "LT")
"""Crossings of two stitches that are worked without a cable needle (common practice)."""


def notions_for(steps: Iterable[Step], need: Contents, one: int, waste: str = WASTE_YARN) -> tuple[str, ...]:
    """List the notions that works of yarn take.

    ``need``: so many markers, and waste yarn for so many pieces; ``one``: the most markers in one piece, or 0 where the
    pieces have that for the beginning of the round already. ``waste`` names the waste yarn.
    """
    return tuple(_notions(tuple(steps), need, one, waste))


_TOLD_BY_WORKS = re.compile(r"\b(?:needles?|markers?|scissors|yarn|hooks?)\b", re.IGNORECASE)


def notions_in(notions: Iterable[str], text: str) -> Iterator[str]:
    """Give the notions of a pattern that a text asks for by name, ``Stuff the ball``, and no work tells of."""
    for notion in notions:
        words = re.findall(r"[a-z]+", re.split(r"[,;:(]| for | in | with ", notion.lower())[0])
        thing = re.sub(r"(?:ing|s)$", "", words[-1]) if words else ""
        if len(thing) > 2 and not _TOLD_BY_WORKS.search(notion) and re.search(rf"\b{thing}", text, re.IGNORECASE):
            yield notion


def _notions(steps: tuple[Step, ...], need: Contents, one: int, waste: str) -> Iterator[str]:
    if need["markers"] > 0:
        different = ", one of them different" if need["markers"] > 1 else ""
        several = f"{' in two colours' if one > 1 else ''} (pieces that wait keep theirs)"
        yield count_of(need["markers"], "marker") + (several if need["markers"] > one > 0 else different if one else "")
    if need["waste"] > 0:
        yield (f"{need['waste']} lengths of " if need["waste"] > 1 else "") + waste
    if any(step.held or step.kind in THREADED for step in steps):
        yield "a blunt darning needle"
    if any(_crosses(name) for step in steps for name, _ in step.techniques):
        yield "a cable needle"
    if any(step.yarns or step.tails for step in steps):
        yield "scissors"
    if any(step.kind == "block" for step in steps):
        yield "what it is washed in and laid out on"


def _crosses(name: str) -> bool:
    try:
        return technique(name).kind == "cable" and name not in BY_HAND
    except KeyError:
        return False


def waste_named(course: Course) -> str:
    """Name the waste yarn as the pattern does, else as the list of tools does: who puts it in chooses its colour."""
    told = next((one for one in course.pattern.notions if WASTE_YARN in one.lower()), "")
    found = told or next(iter(packed(course, [WASTE_YARN])))
    return found.replace(f"{WASTE_YARN}: ", f"{WASTE_YARN}, ")


def listed(parts: Iterable[str]) -> str:
    """Put things in a row; where one of them has a comma, they are parted by semicolons."""
    every = [*parts]
    return "; ".join(every) if any("," in one or ";" in one for one in every) else listing(every)
