"""What an order costs: its changes, its lateness, and the cheapest step samples for it; every answer is kept."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from lessonplan.samples.choice import choose_problem
from lessonplan.samples.demand import demands
from lessonplan.samples.master import Master
from lessonplan.samples.network import candidates
from lessonplan.samples.plan import Choice
from lessonplan.samples.problem import Problem
from lessonplan.samples.relax import Relaxation
from lessonplan.samples.timeline import timeline
from lessonplan.shoot.order import Filming, Setting
from lessonplan.shoot.order_least import Least
from lessonplan.shoot.order_relax import Guide, Relaxed


@dataclass(frozen=True, slots=True)
class Scored:
    """An order with the samples chosen for it.

    ``cost``: weighted minutes of changes, of lateness (rests and waits counted) and of the samples. ``bound``:
    the cost, or less when the samples were not solved to proven optimum.
    """

    sequence: Filming
    choice: Choice
    cost: float
    bound: float


@dataclass(slots=True)
class Judge:
    """Costs of orders, from cheap lower bounds to the true one.

    ``question`` puts the question about the samples for an order of all shots; that for the present order (0, 1,
    2 ...) has shot i as its shot i. ``wraps`` lays the days out with the samples chosen, and tells when each is over.
    ``time_limit``: seconds for the samples of one order. ``evaluations`` counts the
    orders whose samples were solved; ``cheapest``: of those that keep all locks, the first with the least cost.
    """

    setting: Setting
    question: Callable[[Filming], Problem]
    wraps: Callable[[Filming, Choice], Sequence[float]]
    time_limit: float = 30.0
    relaxed: Relaxed = field(init=False)
    least: Least = field(init=False)
    floor: float = field(init=False)
    evaluations: int = 0
    cheapest: Scored | None = None
    _solved: dict[Filming, Scored] = field(default_factory=dict)
    _quick: dict[Filming, float] = field(default_factory=dict)
    _near: dict[Filming, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.relaxed = Relaxed(self.setting, self.question(tuple(range(len(self.setting)))))
        self.least = Least(self.setting)
        self.floor = self.relaxed.least()

    @property
    def bound(self) -> float:
        """What every order costs at least: fewest changes, and samples for the kindest order at any time."""
        return self.least.cost(()) + self.floor

    def quick(self, sequence: Filming) -> float:
        """A lower bound of an order's cost from the relaxation: milliseconds."""
        if sequence not in self._quick:
            samples = self.relaxed.least(sequence, self.question(sequence))
            self._quick[sequence] = self.setting.cost(sequence) + samples
        return self._quick[sequence]

    def guide(self, sequence: Filming) -> Guide:
        """What the relaxation of an order promises of those like it."""
        self.relaxed.least(sequence, self.question(sequence))
        return self.relaxed.guide()

    def near(self, sequence: Filming) -> float:
        """A closer lower bound of an order's cost, with all hands and every pause looked at: some ten milliseconds."""
        if sequence not in self._near:
            problem = self.question(sequence)
            wanted, times = demands(problem), timeline(problem.shots, problem.pauses)
            samples = 0.0
            if wanted:
                program = Relaxation(Master(problem, wanted, times, candidates(problem, wanted, times)))
                program.solve(time.monotonic() + self.time_limit)
                samples = program.bound
            self._near[sequence] = self.setting.cost(sequence) + samples
        return self._near[sequence]

    def scored(self, sequence: Filming) -> Scored:
        """The cost of an order with its samples solved."""
        if sequence not in self._solved:
            self.evaluations += 1
            choice = choose_problem(self.question(sequence), time_limit=self.time_limit)
            self._solved[sequence] = one = self._score(sequence, choice)
            if one.cost < self.best and not self.setting.broken(sequence):
                self.cheapest = one
        return self._solved[sequence]

    def _score(self, sequence: Filming, choice: Choice) -> Scored:
        prices, hours = self.setting.prices, self.setting.hours
        wraps = self.wraps(sequence, choice)
        over = sum(max(0.0, wrap - one.limit) for wrap, one in zip(wraps, hours, strict=True))
        cost = choice.cost + prices.change * self.setting.changes(sequence).minutes + prices.late * over
        bound = cost if choice.optimal else self.setting.cost(sequence) + choice.bound
        return Scored(sequence, choice, cost, min(bound, cost))

    @property
    def best(self) -> float:
        """The cost of the cheapest solved order; infinite when there is none."""
        return self.cheapest.cost if self.cheapest else math.inf
