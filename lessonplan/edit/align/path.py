"""The most likely way through an episode: which segment is told in each unit, by dynamic programming.

Each unit of a few words belongs to one segment. Going on in a segment is likely, going to the next one less so, leaving
some out less still, and going back least; where somebody pauses and begins with “okay, now”, a change is likelier. The
way whose evidence and changes weigh most is found by dynamic programming over units and segments (the algorithm of
Viterbi, IEEE Trans. Inf. Theory 13, 1967), and how sure each start is by summing over all ways, forward and backward
(Baum et al., Ann. Math. Stat. 41, 1970; both from memory). Since the cost of leaving out grows by the same step for
each segment, one running best for all segments before and one for all behind suffice: the work is units times segments.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import mul

from lessonplan.edit.align.evidence import Unit

TRUST = 0.7
"""How much of the evidence counts: words of one sentence are not independent (chosen on simulated captions)."""
NEXT, LEAVE_OUT, BACK = 0.75, 0.2, 0.03
"""Of all changes: to the next segment, the same again for each one left out, and back to any one (guesses)."""
CALM, BEGINS, OPENING, SILENCE = 0.1, 3.0, 8.0, 2.0
"""Changes in the middle of speech, by the average; times so many where a caption or a sentence begins, at an opening
word, and for each second of a pause before it (guesses)."""
ENDS = 0.2
"""How likely a video begins with each later segment, and ends with each earlier one, by its neighbour (a guess)."""


@dataclass(frozen=True, slots=True)
class Way:
    """The most likely segment of each unit, and how likely each segment begins at each unit, all ways summed."""

    segments: tuple[int, ...]
    begins: tuple[tuple[float, ...], ...]


def way(units: Sequence[Unit], segments: int) -> Way:
    """Find the way through the units; there is one unit and one segment at least."""
    changes = [_change(unit, segments / len(units)) for unit in units]
    likely = [_likelihoods(unit) for unit in units]
    return Way(_best(units, changes, segments), _begins(likely, changes, segments))


def _change(unit: Unit, average: float) -> float:
    """How likely something new begins at a unit."""
    factor = (
        CALM
        * (BEGINS if unit.begins else 1.0)
        * (OPENING if unit.opens else 1.0)
        * (1 + SILENCE * min(unit.pause, 3.0))
    )
    return min(0.4, average * factor)


def _likelihoods(unit: Unit) -> list[float]:
    top = max(unit.speaks)
    if not top:
        return [1.0] * len(unit.speaks)
    return [math.exp(TRUST * (one - top)) for one in unit.speaks]


def _best(units: Sequence[Unit], changes: Sequence[float], segments: int) -> tuple[int, ...]:
    """Find the one way that weighs most."""
    nexts, out, back = math.log(NEXT), math.log(LEAVE_OUT), math.log(BACK)
    score = [TRUST * one + place * math.log(ENDS) for place, one in enumerate(units[0].speaks)]
    came = list[list[int]]()
    for unit, change in zip(units[1:], changes[1:], strict=True):
        stay, leave = math.log1p(-change), math.log(change)
        origin, new = [0] * segments, [0.0] * segments
        ahead, ahead_from = -math.inf, 0
        for place in range(segments):
            origin[place], new[place] = place, score[place] + stay
            if ahead + leave > new[place]:
                origin[place], new[place] = ahead_from, ahead + leave
            ahead += out
            if score[place] + nexts > ahead:
                ahead, ahead_from = score[place] + nexts, place
        behind, behind_from = -math.inf, 0
        for place in range(segments - 1, -1, -1):
            if behind + leave > new[place]:
                origin[place], new[place] = behind_from, behind + leave
            if score[place] + back > behind:
                behind, behind_from = score[place] + back, place
        score = [one + TRUST * speaks for one, speaks in zip(new, unit.speaks, strict=True)]
        came.append(origin)
    place = max(range(segments), key=lambda one: score[one] - one * math.log(ENDS))
    ways = [place]
    for origin in reversed(came):
        place = origin[place]
        ways.append(place)
    return tuple(reversed(ways))


def _begins(
    likely: Sequence[Sequence[float]], changes: Sequence[float], segments: int
) -> tuple[tuple[float, ...], ...]:
    """Sum over all ways how likely each segment begins at each unit."""
    entered = [[ENDS**place for place in range(segments)]]
    whole = list(map(mul, entered[0], likely[0]))
    sums, forward = [sum(whole)], _scaled(whole)
    ways = [forward]
    for seen, change in zip(likely[1:], changes[1:], strict=True):
        enters = _moved(forward, change)
        entered.append(enters)
        stay = 1 - change
        whole = [(stay * a + b) * c for a, b, c in zip(forward, enters, seen, strict=True)]
        sums.append(sum(whole))
        forward = _scaled(whole)
        ways.append(forward)
    backward, found = [ENDS ** (segments - 1 - place) for place in range(segments)], list[tuple[float, ...]]()
    for place in range(len(likely) - 1, -1, -1):
        ahead = list(map(mul, likely[place], backward))
        every = sums[place] * sum(map(mul, ways[place], backward)) or 1.0
        found.append(tuple([a * b / every for a, b in zip(entered[place], ahead, strict=True)]))
        change = changes[place]
        stay = 1 - change
        leaves = _moved(ahead[::-1], change)  # what comes is the mirror of what was
        backward = _scaled([stay * a + b for a, b in zip(ahead, reversed(leaves), strict=True)])
    return tuple(reversed(found))


def _moved(before: Sequence[float], change: float) -> list[float]:
    """How likely each segment is entered from another: from those before it, and back from those behind it."""
    behind = [*accumulate(reversed(before))][-2::-1]
    back, found, ahead = BACK * change, list[float](), 0.0
    for one, later in zip(before, [*behind, 0.0], strict=True):
        found.append(ahead * change + later * back)
        ahead = ahead * LEAVE_OUT + one * NEXT
    return found


def _scaled(values: list[float]) -> list[float]:
    whole = sum(values) or 1.0
    return [one / whole for one in values]
