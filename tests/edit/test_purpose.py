"""What hands show slowly on purpose, by what is written of them; the advice for such a shot."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.documents.editor import editor_view
from tests.documents import timed

COURSE = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, on_camera: 12, speech: 120,")


@pytest.mark.parametrize(
    ("hands", "slow"),
    [
        ("{do: lift the bar very slowly, time: 60 s}", True),
        ("{do: hold still before the next one, time: 60 s}", True),
        ("{do: knit on to the end, time: 60 s}", False),
        ('{work: "K3, ssk, k6, yo, k5"}', True),  # its steps are laid over in time with the hands
        ('{work: "[Ssk, k3] 6 times"}', False),  # once is shown, five times more are work
        ('{work: "K12, k2tog"}', False),
    ],
)
def test_what_is_slow_on_purpose_is_never_to_be_sped_up(tmp_path: Path, hands: str, slow: bool) -> None:
    shot = timed.shot("close", "0 s", say="word", hands=f"[{hands}]", shows="all")
    plan = timed.plan(tmp_path, timed.episode((shot,)), COURSE)
    ((row,),) = [one.shots for one in editor_view(plan, plan.course.episodes[0]).segments]
    assert "no words" in row.advice
    assert ("leave it, for 1.1.1" in row.advice) is slow
    assert ("times as fast" in row.advice) is not slow
