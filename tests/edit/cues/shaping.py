"""A pattern with two shaped rounds, whose stitches are counted in the head."""

from __future__ import annotations

PATTERN = """\
title: Ring cowl
gauge: {stitches: 20, rounds: 28, needle: 5 mm}
needles: 5 mm
yarns:
  MC: {name: Plain wool, colour: red, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 20
  body:
    title: Body
    after: edge
    short: leave out rounds 2 to 3
    works:
      - rounds: 4
        lines: Knit
      - lines:
          - "[K3, k2tog] 4 times"
          - "[K2, k2tog] 4 times"
      - rounds: 2
        lines: Knit
"""
"""Rounds 1 to 4 are plain; 5 leaves 20 - 4 = 16 stitches, 6 leaves 12; 7 and 8 are plain."""
