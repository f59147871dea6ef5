"""A second reading of the knitters' rules, slow and plain: evening by evening, every order, every assignment.

It shares nothing with the calendar: a knitter is a share of minutes, a first day and days away; a piece is minutes for
each knitter and a day. What is asked of it is small, so it can afford to try everything.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

FAR = 400
NEVER = 10**7
"""The day of what is left over when the evenings give out."""


@dataclass(frozen=True)
class Knitter:
    share: int
    starts: int
    away: tuple[tuple[int, int], ...] = ()

    def evenings(self) -> Iterator[int]:
        """Days on which there is an evening's knitting, one after another."""
        for day in range(self.starts, FAR):
            if not any(first <= day <= last for first, last in self.away):
                yield day


@dataclass(frozen=True)
class Piece:
    minutes: tuple[int | None, ...]
    by: int


def ends(minutes: Sequence[int], knitter: Knitter) -> list[int]:
    """The evening on which each of some pieces, knitted one after another, is done."""
    days, done = knitter.evenings(), []
    today, left = next(days, NEVER), knitter.share
    for todo in minutes:
        while todo > 0:
            if not left:
                today, left = next(days, NEVER), knitter.share
            sat = min(todo, left)
            todo, left = todo - sat, left - sat
        done.append(today)
    return done


@cache
def least_late(mine: tuple[tuple[int, int], ...], knitter: Knitter) -> int:
    """Fewest days late in sum over all orders of one knitter's pieces (minutes, by)."""
    return min(
        sum(max(0, end - by) for end, (_, by) in zip(ends([m for m, _ in order], knitter), order, strict=True))
        for order in itertools.permutations(mine)
    )


def ways(pieces: Sequence[Piece], knitters: int) -> Iterator[tuple[int, ...]]:
    """Every way to give every piece to a knitter who can knit it."""
    for who in itertools.product(range(knitters), repeat=len(pieces)):
        if all(piece.minutes[p] is not None for piece, p in zip(pieces, who, strict=True)):
            yield who


def late(who: Sequence[int], pieces: Sequence[Piece], knitters: Sequence[Knitter], start: int = 0) -> int:
    """Fewest days late in sum for one way, when nobody knits before a day."""
    total = 0
    for p, knitter in enumerate(knitters):
        mine = tuple((piece.minutes[p] or 0, piece.by) for piece, q in zip(pieces, who, strict=True) if q == p)
        total += least_late(mine, replace(knitter, starts=max(start, knitter.starts))) if mine else 0
    return total


def latest_start(who: Sequence[int], pieces: Sequence[Piece], knitters: Sequence[Knitter]) -> int:
    """The last day before which nobody need knit, for a way in which nothing is late."""
    first = min(knitter.starts for knitter in knitters)
    last = max(piece.by for piece in pieces)
    return max(day for day in range(first, last + 1) if not late(who, pieces, knitters, day))


def unevenness(who: Sequence[int], pieces: Sequence[Piece], knitters: Sequence[Knitter], start: int) -> float:
    """Twice the greatest load less the least, in days of each one's share, of who has an evening and could knit."""
    last = max(piece.by for piece in pieces)
    loads = [
        sum(piece.minutes[p] or 0 for piece, q in zip(pieces, who, strict=True) if q == p) / knitter.share
        for p, knitter in enumerate(knitters)
        if any(start <= day <= last for day in knitter.evenings())
        and any(piece.minutes[p] is not None for piece in pieces)
    ]
    return 2 * max(loads) - min(loads) if loads else 0.0


def made_up(seed: int, tight: bool) -> tuple[list[Piece], list[Knitter]]:
    """One to five pieces and one to three knitters, days away now and then, and who cannot knit a piece.

    With time enough some knit only until a day, and then no more.
    """
    rng = random.Random(seed)
    knitters = []
    for _ in range(rng.randint(1, 3)):
        away = []
        for _ in range(rng.choice((0, 0, 1, 2))):
            first = rng.randint(1, 14)
            away.append((first, first + rng.randint(0, 4)))
        if not tight and rng.random() < 0.3:
            away.append((rng.randint(8, 24), FAR))
        knitters.append(Knitter(rng.randint(10, 60), rng.randint(1, 6), tuple(away)))
    pieces = []
    for _ in range(rng.randint(1, 5)):
        minutes: list[int | None] = [rng.randint(5, 150) for _ in knitters]
        if len(knitters) > 1 and rng.random() < 0.2:
            minutes[rng.randrange(len(knitters))] = None
        pieces.append(Piece(tuple(minutes), rng.randint(1, 9) if tight else rng.randint(10, 30)))
    return pieces, knitters
