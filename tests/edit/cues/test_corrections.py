"""Corrections at a second that an erratum names: on the cut's clock, and on that of a video that runs otherwise."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.editor import editor_view
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.cues.onscreen import LATER, Cue
from lessonplan.edit.timing import shot_times
from lessonplan.edit.video import in_video, shot_at
from lessonplan.planning.worked import Plan
from tests.edit import told
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


def test_in_a_video_that_runs_otherwise_it_is_between_the_same_words(tmp_path: Path) -> None:
    """The captions begin the body at 1:45 and the end at 2:40: what lies at 1:56 of them is laid where 1:56 lies."""
    captions = re.sub("|".join(SLOWER), lambda found: SLOWER[found[0]], READY["captions/01-all.vtt"])
    plan, (cue,) = laid(tmp_path, "1:56", captions)
    body = shot_times(plan, 1)[1]
    assert body.number.segment == "1.2"
    assert body.start < cue.start < body.end
    there = in_video(plan, body.number, cue.start)
    assert there is not None
    assert there.second == pytest.approx(116, abs=0.1)
    assert cue.wanted.belongs == "about 1:56, which the erratum names in the video"


AT_2_03 = """\
errata:
  - {found: 2027-05-01, by: Tove, where: "episode 1, segment 1.2, at 2:03", said: tight, right: loosely}
"""


def told_late(folder: Path) -> Plan:
    """The second segment has two shots; in the video 30 s of other talk stand between their words.

    Its words begin at 1:20, 21 of them are heard in 10.5 s, so those of the second shot begin at 2:00.5, and 2:03 is
    among them. The third segment begins at 3:20.
    """
    words, other = told.TAIL.split(), " ".join(f"w{place}" for place in range(60))
    video = told.captions((5, told.WOOL), (80, " ".join([*words[:21], other, *words[21:]])), (200, told.BATH))
    return told.plan_of(folder, video, errata=AT_2_03, shots=(1, 2, 1))


def test_it_is_laid_over_the_shot_that_runs_at_its_second(tmp_path: Path) -> None:
    """By the length of its segment 2:03 would be a third of it, and so in the first of its shots."""
    plan = told_late(tmp_path)
    (cue,) = (cue for cue in episode_cues(plan, 1).laid.cues if cue.wanted.kind == "correction")
    assert cue.wanted.shot == "1.2.2" == shot_at(plan, 1, 123)
    time = next(one for one in shot_times(plan, 1) if one.number == "1.2.2")
    assert cue.start == pytest.approx(time.start + 1000 * (123 - 120.5), abs=1600)
    (overlay,) = editor_view(plan, plan.course.episodes[0]).corrections
    assert overlay.do.startswith("Lay it over from 2:03 to ")
    assert ", in 1.2.2" in overlay.do


def test_behind_the_end_nothing_is_laid(tmp_path: Path) -> None:
    plan, cues = laid(tmp_path, "9:00")
    assert cues == []
    (overlay,) = editor_view(plan, plan.course.episodes[0]).corrections
    assert overlay.do == ("Lay it over by hand at 9:00 in the video: the timeline has no such time, nor any cue file.")


FACT = """\
errata:
  - {found: 2027-05-01, by: Tove, where: "episode 2 at 2:21", said: forty six stitches,
     right: "{{ gusset.round_1.stitches }} stitches"}
"""


def test_no_text_right_behind_a_correction_says_its_fact_again(root: Path, tmp_path: Path) -> None:
    """Without the erratum the host's own text has that count at 2:21; with it that would come at 2:25."""
    shutil.copytree(root / "sample_course", tmp_path / "course", ignore=shutil.ignore_patterns("out"))
    (tmp_path / "course" / "errata.yaml").write_text(FACT, "utf-8")
    plan = lessonplan.plan(tmp_path / "course").plan
    assert plan is not None
    cues = episode_cues(plan, 2).laid.cues
    (cue,) = (cue for cue in cues if cue.wanted.kind == "correction")
    assert cue.text.replace("\N{NO-BREAK SPACE}", " ") == "Small (Medium, Large): 41 (45, 49) stitches"
    count = cue.text.partition(": ")[2]
    assert [one for one in cues if count in one.text and abs(one.start - cue.start) < LATER] == [cue]
