"""Placing the knitting of links that are in use: who is knitted on in which slot."""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lessonplan.samples.milp import Model, solve
from lessonplan.samples.network import Flags, Floats
from lessonplan.samples.timeline import SLACK, Timeline

Job = tuple[int, int, float]
"""First slot, slot after the last, minutes."""


@dataclass(frozen=True, slots=True)
class Schedule:
    """``minutes``: for each job the minutes in each slot. ``missing``: for each job what found no room.

    ``tight``: sets of slots whose hands are the reason, each for an inequality, when something is missing.
    """

    minutes: list[dict[int, float]]
    missing: list[float]
    tight: list[Flags]

    @property
    def complete(self) -> bool:
        """Whether all jobs found room."""
        return not any(m > 1e-6 for m in self.missing)


def earliest_due(times: Timeline, waits: Floats, jobs: Sequence[Job]) -> Schedule:
    """In each slot the hands take the piece that is needed first.

    Complete whenever that is possible with one pair of hands; with more hands it can miss a way.
    """
    left = [job[2] for job in jobs]
    minutes: list[dict[int, float]] = [{} for _ in jobs]
    order = sorted(range(len(jobs)), key=lambda j: jobs[j][0])
    waiting: list[tuple[int, int]] = []
    upcoming = 0
    for slot in range(len(times.clock)):
        while upcoming < len(order) and jobs[order[upcoming]][0] <= slot:
            j = order[upcoming]
            heapq.heappush(waiting, (jobs[j][1], j))
            upcoming += 1
        wait = float(waits[slot])
        hands, clock = times.hands[slot] + wait, times.clock[slot] + wait
        later: list[tuple[int, int]] = []
        while waiting and hands > SLACK:
            due, j = heapq.heappop(waiting)
            if due <= slot or left[j] <= SLACK:
                continue
            share = min(left[j], hands, clock)
            if share > 0:
                minutes[j][slot] = share
                left[j] -= share
                hands -= share
            if left[j] > SLACK:
                later.append((due, j))
        for item in later:
            heapq.heappush(waiting, item)
    return Schedule(minutes, [m if m > 1e-6 else 0.0 for m in left], [])


def place(times: Timeline, waits: Floats, jobs: Sequence[Job]) -> Schedule:
    """A complete schedule whenever there is one; else as much as can be done, and the slots that lack hands."""
    quick = earliest_due(times, waits, jobs)
    if quick.complete:
        return quick
    return _most(times, waits, jobs)


def _most(times: Timeline, waits: Floats, jobs: Sequence[Job]) -> Schedule:
    """As much of the jobs as there is time for, by a maximum flow from jobs to slots."""
    model = Model()
    load: dict[int, list[tuple[int, float]]] = {}
    placed: list[dict[int, int]] = []
    missing: list[int] = []
    for first, stop, total in jobs:
        columns: dict[int, int] = {}
        for slot in range(first, stop):
            able = min(times.clock[slot], times.hands[slot]) + float(waits[slot])
            if able > SLACK and total > SLACK:
                columns[slot] = model.column(0.0, 0.0, able)
                load.setdefault(slot, []).append((columns[slot], 1.0))
        missing.append(model.column(1.0, 0.0, total))
        model.row(total, total, [*((c, 1.0) for c in columns.values()), (missing[-1], 1.0)])
        placed.append(columns)
    slots = sorted(load)
    for slot in slots:
        model.row(-math.inf, times.hands[slot] + float(waits[slot]), load[slot])
    solved = solve(model)
    late = [job for job, price in zip(jobs, solved.duals, strict=False) if price > 0.5]
    hands = dict(zip(slots, solved.duals[len(jobs) :], strict=True))
    minutes = [{slot: solved.values[c] for slot, c in columns.items()} for columns in placed]
    short = [max(0.0, solved.values[c]) for c in missing]
    return Schedule(minutes, short, _tight(times, hands, late))


def _tight(times: Timeline, hands: dict[int, float], late: Sequence[Job]) -> list[Flags]:
    """The slots on the hands' side of the minimum cut, apart for jobs whose windows do not touch.

    Where one pair of hands is at work its minutes bind before the clock of any piece does, so those slots are
    always on it when a piece of the cut could use them.
    """
    found: list[Flags] = []
    until = -1
    for first, stop, _ in sorted(late):
        if first >= until:
            found.append(np.zeros(len(times.clock), dtype=np.bool_))
        until = max(until, stop)
        for slot in range(first, stop):
            single = times.hands[slot] <= times.clock[slot] + SLACK
            found[-1][slot] |= single or hands.get(slot, 0.0) < -0.5
    return found
