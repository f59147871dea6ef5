"""What a view of a printed paper holds besides plain values: drawings, Markdown and square codes, by what they show."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.samples.choice import State


@dataclass(frozen=True, slots=True)
class Drawn:
    """The drawing of a piece in a state, as it is worked in its kind: small, all of a course on one scale, or large."""

    state: State
    kind: str
    title: str
    large: bool = False


@dataclass(frozen=True, slots=True)
class Marked:
    """A text of the course with Markdown in it."""

    text: str


@dataclass(frozen=True, slots=True)
class Code:
    """A square code (ISO/IEC 18004) that holds a short text and nothing else."""

    text: str
