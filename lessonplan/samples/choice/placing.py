"""Placing the work of links in slots: who is knitted on when; and if it cannot be done, which slots are the reason."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lessonplan.samples.choice.links import SLACK, Floats, Span, Timeline, counted_up
from lessonplan.samples.choice.solver import Engine, Model

DUST = 1e-6
"""Minutes below this are left over from the solver's arithmetic."""


@dataclass(frozen=True, slots=True)
class Placed:
    """``minutes``: for each job the minutes in each slot. ``missing``: for each job what found no room.

    ``tight``: the slots whose hands are the reason, when something is missing.
    """

    minutes: list[dict[int, float]]
    missing: list[float]
    tight: tuple[int, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether all jobs found room."""
        return not any(m > DUST for m in self.missing)


def place(times: Timeline, waits: Floats, jobs: Sequence[Span]) -> Placed:
    """A complete placing whenever there is one; else as much as can be done, and the slots that lack hands.

    Within a slot such shares can always be carried out by the hands in turn, none of them on one piece with another
    (McNaughton's wrap-around rule, Management Science 6, 1959; from memory).
    """
    quick = _earliest_due(times, waits, jobs)
    return quick if quick.complete else _most(times, waits, jobs)


def _earliest_due(times: Timeline, waits: Floats, jobs: Sequence[Span]) -> Placed:
    """In each slot the hands take the piece that is needed first: nearly always enough."""
    left = [minutes for _, _, minutes in jobs]
    found: list[dict[int, float]] = [{} for _ in jobs]
    order = sorted(range(len(jobs)), key=lambda j: jobs[j][0])
    open_jobs: list[tuple[int, int]] = []
    for slot in range(len(times.clock)):
        while order and jobs[order[0]][0] <= slot:
            heapq.heappush(open_jobs, (jobs[order[0]][1], order.pop(0)))
        hands, clock = times.hands[slot] + waits[slot], times.clock[slot] + waits[slot]
        later = []
        while open_jobs and hands > SLACK:
            due, j = heapq.heappop(open_jobs)
            share = float(min(left[j], hands, clock)) if due > slot else 0.0
            if share > SLACK:
                found[j][slot] = share
                left[j] -= share
                hands -= share
            if left[j] > SLACK and due > slot:
                later.append((due, j))
        for item in later:
            heapq.heappush(open_jobs, item)
    return Placed(found, left)


def _most(times: Timeline, waits: Floats, jobs: Sequence[Span]) -> Placed:
    """As much of the jobs as there is time for: a maximum flow from jobs to slots."""
    model = Model()
    load: dict[int, list[tuple[int, float]]] = {}
    placed: list[dict[int, int]] = []
    missing: list[int] = []
    for first, stop, minutes in jobs:
        columns = {slot: model.column(0.0, float(times.single[slot] + waits[slot])) for slot in range(first, stop)}
        for slot, column in columns.items():
            load.setdefault(slot, []).append((column, 1.0))
        missing.append(model.column(1.0, minutes))
        model.row(minutes, minutes, [*((column, 1.0) for column in columns.values()), (missing[-1], 1.0)])
        placed.append(columns)
    for slot, terms in load.items():
        model.row(-math.inf, float(times.hands[slot] + waits[slot]), terms)
    solved = Engine(model).run()
    prices = solved.duals[len(jobs) :]
    return Placed(
        [{slot: float(solved.values[column]) for slot, column in columns.items()} for columns in placed],
        [float(solved.values[column]) for column in missing],
        tuple(sorted(slot for slot, price in zip(load, prices, strict=True) if price < -0.5)),
    )


class Runs:
    """What must be worked inside some slots, for every job there could be: never more than the hands inside.

    ``jobs`` have a column each; a job that does not fit outside the slots must do the rest inside.
    """

    def __init__(self, times: Timeline, jobs: Sequence[tuple[int, Span]]) -> None:
        self.times = times
        self.columns = np.array([column for column, _ in jobs], dtype=np.int64)
        self.first = np.array([span[0] for _, span in jobs], dtype=np.int64)
        self.stop = np.array([span[1] for _, span in jobs], dtype=np.int64)
        self.minutes = np.array([span[2] for _, span in jobs], dtype=float)
        able = times.able_until
        self.spare = able[self.stop] - able[self.first] - self.minutes
        self.done: set[tuple[int, ...]] = set()

    def broken(self, values: Floats, waits: Floats) -> list[tuple[int, ...]]:
        """The runs of slots in which most is worked too much: up to a dozen that were not yet given."""
        used = np.flatnonzero(values[self.columns] > SLACK)
        if not len(used):
            return []
        x, able = values[self.columns[used]], self.times.able_until
        first, stop, spare, minutes = self.first[used], self.stop[used], self.spare[used], self.minutes[used]
        hands, waited = self.times.hands_until, counted_up(waits)
        found: list[tuple[float, int, int]] = []
        ends = np.array(sorted({*stop.tolist()}))  # `np.unique` would load masked arrays
        for begin in sorted({*first.tolist()}):
            later = ends[ends > begin]
            low, high = np.maximum(first, begin)[:, None], np.minimum(stop[:, None], later[None, :])
            inside = np.clip(np.maximum(0.0, able[high] - able[low]) - spare[:, None], 0.0, minutes[:, None])
            over = x @ inside - (hands[later] - hands[begin]) - (waited[later] - waited[begin])
            found += [(float(o), begin, int(end)) for o, end in zip(over, later, strict=True) if o > DUST]
        runs = (tuple(range(begin, end)) for _, begin, end in sorted(found, key=lambda one: (-one[0], *one[1:])))
        new = [run for run in runs if run not in self.done][:12]
        self.done.update(new)
        return new

    def breaks(self, slots: tuple[int, ...], values: Floats, waits: Floats) -> bool:
        """Whether too much is worked in a set of slots that was not yet given; it then counts as given."""
        if slots in self.done:
            return False
        index = list(slots)
        over = float(values[self.columns] @ self.inside(slots) - self.times.hands[index].sum() - waits[index].sum())
        if over > DUST:
            self.done.add(slots)
        return over > DUST

    def inside(self, slots: Sequence[int]) -> Floats:
        """The least minutes that each job takes in these slots."""
        held = np.zeros(len(self.times.clock))
        held[list(slots)] = (self.times.single + self.times.waiting)[list(slots)]
        until = counted_up(held)
        inside: Floats = np.clip(until[self.stop] - until[self.first] - self.spare, 0.0, self.minutes)
        return inside

    def row(self, slots: Sequence[int]) -> tuple[float, list[tuple[int, float]]]:
        """The row for these slots: the hands' minutes, and the terms of the links, each once."""
        held = np.bincount(self.columns, weights=self.inside(slots))
        terms = [(int(column), float(held[column])) for column in np.flatnonzero(held)]
        return float(self.times.hands[list(slots)].sum()), terms
