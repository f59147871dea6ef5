"""Better orders from given ones: blocks of shots are moved within their day as long as that helps."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import chain

import numpy as np
import numpy.typing as npt

from lessonplan.shoot.order import Filming, bits
from lessonplan.shoot.order_judge import Judge
from lessonplan.shoot.order_relax import Floats, Guide, Ints

LONGEST = 8
"""Shots in the longest block that is moved."""
EACH = 3
"""Moves looked at closely before the best of them is taken: those that promise the most."""
PATIENCE = 50
"""Moves looked at closely before an order is left as it is."""
PART = 0.2
"""What part of the savings that the prices of the relaxation hold out is counted on: they add up to too much."""
KICK = 1
"""Blocks moved by chance before a new descent from the best order."""
DUST = 1e-7


@dataclass(slots=True)
class Descent:
    """Goes down from one order after another.

    ``seen``: every order looked at, with a lower bound of its cost; ``close``: the likeliest of them, with a closer
    one. No more than ``probes`` orders are looked at in all. An order is ranked by its changes, its lateness and the
    relaxed cost of its samples, by the closer bound where it seems better than the order before. Moves are tried in
    the order of what they promise: the changes they save, and what the prices of the relaxation say of the samples.
    A move whose changes rule it out even with the kindest samples is not looked at.
    """

    judge: Judge
    probes: int
    seen: dict[Filming, float] = field(default_factory=dict)
    close: dict[Filming, float] = field(default_factory=dict)

    def value(self, sequence: Filming, than: float = math.inf) -> float:
        """The rank of an order; each new one uses up a probe. The closer bound is for those better than ``than``."""
        if sequence not in self.seen:
            self.probes -= 1
            self.seen[sequence] = self.judge.quick(sequence)
        if self.seen[sequence] < than - DUST and sequence not in self.close:
            self.close[sequence] = max(self.seen[sequence], self.judge.near(sequence))
        return self.close.get(sequence, self.seen[sequence])

    def go(self, start: Filming) -> Filming:
        """Give the order at which no likely move helps any more, or the best one when the probes are used up."""
        now: Filming | None = start
        found = start
        while now is not None:
            found = now
            now = self._step(found, self.value(found)) if self.probes > 0 else None
        return found

    def likeliest(self) -> list[Filming]:
        """The orders that were looked at most closely, best first."""
        return sorted(self.close, key=lambda sequence: (self.close[sequence], sequence))

    def wander(self, start: Filming, chance: random.Random) -> Filming:
        """Descend again and again from the best order with some blocks moved by chance, until the probes are gone."""
        best = start
        while self.probes > 0:
            other = self._kicked(best, chance)
            if other is None:
                break
            found = self.go(other)
            if self.close[found] < self.close[best] - DUST:
                best = found
        return best

    def _kicked(self, now: Filming, chance: random.Random) -> Filming | None:
        """An order that some chance moves lead to and that keeps the locks; None when a hundred tries find none."""
        setting = self.judge.setting
        for _ in range(100):
            parts = list(setting.split(now))
            for _ in range(KICK):
                days = [d for d, part in enumerate(parts) if len(part) > 1]
                if not days:
                    return None
                d = chance.choice(days)
                moves = rearranged(len(parts[d]))
                parts[d] = tuple(parts[d][int(k)] for k in moves[chance.randrange(len(moves))])
            other = tuple(chain(*parts))
            if other != now and not setting.broken(other):
                return other
        return None

    def _step(self, now: Filming, value: float) -> Filming | None:
        """The best of the likeliest moves, if one helps."""
        guide = self.judge.guide(now)
        self.probes -= 1
        options = [one for one in self._moves(now, guide) if one[1] + self.judge.floor < value - DUST]
        best: tuple[float, Filming] | None = None
        for looked, (_, cost, other) in enumerate(sorted(options)):
            if self.probes <= 0 or looked >= (EACH if best else PATIENCE):
                break
            if best is None or cost + self.judge.floor < best[0]:
                than = best[0] if best else value
                found = self.value(other, than)
                if found < than - DUST:
                    best = found, other
        return best[1] if best else None

    def _moves(self, now: Filming, guide: Guide) -> Iterator[tuple[float, float, Filming]]:
        """Every order in which one block stands elsewhere in its day: expected cost, changes and lateness, order."""
        setting, parts = self.judge.setting, self.judge.setting.split(now)
        costs = [setting.day_cost(d, setting.changes(part).minutes) for d, part in enumerate(parts)]
        matrix = np.array(setting.matrix)
        for day, part in enumerate(parts):
            if len(part) < 2:
                continue
            others = np.array(part, dtype=np.int64)[rearranged(len(part))]
            minutes = matrix[others[:, :-1], others[:, 1:]].sum(axis=1)
            kept, samples = self._samples(day, others, guide)
            before, after = tuple(chain(*parts[:day])), tuple(chain(*parts[day + 1 :]))
            rest = sum(costs) - costs[day]
            # Lateness only grows with the minutes, so the likeliest are among these with it, too.
            hopes = np.where(kept, setting.prices.change * minutes + samples, np.inf)
            for k in np.argsort(hopes, kind="stable")[: 2 * PATIENCE]:
                if kept[k]:
                    cost = rest + setting.day_cost(day, float(minutes[k]))
                    order = (*before, *(int(i) for i in others[k]), *after)
                    yield cost + float(samples[k]), cost, order

    def _samples(self, day: int, others: Ints, guide: Guide) -> tuple[npt.NDArray[np.bool_], Floats]:
        """For orders of one day: whether they keep the locks, and how the cost of the samples is expected to change."""
        setting = self.judge.setting
        place = np.zeros((len(others), len(setting)), dtype=np.int64)
        np.put_along_axis(place, others, np.arange(others.shape[1])[None, :], axis=1)
        pairs = [(i, j) for j in setting.shots[day] for i in bits(setting.before[j])]
        kept = np.ones(len(others), dtype=np.bool_)
        for i, j in pairs:
            kept &= place[:, i] < place[:, j]
        days = np.array(setting.days, dtype=np.int64)
        lost = (days[guide.lost_i] == day) & (days[guide.lost_j] == day)
        won = (days[guide.won_i] == day) & (days[guide.won_j] == day)
        samples = (place[:, guide.lost_i[lost]] > place[:, guide.lost_j[lost]]) @ guide.loss[lost]
        samples -= (place[:, guide.won_i[won]] < place[:, guide.won_j[won]]) @ (PART * guide.gain[won])
        return kept, samples


@cache
def rearranged(count: int) -> Ints:
    """Places in their new order, a row for each move of one block and each swap of two shots: (moves, count).

    Moving a block backward is moving those before it forward, so the shorter one of two blocks that change places
    is no longer than ``LONGEST``. The arrays are shared: they are not to be written to.
    """
    rows = []
    for first in range(count):
        for stop in range(first + 1, count):
            for to in range(stop + 1, count + 1):
                if min(stop - first, to - stop) <= LONGEST:
                    places = range(count)
                    rows.append([*places[:first], *places[stop:to], *places[first:stop], *places[to:]])
    for i in range(count):
        for j in range(i + 2, count):
            rows.append([*range(count)])
            rows[-1][i], rows[-1][j] = j, i
    return np.array(rows, dtype=np.int64).reshape(-1, count)
