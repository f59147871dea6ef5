"""A piece that its maker cannot have done in time: every paper says when it is done, and where it is not there."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.building import documents
from lessonplan.documents.index import today_view
from lessonplan.documents.knitpaper import knitter_paper
from lessonplan.documents.knitters import knitters_with_work
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.documents.samples import samples_view
from lessonplan.documents.shotlist import shot_list_view
from lessonplan.documents.table import table_view
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, episode, plan, shot

SHOTS = episode((shot("face", pieces="[{needs: body round 10}]"), shot("sink")))


def eva(folder: Path, starts: str) -> Plan:
    """62.5 minutes at two hours a day: one evening, the first on which she may; filmed on 6 March, due on the 3rd."""
    who = f"knitters: [{{name: Eva, pace: 20, hours_per_week: 14, starts: {starts}}}]\n"
    return plan(folder, SHOTS, COURSE + who)


def test_the_knitter_reads_her_own_days(tmp_path: Path) -> None:
    found = eva(tmp_path, "2027-03-06")
    ((_, knitter),) = knitters_with_work(found)
    paper = knitter_paper(found, knitter)
    assert paper.start == "Start on Saturday 6 March 2027."
    assert [row.due for row in paper.order] == ["Sat 6 Mar"]
    assert paper.hand_overs == (("Sunday 7 March 2027", "send or bring A, 1 day too late for the shoot"),)
    assert paper.tasks[0].hand_over == "Done by the evening of Saturday 6 March 2027, then sent or brought."
    assert [(one.day, one.what) for one in today_view(found, None).tasks if " A " in f" {one.what} "] == [
        ("Sat 6 Mar", "Eva has A done, 1 day too late for the shoot"),
        ("Sun 7 Mar", "A arrives from Eva, 1 day too late for the shoot"),
    ]


def test_what_lacks_on_the_day_stands_on_all_its_papers(tmp_path: Path) -> None:
    found, says = eva(tmp_path, "2027-03-06"), "Not there on this day: A (done on Sat 6 Mar)."
    (day,) = found.days
    page, paper, table = run_sheet_view(found, day), run_sheet_paper(found, day), table_view(found, day)
    assert (page.missing, paper.missing) == (says, says)
    assert [one.at.missing for one in paper.shots] == [says, ""]
    assert [one.at.missing for one in table.shots] == [says, ""]
    assert (table.shots[0].first[0], page.trays[0].still) == (says, ("not there",))
    assert page.pieces == paper.pieces == (("A", "Body, all 10 rounds (full), not there"),)
    rows = [row.missing for group in shot_list_view(found).groups for row in group.rows]
    assert rows == [says, ""]
    assert samples_view(found).pieces[0].due == "Sat 6 Mar, 1 day too late for the shoot"


def test_how_late_a_piece_is_may_break_its_line(tmp_path: Path) -> None:
    """A date is kept on one line; with so many words behind it no column of a phone would hold it."""
    late, ready = (
        documents(eva(tmp_path / starts, starts), ending="step-samples.html")["step-samples.html"].decode()
        for starts in ("2027-03-06", "2027-03-01")
    )
    assert 'class="due">' in late
    assert 'class="num due">' not in late
    assert 'class="num due">' in ready


@pytest.mark.parametrize(("starts", "done"), [("2027-03-05", "Fri 5 Mar"), ("2027-03-01", "Wed 3 Mar")])
def test_what_only_takes_days_in_hand_is_there(tmp_path: Path, starts: str, done: str) -> None:
    found = eva(tmp_path, starts)
    sheet = run_sheet_paper(found, found.days[0])
    assert (sheet.missing, sheet.pieces[0][1]) == ("", "Body, all 10 rounds (full), with its MC")
    assert samples_view(found).pieces[0].due == done
