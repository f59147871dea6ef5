"""Which planned word is which heard one: runs of words that a script and its captions have once each, in one order.

Three telling words in a row that stand once in both go together, as far as their order is the same in both (longest
increasing run of places, by binary search); between two such, pairs, then single words, are looked for in the same way.
A host who speaks freely keeps few of them, one who reads keeps most; nothing is guessed where none is kept.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from lessonplan.edit.align.terms import LITTLE

RUNS = (3, 2, 1)
"""Words in a row that are looked for, one length after the other."""
ALONE = 30
"""A single word counts where the words around it that go together stand so close, in words of either text (a guess):
farther apart the same word is likely said of something else."""


def pairs(planned: Sequence[str], heard: Sequence[str]) -> tuple[tuple[int, int], ...]:
    """Give places (planned, heard) of words that go together, rising in both; the texts are stems."""
    return tuple(_between(planned, heard, (0, len(planned)), (0, len(heard)), 0))


def _between(
    planned: Sequence[str], heard: Sequence[str], mine: tuple[int, int], theirs: tuple[int, int], step: int
) -> Iterator[tuple[int, int]]:
    """Find pairs in a stretch of both, from runs of one length on, then in the gaps between them."""
    if step == len(RUNS) or mine[0] >= mine[1] or theirs[0] >= theirs[1]:
        return
    run = RUNS[step]
    if run == 1 and max(mine[1] - mine[0], theirs[1] - theirs[0]) > ALONE:
        return
    once, other = _once(planned, mine, run), _once(heard, theirs, run)
    found = _rising([(place, other[key]) for key, place in once.items() if key in other])
    at, there = mine[0], theirs[0]
    for one, two in found:
        if one < at or two < there:
            continue  # it overlaps the run before
        yield from _between(planned, heard, (at, one), (there, two), step + 1)
        yield from ((one + place, two + place) for place in range(run))
        at, there = one + run, two + run
    yield from _between(planned, heard, (at, mine[1]), (there, theirs[1]), step + 1)


def _once(words: Sequence[str], stretch: tuple[int, int], run: int) -> dict[tuple[str, ...], int]:
    """Give the runs of words that stand once in a stretch and are not little words alone, with their places."""
    found = dict[tuple[str, ...], int]()
    for place in range(stretch[0], stretch[1] - run + 1):
        key = tuple(words[place : place + run])
        found[key] = -1 if key in found else place
    return {key: place for key, place in found.items() if place >= 0 and not LITTLE.issuperset(key)}


def _rising(places: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Keep the most of some pairs, in order of the first, so that the second rises too."""
    ends, last = list[int](), list[int]()
    before = list[int]()
    for index, (_, two) in enumerate(places):
        at = bisect_left(ends, two)
        before.append(last[at - 1] if at else -1)
        if at == len(ends):
            ends.append(two)
            last.append(index)
        else:
            ends[at], last[at] = two, index
    found, index = list[tuple[int, int]](), last[-1] if last else -1
    while index >= 0:
        found.append(places[index])
        index = before[index]
    return found[::-1]
