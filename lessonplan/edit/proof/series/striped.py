"""Bare numbers told before colours, which are the rounds of stripes: “three blue, three oatmeal”."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import Quantity

_NO_STRIPE = frozenset(
    words_in("balls ball tails tail ends end stitches stitch skeins yarns stripes ones strands colours colors loops")
)
"""What a colour goes with behind a number that is no number of rounds."""


def of_stripes(quantities: Sequence[Quantity], words: Sequence[str], holds: Holds) -> Sequence[Quantity]:
    """Take a bare number before a colour for rounds, where stripes are worked: “three blue, three oatmeal”."""
    stripes = next((part for key in holds.parts.here if (part := holds.parts.every[key].stripes)), ())
    if not stripes or len(holds.parts.here) > 1:
        return quantities
    runs = 1 + sum(a != b for a, b in pairwise(stripes))

    def of_stripe(one: Quantity) -> Quantity:
        """A bare number before a colour as rounds."""
        step = words[max(0, one.first - 1) : one.first] in (["knit"], ["purl"], ["slip"], ["round"], ["row"])
        may_be = (
            one.bare
            and not (one.unit or one.number.ordinal)
            and one.number.part == 1
            and 2 <= one.value <= 12
            and one.size is None
        )
        if not may_be or step or one.value in (runs, runs // 2, len(stripes), len(stripes) // 2):
            return one
        after = [word for word in words[one.end : one.end + 5] if word not in ("of", "in", "the")]
        coloured = after[:1] and after[0] in holds.colours and _NO_STRIPE.isdisjoint(after[1:3])
        return replace(one, unit="rows" if holds.flat else "rounds") if coloured else one

    return [of_stripe(one) for one in quantities]
