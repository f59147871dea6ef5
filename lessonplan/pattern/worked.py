"""What a pattern gives once it is worked: every step of every stage, in every size."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate, pairwise, takewhile

from lessonplan.course.problems import Where
from lessonplan.course.words import several
from lessonplan.craft.gauge import Fabric

UNIT = "unit"
"""The kind of a step that is one of some counted units."""
PART = "part of a round"
"""The kind of a step that is the beginning of a round, up to a place inside it."""
REMARK = "remark"
"""The kind of a step that works nothing, such as a line that only names the yarn to go on in."""


def is_one_of(unit: str, typed: str) -> bool:
    """Tell whether a counted unit is what is typed for it: ``stake`` for ``Stake`` or ``stakes``."""
    return bool(typed) and typed in (unit.lower(), several(unit.lower()))


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a stage for one size: a round, a row, or another work.

    ``work`` is the index of the work in its stage that the step belongs to. ``techniques`` counts what is done by
    name; ``yarns`` gives loops by yarn; ``tails`` millimetres of yarn by yarn; ``fixed`` are hands-on minutes that
    do not depend on the knitter's pace; ``drying`` are minutes to lie untouched afterwards, to dry or for another
    ``rest``; ``uses`` gives amounts by material. ``markers`` stand on the needle after the step. ``part`` is how
    many stitches a step that is only part of a round makes. ``name`` is that of stitches put aside or of an
    opening; ``cord`` millimetres of cord made; ``chains`` lie between its stitches and are none of them;
    ``resting`` are yarns that are carried along unused, so that no end is left. ``behind`` and ``turns`` are as in
    `Needle`: where short rows were turned. ``short``: over so many stitches a short row is worked, which turns before
    its end; 0 of any other. ``into``: so many stitches of the coming round are worked before it.
    """

    kind: str
    text: str
    before: int
    after: int
    techniques: tuple[tuple[str, int], ...] = ()
    yarns: tuple[tuple[str, float], ...] = ()
    fixed: float = 0.0
    drying: float = 0.0
    tails: tuple[tuple[str, float], ...] = ()
    one_way: bool = False
    markers: tuple[tuple[int, str], ...] = ()
    held: int = 0
    part: int = 0
    work: int = 0
    note: str = ""
    where: Where = Where()
    name: str = ""
    cord: float = 0.0
    resting: tuple[str, ...] = ()
    rest: str = "drying"
    uses: tuple[tuple[str, float], ...] = ()
    chains: int = 0
    behind: int = 0
    turns: tuple[int, ...] = ()
    short: int = 0
    into: int = 0

    @property
    def wide(self) -> int:
        """How many stitches it is as wide as: a chain between stitches lies about as wide as one (common practice)."""
        return self.after + self.chains

    @property
    def is_round(self) -> bool:
        """Tell whether the step is a round or a row."""
        return self.kind in ("round", "row")

    @property
    def flat(self) -> bool:
        """Tell whether the step is a row, worked flat."""
        return self.kind == "row"

    @property
    def unit(self) -> str:
        """What it is one of, where it is one of some counted units: ``section`` of ``section 3 of 5``."""
        return self.text.rsplit(" ", 3)[0] if self.kind == UNIT else ""


@dataclass(frozen=True)
class WorkedStage:
    """A stage worked for one size: its steps in order, and the fabric it makes.

    ``asked`` is its length in mm as typed, where all its rounds come from lengths that the rounds meet; else 0.
    ``works`` and ``points`` give the steps done at the end of each work, by its key word, and at each named point.
    ``numbers`` are the numbers (from 1) that its rounds have in the full piece, where some are left out. ``broken``
    says why the stage cannot be worked in this kind of piece, as a clause; empty when it can.
    """

    key: str
    title: str
    start: int
    steps: tuple[Step, ...]
    fabric: Fabric
    pace_factor: float = 1.0
    asked: float = 0.0
    works: tuple[tuple[str, int], ...] = ()
    points: tuple[tuple[str, int], ...] = ()
    numbers: tuple[int, ...] | None = None
    broken: str = ""

    @property
    def stitches(self) -> int:
        """Live stitches after the last step that has any to do with stitches."""
        return self.steps[-1].after if self.steps else self.start

    @cached_property
    def rounds(self) -> tuple[Step, ...]:
        """The rounds and rows among the steps."""
        return tuple(step for step in self.steps if step.is_round)

    @cached_property
    def widths(self) -> tuple[int, ...]:
        """How many stitches wide each of the rounds is, chains too.

        Short rows are as wide as what is worked; the first of them may come over other stitches on its way there.
        """
        wide = [step.short or step.wide for step in self.rounds]
        for at, (step, later) in enumerate(pairwise(self.rounds)):
            if step.short and later.short and not (at and self.rounds[at - 1].short):
                wide[at] = min(wide[at], later.short)
        return tuple(wide)

    @property
    def length(self) -> float:
        """The length worked in this stage, in millimetres."""
        return self.fabric.length(len(self.rounds))

    @property
    def cord(self) -> float:
        """The length of the cords made in this stage, in millimetres."""
        return sum(step.cord for step in self.steps)

    def moved(self, steps: Sequence[Step], place: Sequence[int]) -> WorkedStage:
        """The stage with other steps; ``place[n]`` is how many of them are done where n of the old ones were."""
        works = tuple((word, place[at]) for word, at in self.works)
        points = tuple((word, place[at]) for word, at in self.points)
        return replace(self, steps=tuple(steps), works=works, points=points)

    def parts(self, at: int) -> list[Step]:
        """Give the parts cut off the beginning of the round that the step ``at`` ends, the last first."""
        return [*takewhile(lambda one: one.kind == PART, (self.steps[n] for n in reversed(range(at))))]

    def steps_to_round(self, number: int, unit: str = "") -> int:
        """Give how many steps are done when round ``number`` of the full piece is: the step that ends it is the last.

        Counted units that are called ``unit`` go before; in a stage without rounds any of them are, or else its
        steps. Raises ``ValueError`` when there are fewer, or when the piece
        leaves that one out.
        """
        counted = [at for at, step in enumerate(self.steps, 1) if is_one_of(step.unit, unit)]
        if counted or (not self.rounds and self.numbers is None):
            every = [at for at, step in enumerate(self.steps, 1) if step.unit]
            counted = counted or every or [*range(1, 1 + len(self.steps))]
            if 0 <= number <= len(counted):
                return counted[number - 1] if number else counted[0] - 1 if counted else 0
        if number == 0:
            return next((at for at, step in enumerate(self.steps) if step.is_round or step.kind == PART), 0)
        rounds = [at for at, step in enumerate(self.steps, 1) if step.is_round]
        numbers = self.numbers or range(1, len(rounds) + 1)
        if number not in numbers:
            raise ValueError(f"“{self.key}” has {len(rounds)} rounds, not {number}")
        return rounds[numbers.index(number)]

    def rounds_at(self, steps: int) -> int:
        """Give how many rounds are done after so many steps."""
        return self._done[min(steps, len(self.steps))]

    @cached_property
    def _done(self) -> tuple[int, ...]:
        """How many rounds are done after each number of steps."""
        return (0, *accumulate(int(step.is_round) for step in self.steps))

    def unit_at(self, steps: int) -> str:
        """What the round is called in which so many steps end: "row" or "round"."""
        return next(
            ("row" if one.flat else "round" for one in self.steps[max(0, steps - 1) :] if one.is_round), self.unit
        )

    @cached_property
    def unit(self) -> str:
        """What its rounds are called: "row" where it is worked flat throughout, else "round"."""
        return "row" if all(step.flat for step in self.rounds) else "round"


@dataclass(frozen=True, repr=False, eq=False)
class WorkedPattern:
    """A pattern worked in every size. ``order`` is an order in which the stages can be worked.

    It is equal to itself only, so that what is drawn of it can be remembered.
    """

    sizes: tuple[str, ...]
    order: tuple[str, ...]
    before: Mapping[str, tuple[str, ...]]
    stages: Mapping[str, tuple[WorkedStage, ...]]

    def __repr__(self) -> str:
        return f"<WorkedPattern: {len(self.order)} stages, {len(self.sizes)} sizes>"

    def stage(self, key: str, size: int) -> WorkedStage:
        """Give a stage as worked for one size (0-based)."""
        return self.stages[key][size]

    def steps(self, size: int) -> Iterator[Step]:
        """Give all steps for one size (0-based), stage by stage."""
        return (step for key in self.order for step in self.stage(key, size).steps)

    def steps_between(self, begun: Sequence[int], end: Sequence[int], size: int) -> Iterator[Step]:
        """Give the steps from one state of a piece (steps done of each stage) to another, stage by stage."""
        states = zip(self.order, begun, end, strict=True)
        return (step for key, a, b in states for step in self.stage(key, size).steps[a:b])

    def begun(self, state: Sequence[int]) -> dict[str, int]:
        """Give the steps done of each stage that is begun in a state of a piece."""
        return {key: done for key, done in zip(self.order, state, strict=True) if done}

    def ends(self, state: Sequence[int], size: int) -> Iterator[tuple[WorkedStage, int]]:
        """Give the stages at which a piece ends, begun and with nothing done after them, each with its steps done."""
        begun = self.begun(state)
        covered = {name for key in begun for name in self.ancestors(key)}
        return ((self.stage(key, size), done) for key, done in begun.items() if key not in covered)

    def whole(self, size: int) -> tuple[int, ...]:
        """Give the state of a piece on which everything is done, for one size (0-based)."""
        return tuple(len(self.stage(key, size).steps) for key in self.order)

    def open_stages(self, state: Sequence[int], size: int) -> Iterator[tuple[WorkedStage, int]]:
        """Give the stages that can be gone on with or begun in a state of a piece, each with its steps done."""
        whole = {key for key, done, end in zip(self.order, state, self.whole(size), strict=True) if done == end}
        for key, done in zip(self.order, state, strict=True):
            if key not in whole and whole.issuperset(self.before[key]):
                yield self.stage(key, size), done

    def ancestors(self, key: str) -> frozenset[str]:
        """Give every stage that must be done before this one."""
        return ancestors(key, self.before)


def ancestors(key: str, before: Mapping[str, tuple[str, ...]]) -> frozenset[str]:
    """Give every stage that must be done before one; ``before`` names those just before each."""
    found: set[str] = set()
    todo = list(before[key])
    while todo:
        one = todo.pop()
        if one not in found:
            found.add(one)
            todo.extend(before[one])
    return frozenset(found)
