"""What is on the needles between rounds, and what is said when a line does not fit it."""

from __future__ import annotations

from dataclasses import dataclass

Marker = tuple[int, str]
TURNED = "\N{LEFTWARDS ARROW}"
"""Name of the mark that a turn in the middle of a row leaves in the work."""
WAITING = "\N{HOURGLASS}"
"""Name of the stitches that stay on the needle while others of a round are worked back and forth."""


@dataclass(frozen=True, slots=True)
class Needle:
    """What is on the needles between rounds, for one size.

    `markers`: (stitches before it, name), counted from where the next row starts at the edge; "" is an unnamed one.
    `held`: (name, stitches) on waste yarn, oldest first. `flat`: worked in rows and turned, else in rounds.
    `behind`: stitches that the next row does not start with, because the last one was turned before its end.
    `turns`: where earlier rows were turned, in stitches from the edge. `side`: RS or WS faces in the next row.
    `colour`: the yarn in use, "" if none was named. `back`: a round is being worked backwards in short rows.
    `spaces`: how many chains each space in the last round of crochet has, `spaced` the stitches before each of them.
    `gaps`: the stitches before each place without chains where a group of crochet begins or ends, and whether there
    are several stitches on both sides of it.
    `foundation`: nothing but a crocheted chain. `counted`: the count printed after the last round, where it says that
    chains are among it, or slip stitches are not. `blurred`: the last round was not read, so that nobody knows its
    spaces. `chained`: chains at the end of the last row, which the next one may be worked into. `marked`: a marker was
    placed at the end of a round as others were in it: `k20, pm, k12, pm`.
    """

    stitches: int
    markers: tuple[Marker, ...] = ()
    held: tuple[tuple[str, int], ...] = ()
    flat: bool = False
    behind: int = 0
    turns: tuple[int, ...] = ()
    side: str = "RS"
    colour: str = ""
    back: bool = False
    spaces: tuple[int, ...] = ()
    spaced: tuple[int, ...] = ()
    gaps: tuple[tuple[int, bool], ...] = ()
    foundation: bool = False
    counted: int | None = None
    blurred: bool = False
    chained: int = 0
    marked: bool = False

    @property
    def told(self) -> int:
        """The stitches as they are counted in print."""
        return self.stitches if self.counted is None else self.counted


class WorkError(Exception):
    """A line that does not fit the stitches: one sentence, and a 1-based column in the text as written.

    `kind` is "misfit" (it cannot be worked), "disagrees" (it can, but gives another count than printed; `needle` is
    what it gives), "ambiguous", or "follows" (it depends on a line that could not be read).
    """

    def __init__(self, sentence: str, column: int = 1, kind: str = "misfit", needle: Needle | None = None) -> None:
        super().__init__(f"column {column}: {sentence}")
        self.sentence = sentence
        self.column = column
        self.kind = kind
        self.needle = needle


class FitError(Exception):
    """A `WorkError` in the making, with a place in the text."""

    def __init__(self, sentence: str, at: int, kind: str = "misfit") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.at = at
        self.kind = kind


def stitches(count: int) -> str:
    """`1 stitch`, `2 stitches`."""
    return f"{count} stitch" if count == 1 else f"{count} stitches"
