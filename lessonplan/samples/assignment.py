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

from lessonplan.samples.hands import LAST_DAY, Hands, Work, forwards, jobs_of
from lessonplan.samples.least_late import MOST_TRIED, improved, tried_out
from lessonplan.samples.milp import Model, Solved, engine, result
from lessonplan.samples.repair import closest, repair
from lessonplan.samples.workload import Assignment, Draft, build

EVEN_TO = 0.5
"""Evenness is proven to within half a day's share: nobody plans sittings more finely than that."""

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

    Each work must have a person who can finish it some day. Where works are late, the days found for them stand when
    it comes to start and load. Loads count in days of the person's own share; the most
    even ones have the least sum of the greatest load and of its distance to the least load, to within ``EVEN_TO``.
    """
    if not works:
        return Assignment((), ())
    found = _least_late(works, hands, clock.part(0.5))
    promised = [replace(work, by=day) for work, day in zip(works, found.by, strict=True)]
    found = _latest_start(found, promised, hands, clock.part(0.6))
    return _even(found, promised, hands, clock)


def on_time(works: Sequence[Work], hands: Sequence[Hands], clock: Clock) -> tuple[Assignment | None, bool]:
    """Give an assignment without lateness if there is one, and whether that answer is proven."""
    quick, days = greedy(works, hands), [work.by for work in works]
    if quick is not None and not quick.late(works):
        return quick, True
    if quick is not None and (better := repair(quick.who, days, works, hands)):
        return Assignment(tuple(better), tuple(days)), True
    draft = build(works, hands, days)
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


def run(model: Model, clock: Clock, hint: Sequence[float] | None = None, gap: float = 1e-7) -> Solved:
    """Solve within the time left, from a known solution if one is given, to within ``gap`` of the optimum."""
    highs = engine(clock.left)
    highs.setOptionValue("mip_abs_gap", gap)
    highs.passModel(model.lp())
    if hint is not None:
        known = highspy.HighsSolution()
        known.col_value = list(hint)
        highs.setSolution(known)
    highs.run()
    solved = result(highs, any(model.integer))
    if hint is not None and not solved.optimal and highs.getModelStatus() == highspy.HighsModelStatus.kOptimal:
        # Presolve can improve on a known solution and then hand back the known one under the better one's price.
        return run(model, clock, gap=gap)
    return solved


def _least_late(works: Sequence[Work], hands: Sequence[Hands], clock: Clock) -> Assignment:
    found, proven = on_time(works, hands, clock)
    if found is not None:
        return found
    if len(works) <= MOST_TRIED and (best := tried_out(works, hands)) is not None:
        return replace(best, bound=best.late(works))
    known = improved(_known(works, hands), works, hands)
    late = known.late(works)
    reach = [min(day, work.by + late) for day, work in zip(_reach(works, hands), works, strict=True)]
    reach = [max(day, by) for day, by in zip(reach, known.by, strict=True)]
    draft = None if _columns(works, hands, reach) > MOST_COLUMNS else build(works, hands, reach, lateness=True)
    if draft is None:
        return replace(known, bound=int(proven), optimal=False)
    solved = run(draft.model, clock, draft.hint(known, works))
    best = _read(draft, solved, works, hands) or known
    bound = max(int(proven), math.ceil(solved.bound - 1e-4) if math.isfinite(solved.bound) else 0)
    return replace(best, bound=bound, optimal=best.late(works) <= bound)


def _known(works: Sequence[Work], hands: Sequence[Hands]) -> Assignment:
    """The better of two quick assignments: by `greedy`, and the closest to one without lateness."""
    quick = greedy(works, hands)
    if quick is None:
        raise ValueError("every work needs somebody who can finish it")
    who, _ = closest(quick.who, [work.by for work in works], works, hands)
    by = [work.by for work in works]
    for p, hand in enumerate(hands):
        mine = jobs_of(p, who, by, works)
        if any(works[j].minutes[p] is None for j, *_ in mine) or hand.finish(sum(m for _, m, _ in mine)) is None:
            return quick
        for j, day, _ in forwards(mine, hand):
            by[j] = max(by[j], day)
    near = Assignment(tuple(who), tuple(by))
    return near if near.late(works) < quick.late(works) else quick


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


def _latest_start(found: Assignment, works: Sequence[Work], hands: Sequence[Hands], clock: Clock) -> Assignment:
    """Push the first day of knitting as late as it goes: down from the day that the relaxed program allows."""
    days, proven = [work.by for work in works], True
    low, top = _start(found, works, hands), max(days)
    while low < top:  # bisection over the relaxed program
        middle = (low + top + 1) // 2
        draft = build(works, [hand.from_day(middle) for hand in hands], days)
        if draft is not None and run(draft.relaxed(), clock).feasible:
            low = middle
        else:
            top = middle - 1
    while _start(found, works, hands) < top:
        if not clock.left:
            return replace(found, optimal=False)
        who, sure = _fitting(found, works, [hand.from_day(top) for hand in hands], clock)
        if who is not None:
            found = replace(found, who=who)
        proven = proven and sure
        top -= 1
    return replace(found, optimal=found.optimal and proven)


def _start(found: Assignment, works: Sequence[Work], hands: Sequence[Hands]) -> int:
    start = found.start(works, hands)
    return LAST_DAY if start is None else start


def _fitting(
    found: Assignment, works: Sequence[Work], hands: Sequence[Hands], clock: Clock
) -> tuple[tuple[int, ...] | None, bool]:
    """Who does what so that it fits these hands, and whether that answer is proven."""
    days = [work.by for work in works]
    draft = build(works, hands, days)
    if draft is None:
        return None, True
    relaxed = run(draft.relaxed(), clock)
    if not relaxed.feasible:
        return None, True
    for who in (draft.rounded(relaxed.values), found.who) if relaxed.values else (found.who,):
        if better := repair(who, days, works, hands):
            return tuple(better), True
    solved = run(draft.model, clock)
    read = _read(draft, solved, works, hands)
    return (None, not solved.feasible) if read is None else (read.who, True)


def _even(found: Assignment, works: Sequence[Work], hands: Sequence[Hands], clock: Clock) -> Assignment:
    """The most even load with that start."""
    start = found.start(works, hands)
    if start is None or len(hands) < 2:
        return found
    later = [hand.from_day(start) for hand in hands]
    draft = build(works, later, found.by)
    if draft is None:
        return found
    model, last = draft.model, max(found.by)
    most, least = model.column(2, 0, math.inf), model.column(-1, 0, math.inf)
    loads = []
    for p in (p for p, hand in enumerate(later) if hand.minutes(start, last)):
        share = float(hands[p].share)
        load = [(column, (works[j].minutes[p] or 0) / share) for (j, q, _), column in draft.columns.items() if q == p]
        model.row(-math.inf, 0, [*load, (most, -1.0)])
        model.row(0, math.inf, [*load, (least, -1.0)])
        loads.append(load)
    relaxed = run(draft.relaxed(), clock)
    hints = []
    for known in (found, *_levelled(found, draft, relaxed, most, works, later)):
        values = draft.hint(known, works)
        ends = [sum(days * values[column] for column, days in load) for load in loads]
        hints.append((2 * max(ends) - min(ends), [*values[:most], max(ends), min(ends)], known))
    best, hint, known = min(hints, key=lambda one: one[0])
    if relaxed.optimal and best <= relaxed.objective + EVEN_TO:
        return replace(found, who=known.who)
    solved = run(model, clock, hint, gap=EVEN_TO)
    even = _read(draft, solved, works, later) or known
    return replace(found, who=even.who, optimal=found.optimal and solved.optimal)


def _levelled(
    found: Assignment, draft: Draft, relaxed: Solved, most: int, works: Sequence[Work], hands: Sequence[Hands]
) -> Iterator[Assignment]:
    """Assignments with the days of the one found whose loads stay near the relaxed program's greatest load."""
    if not relaxed.values:
        return
    who = draft.rounded(relaxed.values)
    for beyond in (0.03, 0.1, 0.3):
        top = [round((relaxed.values[most] + beyond) * hand.share) for hand in hands]
        if better := repair(who, found.by, works, hands, top):
            yield replace(found, who=tuple(better))
            return
