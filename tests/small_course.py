"""Small courses written inside a test: a dict of file name to text, laid over one that is complete and right."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from textwrap import dedent

COURSE = """\
title: Ring cowl
host: Ada Example
shoot:
  - day: 2027-03-06
    call: 9:00
    wrap: 17:00
    films: [1]
"""
PATTERN = """\
title: Ring cowl
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 40
        join: yes
      - rounds: 4
        lines: "*K1, p1; rep from * to end"
  body:
    title: Body
    after: edge
    works:
      - rounds: 10
        lines: "Knit"
      - bind_off: all
"""
EPISODE = """\
episode: 1
title: All of it
segments:
  - title: The edge
    shots:
      - view: overhead
        pieces:
          - needs: before edge
            leaves: edge round 1
        hands:
          - work: "k1, p1"
        say: We cast on {{ edge.cast_on }} stitches.
        on_screen: [Then the body]
"""


def write_course(folder: Path, files: Mapping[str, str] | None = None) -> Path:
    """Write the complete small course with some files replaced; an empty text leaves a file out."""
    every = {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE, **(files or {})}
    for name, text in every.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if text:
            path.write_text(dedent(text), encoding="utf-8")
    return folder
