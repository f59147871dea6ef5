"""Shapings “evenly” are not guessed: the line must say where, or the pattern asks for them to be spread."""

from __future__ import annotations

import pytest

from lessonplan.needle.line import Needle
from lessonplan.needle.lines import work_lines


@pytest.mark.parametrize(
    "text",
    [
        "Dec 4 sts evenly around",
        "Decrease 4 stitches evenly across row",
        "Inc 4 sts evenly across",
        "K1, inc 6 sts evenly",
    ],
)
def test_evenly_is_refused_with_what_to_do(text: str) -> None:
    worked = work_lines([text], Needle(40))
    assert [problem.severity for problem in worked.problems] == ["error"]
    assert "write the line out" in worked.problems[0].sentence


def test_other_evenly_is_only_a_manner() -> None:
    assert work_lines(["Pick up and knit 20 sts evenly along the edge"], Needle(0)).problems == ()
