"""The cheapest plan by trying everything: which piece serves what, in which state, and where work and drying go.

A reading of the rules of its own: nothing but the question's data is shared with the program, no arithmetic, no
solver. By hand: `python -m tests.samples.choice.brute FIRST LAST [PIECES]` compares that many made-up questions.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from lessonplan.samples.choice import Demand, Ladder, NoPlanError, Question, Ready, State, Way
from lessonplan.samples.choice.choose import choose
from tests.samples.choice.made import question
from tests.samples.choice.walk import faults

Row = tuple[dict[int, Fraction], Fraction]
"""Coefficients by column, and what their sum may be at most."""
Event = tuple[str, float]
"""Work or drying, and its minutes."""
Open = list[tuple[int, int, float]]


def least(costs: Sequence[Fraction], rows: Sequence[Row]) -> Fraction | None:
    """The least cost with every column at least 0 and every row kept; None if that cannot be. Costs are not negative.

    The dual simplex method (Lemke 1954, from memory) on fractions, the lowest index first (Bland's rule).
    """
    width = len(costs) + len(rows)
    table = []
    for number, (terms, most) in enumerate(rows):
        line = [Fraction(0)] * (width + 1)
        for column, value in terms.items():
            line[column] += value
        line[len(costs) + number], line[-1] = Fraction(1), most
        table.append(line)
    price = [*costs, *[Fraction(0)] * (len(rows) + 1)]
    basis = list(range(len(costs), width))
    while True:
        broken = [i for i, line in enumerate(table) if line[-1] < 0]
        if not broken:
            return -price[-1]
        i = min(broken, key=lambda i: basis[i])
        able = [j for j in range(width) if table[i][j] < 0]
        if not able:
            return None
        j = min(able, key=lambda j: (price[j] / -table[i][j], j))
        pivot = table[i][j]
        table[i] = [value / pivot for value in table[i]]
        for line in (*(line for k, line in enumerate(table) if k != i), price):
            if line[j]:
                factor = line[j]
                line[:] = [a - factor * b for a, b in zip(line, table[i], strict=True)]
        basis[i] = j


def add(ladder: Ladder, have: list[int], goal: State) -> Iterator[Event]:
    """One step after the other, stage after stage, until the goal is reached."""
    for stage, stop in enumerate(goal):
        while have[stage] < stop:
            step = have[stage]
            yield "work", ladder.floor[stage][step + 1] - ladder.floor[stage][step]
            yield "dry", ladder.drying[stage][step + 1] - ladder.drying[stage][step]
            have[stage] += 1


def between(ladder: Ladder, first: Way, then: Way) -> list[Event] | None:
    """All that happens to a piece between two demands, in order; None when it cannot serve both."""
    unsure = first.base is not None and first.base != first.end
    have = list(first.end)
    events: list[Event] = []
    if unsure:
        if any(a > b for a, b in zip(first.end, then.start, strict=True)):
            return None
        # In the worst case it was not used, and all is still to be done.
        have = list(first.base or ())
        events += add(ladder, have, first.end)
    else:
        undone = 0.0
        for stage, goal in enumerate(then.start):
            while have[stage] > goal:
                step = have[stage]
                if ladder.fixed[stage][step] != ladder.fixed[stage][step - 1]:
                    return None
                undone += ladder.ripping[stage][step] - ladder.ripping[stage][step - 1]
                have[stage] -= 1
        for stage, done in enumerate(have):
            for step in range(first.start[stage], done):
                events.append(("dry", ladder.drying[stage][step + 1] - ladder.drying[stage][step]))
        events.append(("work", undone))
    events += add(ladder, have, then.start)
    return merged([event for event in events if event[1] > 0])


def merged(events: Sequence[Event]) -> list[Event]:
    """Drying after drying is one drying, work after work one work."""
    found: list[Event] = []
    for what, minutes in events:
        if found and found[-1][0] == what:
            found[-1] = (what, found[-1][1] + minutes)
        else:
            found.append((what, minutes))
    return found


def placings(events: Sequence[Event], first: int, stop: int) -> Iterator[tuple[Open, Open]]:
    """Every way of giving slots to work and drying in order: spans (first slot, slot after the last, minutes)."""
    if not events:
        yield [], []
        return
    (what, minutes), rest = events[0], events[1:]
    if what == "dry":
        for until in range(first + 1, stop + 1):
            for work, drying in placings(rest, until, stop):
                yield work, [(first, until, minutes), *drying]
        return
    for until in range(first + 1, stop + 1) if rest else [stop]:
        for work, drying in placings(rest, until, stop):
            yield [(first, until, minutes), *work], drying


@dataclass(slots=True)
class Search:
    """Depth first over the pieces asked for: each is new, ready, or one that served before."""

    question: Question
    units: list[Demand]
    best: float = math.inf
    ways: list[Way] = field(default_factory=list)
    before: list[int] = field(default_factory=list)
    kept: list[frozenset[str]] = field(default_factory=list)
    used: list[str] = field(default_factory=list)
    begun: list[tuple[str, State, str]] = field(default_factory=list)
    spans: list[tuple[list[Event], int, int]] = field(default_factory=list)

    def descend(self, cost: float) -> None:
        """Try everything for the next piece; ``cost`` is what the earlier ones took."""
        if cost >= self.best - 1e-9:
            return
        if len(self.ways) == len(self.units):
            waiting = self.waiting(self.best - cost)
            self.best = min(self.best, cost + waiting)
            return
        demand = self.units[len(self.ways)]
        for way in demand.ways:
            self.ways.append(way)
            self._fresh(demand, way, cost)
            self._ready(demand, way, cost)
            self._again(demand, way, cost)
            self.ways.pop()

    def _fresh(self, demand: Demand, way: Way, cost: float) -> None:
        key = (way.kind, way.start, demand.name if demand.apart else "")
        for limit in self.question.limits:
            if (limit.kind, limit.state, limit.apart) == key and self.begun.count(key) >= limit.count:
                return
        if way.only_after:
            return
        table, weights = self.question.ladders[way.kind].bench, self.question.weights
        minutes = sum(row[done] for row, done in zip(table, way.start, strict=True))
        self.begun.append(key)
        self._onward(-1, cost + weights.piece + weights.bench * minutes, frozenset())
        self.begun.pop()

    def _ready(self, demand: Demand, way: Way, cost: float) -> None:
        for piece in self.question.ready:
            wrong = piece.name in self.used or piece.kind != way.kind or way.only_after
            if wrong or (piece.only_for or "") != (demand.name if demand.apart or piece.only_for else ""):
                continue
            price = self.price(piece, way.start)
            if price is not None and demand.name not in piece.not_for:
                self.used.append(piece.name)
                self._onward(-1, cost + price, piece.not_for)
                self.used.pop()

    def price(self, piece: Ready, goal: State) -> float | None:
        """What bringing a ready piece to its first state costs."""
        ladder, weights = self.question.ladders[piece.kind], self.question.weights
        minutes = 0.0
        for stage, stop in enumerate(goal):
            agreed = piece.agreed[stage] if piece.agreed else 0
            for step in range(stop, piece.state[stage]):
                if ladder.fixed[stage][step + 1] > ladder.fixed[stage][step]:
                    return None
                minutes += ladder.ripping[stage][step + 1] - ladder.ripping[stage][step]
            for step in range(piece.state[stage], stop):
                if step >= agreed:
                    minutes += ladder.bench[stage][step + 1] - ladder.bench[stage][step]
        changed = piece.agreed is not None and tuple(piece.agreed) != tuple(goal)
        own = weights.drawer if piece.weight is None else piece.weight
        return own + weights.bench * minutes + (weights.change if changed else 0.0)

    def _again(self, demand: Demand, way: Way, cost: float) -> None:
        for unit, first in enumerate(self.ways[:-1]):
            served = self.units[unit]
            if unit in self.before or first.kind != way.kind or max(served.slot, served.until) >= demand.slot:
                continue
            if served.apart or demand.apart or (way.only_after and way.only_after != served.name):
                continue
            if demand.name in self.kept[unit]:
                continue
            events = between(self.question.ladders[way.kind], first, way)
            if events is None:
                continue
            worked = sum(minutes for what, minutes in events if what == "work")
            self.spans.append((events, max(served.slot, served.until) + 1, demand.slot))
            self._onward(unit, cost + self.question.weights.floor * worked, self.kept[unit])
            self.spans.pop()

    def _onward(self, unit: int, cost: float, kept: frozenset[str]) -> None:
        """Go on to the next piece asked for; ``kept``: what the one that serves now must not come to."""
        self.before.append(unit)
        self.kept.append(kept)
        self.descend(cost)
        self.before.pop()
        self.kept.pop()

    def waiting(self, most: float) -> float:
        """The least weighted waiting with which all the work and drying can be carried out, if less than ``most``."""
        best = most
        for work, drying in self._together(0):
            cost = self._waiting(work, drying)
            if cost is not None:
                best = min(best, float(cost))
            if best <= 0:
                break
        return best if best < most else math.inf

    def _together(self, number: int) -> Iterator[tuple[Open, Open]]:
        if number == len(self.spans):
            yield [], []
            return
        events, first, stop = self.spans[number]
        for mine in placings(events, first, stop):
            if self._hopeless(*mine):
                continue
            for work, drying in self._together(number + 1):
                yield [*mine[0], *work], [*mine[1], *drying]

    def _hopeless(self, work: Open, drying: Open) -> bool:
        """Whether one piece alone could not do it, whatever the camera waits."""
        slots = self.question.slots
        return any(
            minutes > sum(min(slot.clock, slot.hands) + slot.waiting for slot in slots[first:stop])
            for first, stop, minutes in work
        ) or any(
            minutes > sum(slot.clock + slot.waiting for slot in slots[first:stop]) for first, stop, minutes in drying
        )

    def _waiting(self, work: Open, drying: Open) -> Fraction | None:
        slots, weight = self.question.slots, Fraction(self.question.weights.waiting)
        costs, rows = [weight] * len(slots), [({s: Fraction(1)}, Fraction(one.waiting)) for s, one in enumerate(slots)]
        load: list[dict[int, Fraction]] = [{s: Fraction(-1)} for s in range(len(slots))]
        for first, stop, minutes in work:
            mine: dict[int, Fraction] = {}
            for slot in range(first, stop):
                costs.append(Fraction(0))
                mine[len(costs) - 1] = Fraction(-1)
                load[slot][len(costs) - 1] = Fraction(1)
                rows.append(({len(costs) - 1: Fraction(1), slot: Fraction(-1)}, Fraction(slots[slot].clock)))
            rows.append((mine, -Fraction(minutes)))
        for first, stop, minutes in drying:
            clock = sum((Fraction(slot.clock) for slot in slots[first:stop]), Fraction(0))
            rows.append(({slot: Fraction(-1) for slot in range(first, stop)}, clock - Fraction(minutes)))
        rows += [(terms, Fraction(one.hands)) for terms, one in zip(load, slots, strict=True)]
        return least(costs, rows)


def cheapest(asked: Question) -> float:
    """The least cost of a plan; infinite when there is none."""
    units = [demand for demand in sorted(asked.demands, key=lambda d: d.slot) for _ in range(demand.count)]
    search = Search(asked, units)
    search.descend(0.0)
    return search.best


def compared(asked: Question) -> str:
    """What is wrong with the program's answer to a question; empty when it is right."""
    true = cheapest(asked)
    try:
        answer = choose(asked)
    except NoPlanError:
        return "" if math.isinf(true) else f"no plan, but one costs {true}"
    found = faults(asked, answer)
    if not answer.optimal or abs(answer.cost - true) > 1e-5 * max(1.0, true):
        found.append(f"costs {answer.cost} ({answer.optimal}), the cheapest {true}")
    return "; ".join(found)


if __name__ == "__main__":
    most = int(sys.argv[3]) if len(sys.argv) > 3 else 4
    seeds = range(int(sys.argv[1]), int(sys.argv[2]))
    wrong = [f"seed {seed}: {said}" for seed in seeds if (said := compared(question(seed, most)))]
    print("\n".join(wrong) or "all equal")
