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


@dataclass(frozen=True, slots=True)
class Load:
    """Links in use, one entry each: window in slots, minutes of knitting for one piece, how many pieces.

    ``waits``: minutes the camera waits in each slot.
    """

    waits: Floats
    first: Ints
    stop: Ints
    minutes: Floats
    pieces: Floats


MANY = 2_000_000
"""Intervals times links beyond which links that only reach into an interval are not looked at."""


def overfull(times: Timeline, load: Load, most: int) -> list[tuple[int, int]]:
    """Intervals of slots (first, stop) in which more must be knitted than the hands can, the worst first.

    At most ``most`` of them, none within a few slots of a worse one. First those overfull with links that lie
    wholly inside; if there are none, those overfull with what other links must do inside.
    """
    if not len(load.first):
        return []
    begins, ends = np.unique(load.first), np.unique(load.stop)
    until = np.concatenate(([0.0], np.cumsum(np.array(times.hands) + load.waits)))
    room = until[ends][None, :] - until[begins][:, None]
    found = _worst(begins, ends, _inside(load, begins, ends) - room, most)
    if not found and len(begins) * len(ends) * len(load.first) <= MANY:
        found = _worst(begins, ends, _reaching(times, load, begins, ends) - room, most)
    return found


def _inside(load: Load, begins: Ints, ends: Ints) -> Floats:
    """Minutes of the links that lie wholly in each interval."""
    work = np.zeros((len(begins), len(ends)))
    at = (np.searchsorted(begins, load.first), np.searchsorted(ends, load.stop))
    np.add.at(work, at, load.minutes * load.pieces)
    total: Floats = np.cumsum(np.cumsum(work[::-1], axis=0)[::-1], axis=1)
    return total


def _reaching(times: Timeline, load: Load, begins: Ints, ends: Ints) -> Floats:
    """Minutes that each interval cannot be spared, also of links that only reach into it."""
    able = np.minimum(np.array(times.hands), np.array(times.clock)) + np.array(times.waiting)
    until = np.concatenate(([0.0], np.cumsum(able)))
    spare = load.minutes - (until[load.stop] - until[load.first])
    late = until[np.minimum(ends[:, None], load.stop[None, :])]
    early = until[np.maximum(begins[:, None], load.first[None, :])]
    within = np.maximum(0.0, late[None, :, :] - early[:, None, :])
    total: Floats = (np.maximum(0.0, spare + within) * load.pieces).sum(axis=2)
    return total


def _worst(begins: Ints, ends: Ints, excess: Floats, most: int) -> list[tuple[int, int]]:
    excess = np.where(ends[None, :] <= begins[:, None], -1.0, excess)
    rows, columns = np.nonzero(excess > TOLERANCE)
    order = np.argsort(-excess[rows, columns], kind="stable")[:400]
    found: list[tuple[int, int]] = []
    for u, v in zip(begins[rows[order]].tolist(), ends[columns[order]].tolist(), strict=True):
        if len(found) < most and all(abs(u - x) + abs(v - y) >= 6 for x, y in found):
            found.append((u, v))
    return found


def interval(times: Timeline, first: int, stop: int) -> Cut:
    """The inequality of the slots ``first`` ... ``stop`` - 1."""
    inside = np.zeros(len(times.hands), dtype=np.bool_)
    inside[first:stop] = True
    return cut(times, inside)
