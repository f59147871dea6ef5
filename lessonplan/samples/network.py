"""The links a piece may take, as arrays: a chain of pools where the state stays, single pairs where it does not.

A piece that was filmed rests in the pool of its kind and state. Pools are chains in time: a piece resting
in one passes from each demand that fills it to the next (``holds``), so a demand is served from the pool by
one link, whatever the number of pieces and shots before. Links with work in between are kept pair by pair,
for their windows of time differ, but only as entries of arrays: they become columns of the program when
their price says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby

import numpy as np
import numpy.typing as npt

from lessonplan.samples.demand import Demand, Link
from lessonplan.samples.ladder import State
from lessonplan.samples.problem import Problem
from lessonplan.samples.timeline import SLACK, Timeline

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Candidates:
    """Possible links, one entry each.

    From demand ``a`` to demand ``b`` in ``kind`` (an index into ``kinds``): hands-on minutes ``knitting``,
    minutes of ``drying``, the slots ``first`` ... ``stop`` - 1 between, and ``short``, the minutes the camera
    must wait at least for the clock's sake. ``holds``: (demand, next demand, kind) along the pools.
    ``pool``: for each demand a number that those share whose pieces rest in one pool. ``order`` sorts ``keys``.
    """

    kinds: tuple[str, ...]
    a: Ints
    b: Ints
    kind: Ints
    knitting: Floats
    drying: Floats
    first: Ints
    stop: Ints
    short: Floats
    holds: list[tuple[int, int, int]]
    pool: Ints
    order: Ints = field(init=False)
    sorted_keys: Ints = field(init=False)

    def __post_init__(self) -> None:
        numbers = self.keys()
        order = np.argsort(numbers, kind="stable")
        object.__setattr__(self, "order", order)
        object.__setattr__(self, "sorted_keys", numbers[order])

    def __len__(self) -> int:
        return len(self.a)

    def keys(self) -> Ints:
        """One number for each candidate, unlike all others."""
        size = len(self.pool)
        numbers: Ints = (self.kind * size + self.b) * size + self.a
        return numbers

    def find(self, a: int, b: int, kind: int) -> int:
        """The candidate from a to b in this kind that is worked on in between, or -1."""
        size = len(self.pool)
        here = (kind * size + b) * size + a
        at = int(np.searchsorted(self.sorted_keys, here))
        if at == len(self.order) or int(self.sorted_keys[at]) != here:
            return -1
        return int(self.order[at])

    def link(self, index: int) -> Link:
        """One candidate as a plain value."""
        return Link(
            int(self.a[index]),
            int(self.b[index]),
            self.kinds[int(self.kind[index])],
            float(self.knitting[index]),
            float(self.drying[index]),
        )


def onward(wanted: Sequence[Demand]) -> Flags:
    """For each pair (a, b): whether a piece that leaves a can be worked on for b, time and kind aside.

    Pairs in which it would only wait in the pool are left out: those are the business of ``pools``.
    """
    numbers: dict[State, int] = {}
    for d in wanted:
        numbers.setdefault(d.start, len(numbers))
        numbers.setdefault(d.end, len(numbers))
    states = np.array(list(numbers), dtype=np.int16)
    below = np.ones((len(states), len(states)), dtype=np.bool_)
    for stage in range(states.shape[1]):
        column = states[:, stage]
        below &= column[:, None] <= column[None, :]
    shot = np.array([d.shot for d in wanted])
    ends = np.array([numbers[d.end] for d in wanted])
    starts = np.array([numbers[d.start] for d in wanted])
    resting = np.array([d.base == d.end for d in wanted])
    found: Flags = below[np.ix_(ends, starts)]
    found &= shot[:, None] < shot[None, :]
    found &= ~((ends[:, None] == starts[None, :]) & resting[:, None])
    return found


def pools(wanted: Sequence[Demand], kind: str) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
    """For one kind: (demand that filled the pool last, demand served from it), and the holds between pools."""
    last: dict[State, int] = {}
    links: list[tuple[int, int]] = []
    holds: list[tuple[int, int]] = []
    mine = (b for b, d in enumerate(wanted) if kind in d.kinds)
    for _, group in groupby(mine, key=lambda b: wanted[b].shot):
        together = list(group)
        links += [(last[wanted[b].start], b) for b in together if wanted[b].start in last]
        for b in together:
            if wanted[b].base == wanted[b].end:
                if wanted[b].end in last:
                    holds.append((last[wanted[b].end], b))
                last[wanted[b].end] = b
    return links, holds


def candidates(problem: Problem, wanted: Sequence[Demand], times: Timeline) -> Candidates:
    """All links that a piece alone could take in the time there is and that could ever pay.

    Left out for good: links dearer than ending the piece and beginning a new one (while nothing limits those).
    """
    kinds = tuple(sorted({kind for d in wanted for kind in d.kinds}))
    pairs = onward(wanted) if wanted else np.zeros((0, 0), dtype=np.bool_)
    parts: list[tuple[Ints, Ints, Ints, Floats]] = []
    holds: list[tuple[int, int, int]] = []
    weights, ladder = problem.weights, problem.ladder
    for k, kind in enumerate(kinds):
        takes = np.array([kind in d.kinds for d in wanted])
        base = np.array([ladder.cost(kind, d.base) if kind in d.kinds else 0.0 for d in wanted])
        start = np.array([ladder.cost(kind, d.start) if kind in d.kinds else 0.0 for d in wanted])
        a, b = np.nonzero(pairs & takes[:, None] & takes[None, :])
        knitting = np.maximum(0.0, start[b] - base[a])
        if not problem.limits:
            pays = weights.floor * knitting < weights.piece + weights.bench * start[b]
            a, b, knitting = a[pays], b[pays], knitting[pays]
        still, resting = pools(wanted, kind)
        holds += [(x, y, k) for x, y in resting]
        rest = np.array(still, dtype=np.int64).reshape(-1, 2)
        a, b = np.concatenate((rest[:, 0], a)), np.concatenate((rest[:, 1], b))
        knitting = np.concatenate((np.zeros(len(rest)), knitting))
        parts.append((a, b, np.full(len(a), k, dtype=np.int64), knitting))
    if not parts:
        parts = [(np.zeros(0, np.int64), np.zeros(0, np.int64), np.zeros(0, np.int64), np.zeros(0))]
    a, b, kind_of, knitting = (np.concatenate(column) for column in zip(*parts, strict=True))
    return _fitting(problem, wanted, times, (kinds, a, b, kind_of, knitting, holds))


def _fitting(
    problem: Problem,
    wanted: Sequence[Demand],
    times: Timeline,
    raw: tuple[tuple[str, ...], Ints, Ints, Ints, Floats, list[tuple[int, int, int]]],
) -> Candidates:
    """Windows of time and drying filled in; links that do not fit in time dropped."""
    kinds, a, b, kind, knitting, holds = raw
    shot = np.array([d.shot for d in wanted], dtype=np.int64)
    dried = np.array([(problem.ladder.dried(d.base), problem.ladder.dried(d.start)) for d in wanted])
    drying = np.maximum(0.0, dried.reshape(-1, 2)[b, 1] - dried.reshape(-1, 2)[a, 0])
    first, stop = 2 * shot[a] + 1, 2 * shot[b]
    knit, longest = np.array(times.knit_until), np.array(times.clock_until)
    clock = np.concatenate(([0.0], np.cumsum(times.clock)))
    fits = knitting <= knit[stop] - knit[first] + SLACK
    fits &= knitting + drying <= longest[stop] - longest[first] + SLACK
    short = np.maximum(0.0, knitting + drying - (clock[stop] - clock[first]))
    short[short <= SLACK] = 0.0
    kept = np.nonzero(fits)[0]
    numbers: dict[State, int] = {}
    pool = [numbers.setdefault(d.end, len(numbers)) if d.base == d.end else -1 - n for n, d in enumerate(wanted)]
    return Candidates(
        kinds=kinds,
        a=a[kept],
        b=b[kept],
        kind=kind[kept],
        knitting=knitting[kept],
        drying=drying[kept],
        first=first[kept],
        stop=stop[kept],
        short=short[kept],
        holds=holds,
        pool=np.array(pool, dtype=np.int64),
    )
