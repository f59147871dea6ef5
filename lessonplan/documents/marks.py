"""What a view of a printed paper holds besides plain values: drawings, Markdown and square codes, by what they show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from lessonplan.documents.charts import Chart
from lessonplan.samples.choice import State


@dataclass(frozen=True, slots=True)
class Drawn:
    """The drawing of a piece in a state, as it is worked in its kind: small, all of a course on one scale, or large.

    ``width`` of a large one in px: the fewer, the larger its letters on paper.
    """

    state: State
    kind: str
    title: str
    large: bool = False
    width: float = 340


@dataclass(frozen=True, slots=True)
class Schematic:
    """The drawing of the finished thing in one size (0-based), with what stands on each stage.

    ``width`` of the whole and height of the ``tallest`` thing in px: the fewer, the larger its letters on paper.
    """

    title: str
    size: int
    names: Mapping[str, str]
    width: float = 400
    tallest: float = 270


@dataclass(frozen=True, slots=True)
class Charted:
    """The drawing of a chart."""

    title: str
    chart: Chart


@dataclass(frozen=True, slots=True)
class Marked:
    """A text of the course with Markdown in it."""

    text: str


@dataclass(frozen=True, slots=True)
class Code:
    """A square code (ISO/IEC 18004) that holds a short text and nothing else."""

    text: str


def shared(view: object, of: type[Any]) -> dict[str, Any]:
    """Give what a paper has as the page for screens has it: the fields of ``of``, from a view that is one."""
    return {one.name: getattr(view, one.name) for one in fields(of)}
