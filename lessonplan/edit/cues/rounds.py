"""Which rounds of the pattern a shot works, by the state of its piece and the lines that its hands work."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.craft.techniques import technique
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage
from lessonplan.planning.worked import Plan
from lessonplan.printed.line import parse_line
from lessonplan.samples.pieces import Stand, TablePiece
from lessonplan.shoot.clocks import live_techniques, needle_in

PLAIN = frozenset({"k"})
"""What any round may have: it does not tell one round from another."""


@dataclass(frozen=True, slots=True)
class WorkedHere:
    """Rounds that a shot works: those of a stage from ``first`` to ``last``, as the full piece counts them (from 1).

    ``step`` is the last of them, in the piece that lies on the table. ``works`` are the techniques that the hands show
    of it where they work a part of it; None where the piece moves by all of it.
    """

    stage: str
    first: int
    last: int
    step: Step
    works: frozenset[str] | None = None

    def shown(self, before: set[str]) -> bool:
        """Whether all that shapes the last round has been seen, in this shot and with what was seen ``before``."""
        if self.works is None:
            return True
        used = (technique(name) for name, _ in self.step.techniques)
        return {one.name for one in used if one.consumes != one.produces} <= before | self.works


@dataclass(frozen=True, slots=True)
class InWork:
    """Rounds of a work whose lines number themselves, as the handout prints them: counted from its own first round.

    ``first`` to ``last`` of the work, ``own`` the number that the line of a single one has; for each size the rounds of
    the stage ``before`` the work, and the rounds that it has.
    """

    first: int
    last: int
    own: int
    before: tuple[int, ...]
    totals: tuple[int, ...]


def in_work(plan: Plan, here: WorkedHere) -> InWork | None:
    """Count rounds as the handout does where their lines have numbers; None where it numbers them through the stage.

    None too where another size has no such round, or works it otherwise.
    """
    every = [one.rounds for one in plan.worked.pattern.stages[here.stage]]
    filmed = every[plan.worked.size]
    here_is, sizes = filmed[here.last - 1], len(every)
    spans = [[at for at, step in enumerate(rounds) if step.work == here_is.work] for rounds in every]
    own = parse_line(here_is.text, sizes).label.numbers
    if not own or not all(spans) or here.first - 1 not in spans[plan.worked.size]:
        return None
    start = spans[plan.worked.size][0]
    first, last = here.first - start, here.last - start
    if any(
        len(at) < last or rounds[at[last - 1]].text != here_is.text for rounds, at in zip(every, spans, strict=True)
    ):
        return None
    return InWork(first, last, own[0], tuple(at[0] for at in spans), tuple(map(len, spans)))


def rounds_here(plan: Plan, number: ShotNumber) -> WorkedHere | None:
    """Give the rounds that a shot works: those by which its piece moves, else the next one whose stitches are worked.

    A line worked on camera is of the next round only where it has something of that round that not any round has. None
    where it cannot be told: a wrong round is worse than none.
    """
    pieces = [piece for piece in plan.worked.table if piece.shot == number]
    for piece in sorted(pieces, key=lambda one: not one.moves):
        kind, stand = _as_filmed(piece)
        worked = plan.worked.kinds[kind]
        found = _moved(worked, stand, plan.worked.size) if stand.moves else _next(plan, worked, stand, number)
        if found:
            return found
    return None


def _as_filmed(piece: TablePiece) -> tuple[str, Stand]:
    """Give the kind by which rounds are counted: the full piece where it will do, else the first that will."""
    return ("full", piece.stands["full"]) if "full" in piece.stands else piece.first


def _numbers(stage: WorkedStage) -> tuple[int, ...]:
    """The numbers that the rounds of a stage have in the full piece."""
    return stage.numbers or tuple(range(1, len(stage.rounds) + 1))


def _moved(worked: WorkedPattern, stand: Stand, size: int) -> WorkedHere | None:
    for key, start, end in zip(worked.order, stand.start, stand.end, strict=True):
        stage = worked.stage(key, size)
        done, then = stage.rounds_at(start), stage.rounds_at(end)
        if then > done:
            numbers = _numbers(stage)
            return WorkedHere(key, numbers[done], numbers[then - 1], stage.rounds[then - 1])
    return None


def _next(plan: Plan, worked: WorkedPattern, stand: Stand, number: ShotNumber) -> WorkedHere | None:
    size = plan.worked.size
    needle = needle_in(number, plan.worked.kinds, plan.worked.table, size)
    names = {name for name, _ in live_techniques(plan.course.shot(number), needle)[0]}
    for stage, done in _candidates(plan, worked, stand, number) if names else ():
        round_ = stage.rounds_at(done)
        if round_ < len(stage.rounds):
            step = stage.rounds[round_]
            has = {name for name, _ in step.techniques}
            if names <= has and (names - PLAIN or has <= PLAIN):
                at = _numbers(stage)[round_]
                return WorkedHere(stage=stage.key, first=at, last=at, step=step, works=frozenset(names))
    return None


def _candidates(plan: Plan, worked: WorkedPattern, stand: Stand, number: ShotNumber) -> list[tuple[WorkedStage, int]]:
    """Give the stages that can be gone on with: those under way, that of the segment, and those that can be begun."""
    named = next(one.segment.stage for one in plan.course.shots() if one.number == number)
    could = worked.open_stages(stand.start, plan.worked.size)
    return sorted(could, key=lambda one: (one[1] == 0, one[0].key != named))
