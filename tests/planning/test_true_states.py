"""What lies on the table is what was asked for: ranges, places inside a stage, takes that move a piece, drying."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.planning.worked import Plan
from tests.documents import timed
from tests.documents.timed import episode, shot
from tests.small_course import write_course

COURSE = timed.COURSE.replace("reset: 0 s", "reset: RESET")
TOP = """\
title: Ring cowl
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works: [{cast_on: 40}]
  top:
    title: Top
    after: edge
    works:
      - rounds: 2
        lines: Knit
      - point: half way
      - rounds: 1
        lines: "[K2tog] to end"
      - draw_through: all
"""
BOOK = """\
title: Small notebook
craft: bookbinding
stages:
  block:
    title: Book block
    works:
      - minutes: 20
        what: Fold and sew
  spine:
    title: Spine
    after: block
    works:
      - minutes: 5
        what: Glue the spine
        drying: 2 h
"""


def made(folder: Path, *shots: str, pattern: str = timed.PATTERN, reset: str = "0 s", more: str = "") -> Plan:
    """A day of these shots, in which the camera waits for nobody."""
    course = COURSE.replace("RESET", reset) + more + "samples: {camera_may_wait: 0 min}\n"
    return timed.plan(folder, episode(shots), course, {"pattern.yaml": pattern})


def stands(plan: Plan) -> list[list[tuple[str, tuple[int, ...], tuple[int, ...]]]]:
    """For each piece what it stands for: the appearance, the state it comes in and the one it is left in."""
    return [[(stop.demand, stop.start, stop.end) for stop in piece.stops] for piece in plan.choice.pieces]


@pytest.mark.parametrize(
    ("asked", "served"),
    [
        ("needs: edge", False),
        ("shows: edge or later", True),
        ("shows: edge to body round 5", True),
        ("shows: edge to body round 4", False),
        ("shows: body round 6 or later", False),
        ("shows: body round 5", True),
    ],
)
def test_what_is_only_shown_takes_a_piece_out_of_its_range(tmp_path: Path, asked: str, served: bool) -> None:
    # Somebody else needs five rounds of the body, in the shot before and in the one after.
    there = shot("face", pieces="[{needs: body round 5}]")
    plan = made(tmp_path, there, shot("face", pieces=f"[{{{asked}}}]"), there)
    assert len(plan.choice.pieces) == (1 if served else 2)
    if served:
        assert stands(plan) == [[(name, (1, 5), (1, 5)) for name in ("1.1.1", "1.1.2", "1.1.3")]]


def test_a_range_alone_is_served_in_its_first_state(tmp_path: Path) -> None:
    plan = made(tmp_path, shot("face", pieces="[{shows: body round 2 to body round 8}]"))
    assert stands(plan) == [[("1.1.1", (1, 2), (1, 2))]]
    assert plan.choice.bench_minutes == pytest.approx(7 + 2 * 5.55)


def test_a_range_the_wrong_way_round_is_a_problem(tmp_path: Path) -> None:
    text = episode((shot("face", pieces="[{shows: body round 5 to body round 2}]"),))
    files = {"course.yaml": timed.COURSE, "pattern.yaml": timed.PATTERN, "episodes/01.yaml": text}
    (problem,) = (one for one in lessonplan.plan(write_course(tmp_path, files)).problems if one.severity == "error")
    assert (problem.where.file, problem.where.line) == ("episodes/01.yaml", 9)


def test_a_piece_stands_before_a_work_and_at_a_point(tmp_path: Path) -> None:
    # The edge is one step; of the top, two rounds lead to the point, the third is the decrease, the fourth the end.
    plan = made(
        tmp_path,
        shot("face", pieces="[{needs: half way}]"),
        shot("face", pieces='[{needs: "top, half way"}]'),
        shot("face", pieces='[{needs: "top, before draw_through", leaves: top}]', hands="[{do: draw, time: 1 min}]"),
        pattern=TOP,
    )
    found = {name: (start, end) for piece in stands(plan) for name, start, end in piece}
    assert found == {
        "1.1.1": ((1, 2), (1, 2)),
        "1.1.2": ((1, 2), (1, 2)),
        "1.1.3": ((1, 3), (1, 4)),
    }
    lines = run_sheet_view(plan, plan.days[0]).lines
    now = [[(piece.now, piece.after) for piece in line.shot.pieces] for line in lines if line.shot]
    assert now == [[("Top: half way", "")], [("Top: half way", "")], [("Top, all 3 rounds", "finished")]]


def test_a_move_that_fits_is_taken_back_between_the_takes(tmp_path: Path) -> None:
    # A round of 110 stitches, 0.02 min each, is taken back in 2.2 min; in a reset of 3 the host has the time for it.
    move = shot("face", takes="2", pieces="[{needs: body round 1, leaves: body round 2}]", shows="all")
    one = made(tmp_path / "a", move, reset="3 min")
    assert stands(one) == [[("1.1.1", (1, 1), (1, 2)), ("1.1.1 take 2", (1, 1), (1, 2))]]
    (piece,) = one.choice.pieces
    assert piece.stops[1].ripping == pytest.approx(2.2)
    (spell,) = piece.stops[1].spells
    assert (one.worked.slots[spell.slot].what, one.worked.slots[spell.slot].take) == ("reset", 1)
    # In a reset of two minutes it is not done in time: another piece lies ready.
    two = made(tmp_path / "b", move, reset="2 min")
    assert stands(two) == [[("1.1.1", (1, 1), (1, 2))], [("1.1.1 take 2", (1, 1), (1, 2))]]


def test_of_three_takes_each_begins_where_the_first_began(tmp_path: Path) -> None:
    # Two rounds are not taken back in a minute, but they are while the second piece is filmed, by a helper (4.4 min).
    move = shot("face", takes="3", pieces="[{needs: body round 1, leaves: body round 3}]", shows="all")
    plan = made(tmp_path, move, reset="1 min", more="    helpers: [Bo]\n")
    assert len(plan.choice.pieces) == 2
    assert {start for piece in stands(plan) for _, start, _ in piece} == {(1, 1)}
    assert sum(stop.ripping for piece in plan.choice.pieces for stop in piece.stops) == pytest.approx(4.4)


def test_a_move_for_good_takes_a_fresh_piece_each_time(tmp_path: Path) -> None:
    # A round can be taken back for the next take when there is time; a yarn that is cut needs three pieces, however
    # long the reset, whether the pattern says that it is for good or not.
    drawn = '[{needs: "top, before draw_through", leaves: top}]'
    knitted = "[{needs: top round 1, leaves: top round 2}]"
    for_good = TOP.replace("draw_through: all", "draw_through: all\n        one_way: yes")
    tried = ((TOP, knitted, 1), (TOP, drawn, 3), (for_good, drawn, 3))
    for number, (pattern, pieces, count) in enumerate(tried):
        move = shot("face", takes="3", pieces=pieces, hands="[{do: work, time: 1 min}]")
        assert len(made(tmp_path / str(number), move, pattern=pattern, reset="60 min").choice.pieces) == count


def test_what_is_glued_in_a_shot_is_not_dry_in_the_next(tmp_path: Path) -> None:
    # The glue takes two hours: the book of the next shot is another one, which was glued before the shoot.
    glue = shot("face", pieces="[{needs: block, leaves: spine}]", hands="[{do: glue, time: 5 min}]")
    done = shot("face", pieces="[{needs: finished}]")
    soon = made(tmp_path / "a", glue, shot("face"), done, pattern=BOOK)
    assert [[name for name, _, _ in piece] for piece in stands(soon)] == [["1.1.1"], ["1.1.3"]]
    # With shots of 112 min (96 held) and 14 (12) in between it is dry, and with one of 112 alone it is not.
    long = shot("face", "96 min")
    late = made(tmp_path / "b", glue, long, shot("face", "12 min"), done, pattern=BOOK)
    assert [[name for name, _, _ in piece] for piece in stands(late)] == [["1.1.1", "1.1.4"]]
    early = made(tmp_path / "c", glue, long, done, pattern=BOOK)
    assert len(early.choice.pieces) == 2


def test_what_is_glued_twice_dries_once(tmp_path: Path) -> None:
    # Shown still wet, it is the same piece at once.
    glue = shot("face", pieces="[{needs: block, leaves: spine}]", hands="[{do: glue, time: 5 min}]")
    assert len(made(tmp_path, glue, shot("face", pieces="[{needs: block}]"), pattern=BOOK).choice.pieces) == 2


WAITING = "samples: {camera_may_wait: 25 min, weights: {piece: 200 min, waiting: 0.1}}\n"


def test_lunch_stays_where_the_choice_counted_it(tmp_path: Path) -> None:
    # Three shots of 7 min from 9:15, with nothing between them; lunch at 9:45 is due after the third (9:36), and a
    # helper needs 16.65 min for three rounds before the second. So the camera waits, and the second shot ends at 9:46,
    # when lunch would be due if anybody looked at the clock; but it is after the third, as it was counted.
    shots = (
        shot("face", pieces="[{needs: edge}]"),
        shot("face", pieces="[{needs: body round 3}]"),
        shot("face"),
        shot("face"),
    )
    course = timed.COURSE + "    lunch: 9:45 for 30 min\n    helpers: [Bo]\n" + WAITING
    plan = timed.plan(tmp_path, episode(shots), course)
    assert plan.choice.waiting_minutes == pytest.approx(16.65)
    assert plan.worked.breaks == {"1.1.3": "lunch"}
    (day,) = plan.days
    (lunch,) = (one for one in day.entries if one.kind == "lunch")
    assert lunch.number == "1.1.3"
    assert lunch.start - 540 == pytest.approx(15 + 3 * 7 + 16.65)
    # Every minute that somebody knits is there on the printed clock.
    (spell,) = plan.choice.pieces[0].stops[1].spells
    (wait,) = (one for one in day.entries if one.kind == "wait")
    assert plan.worked.slots[spell.slot].what == "pause"
    assert wait.end - wait.start == pytest.approx(spell.minutes)


def test_lunch_that_would_be_half_an_hour_late_is_moved_and_all_is_chosen_anew(tmp_path: Path) -> None:
    # Four rounds before the second and before the third shot are 22.2 min of waiting each: after the third it would be
    # 10:20, which is 35 min late for lunch. It is moved to after the second, 9:51; the camera waits all the same.
    rounds = [shot("face", pieces=f"[{{needs: {state}}}]") for state in ("edge", "body round 4", "body round 8")]
    course = timed.COURSE + "    lunch: 9:45 for 30 min\n    helpers: [Bo]\n" + WAITING
    plan = timed.plan(tmp_path, episode((*rounds, shot("face"), shot("face"))), course)
    assert plan.choice.waiting_minutes == pytest.approx(44.4)
    assert plan.worked.breaks == {"1.1.2": "lunch"}
    (lunch,) = (one for one in plan.days[0].entries if one.kind == "lunch")
    assert lunch.number == "1.1.2"
    assert lunch.start - 540 == pytest.approx(15 + 2 * 7 + 22.2)


def test_a_shot_that_runs_on_leaves_no_time_to_knit(tmp_path: Path) -> None:
    # In the five minutes of a change of view a helper takes a round back (2.2 min); when the camera runs on, nobody.
    begun = shot("face", pieces="[{needs: body round 1}]")
    for more, pieces in (({}, 1), ({"runs_on": "yes"}, 2)):
        then = shot("sink", pieces="[{needs: edge}]", **more)
        plan = made(tmp_path / str(pieces), begun, then, more="    helpers: [Bo]\n")
        assert len(plan.choice.pieces) == pieces
