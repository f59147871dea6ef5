"""Parts of a problem that have no piece in common, and at first no knitting hands either."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from lessonplan.samples.demand import Demand
from lessonplan.samples.exact import Flow, Flows
from lessonplan.samples.ladder import contains
from lessonplan.samples.network import Candidates, Ints
from lessonplan.samples.problem import Problem
from lessonplan.samples.schedule import Schedule, place
from lessonplan.samples.timeline import Timeline


def components(size: int, pairs: Ints) -> Ints:
    """For each of 0 ... size - 1 the least number it is connected with; ``pairs``: two columns."""
    label: Ints = np.arange(size)
    while True:
        least = label.copy()
        both = np.minimum(label[pairs[:, 0]], label[pairs[:, 1]])
        np.minimum.at(least, pairs[:, 0], both)
        np.minimum.at(least, pairs[:, 1], both)
        least = least[least]
        if (least == label).all():
            return label
        label = least


def _chain(members: Sequence[int]) -> list[tuple[int, int]]:
    return list(pairwise(members))


def parts(problem: Problem, wanted: Sequence[Demand], times: Timeline, links: Candidates) -> list[list[int]]:
    """Demands in groups that no link, pool, drawer piece or limit connects, each in order.

    Groups are also joined when links of both could make the camera wait in the same pause, as one wait would
    serve both. Knitting hands do not join: whether the groups' plans fit together is looked at afterwards.
    """
    joined = [(a, b) for a, b, _ in links.holds]
    for piece in problem.drawer:
        takes = [b for b, d in enumerate(wanted) if piece.kind in d.kinds and contains(d.start, piece.state)]
        joined += _chain(takes)
    for limit in problem.limits:
        joined += _chain([b for b, d in enumerate(wanted) if d.start == limit.state and limit.kind in d.kinds])
    busy = (links.knitting > 0) | (links.short > 0)
    for slot in np.nonzero(np.array(times.waiting) > 0)[0]:
        at = busy & (links.first <= slot) & (slot < links.stop)
        joined += _chain(np.unique(links.a[at]).tolist())
    others = np.array(joined, dtype=np.int64).reshape(-1, 2)
    pairs = np.concatenate((np.stack((links.a, links.b), axis=1), others))
    groups: defaultdict[int, list[int]] = defaultdict(list)
    for b, label in enumerate(components(len(wanted), pairs).tolist()):
        groups[label].append(b)
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
