"""Inside a round: where a line lies that is worked on camera, and what is put aside before a place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, repeat

from lessonplan.needle.decided.parts import Did, one_by_one
from lessonplan.needle.stitch.live import Needle, WorkError
from lessonplan.pattern.worked import PART, Step, WorkedPattern, WorkedStage
from lessonplan.printed.line import NotationError


@dataclass(frozen=True, slots=True)
class Within:
    """A line as a part of a round of a stage: ``after`` so many stitches from where the piece is, and ``to`` its end.

    ``number``: of the round, from 1. ``past``: the piece has that round behind it, and the next has no such line.
    ``done`` is worked in that round from its beginning, one by one, before the line, the first ``begun`` of it by where
    the piece is; ``line`` is the line, ``left`` what is left after it. Two places between the same stitches, before an
    increase and after it, differ in ``done``. ``markers``: those that lie between stitches of the line;
    ``beside``: those at its ends. ``like``: the stage and number of another round that has the line where this has not.
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
    like: tuple[str, int] = ("", 0)

    @property
    def what(self) -> str:
        """``row`` or ``round``."""
        return "row" if self.stage.rounds[self.number - 1].flat else "round"

    @property
    def first(self) -> tuple[str, ...]:
        """What is worked before the line in its round, from where the piece is."""
        return self.done[self.begun :]


def within(line: str, worked: WorkedPattern, size: int, state: Sequence[int]) -> Within | None:
    """Find a line in the next round of a piece in a state; None where the line is no part of it, or cannot be told.

    Markers are passed over, since who shows a few stitches seldom names those that are slipped. A line that the next
    round has not, such as a buttonhole in every 20th row, lies as far from the end as in a round that has it.
    """
    found = list[Within]()
    for stage, at in _next_rounds(worked, size, state):
        one = _in_round(line, worked, size, stage, at)
        if one and not one.after:
            return one
        found += [one] if one else []
    return found[0] if found else _past(line, worked, size, state) or _as_elsewhere(line, worked, size, state)


def most_on_needle(worked: WorkedPattern, size: int, state: Sequence[int]) -> int:
    """The most stitches that can be on a needle of a piece in a state, or once it is made ready for its next rounds."""
    most = max((stage.steps[steps - 1].after for stage, steps in worked.ends(state, size)), default=0)
    for stage, steps in worked.open_stages(state, size):
        for step in stage.steps[steps:]:
            most = max(most, step.before)
            if step.is_round or step.kind == PART:
                break
    return most


def within_move(line: str, worked: WorkedPattern, size: int, start: Sequence[int], end: Sequence[int]) -> Within | None:
    """Find a line in the rounds that bring a piece from one state to another; None where it is a part of none."""
    for key, a, b in zip(worked.order, start, end, strict=True):
        stage = worked.stage(key, size)
        for at in range(a, b):
            if stage.steps[at].is_round and (one := _in_round(line, worked, size, stage, at)):
                return one
    return None


def beside_line(line: str, worked: WorkedPattern, size: int, start: Sequence[int], end: Sequence[int]) -> Counter[str]:
    """Count what is worked before a line in a round of a move, and after it; nothing where it begins the round."""
    here = within_move(line, worked, size, start, end) if line else None
    return Counter((*here.first, *here.left) if here and here.first else ())


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
    yield from ((stage, done) for stage, done in worked.open_stages(state, size) if stage.steps[done].is_round)


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


def _as_elsewhere(line: str, worked: WorkedPattern, size: int, state: Sequence[int]) -> Within | None:
    """The place of a line in the next round that another round of the pattern has nearer its end than its beginning.

    It is that far from the end here too: what is worked there is a band, an edge or a buttonhole in it.
    """
    here = next(_next_rounds(worked, size, state), None)
    if here is None:
        return None
    tried = set[str]()
    for key in worked.order:
        stage = worked.stage(key, size)
        for at, step in enumerate(stage.steps):
            if not step.is_round or step.flat != here[0].steps[here[1]].flat or step.text in tried:
                continue
            tried.add(step.text)
            one = _in_round(line, worked, size, stage, at)
            if one and 0 <= step.before - one.to < one.after:
                return _from_the_end(one, step.before, _row(worked, size, *here))
    return None


@dataclass(frozen=True, slots=True)
class _Row:
    """What a round does one by one, and how many stitches of it, and things done, a piece has behind it."""

    stage: WorkedStage
    at: int
    needle: Needle
    whole: tuple[Did, ...]
    begun: int
    passed: int

    def part(self, line: Sequence[str], start: int, end: int) -> Within:
        """A line that stands between two places of what is done."""
        stops = [*(taken for _, taken, _ in self.whole), self.needle.stitches - self.needle.behind]
        begins, to = stops[start], stops[end]
        return Within(
            stage=self.stage,
            number=self.stage.rounds_at(self.at) + 1,
            after=begins - self.begun,
            to=to - self.begun,
            begun=self.passed,
            done=tuple(name for name, _, _ in self.whole[:start]),
            line=tuple(line),
            left=tuple(name for name, _, _ in self.whole[end:]),
            markers=sum(begins < place < to for place, _ in self.needle.markers),
            beside=sum(place in (begins, to) for place, _ in self.needle.markers),
        )


def _row(worked: WorkedPattern, size: int, stage: WorkedStage, at: int) -> _Row | None:
    """The round that the step at ``at`` ends; None where it cannot be followed one by one."""
    parts = stage.parts(at)
    first, begun = at - len(parts), sum(one.part for one in parts)
    needle = _needle(worked, size, stage, first, stage.steps[first])
    try:
        whole = one_by_one(stage.steps[at].text, needle, size, len(worked.sizes))
    except (NotationError, WorkError):
        return None
    return _Row(stage, at, needle, whole, begun, sum(taken < begun for _, taken, _ in whole))


def _in_round(line: str, worked: WorkedPattern, size: int, stage: WorkedStage, at: int) -> Within | None:
    """The place of a line in the round that the step at ``at`` ends; what is done of that round is passed by."""
    row = _row(worked, size, stage, at)
    done = _read(line, row.needle) if row else ()
    names, yarns = [name for name, _, _ in done], {yarn for yarn, _ in stage.steps[at].yarns}
    only = next(iter(yarns)) if len(yarns) == 1 else ""
    for start in range(row.passed, len(row.whole) - len(done) + 1) if row and done else ():
        if row and all(map(_alike, row.whole[start : start + len(done)], done, repeat(only))):
            return row.part(names, start, start + len(done))
    return None


def _read(line: str, needle: Needle) -> tuple[Did, ...]:
    """What a line worked on camera does one by one; nothing where it cannot be followed."""
    try:
        return one_by_one(line, needle, 0)
    except (NotationError, WorkError):
        return ()


def _alike(one: Did, shown: Did, only: str) -> bool:
    """Whether a line does what a round does, in its yarn too where both name one; ``only`` one is in all the round."""
    return one[0] == shown[0] and (not shown[2] or (one[2] or only or shown[2]) == shown[2])


def misplaced(
    line: str, worked: WorkedPattern, size: int, start: Sequence[int], end: Sequence[int]
) -> tuple[WorkedStage, int] | None:
    """Give the round (its stage and steps before it) of which a line is to be a part, and is not, wherever it begins.

    None where it is a part of one that a piece is worked through from one state to the other, or of one beside these,
    and where one of them cannot be followed.
    """
    stages = [(worked.stage(key, size), a, b) for key, a, b in zip(worked.order, start, end, strict=True)]
    between = [(stage, at) for stage, a, b in stages for at in range(a, b) if stage.steps[at].is_round]
    rounds = [*between, *_next_rounds(worked, size, start), *_next_rounds(worked, size, end)]
    rows = [_row(worked, size, *one) for one in rounds]
    if not rows or not all(row and _read(line, row.needle) for row in rows):
        return None
    found = within_move(line, worked, size, start, end) or within(line, worked, size, start)
    return None if found or within(line, worked, size, end) else rounds[0]


def _from_the_end(other: Within, stitches: int, row: _Row | None) -> Within | None:
    """The place in a row that is as far from its end as a line of another round, of so many stitches."""
    if row is None:
        return None
    stops = [taken for _, taken, _ in row.whole]
    begins, to = (row.needle.stitches - stitches + place for place in (other.after, other.to))
    if begins < row.begun or begins not in stops or (to not in stops and to != row.needle.stitches):
        return None
    end = stops.index(to) if to in stops else len(stops)
    return replace(row.part(other.line, stops.index(begins), end), like=(other.stage.key, other.number))


def put_aside(worked: WorkedPattern, size: int, stage: WorkedStage, at: int, stitches: int) -> int:
    """How many of the stitches that a round puts aside are put aside when so many of the row below are taken.

    Where its line cannot be followed one by one, they are with the last of its stitches.
    """
    step = stage.steps[at]
    if not step.held:
        return 0
    needle = _needle(worked, size, stage, at, step)
    try:
        done = [*one_by_one(step.text, needle, size, len(worked.sizes)), ("", needle.stitches, "")]
    except (NotationError, WorkError):
        return step.held if stitches >= step.before else 0
    ends = [(name, taken, then) for (name, taken, _), (_, then, _) in pairwise(done)]
    return sum(then - taken for name, taken, then in ends if name == "hold" and then <= stitches)


def _needle(worked: WorkedPattern, size: int, stage: WorkedStage, first: int, step: Step) -> Needle:
    """The needle as a round finds it, with the markers that the step before left, in whichever stage that is."""
    if first:
        return as_left(stage.steps, first)
    before = [one for name in worked.before[stage.key] for one in worked.stage(name, size).steps[-1:]]
    markers = next((one.markers for one in before if one.after == step.before), ())
    return Needle(step.before, markers, flat=step.flat)


def as_left(steps: Sequence[Step], at: int) -> Needle:
    """Give the needle on which a step of a stage is worked, with what the one before it left: markers, and turns."""
    last = steps[at - 1] if at else Step("", "", 0, 0)
    return Needle(steps[at].before, last.markers, flat=steps[at].flat, behind=last.behind, turns=last.turns)
