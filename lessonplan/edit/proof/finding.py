"""One thing that proofing found: what was said, where, what holds there, and how it is known again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "disagrees",
    "wrong unit",
    "unplanned number",
    "swapped words",
    "took it back",
    "said of the sample only",
    "never said",
    "said twice",
]
KINDS: tuple[Kind, ...] = Kind.__args__  # type: ignore[attr-defined]
"""Every kind of finding."""


@dataclass(frozen=True, slots=True)
class Finding:
    """A finding: its kind, the segment, when (s), what was said, in which words, and what holds there instead.

    ``right`` is worded; ``fact`` names the fact that it comes from, where one does. ``first`` is its first token.
    """

    kind: Kind
    segment: str
    start: float
    said: str
    context: str
    right: str = ""
    fact: str = ""
    first: int = 0

    @property
    def key(self) -> tuple[str, str, str]:
        """By this a finding is known again, whenever it was said: kind, segment, and the words around it."""
        return self.kind, self.segment, self.context
