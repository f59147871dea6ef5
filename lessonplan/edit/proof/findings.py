"""What is planned and what is found: a number that holds where it is said, and one thing that proofing found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lessonplan.pattern.facts import Fact

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

    ``right`` is worded; ``fact`` names the fact that it comes from, where one does. ``place`` and ``place_end`` are
    where its words stand in a typed text.
    """

    kind: Kind
    segment: str
    start: float
    said: str
    context: str
    right: str = ""
    fact: str = ""
    place: int = 0
    place_end: int = 0


@dataclass(frozen=True, slots=True)
class Planned:
    """A number that holds: its unit, its value in each size (or one for all), what it is, and when it is meant.

    ``cue`` tells which words it goes with: cast on, held, picked up, end, start, state, total, round N, between,
    change, half, each, line, last, gauge, around, length, time, dry, text. ``fact`` names it, where it is a fact;
    ``words`` are those around it in the script.
    """

    unit: str
    values: tuple[float, ...]
    what: str
    cue: str
    fact: str = ""
    stage: str = ""
    words: frozenset[str] = frozenset()

    def at(self, size: int) -> float:
        """The value in a size (0-based)."""
        return self.values[size if len(self.values) > 1 else 0]


def of_fact(fact: Fact, unit: str, cue: str) -> Planned:
    """Make a planned number of a fact; lengths in centimetres."""
    scale = 10.0 if unit == "cm" else 1.0
    values = tuple(float(one) / scale for one in fact.values if not isinstance(one, str))
    return Planned(unit, values, fact.meaning, cue, fact.name)
