"""The run sheet: the day's clock, what lies on the trays, what is dropped first, and who knits meanwhile."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.documents.runsheet import RunSheetView, run_sheet_view
from tests.documents.timed import COURSE, episode, plan, shot

THREE = episode((shot("face", title="Hello"), shot("overhead")), (shot("overhead", title="Goodbye"),))


def sheet(folder: Path, episode_text: str = THREE, course: str = COURSE) -> RunSheetView:
    planned = plan(folder, episode_text, course)
    return run_sheet_view(planned, planned.days[0])


def test_the_clock_of_the_day(tmp_path: Path) -> None:
    # 15 min of set-up, then shots of 7 min each, a view of 5 min and a tray of 10 min between them. Nine times in ten:
    # 1.2816 deviations later, of 1 after one shot, of the roots of 2 and 3 after two and three (1.28, 1.81, 2.22 min).
    found = [(line.kind, line.time, line.late, line.minutes, line.text) for line in sheet(tmp_path).lines]
    assert found == [
        ("set-up", "9:00", "9:00", "15 min", "Light, sound, views, trays"),
        ("shot", "9:15", "9:15", "7 min", ""),
        ("change", "9:22", "9:23", "5 min", "View: overhead"),
        ("shot", "9:27", "9:28", "7 min", ""),
        ("change", "9:34", "9:36", "10 min", "next tray"),
        ("shot", "9:44", "9:46", "7 min", ""),
        ("wrap", "9:51", "9:53", "", ""),
    ]


def test_the_head_of_the_sheet(tmp_path: Path) -> None:
    view = sheet(tmp_path, course=COURSE + "    helpers: Bo, Cy, Di\n")
    assert (view.title, view.number, view.day) == ("Ring cowl", 1, "Saturday 6 March 2027")
    assert (view.place, view.host, view.film_size) == ("upstairs", "Ada Example", "one size")
    assert (view.call, view.planned_wrap, view.wrap, view.late_wrap) == ("9:00", "17:00", "9:51", "9:53")
    assert view.helpers == "Bo, Cy and Di"


@pytest.mark.parametrize(
    ("wrap", "late"),
    [
        ("9:30", "21 min late"),
        ("9:50", "1 min late"),
        ("9:51", "on time"),
        ("9:52", "1 min in hand"),
        ("17:00", "7 h 09 min in hand"),
    ],
)
def test_late_and_in_hand(tmp_path: Path, wrap: str, late: str) -> None:
    assert sheet(tmp_path, course=COURSE.replace("17:00", wrap)).late == late


def test_a_tray_holds_each_piece_as_it_first_lies_there(tmp_path: Path) -> None:
    # One segment: the piece comes with two rounds, is knitted on to five on camera, and is then shown with five.
    moved = shot("face", pieces="[{needs: body round 2, leaves: body round 5}]", tools="[ruler, pins]")
    shown = shot("face", pieces="[{needs: body round 5}]", tools="[pins, lamp]")
    other = shot("face", pieces="[{needs: body round 5}]")
    first, second = sheet(tmp_path, episode((moved, shown), (other,))).trays
    assert [(piece.letter, piece.now) for piece in first.pieces] == [("A", "Body, 2 of 10 rounds")]
    assert [(piece.letter, piece.now) for piece in second.pieces] == [("A", "Body, 5 of 10 rounds")]
    assert (first.segment, first.title, first.tools) == ("1.1", "A", ("ruler", "pins", "lamp"))
    assert (second.segment, second.title, second.tools) == ("1.2", "B", ())


def test_what_is_packed_for_the_day_is_listed_once(tmp_path: Path) -> None:
    shots = (shot("face", tools="[Ruler, pins]"),), (shot("face", tools="[pins, ruler, waste yarn]"),)
    assert sorted(sheet(tmp_path, episode(*shots)).notions, key=str.lower) == [
        "5 mm",
        "pins",
        "Ruler",
        "the take log's tablet, charged",
        "waste yarn",
    ]


def test_what_frees_most_is_dropped_first(tmp_path: Path) -> None:
    shots = (
        shot("face", title="Short", can_drop="yes"),
        shot("face", "30 min", title="Needed"),
        shot("face", "12 min", title="Long", can_drop="yes"),
    )
    assert sheet(tmp_path, episode(shots)).drop == ("1.1.3 Long: frees 14 min", "1.1.1 Short: frees 7 min")


def test_where_none_is_marked_takes_of_still_shots_are_dropped(tmp_path: Path) -> None:
    # Three takes of 6 min are 12, 18 or 24 min long, 18 on average: all but one are 12 min. Two are 6, 12 or 18.
    shots = (
        shot("face", takes="2"),
        shot("face"),
        shot("face", takes="3"),
        shot("face", takes="9", pieces="[{needs: edge, leaves: body round 1}]"),
    )
    assert sheet(tmp_path, episode(shots)).drop == (
        "all but one take of 1.1.3: frees 12 min",
        "all but one take of 1.1.1: frees 6 min",
    )


def test_knitting_in_a_pause_stands_at_its_first_line_with_the_knitters_name(tmp_path: Path) -> None:
    # Two rounds of 5.55 min fit into the 15 min of changes between the two shots: one piece serves both.
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("overhead", pieces="[{needs: body round 2}]"),)
    view = sheet(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    assert [(line.kind, line.meanwhile) for line in view.lines if line.meanwhile] == [
        ("change", ("Bo knits on piece A for 11 min; for 1.2.1 it must be: Body, 2 of 10 rounds",))
    ]


def test_knitting_while_another_piece_is_filmed_stands_at_that_shot(tmp_path: Path) -> None:
    # No time between the shots, but the middle one (with nothing on the table) takes 35 min: 3 rounds are 16.65 min.
    shots = (
        shot("face", pieces="[{needs: edge}]"),
        shot("face", "30 min"),
        shot("face", pieces="[{needs: body round 3}]"),
    )
    view = sheet(tmp_path, episode(shots), COURSE + "    helpers: Bo\n")
    assert [(line.kind, line.time, line.meanwhile) for line in view.lines if line.meanwhile] == [
        ("shot", "9:22", ("Bo knits on piece A for 17 min; for 1.1.3 it must be: Body, 3 of 10 rounds",))
    ]


def test_the_pieces_of_a_shot_with_what_becomes_of_them(tmp_path: Path) -> None:
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1}, {needs: edge}]", one_way="yes", takes="2")
    (line,) = (line for line in sheet(tmp_path, episode((moved,))).lines if line.shot)
    assert line.shot is not None
    assert line.shot.one_way
    found = {(piece.now, piece.after, piece.one_way, piece.copy, piece.spare) for piece in line.shot.pieces}
    # Each of the two takes uses up a piece; the one that is only shown serves both.
    assert found == {
        ("Edge done", "Body, 1 of 10 rounds", True, 1, False),
        ("Edge done", "Body, 1 of 10 rounds", True, 2, False),
        ("Edge done", "", False, 1, False),
    }


def test_the_text_of_a_shot(tmp_path: Path) -> None:
    one = shot(
        "face",
        title="On {{ edge.cast_on }}",
        say="We have {{ edge.cast_on }} stitches.",
        on_screen='["{{ edge.cast_on }} sts", "Slowly"]',
        hands="[{do: count them, time: 20 s}, {work: k2}]",
        tools="[ruler]",
        note='"{{ edge.cast_on }} in all"',
    )
    (text,) = (line.shot for line in sheet(tmp_path, episode((one,))).lines if line.shot)
    assert (text.number, text.segment, text.segment_title, text.title) == ("1.1.1", "1.1", "A", "On 110")
    assert (text.view, text.say, text.note) == ("face", "We have 110 stitches.", "110 in all")
    assert (text.hands, text.tools) == (("count them (20 s)", "k2"), ("ruler",))
    assert (text.on_screen, text.takes, text.one_way, text.pieces) == (("110 sts", "Slowly"), 1, False, ())
