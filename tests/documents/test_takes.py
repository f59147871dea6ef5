"""Planned against real as it is printed: over and under the plan, takes, good takes, slips."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.index import index_view
from lessonplan.documents.takes import over, takes_data, takes_table
from lessonplan.planning.filmed.taking import Taken, take_in
from tests.documents.timed import COURSE, PATTERN, episode, shot
from tests.small_course import write_course

# Two shots planned for 7 min each, and one for 18 (three takes of 6). The first took 9, the second 4, a minute between
# its takes, and a take that nobody timed; the third is not filmed yet.
LOG = """\
id,device,day,shot,take,start,stop,verdict,slip,note
a-1,a,2027-03-06,1.1.1,1,09:15:00,09:24:00,good,,
a-2,a,2027-03-06,1.1.2,1,09:30:00,09:34:00,again,said forty,
a-3,a,2027-03-06,1.1.2,2,09:35:00,,good,yes,
"""


@pytest.fixture
def taken(tmp_path: Path) -> Taken:
    shots = episode((shot("face"), shot("face")), (shot("face", takes="3"),))
    course = write_course(tmp_path / "c", {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": shots})
    (tmp_path / "log.csv").write_text(LOG, encoding="utf-8")
    _, found = take_in(course, [tmp_path / "log.csv"])
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("minutes", "text"), [(0, "0"), (0.4, "0"), (-0.4, "0"), (5, "+5 min"), (-5, "-5 min"), (-70, "-1 h 10 min")]
)
def test_over_and_under_the_plan(minutes: float, text: str) -> None:
    assert over(minutes) == text


def cells(text: str) -> list[list[str]]:
    return [re.split(r"\s{2,}", line.strip()) for line in text.splitlines() if line.strip()]


def test_each_shot_with_its_plan(taken: Taken) -> None:
    rows = cells(takes_table(taken))
    assert rows[0] == ["Shot", "Planned", "Real", "Over", "Takes planned", "Takes", "Best take"]
    assert ["1.1.1", "7 min", "9 min", "+2 min", "1", "1", "take 1 at 09:15:00"] in rows
    assert ["1.1.2", "7 min", "5 min", "-2 min", "1", "2", "take 2 at 09:35:00"] in rows
    assert not [row for row in rows if row[0] == "1.2.1"]


def test_where_nobody_knows_how_long_it_took_it_is_over_by_nobody_knows_what(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c", {"course.yaml": COURSE, "pattern.yaml": PATTERN})
    log = LOG.splitlines()[0] + "\na-1,a,2027-03-06,1.1.1,1,09:15:00,,good,,\n"
    (tmp_path / "log.csv").write_text(log, encoding="utf-8")
    _, found = take_in(course, [tmp_path / "log.csv"])
    assert found is not None
    row = next(row for row in cells(takes_table(found)) if row[0] == "1.1.1")
    assert row[2:4] == ["?", "?"]


def test_segments_and_days_compare_like_with_like(taken: Taken) -> None:
    rows = cells(takes_table(taken))
    # Segment 1.2 is not filmed, so the day's plan counts the 14 minutes of segment 1.1 alone.
    assert ["Segment", "Filmed", "Planned", "Real", "Over", "Takes planned", "Takes"] in rows
    assert ["1.1", "2 of 2", "14 min", "14 min", "0", "2", "3"] in rows
    assert ["2027-03-06", "2 of 3", "14 min", "14 min", "0", "2", "3"] in rows


def test_a_shot_without_a_take_to_use_is_not_filmed_here_either(tmp_path: Path) -> None:
    """The index says so of it too: of three shots one can be cut."""
    shots = episode((shot("face"), shot("face")), (shot("face", takes="3"),))
    course = write_course(tmp_path / "c", {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": shots})
    (tmp_path / "log.csv").write_text(LOG.replace(",good,yes,", ",again,,"), encoding="utf-8")
    _, found = take_in(course, [tmp_path / "log.csv"])
    assert found is not None
    rows = cells(takes_table(found))
    assert [row[1] for row in rows if row[0] in ("1.1", "2027-03-06")] == ["1 of 2", "1 of 3"]
    assert [one["filmed"] for one in takes_data(found)["days"]] == [1]
    result = lessonplan.plan(course)
    assert result.plan is not None
    assert index_view(result.plan).today.filmed == "1 of 3"


def test_a_shot_that_was_left_out_is_named(tmp_path: Path) -> None:
    """Nothing of 1.1.2 and of 1.2.2, the last, was filmed; of the takes planned only those of the two others count."""
    shots = episode((shot("face"), shot("face")), (shot("face", takes="3"), shot("face")))
    course = write_course(tmp_path / "c", {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": shots})
    (tmp_path / "log.csv").write_text(LOG.replace("1.1.2", "1.2.1"), encoding="utf-8")
    _, found = take_in(course, [tmp_path / "log.csv"])
    assert found is not None
    assert "Planned for the days so far and not filmed: 1.1.2 and 1.2.2." in takes_table(found)
    assert [row[5] for row in cells(takes_table(found)) if row[0] in ("1.1", "1.2", "2027-03-06")] == ["1", "3", "4"]
    result = lessonplan.plan(course)
    assert result.plan is not None
    assert index_view(result.plan).today.waiting == ("1.1.2 A: not filmed", "1.2.2 B: not filmed")


def test_slips_are_told_with_what_was_said(taken: Taken) -> None:
    # Take 1 is filmed again, so nobody will hear its slip.
    assert takes_table(taken).split("errata:\n")[1].split("\n\n")[0].splitlines() == [
        "1.1.2, take 2, 2027-03-06 09:35:00",
    ]


def test_the_same_for_programs(taken: Taken) -> None:
    data = takes_data(taken)
    first, second, third = data["shots"]
    assert first == {
        "shot": "1.1.1",
        "planned_minutes": 7.0,
        "real_minutes": 9.0,
        "takes_planned": 1,
        "takes": 1,
        "best_take": 1,
        "usable_takes": [1],
    }
    assert (second["real_minutes"], second["takes"], second["best_take"]) == (5.0, 2, 2)
    assert [third[key] for key in ("planned_minutes", "real_minutes", "takes", "best_take")] == [18.0, None, 0, None]
    assert data["segments"] == [
        {"name": "1.1", "shots": 2, "filmed": 2, "planned_minutes": 14.0, "real_minutes": 14.0, "takes": 3},
        {"name": "1.2", "shots": 1, "filmed": 0, "planned_minutes": 0.0, "real_minutes": 0.0, "takes": 0},
    ]
    assert data["slips"] == [
        {"shot": "1.1.2", "take": 2, "day": "2027-03-06", "at": "09:35:00", "said": "yes"},
    ]
    assert [(problem["line"], problem["code"]) for problem in data["problems"]] == [(4, "no-stop")]


@pytest.mark.parametrize(
    ("verdicts", "told"),
    [
        ("best*,usable", []),  # a clean one is used
        ("again*,best*", [2]),
        ("usable*,best*", [2]),
        ("again*,none*", [2]),  # not judged yet: it may be used
        ("best*,none*", [1]),
        ("again*", []),
    ],
)
def test_only_slips_that_may_be_seen_are_candidates(tmp_path: Path, verdicts: str, told: list[int]) -> None:
    lines = [
        f"2027-03-06,1.1.1,{n},09:{n}0:00,09:{n}1:00,{text.strip('*').replace('none', '')},{'yes' * ('*' in text)}"
        for n, text in enumerate(verdicts.split(","), 1)
    ]
    (tmp_path / "log.csv").write_text("\n".join(["day,shot,take,start,stop,verdict,slip", *lines]), encoding="utf-8")
    _, found = take_in(write_course(tmp_path / "c"), [tmp_path / "log.csv"])
    assert found is not None
    assert [slip["take"] for slip in takes_data(found)["slips"]] == told


def test_without_takes_it_says_so(tmp_path: Path) -> None:
    _, found = take_in(write_course(tmp_path), [])
    assert found is not None
    assert takes_table(found) == "No take is logged yet."
