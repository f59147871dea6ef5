"""For whom things are knitted: body sizes as published, each row of the table with its source."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.craft import tables
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
