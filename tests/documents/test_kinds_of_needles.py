"""One size of needles of two kinds, how stitches are bound off, a tapestry needle, and work undone that is no round."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.floorwork import floor_jobs
from lessonplan.documents.packing import sets_kept
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.tasks import tasks_of
from lessonplan.documents.worklines import one_size
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.planning.worked import Plan
from tests.small_course import COURSE, write_course

PATTERN = """\
title: Small jacket
gauge: {stitches: 20, rounds: 28, needle: 3.75 mm}
needles: [3.75 mm circular needle, 3.25 mm circular needle for hem, 3.25 mm double-pointed needles for cuff]
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  body:
    title: Body
    works:
      - {cast_on: 40}
      - {rows: 200, lines: Knit}
  hem:
    title: Hem
    after: body
    gauge: {stitches: 21, rounds: 30, needle: 3.25 mm}
    works:
      - {rows: 4, lines: Knit}
      - {bind_off: all, method: knitwise}
  cuff:
    title: Cuff
    after: hem
    worked_on: double-pointed
    gauge: {stitches: 21, rounds: 30, needle: 3.25 mm}
    works:
      - {pick_up: 20}
      - {rounds: 6, lines: "*K1, p1; rep from * to end"}
      - {bind_off: all, method: in pattern}
  buttons:
    title: Buttons
    after: cuff
    works:
      - {minutes: 12, what: Sew on five buttons}
"""
EPISODE = """\
episode: 1
title: All
segments:
  - title: Hello
    shots:
      - {view: face, takes: 1, pieces: [{needs: finished}], tools: tapestry needle, say: Here it is with its buttons}
  - title: Hem and cuff
    shots:
      - {view: face, takes: 1, pieces: [{needs: body}], tools: smaller needle, hands: [{work: K10}], say: The hem}
      - {view: face, takes: 1, pieces: [{needs: cuff round 2}], tools: smaller dpns, hands: [{work: "K1"}], say: Rib}
  - title: Buttons
    shots:
      - {view: face, takes: 1, pieces: [{needs: cuff}], hands: [{do: sew on a button, time: 60 s}], say: Sew it on}
"""
TOOLS = """\
knitters: [{name: Marit, pace: 20, hours_per_week: 20, starts: 2027-01-01}]
tools:
  smaller needle: 3.25 mm circular, 60 cm
  smaller dpns: 3.25 mm
  tapestry needle: blunt
"""


@pytest.fixture(scope="module")
def jacket(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    files = {
        "course.yaml": COURSE + "    helpers: Marit\n" + TOOLS,
        "pattern.yaml": PATTERN,
        "episodes/01.yaml": EPISODE,
    }
    result = lessonplan.plan(write_course(tmp_path_factory.mktemp("jacket"), files))
    assert result.plan is not None, result.problems
    return result.plan


def test_needles_of_one_size_are_packed_by_their_kind(jacket: Plan) -> None:
    """Of the three pieces the first is finished, one has a body, one a cuff begun; only the body changes needles.

    It comes on 3.75 mm and is worked on 3.25 mm in 1.2.1; the cuff comes on the needles on which it is worked.
    """
    body, cuff = (task.letter for task in tasks_of(jacket) if task.goal != "finished")
    assert [(one.needle, one.letter) for one in sets_kept(jacket)] == [("3.25 mm", body)]
    packed = run_sheet_view(jacket, jacket.days[0]).notions
    assert f"smaller needle: 3.25 mm circular, 60 cm, 1 set: in {body} for 1.2.1" in packed
    assert "smaller dpns: 3.25 mm" in packed
    assert {task.letter: task.needle for task in tasks_of(jacket)}[cuff] == "3.25 mm double-pointed"


def test_a_card_says_how_stitches_are_bound_off(jacket: Plan) -> None:
    (finished,) = (task for task in tasks_of(jacket) if task.goal == "finished")
    said = [line.text for stage in finished.stages for line in stage.lines if "Bind off" in line.text]
    assert said == ["Bind off 40 sts (knitwise).", "Bind off 20 sts (in pattern)."]


def test_buttons_that_come_off_again_are_no_rounds(jacket: Plan) -> None:
    """The finished piece serves 1.3.1 too, without its buttons: half of 12 minutes."""
    (job,) = floor_jobs(jacket, jacket.days[0])
    assert job.minutes == "6 min to take back “Buttons”"


def test_no_tapestry_needle_stands_over_the_picture(jacket: Plan) -> None:
    said = [cue.text for cue in episode_cues(jacket, 1).laid.cues]
    assert not [text for text in said if "blunt" in text]
    assert [text for text in said if "3.25 mm circular" in text]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("on the 18th (20th, 22nd) row, five in all: k2", "on the 20th row, five in all: k2"),
        ("K20 (22, 24), pm, k1 (RS)", "K22, pm, k1 (RS)"),
        ("after 10.5 (12.5, 14) cm, in 2 (3) rows", "after 12.5 cm, in 2 (3) rows"),
    ],
)
def test_numbers_of_other_sizes_are_left_out(text: str, said: str) -> None:
    """Of three sizes the second; two numbers are no list of three sizes."""
    assert one_size(text, 1, 3) == said


TOLD = """\
title: Small vest
gauge: {stitches: 20, rounds: 28, needle: US 7}
needles: [US 7 circular needle for the body, "US 7 double-pointed needles, for the armholes", US 5 needle for the bands]
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  body:
    title: Body
    works:
      - {cast_on: 40}
      - {rows: 10, lines: Knit, note: Keep the first stitch loose on the needle.}
      - {rows: 4, lines: "*K1, p1; rep from * to end", before: Change to US 5 needles.}
  shoulder:
    title: Shoulder
    after: body
    works:
      - {rows: 4, lines: Knit, before: Change to the larger needles.}
      - {bind_off: all}
  neckband:
    title: Neck band
    after: shoulder
    works:
      - {pick_up: 20}
      - {rows: 4, lines: "*K1, p1; rep from * to end"}
      - {bind_off: all}
  armhole:
    title: Armhole
    after: shoulder
    works:
      - {pick_up: 24}
      - {rounds: 4, lines: Knit}
      - {bind_off: all}
"""


@pytest.mark.parametrize(
    ("needs", "needle"),
    [
        ("body row 10", "US 7"),  # the change comes with the next row
        ("body row 11", "US 5"),
        ("body", "US 5"),
        ("shoulder row 2", "US 7"),  # of two sizes the larger is US 7
        ("neckband row 2", "US 5"),  # by the list: nothing in the works names one
        ("armhole round 2", "US 7 double-pointed"),
        ("neckband, armhole", ""),
    ],
)
def test_a_piece_waits_on_the_needle_that_its_works_or_the_list_tell_of(
    tmp_path: Path, needs: str, needle: str
) -> None:
    """By the main gauge alone each would be on US 7, also where a line tells to change."""
    shot = f"  - title: All\n    shots:\n      - {{view: face, say: Here, pieces: [{{needs: '{needs}'}}]}}\n"
    files = {"pattern.yaml": TOLD, "episodes/01.yaml": f"episode: 1\ntitle: All\nsegments:\n{shot}"}
    plan = lessonplan.plan(write_course(tmp_path, files | {"course.yaml": COURSE})).plan
    assert plan is not None
    [task] = tasks_of(plan)
    assert task.needle == needle
    told = {"Body": "US 7", "Shoulder": "US 7", "Neck band": "US 5", "Armhole": "US 7 double-pointed"}
    assert {stage.title: stage.needle for stage in task.stages} == {
        stage.title: told[stage.title] for stage in task.stages
    }


@pytest.mark.parametrize(
    ("listed", "called"),
    [
        ("4.5 mm circular needle, 80 cm", "4.5 mm"),
        ("circular needle, US 10½ (6.5 mm)", "US 10½"),
        ("whatever you like", ""),
    ],
)
def test_the_only_needle_is_called_by_its_size(tmp_path: Path, listed: str, called: str) -> None:
    """The papers put “needle” before it: a text that says so itself would say it twice."""
    one = TOLD.replace(TOLD.splitlines()[2], f'needles: ["{listed}"]').replace(", needle: US 7", "")
    shot = "  - title: All\n    shots:\n      - {view: face, say: Here, pieces: [{needs: body row 4}]}\n"
    files = {"pattern.yaml": one, "episodes/01.yaml": f"episode: 1\ntitle: All\nsegments:\n{shot}"}
    plan = lessonplan.plan(write_course(tmp_path, files | {"course.yaml": COURSE})).plan
    assert plan is not None
    assert [task.needle for task in tasks_of(plan)] == [called]
