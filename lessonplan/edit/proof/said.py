"""A quantity where it was said: the words around it, its clause, and the cues that stand near it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import CUES, Planned
from lessonplan.edit.speech.quantities import Quantity

CUED = {cue: re.compile(words) for cue, words in CUES.items()}
"""The words of each cue, to be searched."""


class Said:
    """A quantity where it was said: the words of its segment, what holds there, and the quantities around it.

    ``about`` are the words around it, ``#`` in the place of the number, words of its unit kept.
    """

    def __init__(self, one: Quantity, words: Sequence[str], holds: Holds, others: Sequence[Quantity]) -> None:
        self.one, self.words, self.holds, self.others = one, words, holds, others
        self.named: list[Planned] | None = None
        self._cued: dict[str, bool] = {}
        self._near: dict[tuple[int, int], str] = {}
        self.about = self.near(7, 6)

    def near(self, before: int, after: int) -> str:
        """So many words before and after it, as in ``about``."""
        found = self._near.get((before, after))
        if found is None:
            one, words = self.one, self.words
            found = " ".join(
                (*words[max(0, one.first - before) : one.first], "#", *words[one.number.end : one.end + after])
            )
            self._near[before, after] = found
        return found

    def cued(self, cue: str) -> bool:
        """Whether words of a cue stand near it; those of a gauge reach far."""
        if cue not in self._cued:
            far = cue == "gauge" and re.search(r"\bgauge\b", self.near(16, 0)) is not None
            self._cued[cue] = far or (cue in CUES and CUED[cue].search(self.about) is not None)
        return self._cued[cue]

    def clause(self, reach: int = 6) -> str:
        """The words near it, ``reach`` before it at most, that belong to no other number."""
        one, words = self.one, self.words
        same = [other for other in self.others if other.unit == one.unit or (other.bare and other.value >= 4)]
        start = max([other.end for other in same if other.end <= one.first], default=0)
        end = min([other.first for other in same if other.first >= one.end], default=len(words))
        before = words[max(start, one.first - reach) : one.first]
        if (
            start > one.first - reach - 8 and "and" in before
        ):  # what stands before the “and” belongs to the number before it
            before = before[len(before) - [*reversed(before)].index("and") :]
        if "so" in before:
            before = before[len(before) - [*reversed(before)].index("so") :]
        after = words[one.end : min(end, one.end + 7)]
        if "if" in after:
            after = after[: [*after].index("if")]  # “forty five, if you started with forty four”
        if end < len(words) and end <= one.end + 6 and "and" in after:
            after = after[: [*after].index("and")]
        return " ".join([*before, "#", *after])
