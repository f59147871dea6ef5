"""What-ifs are solved again, and their words name what is missing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import lessonplan
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.planning.whatif import (
    WhatIfError,
    accepting,
    filmed_before,
    real_things,
    reasons,
    savings,
    sides,
    taken_once,
    what_if,
    with_helpers,
    without_piece,
)
from lessonplan.planning.worked import Plan
from tests.small_course import COURSE, EPISODE as SAID, PATTERN, write_course

EPISODE = """\
episode: 1
title: All of it
segments:
  - title: Later first
    shots:
      - {view: face, say: Look at this ring., pieces: [{needs: LATER}], takes: 1}
  - title: Earlier second
    shots:
      - {view: face, say: And how it begins., pieces: [{needs: edge}], takes: 1}
"""
EDGE, ROUND = 1.5 + 1 + 40 * 1.5 / 25 + 4 * (44 / 25 + 0.05), 40 / 25 + 0.05
"""Minutes: the edge (begun, joined, 40 stitches cast on, four rounds of k1, p1) is 12.14; a round of the body 1.65."""
NO_WAITING = COURSE + "samples: {camera_may_wait: 0 min}\n"


def planned(folder: Path, later: str, pattern: str = PATTERN, course: str = NO_WAITING) -> Plan:
    files = {"episodes/01.yaml": EPISODE.replace("LATER", later), "pattern.yaml": pattern, "course.yaml": course}
    result = lessonplan.plan(write_course(folder, files))
    assert result.plan is not None, result.problems
    return result.plan


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return planned(tmp_path, "body", PATTERN.replace("title: Body\n", "title: Body\n    short: 2\n"))


def test_two_pieces_are_needed_in_the_order_as_listed(plan: Plan) -> None:
    assert [piece.name for piece in plan.choice.pieces] == ["A", "B"]


def test_filming_the_earlier_state_first_saves_a_piece_with_a_helper(tmp_path: Path) -> None:
    # One round of the body, which nobody takes back, and then the edge: two pieces. The other way round, and with a
    # helper, the round is knitted in the two minutes in which the tray is changed: one piece and one edge less. Either
    # change by itself gives nothing.
    made = planned(tmp_path, "body round 1", PATTERN.replace("title: Body\n", "title: Body\n    one_way: yes\n"))
    for only in (what_if(made, helpers=1), what_if(made, film="1.2", before="1.1")):
        assert only is not None
        assert only.pieces == 0
        assert only.minutes == pytest.approx(0)
        assert (only.dropped, only.added) == ((), ())
    both = what_if(made, helpers=1, film="1.2", before="1.1")
    assert both is not None
    assert both.what == "1 more helper on every day and film segment 1.2 before 1.1"
    assert both.pieces == 1
    assert both.minutes == pytest.approx(EDGE)
    # A piece less is 20, and a minute on the day counts for one and a half.
    assert both.cost == pytest.approx(20 + EDGE - 0.5 * ROUND)
    assert [kind for kind, _ in both.dropped] == ["full"]
    assert both.added == ()
    helped = filmed_before(with_helpers(made.worked, 1), "1.2", "1.1")
    assert [item.number for item in helped.listed] == ["1.2.1", "1.1.1"]


def test_a_shot_taken_once_is_the_shot_with_one_take_in_its_file(tmp_path: Path) -> None:
    one, three = (
        lessonplan.load(
            write_course(tmp_path / takes, {"episodes/01.yaml": SAID.replace("say:", f"takes: {takes}\n        say:")})
        )
        for takes in ("1", "3")
    )
    assert one.worked is not None
    assert three.worked is not None
    once = taken_once(three.worked, ShotNumber("1.1.1"))
    assert once.clocks == one.worked.clocks != three.worked.clocks
    assert once.question == one.worked.question
    assert [item.shot.takes for item in once.listed] == [1]


def test_accepting_a_short_piece_saves_its_rounds(plan: Plan) -> None:
    change = what_if(plan, accept=["short 1.1.1"])
    assert change is not None
    assert change.minutes == pytest.approx(8 * ROUND)
    assert [kind for kind, _ in change.dropped + change.added] == ["full", "short"]
    assert accepting(plan.worked, "1.1.1", "short").table[0].kinds == ("full", "short")


def test_a_short_piece_has_no_round_that_it_leaves_out(tmp_path: Path) -> None:
    # The short body has two rounds, so nothing short stands where it must have eight: all is as it was.
    made = planned(tmp_path, "body round 8", PATTERN.replace("title: Body\n", "title: Body\n    short: 2\n"))
    change = what_if(made, accept=["short 1.1.1"])
    assert change is not None
    assert (change.minutes, change.pieces, change.cost) == (0, 0, 0)


def test_the_best_saving_is_what_solving_again_gives(plan: Plan) -> None:
    best = savings(plan)
    assert best[0].what == "accept the short kind in 1.1.1"
    assert best[0].minutes == pytest.approx(8 * ROUND)
    assert list(best) == sorted(best, key=lambda change: -change.minutes)
    assert what_if(plan, accept=["short 1.1.1"]) == best[0]


def test_a_piece_is_ripped_back_between_takes_as_long_as_the_camera_may_wait(tmp_path: Path) -> None:
    # Two takes of a round of 40 stitches, each ripped back in 0.02 min: 48 s. A reset of 30 s and 18 s of waiting are
    # enough, and one piece does for both takes; with 17 s a second edge is knitted, 12.14 min, unless one take will do.
    shot = "      - {view: face, say: See., pieces: [{needs: edge, leaves: body round 1}]}\n"
    episode = f"episode: 1\ntitle: All of it\nsegments:\n  - title: A\n    shots:\n{shot}"
    made = []
    for seconds in (18, 17):
        course = COURSE + f"pace: {{reset: 30 s}}\nsamples: {{camera_may_wait: {seconds} s}}\n"
        files = {"episodes/01.yaml": episode, "course.yaml": course}
        result = lessonplan.plan(write_course(tmp_path / str(seconds), files))
        assert result.plan is not None, result.problems
        made.append(result.plan)
    one, two = made
    assert [plan.worked.clocks["1.1.1"].reset for plan in made] == pytest.approx([0.8, 0.5])
    assert [len(plan.choice.pieces) for plan in made] == [1, 2]
    assert [change.what for change in savings(one)] == []
    best = savings(two)[0]
    assert (best.what, best.pieces) == ("film 1.1.1 in one take", 1)
    assert best.minutes == pytest.approx(EDGE)


def test_what_the_real_thing_would_cost(tmp_path: Path) -> None:
    pattern = PATTERN.replace("title: Body\n", "title: Body\n    short: 2\n")
    short = planned(tmp_path, "body, kinds: [full, short]", pattern)
    (change,) = real_things(short)
    assert change.what == "the full piece in 1.1.1"
    assert change.minutes == pytest.approx(-8 * ROUND)
    assert change.pieces == 0


def test_wishes_side_by_side(tmp_path: Path) -> None:
    # With a helper the two minutes between the segments are enough to knit a round, and to take one back (40 x 0.02).
    # By the course's weights one piece is begun as far as the round, then taken back (0.8 min on the day); so it is
    # with the fewest pieces. The least knitting beforehand is the same: a second edge would be more.
    course = NO_WAITING.replace("wrap: 17:00", "wrap: 17:00\n    helpers: [Bo]")
    found = sides(planned(tmp_path, "body round 1", course=course))
    assert [(one.what, one.pieces, one.waiting, one.optimal) for one in found] == [
        ("as the course asks", 1, 0, True),
        ("fewest pieces", 1, 0, True),
        ("least knitting before the shoot", 1, 0, True),
        ("no waiting on the day", 1, 0, True),
    ]
    assert [one.bench for one in found] == pytest.approx([EDGE + ROUND] * 4)
    assert [one.floor for one in found] == pytest.approx([0.8] * 4)


def test_wishes_that_differ(tmp_path: Path) -> None:
    # The other way round: the camera waits while the round is knitted, or there is a second piece. A minute waited
    # counts for 8 and 1.5 on top: 1.65 minutes are 15.7, a new piece with its edge 20 and 13.8. Without waiting it is
    # two pieces all the same.
    course = COURSE.replace("films: [1]", "films: [1.2, 1.1]")
    own, fewest, least, without = sides(planned(tmp_path, "body round 1", course=course))
    for one in (own, fewest, least):
        assert [one.pieces, one.bench, one.floor, one.waiting] == pytest.approx([1, EDGE, ROUND, ROUND])
    assert [without.pieces, without.bench, without.floor, without.waiting] == pytest.approx([2, 2 * EDGE + ROUND, 0, 0])


def test_what_a_piece_is_worth(plan: Plan) -> None:
    # Without either of the two the other one cannot stand in its place: nobody knits, and nobody may wait.
    assert dict(reasons(plan).without) == {"A": None, "B": None}
    with pytest.raises(KeyError):
        without_piece(plan, "C")


def test_without_a_piece_and_with_a_helper_are_one_question(tmp_path: Path) -> None:
    # The piece of one round is taken back in the pause (0.8 min) when somebody has her hands free.
    made = planned(tmp_path, "body round 1")
    with pytest.raises(WhatIfError, match="Without piece B, the shots cannot be filmed"):
        what_if(made, without=["B"])
    both = what_if(made, without=["b"], helpers=1)
    assert both is not None
    assert both.what == "1 more helper on every day and without piece B"
    assert both.pieces == 1
    assert both.minutes == pytest.approx(EDGE - 0.8)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"without": ["Q"]}, "no piece Q"),
        ({"film": "9.9", "before": "1.1"}, "no segment 9.9 that is filmed"),
        ({"film": "1.1"}, "Name both"),
        ({"accept": ["huge 1.1.1"]}, "“huge 1.1.1” is not a kind and an appearance such as “short 1.1.1”"),
        ({"accept": ["short"]}, "“short” is not"),
    ],
)
def test_what_is_not_there_is_named(plan: Plan, asked: dict[str, Any], words: str) -> None:
    with pytest.raises(WhatIfError, match=words):
        what_if(plan, **asked)


def test_a_course_without_hands_on_pieces_saves_nothing(tmp_path: Path) -> None:
    episode = "episode: 1\ntitle: T\nsegments:\n  - title: A\n    shots:\n      - {view: face, say: Hello.}\n"
    result = lessonplan.plan(write_course(tmp_path, {"episodes/01.yaml": episode, "course.yaml": COURSE}))
    assert result.plan is not None
    assert savings(result.plan) == ()
    with pytest.raises(WhatIfError, match=r"such as “short 1\.1\.1”"):
        what_if(result.plan, accept=["short"])
