"""The clock between appearances: which minutes there are, for one piece and for all hands in sum.

Slots alternate: slot 2j is shot j, slot 2j + 1 the pause after it. A piece that leaves shot i and enters
shot j can be knitted on in the slots 2i + 1 ... 2j - 1. Knitting may be broken off and shared out over slots
as one likes; in each slot a piece takes no more than the clock gives, and all pieces together no more than
the hands give. Within a slot such a share can always be carried out by the hands in turn (McNaughton's
wrap-around rule, Management Science 6, 1959). Drying counts slot-wise too: the knitting and the drying of a
piece between two shots together take no more clock minutes than there are between them; the order of
the two within that time is not looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lessonplan.samples.problem import Pause, Shot

SLACK = 1e-9
"""Minutes that do not count: sums of minutes are compared with this tolerance."""


@dataclass(frozen=True, slots=True)
class Timeline:
    """One entry for each slot, in minutes: ``clock``, ``hands`` in sum, ``waiting`` at most.

    ``knit_until`` and ``clock_until`` have one entry more: what one piece alone could be knitted, and the
    clock minutes, from the beginning to before that slot, the camera waiting wherever it may.
    """

    clock: tuple[float, ...]
    hands: tuple[float, ...]
    waiting: tuple[float, ...]
    knit_until: tuple[float, ...]
    clock_until: tuple[float, ...]

    def fits(self, first: int, stop: int, knitting: float, drying: float) -> bool:
        """Whether a piece alone could be knitted on and dried in the slots ``first`` ... ``stop`` - 1."""
        if knitting > self.knit_until[stop] - self.knit_until[first] + SLACK:
            return False
        return knitting + drying <= self.clock_until[stop] - self.clock_until[first] + SLACK


def timeline(shots: Sequence[Shot], pauses: Sequence[Pause]) -> Timeline:
    """The slots of a shoot; the pause after the last shot is left out."""
    clock: list[float] = []
    hands: list[float] = []
    waiting: list[float] = []
    for index, shot in enumerate(shots):
        clock.append(float(shot.minutes))
        hands.append(float(shot.minutes * shot.helpers))
        waiting.append(0.0)
        if index < len(shots) - 1:
            clock.append(float(pauses[index].minutes))
            hands.append(float(pauses[index].hands))
            waiting.append(float(pauses[index].waiting))
    knit, clocks = [0.0], [0.0]
    for tick, able, wait in zip(clock, hands, waiting, strict=True):
        knit.append(knit[-1] + min(tick, able) + wait)
        clocks.append(clocks[-1] + tick + wait)
    return Timeline(tuple(clock), tuple(hands), tuple(waiting), tuple(knit), tuple(clocks))
