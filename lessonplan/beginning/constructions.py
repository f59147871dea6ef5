"""Standard constructions, computed from a gauge and the sizes of bodies: the numbers that a pattern file needs.

Each function gives, by name, what its template ``templates/begin/THING.yaml`` prints: one value for each size as
patterns print them, ``80 (88, 96)``; ``two``: in two colours. The constructions are common practice; sizes come from
``craft/tables/bodies.csv``, ease from what is said beside the constants. The counts of rows and rounds are worked out
here by arithmetic of their own: a test works the printed lines and compares.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from lessonplan.craft import tables
from lessonplan.craft.gauge import Fabric, round_half_up
from lessonplan.craft.lengths import INCH


@dataclass(frozen=True, slots=True)
class Body:
    """One size of one thing: how far round, how long and (mittens) how far from cuff to thumb, in millimetres.

    For a scarf or blanket ``around`` is its width, for a shawl ``length`` its depth.
    """

    size: str
    around_from: float
    around_to: float
    length: float
    thumb: float

    @property
    def around(self) -> float:
        """The middle of the range of the measure round the body."""
        return (self.around_from + self.around_to) / 2


def bodies(made: str) -> tuple[Body, ...]:
    """Give the known sizes of a thing (``hat``, ``crochet hat``), small to large; none for one the table lacks."""
    return tuple(
        Body(
            size=row["size"],
            around_from=float(row["around_in_min"]) * INCH,
            around_to=float(row["around_in_max"]) * INCH,
            length=float(row["length_in"]) * INCH,
            thumb=float(row["thumb_in"] or 0) * INCH,
        )
        for row in tables.rows("bodies")
        if row["made"] == made.removeprefix("crochet ")
    )


Numbers = Mapping[str, str]

HAT_EASE = 0.10
"""A hat is a tenth smaller than the head (10 to 15 %: rhyflowerknits.com, tests/facts/body_sizes.csv)."""
SOCK_EASE = 0.10
"""A sock is a tenth smaller than the foot (planning guess, from memory)."""
_RIB, _SECTIONS, _STRIPES = 4, 8, 8
_THUMB = 0.3
"""The share of a mitten's stitches that its thumb has (planning guess, from memory)."""


@dataclass(frozen=True, slots=True)
class Made:
    """A thing that can be begun: its numbers, what else is needed, whether it is a pair.

    ``fabric`` is what its gauge is measured in; ``gauge`` and ``tool`` are offered where nothing is said.
    """

    numbers: Callable[[Fabric, Sequence[Body], bool], Numbers]
    notions: tuple[str, ...]
    summary: str
    pair: bool = False
    craft: str = "knitting"
    fabric: str = "stockinette"
    gauge: str = "20 x 28 to 10 cm"
    tool: str = "4.5 mm"


def at_least(length: float, digits: int) -> str:
    """Write a length with so many digits, or with two and rounded up where it would be less than it is.

    Half a round less would be a round less, and with “rounding: even” two.
    """
    less = round(length, digits) < length - 1e-9
    shown = math.ceil(round(100 * length, 6)) / 100 if less else round(length, digits)
    return f"{shown:.2f}".rstrip("0").rstrip(".")


def sized(values: Sequence[object]) -> str:
    """Print the values of all sizes as patterns do: ``40 (44, 48)``, once if they are all equal."""
    first, *rest = (str(value) for value in values)
    return first if all(one == first for one in rest) else f"{first} ({', '.join(rest)})"


def to_multiple(value: float, of: int, *, plus: int = 0) -> int:
    """Give the count nearest to a value that is a multiple of a number, plus some; at least one multiple."""
    return max(1, round_half_up((value - plus) / of)) * of + plus


def _even(value: float) -> int:
    return 2 * max(1, round_half_up(value / 2))


def _rising(values: Sequence[int]) -> list[int]:
    """Let no size have less than a smaller one, which would look like a slip of the pen."""
    return list(accumulate(values, max))


def _cm(lengths: Sequence[float]) -> str:
    """Print lengths in mm as cm with the unit, to the millimetre."""
    return sized([f"{length / 10:.1f}".removesuffix(".0") for length in lengths]) + " cm"


def _ease(knitted: Sequence[float], bodies: Sequence[float]) -> str:
    """Print how much wider than the bodies the knitted thing is, all in mm, as a range to the half centimetre."""
    differences = [made - body for made, body in zip(knitted, bodies, strict=True)]
    low, high = math.floor(min(differences) / 5 - 0.2) * 0.5, math.ceil(max(differences) / 5 + 0.2) * 0.5
    return f"{low:g} to {high:g} cm"


def _around(fabric: Fabric, counts: Sequence[int], sizes: Sequence[Body]) -> dict[str, str]:
    around = [body.around for body in sizes]
    return {"around": _cm(around), "ease": _ease([fabric.width(count) for count in counts], around)}


def hat(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A hat from the brim up: ribbed brim, plain body, crown in eight sections."""
    cast_on = [to_multiple(body.around * (1 - HAT_EASE) * fabric.stitches_per_mm, _SECTIONS) for body in sizes]
    section = [count // _SECTIONS for count in cast_on]
    slow = [max(3, round_half_up(one * 0.55)) for one in section]
    # One round sets the markers; then a stitch goes from each section every other round, and then in every round.
    crown = [1 + 2 * (one - until) + (until - 2) + 1 for one, until in zip(section, slow, strict=True)]
    height = [round_half_up(body.length * fabric.rounds_per_mm) for body in sizes]
    brim = _rising([max(4, _even(rounds * 0.2)) for rounds in height])
    body = [
        to_multiple(rounds - edge - top, _STRIPES if two else 1)
        for rounds, edge, top in zip(height, brim, crown, strict=True)
    ]
    return _around(fabric, cast_on, sizes) | {
        "height": _cm([body.length for body in sizes]),
        "cast_on": sized(cast_on),
        "brim": sized(brim),
        "body": sized(_rising(body)),
        "section": sized(section),
        "slow": sized([_SECTIONS * until for until in slow]),
    }


def mittens(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """Mittens from the cuff up: ribbed cuff, a gusset for the thumb at the half, a top in two wedges."""
    # Rounded up, so that the mitten is never narrower than the widest hand that it is to fit.
    cast_on = [_RIB * math.ceil(body.around_to * fabric.stitches_per_mm / _RIB - 1e-9) for body in sizes]
    times = [max(1, round_half_up((count * _THUMB - 1) / 2)) for count in cast_on]
    gusset = [
        max(2, round_half_up(body.thumb * fabric.rounds_per_mm) - 2 - 2 * one)
        for body, one in zip(sizes, times, strict=True)
    ]
    # The first two rounds of the top and its slow ones take four stitches in two rounds, the others in one.
    slow = [max(1, (count - 12) // 12) for count in cast_on]
    top = [2 + 2 * one + (count - 12 - 4 * one) // 4 for count, one in zip(cast_on, slow, strict=True)]
    hand = [
        max(2, round_half_up(body.length * fabric.rounds_per_mm) - 2 - 2 * one - plain - over)
        for body, one, plain, over in zip(sizes, times, gusset, top, strict=True)
    ]
    return _around(fabric, cast_on, sizes) | {
        "length": _cm([body.length for body in sizes]),
        "cast_on": sized(cast_on),
        "half": sized([count // 2 for count in cast_on]),
        "cuff": sized([_even(body.length * 0.35 * fabric.rounds_per_mm) for body in sizes]),
        "times": sized(times),
        "thumb": sized([1 + 2 * one for one in times]),
        "gusset": sized(_rising(gusset)),
        "hand": sized(_rising(hand)),
        "flat": sized([count // 2 - 6 for count in cast_on]),
        "slow": sized(_rising(slow)),
        "tip": _cm([body.thumb - fabric.length(2) for body in sizes]),
    }


def socks(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """Socks from the cuff down: ribbed leg, heel flap and turn, gusset, foot, a star toe drawn shut."""
    cast_on = [to_multiple(body.around * (1 - SOCK_EASE) * fabric.stitches_per_mm, _RIB) for body in sizes]
    heel = [count // 2 for count in cast_on]
    # The heel is turned about its middle stitches so that both sides leave an even count beyond the first gaps.
    middle = [(half // 2, 3) if half % 4 == 0 else (half // 2 + 1, 5) for half in heel]
    turned = [first + 2 for first, _ in middle]
    side = [_even(half) // 2 + 1 for half in heel]
    less = [(back + 2 * one - half) // 2 for back, one, half in zip(turned, side, heel, strict=True)]
    slow = [max(3, round_half_up(count / 8)) for count in cast_on]
    toe = [2 + 2 * (count // 4 - until) + until - 2 for count, until in zip(cast_on, slow, strict=True)]
    # The foot is measured from the back of the heel: the turn and gusset reach about as far as the gusset is long.
    foot = [
        body.length * (1 - SOCK_EASE / 2) - fabric.length(tip + 2 * gone + 2)
        for body, tip, gone in zip(sizes, toe, less, strict=True)
    ]
    return _around(fabric, cast_on, sizes) | {
        "cast_on": sized(cast_on),
        "heel": sized(heel),
        "flap": sized([_even(half) for half in heel]),
        "first": sized([first for first, _ in middle]),
        "second": sized([second for _, second in middle]),
        "turned": sized(turned),
        "side": sized(side),
        "before": sized([back + one - 3 for back, one in zip(turned, side, strict=True)]),
        "foot": _cm(list(accumulate((max(20.0, length) for length in foot), max))),
        "quarter": sized([count // 4 for count in cast_on]),
        "slow": sized([4 * until for until in slow]),
    }


def cowl(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A cowl in the round: a ribbed edge, a plain middle, the same edge again."""
    cast_on = [to_multiple(body.around * fabric.stitches_per_mm, _RIB) for body in sizes]
    edge = _even(30 * fabric.rounds_per_mm)
    middle = [to_multiple(body.length * fabric.rounds_per_mm - 2 * edge, _STRIPES if two else 1) for body in sizes]
    return _around(fabric, cast_on, sizes) | {"cast_on": sized(cast_on), "edge": str(edge), "middle": sized(middle)}


def scarf(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A scarf back and forth in rib, the same on both sides."""
    cast_on = [to_multiple(body.around * fabric.stitches_per_mm, _RIB, plus=2) for body in sizes]
    rows = [to_multiple(body.length * fabric.rounds_per_mm, _STRIPES) for body in sizes]
    return _around(fabric, cast_on, sizes) | {"cast_on": sized(cast_on), "rows": sized(rows)}


def shawl(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A triangular shawl from the middle of the neck: four stitches more in every other row."""
    edge = _even(20 * fabric.rounds_per_mm)
    rows = [_even(body.length * fabric.rounds_per_mm) - 2 - edge for body in sizes]
    return {"rows": sized(rows), "edge": str(edge)}


def crochet_hat(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A hat made sideways in ribs: rows go round the head, stitches up it; it is sewn and gathered at the top."""
    rows = [_even(body.around * (1 - HAT_EASE) * fabric.rounds_per_mm) for body in sizes]
    high = [max(8, round_half_up(body.length * fabric.stitches_per_mm)) for body in sizes]
    around = [body.around for body in sizes]
    return {
        "around": _cm(around),
        "ease": _ease([fabric.length(count) for count in rows], around),
        "height": _cm([body.length for body in sizes]),
        "chain": sized([count + 1 for count in high]),
        "rows": sized([count - 1 for count in rows]),
    }


def crochet_scarf(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A scarf to and fro in double crochet; three chains stand for the first stitch of a row."""
    wide = [max(6, round_half_up(body.around * fabric.stitches_per_mm)) for body in sizes]
    rows = [to_multiple(body.length * fabric.rounds_per_mm, 4) for body in sizes]
    return _around(fabric, wide, sizes) | {
        "chain": sized([count + 2 for count in wide]),
        "rows": sized([count - 1 if not two else count for count in rows]),
    }


def crochet_cowl(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A cowl in joined rounds of half double crochet on a ring of chains."""
    count = [_even(body.around * fabric.stitches_per_mm) for body in sizes]
    middle = [to_multiple(body.length * fabric.rounds_per_mm - 1, 4 if two else 1) for body in sizes]
    return _around(fabric, count, sizes) | {"cast_on": sized(count), "middle": sized(middle)}


def crochet_square(fabric: Fabric, sizes: Sequence[Body], two: bool) -> Numbers:
    """A square from the middle: in round n a side has n clusters of three with a chain between, and a corner of two."""
    rounds = [max(4, round_half_up((body.around * fabric.stitches_per_mm - 1) / 4)) for body in sizes]
    return {"rounds": sized(rounds), "most": str(max(rounds))}


OTHER = "something else"
_ROUND = ("stitch markers", "blunt darning needle", "scissors")
MADE: Mapping[str, Made] = {
    "hat": Made(
        numbers=hat,
        notions=_ROUND,
        summary="One hat from the brim up: a ribbed brim, a plain body and a crown in eight sections.",
        fabric="stockinette in the round",
    ),
    "mittens": Made(
        numbers=mittens,
        pair=True,
        notions=(*_ROUND, "smooth waste yarn"),
        summary="A pair of mittens from the cuff up, with a gusset for the thumb and a pointed top.",
        fabric="stockinette in the round",
    ),
    "socks": Made(
        numbers=socks,
        pair=True,
        notions=(*_ROUND, "smooth waste yarn"),
        summary="A pair of socks from the cuff down, with a heel flap, a gusset and a star toe.",
        fabric="stockinette in the round",
    ),
    "scarf": Made(
        numbers=scarf,
        notions=_ROUND[1:],
        summary="A ribbed scarf that looks the same on both sides.",
    ),
    "cowl": Made(
        numbers=cowl,
        notions=_ROUND,
        summary="A cowl in the round, with a ribbed edge above and below.",
        fabric="stockinette in the round",
    ),
    "shawl": Made(
        numbers=shawl,
        notions=_ROUND,
        summary="A triangular shawl that grows from the middle of the neck.",
    ),
    "crochet hat": Made(
        numbers=crochet_hat,
        notions=_ROUND[1:],
        summary="One hat crocheted sideways in ribs, sewn and gathered at the top.",
        craft="crochet",
        fabric="single crochet in the back loop",
        gauge="16 x 17 to 10 cm",
        tool="5 mm",
    ),
    "crochet scarf": Made(
        numbers=crochet_scarf,
        notions=_ROUND[1:],
        summary="A scarf in double crochet, to and fro.",
        craft="crochet",
        fabric="double crochet",
        gauge="14 x 8 to 10 cm",
        tool="5 mm",
    ),
    "crochet cowl": Made(
        numbers=crochet_cowl,
        notions=_ROUND[1:],
        summary="A cowl in half double crochet, round and round.",
        craft="crochet",
        fabric="half double crochet",
        gauge="14 x 11 to 10 cm",
        tool="5 mm",
    ),
    "crochet square": Made(
        numbers=crochet_square,
        notions=_ROUND[1:],
        summary="One large square of clusters, from the middle outwards.",
        craft="crochet",
        fabric="double crochet",
        gauge="14 x 8 to 10 cm",
        tool="5 mm",
    ),
}
