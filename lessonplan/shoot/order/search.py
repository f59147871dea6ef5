"""The search for the cheapest order: blocks of shots are moved within their day as long as that promises to help.

Work is limited by counts, never by the clock, so that the same course gives the same order on every machine.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import chain

import numpy as np

from lessonplan.shoot.order.judge import Judge, Scored
from lessonplan.shoot.order.links import DUST, Flags, Floats, Guide, Ints
from lessonplan.shoot.order.setting import Filming

PROBES = 600
"""Orders whose cost is guessed."""
SOLVED = 6
"""Of them, orders whose samples are chosen: the likeliest."""
LONGEST = 8
"""Shots in the longest block that is moved."""
EACH = 6
"""Moves whose cost is guessed before the best of them is taken: those that promise the most."""
PATIENCE = 50
"""Moves whose cost is guessed before an order is left as it is."""
TRUST = (0.0, 0.2, 0.5)
"""What part of the savings that the prices hold out is counted on: they add up to too much."""


def cheapest(judge: Judge, starts: Sequence[Filming], probes: int = PROBES, solved: int = SOLVED) -> Scored:
    """Give the cheapest order found; never worse than a start. At least one start must keep the locks.

    Where shots or pieces are too many for a search, it is the cheapest start.
    """
    kept = [judge.scored(start) for start in starts if not judge.setting.broken(start)]
    best = min(kept, key=lambda one: one.cost)
    found = [] if judge.large else Descent(judge, probes).likeliest(best.sequence)
    for sequence in found[:solved]:
        if judge.near(sequence) < best.cost - DUST:
            best = min(best, judge.scored(sequence), key=lambda one: one.cost)
    return best


@dataclass(slots=True)
class Descent:
    """Goes down from one order to better ones until so many ``probes`` are used up.

    Moves are tried in the order of what they promise: the changes they save, and ``trust`` in what the prices of the
    guess say of the samples. A move whose changes rule it out even with the kindest samples is not looked at.
    """

    judge: Judge
    probes: int
    trust: float = TRUST[1]

    def likeliest(self, start: Filming) -> list[Filming]:
        """Go down from an order, and again and again from the best one with a block moved by chance.

        Gives the orders that were looked at closely, the likeliest first.
        """
        chance, setting = random.Random(1), self.judge.setting
        best = self._go(start)
        days = [day for day, shots in enumerate(setting.shots) if len(shots) > 1]
        while days and self.probes > 0:
            self.probes -= 1
            self.trust = chance.choice(TRUST)
            parts, day = list(setting.split(best)), chance.choice(days)
            moves = rearranged(len(parts[day]))
            parts[day] = tuple(parts[day][int(k)] for k in moves[chance.randrange(len(moves))])
            other = tuple(chain(*parts))
            if not setting.broken(other):
                best = min(best, self._go(other), key=self.judge.near)
        return sorted(self.judge.nears, key=lambda sequence: (self.judge.near(sequence), sequence))

    def _go(self, start: Filming) -> Filming:
        """Give the order at which no likely move helps any more, or the best one when the probes are used up."""
        found = start
        while self.probes > 0:
            better = self._step(found)
            if better is None:
                break
            found = better
        return found

    def _step(self, now: Filming) -> Filming | None:
        """The best of the likeliest moves, if one helps."""
        self.probes -= 1
        judge, best, least, most = self.judge, None, self.judge.near(now), PATIENCE
        gap = least - judge.guess(now)
        for looked, (_, changes, other) in enumerate(sorted(self._moves(now, judge.guide(now)))):
            if self.probes <= 0 or looked >= most:
                break
            if changes + judge.floor > least - DUST:
                continue
            self.probes -= other not in judge.guesses
            # The closer bound takes ten times as long: it is only asked where the guess, put right here, is better.
            if judge.guess(other) + gap < least - DUST and judge.near(other) < least - DUST:
                best, least, most = other, judge.near(other), EACH
        return best

    def _moves(self, now: Filming, guide: Guide) -> Iterator[tuple[float, float, Filming]]:
        """The likeliest orders in which one block stands elsewhere in its day: expected cost, changes, order."""
        setting, parts = self.judge.setting, self.judge.setting.split(now)
        minutes = [setting.minutes(part) for part in parts]
        matrix = np.array([[change.minutes for change in row] for row in setting.change])
        for day, part in enumerate(parts):
            if len(part) < 2:
                continue
            others = np.array(part, dtype=np.int64)[rearranged(len(part))]
            # Rounded, since the last digit of such a sum is not the same on every machine.
            changes = matrix[others[:, :-1], others[:, 1:]].sum(axis=1).round(6)
            kept, samples = self._samples(day, others, guide)
            # Lateness only grows with the minutes, so the likeliest are among these with it, too.
            hopes = np.where(kept, changes + samples, math.inf)
            before, after = tuple(chain(*parts[:day])), tuple(chain(*parts[day + 1 :]))
            for k in np.argsort(hopes, kind="stable")[: 2 * PATIENCE]:
                if kept[k]:
                    cost = setting.cost([*minutes[:day], float(changes[k]), *minutes[day + 1 :]])
                    yield cost + float(samples[k]), cost, (*before, *(int(i) for i in others[k]), *after)

    def _samples(self, day: int, others: Ints, guide: Guide) -> tuple[Flags, Floats]:
        """For orders of one day: whether they keep the locks, and how the cost of the samples is expected to change."""
        setting = self.judge.setting
        place = np.zeros((len(others), len(setting.listed)), dtype=np.int64)
        np.put_along_axis(place, others, np.arange(others.shape[1])[None, :], axis=1)
        kept = np.ones(len(others), dtype=np.bool_)
        for i, j in setting.locks:
            kept &= (place[:, i] < place[:, j]) | (setting.days[i] != day)
        for i, j in setting.joined:
            kept &= (place[:, j] == place[:, i] + 1) | (setting.days[i] != day)
        days = np.array(setting.days, dtype=np.int64)
        lost = (days[guide.lost_i] == day) & (days[guide.lost_j] == day)
        won = (days[guide.won_i] == day) & (days[guide.won_j] == day)
        samples = (place[:, guide.lost_i[lost]] > place[:, guide.lost_j[lost]]) @ guide.loss[lost]
        samples -= (place[:, guide.won_i[won]] < place[:, guide.won_j[won]]) @ (self.trust * guide.gain[won])
        return kept, samples.round(6)


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
