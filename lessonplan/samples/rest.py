"""Links moved back along their pools, so that a piece at rest is knitted on as soon as it can be."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping

import numpy as np

from lessonplan.samples.network import Candidates, Ints


def advanced(
    links: Candidates, members: Mapping[tuple[int, int], list[int]], arrived: Counter[tuple[int, int]], used: Ints
) -> Ints:
    """The used links, those with knitting begun from the earliest demand whose piece can be spared.

    ``members``: the demands of each (pool, kind) in order. ``arrived``: pieces that arrived at (demand, kind).
    ``used``: one entry for each piece. A piece that rests in its pool is on the table already: a link that
    takes it there later can take it at once, and has all the time between for the knitting.
    """
    leaving: defaultdict[tuple[int, int], Counter[int]] = defaultdict(Counter)
    for j in used.tolist():
        a, kind = int(links.a[j]), int(links.kind[j])
        leaving[int(links.pool[a]), kind][a] += 1
    spare: dict[tuple[int, int], dict[int, int]] = {}
    for key, gone in leaving.items():
        rest, level = {}, 0
        for b in members[key]:
            level += arrived[b, key[1]] - gone[b]
            rest[b] = level
        spare[key] = rest
    moved = used.copy()
    for n in sorted(range(len(used)), key=lambda n: (int(links.stop[used[n]]), n)):
        j = int(used[n])
        if links.knitting[j] <= 0 or links.short[j] > 0:
            continue
        a, b, kind = int(links.a[j]), int(links.b[j]), int(links.kind[j])
        key = (int(links.pool[a]), kind)
        chain = members[key]
        back = place = chain.index(a)
        while back > 0 and spare[key][chain[back - 1]] > 0:
            back -= 1
        for earlier in range(back, place):
            at = links.find(chain[earlier], b, kind)
            if at >= 0:
                moved[n] = at
                for b_ in chain[earlier:place]:
                    spare[key][b_] -= 1
                break
    return moved


def pool_members(links: Candidates, kinds_of: list[tuple[str, ...]]) -> dict[tuple[int, int], list[int]]:
    """The demands whose pieces rest in each (pool, kind), in order."""
    members: defaultdict[tuple[int, int], list[int]] = defaultdict(list)
    for b, pool in enumerate(np.asarray(links.pool).tolist()):
        for kind, name in enumerate(links.kinds):
            if name in kinds_of[b]:
                members[pool, kind].append(b)
    return dict(members)
