"""Increases and decreases spread evenly over a round or row, by the published rules, with the line written out.

In the round, n groups of S/n stitches with one shaping in each; group i ends at ceil(i x S/n) (woolpackyarn.com,
calculating increases: 4 into 51 gives 13, 26, 39, 51). Flat, the first shaping comes half a gap in so that none falls
on the edge: at round((i - 1/2) x S/n) (same page: 6, 19, 32, 45). A decrease uses two of its group's stitches, a kfb
one, an m1 none.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import groupby, pairwise
from math import ceil, floor

_USES = {"m1": 0, "m1l": 0, "m1r": 0, "m1p": 0, "yo": 0, "kfb": 1, "pfb": 1, "k2tog": 2, "ssk": 2, "p2tog": 2}


def positions(stitches: int, count: int, flat: bool = False) -> tuple[int, ...]:
    """Give after which stitch each of ``count`` shapings falls, evenly over so many stitches.

    Raises ``ValueError`` when there are more shapings than stitches or none.
    """
    if not 0 < count <= stitches:
        raise ValueError(f"{count} cannot be spread over {stitches} stitches")
    step = Fraction(stitches, count)
    if flat:
        return tuple(floor((i - Fraction(1, 2)) * step + Fraction(1, 2)) for i in range(1, count + 1))
    return tuple(ceil(i * step) for i in range(1, count + 1))


def spread_line(stitches: int, count: int, by: str, flat: bool = False) -> str:
    """Write the line that spreads ``count`` shapings (``m1``, ``kfb``, ``k2tog`` ...) evenly over so many stitches.

    Raises ``ValueError`` when they do not fit or the shaping is not one that can be spread.
    """
    if by not in _USES:
        raise ValueError(f"“{by}” cannot be spread; use one of {', '.join(_USES)}")
    places = positions(stitches, count, flat)
    groups = [b - a for a, b in pairwise((0, *places))]
    rest = stitches - places[-1]
    plain = [group - _USES[by] for group in groups]
    if min(plain) < 0:
        raise ValueError(
            f"{count} times {by} needs {count * _USES[by]} stitches or more, and only {stitches} are there"
        )
    parts = []
    for size, run in groupby(plain):
        times = len(list(run))
        one = f"k{size}, {by}" if size else by
        parts.append(f"[{one}] {times} times" if times > 1 else one)
    if rest:
        parts.append(f"k{rest}")
    line = ", ".join(parts)
    return line[0].upper() + line[1:] if line[0] != "[" else "[" + line[1].upper() + line[2:]
