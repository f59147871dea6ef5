"""A small course whose times can be worked out in the head.

Nobody speaks, every shot is only held, nothing is reset: a shot held for h minutes and taken once is h, h or 2 h long
(one take, one take, one more than planned), so it takes (h + 4 h + 2 h) / 6 = 7/6 h on the floor, with a deviation of
(2 h - h) / 6. Held for 6 minutes it takes 7, with a deviation of one.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import lessonplan
from lessonplan.planning.worked import Plan
from tests.small_course import write_course

COURSE = """\
title: Ring cowl
host: Ada Example
place: The barn
pace:
  {knitting: 20, set_up: 15 min, view_change: 5 min, tray_change: 10 min, swap: 0 s, reset: 0 s, opening: 0 s}
techniques: {CO: 1}
shoot:
  - day: 2027-03-06
    call: 9:00
    wrap: 17:00
    place: upstairs
    films: [1]
"""
PATTERN = """\
title: Ring cowl
gauge: {stitches: 20, rounds: 28}
needles: 5 mm
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 110
  body:
    title: Body
    after: edge
    works:
      - rounds: 10
        lines: Knit
      - bind_off: all
"""
"""The edge takes 110 / 20 + 1.5 (to begin) = 7 minutes, each round of the body 110 / 20 + 0.05 = 5.55."""


def shot(view: str, hold: str = "6 min", **more: str) -> str:
    """One shot of an episode file, held so long and taken once unless said otherwise."""
    lines = {"view": view, "hold": hold, "takes": "1"} | more
    return "      - " + "\n        ".join(f"{key}: {value}" for key, value in lines.items()) + "\n"


def episode(*segments: tuple[str, ...], number: int = 1) -> str:
    """An episode file of segments, each given by its shots; they are named A, B, C, ..."""
    head = f"episode: {number}\ntitle: All of it\nsegments:\n"
    return head + "".join(f"  - title: {chr(65 + i)}\n    shots:\n{''.join(shots)}" for i, shots in enumerate(segments))


def plan(folder: Path, episode_text: str, course: str = COURSE, files: Mapping[str, str] | None = None) -> Plan:
    """Plan the course with this episode."""
    every = {"course.yaml": course, "pattern.yaml": PATTERN, "episodes/01.yaml": episode_text, **(files or {})}
    result = lessonplan.plan(write_course(folder, every))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan
