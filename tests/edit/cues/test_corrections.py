"""Corrections at a second that an erratum names: on the cut's clock, and on that of a video that runs otherwise."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.editor import editor_view
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.cues.onscreen import Cue
from lessonplan.edit.timing import shot_times
from lessonplan.planning.worked import Plan
from tests.publish.test_obstacles import READY
from tests.small_course import write_course

ERRATUM = """\
errata:
  - {found: 2027-05-01, by: Tove, where: episode 1 at %s, said: nine, right: "{{ body.rounds }} rounds"}
"""
SLOWER = {"00:45": "01:45", "01:05": "02:05", "01:20": "02:40", "01:40": "03:00"}


def laid(folder: Path, at: str, captions: str = "") -> tuple[Plan, list[Cue]]:
    (folder / "captions").mkdir()
    files = {**READY, "captions/01-all.vtt": captions, "errata.yaml": ERRATUM % at}
    plan = lessonplan.plan(write_course(folder, files)).plan
    assert plan is not None
    return plan, [cue for cue in episode_cues(plan, 1).laid.cues if cue.wanted.kind == "correction"]


@pytest.mark.parametrize(("at", "start"), [("0:30", 30_000), ("1:05", 65_000)])
def test_it_stands_at_its_second(tmp_path: Path, at: str, start: int) -> None:
    plan, (cue,) = laid(tmp_path, at)
    assert (cue.start, cue.text) == (start, "10 rounds")
    (overlay,) = editor_view(plan, plan.course.episodes[0]).corrections
    assert overlay.do.startswith(f"Lay it over from {at} to ")
    assert f", in {cue.wanted.shot}" in overlay.do


def test_in_a_video_that_runs_otherwise_it_is_as_far_into_its_segment(tmp_path: Path) -> None:
    """The captions begin the body at 1:45 and the end at 2:40, so 1:56 is a fifth of the body."""
    captions = re.sub("|".join(SLOWER), lambda found: SLOWER[found[0]], READY["captions/01-all.vtt"])
    plan, (cue,) = laid(tmp_path, "1:56", captions)
    body = shot_times(plan, 1)[1]
    assert body.number.segment == "1.2"
    assert cue.start == pytest.approx(body.start + body.length / 5, abs=20)
    assert cue.wanted.belongs == "about 1:56, which the erratum names in the video"


def test_behind_the_end_nothing_is_laid(tmp_path: Path) -> None:
    plan, cues = laid(tmp_path, "9:00")
    assert cues == []
    (overlay,) = editor_view(plan, plan.course.episodes[0]).corrections
    assert overlay.do == ("Lay it over by hand at 9:00 in the video: the timeline has no such time, nor any cue file.")
