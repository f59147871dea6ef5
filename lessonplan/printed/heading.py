"""The label of a printed line, `Rounds 4-12:`, and numbers as print gives them: one for all sizes or one for each."""

from __future__ import annotations

from dataclasses import dataclass, replace

Num = tuple[int, ...]


def value(number: Num, size: int) -> int:
    """The number for a 0-based size."""
    return number[size if len(number) > 1 else 0]


@dataclass(frozen=True, slots=True)
class Label:
    """`Rounds 4-12`, `Row 2 and all WS rows`: kind "round", "row" or ""; numbers, side, and a printed name.

    `also` is "ws", "rs", "even", "odd" or "" for "and all WS rows" and its like; `count` is N in "Next N rounds";
    `needles` are those that "Needles 1 and 3" names; `only` the 1-based sizes that the line is for, () for all;
    `star` the asterisks at its beginning, from which lines are repeated later; `upto` the last number in each size,
    where `Rows 3-8 (9, 9, 10)` are meant.
    """

    kind: str = ""
    first: int = 0
    last: int = 0
    side: str = ""
    numbers: tuple[int, ...] = ()
    also: str = ""
    name: str = ""
    count: Num = (1,)
    needles: tuple[int, ...] = ()
    only: tuple[int, ...] = ()
    star: str = ""
    upto: Num = ()

    def in_size(self, size: int) -> Label:
        """The label with its numbers for a 0-based size; a size that has none of them is left out."""
        if len(self.upto) < 2:
            return self
        if (last := value(self.upto, size)) < self.first:
            return replace(self, only=tuple(n for n in range(1, len(self.upto) + 1) if n != size + 1))
        return replace(self, numbers=tuple(range(self.first, last + 1)), last=last)
