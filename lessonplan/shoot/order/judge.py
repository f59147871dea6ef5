"""What an order costs: its changes, its lateness, and the cheapest step samples for it; every answer is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from lessonplan.samples.choice import Choice
from lessonplan.samples.choice.choose import bound
from lessonplan.shoot.day import Day, Listed
from lessonplan.shoot.order.bound import least_changes, least_samples
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
