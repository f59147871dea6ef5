"""The shot list: shots by view, with times, and how often the camera moves."""

from __future__ import annotations

from pathlib import Path

from lessonplan.documents.shotlist import ShotListView, shot_list_view
from tests.documents.test_filmed import HEAD, with_log
from tests.documents.timed import COURSE, episode, plan, shot

SHOTS = episode(
    (shot("face"), shot("overhead", "12 min")),
    (shot("face", "18 min"), shot("overhead", takes="2"), shot("sink")),
)
TWO_DAYS = COURSE.replace("films: [1]", "films: [1.1]\n  - {day: 2027-03-08, films: [1.2.1, 1.2.2]}")


def view(folder: Path, course: str) -> ShotListView:
    return shot_list_view(plan(folder, SHOTS, course))


def test_shots_come_by_view_with_their_times(tmp_path: Path) -> None:
    # On screen a shot is expected to run as long as it is held. On the floor it takes 7/6 of that when it is taken
    # once; taken twice it is 6, 12 or 18 min long.
    found = view(tmp_path, TWO_DAYS)
    assert [group.view for group in found.groups] == ["face", "overhead", "sink"]
    rows = {row.shot.number: (row.day, row.screen, row.floor) for group in found.groups for row in group.rows}
    assert rows == {
        "1.1.1": ("Sat 6 Mar", "6:00", "7:00"),
        "1.1.2": ("Sat 6 Mar", "12:00", "14:00"),
        "1.2.1": ("Mon 8 Mar", "18:00", "21:00"),
        "1.2.2": ("Mon 8 Mar", "6:00", "12:00"),
        "1.2.3": ("no day", "6:00", "7:00"),
    }
    assert [group.total for group in found.groups] == ["28 min", "26 min", "7 min"]
    assert (found.title, found.count) == ("Ring cowl", 5)


def test_the_camera_is_not_moved_overnight(tmp_path: Path) -> None:
    # face, overhead | night | face, overhead: a change on each day; in one go it is three, and a fourth to the sink.
    assert view(tmp_path / "a", TWO_DAYS).changes == 2
    assert view(tmp_path / "b", COURSE).changes == 4


def test_what_is_filmed_stands_in_a_column_once_anything_is(tmp_path: Path) -> None:
    assert view(tmp_path / "plan", COURSE).filmed == ""
    log = HEAD + "2027-03-06,1.1.1,2,09:20:00,09:26:00,best,,,,,,\n2027-03-06,1.1.2,1,09:30:00,09:36:00,again,,,,,,\n"
    found = shot_list_view(with_log(tmp_path, log, "", shots=SHOTS))
    rows = {row.shot.number: row.filmed for group in found.groups for row in group.rows}
    assert (found.filmed, rows) == (
        "1 of 5",
        {
            "1.1.1": "take 2",
            "1.1.2": "no take can be used",
            "1.2.1": "not yet",
            "1.2.2": "not yet",
            "1.2.3": "not yet",
        },
    )
