"""Shapings at both edges in the same rows: `dec at armhole edge every row, AT THE SAME TIME at neck edge ...`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lessonplan.printed.heading import value
from lessonplan.printed.tree import Even, Line, Part, Rows, Shape, Step


@dataclass(frozen=True, slots=True)
class Timed:
    """A shaping in the rows `first`, `first + every` ... `last` (0-based), or without end `until` so many stitches."""

    shape: Shape
    first: int
    every: int
    last: int
    until: int | None
    open_: bool = False
    """Whether print does not say how often: as long as the shapings beside it go."""

    def falls_on(self, row: int) -> bool:
        """Whether it is worked in a row."""
        in_time = row >= self.first and (self.until is not None or row <= self.last)
        return in_time and (row - self.first) % self.every == 0


def lasts_as_long(shape: Shape) -> bool:
    """Whether a shaping beside others is not told how often: `at the same time dec 1 st on every foll 4th row`."""
    spell = shape.spells[0]
    return shape.meanwhile and len(shape.spells) == 1 and spell.times is None and spell.until is None


def shapings_together(parts: Sequence[Part]) -> tuple[Shape, ...]:
    """The shapings of a line that are worked in the same rows; () if there are none."""
    shapes = tuple(part for part in parts if isinstance(part, Shape) and part.where in ("start", "end", "each"))
    return shapes if len(shapes) > 1 and any(shape.meanwhile for shape in shapes[1:]) else ()


def streams(shapes: Sequence[Shape]) -> list[list[Shape]]:
    """Shapings that follow one another, each lot beside the others; two at one edge are put at the two ends."""
    found: list[list[Shape]] = []
    for shape in shapes:
        if not found or (shape.meanwhile and shape is not shapes[0]):
            found.append([])
        edge = "end" if len(found) > 1 and shape.where == "start" else shape.where
        found[-1].append(replace(shape, where=edge))
    return found


def timed(stream: Sequence[Shape], size: int) -> Iterator[Timed]:
    """The rows of shapings that follow one another; every other row keeps to its side of the work."""
    row = 0
    for shape in stream:
        for spell in shape.spells:
            every = max(1, value(spell.every, size))
            row += row % 2 if every % 2 == 0 else 0
            open_ = len(stream) == 1 and lasts_as_long(shape)
            row += value(spell.first, size) if spell.first else every - 1 if open_ else 0
            times = value(spell.times.count, size) if spell.times else 1
            until = None if spell.until is None else value(spell.until, size)
            last = row + (times - 1) * every
            yield Timed(shape=shape, first=row, every=every, last=last, until=until, open_=open_)
            row += times * every


def merged(rows: Sequence[Line]) -> Line:
    """Rows that shape at their ends, as one."""
    first: tuple[Step, ...] = ()
    last: tuple[Step, ...] = ()
    kept = 0
    fill: Even | None = None
    for line in rows:
        part = line.parts[0]
        assert isinstance(part, Rows)
        at = next(place for place, step in enumerate(part.steps) if isinstance(step, Even))
        even = part.steps[at]
        assert isinstance(even, Even)
        first, last = (*first, *part.steps[:at]), (*part.steps[at + 1 :], *last)
        kept, fill = kept + even.to.short[0], even
    assert fill is not None
    whole = replace(fill, to=replace(fill.to, short=(kept,)))
    part = rows[0].parts[0]
    assert isinstance(part, Rows)
    return replace(rows[0], parts=(replace(part, steps=(*first, whole, *last)),))
