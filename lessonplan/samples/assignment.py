"""Who knits which piece, exactly: days as ordinals, minutes as whole numbers, solved by HiGHS.

One person knits one piece after another and is free from the start, so a set of pieces with days to be done by
fits exactly when, for every day t, the pieces due by t need no more minutes than the person has until t: knitting
the earliest due first then works (J. R. Jackson, "Scheduling a production line to minimize maximum tardiness",
UCLA 1955; proof by exchanging neighbours). A piece that is late is a piece with a later day to be done by, so
choosing that day for each piece, at its cost in days, is exact for the total lateness too.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

import highspy

from lessonplan.samples.hands import Hands, Work
from lessonplan.samples.milp import Model, Solved, engine, result
from lessonplan.samples.workload import Assignment, Draft, build

MOST_COLUMNS = 60_000
"""Above so many columns the program is not tried, and the answer is not called proven."""


class Clock:
    """The seconds left of a time limit."""

    def __init__(self, seconds: float) -> None:
        self.end = time.monotonic() + seconds

    @property
    def left(self) -> float:
        """Seconds left, never negative."""
        return max(0.0, self.end - time.monotonic())

    def part(self, share: float) -> Clock:
        """A clock for a share of the time left."""
        return Clock(self.left * share)


def assign(works: Sequence[Work], hands: Sequence[Hands], clock: Clock) -> Assignment:
    """Give every work to a person: least total lateness, then the latest start, then even load.

    Each work must have a person who can finish it some day. The load is even when the greatest load, in whole days
    of the person's own share, is least, and then the least load greatest.
    """
    if not works:
        return Assignment((), ())
    found = _least_late(works, hands, clock.part(0.5))
    reach = [work.by + found.late(works) for work in works]
    if found.late(works) and _columns(works, hands, reach) > MOST_COLUMNS:
        return replace(found, optimal=False)
    found = _latest_start(found, works, hands, reach, clock.part(0.6))
    return _even(found, works, hands, reach, clock)


def on_time(works: Sequence[Work], hands: Sequence[Hands], clock: Clock) -> tuple[Assignment | None, bool]:
    """Give an assignment without lateness if there is one, and whether that answer is proven."""
    quick = greedy(works, hands)
    if quick is not None and not quick.late(works):
        return quick, True
    draft = build(works, hands, [work.by for work in works])
    if draft is None:
        return None, True
    solved = run(draft.model, clock)
    found = _read(draft, solved, works, hands)
    return found, found is not None or not solved.feasible


def greedy(works: Sequence[Work], hands: Sequence[Hands]) -> Assignment | None:
    """Earliest due first, each to whoever ends with the least lateness and then the soonest; None if nobody can."""
    load = [0] * len(hands)
    who, by = [0] * len(works), [0] * len(works)
    for j in sorted(range(len(works)), key=lambda j: (works[j].by, -max(m or 0 for m in works[j].minutes))):
        options = [
            (max(works[j].by, end), end, p, minutes)
            for p, minutes in able(works[j], hands)
            if (end := hands[p].finish(load[p] + minutes)) is not None
        ]
        if not options:
            return None
        by[j], _, who[j], minutes = min(options)
        load[who[j]] += minutes
    return Assignment(tuple(who), tuple(by))


def able(work: Work, hands: Sequence[Hands]) -> Iterator[tuple[int, int]]:
    """The persons who can finish the work some day, with their minutes."""
    for p, minutes in enumerate(work.minutes):
        if minutes is not None and hands[p].finish(minutes) is not None:
            yield p, minutes


def run(model: Model, clock: Clock, hint: Sequence[float] | None = None) -> Solved:
    """Solve within the time left, from a known solution if one is given."""
    highs = engine(clock.left)
    highs.passModel(model.lp())
    if hint is not None:
        known = highspy.HighsSolution()
        known.col_value = list(hint)
        highs.setSolution(known)
    highs.run()
    return result(highs, any(model.integer))


def _least_late(works: Sequence[Work], hands: Sequence[Hands], clock: Clock) -> Assignment:
    found, proven = on_time(works, hands, clock)
    if found is not None:
        return found
    known = greedy(works, hands)
    if known is None:
        raise ValueError("every work needs somebody who can finish it")
    late = known.late(works)
    reach = [min(day, work.by + late) for day, work in zip(_reach(works, hands), works, strict=True)]
    if _columns(works, hands, reach) > MOST_COLUMNS:
        return replace(known, bound=int(proven), optimal=False)
    reach = [max(day, by) for day, by in zip(reach, known.by, strict=True)]
    draft = build(works, hands, reach, lateness=True)
    if draft is None:
        return replace(known, bound=int(proven), optimal=False)
    solved = run(draft.model, clock, draft.hint(known, works))
    best = _read(draft, solved, works, hands) or known
    bound = max(int(proven), math.ceil(solved.bound - 1e-4) if math.isfinite(solved.bound) else 0)
    return replace(best, bound=bound, optimal=best.late(works) <= bound)


def _reach(works: Sequence[Work], hands: Sequence[Hands]) -> list[int]:
    """A day for each work by which it is done in some assignment of least lateness.

    Take one with the least sum of ends. A late work that is the last of its person cannot end sooner after the last
    of anybody else, so each person q who can do it is busy with at least the minutes until the day before, less
    the minutes of the work at q; together that is no more than all the work there is.
    """
    total = sum(max((m for _, m in able(work, hands)), default=0) for work in works)
    latest = max(work.by for work in works)
    for work in works:
        able_here = list(able(work, hands))
        room = total + sum(minutes for _, minutes in able_here)
        low = min(hands[p].starts for p, _ in able_here)
        span = 1
        while _minutes(able_here, hands, low + span) < room and span < 4_000_000:
            span *= 2
        high = low + span
        while low < high:
            middle = (low + high) // 2
            if _minutes(able_here, hands, middle) < room:
                low = middle + 1
            else:
                high = middle
        latest = max(latest, low)
    return [latest] * len(works)


def _minutes(persons: Sequence[tuple[int, int]], hands: Sequence[Hands], last: int) -> int:
    return sum(hands[p].minutes(hands[p].starts, last) for p, _ in persons)


def _columns(works: Sequence[Work], hands: Sequence[Hands], reach: Sequence[int]) -> int:
    spans = (day - work.by + 1 for day, work in zip(reach, works, strict=True))
    return len(hands) * sum(max(1, span) for span in spans)


def _read(draft: Draft, solved: Solved, works: Sequence[Work], hands: Sequence[Hands]) -> Assignment | None:
    """The assignment of a solution, if there is one and whole numbers confirm that it fits."""
    if not solved.values:
        return None
    who, by = [-1] * len(works), [0] * len(works)
    for (j, p, day), column in draft.columns.items():
        if solved.values[column] > 0.5:
            who[j], by[j] = p, day
    found = Assignment(tuple(who), tuple(by))
    return None if -1 in who or found.start(works, hands) is None else found


def _latest_start(
    found: Assignment, works: Sequence[Work], hands: Sequence[Hands], reach: Sequence[int], clock: Clock
) -> Assignment:
    """Push the first day of knitting as late as it goes: bisection, first on the relaxed program."""
    limit = found.late(works)

    def start_of(one: Assignment) -> int:
        start = one.start(works, hands)
        return max(reach) if start is None else start

    def attempt(day: int, relaxed: bool) -> tuple[Assignment | None, Solved | None]:
        later = [hand.from_day(day) for hand in hands]
        draft = build(works, later, reach, most_late=limit)
        if draft is None:
            return None, None
        if relaxed:
            draft.model.integer = [False] * len(draft.model.integer)
        solved = run(draft.model, clock)
        return (None if relaxed else _read(draft, solved, works, later)), solved

    low, high = start_of(found), max(reach)
    while low < high:
        middle = (low + high + 1) // 2
        _, solved = attempt(middle, relaxed=True)
        if solved is None or not solved.feasible:
            high = middle - 1
        else:
            low = middle
    top, low, proven = low, start_of(found), True
    while low < top:
        better, solved = attempt(top, relaxed=False)
        if better is not None:
            found = replace(better, bound=found.bound, optimal=found.optimal)
            low = start_of(found)
        else:
            proven = proven and (solved is None or not solved.feasible)
            top -= 1
    return replace(found, optimal=found.optimal and proven)


def _even(
    found: Assignment, works: Sequence[Work], hands: Sequence[Hands], reach: Sequence[int], clock: Clock
) -> Assignment:
    """The most even load at that lateness and start."""
    start = found.start(works, hands)
    if start is None or len(hands) < 2:
        return found
    later = [hand.from_day(start) for hand in hands]
    draft = build(works, later, reach, most_late=found.late(works))
    if draft is None:
        return found
    model, last = draft.model, max(reach)
    able_now = [p for p, hand in enumerate(later) if hand.minutes(start, last)]
    most = max(math.ceil(sum(w.minutes[p] or 0 for w in works) / hands[p].share) for p in able_now)
    top = model.column(most + 1, 0, most, integer=True)
    bottom = model.column(-1, 0, most, integer=True)
    for p in able_now:
        load = [(column, float(works[j].minutes[p] or 0)) for (j, q, _), column in draft.columns.items() if q == p]
        model.row(-math.inf, 0, [*load, (top, -float(hands[p].share))])
        model.row(0, math.inf, [*load, (bottom, -float(hands[p].share))])
    solved = run(model, clock)
    even = _read(draft, solved, works, later)
    if even is None:
        return replace(found, optimal=False)
    return replace(even, bound=found.bound, optimal=found.optimal and solved.optimal)
