"""Parts of a problem that have no piece in common, and at first no knitting hands either."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from lessonplan.samples.demand import Demand
from lessonplan.samples.exact import Flow, Flows
from lessonplan.samples.ladder import contains
from lessonplan.samples.network import Candidates
from lessonplan.samples.problem import Problem
from lessonplan.samples.schedule import Schedule, place
from lessonplan.samples.timeline import Timeline


class _Sets:
    """Union and find over 0 ... n - 1."""

    def __init__(self, size: int) -> None:
        self.parent = list(range(size))

    def find(self, n: int) -> int:
        while self.parent[n] != n:
            self.parent[n] = self.parent[self.parent[n]]
            n = self.parent[n]
        return n

    def join(self, members: Iterable[int]) -> None:
        first = -1
        for member in members:
            root = self.find(member)
            first = root if first < 0 else first
            low, high = sorted((self.find(first), root))
            self.parent[high] = low


def parts(problem: Problem, wanted: Sequence[Demand], times: Timeline, links: Candidates) -> list[list[int]]:
    """Demands in groups that no link, pool, drawer piece or limit connects, each in order.

    Groups are also joined when links of both could make the camera wait in the same pause, as one wait would
    serve both. Knitting hands do not join: whether the groups' plans fit together is looked at afterwards.
    """
    sets = _Sets(len(wanted))
    for a, b in {(int(a), int(b)) for a, b in zip(links.a, links.b, strict=True)}:
        sets.join((a, b))
    for a, b, _ in links.holds:
        sets.join((a, b))
    for piece in problem.drawer:
        takes = (d.start for d in wanted)
        sets.join(b for b, s in enumerate(takes) if piece.kind in wanted[b].kinds and contains(s, piece.state))
    for limit in problem.limits:
        sets.join(b for b, d in enumerate(wanted) if d.start == limit.state and limit.kind in d.kinds)
    busy = (links.knitting > 0) | (links.short > 0)
    for slot in np.nonzero(np.array(times.waiting) > 0)[0]:
        at = busy & (links.first <= slot) & (slot < links.stop)
        sets.join(np.unique(links.a[at]).tolist())
    groups: defaultdict[int, list[int]] = defaultdict(list)
    for b in range(len(wanted)):
        groups[sets.find(b)].append(b)
    return list(groups.values())


def renumbered(flows: Flows, group: Sequence[int]) -> Flows:
    """Flows of one part, with its demands numbered as in the whole problem."""
    links = [Flow(replace(f.link, a=group[f.link.a], b=group[f.link.b]), f.count, f.knitting) for f in flows.links]
    new = {(group[b], kind): count for (b, kind), count in flows.new.items()}
    return Flows(new, {d: group[b] for d, b in flows.drawer.items()}, links, dict(flows.waits))


def merged(all_flows: Sequence[Flows]) -> Flows:
    """The flows of all parts together; no two of them wait in one pause."""
    new: dict[tuple[int, str], int] = {}
    drawer: dict[int, int] = {}
    links: list[Flow] = []
    waits: dict[int, float] = {}
    for flows in all_flows:
        new.update(flows.new)
        drawer.update(flows.drawer)
        links += flows.links
        for slot, minutes in flows.waits.items():
            waits[slot] = max(waits.get(slot, 0.0), minutes)
    return Flows(new, drawer, links, waits)


def together(wanted: Sequence[Demand], times: Timeline, flows: Flows) -> tuple[Flows, Schedule]:
    """All links placed anew in the hands' time they share."""
    single = [flow for flow in flows.links for _ in range(flow.count)]
    jobs = [(2 * wanted[flow.link.a].shot + 1, 2 * wanted[flow.link.b].shot, flow.link.knitting) for flow in single]
    waits = np.zeros(len(times.clock))
    for slot, minutes in flows.waits.items():
        waits[slot] = minutes
    schedule = place(times, waits, jobs)
    placed = [Flow(flow.link, 1, minutes) for flow, minutes in zip(single, schedule.minutes, strict=True)]
    return Flows(flows.new, flows.drawer, placed, flows.waits), schedule
