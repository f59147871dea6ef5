"""A piece that is spoilt: noted as broken, it is made anew, and stands in for nothing; worked by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.documents.standins import spoilt_in
from lessonplan.planning.agreed.noting import note_done
from lessonplan.planning.worked import Plan
from tests.planning.agreeable import KNITTERS, agreed, course, planned
from tests.small_course import COURSE, PATTERN

SHOTS = """\
  - title: All of it
    shots:
      - {view: overhead, title: The edge, takes: 1, pieces: [{needs: edge}], say: Here it is}
      - {view: overhead, title: Bound off, takes: 1, pieces: [{needs: body round 10, leaves: finished}], say: And off}
"""


FOR_GOOD = PATTERN.replace("bind_off: all", "bind_off: all\n        one_way: yes")


def spoilt(plan: Plan) -> str:
    (sheet,) = (run_sheet_paper(plan, day) for day in plan.days)
    return next(one.at.for_good for one in sheet.shots if one.number == "1.1.2").partition("Spoilt? ")[2]


def test_what_is_broken_is_made_anew_and_stands_in_for_nothing(tmp_path: Path) -> None:
    folder = course(tmp_path, SHOTS, pattern_yaml=FOR_GOOD)
    agreed(folder)
    note_done(folder, ["A edge, 10 min"])
    before = planned(folder)
    assert (spoilt(before)[:19], "A" in before.calendar.assigned) == ("To stand in, A take", False)
    note_done(folder, ["A broken"])
    after = planned(folder)
    assert (spoilt(after)[:24], "A" in after.calendar.assigned) == ("To stand in, a new one t", True)


@pytest.mark.parametrize(("wrap", "late"), [("17:00", False), ("9:45", True)])
def test_what_stands_in_too_late_is_said(tmp_path: Path, wrap: str, late: bool) -> None:
    # Ten rounds of 40 stitches at 25 a minute; the bind-off is filmed a few minutes before the one wrap.
    text = (COURSE + KNITTERS).replace("17:00", wrap)
    said = spoilt(planned(course(tmp_path, SHOTS, course_yaml=text, pattern_yaml=FOR_GOOD)))
    assert ("A takes 16 min of knitting" in said, said.startswith("To stand in, A")) == (True, not late)
    assert (" min from its planned beginning to the wrap, without the breaks." in said) == late


@pytest.mark.parametrize(("wrap", "there"), [("17:00", True), ("9:45", False)])
def test_what_stands_in_too_late_is_not_packed(tmp_path: Path, wrap: str, there: bool) -> None:
    # A is done with at 1.1.1. It is the last day: 16 minutes are not there between the shot and a wrap at 9:45.
    text = (COURSE + KNITTERS).replace("17:00", wrap)
    plan = planned(course(tmp_path, SHOTS, course_yaml=text, pattern_yaml=FOR_GOOD))
    sheet = run_sheet_paper(plan, plan.days[0])
    packed = [one for one in sheet.pack if "to stand in" in one]
    on_tray = [one for tray in sheet.trays for one in tray.tools if "to stand in" in one]
    (on,) = (one.on for shot in sheet.shots if shot.number == "1.1.1" for one in shot.pieces)
    assert (bool(packed), bool(on_tray), bool(sheet.spoilt)) == (there, there, there)
    assert on == ("then at hand, to stand in for what is spoilt in 1.1.2" if there else "then put away")
    assert spoilt_in(plan, "A") == (("1.1.2",) if there else ())
