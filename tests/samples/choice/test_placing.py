"""Work placed in slots, and the slots that lack hands, against a flow of networkx and sums over every run of slots."""

from __future__ import annotations

import random
from itertools import combinations

import networkx as nx
import numpy as np
import pytest

from lessonplan.samples.choice import Slot
from lessonplan.samples.choice.links import Floats, Span, Timeline
from lessonplan.samples.choice.placing import Runs, place

Case = tuple[list[Slot], list[int], list[tuple[int, int, int]]]
"""Slots, the camera's waits by slot, and jobs: first slot, the slot after the last, minutes. All whole numbers."""


def made(seed: int) -> Case:
    """A few slots and jobs, so tight that about every other case cannot be done."""
    rng = random.Random(seed)
    slots = [
        Slot(rng.choice((0, 2, 5, 8)), rng.choice((0, 2, 5, 9)), rng.choice((0, 0, 3)))
        for _ in range(rng.randint(2, 7))
    ]
    waits = [rng.randint(0, int(slot.waiting)) for slot in slots]
    jobs = []
    for _ in range(rng.randint(1, 5)):
        first, stop = sorted(rng.sample(range(len(slots) + 1), 2))
        room = sum(int(min(slots[n].clock, slots[n].hands)) + waits[n] for n in range(first, stop))
        if room:
            jobs.append((first, stop, rng.randint(1, room)))
    return slots, waits, jobs


def able(case: Case, slot: int) -> int:
    """What one piece alone can take of a slot: a pair of hands, as long as the clock runs."""
    return int(min(case[0][slot].clock, case[0][slot].hands)) + case[1][slot]


def most(case: Case) -> int:
    """As many minutes as can be worked: a maximum flow from the jobs through the slots to the hands."""
    graph = nx.DiGraph()
    graph.add_nodes_from(("in", "out"))
    for number, (first, stop, minutes) in enumerate(case[2]):
        graph.add_edge("in", ("job", number), capacity=minutes)
        for slot in range(first, stop):
            graph.add_edge(("job", number), slot, capacity=able(case, slot))
    for slot, one in enumerate(case[0]):
        graph.add_edge(slot, "out", capacity=int(one.hands) + case[1][slot])
    return int(nx.maximum_flow_value(graph, "in", "out"))


def must(case: Case, inside: set[int], room: list[int]) -> int:
    """The minutes that cannot be worked outside some slots; ``room``: what one piece can take of each slot."""
    return sum(
        max(0, minutes - sum(room[slot] for slot in range(first, stop) if slot not in inside))
        for first, stop, minutes in case[2]
    )


def test_as_much_is_placed_as_can_be_done_and_what_stands_in_the_way_is_named() -> None:
    seen = {True: 0, False: 0}
    for seed in range(400):
        case = made(seed)
        slots, waits, jobs = case
        found = place(Timeline(slots), np.array(waits, float), [(a, b, float(m)) for a, b, m in jobs])
        placed = sum(sum(shares.values()) for shares in found.minutes)
        best = most(case)
        assert found.complete == (best == sum(m for _, _, m in jobs)), seed
        assert placed == pytest.approx(best, abs=1e-5), seed
        for (first, stop, minutes), shares, missing in zip(jobs, found.minutes, found.missing, strict=True):
            assert sum(shares.values()) + missing == pytest.approx(minutes), seed
            assert all(first <= slot < stop and -1e-6 <= m <= able(case, slot) + 1e-6 for slot, m in shares.items())
        for slot, one in enumerate(slots):
            assert sum(shares.get(slot, 0) for shares in found.minutes) <= one.hands + waits[slot] + 1e-6
        if not found.complete:
            tight = set(found.tight)
            room = [able(case, slot) for slot in range(len(slots))]
            there = sum(int(slots[slot].hands) + waits[slot] for slot in tight)
            assert must(case, tight, room) - there == pytest.approx(sum(found.missing)), "no more is lacking elsewhere"
        seen[found.complete] += 1
    assert min(seen.values()) > 80


def runs_of(case: Case) -> tuple[Runs, Floats, Floats]:
    """Every job in a column of its own, all of them done."""
    spans: list[tuple[int, Span]] = [(number, (a, b, float(m))) for number, (a, b, m) in enumerate(case[2])]
    return Runs(Timeline(case[0]), spans), np.ones(len(spans)), np.array(case[1], float)


def test_the_runs_of_slots_in_which_too_much_must_be_worked_are_found() -> None:
    found_some = 0
    for seed in range(400):
        case = made(seed)
        slots, waits, jobs = case
        room = [int(min(one.clock, one.hands) + one.waiting) for one in slots]  # the camera may wait so long
        expected = {}
        for begin, stop in combinations(range(len(slots) + 1), 2):
            over = must(case, set(range(begin, stop)), room)
            over -= sum(int(slots[slot].hands) + waits[slot] for slot in range(begin, stop))
            if over > 0 and begin in {a for a, _, _ in jobs} and stop in {b for _, b, _ in jobs}:
                expected[tuple(range(begin, stop))] = over
        runs, values, waited = runs_of(case)
        found = runs.broken(values, waited) if jobs else []
        assert len(found) == min(12, len(expected)), seed
        assert [expected[run] for run in found] == sorted(expected.values(), reverse=True)[: len(found)]
        assert len(expected) > 12 or not jobs or runs.broken(values, waited) == [], "each is given once"
        if jobs:
            assert runs_of(case)[0].broken(0 * values, waited) == [], "nobody works"
        for run in found:
            hands, terms = runs.row(run)
            assert hands == sum(slots[slot].hands for slot in run)
            for column, minutes in terms:
                assert minutes == must((slots, waits, [jobs[column]]), set(run), room)
        found_some += bool(found)
    assert found_some > 80


def test_a_set_of_slots_that_is_no_run_breaks_where_too_much_is_worked_in_it() -> None:
    # Two jobs of 8 minutes in the slots 0 to 2, of which the one between has no hands: they lie in 0 and 2 alone.
    slots = [Slot(5, 5), Slot(9, 0), Slot(5, 5)]
    case = (slots, [0, 0, 0], [(0, 3, 8), (0, 3, 8)])
    runs, values, waits = runs_of(case)
    assert not runs.breaks((0, 2), values / 2, waits)  # one of them: 8 of 10 minutes
    assert runs.breaks((0, 2), values, waits)
    assert not runs.breaks((0, 2), values, waits), "each is given once"
    assert runs.row((0, 2)) == (10.0, [(0, 8.0), (1, 8.0)])
    assert runs.row((0,)) == (5.0, [(0, 3.0), (1, 3.0)])
    assert runs.breaks((0,), values, waits)  # 3 of each cannot be worked in 2
    assert not runs_of(case)[0].breaks((0,), values, np.array([1.0, 0, 0])), "the camera waits a minute"


def test_jobs_of_one_link_are_one_term() -> None:
    runs = Runs(Timeline([Slot(5, 5), Slot(5, 5)]), [(4, (0, 1, 3.0)), (4, (0, 1, 1.0)), (2, (1, 2, 5.0))])
    assert runs.row((0, 1)) == (10.0, [(2, 5.0), (4, 4.0)])
