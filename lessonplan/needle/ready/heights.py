"""How high stitches of crochet are, in chains, and when chains that nothing is said of stand for one."""

from __future__ import annotations

from collections.abc import Mapping

HEIGHTS: Mapping[str, int] = {"sc": 1, "hdc": 2, "dc": 3, "tr": 4, "dtr": 5, "cluster": 3, "puff": 3, "popcorn": 3}
"""Chains that stand for a stitch at the beginning of a row (common practice)."""
TALL = 3
"""From this height on a chain that nothing is said of counts as a stitch (common practice)."""


def height(name: str) -> int:
    """How many chains stand for a stitch, or for those joined at its top; 0 for what is no tall stitch."""
    return HEIGHTS.get(name) or next((h for base, h in HEIGHTS.items() if name in (f"{base}2tog", f"{base}3tog")), 0)


def stands_for(n: int, tall: int) -> bool:
    """Whether `n` chains that nothing is said of stand for a stitch; a British treble has one chain less."""
    return tall >= TALL and n >= min(tall, max(TALL, tall - 1))
