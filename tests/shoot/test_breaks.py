"""Hands in breaks: nobody's, unless the day says that helpers take their own breaks at other times."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.documents.timed import COURSE, episode, plan, shot


@pytest.mark.parametrize(("key", "hands"), [("", 0.0), ("\n    knits_in_breaks: yes", 90.0)])
def test_who_knits_at_lunch(tmp_path: Path, key: str, hands: float) -> None:
    # Two helpers, 45 minutes of lunch between two shots: 90 minutes of work if both go on, and none of the host's.
    day = f"place: upstairs\n    helpers: Ida and Bo\n    lunch: 9:20 for 45 min{key}"
    made = plan(tmp_path, episode((shot("above"), shot("above"))), COURSE.replace("place: upstairs", day))
    breaks = [slot for slot in made.worked.slots if slot.what == "break"]
    assert [(slot.clock, slot.hands) for slot in breaks] == [(45.0, hands)]
