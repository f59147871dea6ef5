"""Which round of the pattern a shot works: by hand, on a small mitten whose rounds are counted in the head."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.edit.cues.rounds import rounds_here
from tests.documents import timed
from tests.edit.cues.shaping import PATTERN


@pytest.mark.parametrize(
    ("piece", "work", "rounds"),
    [
        ("needs: body round 4", "K3, k2tog", ("body", 5, 5)),
        ("needs: body round 5", "K2, k2tog", ("body", 6, 6)),
        ("needs: body round 4", "K3", None),  # plain stitches may be of any round
        ("needs: body round 6", "K3", ("body", 7, 7)),  # but the next one has no others
        ("needs: body round 5", "K3, ssk", None),  # no ssk in that round
        ("needs: edge", "K4", ("body", 1, 1)),
        ("needs: body", "K4", None),  # nothing is left to work
        ("needs: body round 1, leaves: body round 4", "K4", ("body", 2, 4)),
        ("needs: body round 4, kinds: short", "K3, k2tog", ("body", 5, 5)),  # its third round: the fifth of a full one
    ],
)
def test_the_round_of_a_shot(tmp_path: Path, piece: str, work: str, rounds: tuple[str, int, int] | None) -> None:
    shots = timed.shot("close", pieces=f"[{{{piece}}}]", hands=f'[{{work: "{work}"}}]', shows="all")
    plan = timed.plan(tmp_path, timed.episode((shots,)), files={"pattern.yaml": PATTERN})
    found = rounds_here(plan, next(plan.course.shots()).number)
    assert (found and (found.stage, found.first, found.last)) == rounds
