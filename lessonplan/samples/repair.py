"""A quick search for an assignment that fits, so that the exact program is asked only where it is needed.

It proves nothing when it fails. It shifts one piece or swaps two, always the move that leaves the fewest minutes
too many, and makes a few moves at random (from a fixed seed) where no single one helps.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lessonplan.samples.hands import Hands, Work

ROUNDS = 250
KICK = 3
_NEVER = 10**12

Ints = NDArray[np.int64]


def repair(
    who: Sequence[int],
    by: Sequence[int],
    works: Sequence[Work],
    hands: Sequence[Hands],
    top: Sequence[int] | None = None,
) -> list[int] | None:
    """Give who does what so that every piece is done by its day, starting from ``who``; None when none was found.

    ``top``: minutes that each person's pieces may take in all.
    """
    found, excess = closest(who, by, works, hands, top)
    return None if excess else found


def closest(
    who: Sequence[int],
    by: Sequence[int],
    works: Sequence[Work],
    hands: Sequence[Hands],
    top: Sequence[int] | None = None,
) -> tuple[list[int], int]:
    """The assignment with the fewest minutes too many that was met, and those minutes (0: it fits)."""
    return _Search(who, by, works, hands, top).run()


class _Search:
    """Loads are cumulative: one number for each person and each day to be done by."""

    def __init__(
        self,
        who: Sequence[int],
        by: Sequence[int],
        works: Sequence[Work],
        hands: Sequence[Hands],
        top: Sequence[int] | None,
    ) -> None:
        events = sorted(set(by))
        self.counts: Ints = np.array([[day <= event for event in events] for day in by], dtype=np.int64)
        self.minutes: Ints = np.array(
            [[_NEVER if m is None else m for m in work.minutes] for work in works], dtype=np.int64
        )
        self.room: Ints = np.array(
            [[hand.minutes(hand.starts, event) for event in events] for hand in hands], dtype=np.int64
        )
        if top is not None:
            self.room = np.minimum(self.room, np.array(top, dtype=np.int64)[:, None])
        self.who: Ints = np.array(who, dtype=np.int64)
        self.random = random.Random(7)

    def load(self, person: int) -> Ints:
        """Cumulative minutes of a person."""
        mine = self.who == person
        total: Ints = (self.minutes[mine, person][:, None] * self.counts[mine]).sum(axis=0)
        return total

    def too_many(self, person: int, load: Ints) -> Any:
        """Minutes beyond the room, summed over the days to be done by; ``load`` may have leading axes."""
        return np.maximum(0, load - self.room[person]).sum(axis=-1)

    def run(self) -> tuple[list[int], int]:
        """Search until it fits or the rounds are used up."""
        least, found = _NEVER * len(self.who) * len(self.counts[0]), self.who.tolist()
        for _ in range(ROUNDS):
            loads = [self.load(p) for p in range(len(self.room))]
            wrong = [int(self.too_many(p, load)) for p, load in enumerate(loads)]
            if sum(wrong) < least:
                least, found = sum(wrong), self.who.tolist()
            if not least or len(self.room) == 1:
                break
            moves = [
                move
                for p, excess in enumerate(wrong)
                if excess
                for q in range(len(self.room))
                if q != p
                for move in self.moves(p, q, loads, wrong)
            ]
            best = min(moves, default=(0, -1, -1, -1, -1))
            if best[0] < 0:
                _, p, q, j, i = best
                self.who[j] = q
                if i >= 0:
                    self.who[i] = p
            else:
                self.kick()
        return found, least

    def moves(self, p: int, q: int, loads: list[Ints], wrong: list[int]) -> list[tuple[int, int, int, int, int]]:
        """The best shift from p to q and the best swap between them: (change, p, q, piece of p, piece of q)."""
        of_p, of_q = np.flatnonzero(self.who == p), np.flatnonzero(self.who == q)
        found = []
        p_without = loads[p] - self.minutes[of_p, p][:, None] * self.counts[of_p]
        q_with = loads[q] + self.minutes[of_p, q][:, None] * self.counts[of_p]
        before = wrong[p] + wrong[q]
        if len(of_p):
            change = self.too_many(p, p_without) + self.too_many(q, q_with) - before
            k = int(change.argmin())
            found.append((int(change[k]), p, q, int(of_p[k]), -1))
        if len(of_p) and len(of_q):
            into_p = self.minutes[of_q, p][:, None] * self.counts[of_q]
            out_of_q = self.minutes[of_q, q][:, None] * self.counts[of_q]
            new_p = self.too_many(p, p_without[:, None, :] + into_p[None, :, :])
            new_q = self.too_many(q, q_with[:, None, :] - out_of_q[None, :, :])
            both = new_p + new_q - before
            k = int(both.argmin())
            j, i = divmod(k, len(of_q))
            found.append((int(both[j, i]), p, q, int(of_p[j]), int(of_q[i])))
        return found

    def kick(self) -> None:
        """Move a few pieces to anybody who can knit them."""
        for _ in range(KICK):
            j = self.random.randrange(len(self.who))
            able = [p for p in range(len(self.room)) if self.minutes[j, p] < _NEVER]
            self.who[j] = self.random.choice(able)
