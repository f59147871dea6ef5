"""The program that gives pieces to persons: columns, rows, and a known answer in its terms."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from lessonplan.samples.hands import Hands, Work, first_day
from lessonplan.samples.milp import Model


@dataclass(frozen=True, slots=True)
class Assignment:
    """``who``: person of each work; ``by``: the day it will be done by (its own, or later when it is late).

    ``bound``: proven least total lateness in days. ``optimal``: all three goals are proven.
    """

    who: tuple[int, ...]
    by: tuple[int, ...]
    bound: int = 0
    optimal: bool = True

    def late(self, works: Sequence[Work]) -> int:
        """Total lateness in days."""
        return sum(by - work.by for by, work in zip(self.by, works, strict=True))

    def start(self, works: Sequence[Work], hands: Sequence[Hands]) -> int | None:
        """First day on which anybody knits, each as late as can be; None when it does not fit."""
        return first_day(self.who, self.by, works, hands)


@dataclass(slots=True)
class Draft:
    """A program while it is built.

    ``columns``: (work, person, day to be done by) -> 0 or 1. ``spare``: (person, event) -> minutes left over.
    ``events``: the days to be done by, in order. ``capacity``: (person, event) -> minutes since the event before.
    """

    events: list[int]
    model: Model = field(default_factory=Model)
    columns: dict[tuple[int, int, int], int] = field(default_factory=dict)
    spare: dict[tuple[int, int], int] = field(default_factory=dict)
    capacity: dict[tuple[int, int], int] = field(default_factory=dict)

    def relaxed(self) -> Model:
        """The same program with shares of pieces allowed."""
        return replace(self.model, integer=[False] * len(self.model.integer))

    def rounded(self, values: Sequence[float]) -> list[int]:
        """The person who has the greatest part of each piece."""
        best: dict[int, tuple[float, int]] = {}
        for (j, p, _), column in self.columns.items():
            best[j] = max(best.get(j, (-1.0, 0)), (values[column], -p))
        return [-best[j][1] for j in sorted(best)]

    def hint(self, known: Assignment, works: Sequence[Work]) -> list[float]:
        """The values of all columns for a known assignment."""
        values = [0.0] * len(self.model.cost)
        used: dict[tuple[int, int], int] = {}
        for j, (p, day) in enumerate(zip(known.who, known.by, strict=True)):
            values[self.columns[j, p, day]] = 1.0
            event = bisect_left(self.events, day)
            used[p, event] = used.get((p, event), 0) + (works[j].minutes[p] or 0)
        for (p, event), column in self.spare.items():
            before = values[self.spare[p, event - 1]] if event else 0.0
            values[column] = before + self.capacity[p, event] - used.get((p, event), 0)
        return values


def build(
    works: Sequence[Work],
    hands: Sequence[Hands],
    reach: Sequence[int],
    *,
    lateness: bool = False,
) -> Draft | None:
    """The program: every work to one person and one day to be done by, from its own day until its reach.

    What a person has not used by one event is carried on to the next. ``lateness``: minimise the days late. None when
    some work has no column, which proves that there is no answer.
    """
    draft = Draft(sorted({day for work, last in zip(works, reach, strict=True) for day in range(work.by, last + 1)}))
    model = draft.model
    load: dict[tuple[int, int], list[tuple[int, float]]] = {}
    for j, work in enumerate(works):
        mine = []
        for day in range(work.by, reach[j] + 1):
            for p, minutes in enumerate(work.minutes):
                if minutes is None or hands[p].minutes(hands[p].starts, day) < minutes:
                    continue
                if day > work.by and hands[p].back(day) < day:
                    continue
                column = model.column(day - work.by if lateness else 0, 0, 1, integer=True)
                draft.columns[j, p, day] = column
                load.setdefault((p, bisect_left(draft.events, day)), []).append((column, float(minutes)))
                mine.append((column, 1.0))
        if not mine:
            return None
        model.row(1, 1, mine)
    for p in sorted({p for _, p, _ in draft.columns}):
        _balance(draft, p, hands[p], load)
    return draft


def _balance(draft: Draft, p: int, hands: Hands, load: dict[tuple[int, int], list[tuple[int, float]]]) -> None:
    before = 0
    for event, day in enumerate(draft.events):
        terms = list(load.get((p, event), ()))
        draft.capacity[p, event] = hands.minutes(before, day)
        draft.spare[p, event] = draft.model.column(0, 0, math.inf)
        terms.append((draft.spare[p, event], 1.0))
        if event:
            terms.append((draft.spare[p, event - 1], -1.0))
        draft.model.row(draft.capacity[p, event], draft.capacity[p, event], terms)
        before = day + 1
