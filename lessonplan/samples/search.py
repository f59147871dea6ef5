"""From the linear bound to a proven plan: integer programs over the links that can still matter."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from lessonplan.samples.cuts import Cut, Load, cut, interval, overfull
from lessonplan.samples.integer import Plan, Program, Reading
from lessonplan.samples.master import INFINITY, Master
from lessonplan.samples.network import Ints
from lessonplan.samples.relax import Relaxation
from lessonplan.samples.schedule import Schedule

Tell = Callable[[float | None, float | None], None]

LIKELY = 600
PER_DEMAND = 2
"""Links tried first, beside those the linear solution uses: the larger of a number and a number per demand."""
GROWTH = 4
"""By how much the number of links may grow from one program to the next."""


@dataclass(slots=True)
class Search:
    """``best``: the cheapest plan so far; ``bound``: no plan is cheaper.

    ``stuck``: the inequalities cannot tell a solution from a plan; the program with every minute must decide.
    ``hopeless``: proven that there is no plan within the limits.
    """

    relaxation: Relaxation
    deadline: float
    tell: Tell
    best: Plan | None = None
    bound: float = 0.0
    stuck: bool = False
    hopeless: bool = False
    cuts: list[Cut] = field(default_factory=list)

    @property
    def master(self) -> Master:
        """The program behind the relaxation."""
        return self.relaxation.master

    @property
    def gap(self) -> float:
        """Distance between the best plan and the bound."""
        return self.best.cost - self.bound if self.best else INFINITY

    @property
    def proven(self) -> bool:
        """Whether no plan can be cheaper, arithmetic dust aside."""
        return self.best is not None and self.gap <= 1e-7 * max(1.0, self.best.cost)

    @property
    def late(self) -> bool:
        """Whether the time is over."""
        return time.monotonic() > self.deadline

    def run(self) -> None:
        """Find the cheapest plan: first with the likeliest links, then with all that a better one could use."""
        self._naive()
        if not self.relaxation.solve(self.deadline):
            return
        self._raise(self.relaxation.bound)
        self.cuts = self.relaxation.active()
        fixed, links = np.arange(len(self.master.cost)), self._likeliest()
        most = GROWTH * len(links)
        while not (self.proven or self.late):
            level = self._solve_over(fixed, links)
            if self.stuck or self.hopeless or level is None:
                return
            if self.relaxation.solve(self.deadline):
                self._raise(self.relaxation.bound)
            enough, possible = self._possible()
            if np.isin(possible, links).all():
                self._raise(min(level, self.best.cost if self.best else level))
                self.hopeless = self.best is None
                return
            if len(possible) > most:
                enough, possible = fixed, self._likeliest(most)
            fixed, links, most = enough, possible, GROWTH * most

    def _raise(self, bound: float) -> None:
        self.bound = max(self.bound, bound)
        self.tell(self.best.cost if self.best else None, self.bound)

    def _offer(self, plan: Plan | None) -> None:
        if plan is not None and (self.best is None or plan.cost < self.best.cost - 1e-9):
            self.best = plan
            self.tell(plan.cost, self.bound)

    def _naive(self) -> None:
        """A new piece for everything, if no limit could forbid it."""
        master = self.master
        if master.problem.limits:
            return
        cheapest: dict[int, tuple[float, str]] = {}
        for column, (b, kind) in master.new.items():
            cheapest[b] = min(cheapest.get(b, (INFINITY, "")), (master.cost[column], kind))
        cost = sum(price * master.wanted[b].count for b, (price, _) in cheapest.items())
        new = {(b, kind): master.wanted[b].count for b, (_, kind) in cheapest.items()}
        self._offer(Plan(cost, new, {}, [], {}))

    def _likeliest(self, count: int = 0) -> Ints:
        relaxation = self.relaxation
        used = relaxation.used[relaxation.value > 1e-9]
        order = np.argsort(relaxation.reduced, kind="stable")
        chosen: Ints = np.union1d(used, order[: count or max(LIKELY, PER_DEMAND * len(self.master.wanted))])
        return chosen

    def _possible(self) -> tuple[Ints, Ints]:
        """Fixed columns and links that a plan cheaper than the best could use."""
        relaxation, master = self.relaxation, self.master
        most = self.gap + 1e-6
        fixed = (relaxation.fixed <= most) | ~np.array(master.whole)
        return np.nonzero(fixed)[0], np.nonzero(relaxation.reduced <= most)[0]

    def _solve_over(self, fixed: Ints, links: Ints) -> float | None:
        """The bound of the integer program over these columns, with inequalities added until it is a plan.

        None when the time is over.
        """
        while not self.late:
            left = self.deadline - time.monotonic()
            program = Program.over(self.master, fixed, links, self.cuts, left)
            solved = program.solve()
            if not solved.values:
                return INFINITY if not solved.feasible else None
            reading = program.reading(solved.values)
            schedule = reading.schedule()
            self._offer(reading.plan(schedule))
            if schedule.complete:
                return solved.bound if solved.optimal else None
            found = self._broken(reading, schedule)
            if not found:
                self.stuck = True
                return None
            for one in found:
                self.cuts.append(one)
                self.relaxation.add(one)
        return None

    def _broken(self, reading: Reading, schedule: Schedule) -> list[Cut]:
        """Inequalities that the solution breaks; none when they cannot say why it does not fit."""
        links, times = self.master.links, self.master.times
        busy = reading.used[links.knitting[reading.used] > 1e-9]
        ones = np.ones(len(busy))
        load = Load(reading.waits, links.first[busy], links.stop[busy], links.knitting[busy], ones)
        found = [interval(times, first, stop) for first, stop in overfull(times, load, 10)]
        for inside in schedule.tight:
            one = cut(times, inside)
            needed = float(one.weights(links, busy).sum())
            if needed > one.room + float(reading.waits[inside].sum()) + 1e-6:
                found.append(one)
        return found
