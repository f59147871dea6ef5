"""What comes next on the index page, from a day that is given; worked by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

import lessonplan
from lessonplan.cli import app
from lessonplan.documents.index import TodayView, today_view
from lessonplan.planning.worked import Plan
from lessonplan.shoot.takes.log import Take, Verdict
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot
from tests.small_course import write_course

SHOTS = episode((shot("face", pieces="[{needs: edge}]"), shot("sink")), (shot("face", "30 s"),))
EVA = "knitters: [{name: Eva, pace: 20, hours_per_week: 7}]\n"
TWO_DAYS = COURSE.replace("films: [1]", "films: [1.1]\n  - {day: 2027-03-08, films: [1.2]}") + EVA
# The edge takes 7 min, so Eva sits down once: on 3 March, since the 4th and 5th are to spare before the 6th.
BEGINS = ("Wed 3 Mar", "Eva begins the first piece, at the latest")
HANDS = ("Wed 3 Mar", "Eva has A done")
# Set-up 15 min, 7 min, a view of 5 min, 7 min; the second day begins at 9:00 too, and 30 s come to 35 s.
FIRST = ("Sat 6 Mar", "Shoot day 1: call 9:00, wrap about 9:34, upstairs")
SAID = "WEBVTT\n\n00:00:01.000 --> 00:00:20.000\nwe cast on and knit\n"
# From hand to hand it is there the day before.
ARRIVES = ("Fri 5 Mar", "A arrives from Eva, at the latest")
SECOND = ("Mon 8 Mar", "Shoot day 2: call 9:00, wrap about 9:16")


def planned(folder: Path, files: dict[str, str] | None = None) -> Plan:
    return plan(folder, SHOTS, TWO_DAYS, files)


def words(view: TodayView) -> list[tuple[str, str]]:
    return [(one.day, one.what) for one in view.tasks]


def with_takes(found: Plan, *takes: tuple[str, Verdict]) -> Plan:
    day = date(2027, 3, 6)
    made = [
        Take(f"a-{n}", "a", day, number, 1, 33000 + 60 * n, 33030 + 60 * n, verdict)
        for n, (number, verdict) in enumerate(takes)
    ]
    return replace(found, takes=tuple(made))


def test_without_a_day_only_the_dates_are_told(tmp_path: Path) -> None:
    view = today_view(planned(tmp_path), None)
    assert words(view) == [BEGINS, HANDS, ARRIVES, FIRST, SECOND]
    assert {one.off for one in view.tasks} == {""}
    assert (view.seen_from, view.filmed, view.waiting) == ("In order of their dates", "", ())


@pytest.mark.parametrize(
    ("today", "offs"),
    [
        (date(2027, 2, 1), ["in 30 days", "in 30 days", "in 32 days", "in 33 days", "in 35 days"]),
        (date(2027, 3, 2), ["tomorrow", "tomorrow", "in 3 days", "in 4 days", "in 6 days"]),
        (date(2027, 3, 3), ["today", "today", "in 2 days", "in 3 days", "in 5 days"]),
        (date(2027, 3, 4), ["1 day late", "1 day late", "tomorrow", "in 2 days", "in 4 days"]),
    ],
)
def test_how_far_off_it_is(tmp_path: Path, today: date, offs: list[str]) -> None:
    view = today_view(planned(tmp_path), today)
    assert [one.off for one in view.tasks] == offs
    assert [one.late for one in view.tasks] == ["late" in off for off in offs]
    assert words(view) == [BEGINS, HANDS, ARRIVES, FIRST, SECOND]


@pytest.mark.parametrize(
    "there",
    [{"published/edition-1.yaml": "edition: 1\non: 2027-04-01\ncode: ABCD\nfacts: {}\n"}, {"captions/01.vtt": SAID}],
)
def test_what_is_past_is_over_once_the_videos_are_there(tmp_path: Path, there: dict[str, str]) -> None:
    (tmp_path / "captions").mkdir()
    found = planned(tmp_path, there)
    assert words(today_view(found, date(2027, 5, 3))) == []
    assert words(today_view(found, date(2027, 3, 4))) == [ARRIVES, FIRST, SECOND]


def test_the_day_of_the_agreement_counts_where_none_is_given(tmp_path: Path) -> None:
    agreed = {"agreed.yaml": "course: Ring cowl\non: 2027-03-02\ntimes: 1\n"}
    view = today_view(planned(tmp_path, agreed), None)
    assert view.seen_from == (
        "On Tuesday 2 March 2027, the day of the agreement: days are counted from there, whenever this page is opened"
    )
    assert view.tasks[0].off == "tomorrow"
    assert today_view(planned(tmp_path / "b", agreed), date(2027, 3, 6)).seen_from == "On Saturday 6 March 2027"


def test_what_is_noted_as_knitted_is_begun_and_ready(tmp_path: Path) -> None:
    agreed = {
        "agreed.yaml": "course: Ring cowl\non: 2027-03-01\npieces:\n"
        "  - {letter: A, stop: edge, knitter: Eva, starts: 2027-03-03, ready: 2027-03-03}\nprogress: {A: edge}\n"
    }
    found = planned(tmp_path, agreed)
    assert "Eva begins the first piece, at the latest" not in dict(words(today_view(found, date(2027, 3, 4)))).values()
    assert words(today_view(found, date(2027, 3, 4))) == [FIRST, SECOND]


def test_work_is_planned_from_the_day_that_is_given(tmp_path: Path) -> None:
    """Seen from the day after B was due, Eva knits it that day, a day late; with A finished she has begun."""
    shots = episode((shot("face", pieces="[{needs: edge}]"), shot("face", pieces="[{needs: body round 8}]")))
    agreed = (
        "course: Ring cowl\non: 2027-02-01\npieces:\n  - {letter: A, stop: edge, knitter: Eva}\n"
        "  - {letter: B, stop: body round 8, knitter: Eva}\nprogress: {A: edge}\n"
    )
    files = {"course.yaml": COURSE + EVA, "pattern.yaml": PATTERN, "episodes/01.yaml": shots, "agreed.yaml": agreed}
    folder = write_course(tmp_path, files)

    def sits(today: date | None) -> set[date]:
        found = lessonplan.plan(folder, today=today).plan
        assert found is not None
        assert not [what for _, what in words(today_view(found, today)) if "begins" in what]
        return {one.day for one in found.calendar.sittings}

    # 7 + 8 x 5.55 = 51 min, one evening; it is due on 3 March. Once the shoot is there, what was made for it is past.
    assert sits(None) == sits(date(2027, 2, 20)) == sits(date(2027, 3, 7)) == {date(2027, 3, 3)}
    assert sits(date(2027, 3, 4)) == {date(2027, 3, 4)}


def test_while_it_is_filmed(tmp_path: Path) -> None:
    found = with_takes(planned(tmp_path), ("1.1.1", "best"), ("1.1.2", ""))
    view = today_view(found, date(2027, 3, 7))
    # Piece A was filmed, so nobody asks for it any more; the first day is over and lacks a shot.
    assert [(one.off, one.what) for one in view.tasks] == [
        ("1 day late", f"{FIRST[1]}; 1 of 2 shots filmed"),
        ("tomorrow", f"{SECOND[1]}; 0 of 1 shot filmed"),
    ]
    assert (view.filmed, view.waiting) == ("1 of 3", ("1.1.2 A: no verdict",))
    done = with_takes(found, ("1.1.1", "best"), ("1.1.2", "usable"), ("1.2.1", "good"))
    view = today_view(done, date(2027, 3, 9))
    assert (view.tasks, view.filmed, view.waiting) == ((), "3 of 3", ())


def test_the_command_takes_the_day_and_pages_stay_the_same_bytes(tmp_path: Path) -> None:
    files = {"course.yaml": TWO_DAYS, "pattern.yaml": PATTERN, "episodes/01.yaml": SHOTS}
    course = str(write_course(tmp_path / "c", files))
    pages = []
    for out in ("one", "other"):
        ran = CliRunner().invoke(app, ["build", course, "--out", str(tmp_path / out), "--today", "2027-03-02"])
        assert ran.exit_code == 0, ran.output
        pages.append((tmp_path / out / "index.html").read_bytes())
    assert pages[0] == pages[1]
    assert b"tomorrow" in pages[0]
    assert CliRunner().invoke(app, ["build", course, "--today", "soon"]).exit_code == 2
