"""The time of the shoot cut into slots: takes, resets, pauses, breaks and nights, each with the hands there are."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.shoot.slots import Slot
from tests.documents import timed

COURSE = timed.COURSE + "    lunch: 11:05 for 45 min\n    helpers: HELPERS\n"
SHOTS = timed.shot("face", "48 min"), timed.shot("overhead", "30 min"), timed.shot("face")
MOVE = "[{needs: body round 1, leaves: body round 2}]"


def slots(folder: Path, *shots: str, course: str = timed.COURSE) -> tuple[Slot, ...]:
    return timed.plan(folder, timed.episode(shots), course).worked.slots


@pytest.mark.parametrize(("helpers", "hands"), [("[]", 0), ("[Bo]", 1), ("[Bo, Cy]", 2)])
def test_nobody_knits_in_lunch_or_in_a_rest(tmp_path: Path, helpers: str, hands: int) -> None:
    # 56 min, then a rest and a change of view; 35 min to 10:56, then lunch and a change of view; 7 min. The host is in
    # the picture, and changes the view; the helpers have their hands free in both.
    found = slots(tmp_path, *SHOTS, course=COURSE.replace("HELPERS", helpers))
    assert [(one.what, one.shot) for one in found] == [
        ("take", 0),
        ("break", 0),
        ("pause", 0),
        ("take", 1),
        ("break", 1),
        ("pause", 1),
        ("take", 2),
    ]
    assert [one.clock for one in found] == pytest.approx([56, 5, 5, 35, 45, 5, 7])
    assert [one.hands for one in found] == pytest.approx(
        [56 * hands, 0, 5 * hands, 35 * hands, 0, 5 * hands, 7 * hands]
    )


def test_the_camera_waits_only_in_a_pause(tmp_path: Path) -> None:
    course = COURSE.replace("HELPERS", "[]") + "samples: {camera_may_wait: 9 min}\n"
    assert [one.waiting for one in slots(tmp_path, *SHOTS, course=course)] == [0, 0, 9, 0, 0, 9, 0]


def test_a_night_has_an_evening_and_a_set_up(tmp_path: Path) -> None:
    course = timed.COURSE.replace("films: [1]", "films: [1.1.1]\n    helpers: [Bo]\n    night_knitting: 90 min")
    course += "  - {day: 2027-03-08, call: 10:00, wrap: 12:00, films: [1.1.2]}\n"
    found = slots(tmp_path, timed.shot("face"), timed.shot("face"), course=course)
    # From 9:22 on Saturday to 10:00 on Monday are 48 h 38 min. Nobody knits while the lamps are put up.
    assert [(one.what, one.clock, one.hands) for one in found] == [
        ("take", pytest.approx(7), pytest.approx(7)),
        ("evening", 90, 90),
        ("night", pytest.approx(48 * 60 + 38 - 90), 0),
        ("set-up", 15, 0),
        ("take", pytest.approx(7), 0),
    ]


def test_takes_of_a_shot_that_moves_a_piece_are_told_apart(tmp_path: Path) -> None:
    # Three takes of 6 min with resets of 3 min: 24 min on the floor, of which the resets are 6. In a reset the host,
    # too, has her hands free: they count where nobody else is there.
    course = timed.COURSE.replace("reset: 0 s", "reset: 3 min") + "    helpers: [Bo]\n"
    moved = timed.shot("face", takes="3", pieces=MOVE, shows="all")
    found = slots(tmp_path / "a", moved, course=course)
    assert [(one.what, one.take) for one in found] == [
        ("take", 1),
        ("reset", 1),
        ("take", 2),
        ("reset", 2),
        ("take", 3),
    ]
    assert [one.clock for one in found] == pytest.approx([6, 3, 6, 3, 6])
    assert [one.hands for one in found] == pytest.approx([6, 3, 6, 3, 6])
    alone = slots(tmp_path / "c", moved, course=timed.COURSE.replace("reset: 0 s", "reset: 3 min"))
    assert [one.hands for one in alone] == pytest.approx([0, 3, 0, 3, 0])
    shown = timed.shot("face", takes="3", pieces="[{needs: body round 1}]")
    (whole,) = slots(tmp_path / "b", shown, course=course)
    assert whole.what == "take"
    assert whole.clock == pytest.approx(24)


def test_a_shot_that_takes_no_time_keeps_its_slot(tmp_path: Path) -> None:
    found = slots(tmp_path, timed.shot("face"), timed.shot("face", "0 s"), timed.shot("face"))
    assert [(one.what, one.shot, round(one.clock)) for one in found if one.what == "take"] == [
        ("take", 0, 7),
        ("take", 1, 0),
        ("take", 2, 7),
    ]


def test_shots_that_run_on_have_no_minute_between_them(tmp_path: Path) -> None:
    # Without it the change of view takes five minutes.
    for more, between in (({}, 5), ({"runs_on": "yes"}, 0)):
        found = slots(tmp_path / str(between), timed.shot("face"), timed.shot("sink", **more))
        assert [(one.what, round(one.clock)) for one in found] == [("take", 7), ("pause", between), ("take", 7)]
