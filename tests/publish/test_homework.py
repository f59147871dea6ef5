"""Homework between parts, worked by hand: a cowl in two parts whose minutes can be had in the head.

At P stitches a minute the edge takes 110 / P + 1.5 minutes, each of the ten rounds of the body 110 / P + 0.05, the
binding off its own stitches (the factor of BO, 1 here) and time to begin; a cast-on counts as a plain stitch here too.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import icalendar
import pytest

import lessonplan
from lessonplan.building import calendar_files
from lessonplan.documents.homework import parts_table, parts_view
from lessonplan.documents.knitters import knitters_view
from lessonplan.documents.posts import posts_view
from lessonplan.documents.ready import hours
from lessonplan.planning.worked import Plan
from lessonplan.publish.homework import homework, minutes
from lessonplan.publish.remarks import remarked
from tests.documents.timed import COURSE, episode, shot
from tests.small_course import write_course

PATTERN = """\
title: Ring cowl
make: 3
gauge: {stitches: 20, rounds: 28}
needles: 5 mm
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 110
  body:
    title: Body
    after: edge
    works:
      - rounds: 100
        lines: Knit
  wash:
    title: Wash
    after: body
    works:
      - minutes: 20
        what: washed and laid flat
        drying: 12 h
"""
RELEASE = "release: {first: 2027-05-07, days_between: 10%s}\n"


def course(folder: Path, release: str) -> lessonplan.Result:
    pieces = ("{needs: before edge, leaves: edge}", "{needs: before body, leaves: body done}")
    texts = [
        episode((shot("above", pieces=f"[{piece}]"),), number=number).replace("title: A\n", f"title: {name}\n")
        for number, (piece, name) in enumerate(zip(pieces, ("Edge", "Body"), strict=True), start=1)
    ]
    films = COURSE.replace("films: [1]", "films: [1, 2]")
    files = {"course.yaml": films + release, "pattern.yaml": PATTERN, "episodes/01.yaml": texts[0]}
    return lessonplan.plan(write_course(folder, {**files, "episodes/02.yaml": texts[1]}))


@pytest.fixture(scope="module")
def cowl(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    result = course(tmp_path_factory.mktemp("cowl"), RELEASE % ", hours_per_week: 6")
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def test_parts_come_out_in_steps(cowl: Plan) -> None:
    first, second = homework(cowl)
    assert (first.released, first.days, second.released, second.days) == (date(2027, 5, 7), 10, date(2027, 5, 17), 0)


def test_minutes_at_each_pace(cowl: Plan) -> None:
    filmed = cowl.worked.ways[0]
    first, second = homework(cowl)
    # Slow is 20 stitches a minute: 110 / 20 + 1.5 = 7 for the edge.
    assert minutes(cowl, first, filmed, 0, "slow") == pytest.approx(7.0)
    # Then 100 rounds of 110 / 20 + 0.05, the wash, and two whole cowls more: 3 x (555 + 20) + 2 x 7.
    assert minutes(cowl, second, filmed, 0, "slow") == pytest.approx(3 * (555 + 20) + 2 * 7)
    # Quick is 45 a minute; minutes of washing are the same for everybody.
    assert minutes(cowl, second, filmed, 0, "quick") == pytest.approx(
        3 * (100 * (110 / 45 + 0.05) + 20) + 2 * (110 / 45 + 1.5)
    )


def test_what_is_printed(cowl: Plan) -> None:
    first, second = parts_view(cowl).parts
    assert (first.day, first.until) == ("Friday 7 May 2027", "until part 2, Monday 17 May 2027")
    assert first.work == "Edge"
    assert [row.hours for row in first.rows] == [("¼", "¼", "¼")]
    assert second.work == "Body, Wash and the other 2 from the beginning"
    # 1,739 minutes are 28.98 hours; at 30 a minute 3 x (366.7 + 5 + 20) + 2 x 5.17 = 1,185 minutes, 19.76 hours.
    assert second.rows[0].hours[:2] == ("29", "20")
    assert second.drying == "12 h to dry, without anybody’s hands"


def test_the_sum_is_of_what_is_printed(cowl: Plan) -> None:
    (row,) = parts_view(cowl).whole
    # Slow ¼ and 29, middling ¼ and 20; quick: 110 / 45 + 1.5 = 4 minutes, and 3 x (249.4 + 20) + 2 x 3.9 = 816, 14.
    assert row.hours == ("29¼", "20¼", "14¼")


@pytest.mark.parametrize(
    ("taken", "words"), [(0.0, "0"), (1.0, "¼"), (15.0, "¼"), (16.0, "½"), (119.0, "2"), (121.0, "2½"), (180.0, "3")]
)
def test_hours_are_never_fewer(taken: float, words: str) -> None:
    assert hours(taken) == words


def test_too_much_is_questioned_before_the_next_part_only(tmp_path: Path) -> None:
    # The edge takes 110 / 30 + 1.5 = 5.2 minutes; 0.04 hours a week over 10 days are 3.4. Nothing comes after part 2.
    found = remarked(course(tmp_path, RELEASE % ", hours_per_week: 0.04")).problems
    told = [one for one in found if one.code == "homework"]
    assert len(told) == 1
    assert told[0].message == (
        "After part 1 viewers have 0.1 hours of work at 30 stitches a minute, and 0.1 hours for it in 10 days."
    )
    assert told[0].hint.startswith("Leave 16 days between the parts")  # 5.17 / 60 / 0.04 x 7 = 15.07


def test_enough_time_is_not_questioned(tmp_path: Path) -> None:
    assert "homework" not in [one.code for one in remarked(course(tmp_path, RELEASE % ", hours_per_week: 6")).problems]


def test_the_calendar_of_the_parts(cowl: Plan) -> None:
    files = dict(calendar_files(cowl, knitters_view(cowl)))
    events = icalendar.Calendar.from_ical(files["release.ics"]).walk("VEVENT")
    assert [(str(event["summary"]), event.decoded("dtstart")) for event in events] == [
        ("Ring cowl, part 1: All of it", date(2027, 5, 7)),
        ("Ring cowl, part 2: All of it", date(2027, 5, 17)),
    ]
    assert "Have ready: Nothing is begun yet." in str(events[0]["description"])


def test_work_without_a_pace_has_one_column(root: Path) -> None:
    """A bowl takes 8, 3, 6 (9), 4, 15, 10, 10 and 10 minutes, whoever makes it: 66 (69), over an hour."""
    result = lessonplan.plan(root / "tests" / "courses" / "pottery")
    assert result.plan is not None
    view = parts_view(result.plan)
    assert view.paces == ("Hours",)
    assert [(row.size, row.hours) for row in view.parts[0].rows] == [
        ("breakfast bowl", ("1¼",)),
        ("serving bowl", ("1¼",)),
    ]
    head, *rows = parts_table(view)
    assert (head[-1], {len(row) for row in rows}) == ("hours", {len(head)})
    assert view.parts[0].ready.yarn.replace("\u00a0", " ") == (
        "smooth stoneware clay 720 (1680) g; wax resist 5.5 ml; food-safe stoneware glaze 180 (390) ml"
    )
    posts = {one.what: one.text for one in posts_view(result.plan).episodes[0].posts}
    assert "\n- food-safe stoneware glaze: 180 (390) ml\n" in posts["Description"]
    assert posts["Newsletter"].startswith("“From the lump to the table” is out. ")
