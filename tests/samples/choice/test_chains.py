"""With time enough and only pieces counted, the choice is a minimum path cover: what theory says of that.

Sources: Dilworth 1950 (Annals of Mathematics 51): as many chains as the widest antichain. Sperner 1928
(Mathematische Zeitschrift 27): the subsets of n things have width n choose n/2. De Bruijn, Tengbergen and
Kruyswijk 1951 (Nieuw Archief voor Wiskunde 23): the divisors of a number are as wide as their middle rank.
Fulkerson 1956 (Proceedings of the AMS 7): chains = points - maximum matching. All four from memory.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import networkx as nx
import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.samples.choice import Demand, Ladder, Question, Slot, State, Way, Weights
from lessonplan.samples.choice.choose import choose


def free(steps: list[int]) -> Ladder:
    """Unrelated stages with this many steps, none of which can be taken back."""
    table = tuple(tuple(float(n) for n in range(count + 1)) for count in steps)
    none = tuple((0.0,) * (count + 1) for count in steps)
    fixed = tuple(tuple(range(count + 1)) for count in steps)
    names = tuple(f"s{n}" for n in range(len(steps)))
    return Ladder(names, ((),) * len(steps), table, table, none, none, fixed)


def pieces_needed(states: Sequence[State], ladder: Ladder) -> int:
    """Pieces when the states are filmed in this order with all the time in the world between."""
    asked = tuple(Demand(f"{n:03}", 2 * n, (Way("full", s, s),)) for n, s in enumerate(states))
    slots = tuple(Slot(1e4, 1e6 * (n % 2)) for n in range(2 * len(states)))
    answer = choose(Question({"full": ladder}, asked, slots, (), Weights(1, bench=0, floor=0)))
    assert answer.optimal
    assert answer.cost == pytest.approx(len(answer.pieces))
    return len(answer.pieces)


@pytest.mark.parametrize("n", [1, 2, 3, 4, 5])
def test_subsets(n: int) -> None:
    states = sorted(itertools.product((0, 1), repeat=n), key=sum)
    assert pieces_needed(states, free([1] * n)) == math.comb(n, n // 2)


def test_divisors_of_360() -> None:
    # 360 = 2^3 3^2 5: ranks of 1, 3, 5, 6, 5, 3, 1 divisors.
    states = sorted(itertools.product(range(4), range(3), range(2)), key=sum)
    assert pieces_needed(states, free([3, 2, 1])) == 6


@settings(deadline=None, max_examples=30)
@given(st.lists(st.tuples(*[st.integers(0, 4)] * 3), min_size=1, max_size=14))
def test_fulkerson(states: list[State]) -> None:
    graph = nx.Graph()
    left = [("left", n) for n in range(len(states))]
    graph.add_nodes_from(left)
    for i, j in itertools.combinations(range(len(states)), 2):
        if all(a <= b for a, b in zip(states[i], states[j], strict=True)):
            graph.add_edge(("left", i), ("right", j))
    matched = len(nx.bipartite.hopcroft_karp_matching(graph, left)) // 2
    assert pieces_needed(states, free([4, 4, 4])) == len(states) - matched
