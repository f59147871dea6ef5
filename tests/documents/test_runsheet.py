"""The run sheet: the day's clock, what lies on the trays, what is dropped first, and who knits meanwhile."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.documents.floorwork import floor_jobs
from lessonplan.documents.runsheet import RunSheetView, run_sheet_view
from lessonplan.documents.runsheetpaper import run_sheet_paper
from tests.documents.timed import COURSE, episode, plan, shot

THREE = episode((shot("face", title="Hello"), shot("overhead")), (shot("overhead", title="Goodbye"),))


NO_WAITING = "samples: {camera_may_wait: 0 min}\n"


def sheet(folder: Path, episode_text: str = THREE, course: str = COURSE) -> RunSheetView:
    planned = plan(folder, episode_text, course)
    return run_sheet_view(planned, planned.days[0])


def test_the_clock_of_the_day(tmp_path: Path) -> None:
    # 15 min of set-up, then shots of 7 min each, a view of 5 min and a tray of 10 min between them. Nine times in ten:
    # 1.2816 deviations later. The set-up is 0.7 to 1.3 times as long, 10.5 to 19.5 min: its variance is 9 squared / 28,
    # 2.89. Of a shot (6, 6 or 12 min) it is 1 x 5 / 7 = 0.71; of a change (0.6 to 1.4 times) 4 squared / 28 = 0.57, or
    # 8 squared / 28 = 2.29. So it comes to 2.89, 3.61, 4.18, 4.89, 7.18 and 7.89 in the end, or 2.18, 2.43, 2.62, 2.84,
    # 3.43 and 3.60 min after what is expected.
    found = [(line.kind, line.time, line.late, line.minutes, line.text) for line in sheet(tmp_path).lines]
    assert found == [
        ("set-up", "9:00", "9:00", "15 min", "Light, sound, views, trays"),
        ("shot", "9:15", "9:17", "7 min", ""),
        ("change", "9:22", "9:24", "5 min", "View: overhead"),
        ("shot", "9:27", "9:30", "7 min", ""),
        ("change", "9:34", "9:37", "10 min", "next tray"),
        ("shot", "9:44", "9:47", "7 min", ""),
        ("wrap", "9:51", "9:55", "", ""),
    ]


def test_the_head_of_the_sheet(tmp_path: Path) -> None:
    view = sheet(tmp_path, course=COURSE + "    helpers: Bo, Cy, Di\n")
    assert (view.title, view.number, view.day) == ("Ring cowl", 1, "Saturday 6 March 2027")
    assert (view.place, view.host, view.film_size) == ("upstairs", "Ada Example", "")
    assert (view.call, view.planned_wrap, view.wrap, view.late_wrap) == ("9:00", "17:00", "9:51", "9:55")
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
    assert (first.segment, first.title, first.tools) == (
        "1.1",
        "A",
        ("ruler", "pins", "lamp", "5 mm needles for A, if on a cable"),
    )
    assert (second.segment, second.title, second.tools) == ("1.2", "B", ())


def test_what_is_packed_for_the_day_is_listed_once(tmp_path: Path) -> None:
    shots = (shot("face", tools="[Ruler, pins]"),), (shot("face", tools="[pins, ruler, waste yarn]"),)
    assert sorted(sheet(tmp_path, episode(*shots)).notions, key=str.lower) == [
        "needle 5 mm",
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
    # Three takes of 6 min are 12, 18 or 24 min long, 18 on average; two 6, 12 or 18, 12 on average. One is 6, or 12
    # if it fails: (6 + 4 x 6 + 12) / 6 = 7 on average.
    shots = (
        shot("face", takes="2"),
        shot("face"),
        shot("face", takes="3"),
        shot("face", takes="9", pieces="[{needs: edge, leaves: body round 1}]"),
    )
    assert sheet(tmp_path, episode(shots)).drop == (
        "all but one take of 1.1.3: frees 11 min",
        "all but one take of 1.1.1: frees 5 min",
    )


def test_knitting_in_a_pause_stands_at_its_first_line_with_the_knitters_name(tmp_path: Path) -> None:
    # Two rounds of 5.55 min fit into the 15 min of changes between the two shots: one piece serves both.
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("overhead", pieces="[{needs: body round 2}]"),)
    view = sheet(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    assert [(line.kind, line.meanwhile) for line in view.lines if line.meanwhile] == [
        ("change", ("Bo works on piece A for 11 min; for 1.2.1 it must be: Body, 2 of 10 rounds",))
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
        ("shot", "9:22", ("Bo works on piece A for 17 min; for 1.1.3 it must be: Body, 3 of 10 rounds",))
    ]


def meanwhile(folder: Path, episode_text: str, course: str, day: int = 0) -> list[tuple[str, str]]:
    planned = plan(folder, episode_text, course)
    lines = run_sheet_view(planned, planned.days[day]).lines
    return [(f"{line.kind} {line.time}", text) for line in lines for text in line.meanwhile]


def test_a_job_of_a_minute_or_two_is_the_hosts_own(tmp_path: Path) -> None:
    # Taking back a round of 110 stitches takes 2.2 min, which is no task for Bo.
    shots = (shot("face", pieces="[{needs: body round 1}]"),), (shot("sink", pieces="[{needs: edge}]"),)
    assert meanwhile(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n") == [
        (
            "change 9:22",
            "Ada Example takes work back on piece A for 2 min; for 1.2.1 it must be: Edge done",
        )
    ]


def test_who_is_in_the_picture_takes_nothing_back_meanwhile(tmp_path: Path) -> None:
    # Nothing is between the shots: it must be done while the host films the middle one.
    shots = shot("face", pieces="[{needs: body round 1}]"), shot("face"), shot("face", pieces="[{needs: edge}]")
    ((_, text),) = meanwhile(tmp_path, episode(shots), COURSE + "    helpers: Bo\n")
    assert text.startswith("Bo takes work back on piece A for 2 min")


def test_what_goes_on_over_more_than_one_line_says_how_far(tmp_path: Path) -> None:
    # Four rounds of 5.55 min are 22.2: the 15 min of changes are not enough, nor is the shot of 14 by itself.
    shots = (
        (shot("face", pieces="[{needs: edge}]"),),
        (shot("sink", "12 min"), shot("sink", pieces="[{needs: body 4}]")),
    )
    ((line, text),) = meanwhile(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    assert line == "change 9:22"
    assert text.startswith("Bo works on piece A for 22 min, going on into 1.2.1; for 1.2.2 it must be")


def test_what_is_knitted_at_night_stands_after_the_wrap(tmp_path: Path) -> None:
    course = COURSE.replace("films: [1]", "films: [1.1]\n    night_knitting: 90 min")
    course += "  - {day: 2027-03-07, call: 10:00, wrap: 12:00, films: [1.2]}\n"
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("sink", pieces="[{needs: body round 2}]"),)
    assert meanwhile(tmp_path, episode(*shots), course) == [
        (
            "wrap 9:22",
            "After the wrap, Ada Example works on piece A for 11 min; for 1.2.1 it must be: Body, 2 of 10 rounds",
        )
    ]


def test_on_another_day_the_work_is_in_the_hands_of_those_who_are_there(tmp_path: Path) -> None:
    # Four rounds of 5.55 min are 22.2. Ada knits for the 10 min of the evening; Bo, who comes only on the second day,
    # has the shot of 14 min for the 12.2 that are left. Each sheet has its own part of it.
    course = COURSE.replace("films: [1]", "films: [1.1]\n    night_knitting: 10 min")
    course += "  - {day: 2027-03-07, call: 10:00, wrap: 12:00, films: [1.2], helpers: Bo}\n"
    shots = (
        (shot("face", pieces="[{needs: edge}]"),),
        (shot("sink", "12 min"), shot("sink", pieces="[{needs: body 4}]")),
    )
    goal = "for 1.2.2 it must be: Body, 4 of 10 rounds"
    assert meanwhile(tmp_path / "first", episode(*shots), course) == [
        ("wrap 9:22", f"After the wrap, Ada Example works on piece A for 10 min, more on day 2; {goal}")
    ]
    assert meanwhile(tmp_path / "second", episode(*shots), course, day=1) == [
        ("shot 10:15", f"Bo works on piece A for 12 min; {goal}")
    ]


def test_what_is_gone_on_with_after_the_wrap_stands_there_too(tmp_path: Path) -> None:
    # Of 22.2 min Bo knits 14 while the last shot is filmed, and what is left in the evening.
    course = COURSE.replace("films: [1]", "films: [1.1]\n    helpers: Bo\n    night_knitting: 30 min")
    course += "  - {day: 2027-03-07, call: 10:00, wrap: 12:00, films: [1.2]}\n"
    shots = (
        (shot("face", pieces="[{needs: edge}]"), shot("face", "12 min")),
        (shot("sink", pieces="[{needs: body 4}]"),),
    )
    goal = "for 1.2.1 it must be: Body, 4 of 10 rounds"
    assert meanwhile(tmp_path, episode(*shots), course) == [
        ("shot 9:22", f"Bo works on piece A for 14 min, more after the wrap; {goal}"),
        ("wrap 9:36", f"After the wrap, Bo works on piece A for 8 min; {goal}"),
    ]


def test_the_host_takes_no_more_short_jobs_than_she_has_time_for(tmp_path: Path) -> None:
    # Two pieces are to be taken back by a round each, 2.2 min, in a pause of 3: only one of them can be hers.
    course = COURSE.replace("view_change: 5 min", "view_change: 3 min") + "    helpers: Bo, Cy\n"
    both = "[{needs: %s}, {needs: %s}]"
    shots = (shot("face", pieces=both % ("body 1", "body 1")), shot("sink", pieces=both % ("edge", "edge")))
    found = [text.partition(" take")[0] for _, text in meanwhile(tmp_path, episode(shots), course)]
    assert found == ["Ada Example", "Bo and Cy"]


def test_work_on_a_piece_that_may_have_been_moved_says_both_times(tmp_path: Path) -> None:
    # A fresh piece for each of two takes, then two pieces with two rounds. The first take is always filmed: a round of
    # 5.55 min is left. Nobody knows of the second: two rounds if it is not filmed, for which there are the 15 min.
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1}]", one_way="yes", takes="2")
    then = shot("sink", pieces="[{needs: body round 2}, {needs: body round 2}]")
    course = COURSE + "    helpers: Bo, Cy\n"
    goal, once = "for 1.2.1 it must be: Body, 2 of 10 rounds", "once 1.1.1 is filmed as wanted"
    assert [text for _, text in meanwhile(tmp_path, episode((moved,), (then,)), course)] == [
        f"Bo and Cy work on piece A for 6 min; {goal}",
        f"Bo and Cy work on piece B for 11 min (6 min if 1.1.1 has moved it on), {once}; {goal}. "
        "If 1.1.1 has moved it on, it has come as far as “Body, 1 of 10 rounds”: go on from there",
    ]
    planned = plan(tmp_path, episode((moved,), (then,)), course)
    certain, perhaps = floor_jobs(planned, planned.days[0])
    assert (certain.moved, certain.minutes) == ("", "6 min")
    assert [line.rounds for stage in certain.stages for line in stage.lines] == ["Round 2"]
    assert perhaps.minutes == "11 min (6 min if 1.1.1 has moved it on)"
    assert [line.rounds for stage in perhaps.stages for line in stage.lines] == ["Rounds 1 and 2"]
    assert perhaps.moved == (
        "First make sure that 1.1.1 is filmed as wanted. "
        "If 1.1.1 has moved it on, it has come as far as “Body, 1 of 10 rounds”: go on from there."
    )


def test_where_all_is_done_by_the_take_nothing_is_left(tmp_path: Path) -> None:
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1}]", one_way="yes", takes="2")
    then = shot("sink", pieces="[{needs: body round 1}, {needs: body round 1}]")
    ((_, text),) = meanwhile(tmp_path, episode((moved,), (then,)), COURSE + "    helpers: Bo\n")
    once = "once 1.1.1 is filmed as wanted"
    assert text.startswith(f"Bo works on piece B for 6 min (nothing if 1.1.1 has moved it on), {once}; for 1.2.1")


def test_a_piece_that_is_put_back_stands_once_with_its_takes(tmp_path: Path) -> None:
    # Taking back a round of 110 stitches takes 2.2 min, and there are 3 between two takes.
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1}]", takes="3")
    course = COURSE.replace("reset: 0 s", "reset: 3 min")
    (line,) = (line for line in sheet(tmp_path, episode((moved,)), course).lines if line.shot)
    assert line.shot is not None
    assert [(one.letter, one.takes, one.knitted, one.taken_back) for one in line.shot.pieces] == [
        ("A", (1, 2, 3), "", "2 min")
    ]
    assert [text.partition("; ")[2] for text in line.meanwhile] == [
        "for take 2 of 1.1.1 it must be: Edge done",
        "for take 3 of 1.1.1 it must be: Edge done",
    ]


def test_each_piece_names_the_take_that_it_is_for(tmp_path: Path) -> None:
    # Nothing is taken back between the takes, since nobody waits: what is only shown, a piece for each take, the spare.
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1, spare: 1}, {needs: body}]", takes="3")
    (line,) = (line for line in sheet(tmp_path, episode((moved,)), COURSE + NO_WAITING).lines if line.shot)
    assert line.shot is not None
    shown = [(one.now, one.takes, one.spare) for one in line.shot.pieces]
    assert shown == [
        ("finished", (), False),
        ("Edge done", (1,), False),
        ("Edge done", (2,), False),
        ("Edge done", (3,), False),
        ("Edge done", (), True),
    ]


def test_what_goes_on_is_said_of_each_of_several_pieces_for_a_move(tmp_path: Path) -> None:
    # Take 1 is filmed whatever happens, so its piece is moved on; that of take 2 only if take 1 was not good.
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1}]", takes="2")
    then = shot("sink", pieces="[{needs: body round 2}, {needs: body round 2}]")
    planned = plan(tmp_path, episode((moved,), (then,)), COURSE + "    helpers: Bo, Cy\n" + NO_WAITING)
    first, last = run_sheet_paper(planned, planned.days[0]).shots
    goal = "goes on to 1.2.1 (“Body, 2 of 10 rounds”)"
    start = next(job.start for job in floor_jobs(planned, planned.days[0]) if job.piece == "B")
    unused = f"Bo and Cy bring it there {start}, whether its take is needed or not, once this one is good"
    assert first.at.goes_on == (f"A {goal}.", f"B {goal}: {unused}.")
    assert last.at.goes_on == ()


def test_the_pieces_of_a_shot_with_what_becomes_of_them(tmp_path: Path) -> None:
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1}, {needs: edge}]", one_way="yes", takes="2")
    (line,) = (line for line in sheet(tmp_path, episode((moved,))).lines if line.shot)
    assert line.shot is not None
    assert line.shot.one_way
    found = {(piece.now, piece.after, piece.one_way, piece.takes, piece.spare) for piece in line.shot.pieces}
    # Each of the two takes uses up a piece; the one that is only shown serves both.
    assert found == {
        ("Edge done", "Body, 1 of 10 rounds", True, (1,), False),
        ("Edge done", "Body, 1 of 10 rounds", True, (2,), False),
        ("Edge done", "", False, (), False),
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
    # Twenty seconds of counting go without a word, and no other shot shows the work.
    also = (
        "(+) After the last take, under the same slate, also film 4 s that do not show this work, such as a face "
        "looking down at it."
    )
    assert (text.view, text.say, text.note) == ("face", "We have 110 stitches.", f"110 in all\n\n{also}")
    assert (text.hands, text.tools) == (("count them (20\u00a0s)", "k2"), ("ruler",))
    assert (text.on_screen, text.takes, text.one_way, text.pieces) == (("110 sts", "Slowly"), 1, False, ())
