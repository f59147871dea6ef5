"""Bounds on hangs, in processor seconds of the machine at hand: a slow or busy one takes longer for the same work."""

from __future__ import annotations

import time
from functools import cache

REFERENCE = 0.022
"""Processor seconds of `_work` on a machine on which `check sample_course` takes some 1.2 s: a guess, half of the least
on one that takes 2.7.
"""


def allowed(seconds: float) -> float:
    """What a bound set on the reference machine comes to on this one, now; never less than it says."""
    return seconds * max(1.0, max(_work() for _ in range(5)) / REFERENCE)


@cache
def usually() -> float:
    """How much longer this machine takes than the reference machine, measured once."""
    return allowed(1.0)


def _work() -> float:
    """Processor seconds of some plain work: numbers, texts and a dictionary, as the program has them."""
    start = time.process_time()
    found: dict[str, int] = {}
    for number in range(60_000):
        name = f"{number % 977}:{number // 61}"
        found[name] = found.get(name, 0) + len(name)
    return time.process_time() - start
