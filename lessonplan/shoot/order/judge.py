"""What an order costs: its changes, its lateness, and the cheapest step samples for it; every answer is kept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from lessonplan.samples.choice import Choice, Question, Way
from lessonplan.samples.choice.choose import bound
from lessonplan.shoot.day import Day, Listed
from lessonplan.shoot.order.links import Guide, Links
from lessonplan.shoot.order.setting import Asked, Filming, Setting

Ask = Callable[[tuple[Listed, ...]], Asked]
"""Puts the question about the samples for the shots filmed in an order."""
Settle = Callable[[tuple[Listed, ...]], tuple[Choice, tuple[Day, ...]]]
"""Chooses the samples for the shots filmed in an order, and lays out the days with them, just as they are planned."""


@dataclass(frozen=True, slots=True)
class Scored:
    """An order with the samples chosen for it, and its days laid out.

    ``cost``: weighted minutes of changes, of lateness (rests and waits counted) and of the samples.
    """

    sequence: Filming
    choice: Choice
    days: tuple[Day, ...]
    cost: float


MANY = 200
"""Pieces asked for up to which the cheapest order is searched: every guess looks at all pairs of them."""


@dataclass
class Judge:
    """Costs of orders, from quick guesses to the true one.

    ``floor``: what the samples of any order cost at least; ``bound``: what every order costs at least, changes left
    out where the shots are too many (`Setting.large`).
    """

    setting: Setting
    ask: Ask
    settle: Settle
    floor: float = field(init=False)
    bound: float = field(init=False)
    guesses: dict[Filming, float] = field(default_factory=dict)
    nears: dict[Filming, float] = field(default_factory=dict)
    scores: dict[Filming, Scored] = field(default_factory=dict)

    def __post_init__(self) -> None:
        setting = self.setting
        self.floor = least_samples(self.present.question)
        changes = [0.0 if setting.large else least_changes(setting, shots) for shots in setting.shots]
        self.bound = self.floor + setting.cost(changes)

    @cached_property
    def present(self) -> Asked:
        """What is asked in the present order."""
        return self.ask(self.setting.listed)

    @cached_property
    def links(self) -> Links:
        """Who could serve whom, set up when the first guess is asked for."""
        return Links(self.setting, self.present)

    @property
    def large(self) -> bool:
        """Whether the shots or the pieces are too many for a search."""
        return self.setting.large or len(self.present.question.demands) > MANY

    def guess(self, sequence: Filming) -> float:
        """What an order is likely to cost: about a millisecond."""
        if sequence not in self.guesses:
            self.guesses[sequence] = self.setting.cost_of(sequence) + self._samples(sequence)
        return self.guesses[sequence]

    def guide(self, sequence: Filming) -> Guide:
        """What the guess for an order promises of those like it."""
        self._samples(sequence)
        return self.links.guide()

    def near(self, sequence: Filming) -> float:
        """What an order costs at least: some ten milliseconds."""
        if sequence not in self.nears:
            self.nears[sequence] = self.setting.cost_of(sequence) + bound(self.ask(self._listed(sequence)).question)
        return self.nears[sequence]

    def scored(self, sequence: Filming) -> Scored:
        """The true cost of an order, its samples chosen and its days laid out."""
        if sequence not in self.scores:
            setting = self.setting
            choice, days = self.settle(self._listed(sequence))
            changes = sum(setting.minutes(part) for part in setting.split(sequence))
            cost = choice.cost + setting.weighed(changes, [day.wrap for day in days])
            self.scores[sequence] = Scored(sequence, choice, days, cost)
        return self.scores[sequence]

    def _listed(self, sequence: Filming) -> tuple[Listed, ...]:
        return tuple(self.setting.listed[i] for i in sequence)

    def _samples(self, sequence: Filming) -> float:
        return self.links.cost(sequence, self.ask(self._listed(sequence)).slots)


def least_changes(setting: Setting, shots: Sequence[int]) -> float:
    """A lower bound of the minutes of changes for filming some shots of a day in any order.

    An order of them is a path through all, so it takes no less than the cheapest tree through all (Prim, Bell System
    Technical Journal 36, 1957; from memory). Locks are not looked at.
    """
    change, total = setting.change, 0.0
    near = {j: min(change[shots[0]][j].minutes, change[j][shots[0]].minutes) for j in shots[1:]}
    while near:
        now = min(near, key=lambda j: (near[j], j))
        total += near.pop(now)
        near = {j: min(cost, change[now][j].minutes, change[j][now].minutes) for j, cost in near.items()}
    return total


def least_samples(question: Question) -> float:
    """A lower bound of what the samples of any order cost: what the pieces cost that one slot needs at once.

    Each of them is begun and brought to its state at the least price there is for each step, before the shoot or on
    it; steps that some shot works cost nothing, nor do as many of the pieces as are ready. Pieces may go from shot to
    shot for nothing.
    """
    worked = _worked_in_shots(question)
    by_slot: defaultdict[int, list[float]] = defaultdict(list)
    for demand in question.demands:
        ways = question.possible(demand)
        by_slot[demand.slot] += [min((_least(question, way, worked) for way in ways), default=0.0)] * demand.count
    ready = len(question.ready)
    return max((sum(sorted(costs, reverse=True)[ready:]) for costs in by_slot.values()), default=0.0)


def _worked_in_shots(question: Question) -> set[tuple[str, int, int]]:
    """The steps (kind, stage, step) that a piece may have without anybody having knitted them for it."""
    return {
        (way.kind, stage, step)
        for demand in question.demands
        for way in question.possible(demand)
        for stage, (start, stop) in enumerate(zip(way.start, way.counted, strict=True))
        for step in range(start, stop)
    }


def _least(question: Question, way: Way, worked: set[tuple[str, int, int]]) -> float:
    """The least price of a new piece that comes this way."""
    if way.only_after:
        return 0.0
    weights, ladder = question.weights, question.ladders[way.kind]
    return weights.piece + sum(
        min(weights.bench * (bench[step + 1] - bench[step]), weights.floor * (floor[step + 1] - floor[step]))
        for stage, (bench, floor, done) in enumerate(zip(ladder.bench, ladder.floor, way.start, strict=True))
        for step in range(done)
        if (way.kind, stage, step) not in worked
    )
