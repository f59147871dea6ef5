"""Rounds that are said to be done over a piece that has fewer of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.edit.problems import shown_short
from tests.documents import timed

SAY = """\
episode: 1
title: All
segments:
  - title: A
    shots:
      - view: overhead
        pieces: [{PIECE}]
        say: |
          Look at this.
          SAID
"""


@pytest.mark.parametrize(
    ("piece", "said", "told"),
    [
        ("needs: body round 4", "After {{ body.rounds }} rounds the tube is there.", "After 10 rounds 4"),
        ("needs: body round 4", "After five rounds you see the edge.", "After 5 rounds 4"),
        ("needs: body round 4", "After four rounds you see the edge.", ""),
        ("needs: body round 4, leaves: body round 5", "After five rounds you see the edge.", ""),
        ("needs: body round 4", "After {{ body.rounds }} rounds the tube will be there.", ""),
        ("needs: body round 4", "Knit. After {{ body.rounds }} rounds bind off.", ""),
        ("needs: body round 10", "After {{ body.rounds }} rounds the tube is there.", ""),
        ("needs: finished", "After {{ body.rounds }} rounds the tube is there.", ""),
    ],
)
def test_rounds_said_to_be_done_are_there(tmp_path: Path, piece: str, said: str, told: str) -> None:
    """The body has ten rounds; what is told for later, or of a piece that has them all, is no remark."""
    text = SAY.replace("PIECE", piece).replace("SAID", said)
    found = [*shown_short(timed.plan(tmp_path, text))]
    lines = [text.splitlines()[one.where.line - 1][one.where.column - 1 :] for one in found]
    if not told:
        assert found == []
        return
    count, done = told.rsplit(" ", 1)
    has = f"what lies there has {done} of the 10 of “Body”."
    assert [one.message for one in found] == [f"“{count}” is said in 1.1.1, and {has}"]
    assert lines == [said]
