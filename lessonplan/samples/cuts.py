"""Valid inequalities for the knitting hands: what must be knitted in some slots cannot exceed the hands there.

For a set T of slots, a link with D minutes of knitting needs at least D minus what one piece can take in the
slots of its window outside T; summed over the links in use this is at most the hands in T plus the waiting in T. For
intervals T and one pair of hands these are all the conditions there are (Hall's theorem for intervals); for
more hands the set comes from a minimum cut.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lessonplan.samples.network import Candidates, Flags, Floats, Ints
from lessonplan.samples.timeline import Timeline

TOLERANCE = 1e-6


@dataclass(frozen=True, slots=True)
class Cut:
    """``inside``: which slots are in T. ``outside``: minutes one piece can take outside T before each slot.

    ``room``: minutes of hands in T, without waiting.
    """

    inside: Flags
    outside: Floats
    room: float

    def weights(self, links: Candidates, chosen: Ints) -> Floats:
        """Minutes that each chosen candidate must be knitted within T."""
        elsewhere = self.outside[links.stop[chosen]] - self.outside[links.first[chosen]]
        least: Floats = np.maximum(0.0, links.knitting[chosen] - elsewhere)
        least[least < 1e-9] = 0.0
        return least


def cut(times: Timeline, inside: Flags) -> Cut:
    """The inequality of a set of slots."""
    hands = np.array(times.hands)
    able = np.minimum(hands, np.array(times.clock)) + np.array(times.waiting)
    outside = np.concatenate(([0.0], np.cumsum(np.where(inside, 0.0, able))))
    return Cut(inside, outside, float(hands[inside].sum()))


def overfull(
    times: Timeline, waits: Floats, first: Ints, stop: Ints, minutes: Floats, most: int
) -> list[tuple[int, int]]:
    """Intervals of slots (first, stop) in which more must be knitted than the hands can, the worst first.

    ``waits``: camera waiting in each slot. The other arrays: window and minutes of each link in use. At most
    ``most`` intervals, none within a few slots of a worse one.
    """
    if not len(first):
        return []
    begins, ends = np.unique(first), np.unique(stop)
    work = np.zeros((len(begins), len(ends)))
    np.add.at(work, (np.searchsorted(begins, first), np.searchsorted(ends, stop)), minutes)
    work = np.cumsum(np.cumsum(work[::-1], axis=0)[::-1], axis=1)
    until = np.concatenate(([0.0], np.cumsum(np.array(times.hands) + waits)))
    excess = work - (until[ends][None, :] - until[begins][:, None])
    excess[ends[None, :] <= begins[:, None]] = -1.0
    column = excess.argmax(axis=1)
    worst = excess[np.arange(len(begins)), column]
    found: list[tuple[int, int]] = []
    for row in np.argsort(-worst, kind="stable"):
        if worst[row] <= TOLERANCE or len(found) >= most:
            break
        u, v = int(begins[row]), int(ends[column[row]])
        if all(abs(u - x) + abs(v - y) >= 6 for x, y in found):
            found.append((u, v))
    return found


def interval(times: Timeline, first: int, stop: int) -> Cut:
    """The inequality of the slots ``first`` ... ``stop`` - 1."""
    inside = np.zeros(len(times.hands), dtype=np.bool_)
    inside[first:stop] = True
    return cut(times, inside)
